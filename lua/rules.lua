-- Control functions of the trade for heating and fans, as blocks: see blocks.lua, cloths.lua, lamps.lua and wind.lua. Several go together by
--   pinery.in_turn { pinery.cloth { ... }, pinery.temperature_sum(), pinery.fans_by_vapour() }
-- What they remember lies in run.memory, so that each run begins anew. Numbers: common practice, no source.
local pinery, inner = ...
local take, any_drawn = inner.take, inner.any_drawn

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

-- Warmer after light: from sunset to the next one heating and ventilation temperature are moved by `per` K for each mol/m2 that
-- the crop had that day above or below `mean`, at most `band` K, so that the mean of a day follows its light.
function pinery.warmer_after_light(given)
  local v = take("warmer_after_light", given, { per = 0.15, mean = 12, band = 2 })
  return {
    control = function(seen, orders, run)
      local m = run.memory.warmer_after_light
      if not m then
        m = { shift = 0, day = seen.hour >= seen.sunset and seen.day or 0 } -- of a day that was not seen nothing is known
        run.memory.warmer_after_light = m
      end
      if seen.hour >= seen.sunset and m.day ~= seen.day then
        m.day, m.shift = seen.day, math.max(-v.band, math.min(v.band, v.per * (seen.light_today - v.mean)))
      end
      if m.shift ~= 0 then
        orders:because "light of the day"
        orders.heating, orders.ventilation = orders.heating + m.shift, orders.ventilation + m.shift
        for _, vent in ipairs { orders.vent_lee, orders.vent_wind } do
          vent.temperature_full = vent.temperature_full + m.shift
          vent.temperature_start = vent.temperature_start + m.shift
        end
      end
    end,
  }
end

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
      local more = seen.absolute_humidity - seen.absolute_humidity_roof
      local share = math.max(0, math.min(1, (more - v.start) / (v.full - v.start)))
      orders:because "more vapour in the house than over the cloth"
      orders.fan_through = damp and any_drawn(orders) and v.most * share or 0
    end,
  }
end

-- While no crop stands in the house, in the empty weeks of its calendar: heated to `heating` only, without a minimum pipe,
-- dosing and lamps.
function pinery.empty_house(given)
  local v = take("empty_house", given, { heating = 5, ventilation = 25 })
  return {
    control = function(seen, orders)
      if seen.leaf_area < 0.005 then
        orders:because "no crop in the house"
        orders.heating, orders.ventilation, orders.pipe_least, orders.carbon_target = v.heating, v.ventilation, 0, 0
        for g = 1, #orders.lamp do
          orders.lamp[g] = 0
        end
      end
    end,
  }
end

-- The vents wait `by` K longer while carbon dioxide is dosed, in more than `light` W/m2, so that less of it is let out;
-- until the house is `most` K warmer than its ventilation temperature.
function pinery.vents_keep_carbon(given)
  local v = take("vents_keep_carbon", given, { by = 2, light = 50, light_band = 20, most = 4 })
  return {
    control = function(seen, orders, run)
      local m = run.memory
      m.keep_carbon = orders.carbon_target > 0 and seen.outside_global > v.light - (m.keep_carbon and v.light_band or 0)
        and seen.air_seen < orders.ventilation + v.most - (m.keep_carbon and 0 or 1)
      if m.keep_carbon then
        orders:because "carbon dioxide is dosed"
        for _, vent in ipairs { orders.vent_lee, orders.vent_wind } do
          vent.temperature_full = vent.temperature_full + v.by
          vent.temperature_start = vent.temperature_start + v.by
        end
      end
    end,
  }
end
