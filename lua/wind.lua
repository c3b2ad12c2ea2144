-- Control functions for wind and storm, as blocks: see rules.lua. What vents, cloths and panes of a house stand is for its
-- builder to say; these numbers are common practice, no source.
local pinery, inner = ...
local take = inner.take

local function rising(block, name, list, other)
  if type(list) ~= "table" or #list == 0 or other and #list ~= #other then
    error(string.format("%s: %s: %s is a list of one or more, as long as the others", pinery.where(), block, name), 0)
  end
end

-- The vents are held in as the wind grows: over wind[i] m/s of the station the lee side opens no wider than lee[i], the wind
-- side no wider than windward[i]. A band is entered at once, and left when the wind has been `band` m/s below it for `hold`
-- s. The strategy's own `vent_storm` stands besides.
function pinery.wind_bands(given)
  local v = take("wind_bands", given, { wind = { 8, 12, 15, 18 }, lee = { 1, 0.5, 0.1, 0 }, windward = { 0.3, 0.1, 0, 0 }, band = 1,
    hold = 900 })
  rising("wind_bands", "wind", v.wind)
  rising("wind_bands", "lee", v.lee, v.wind)
  rising("wind_bands", "windward", v.windward, v.wind)
  for i = 2, #v.wind do
    if not (v.wind[i] > v.wind[i - 1]) then
      error(string.format("%s: wind_bands: wind[%d] = %s m/s is not above the one before it", pinery.where(), i, tostring(v.wind[i])), 0)
    end
  end
  local function hold_in(vent, most)
    if type(vent) == "table" then
      vent.high = math.min(vent.high, most)
      vent.low = math.min(vent.low, vent.high)
    end
  end
  return {
    control = function(seen, orders, run)
      local m = run.memory.wind_bands
      if not m then
        m = { at = 0, strong_s = seen.time_s }
        run.memory.wind_bands = m
      end
      local now, still = 0, 0 -- the band of this wind, and the highest that this wind does not yet let go
      for i = 1, #v.wind do
        now = seen.outside_wind > v.wind[i] and i or now
        still = seen.outside_wind > v.wind[i] - v.band and i or still
      end
      if now > m.at then
        m.at = now
      end
      if still >= m.at then
        m.strong_s = seen.time_s
      elseif seen.time_s - m.strong_s >= v.hold then
        m.at, m.strong_s = still, seen.time_s
      end
      if m.at > 0 then
        orders:because "wind"
        hold_in(orders.vent_lee, v.lee[m.at])
        hold_in(orders.vent_wind, v.windward[m.at])
      end
    end,
  }
end

-- The band of temperature over which the vents open, wider in cold and wind so that they move less: `mild` K at or over
-- `outside[2]` degC and calm, `cold` K at or under `outside[1]` degC or in `wind` m/s, straight between; the wider counts. In
-- steps of `step` K.
function pinery.vents_by_cold_and_wind(given)
  local v = take("vents_by_cold_and_wind", given, { mild = 5, cold = 18, outside = { 0, 15 }, wind = { 3, 10 }, step = 1 })
  local function share(value, from, to)
    return math.max(0, math.min(1, (value - from) / (to - from)))
  end
  return {
    control = function(seen, orders, run)
      local cold, windy = share(seen.outside, v.outside[2], v.outside[1]), share(seen.outside_wind, v.wind[1], v.wind[2])
      local wanted = v.mild + (v.cold - v.mild) * math.max(cold, windy)
      local held = run.memory.vents_by_cold_and_wind
      if not held or math.abs(wanted - held) >= v.step or wanted ~= held and (wanted == v.mild or wanted == v.cold) then
        held = wanted
        run.memory.vents_by_cold_and_wind = held
      end
      orders:because "cold or wind outside"
      for _, vent in ipairs { orders.vent_lee, orders.vent_wind } do
        vent.temperature_full = vent.temperature_start + held
      end
    end,
  }
end

-- Asks for the cloth early in a storm: while the wind is over `above` m/s, up to `light` W/m2 of sun, when it is colder outside
-- than `below`. It goes on until the wind has been `band` m/s below for `hold` s. Whether cloths are to be shut or parked in a
-- storm is for the builder of the house to say.
function pinery.ask_storm(given)
  local v = take("ask_storm", given, { above = 14, band = 3, light = 100, light_band = 50, below = 12, hold = 1800 })
  return {
    why = "storm",
    asks = function(seen, was, run)
      local m = run.memory
      if seen.outside_wind > v.above - (was and v.band or 0) then
        m.ask_storm_s = seen.time_s
      end
      local blows = seen.outside_wind > v.above or was and m.ask_storm_s and seen.time_s - m.ask_storm_s < v.hold
      return (blows and seen.outside_global < v.light + (was and v.light_band or 0)
        and seen.outside < v.below + (was and 0.5 or 0)) or false
    end,
  }
end
