-- label: long
-- A logged house replayed (tests/measured/cucumber.lua), before any calibration. The scores committed below state how
-- far off the model is and make a change of it visible; they are no claim of accuracy.
local pinery = require "pinery"

local case = dofile "../measured/cucumber.lua"
if not case then
  os.exit(77)
end
local log, daily_log = case.log, case.daily
local first_day, days = case.first_day, case.days

-- Scores -----------------------------------------------------------------------------------------

-- Runs a house as logged, prints how it differs from the log, and returns a function of bias and RMSE by name.
local function held(house)
  local result = assert(pinery.run {
    weather = case.weather, house = house, strategy = case.strategy,
    options = { first_day = first_day, days = days, spin_up = 7, keep_hours = true },
  })
  assert(math.abs(result.closure_heat) < 1e-9 and math.abs(result.closure_water) < 1e-9)
  local hours = {
    air = result:hours "air_seen", vapour = result:hours "absolute_humidity", deficit = result:hours "humidity_deficit",
  }
  local quantities = { "air, K", "humidity, %", "vapour, g/m3" }
  local scores = {}
  local function score(group, quantity, difference)
    local key = group .. ", " .. quantity
    local sums = scores[key] or { n = 0, sum = 0, squares = 0 }
    sums.n, sums.sum, sums.squares = sums.n + 1, sums.sum + difference, sums.squares + difference ^ 2
    scores[key] = sums
  end
  for i, time in ipairs(log.time) do
    local hour = (time - (first_day - 1) * 86400) // 3600 + 1
    local air, vapour, deficit = hours.air[hour], hours.vapour[hour], hours.deficit[hour]
    if air then
      local differences = {
        air - log.air_degC[i], 100 * vapour / (vapour + deficit) - log.rh_pct[i], vapour - log.vapour_g_m3[i],
      }
      local cloth, wind = log.energy_screen_closed_pct[i], log.wind_m_s[i]
      for _, group in ipairs {
        "all", log.global_W_m2[i] > 5 and "day" or "night", log.lamps_on_pct[i] > 50 and "lit" or "dark",
        cloth > 90 and "cloth shut" or cloth < 10 and "cloth open" or "cloth between",
        wind < 2 and "wind under 2 m/s" or wind < 6 and "wind 2 to 6 m/s" or "wind over 6 m/s",
      } do
        for k, quantity in ipairs(quantities) do
          score(group, quantity, differences[k])
        end
      end
    end
  end

  -- Days of the local clock: pipe heat as the authors computed it from pipe temperatures, lamp power, water taken up.
  local heat, lamps = case.pipe_heat(result), result:hours("meter", "power_lamps")
  local water = result:hours("water", "transpiration")
  local sums = { days = 0, heat = 0, lamps = 0, water = 0, heat_log = 0, lamps_log = 0, water_log = 0 }
  for i, time in ipairs(daily_log.time) do
    local from = time // 3600 - (first_day - 1) * 24
    local to = (daily_log.time[i + 1] or time + 86400) // 3600 - (first_day - 1) * 24
    if from >= 0 and heat[to] then
      local day = { heat = 0, lamps = 0, water = 0 }
      for hour = from + 1, to do
        day.heat, day.lamps, day.water = day.heat + heat[hour], day.lamps + lamps[hour] / 3.6, day.water + water[hour]
      end
      score("days", "pipe heat, MJ/m2", day.heat - daily_log.pipe_heat_MJ_m2[i])
      sums.days = sums.days + 1
      sums.heat, sums.heat_log = sums.heat + day.heat, sums.heat_log + daily_log.pipe_heat_MJ_m2[i]
      sums.lamps, sums.lamps_log = sums.lamps + day.lamps, sums.lamps_log + daily_log.lamp_kWh_m2[i]
      local supplied = daily_log.net_water_L_m2[i]
      if supplied == supplied then -- one day has none
        sums.water, sums.water_log = sums.water + day.water, sums.water_log + supplied
      end
    end
  end

  local function bias_rmse(key)
    local score = scores[key]
    return score.sum / score.n, math.sqrt(score.squares / score.n), score.n
  end

  print "model less log      hours      air, K         humidity, %     vapour, g/m3"
  print "                             bias   RMSE     bias   RMSE     bias   RMSE"
  for _, group in ipairs {
    "all", "day", "night", "lit", "dark", "cloth open", "cloth between", "cloth shut",
    "wind under 2 m/s", "wind 2 to 6 m/s", "wind over 6 m/s",
  } do
    local line = string.format("%-18s %6d", group, scores[group .. ", air, K"].n)
    for _, quantity in ipairs(quantities) do
      line = line .. string.format("   %+6.2f %6.2f", bias_rmse(group .. ", " .. quantity))
    end
    print(line)
  end
  print(string.format("%d days             model     log", sums.days))
  print(string.format("pipe heat    MJ/m2  %6.1f  %6.1f   of a day: bias %+.2f, RMSE %.2f", sums.heat, sums.heat_log,
    bias_rmse "days, pipe heat, MJ/m2"))
  print(string.format("lamps      kWh/m2   %6.1f  %6.1f", sums.lamps, sums.lamps_log))
  print(string.format("transpired  kg/m2   %6.1f  %6.1f   log: water supplied less drained", sums.water,
    sums.water_log))

  -- What lamps draw follows from their power and hours, so it must agree: the log was read at its own hours.
  assert(math.abs(sums.lamps / sums.lamps_log - 1) < 0.02)
  return bias_rmse
