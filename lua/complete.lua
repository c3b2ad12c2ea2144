-- Complete strategies, put together from the blocks, for a first run and to derive from:
--   pinery.complete("shut with fans", { day = 19, night = 17 })
--   pinery.complete("one cloth, slits"):with { minimum_pipe = 0 }
-- What may be given: `crop`, whose usual temperatures, dampness and hours of lamps are taken (pinery.crop_climate), `day` and `night` in degC, `damp` in % of relative humidity from which it dries, `lamps_from` and
-- `lamps_to` in h of the clock, `powers` of the lamp groups in W/m2, `most_power` in W/m2 and `prices` by hour, for those
-- that look at them. Drives count from the lowest; a strategy for two needs a house with two.
local pinery, inner = ...
local take = inner.take

local night_tariff = {} -- EUR/kWh, made up: cheap at night and at noon, dear in the evening
for h = 0, 23 do
  night_tariff[h + 1] = h < 6 and 0.06 or h < 10 and 0.11 or h < 15 and 0.07 or h < 21 and 0.15 or 0.09
end

-- Usual temperatures by day and night in degC, humidity in % from which it is dried, hours of lamps. (common practice, no
-- source; where growers give a range, its middle)
local climates = {
  tomato = { day = 20, night = 17, damp = 88 },
  ["lit tomato"] = { day = 21, night = 17, damp = 88, lamps_from = 0, lamps_to = 17 },
  cucumber = { day = 22, night = 19, damp = 90 },
  ["cucumber, three plantings"] = { day = 22, night = 19, damp = 90 },
  ["sweet pepper"] = { day = 21, night = 18.5, damp = 88 },
  ["cut rose"] = { day = 19, night = 17.5, damp = 85, lamps_from = 0, lamps_to = 18 },
  gerbera = { day = 17.5, night = 14.5, damp = 88, lamps_from = 6, lamps_to = 18 },
  chrysanthemum = { day = 19, night = 18.5, damp = 88, lamps_from = 7, lamps_to = 18.5 },
  alstroemeria = { day = 14.5, night = 11.5, damp = 88, lamps_from = 2, lamps_to = 18 },
  ["pot plants"] = { day = 19.5, night = 19.5, damp = 85, lamps_from = 2, lamps_to = 18 },
}

local start = { crop = false, day = 19, night = 17, damp = 85, lamps_from = 2, lamps_to = 18, powers = { 60, 40 }, most_power = 100, prices = night_tariff }

local practice = "common practice, no source"

-- By day the vents wait for the sun; in darkness the air is let out 3 K above the heating temperature.
local function climate(v)
  return pinery.day_night { sun = true, day = v.day, night = v.night, above = 3 }
end

-- Vents for humidity without a cloth in the way, a few per cent only.
local function damp_vents(v, most)
  return { vent_humidity_max = most, vent_humidity_start = v.damp, vent_humidity_full = math.min(100, v.damp + 8) }
end

local function slit(v, drive, most)
  return pinery.humidity_slit { drive = drive, most = most, start = v.damp, full = math.min(100, v.damp + 8), least_outside = 0 }
end

local function ajar(v)
  return pinery.vents_over_cloth { open = 0.03, humidity = v.damp - 5 }
end

local function fans(v)
  return pinery.shut_with_fans { start = v.damp, full = math.min(100, v.damp + 7) }
end

-- An opening in steps, the colder air over the cloth first within reach.
local function gently(drive, ask, after)
  return pinery.cloth { drive = drive, ask = ask, after = after, chink = 0.03, chink_wait = 900, step = 0.2, step_wait = 300,
    within = 5, sun = 50, hold = 1800 }
end

local warm_slit = { most = 0.3, start = 0.5, full = 2 } -- lamps under a shut cloth need a way out for their heat

local function lamps(v)
  return pinery.lamp_halves { from = v.lamps_from, to = v.lamps_to, half_off = 120, all_off = 220 }
end

