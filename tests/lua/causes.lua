-- Why a run did what it did: every move it tells is one that its weather, its orders and its thresholds allow.
local pinery = require "pinery"

local weather = pinery.weather { typical = "Denver" }
local house = pinery.house {
  drives = { { cloth = "energy cloth" }, { cloths = { "blackout cloth", "energy cloth" } } },
  lower_pipes = { length = 1.5 }, lamps = { { power = 60 } }, through_fans = { flow = 0.7, area = 250, power = 200 },
}
local strategy = pinery.strategy {
  pinery.day_night { sun = true, day = 18.5, night = 17 }, pinery.lamp_hours { from = 3, to = 19 },
  pinery.humidity_slit { most = 0.2, start = 75, full = 88, least_outside = -2 }, pinery.blackout { drive = 2, from = 19, to = 6 },
  vent_over_screen = 0.03, minimum_pipe = 40, light_raise = 2, vent_storm = 6,
  screens = { { day_light = 60, day_outside = 2, close_below_outside = 8 }, { close_below_light = 0, shade_above_light = 550, day_cloth = 2 } },
}
local options = { first_day = 60, days = 20, spin_up = 1, keep_causes = true, tolerance = 0.1 }
local function run(given, more)
  local all = { strategy = given, house = house, weather = weather, options = {} }
  for key, value in pairs(options) do all.options[key] = value end
  for key, value in pairs(more or {}) do all.options[key] = value end
  return assert(pinery.run(all))
end
local result = run(strategy)

-- The weather record that holds at a time of the run; records are hours.
local columns = { outside_snow = weather:values "snow", rain = weather:values "rain" }
local function record(name, time) return columns[name][math.floor(time / 3600 + 1e-6) + 1] end

local below = { night = true, cold_day = true, weak_sun = true, cool_house = true, too_cold_outside = true, frost = true }
local above = { shade = true, light = true, warmth = true, strong_sun = true, warm_house = true, storm = true, humidity = true,
  temperature = true, snow = true }
