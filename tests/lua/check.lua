-- Looked at before it is run: every fault is told by the script that has it, with its rule and hours near those of a
-- run that counts them itself, and clean scripts are silent. (label: long)
local pinery = require "pinery"

-- The typical years hold no snow: a station of the same weather, with two hours of rain or snow in every 37.
local typical = pinery.weather { typical = "Denver" }
local path = os.tmpname()
local file = assert(io.open(path, "w"))
file:write("# latitude: 39.7\n# longitude: -105\n# elevation: 1600\n# utc offset: -7\n# stamp: start\n",
  "time,temperature [degC],vapour pressure [Pa],global radiation [W/m2],wind speed [m/s],rain [mm/h]\n")
local column = {}
for _, name in ipairs { "temperature", "vapour_pressure", "global", "wind_speed" } do
  column[name] = typical:values(name)
end
for i = 1, 8760 do
  file:write(os.date("!%Y-%m-%d %H:%M", 1609459200 + 3600 * (i - 1)), string.format(",%.3f,%.2f,%.2f,%.2f,%g\n", column.temperature[i],
    column.vapour_pressure[i], column.global[i], column.wind_speed[i], i % 37 < 2 and 0.8 or 0))
end
file:close()
local weather = pinery.weather { file = path }
os.remove(path)
local house = pinery.house {
  drives = { { cloth = "energy cloth" } }, lower_pipes = { length = 2 }, lamps = { { "sodium top lamps", power = 100 } },
  through_fans = { flow = 2500 / 3600, area = 250, power = 200 }, crop = "cut rose",
}
local usual = pinery.strategy { pinery.day_night { sun = true, day = 18.5, night = 17 }, pinery.lamp_hours { from = 3, to = 19 },
  vent_over_screen = 0.03, fan_most = 0 }
local span = { first_day = 32, days = 100, spin_up = 2, tolerance = 0.1 }

local function check(strategy, given_house, options)
  return assert(pinery.check { "it", strategy, house = given_house or house, weather = weather, options = options or span })
end

