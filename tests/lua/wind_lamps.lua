-- Blocks for wind and lamps on made-up events: what they order, and that they do not chatter.
local pinery = require "pinery"
local scene = dofile "../scene.lua"

local function near(got, want, tolerance, what)
  assert(math.abs(got - want) <= tolerance, string.format("%s: %.9g is not %.9g", what or "it", got, want))
end

-- How often what `of` reads from the orders changes over so many hours.
local function changes(s, hours, change, of)
  local n, last = 0, nil
  for i = 0, math.floor(hours * 12 + 0.5) - 1 do
    local now = of(s.step(change(i / 12)))
    n = n + (last ~= nil and last ~= now and 1 or 0)
    last = now
  end
  return n
end

-- Bands of wind: entered at once, the highest that holds; left a band and a quarter of an hour later.
local function vents()
  local s = scene(pinery.wind_bands { wind = { 8, 12, 16 }, lee = { 0.6, 0.3, 0 }, windward = { 0.2, 0, 0 }, band = 1, hold = 900 })
  return s
end
local s = vents()
local function high(change)
  local orders = s.step(change)
  return orders.vent_lee.high, orders.vent_wind.high
end
local lee, wind = high { outside_wind = 7.9 }
assert(lee == 1 and wind == 1)
lee, wind = high { outside_wind = 8.1 }
assert(lee == 0.6 and wind == 0.2 and s.why == "wind")
lee, wind = high { outside_wind = 17 }
assert(lee == 0 and wind == 0 and s.orders.vent_lee.low == 0, "shut in a storm, though ajar before")
for _ = 1, 2 do
  lee = high { outside_wind = 14.9 }
  assert(lee == 0, "still within the quarter of an hour")
end
lee, wind = high { outside_wind = 14.9 }
assert(lee == 0.3 and wind == 0)
lee = high { outside_wind = 11.1 }
assert(lee == 0.3, "within the band")
for _ = 1, 4 do
  lee = high { outside_wind = 3 }