local list = {
  { "unscreened classic", "no cloth; a minimum pipe of 45 degC and vents against damp air", practice, function(v)
    return { pinery.pipe_limits { least = 45, light = 150 }, damp_vents(v, 0.05), screens = { { use = false }, { use = false }, { use = false } } }
  end },
  { "unscreened, no minimum pipe", "no cloth; heated for temperature alone, vents against damp air", practice, function(v)
    return { damp_vents(v, 0.05), screens = { { use = false }, { use = false }, { use = false } } }
  end },
  { "one cloth by the sun", "drawn from sunset to sunrise whatever the weather, a slit against damp air", practice, function(v)
    return { damp_vents(v, 0.05), slit(v, 1, 0.05), pinery.in_turn { gently(1, { pinery.ask_hours { sun = true, from = 0, to = 0.5 } }) } }
  end },
  { "one cloth, slits", "drawn on nights colder than 14 degC, a slit against damp air, a minimum pipe of 35 degC", practice, function(v)
    return { pinery.cold_night_screen { below = 14, light = 50 }, pinery.step_opening { step = 0.1, wait = 600 }, slit(v, 1, 0.05),
      pinery.pipe_limits { least = 35, light = 100 }, damp_vents(v, 0.03) }
  end },
  { "one cloth, vents over it", "the same without a slit and without a minimum pipe: the vents stand ajar over the shut cloth while it is damp", practice, function(v)
    return { pinery.cold_night_screen { below = 14, light = 50 }, pinery.step_opening { step = 0.1, wait = 600 }, damp_vents(v, 0.03),
      ajar(v) }
  end },
  { "one cloth by its worth", "drawn, by day too, while the heat it saves is worth more than the light it takes, and under a clear sky",
    "break-even of heat and light, prices to be given; " .. practice, function(v)
    return { damp_vents(v, 0.03), pinery.in_turn { ajar(v),
      gently(1, { pinery.ask_saving(), pinery.ask_clear_sky(), pinery.ask_cold_night { below = 14 } }) } }
  end },
  { "two cloths on one drive", "an energy cloth on nights colder than 14 degC and a shade above 600 W/m2 share a drive; a slit against damp air", practice,
    function(v)
    return { pinery.cold_night_screen { below = 14, light = 5 }, pinery.shade { above = 600 }, { screens = { { close_below_light = 5, night_cloth = 1, day_cloth = 2 } } },
      slit(v, 1, 0.05), pinery.step_opening { step = 0.2, wait = 300 }, damp_vents(v, 0.03) }
  end },
  { "two cloths", "the lower on nights colder than 14 degC, the upper colder than 7 degC and opened first, a small slit in both", practice, function(v)
    return { damp_vents(v, 0.03), slit(v, 1, 0.03), slit(v, 2, 0.03),
      pinery.in_turn { gently(1, { pinery.ask_cold_night { below = 14 } }), gently(2, { pinery.ask_cold_night { below = 7 } }, 1) } }
  end },
  { "two cloths, long days", "the lower kept drawn by day by radiation and outside temperature, the upper colder than 7 degC at night; no slit", practice, function(v)
    return { damp_vents(v, 0.03), pinery.in_turn { ajar(v),
      gently(1, { pinery.ask_table(), pinery.ask_cold_night { below = 14 } }), gently(2, { pinery.ask_cold_night { below = 7 } }, 1) } }
  end },
  { "one cloth, left on dark days", "drawn on nights colder than 14 degC, and all day when it is to be dark and is cold; no slit, vents over it", practice, function(v)
    return { damp_vents(v, 0.03), pinery.in_turn { ajar(v), gently(1, { pinery.ask_cold_night { below = 14 }, pinery.ask_dark_day { sum = 6 } }) } }
  end },
  { "shut with fans", "one cloth shut by table and clear sky, no slit, no minimum pipe; through-cloth fans by humidity", practice, function(v)
    return { damp_vents(v, 0.03), { circulation_shut = 1 }, pinery.in_turn { fans(v), ajar(v),
      gently(1, { pinery.ask_table(), pinery.ask_clear_sky(), pinery.ask_cold_night { below = 14 } }) } }
  end },
  { "two shut with fans, metallised at night", "a day cloth by table below a metallised night cloth, no slits; fans by the vapour over them, no more than is needed", practice,
    function(v)
    return { damp_vents(v, 0.03), { circulation_shut = 1 }, pinery.in_turn { ajar(v),
      gently(1, { pinery.ask_table(), pinery.ask_cold_night { below = 14 } }),
      gently(2, { pinery.ask_cold_night { below = 12 }, pinery.ask_clear_sky() }, 1), pinery.fans_by_vapour { humidity = v.damp, start = 1, full = 3 } } }
  end },
  { "two shut, means of days", "two cloths shut, fans, and the temperature held as a mean of two days within 3 K", practice, function(v)
    return { damp_vents(v, 0.03), { circulation_shut = 1 }, pinery.in_turn { fans(v), ajar(v),
      gently(1, { pinery.ask_table(), pinery.ask_cold_night { below = 14 } }), gently(2, { pinery.ask_cold_night { below = 7 } }, 1),
      pinery.temperature_sum { band = 3, days = 2 } } }
  end },
  { "lit under blackout", "lamps in two halves, a blackout while it is dark and they burn, a slit against their heat, within a limit of power",
    practice .. "; hours of the blackout: check local rules", function(v)
    return { lamps(v), pinery.blackout { from = 18, to = 7 }, pinery.heat_slit(warm_slit), damp_vents(v, 0.05),
      { lighting = { { off_above_air = v.day + 6 }, { off_above_air = v.day + 5 } } },
      pinery.in_turn { pinery.lamp_power_limit { powers = v.powers, most = v.most_power } } }
  end },
  { "short days, lit", "a day of 11.5 hours by blackout, lamps in two halves in it, slits against heat after dark", practice, function(v)
    return { pinery.lamp_halves { from = math.max(v.lamps_from, 7), to = math.min(v.lamps_to, 18.5), half_off = 120, all_off = 220 },
      pinery.day_length { hours = 11.5, from = 7 }, pinery.heat_slit(warm_slit), damp_vents(v, 0.05), slit(v, 1, 0.05) }
  end },
  { "lit when it is cheap", "lamps in the cheapest twelve hours of a day, no light out of the house in the dark hours, a slit against their heat",
    "prices made up, to be given; " .. practice .. "; dark hours: check local rules", function(v)
    return { lamps(v), pinery.cold_night_screen { below = 14, light = 5 }, pinery.heat_slit(warm_slit), damp_vents(v, 0.05),
      { lighting = { { off_above_air = v.day + 6 }, { off_above_air = v.day + 5 } } },
      pinery.in_turn { pinery.lamps_by_price { prices = v.prices, hours = 12, spell = 2 }, pinery.light_emission() } }
  end },
  { "dried by outside air", "one cloth shut by table, no slit; outside air by duct, warmed, as the crop needs", practice, function(v)
    return { pinery.dry_by { device = "duct", start = v.damp, full = math.min(100, v.damp + 7) },
      pinery.in_turn { gently(1, { pinery.ask_table(), pinery.ask_cold_night { below = 14 } }) } }
  end },
  { "dried by a machine", "two cloths shut, no slit; a dehumidifier that gives the heat back, as the crop needs", practice, function(v)
    return { pinery.dry_by { device = "dehumidifier", start = v.damp, full = math.min(100, v.damp + 7) },
      pinery.in_turn { gently(1, { pinery.ask_table(), pinery.ask_cold_night { below = 14 } }), gently(2, { pinery.ask_cold_night { below = 7 } }, 1) } }
  end },
}

