-- Made-up events for blocks that are control functions: `local s = scene(block, start)`, `s.step { air_seen = 20 }`.
-- A house of which nothing is computed: the cloths are where they were ordered five minutes before.
local function scene(block, start)
  local seen = { time_s = 0, day = 1, hour = 0, sunrise = 8, sunset = 16, air_seen = 18, air_roof = 10, outside = 0, outside_global = 0,
    outside_infrared = 300, outside_snow = 0, humidity_sensor = 80, humidity_roof = 80, absolute_humidity = 12, cloth_1 = 0, cloth_2 = 0,
    slit_1 = 0, slit_2 = 0, outside_wind = 3, humidity_deficit = 3, leaf_area = 3, absolute_humidity_roof = 6 }
  for key, value in pairs(start or {}) do
    seen[key] = value
  end
  local run, told, moves, last = { memory = {} }, nil, { 0, 0 }, {}
  local table_asks = { 1, 1 }
  local self = { seen = seen, moves = moves, table = table_asks, lamps = { 1, 1, 0 } }
  function self.step(change)
    for key, value in pairs(change or {}) do
      seen[key] = value
    end
    local orders = { cloth = { table_asks[1], table_asks[2] }, slit = { { high = 1 }, { high = 1 } }, lamp = { table.unpack(self.lamps) },
      heating = 18, ventilation = 22, pipe_least = 40, carbon_target = 800, vent_lee = { low = 0.03, high = 1, temperature_start = 22, temperature_full = 28 },
      vent_wind = { low = 0.03, high = 1, temperature_start = 24, temperature_full = 30 }, fan_through = { low = 0.5 },
      because = function(_, text) self.why = text end }
    block.control(seen, orders, run)
    for i = 1, 2 do
      moves[i] = moves[i] + ((last[i] or 0) ~= orders.cloth[i] and 1 or 0)
      last[i] = orders.cloth[i]
      seen["cloth_" .. i] = orders.cloth[i]
    end
    seen.time_s = seen.time_s + 300
    seen.hour = seen.time_s % 86400 / 3600
    seen.day = 1 + seen.time_s // 86400
    self.orders = orders
    return orders
  end
  -- For so many hours, with the change if it is a function of the hours that have passed.
  function self.hours(n, change)
    local orders
    for i = 0, math.floor(n * 12 + 0.5) - 1 do
      orders = self.step(type(change) == "function" and change(i / 12) or change)
    end
    return orders
  end
  return self
end

return scene