end
assert(lee == 1 and s.orders.vent_lee.low == 0.03)
-- Gusts about a band's edge by less than the band: in once. Between two bands every ten minutes: in at once and never out.
s = vents()
assert(changes(s, 6, function(t) return { outside_wind = 8 + 0.9 * math.sin(40 * t) } end, function(o) return o.vent_lee.high end) == 1)
assert(changes(s, 6, function(t) return { outside_wind = t * 6 // 1 % 2 == 0 and 13 or 5 } end, function(o) return o.vent_lee.high end) == 0)
assert(s.orders.vent_lee.high == 0.3)

-- The vents' own band: 5 K when it is mild and calm, 18 K in frost or strong wind, half way at half way.
s = scene(pinery.vents_by_cold_and_wind { mild = 5, cold = 18, outside = { 0, 15 }, wind = { 3, 10 }, step = 1 })
local function width(change)
  local orders = s.step(change)
  near(orders.vent_wind.temperature_full - orders.vent_wind.temperature_start, orders.vent_lee.temperature_full - orders.vent_lee.temperature_start, 1e-9)
  return orders.vent_lee.temperature_full - orders.vent_lee.temperature_start
end
near(width { outside = 16, outside_wind = 2 }, 5, 1e-9)
near(width { outside = 7.5 }, 11.5, 1e-9)
near(width { outside = 7.9 }, 11.5, 1e-9, "less than a step")
near(width { outside = 16, outside_wind = 10 }, 18, 1e-9)
near(width { outside = -5, outside_wind = 2 }, 18, 1e-9)
assert(changes(s, 6, function(t) return { outside = 7.5 + 0.5 * math.sin(40 * t) } end, function(o) return o.vent_lee.temperature_full end) <= 1)

-- A cloth drawn early in a storm, by day too, when it is cold; let go half an hour after the last strong wind.
local function storm(more)
  s = scene(pinery.cloth { ask = { pinery.ask_storm { above = 14, band = 3, light = 100, below = 12 } }, pause = 900 }, more)
  s.table[2] = 0
  return s
end
storm { outside = 5, outside_global = 80 }
assert(s.hours(1, { outside_wind = 13.9 }).cloth[1] == 0)
assert(s.hours(1, { outside_wind = 14.1 }).cloth[1] == 1 and s.why == "storm")
assert(s.hours(2, { outside_wind = 11.1 }).cloth[1] == 1, "within the band")
assert(s.hours(0.4, { outside_wind = 10 }).cloth[1] == 1 and s.hours(0.5).cloth[1] == 0)
storm { outside = 5, outside_global = 160 }
assert(s.hours(1, { outside_wind = 20 }).cloth[1] == 0, "too light")
storm { outside = 13, outside_global = 0 }
assert(s.hours(1, { outside_wind = 20 }).cloth[1] == 0, "too mild")
storm { outside = 5 }
assert(changes(s, 12, function(t) return { outside_wind = t * 6 // 1 % 2 == 0 and 16 or 6 } end, function(o) return o.cloth[1] end) == 0)
s.table[1] = 0
assert(s.step { outside_snow = 1 }.cloth[1] == 0, "snow comes first")

-- Shade: strong sun and dry air.
local shade = pinery.ask_shade { above = 500, light_band = 75, deficit = 8, deficit_band = 1.5 }
assert(not shade.asks({ outside_global = 600, humidity_deficit = 7 }, false) and not shade.asks({ outside_global = 400, humidity_deficit = 9 }, false))
assert(shade.asks({ outside_global = 510, humidity_deficit = 8.1 }, false) and shade.asks({ outside_global = 430, humidity_deficit = 6.6 }, true))
assert(not shade.asks({ outside_global = 424, humidity_deficit = 9 }, true) and not shade.asks({ outside_global = 600, humidity_deficit = 6.4 }, true))

-- Lamps from an hour before sunrise (8:00) to half an hour after it, whatever the rule before says.
local dear = {}
for h = 1, 24 do
  dear[h] = h > 20 and 1 or 9
end
s = scene(pinery.in_turn { pinery.lamps_by_price { prices = dear, hours = 2, spell = 2 }, pinery.lamps_before_sunrise { hours = 1, after = 0.5 } })
local lit = {}
for i = 0, 287 do
  lit[i] = s.step().lamp[1]
end
for i = 0, 287 do
  local want = i >= 84 and i < 102 or i >= 240 and i < 264
  assert(lit[i] == (want and 1 or 0), i / 12 .. " h: " .. lit[i])
end
-- For a morning off is off: sun, heat, and out of the season.
s = scene(pinery.lamps_before_sunrise())
s.lamps = { 0, 0, 0 }
s.hours(7.5)
assert(s.step { outside_global = 101 }.lamp[1] == 0 and s.step { outside_global = 50 }.lamp[1] == 0)
s.hours(23.5, { outside_global = 0 })
assert(s.orders.lamp[1] == 1 and s.step { air_seen = 25 }.lamp[1] == 0 and s.step { air_seen = 20 }.lamp[1] == 0)
s = scene(pinery.lamps_before_sunrise { first_day = 300, last_day = 366 })
s.lamps = { 0, 0, 0 }
assert(changes(s, 48, function() end, function(o) return o.lamp[1] end) == 0)

-- Dimmed by the sun and by heat, the lower of the two, in steps; by hand: 175 W/m2 is half way from 100 to 250.
s = scene(pinery.lamps_dimmed { light = 100, light_full = 250, air = 23, air_full = 26, least = 0.2, step = 0.1, wait = 600 })
assert(s.step { outside_global = 90 }.lamp[1] == 1)
near(s.step { outside_global = 175 }.lamp[1], 0.6, 1e-9)
near(s.step { outside_global = 300 }.lamp[1], 0.6, 1e-9, "ten minutes have not passed")
near(s.step().lamp[1], 0.2, 1e-9)
s.hours(1, { outside_global = 0 })
near(s.orders.lamp[1], 1, 1e-9)
near(s.hours(0.5, { air_seen = 24.5 }).lamp[2], 0.6, 1e-9)
near(s.hours(0.5, { air_seen = 27, outside_global = 175 }).lamp[1], 0.2, 1e-9)
s.hours(1, { air_seen = 18, outside_global = 175 })
assert(changes(s, 6, function(t) return { outside_global = 175 + 12 * math.sin(40 * t) } end, function(o) return o.lamp[1] end) == 0)
assert(changes(s, 6, function(t) return { outside_global = t * 12 // 1 % 2 == 0 and 50 or 300 } end, function(o) return o.lamp[1] end) <= 36)

-- Faults are told where they are made.
local function fault(pattern, f, ...)
  local ok, message = pcall(f, ...)
  assert(not ok and message:find("wind_lamps%.lua:%d+: " .. pattern), message)
end
fault("wind_bands: lee is a list of one or more, as long as the others", pinery.wind_bands, { lee = { 1 } })
fault("wind_bands: wind%[2%] = 3 m/s is not above", pinery.wind_bands, { wind = { 5, 3 }, lee = { 1, 0 }, windward = { 1, 0 } })
fault("lamps_dimmed: light and air must be below", pinery.lamps_dimmed, { light = 300 })
fault("ask_storm: unknown field over; known are", pinery.ask_storm, { over = 3 })

-- In a run: a windy house that is dimmed, kept in and drawn early closes its books, and is the same when it is kept and made again.
local house = pinery.house { drives = { { cloth = "energy cloth" } }, lower_pipes = { length = 1.5 }, lamps = { { power = 40 } },
  carbon = { balance = true, source = "pure", most = 4.2e-6 }, crop = { calendar = { [1] = 3, [21] = 3, [22] = 0, [30] = 0, [31] = 0.3 } } }
local all = pinery.strategy { name = "all", pinery.day_length { hours = 12, from = 7, first_day = 21, last_day = 21 },
  pinery.in_turn { pinery.cloth { ask = { pinery.ask_storm { above = 6 }, pinery.ask_shade(), pinery.ask_cold_night() } },
    pinery.wind_bands { wind = { 5, 8 }, lee = { 0.5, 0 }, windward = { 0.1, 0 } }, pinery.vents_by_cold_and_wind(),
    pinery.vents_keep_carbon(), pinery.lamps_before_sunrise(), pinery.lamps_dimmed(), pinery.empty_house() } }
local case = { weather = pinery.weather { typical = "Denver" }, house = house, strategy = all,
  options = { first_day = 20, days = 4, spin_up = 1, keep_hours = true } }
local result = assert(pinery.run(case))
assert(math.abs(result.closure_heat) < 1e-9 and math.abs(result.closure_water) < 1e-9)
local kept = assert(pinery.keep(all.control))
case.strategy = all:with { control = assert(load("return " .. kept))() }
assert(assert(pinery.run(case)).heat_MJ_per_m2 == result.heat_MJ_per_m2, "kept and made again")
local air = result:hours "air_seen"
assert(air[12] > 15 and air[#air] < air[12] - 3, "the empty house cools")
print "wind_lamps: all is well"
