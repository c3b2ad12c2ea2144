-- The logged house that the tests replay and calibrate: its log, weather, description and strategy; nil when the log is
-- not there. A 96 m2 research compartment at Bleiswijk with cucumber, 14 August to 7 December 2018, from
-- the open data of Hemming et al. 2019, Sensors 19:1807. Outside: what the log measured. Screens, vents, lamps and pipe
-- temperatures: where the log had them. The house: what is published of it, and generic presets; no number was fitted.
local pinery = require "pinery"

local folder = os.getenv "PINERY_REAL_DATA" or "../../../shared"
local path = folder .. "/measured/cucumber-2018-hourly.csv"
local there = io.open(path)
if not there then
  print("skipped, " .. path .. " is not there; set PINERY_REAL_DATA to a folder of real files")
  return nil
end
there:close()

-- The log ----------------------------------------------------------------------------------------

-- On its local clock; summer time ended on 28 October at 03:00, the hour of 02:00 is not in the log.
local log = pinery.log(path)
local winter = (300 * 24 + 2) * 3600
for i, time in ipairs(log.time) do
  log.time[i] = time < winter and time - 3600 or time
end

local nan = 0 / 0
local function derived(f)
  local column = {}
  for i in ipairs(log.time) do
    column[i] = f(i)
  end
  return column
end
-- The log has the difference between pipe and air, 0 while the pump is off. Off is no order at all: the run's own
-- set-point of 0 degC then asks for no heat, and the pipe goes where the house takes it.
log.rail_degC = derived(function(i)
  return log.rail_pipe_minus_air_K[i] > 0 and log.air_degC[i] + log.rail_pipe_minus_air_K[i] or nan
end)
log.crop_pipe_degC = derived(function(i)
  return log.crop_pipe_minus_air_K[i] > 0 and log.air_degC[i] + log.crop_pipe_minus_air_K[i] or nan
end)
-- Vapour density [g/m3]: saturation by the Magnus formula of WMO-No. 8 (2018), annex 4.B, and the gas law.
log.vapour_g_m3 = derived(function(i)
  local t = log.air_degC[i]
  local saturation = 611.2 * math.exp(17.62 * t / (243.12 + t))
  return log.rh_pct[i] / 100 * saturation / (461.5 * (t + 273.15)) * 1000
end)

-- Weather ----------------------------------------------------------------------------------------

local function stamp(time)
  return os.date("!%Y-%m-%d %H:%M", 1514764800 + time) -- 2018-01-01 00:00
end

local station = os.tmpname()
local file = assert(io.open(station, "w"))
file:write("# name: Bleiswijk\n# latitude: 52.0\n# longitude: 4.5\n# elevation: -5\n# utc offset: 1\n# stamp: start\n",
  "time,temperature [degC],relative humidity [%],global radiation [W/m2],infrared radiation [W/m2],wind speed [m/s]\n")
for i, time in ipairs(log.time) do
  local outside = log.outside_degC[i]
  local infrared = 5.670374e-8 * (outside + 273.15) ^ 4 + log.net_sky_longwave_W_m2[i]
  file:write(string.format("%s,%.3f,%.3f,%.3f,%.3f,%.3f\n", stamp(time), outside, log.outside_rh_pct[i],
    log.global_W_m2[i], infrared, log.wind_m_s[i]))
end
file:close()
local weather = pinery.weather { file = station }
os.remove(station)

-- The house --------------------------------------------------------------------------------------

local house = pinery.house {
  name = "compartment", length = 10, width = 9.6, walls = false, -- inner walls, the neighbours heated alike
  cover = "single glass",
  drives = { { cloth = "energy cloth" }, { cloth = "blackout cloth" } }, -- which of them hangs lower is not published
  -- Of such length that they give the published 2.1 to 2.45 and 0.6 to 1 W per m2 floor and K of difference to the air.
  lower_pipes = { length = 1.36 }, upper_pipes = { length = 0.77, diameter = 0.028 },
  lamps = { { "sodium top lamps", power = 117, photons = 1.6, light_share = 1.6 / 4.98 } },
  co2 = 750, -- ppm, mean of the log
  -- Leaf area of high-wire cucumber planted in the middle of August; from memory, unverified.
  crop = { "cucumber", calendar = { [226] = 0.3, [240] = 1.0, [260] = 2.8, [275] = 3.2, [341] = 3.2 } },
}

local strategy = pinery.strategy {
  name = "as logged",
  periods = { { at = 0, heating = 0, ventilation = 50 } },
  vent_humidity_max = 0,
  control = pinery.replay {
    log = log, share = 0.01, cloth = { "energy_screen_closed_pct", "blackout_closed_pct" },
    vent_lee = "vent_lee_pct", vent_wind = "vent_wind_pct", lamp = { "lamps_on_pct" },
    pipe_lower = "rail_degC", pipe_upper = "crop_pipe_degC",
  },
}

local first_day = 233 -- 21 August, after a week of spin-up
local days = 340 - first_day + 1 -- to 6 December

-- Pipe heat of a day, as the authors computed it from pipe temperatures, and other sums, from midnight of the local clock.
local daily = pinery.log(folder .. "/measured/cucumber-2018-daily.csv")
for i, time in ipairs(daily.time) do
  daily.time[i] = time <= winter and time - 3600 or time
end

return {
  log = log, daily = daily, weather = weather, house = house, strategy = strategy, first_day = first_day, days = days,
  -- Relative humidity [%], hour by hour, of the air that a run's controller sees.
  humidity = function(result)
    local vapour, deficit, out = result:hours "absolute_humidity", result:hours "humidity_deficit", {}
    for i = 1, #vapour do
      out[i] = 100 * vapour[i] / (vapour[i] + deficit[i])
    end
    return out
  end,
  -- Heat of both pipes [MJ/m2], hour by hour.
  pipe_heat = function(result)
    local lower, upper, out = result:hours("heat", "heat_lower"), result:hours("heat", "heat_upper"), {}
    for i = 1, #lower do
      out[i] = lower[i] + upper[i]
    end
    return out
  end,
}