-- What growers of a crop begin from: a copy of { day =, night =, damp =, lamps_from =, lamps_to = }.
function pinery.crop_climate(crop)
  local copy, names = {}, {}
  for name in pairs(climates) do
    names[#names + 1] = name
  end
  table.sort(names)
  if not climates[crop] then
    error(string.format("%s: crop_climate: no crop is called %s; known are %s", pinery.where(), tostring(crop), table.concat(names, ", ")), 0)
  end
  for key, value in pairs(climates[crop]) do
    copy[key] = value
  end
  return copy
end

-- The complete strategies: a list of { name =, doc =, source = }.
function pinery.complete_list()
  local rows = {}
  for i, entry in ipairs(list) do
    rows[i] = { name = entry[1], doc = entry[2], source = entry[3] }
  end
  return rows
end

-- The complete strategy of that name.
function pinery.complete(name, given)
  local v, names = take("complete", given, start), {}
  for key, value in pairs(v.crop and pinery.crop_climate(v.crop) or {}) do
    v[key] = given[key] == nil and value or given[key]
  end
  for i, entry in ipairs(list) do
    names[i] = entry[1]
    if entry[1] == name then
      local parts = entry[4](v)
      table.insert(parts, 1, climate(v))
      parts.name = name
      return pinery.strategy(parts)
    end
  end
  error(string.format("%s: no complete strategy is called %s; known are %s", pinery.where(), tostring(name), table.concat(names, ", ")), 0)
end