local moves, lost = result:causes()
assert(lost == 0 and #moves > 100)
local last, seen, before = {}, {}, -1
for _, move in ipairs(moves) do
  assert(move.time >= before and move.time >= 59 * 86400 and math.abs((move.day - 1) * 86400 + move.hour * 3600 - move.time) < 1e-6)
  before = move.time
  seen[move.cause] = (seen[move.cause] or 0) + 1
  -- One after the other: where a move begins, the one before it ended.
  if last[move.actuator] then
    assert(move.from == last[move.actuator].to and move.from ~= move.to, move.actuator)
  else
    assert(move.time == 59 * 86400 and move.from == move.to)
  end
  local first = last[move.actuator] == nil
  last[move.actuator] = move
  -- The values are on the side of the limits that the rule speaks of.
  for name, limit in pairs(move.limits) do
    local value = move.values[name]
    if not first and below[move.cause] then
      assert(value <= limit + 1e-3, move.cause .. " " .. name)
    elseif not first and above[move.cause] then
      assert(value >= (move.cause == "storm" and 0.9 or 1) * limit - 1e-3, move.cause .. " " .. name) -- it ends at 0.9
    end
  end
  for name, value in pairs(move.values) do
    if columns[name] and move.cause ~= "rain" then
      assert(math.abs(value - record(name, move.time)) < 1e-6, name)
    end
  end
  if move.actuator == "cloth_2" and move.cause == "blackout" then
    assert(move.to == 1 and (first or math.abs(move.hour - 19) < 1e-6), move.hour)
  elseif move.cause == "blackout_over" then
    assert(move.to == 0 and math.abs(move.hour - 6) < 1e-6)
  elseif move.cause == "hours" then
    assert(first or math.abs(move.hour - move.limits.hour) < 1e-6 and (move.limits.hour == 3) == (move.to > 0))
  elseif move.actuator:find "vent" and move.cause == "over_cloth" then
    assert(move.to >= 0.03 - 1e-6 and move.to < 0.1)
  elseif move.actuator:find "cloth" and (move.cause == "light" or move.cause == "warmth" or move.cause == "snow") then
    assert(move.to == 0)
  end
end
for _, cause in ipairs { "period", "light_raise", "minimum_pipe", "night", "light", "blackout", "blackout_over", "shade", "weak_sun",
  "temperature", "humidity", "no_need", "over_cloth", "hours", "strong_sun", "parked", "storm" } do
  assert(seen[cause], "no move for " .. cause)
end
assert(not last.cloth_3 and not last.lamp_2 and not last.fan_circulation and last.fan_through)

-- Any moment: the last move of each, as a search through the list finds it.
for _, moment in ipairs { { 60, 0 }, { 63, 7.5 }, { 70, 12 }, { 75, 19 + 1 / 12 }, { 79, 23.9 } } do
  local wanted, time = {}, (moment[1] - 1) * 86400 + moment[2] * 3600
  for _, move in ipairs(moves) do
    if move.time <= time + 1e-3 then wanted[move.actuator] = move end
  end
  local why = result:why(moment[1], moment[2])
  for name, move in pairs(wanted) do
    assert(why[name].time == move.time and why[name].to == move.to and why[name].why == move.why, name)
  end
end
assert(next(result:why(59)) == nil)

-- Parts of the list, and the text of it.
local day = result:causes { from = 62, days = 1, actuator = "cloth_1" }
assert(#day > 0)
for _, move in ipairs(day) do assert(move.day == 62 and move.actuator == "cloth_1") end
local text = result:report("causes", { from = 62, days = 1 })
local _, lines = text:gsub("\n", "\n")
assert(lines == 1 + #result:causes { from = 62, days = 1 } and text:find "cloth_1 +1%.00 %-> +0%.00  lighter than the rule")

-- Kept or not, the run is the same, and a run that did not keep them says so.
local plain = run(strategy, { keep_causes = false })
for _, row in ipairs(pinery.names "results") do
  local a, b = result[row.name], plain[row.name]
  assert(a == b or (a ~= a and b ~= b), row.name)
end
for _, f in ipairs { function() return plain:causes() end, function() return plain:why(60) end, function() return plain:report "causes" end } do
  local ok, message = pcall(f)
  assert(not ok and message:find "the causes were not kept: run with options = { keep_causes = true }", message)
end

-- A control function gives reasons; what it leaves as the table asks keeps the table's cause.
local scripted = run(strategy:with { control = function(seen, orders)
  if seen.hour >= 12 and seen.hour < 13 then
    orders:because "lunch"
    orders.vent_lee = 0.5
    orders:because "glare"
    orders.cloth[1] = 0.7
    orders.heating = orders.heating
  elseif seen.hour >= 15 and seen.hour < 16 then
    orders.lamp[1] = 0.25
    orders.pipe_lower = 30
  end
end }, { days = 3 })
local told = {}
for _, move in ipairs(scripted:causes()) do
  if move.cause == "script" then
    told[move.actuator .. " " .. (move.reason or "no reason")] = (told[move.actuator .. " " .. (move.reason or "no reason")] or 0) + 1
    assert((move.hour >= 12 and move.hour < 13 and move.reason) or (move.hour >= 15 and move.hour < 16 and not move.reason))
  end
end
local names = {}
for name in pairs(told) do names[#names + 1] = name end
table.sort(names)
assert(table.concat(names, ", ") == "cloth_1 glare, lamp_1 no reason, pipe_lower no reason, vent_lee lunch", table.concat(names, ", "))
local noon = scripted:why(61, 12.5)
assert(noon.vent_lee.reason == "lunch" and noon.vent_lee.to == 0.5 and noon.cloth_1.reason == "glare" and noon.heating.cause ~= "script")
assert(scripted:why(61, 15.5).pipe_lower.to == 30 and scripted:why(61, 17).pipe_lower.to == nil)
local ok, message = pcall(function() return scripted:causes { days = 1 } end)
assert(not ok and message:find "days needs from", message)
print "causes: all is well"
