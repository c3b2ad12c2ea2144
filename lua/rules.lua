-- Control functions of the trade for heating, lamps and fans, as blocks: see blocks.lua and cloths.lua. Several go together by
--   pinery.in_turn { pinery.cloth { ... }, pinery.temperature_sum(), pinery.fans_by_vapour() }
-- What they remember lies in run.memory, so that each run begins anew. Numbers: common practice, no source.
local pinery, inner = ...
local take, within, any_drawn = inner.take, inner.within, inner.any_drawn

-- The mean of days is held rather than the hour: kelvin-hours above or below the heating temperature are banked, and
-- that temperature is moved by them against `days`, at most `band` K down or up. The vents wait `vent_later` K longer,
-- so that the sun fills the bank; `under_cloth` K more is asked while a cloth is drawn, when heat is cheap.
function pinery.temperature_sum(given)
  local v = take("temperature_sum", given, { band = 3, days = 2, vent_later = 2, under_cloth = 0 })
  if not (v.days > 0 and v.band >= 0) then
    error(string.format("%s: temperature_sum: days = %s must be above 0, band = %s not below", pinery.where(), tostring(v.days),
      tostring(v.band)), 0)
  end
  return {
    control = function(seen, orders, run)
      local m = run.memory.temperature_sum
      if not m then
        m = { bank = 0, time_s = seen.time_s }
        run.memory.temperature_sum = m
      end
      local hours, most = (seen.time_s - m.time_s) / 3600, 24 * v.days * v.band
      m.bank = math.max(-most, math.min(most, m.bank + hours * (seen.air_seen - orders.heating)))
      m.time_s = seen.time_s
      local shift = -m.bank / (24 * v.days) + (any_drawn(orders) and v.under_cloth or 0)
      orders:because "temperature over days"
      orders.heating = orders.heating + math.max(-v.band, math.min(v.band, shift))
      for _, vent in ipairs { orders.vent_lee, orders.vent_wind } do
        vent.temperature_full = vent.temperature_full + v.vent_later
        vent.temperature_start = vent.temperature_start + v.vent_later
      end
    end,
  }
end

-- Vapour in g/m3 at degC and per cent of relative humidity. Over water, Buck 1981, J. Appl. Meteorol. 20, 1527, from memory.
local function vapour(temperature, humidity)
  local pressure = humidity / 100 * 611.21 * math.exp(17.502 * temperature / (240.97 + temperature))
  return 1000 * pressure / (461.5 * (temperature + 273.15))
end
inner.vapour = vapour

-- Through-cloth fans by how much more vapour, in g/m3, is in the house than over the cloth: none at `start`, `most` at
-- `full`; only from `humidity` % on, and under a drawn cloth. The cloths have no slit for humidity.
function pinery.fans_by_vapour(given)
  local v = take("fans_by_vapour", given, { start = 1, full = 3, humidity = 82, band = 2, most = 1 })
  local shut = { slit_humidity_max = 0 }
  return {
    screens = { shut, shut, shut }, fan_least = 0, fan_most = v.most,
    control = function(seen, orders, run)
      local was = run.memory.fans_by_vapour
      local damp = seen.humidity_sensor > v.humidity - (was and v.band or 0)
      run.memory.fans_by_vapour = damp
      local more = seen.absolute_humidity - vapour(seen.air_roof, seen.humidity_roof)
      local share = math.max(0, math.min(1, (more - v.start) / (v.full - v.start)))
      orders:because "more vapour in the house than over the cloth"
      orders.fan_through = damp and any_drawn(orders) and v.most * share or 0
    end,
  }
end

local function series(block, prices)
  local n = type(prices) == "table" and #prices or 0
  if n ~= 24 and n ~= 8760 and n ~= 8784 then
    error(string.format("%s: %s: %d prices, expected 24, or 8760 or 8784 of a year", pinery.where(), block, n), 0)
  end
  return n
end

