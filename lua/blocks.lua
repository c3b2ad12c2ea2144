-- Building blocks of strategies: each makes a table to put in front of a strategy's own fields,
--   pinery.strategy { pinery.day_night { day = 19, night = 17 }, pinery.humidity_slit { most = 0.04 }, name = "slits" }
-- Later ones are read over earlier ones. The numbers they start from are common practice in heated glass, no source.
local pinery, inner = ...

-- What is given over what a block starts from; an unknown key is an error.
local function take(block, given, start)
  local values, known = {}, {}
  for key, value in pairs(start) do
    values[key], known[#known + 1] = value, key
  end
  for key, value in pairs(given or {}) do
    if start[key] == nil then
      table.sort(known)
      error(string.format("%s: %s: unknown field %s; known are %s", pinery.where(), block, tostring(key),
        table.concat(known, ", ")), 0)
    end
    values[key] = value
  end
  return values
end

local function on_drive(drive, screen)
  if math.type(drive) ~= "integer" or drive < 1 or drive > 3 then
    error(string.format("%s: drive = %s is not 1, 2 or 3", pinery.where(), tostring(drive)), 0)
  end
  local screens = {}
  for i = 1, drive - 1 do
    screens[i] = {}
  end
  screens[drive] = screen
  return { screens = screens }
end

inner.take, inner.on_drive = take, on_drive -- for the blocks of other files

-- Two temperatures in degC. `sun` counts the hours from sunrise and sunset, else they are hours of the clock.
-- `above` is how far the ventilation temperature lies above the heating temperature.
function pinery.day_night(given)
  local v = take("day_night", given, { day = 18, night = 16, from = 7, to = 19, above = 4, sun = false })
  if v.sun then
    v.from, v.to = given.from or 0, given.to or 0
  end
  return {
    periods = {
      { from = v.sun and "sunrise" or "clock", at = v.from, heating = v.day, ventilation = v.day + v.above },
      { from = v.sun and "sunset" or "clock", at = v.to, heating = v.night, ventilation = v.night + v.above },
    },
  }
end

-- Drawn at night when the outside air is colder than `below`; by day kept drawn up to `day_light` W/m2 when it is
-- colder than `day_below`.
function pinery.cold_night_screen(given)
  local v = take("cold_night_screen", given, { drive = 1, below = 14, light = 5, day_light = 0, day_below = 0 })
  return on_drive(v.drive, {
    close_below_light = v.light, close_below_outside = v.below, day_light = v.day_light, day_outside = v.day_below,
  })
end

-- Drawn from one hour to another whatever the weather, from the evening of `first_day` to the morning after `last_day`.
function pinery.blackout(given)
  local v = take("blackout", given, { drive = 1, from = 18, to = 7, first_day = 1, last_day = 366 })
  return on_drive(v.drive, { dark_from = v.from, dark_until = v.to, dark_first_day = v.first_day, dark_last_day = v.last_day })
end

-- Drawn for shade above a radiation in W/m2; not drawn at night.
function pinery.shade(given)
  local v = take("shade", given, { drive = 1, above = 600, drawn = 1 })
  return on_drive(v.drive, { shade_above_light = v.above, drawn = v.drawn, close_below_light = 0 })
end

-- A slit that opens with relative humidity, from 0 at `start` to `most` at `full`; none when it is colder outside
-- than `least_outside`.
function pinery.humidity_slit(given)
  local v = take("humidity_slit", given, { drive = 1, most = 0.05, start = 85, full = 93, least_outside = -60 })
  return on_drive(v.drive, {
    slit_humidity_max = v.most, slit_humidity_start = v.start, slit_humidity_full = v.full,
    slit_least_outside = v.least_outside,
  })
end

-- A slit that opens with the temperature, from 0 at `start` K above the ventilation temperature to `most` at `full` K.
function pinery.heat_slit(given)
  local v = take("heat_slit", given, { drive = 1, most = 1, start = 1, full = 3 })
  return on_drive(v.drive, {
    slit_temperature_max = v.most, slit_temperature_start = v.start, slit_temperature_full = v.full,
  })
end

-- Opened `step` at a time, with `wait` s between two steps.
function pinery.step_opening(given)
  local v = take("step_opening", given, { drive = 1, step = 0.05, wait = 600 })
  return on_drive(v.drive, { open_step = v.step, open_wait = v.wait })
end

-- Cloths shut without a slit for humidity; fans bring the drier air above them down between two humidities.
function pinery.shut_with_fans(given)
  local v = take("shut_with_fans", given, { start = 85, full = 92, least = 0, most = 1 })
  local shut = { slit_humidity_max = 0 }
  return {
    screens = { shut, shut, shut },
    fan_humidity_start = v.start, fan_humidity_full = v.full, fan_least = v.least, fan_most = v.most,
  }
end

-- Dried by what is named, "duct", "recovery", "dehumidifier" or "desiccant", between two humidities; the cloths are shut
-- without a slit for humidity, and the vents open for heat alone.
function pinery.dry_by(given)
  local v = take("dry_by", given, { device = "dehumidifier", start = 85, full = 92, least = 0, most = 1 })
  local known = { duct = true, recovery = true, dehumidifier = true, desiccant = true }
  if not known[v.device] then
    error(string.format("%s: dry_by: device = %s; known are duct, recovery, dehumidifier, desiccant", pinery.where(),
      tostring(v.device)), 0)
  end
  local shut = { slit_humidity_max = 0 }
  return {
    screens = { shut, shut, shut }, vent_humidity_max = 0, vent_over_screen = 0,
    [v.device] = { humidity_start = v.start, humidity_full = v.full, least = v.least, most = v.most },
  }
end

-- By the price of electricity, hour by hour: the engine runs while it is dearer than `run_above` and the tank is not full, the
-- electric boiler while it is cheaper than `heat_below`. `prices` are 24 by hour of the day, or one for each hour of the year.
-- This is a control function; with others it goes together by in_turn.
function pinery.price_led(given)
  local v = take("price_led", given, { prices = {}, run_above = math.huge, heat_below = -math.huge, tank_stop = 0.95 })
  local n = #v.prices
  if n ~= 24 and n ~= 8760 and n ~= 8784 then
    error(string.format("%s: price_led: %d prices, expected 24, or 8760 or 8784 of a year", pinery.where(), n), 0)
  end
  local prices, above, below, stop = v.prices, v.run_above, v.heat_below, v.tank_stop
  return {
    control = function(seen, orders, run)
      local hour = (n == 24 and 0 or 24 * (seen.day - 1)) + seen.hour
      local price = prices[math.floor(hour + 1e-6) % n + 1]
      local fill = seen.tank_fill == seen.tank_fill and seen.tank_fill or 0 -- not a number without a tank
      local full = fill > (run.memory.price_led and 0.9 * stop or stop)
      run.memory.price_led = full
      orders.cogeneration = price > above and not full and 1 or 0
      orders.electric_boiler = price < below and 1 or 0
    end,
  }
end

-- Lamps lit between two hours of the clock, or counted from "sunrise" or "sunset", in a season of days of the year, off in
-- light that has been strong for `delay` s.
function pinery.lamp_hours(given)
  local v = take("lamp_hours", given, {
    group = 1, from = 0, to = 18, from_of = "clock", to_of = "clock", first_day = 258, last_day = 120, off_above = 200, on_below = 150, delay = 0,
  })
  local lighting = {}
  for i = 1, v.group - 1 do
    lighting[i] = {}
  end
  lighting[v.group] = {
    from = v.from, to = v.to, from_of = v.from_of, to_of = v.to_of, first_day = v.first_day, last_day = v.last_day, delay = v.delay,
    off_above_light = v.off_above, on_below_light = v.on_below,
  }
  return { lighting = lighting }
end

-- Two groups of lamps, each half of the light, off at two strengths of the sun that have lasted for `delay` s.
function pinery.lamp_halves(given)
  local v = take("lamp_halves", given, { from = 0, to = 18, first_day = 258, last_day = 120, half_off = 120, all_off = 220,
    band = 50, delay = 0, day_sum = 100 })
  local function half(off)
    return { from = v.from, to = v.to, first_day = v.first_day, last_day = v.last_day, off_above_light = off,
      on_below_light = off - v.band, delay = v.delay, day_sum = v.day_sum }
  end
  return { lighting = { half(v.all_off), half(v.half_off) } }
end

-- The crop's day is `hours` long from an hour on: the blackout is drawn for the rest, from the evening of `first_day` to the
-- morning after `last_day`, as a treatment between two dates.
function pinery.day_length(given)
  local v = take("day_length", given, { drive = 1, hours = 11.5, from = 7, first_day = 1, last_day = 366 })
  return pinery.blackout { drive = v.drive, from = (v.from + v.hours) % 24, to = v.from, first_day = v.first_day, last_day = v.last_day }
end

-- The lower pipes are kept at `least` degC, less and less up to a radiation; no circuit gets hotter than `most`.
function pinery.pipe_limits(given)
  local v = take("pipe_limits", given, { least = 45, light = 200, most = 70 })
  return { minimum_pipe = v.least, minimum_pipe_light = v.light, maximum_pipe = v.most }
end

-- The vents stand ajar on both sides over a shut cloth, which dries the air there without a slit; only while the house
-- is damper than `humidity` %, less `band` once they are.
function pinery.vents_over_cloth(given)
  local v = take("vents_over_cloth", given, { open = 0.03, humidity = 0, band = 3 })
  local shut = { slit_humidity_max = 0 }
  return {
    vent_over_screen = v.open, screens = { shut, shut, shut },
    control = v.humidity > 0 and function(seen, orders, run)
      local damp = seen.humidity_sensor > v.humidity - (run.memory.vents_over_cloth and v.band or 0)
      run.memory.vents_over_cloth = damp
      if not damp then
        orders:because "dry enough in the house"
        orders.vent_lee.low, orders.vent_wind.low = 0, 0
      end
    end or nil,
  }
end
