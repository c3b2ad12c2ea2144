-- Logs as columns, and runs that replay them.
local pinery = require "pinery"

local path = os.tmpname()
local function write(text)
  local file = assert(io.open(path, "w"))
  file:write(text)
  file:close()
  return path
end

local function fails(pattern, f, ...)
  local ok, message = pcall(f, ...)
  assert(not ok and message:find(pattern), tostring(message) .. "\ndoes not match " .. pattern)
end

-- Comma and point, or semicolon and comma; gaps; quotes; a mark at the start; another year.
local log = pinery.log(write "\xEF\xBB\xBFtime,screen_pct,\"vent\"\r\n2019-01-10 00:00,100,0\r\n2019-01-10 01:00,,2.5\r\n2019-01-10 02:00,50,1e1\r\n")
assert(#log.names == 2 and log.names[2] == "vent" and #log.time == 3 and log.step == 3600)
assert(log.time[1] == 9 * 86400 and log.vent[2] == 2.5 and log.vent[3] == 10 and log.screen_pct[2] ~= log.screen_pct[2])
assert(log:row(log.time[2] + 10) == 2 and log:row(log.time[1] - 1) == nil and log:row(log.time[3] + 4 * 3600) == nil)
assert(log:at("screen_pct", log.time[2]) == nil and log:at("screen_pct", log.time[3] + 600) == 50)
fails("no column vents; known are screen_pct, vent$", log.at, log, "vents", 0)
log = pinery.log(write "t;a\n2019-12-31 23:30;1,5\n2020-03-01T00:00:00;2\n2021-01-01 00:00;3\n")
-- 2019 has 365 days; 1 March is day 61 of the leap year 2020; 2020 has 366 days.
assert(log.a[1] == 1.5 and log.time[2] == (365 + 60) * 86400 and log.time[3] == (365 + 366) * 86400)

log = pinery.log(write "day,a\n2019-01-10,1\n2019-01-11,2\n")
assert(log.time[1] == 9 * 86400 and log.step == 86400)

-- What is wrong is said with file and line.
for text, pattern in pairs {
  ["t,a\n2019-01-10 00:00,x\n"] = "line 2: a = \"x\" is not a number$",
  ["t,a\n2019-01-10 00:00,1,2\n"] = "line 2: 3 cells, expected 2$",
  ["t,a\n10-01-2019 00:00,1\n"] = "line 2: \"10%-01%-2019 00:00\" is not a time like 2018%-08%-14 06:05$",
  ["t,a\n2019-13-10 00:00,1\n"] = "line 2: .* is not a time",
  ["t,a\n2019-01-10 00:00,1\n2019-01-10 00:00,1\n"] = "line 3: 2019%-01%-10 00:00 is not later than the line before$",
  ["t,a,a\n"] = "line 1: column 3 is named \"a\", expected a name of its own$",
  ["t\n"] = "line 1: expected a time column and at least one more",
  ["t,a\n2019-01-10 00:00,1\n"] = "fewer than two lines of data$",
} do
  write(text)
  fails("^.-log%.lua:%d+: log: .*" .. pattern, pinery.log, path)
end
fails("log: .*absent%.csv: No such file", pinery.log, "absent.csv")

-- Replay: every actuator goes where the log says, and where the log has a gap where the table says.
local lines = { "time,screen_pct,lee_pct,lamp_pct,rail_degC" }
for hour = 0, 47 do
  lines[#lines + 1] = ("2019-01-%02d %02d:00,%g,%s,%g,%g"):format(10 + hour // 24, hour % 24, hour < 12 and 100 or 0,
    hour < 6 and "" or "101", hour % 2 * 100, 40)
end
log = pinery.log(write(table.concat(lines, "\n")))
os.remove(path)
local replay = pinery.strategy {
  control = pinery.replay {
    log = log, share = 0.01, cloth = { "screen_pct" }, vent_lee = "lee_pct", lamp = { "lamp_pct" }, pipe_lower = "rail_degC",
  },
}
local result = assert(pinery.run {
  weather = pinery.weather { typical = "Denver" }, strategy = replay,
  house = { drives = { { cloth = pinery.presets("cloth")[1] } }, lower_pipes = { length = 1.5 }, lamps = { { power = 50 } } },
  options = { first_day = 10, days = 1, spin_up = 0, keep_hours = true },
})
local screen, vent, lamp, pipe = result:hours "cloth_1", result:hours "vent_lee", result:hours "lamp_1", result:hours "pipe_lower"
-- A drive takes 240 s and a lamp 60 s for the whole way, so hours away from a change are exact to the motor's last bit.
assert(math.abs(screen[10] - 1) < 0.01 and screen[20] < 0.01 and vent[10] > 0.99 and vent[3] < 0.99)
assert(lamp[10] > 0.9 and lamp[11] < 0.1 and math.abs(pipe[20] - 40) < 1, pipe[20])
assert(math.abs(result.electricity_lamps_kWh_per_m2 - 12 * 0.050) < 0.01)

fails("replay: vent_lee = nope is not a column of .*; known are screen_pct", pinery.replay,
  { log = log, vent_lee = "nope" })
fails("replay: unknown field screen; known are log, share, vent_lee", pinery.replay, { log = log, screen = "a" })
fails("replay: log is a number, expected pinery.log", pinery.replay, { log = 3 })
print "log: all is well"