-- The cheapest hours of a day within a window, in spells of `spell` h that do not part: a set of hours, 0 .. 23.
local function cheapest(price, from, to, hours, spell)
  local spells, length = {}, (to - from) % 24
  length = length == 0 and 24 or length
  for start = 0, length - spell, spell do
    local sum = 0
    for i = start, start + spell - 1 do
      sum = sum + price((from + i) % 24)
    end
    spells[#spells + 1] = { start = start, sum = sum }
  end
  table.sort(spells, function(a, b)
    if a.sum ~= b.sum then
      return a.sum < b.sum
    end
    return a.start < b.start
  end)
  local set = {}
  for k = 1, math.min(#spells, hours // spell) do
    for i = spells[k].start, spells[k].start + spell - 1 do
      set[(from + i) % 24] = true
    end
  end
  return set
end

-- Of the hours in which the strategy lights them, the lamps are lit in the `hours` cheapest of the calendar day between
-- `from` and `to`, in spells of whole hours. `prices`: 24 by hour of the day, or one for each hour of the year from
-- 1 January 00:00 standard time.
function pinery.lamps_by_price(given)
  local v = take("lamps_by_price", given, { prices = {}, hours = 12, spell = 2, from = 0, to = 24 })
  local n = series("lamps_by_price", v.prices)
  for _, key in ipairs { "hours", "spell", "from", "to" } do
    if math.type(v[key]) ~= "integer" or v[key] < 0 or v[key] > 24 or key == "spell" and v[key] < 1 then
      error(string.format("%s: lamps_by_price: %s = %s is not a whole number of hours", pinery.where(), key, tostring(v[key])), 0)
    end
  end
  return {
    control = function(seen, orders, run)
      local m = run.memory.lamps_by_price
      if not m or m.day ~= seen.day then
        local day = n == 24 and 0 or 24 * math.floor(seen.day - 1)
        m = { day = seen.day, set = cheapest(function(h) return v.prices[(day + h) % n + 1] end, v.from % 24, v.to % 24, v.hours,
          v.spell) }
        run.memory.lamps_by_price = m
      end
      if not m.set[math.floor(seen.hour + 1e-6) % 24] then
        orders:because "dear hours"
        for g = 1, #orders.lamp do
          orders.lamp[g] = 0
        end
      end
    end,
  }
end

-- No more than `most` W/m2 of lamps, `powers` being those of the groups: the last group is put out first. `most` may be a
-- list of 24 by hour of the day.
function pinery.lamp_power_limit(given)
  local v = take("lamp_power_limit", given, { powers = {}, most = 100 })
  if type(v.powers) ~= "table" or #v.powers == 0 or type(v.most) == "table" and #v.most ~= 24 then
    error(string.format("%s: lamp_power_limit: powers is a list of W/m2 by group, most a number or a list of 24", pinery.where()), 0)
  end
  return {
    control = function(seen, orders)
      local left = type(v.most) == "table" and v.most[math.floor(seen.hour + 1e-6) % 24 + 1] or v.most
      for g, power in ipairs(v.powers) do
        local asked = orders.lamp[g] * power
        if asked > left + 1e-9 then
          orders:because "limit of power"
          orders.lamp[g], asked = 0, 0
        end
        left = left - asked
      end
    end,
  }
end

-- Light that leaves the house: in the hours of `dark` lamps are lit only under a cloth that is drawn to `share`, slit
-- counted; it is drawn `lead` h before. Each row is { first_day =, last_day =, from =, to = } in hours of the clock, or
-- `from` in hours after sunset as { "sunset", 0.5 }. The rows it starts from are read from one country's rule, unverified:
-- check your local rules and give your own.
function pinery.light_emission(given)
  local v = take("light_emission", given, {
    drive = 1, share = 0.98, lead = 0.25,
    dark = {
      { first_day = 305, last_day = 90, from = 18, to = 24 },
      { first_day = 91, last_day = 120, from = { "sunset", 0.5 }, to = 2 },
      { first_day = 244, last_day = 304, from = { "sunset", 0.5 }, to = 2 },
    },
  })
  local function dark(seen, hour)
    for _, row in ipairs(v.dark) do
      local from = type(row.from) == "table" and seen.sunset + row.from[2] or row.from
      local first, last = row.first_day, row.last_day
      local season = first <= last and seen.day >= first and seen.day <= last or first > last and (seen.day >= first or seen.day <= last)
      if season and within(hour % 24, from, row.to) then
        return true
      end
    end
    return false
  end
  return {
    control = function(seen, orders, run)
      local m, lit, d = run.memory, false, v.drive
      for g = 1, #orders.lamp do
        lit = lit or orders.lamp[g] > 0
      end
      if seen.outside_snow > 0 then
        m.emission_snow_s = seen.time_s
      end
      local snow = m.emission_snow_s and seen.time_s - m.emission_snow_s < 1800
      if lit and not snow and (dark(seen, seen.hour) or dark(seen, seen.hour + v.lead)) then
        orders:because "light must not leave the house"
        orders.cloth[d] = math.max(orders.cloth[d], v.share)
        orders.slit[d].high = math.max(0, 1 - v.share / orders.cloth[d])
      end
      local covered = seen["cloth_" .. d] * (1 - seen["slit_" .. d])
      if dark(seen, seen.hour) and covered < v.share - 0.01 then
        orders:because "light would leave the house"
        for g = 1, #orders.lamp do
          orders.lamp[g] = 0
        end
      end
    end,
  }
end
