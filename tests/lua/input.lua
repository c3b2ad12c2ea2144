-- The whole input of a run as a file, run again by another process: every number the same to the last bit.
local pinery = require "pinery"

local folder = os.tmpname()
os.remove(folder)
assert(os.execute("mkdir " .. folder))
local function path(name) return folder .. "/" .. name end
local function write(name, text)
  local file = assert(io.open(path(name), "w"))
  file:write(text)
  file:close()
  return path(name)
end
local function read(name)
  local file = io.open(path(name), "r")
  local text = file and file:read "a"
  return text, file and file:close()
end

-- Every result, total, month and hour of a comparison, in hexadecimal.
local digest = [[
local pinery = require "pinery"
return function(comparison)
  local out = {}
  local function add(value) out[#out + 1] = string.format("%a", value) end
  for i = 1, #comparison do
    local result = comparison[i]
    out[#out + 1] = result.name
    for _, row in ipairs(pinery.names "results") do add(result[row.name]) end
    for _, row in ipairs(pinery.names "headings") do add(result:heat(row.name)) add(result:water(row.name)) end
    for _, row in ipairs(pinery.names "readings") do
      for _, value in ipairs(result:hours(row.name)) do add(value) end
    end
  end
  return table.concat(out, "\n")
end
]]
local bits = assert(load(digest))()
local again = digest:gsub("return function%(comparison%)", "local bits = function(comparison)") ..
  "io.write(bits(assert(assert(loadfile(FILE))():run())))\n"

local interpreter = assert(arg[-1], "the interpreter is not named in arg[-1]")
local function run_elsewhere(name)
  write("again.lua", (again:gsub("FILE", function() return string.format("%q", path(name)) end)))
  local pipe = assert(io.popen(interpreter .. " " .. path "again.lua" .. " 2>&1", "r"))
  local said = pipe:read "a"
  return said, pipe:close()
end

local function same(comparison, name)
  assert(comparison:run())
  assert(comparison:save_input(path(name)))
  local said, fine = run_elsewhere(name)
  assert(fine, said)
  assert(#said > 10000 and said == bits(comparison), "not the same: " .. said:sub(1, 300))
end

local options = { first_day = 10, days = 1, spin_up = 0.2, keep_hours = true, tolerance = 0.1 / 3, control_interval = 600 }
local house = pinery.house {
  name = "odd \"name\"\n]]", length = 100 / 3, width = 64, cover = { "low-iron glass", haze = 0.1 + 0.2 },
  drives = { { cloth = "energy cloth" }, { cloths = { "energy cloth", { "blackout cloth", thickness = 1 / 3000 } } } },
  lower_pipes = { length = 1.7 }, lamps = { { "sodium top lamps", power = 80 } },
  through_fans = { flow = 2500 / 3600, area = 250, power = 200 },
  crop = { "cut rose", calendar = { [10.123456789012345] = 1 / 3, [200] = 3 } },
}
local usual = pinery.strategy {
  pinery.day_night { sun = true, day = 18.5, night = 17 }, pinery.lamp_hours { from = 3, to = 19 },
  pinery.humidity_slit { most = 0.2, start = 80, full = 88 }, hold_coldest = true,
}

-- Control functions with what they hold on to: counters, tables, one another, a method, themselves.
local least, bands, count = 0.1, { { 80, 0.2 }, { 90, 0.5, deep = { [1.5] = true } } }, 0
local function clamp(x) return math.min(math.max(x, 0), least * 10) end
local machine = {}
function machine:step(seen, orders) -- the word end in a comment, and "function" in a text
  local text = [[ function if end ]] .. 'a "quoted" end' .. #{ "function" }
  if #text > 3 and seen.humidity_upper > self.limit then orders.vent_lee = clamp(bands[1][2]) end
end
machine.limit = 70
local function down(n) return n <= 0 and 0 or down(n - 1) end
local scripted = usual:with { control = function(seen, orders, run)
  count = count + 1
  run.memory.n = (run.memory.n or 0) + 1
  machine.step({ limit = machine.limit }, seen, orders)
  if count % 7 == 0 then orders.heating = 17 + down(3) + bands[2][2] end
  repeat local word = "until" until word
  while false do end
  for _ = 1, 2 do if count > 3 then else end end
end }

same(pinery.compare {
  weather = { typical = "Denver", seed = 3 }, house = house, options = options, reference = "second",
  { "slits, \"wide\"", usual }, { "second", scripted }, { "third", usual, house = {}, weather = { typical = "Helsinki" } },
}, "three.lua")
assert(count > 100, "the counter was saved as it stood before the run, and went on in the run")
assert(read("three.lua"):find("reference = \"second\"", 1, true) and read("three.lua"):find "local count = 0\n")

-- One result, of a strategy that is a bare function, under weather from a file named beside the script.
local rows = { "# latitude: 52.1", "# longitude: 4.9", "# elevation: -2", "# utc offset: 1",
  "time,temperature [degC],relative humidity [%],global radiation [W/m2],wind speed [m/s]" }
for hour = 1, 72 do
  rows[#rows + 1] = string.format("2021-01-%02d %02d:00,%.3f,%d,0,%.2f", 1 + hour // 24, hour % 24, 4 * math.sin(hour),
    80 + hour % 10, 3 + hour % 4)
end
write("station.csv", table.concat(rows, "\n") .. "\n")
write("one.lua", [[
local pinery = require "pinery"
return assert(pinery.run {
  "by file", strategy = { name = "x" }, weather = { file = "station.csv" }, options = { first_day = 2, days = 1, keep_hours = true },
  house = { lower_pipes = { length = 1 } } })
]])
local one = dofile(path "one.lua")
assert(one:save_input(path "one again.lua"))
local said = run_elsewhere "one again.lua"
assert(said == bits { one }, said:sub(1, 300))

-- A run that replays a log reads it again; other numbers in it are noticed.
local logged = { "time;screen %;rail degC;lee %" }
for hour = 0, 71 do
  logged[#logged + 1] = string.format("2021-01-%02d %02d:00;%d;%s;%g", 1 + hour // 24, hour % 24, hour % 5 * 20,
    hour % 3 == 0 and "" or (("%.1f"):format(30 + hour % 11):gsub("%.", ",")), hour % 7)
end
write("log.csv", table.concat(logged, "\n") .. "\n")
local replayed = assert(pinery.run {
  weather = pinery.weather { file = path "station.csv" }, house = house, options = { first_day = 2, days = 1, spin_up = 0.5, keep_hours = true },
  strategy = usual:with { control = pinery.replay { log = pinery.log(path "log.csv"), share = 0.01, cloth = { "screen %" },
    pipe_lower = "rail degC", vent_lee = "lee %" } },
})
assert(replayed:save_input(path "replay.lua"))
said = run_elsewhere "replay.lua"
assert(said == bits { replayed }, said:sub(1, 300))
write("log.csv", (table.concat(logged, "\n"):gsub(";40;", ";60;", 1)) .. "\n")
said = run_elsewhere "replay.lua"
assert(said:find "log%.csv holds other numbers than when this input was written", said)

-- Other weather behind the same name is noticed.
write("station.csv", (table.concat(rows, "\n"):gsub(",85,", ",86,", 1)) .. "\n")
said = run_elsewhere "one again.lua"
assert(said:find "station%.csv has the checksum %x+, but this input was run with %x+: it is not the same weather", said)

-- What cannot be written is said, with the place of the function, and no file is left.
LIMIT = 3
local held, other = pinery.house {}, 0
local object = setmetatable({}, { __index = math })
local function shared() other = other + 1 end
local loop = {}
loop.loop = loop
local two = { function(_, o) o.vent_lee = 0.1 end, function(_, o) o.vent_lee = 0.2 end }
local outer = coroutine.create(print)
for why, control in pairs {
  ["it may use the global LIMIT"] = function(_, orders) orders.heating = 15 + LIMIT end,
  ["held is a house"] = function(_, orders) orders.heating = 15 + held.length / 100 end,
  ["object is a table with a metatable"] = function(_, orders) orders.heating = object.max(15, 16) end,
  ["it shares the variable other with another function, and one of them changes it"] =
    function(_, orders) shared() orders.heating = 15 + other / 1000 end,
  ["loop.loop leads back to itself"] = function(_, orders) orders.heating = loop.loop and 15 end,
  ["outer is a thread"] = function() return outer end,
} do
  local line = debug.getinfo(control, "S").linedefined
  local result = assert(pinery.run { { control = control }, house = {}, weather = { typical = "Denver" }, options = { days = 0.1, spin_up = 0 } })
  local fine, message = result:save_input(path "none.lua")
  assert(not fine and message:find(string.format("case 1: its control function (%s:%d) cannot be written: %s",
    debug.getinfo(1, "S").short_src, line, why), 1, true), message)
  assert(not read "none.lua")
  assert(select(2, result:control()) and not result:control())
end
-- Of two functions on one line each is found by what it does.
for i, control in ipairs(two) do
  assert(pinery.keep(control):find("vent_lee = 0." .. i, 1, true))
end
-- A file that has changed since it was read is not believed.
write("moved.lua", "return function(_, orders)\n  orders.heating = 16\nend\n")
local moved = dofile(path "moved.lua")
assert(pinery.keep(moved):find "16")
write("moved.lua", "return function(_, orders)\n  orders.heating = 17\nend\n")
local text, why = pinery.keep(moved)
assert(not text and why:find "is not, or no longer, what it was made of", why)
os.remove(path "moved.lua")
text, why = pinery.keep(moved)
assert(not text and why:find "the text it was made of %(.*moved%.lua%) is not there", why)

-- Nothing half written: a folder that is not there, and a file that stays as it was when the input cannot be written.
local fine, message = one:save_input(path "absent/x.lua")
assert(not fine and message:find "absent/x%.lua: cannot be written", message)
write("kept.lua", "as it was")
local bad = assert(pinery.run { { control = function() return LIMIT end }, house = {}, weather = { typical = "Denver" },
  options = { days = 0.1, spin_up = 0 } })
assert(not bad:save_input(path "kept.lua") and read "kept.lua" == "as it was")

assert(os.execute("rm -r " .. folder))
print "input: the same to the last bit"