end

-- Scores of the model as it stands, { bias, RMSE }. Whoever changes the physics changes them here and says why. (Finer
-- layers of soil take up more of the day's wave: 0.03 to 0.06 K colder than with seven of them. Sun that the frame takes
-- warms the air: 0.2 to 0.5 K.)
local function check(title, house, committed)
  print(title)
  local bias_rmse = held(house)
  for key, want in pairs(committed) do
    local bias, rmse = bias_rmse(key)
    if not (math.abs(bias - want[1]) <= 0.05 * want[2] and math.abs(rmse - want[2]) <= 0.05 * want[2]) then
      error(string.format("%s, %s: bias %.3f and RMSE %.3f, committed %.3f and %.3f", title, key, bias, rmse, want[1],
        want[2]))
    end
  end
end

check("as described", case.house, {
  ["all, air, K"] = { -1.02, 1.83 }, ["all, humidity, %"] = { 2.22, 6.99 }, ["all, vapour, g/m3"] = { -0.33, 2.13 },
  ["day, air, K"] = { -1.00, 1.88 }, ["day, humidity, %"] = { 4.22, 8.75 },
  ["night, air, K"] = { -1.03, 1.78 }, ["night, humidity, %"] = { 0.65, 5.23 },
  ["cloth open, air, K"] = { -0.77, 1.51 }, ["cloth open, humidity, %"] = { 2.48, 8.45 },
  ["cloth shut, air, K"] = { -1.26, 2.08 }, ["cloth shut, humidity, %"] = { 1.82, 5.18 },
  ["days, pipe heat, MJ/m2"] = { 0.26, 0.33 },
})

-- A compartment of 10 m between inner walls can have little of the pressure difference that the wind makes from end to
-- end of a whole roof; what it has is not published. This is the other bound. A cloth logged as 98 % shut is run with a
-- slit of 2 %, so the difference counts.
check("without wind along the house", case.house:with { pressure_span = 0 }, {
  ["all, air, K"] = { -0.32, 1.29 }, ["all, humidity, %"] = { 3.03, 7.56 }, ["all, vapour, g/m3"] = { 0.53, 2.12 },
  ["day, air, K"] = { -0.66, 1.63 }, ["day, humidity, %"] = { 4.78, 9.29 },
  ["night, air, K"] = { -0.06, 0.94 }, ["night, humidity, %"] = { 1.66, 5.85 },
  ["cloth shut, air, K"] = { 0.04, 1.03 }, ["cloth shut, humidity, %"] = { 3.19, 6.10 },
  ["days, pipe heat, MJ/m2"] = { 0.12, 0.18 },
})
print "replay_measured: scores are as committed"
