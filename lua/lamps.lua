-- Control functions for lamps, as blocks: see rules.lua. In turn, each looks at what the one before it ordered.
local pinery, inner = ...
local take, within = inner.take, inner.within

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

-- No more than `most` W/m2 of lamps, `powers` being those of the groups: the last group is put out first, or with `dim` as
-- far as it must. `most` may be a list of 24 by hour of the day.
function pinery.lamp_power_limit(given)
  local v = take("lamp_power_limit", given, { powers = {}, most = 100, dim = false })
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
          orders.lamp[g] = v.dim and left / power or 0
          asked = orders.lamp[g] * power
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

-- Lit from `hours` before sunrise to `after` hours after it, whatever the rules before say, so that the leaves are warm
-- when the house is, from `first_day` to `last_day`; for that morning no more once there are `light` W/m2 of sun or `air` degC.
function pinery.lamps_before_sunrise(given)
  local v = take("lamps_before_sunrise", given, { hours = 1, after = 0.5, light = 100, first_day = 258, last_day = 120, air = 24,
    output = 1 })
  return {
    control = function(seen, orders, run)
      local season = v.first_day <= v.last_day and seen.day >= v.first_day and seen.day <= v.last_day
        or v.first_day > v.last_day and (seen.day >= v.first_day or seen.day <= v.last_day)
      local m = run.memory
      if not (season and within(seen.hour, seen.sunrise - v.hours, seen.sunrise + v.after)) then
        m.sunrise_lamps_off = nil
        return
      end
      m.sunrise_lamps_off = m.sunrise_lamps_off or seen.outside_global > v.light or seen.air_seen > v.air -- for that morning
      if not m.sunrise_lamps_off then
        orders:because "sunrise is near"
        for g = 1, #orders.lamp do
          orders.lamp[g] = math.max(orders.lamp[g], v.output)
        end
      end
    end,
  }
end

-- Lamps that can be dimmed: full up to `light` W/m2 of sun and down to `least` at `light_full`, full up to `air` degC and
-- down to `least` at `air_full`, the lower of the two; in steps, and no sooner than `wait` s after the last.
function pinery.lamps_dimmed(given)
  local v = take("lamps_dimmed", given, { light = 100, light_full = 250, air = 23, air_full = 26, least = 0, step = 0.1, wait = 600 })
  if not (v.light < v.light_full and v.air < v.air_full and v.step > 0) then
    error(string.format("%s: lamps_dimmed: light and air must be below light_full and air_full, step above 0", pinery.where()), 0)
  end
  local function left(value, start, full)
    return 1 - (1 - v.least) * math.max(0, math.min(1, (value - start) / (full - start)))
  end
  return {
    control = function(seen, orders, run)
      local m = run.memory.lamps_dimmed
      if not m then
        m = { level = 1, moved_s = -math.huge }
        run.memory.lamps_dimmed = m
      end
      local wanted = math.min(left(seen.outside_global, v.light, v.light_full), left(seen.air_seen, v.air, v.air_full))
      local ends = wanted ~= m.level and (wanted == 1 or wanted == v.least)
      if (math.abs(wanted - m.level) >= v.step or ends) and seen.time_s - m.moved_s >= v.wait then
        m.level, m.moved_s = ends and wanted or math.max(v.least, math.floor(wanted / v.step + 0.5) * v.step), seen.time_s
      end
      if m.level < 1 then
        orders:because "dimmed by sun or heat"
        for g = 1, #orders.lamp do
          orders.lamp[g] = orders.lamp[g] * m.level
        end
      end
    end,
  }
end
