-- Calibration on data of our own: a run's hours become a log, and the fit is asked for the values it was run with.
local pinery = require "pinery"

local function fails(pattern, f, ...)
  local ok, message = pcall(f, ...)
  assert(not ok and message:find(pattern), tostring(message) .. "\ndoes not match " .. pattern)
end

local weather = pinery.weather { typical = "Denver" }
local house = pinery.house {
  walls = false, drives = { { cloth = "energy cloth" } }, lower_pipes = { length = 1.2 }, crop = "tomato",
}
local strategy = pinery.strategy { 
  vent_humidity_max = 0, screens = { { close_below_outside = 10 } },
  periods = { { at = 0, heating = 18, ventilation = 45 } },
}

-- Vents stay shut in this week of January, so their area has no part in it.
local function case(p)
  return {
    weather = weather, strategy = strategy, options = { spin_up = 1, first_day = 1, days = 1, tolerance = 0.03 },
    house = house:with {
      leakage = p.leakage, structure_shade = p.shade, vent_area = p.vents,
      crop = { transpiration_factor = p.transpiration },
    },
  }
end

local truth = { leakage = 2.5e-4, shade = 0.15, transpiration = 0.6, vents = 0.1 }
local made = case(truth)
made.options = { spin_up = 1, first_day = 10, days = 5, keep_hours = true, tolerance = 0.03 }
local result = assert(pinery.run(made))
local air, vapour, heat = result:hours "air_seen", result:hours "absolute_humidity", result:hours("heat", "heat_lower")
local path, daily = os.tmpname(), os.tmpname()
local file, file_daily = assert(io.open(path, "w")), assert(io.open(daily, "w"))
file:write "time,air,vapour\n"
file_daily:write "time,heat\n"
local sum = 0
for hour = 1, #air do
  -- Twice an hour, a little off to either side as sensors are, so the mean of the two is the run's.
  for half = 0, 1 do
    file:write(("2019-01-%02d %02d:%02d,%.6f,%.6f\n"):format(10 + (hour - 1) // 24, (hour - 1) % 24, 30 * half,
      air[hour] + 0.2 * half - 0.1, vapour[hour] + 0.1 * half - 0.05))
  end
  sum = sum + heat[hour]
  if hour % 24 == 0 then
    file_daily:write(("2019-01-%02d 00:00,%.6f\n"):format(9 + hour // 24, sum))
    sum = 0
  end
end
file:close()
file_daily:close()
local log, log_daily = pinery.log(path), pinery.log(daily)
os.remove(path)
os.remove(daily)

local function task(changes)
  local given = {
    log = log, case = case, learn = { 10, 12 }, unseen = { 13, 14 },
    parameters = {
      { name = "leakage", start = 1e-4, min = 2e-5, max = 1e-3, ratio = true },
      { name = "shade", start = 0.08, guess = 0.1, min = 0, max = 0.4 },
      { name = "transpiration", start = 1, min = 0.2, max = 3, ratio = true },
      { name = "vents", start = 0.05, min = 0.01, max = 0.3 },
    },
    measured = {
      { column = "air", model = "air_seen", scale = 0.5 },
      { column = "vapour", model = function(run) return run:hours "absolute_humidity" end, scale = 0.5 },
      { column = "heat", log = log_daily, total = true, scale = 0.2,
        model = function(run) return run:hours("heat", "heat_lower") end },
    },
  }
  for key, value in pairs(changes or {}) do
    given[key] = value
  end
  return given
end

local fit = pinery.fit(task())
print(fit:report())
for _, name in ipairs { "leakage", "shade", "transpiration" } do
  local found = fit.values[name] / truth[name]
  assert(math.abs(found - 1) < 0.05, name .. " is " .. found .. " of what it was")
end
local by_name = {}
for i, p in ipairs(fit.parameters) do
  by_name[p.name] = p
  assert(#p.correlation == 4 and math.abs(p.correlation[i] - 1) < 1e-12 and p.low <= p.value and p.value <= p.high)
end
assert(by_name.leakage.identified and by_name.shade.identified and by_name.transpiration.identified)
assert(not by_name.vents.identified and by_name.vents.spread > 0.9 and by_name.vents.spread_alone > 0.9)
assert(#fit.directions == 1 and math.abs(fit.directions[1][4]) > 0.99)
assert(fit.before.unseen.heat.n == 2 and fit.before.learnt.air.n == 72)
assert(fit.before.unseen.score > 100 * fit.after.unseen.score)
assert(fit.after.unseen.air.rmse < 0.1 and math.abs(fit.after.unseen.heat.bias) < 0.02 * fit.after.unseen.heat.mean)
assert(fit.after.result.mean_air_degC and tostring(fit):find "not identified, spread left")

-- Other values can be scored as well.
local start = {}
for _, p in ipairs(fit.parameters) do
  start[p.name] = p.start
end
assert(math.abs(fit:scored(start, { 10, 12 }).score / fit.before.learnt.score - 1) < 1e-3)
assert(math.abs(fit:scored({}, { 10, 12 }).air.rmse / fit.after.learnt.air.rmse - 1) < 0.1)
fails("fit: score: wind is no parameter", fit.scored, fit, { wind = 1 }, { 10, 12 })

-- The figure, where gnuplot is.
local picture = os.tmpname() .. ".svg"
local drawn, message = fit:figure {
  file = picture, title = "a house's own log", zoom = { 12, 13 }, against = { { column = "vapour", name = "vapour, g/m3" } },
}
if drawn then
  local file = assert(io.open(picture))
  local svg = file:read "a"
  file:close()
  os.remove(picture)
  for _, word in ipairs { "a house's own log", "calibrated", "unseen", "12 Jan", "vapour, g/m3", "model less measured" } do
    assert(svg:find(word, 1, true), word)
  end
else
  assert(message:find "gnuplot is not found", message)
end
fails("fit: figure: against%[1%]: column = wind is not in .*; known are air, vapour", fit.figure, fit,
  { file = picture, against = { { column = "wind" } } })
fails("fit: zoom = { 3, 2 }, expected days of the year", fit.figure, fit, { file = picture, zoom = { 3, 2 } })
drawn, message = fit:figure { file = picture, zoom = { 40, 41 } }
assert(not drawn and message:find "figure: air has no values on the days to draw")

-- What is wrong is said.
for pattern, changes in pairs {
  ["fit: unknown field days; known are parameters, case"] = { days = 3 },
  ["fit: case is a table, expected a function"] = { case = {} },
  ["fit: parameters is a boolean, expected a list"] = { parameters = false },
  ["fit: parameter a: start = nil, expected a number"] = { parameters = { { name = "a" } } },
  ["fit: parameter a: unknown field least; known are name, start"] = { parameters = { { name = "a", least = 1 } } },
  ["fit: parameter a: start = 3, expected a number in 0 .. 2"] = { parameters = { { name = "a", start = 3, min = 0, max = 2 } } },
  ["fit: learn = { 14, 10 }, expected days of the year"] = { learn = { 14, 10 } },
  ["fit: learn = { 10, 12 } and unseen = { 12, 14 } share days"] = { unseen = { 12, 14 } },
  ["fit: air has no values on days 40 .. 41 in "] = { unseen = { 40, 41 } },
  ["fit: measured%[1%]: column = warmth is not in .*; known are air, vapour"] = {
    measured = { { column = "warmth", model = "air_seen", scale = 1 } },
  },
  ["fit: measured%[1%]: scale = 0, expected a number"] = { measured = { { column = "air", model = "air_seen", scale = 0 } } },
  ["fit: model of air gave a nil, expected a list"] = {
    measured = { { column = "air", model = function() end, scale = 1 } },
  },
  ["house: leakage = %-1 .* is outside"] = {
    case = function() return { weather = weather, strategy = strategy, house = house:with { leakage = -1 } } end,
  },
  ["fit: case gave a nil, expected what pinery.run takes"] = { case = function() end },
  ["fit: tolerance = 1, expected a number in 0.0001 .. 0.1"] = { tolerance = 1 },
} do
  fails(pattern:gsub("[{}]", "%%%0"), pinery.fit, task(changes))
end
print "fit: all is well"