local function silent(strategy, given_house, options)
  local advice = check(strategy, given_house, options)
  assert(#advice == 1 and #advice[1].warnings == 0, tostring(advice))
  return advice[1]
end

local function only(key, strategy, given_house, options)
  local advice = check(strategy, given_house, options)
  assert(#advice[1].warnings == 1 and advice[1].warnings[1].key == key, tostring(advice))
  return advice[1].warnings[1], tostring(advice)
end

-- Hours of a whole run in which `is` holds, counted by a control function.
local function counted(strategy, given_house, is)
  local n = 0
  local control = strategy.control
  assert(pinery.run {
    house = given_house, weather = weather, options = span,
    strategy = strategy:with { control = function(seen, orders, state)
      if control then control(seen, orders, state) end
      if seen.time_s >= 31 * 86400 and is(seen, orders) then n = n + 1 end
    end },
  })
  return n / 12
end

-- What is told from a part of the days is within 2.5 of its own standard errors, and those are of some use.
local function about(warning, truth)
  assert(warning.error > 0 and warning.error < 0.5 * truth and math.abs(warning.hours - truth) < 2.5 * warning.error,
    string.format("%.1f h told, give or take %.1f, %.1f h in a run", warning.hours, warning.error, truth))
end

local function near(hours, truth, share)
  assert(math.abs(hours - truth) <= share * truth, string.format("%.1f h told, %.1f h in a run", hours, truth))
end

-- Clean ones: bare, with cloth and lamps, slits without fans, fans without slits, two cloths on a drive, snow heeded.
silent({}, pinery.house {})
silent(usual)
silent(usual:with { pinery.humidity_slit { most = 0.2, start = 80, full = 88 } })
silent(usual:with { pinery.shut_with_fans { start = 80, full = 88 } })
silent(usual:with { minimum_pipe = 40, minimum_pipe_light = 100, lighting = { { use = false } } }, house, { first_day = 5, days = 10, spin_up = 2, tolerance = 0.1 })

-- Cloth shut in snow: the weather alone says when, so the hours are those of a run.
local careless = usual:with { screens = { { open_in_snow = false } } }
local warning, text = only("cloth_in_snow", careless)
local truth = counted(careless, house, function(seen, orders) return orders.cloth[1] >= 0.5 and seen.outside_snow > 0 end)
assert(truth > 20)
near(warning.hours, truth, 1e-6)
assert(warning.rule:find "screens%[1%] with open_in_snow = false" and warning.looked == 100 and warning.day >= 32)
assert(text:find "it:\n  WARNING cloth shut while snow falls\n    rule: screens%[1%]" and text:find "does not melt snow")

-- Where the weather holds no snow the rule is told without hours.
local unknown = assert(pinery.check { careless, house = house, weather = typical, options = { days = 1, spin_up = 0 } })
assert(#unknown[1].warnings == 1 and not unknown[1].warnings[1].hours and tostring(unknown):find "when: not known, since this weather holds no snow")

-- A slit and fans that begin at the same humidity.
local fighting = usual:with { pinery.humidity_slit { most = 0.2, start = 75, full = 85 }, fan_most = 1, fan_humidity_start = 75,
  fan_humidity_full = 85 }
warning = only("slit_against_fan", fighting)
truth = counted(fighting, house, function(seen)
  return seen.cloth_1 > 0.5 and seen.slit_1 > 0.01 and seen.fan_through > 0.05
end)
assert(truth > 100)
about(warning, truth)
assert(warning.rule:find "slit_humidity_max = 0.2 from 75 %%" and warning.rule:find "fan_humidity_start = 75 %%")
assert(warning.looked == 18 and warning.days == 100)

-- Lamps under a cloth that is kept shut in mild weather; a slit for heat, or a limit for the lamps, silences it.
local blackout = house:with { drives = { { cloth = "blackout cloth" } }, lamps = { { power = 180 } }, through_fans = false }
local stuffy = usual:with { pinery.blackout { from = 15, to = 9 }, pinery.lamp_hours { from = 0, to = 24, off_above = 1000, on_below = 900 } }
warning = only("lamps_under_cloth", stuffy, blackout)
truth = counted(stuffy, blackout, function(seen, orders)
  return seen.cloth_1 > 0.95 and seen.slit_1 < 0.01 and seen.lamp_1 > 0.5 and seen.air_seen > orders.ventilation + 2
end)
about(warning, truth)
assert(warning.rule:find "lighting%[1%] from = 0 to = 24 h with off_above_air = 50 degC" and warning.rule:find "slit_temperature_max = 0")
silent(stuffy:with { pinery.heat_slit { most = 1, start = 0.5, full = 2 } }, blackout)
silent(stuffy:with { lighting = { { off_above_air = 21.5 } } }, blackout)

-- Shade by day from the second cloth of a drive that is held by a blackout in daylight.
local pair = house:with { drives = { { cloths = { "blackout cloth", "energy cloth" } } }, lamps = { false }, through_fans = false }
local both = usual:with { screens = { { dark_from = 12, dark_until = 15, shade_above_light = 500, night_cloth = 1, day_cloth = 2 } } }
warning = only("both_cloths", both, pair)
local light, hours = weather:values "global", 0
for day = 32, 131 do
  for hour = 12, 14 do
    hours = hours + (light[24 * (day - 1) + hour + 1] > 500 and 1 or 0)
  end
end
near(warning.hours, hours, 0.01) -- the run sees a curve through the hours
assert(warning.rule:find "dark_from = 12, dark_until = 15 h against shade_above_light = 500")
silent(both:with { screens = { { dark_from = 20, dark_until = 6 } } }, pair)

-- A minimum pipe in the sun under vents that open.
local wasteful = usual:with { minimum_pipe = 60, minimum_pipe_light = 1500, lighting = { { use = false } } }
warning = only("heating_and_venting", wasteful)
truth = counted(wasteful, house, function(seen)
  return seen.pipe_lower > seen.air_seen + 10 and math.max(seen.vent_lee, seen.vent_wind) > (seen.cloth_1 > 0.5 and 0.13 or 0.1)
end)
about(warning, truth)
assert(warning.rule:find "minimum_pipe = 60 degC to minimum_pipe_light = 1500 W/m2")

-- Carbon dioxide held high under open vents.
local dosed = pinery.house { lower_pipes = { length = 2 }, carbon = { balance = true, source = "pure", most = 4.2e-6 } }
local generous = pinery.strategy { dosing = { target = 900, target_open = 900 } }
warning = only("carbon_under_vents", generous, dosed)
truth = counted(generous, dosed, function(seen, orders)
  return math.max(seen.vent_lee, seen.vent_wind) > 0.1 and orders.carbon_target > 570 and seen.co2 < orders.carbon_target
end)
about(warning, truth)
assert(warning.rule:find "dosing target_open = 900 ppm from open_at = 0.1")
silent(generous:with { dosing = { target_open = 450 } }, dosed)

-- A control function is looked at too: it keeps the cloth shut in snow, and opens the vents over hot pipes.
local scripted = usual:with { control = function(seen, orders)
  orders.cloth[1] = 1
  if seen.hour >= 12 and seen.hour < 14 then
    orders.vent_lee, orders.pipe_lower = 0.6, 60
  end
end }
local advice = check(scripted, house, { first_day = 32, days = 20, spin_up = 2, tolerance = 0.1 })
local found = {}
for _, one in ipairs(advice[1].warnings) do
  found[one.key] = one
end
local rain, temperature, snowing = weather:values "rain", weather:values "temperature", 0
for i, snow in ipairs(weather:values "snow") do
  snowing = snowing + (i > 31 * 24 and i <= 51 * 24 and snow > 0 and 1 or 0)
  assert(snow == 0 or (temperature[i] < 1 and rain[i] == 0))
end
near(found.cloth_in_snow.hours, snowing, 1e-9)
assert(found.cloth_in_snow.looked == 20 and found.cloth_in_snow.error == 0)
assert(found.heating_and_venting.hours > 20 and found.heating_and_venting.rule:find "and the control function$")

print "check: all is well"
