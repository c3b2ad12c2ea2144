-- Blocks that are control functions, on made-up events: what they order, and that they do not chatter.
local pinery = require "pinery"

local function near(got, want, tolerance, what)
  assert(math.abs(got - want) <= tolerance, string.format("%s: %.9g is not %.9g", what or "it", got, want))
end

local scene = dofile "../scene.lua"

local one_drive = { 1, 0 }
local function single(ask, more)
  local given = { ask = ask }
  for key, value in pairs(more or {}) do
    given[key] = value
  end
  local s = scene(pinery.cloth(given))
  s.table[1], s.table[2] = table.unpack(one_drive)
  return s
end

-- The table: half way between 5 and 10 degC lies half way between 150 and 75 W/m2.
local s = single { pinery.ask_table { light_band = 20 } }
assert(s.hours(1, { outside = 7.5, outside_global = 112 }).cloth[1] == 1 and s.why == "dark for how cold it is")
assert(s.hours(1, { outside_global = 130 }).cloth[1] == 1, "within the band")
assert(s.hours(1, { outside_global = 145 }).cloth[1] == 0 and s.orders.vent_lee.low == 0 and s.orders.fan_through == 0)
assert(s.hours(1, { outside_global = 114 }).cloth[1] == 0)
assert(s.hours(1, { outside_global = 0, outside = 14.1 }).cloth[1] == 0, "too mild")
assert(s.moves[1] == 2)
-- Broken cloud about the threshold, swinging less than the band, moves nothing; more than the band, it is held by the pause.
s.hours(5, function(t) return { outside = 7.5, outside_global = 122 + 9 * math.sin(40 * t) } end)
assert(s.moves[1] == 2, s.moves[1])
s.hours(2, function(t) return { outside_global = t * 6 // 1 % 2 == 0 and 50 or 300 } end)
assert(s.moves[1] <= 2 + 2 * 4, s.moves[1])
-- And no more than so many times a day.
local few = single({ pinery.ask_table() }, { most_a_day = 2 })
few.hours(23, function(t) return { outside_global = t // 1 % 2 == 0 and 50 or 300 } end)
assert(few.moves[1] == 4, few.moves[1])

-- Worth of heat against light, by hand: 3 W/m2K x 5 K x 0.4 / 31.65 MJ = 0.18957 a million seconds; of each W/m2 of sun
-- 1.36 x 0.2 x 0.008 = 0.002176: 87.1 W/m2. It doubles with the price of gas and trebles with the temperature difference.
for _, case in ipairs { { 0.4, 13, 87.12 }, { 0.8, 13, 174.24 }, { 0.4, 3, 261.4 } } do
  local ask = pinery.ask_saving { gas_price = case[1], band = 0 }
  local seen = { air_seen = 18, outside = case[2] }
  seen.outside_global = case[3] - 0.2
  assert(ask.asks(seen, false))
  seen.outside_global = case[3] + 0.2
  assert(not ask.asks(seen, false))
end
assert(not pinery.ask_saving().asks({ air_seen = 18, outside = 20, outside_global = 0 }, true))

-- The sky: a black face at 0 degC sends out 315.66 W/m2 (Stefan-Boltzmann).
local sky = pinery.ask_clear_sky { above = 90, band = 15 }
local night = { outside = 0, outside_global = 0, outside_infrared = 315.66 - 90.1 }
assert(sky.asks(night, false))
night.outside_infrared = 315.66 - 89.9
assert(not sky.asks(night, false) and sky.asks(night, true))
night.outside_infrared = 315.66 - 74.9
assert(not sky.asks(night, true))

-- Hours: of the clock over midnight, and by the sun.
local hours = pinery.ask_hours { from = 18, to = 7 }
assert(hours.asks { hour = 23 } and hours.asks { hour = 3 } and not hours.asks { hour = 7 } and not hours.asks { hour = 12 })
local by_sun = pinery.ask_hours { sun = true, from = -0.5, to = 1 }
local sun = { sunrise = 8, sunset = 16, hour = 15.6 }
assert(by_sun.asks(sun))
sun.hour = 15.4
assert(not by_sun.asks(sun))
sun.hour = 8.9
assert(by_sun.asks(sun))

-- A dark day, told at sunrise: eight hours at 100 W/m2 are 2.88 MJ/m2. What comes after does not change it.
local ahead = { memory = {}, ahead = function(_, column, hours)
  assert(column == "global" and hours > 0 and hours < 8)
  return 100
end }
local dim = pinery.ask_dark_day { sum = 2.9, below = 5 }
local day = { day = 3, hour = 7.9, sunrise = 8, sunset = 16, outside = 3 }
assert(not dim.asks(day, false, ahead))
day.hour = 8
assert(dim.asks(day, false, ahead))
day.hour, day.outside = 12, 9
assert(dim.asks(day, true, ahead))
day.hour = 16
assert(not dim.asks(day, true, ahead))
day.day, day.hour, day.outside = 4, 8, 5.1
assert(not dim.asks(day, false, ahead), "too mild")
ahead.memory, day.outside = {}, 3
assert(not pinery.ask_dark_day { sum = 2.8 }.asks(day, false, ahead))

-- Opening against a cold fall: it waits while the air over it is much colder, then a chink, then by steps.
s = single({ pinery.ask_cold_night() }, { chink = 0.03, chink_wait = 900, step = 0.2, step_wait = 300, within = 5, sun = 100 })
assert(s.hours(1).cloth[1] == 1)
assert(s.hours(1.9, { outside_global = 50, air_roof = 5 }).cloth[1] == 1, "13 K colder over it")
local positions = {}
for i = 1, 12 do
  positions[i] = s.step { air_roof = 14 }.cloth[1]
end
for i, want in ipairs { 0.97, 0.97, 0.97, 0.77, 0.57, 0.37, 0.17, 0 } do
  near(positions[i], want, 1e-9, "step " .. i)
end
assert(s.moves[1] == 7, s.moves[1])
s = single({ pinery.ask_cold_night() }, { within = 5, sun = 100, hold = 3600 })
s.hours(1)
assert(s.hours(0.9, { outside_global = 50, air_roof = 0 }).cloth[1] == 1 and s.step().cloth[1] == 0, "held, but for an hour")
s = single({ pinery.ask_cold_night() }, { within = 5, sun = 100 })
s.hours(1)
assert(s.hours(0.5, { outside_global = 101, air_roof = 0 }).cloth[1] == 0, "the sun is up")

-- Snow, in which the table parks the cloth: so does this, and draws it again afterwards.
s = single { pinery.ask_cold_night() }
s.hours(1)
s.table[1] = 0
assert(s.step().cloth[1] == 0)
s.table[1] = 1
assert(s.step().cloth[1] == 0 and s.hours(1).cloth[1] == 1)

-- Two cloths: the second after the first, and the first opens when the second is parked.
local pair = scene(pinery.in_turn {
  pinery.cloth { drive = 1, ask = { pinery.ask_cold_night { below = 14 } } },
  pinery.cloth { drive = 2, ask = { pinery.ask_cold_night { below = 6 } }, after = 1 },
})
local order = {}
for _, outside in ipairs { 10, 3, 3, 16, 16 } do
  for _ = 1, 12 do
    local orders = pair.step { outside = outside }
    local now = orders.cloth[1] .. orders.cloth[2]
    if order[#order] ~= now then
      order[#order + 1] = now
    end
    assert(orders.cloth[1] >= orders.cloth[2], "the second is drawn without the first")
  end
end
assert(table.concat(order, " ") == "10 11 10 00", table.concat(order, " "))
assert(pair.orders.vent_lee.low == 0)

-- Kelvin-hours: a day at +3 K lowers the heating by 1.5 K over two days, then by what is left; never beyond the band.
local sum = scene(pinery.temperature_sum { band = 2, days = 2, vent_later = 1.5 })
sum.step { air_seen = 18 }
near(sum.orders.heating, 18, 1e-12)
near(sum.orders.vent_lee.temperature_start, 23.5, 1e-12)
near(sum.orders.vent_wind.temperature_full, 31.5, 1e-12)
sum.hours(24, { air_seen = 21 })
near(sum.orders.heating, 18 - 3 * 24 / 48, 1e-9, "banked")
sum.hours(24, { air_seen = 21 })
near(sum.orders.heating, 16, 1e-9, "the band")
sum.hours(240, { air_seen = 10 })
near(sum.orders.heating, 20, 1e-9, "the other way")
-- A house that follows it comes out at the mean: 4 K of sun by day are paid back at night.
sum = scene(pinery.temperature_sum { band = 4, days = 1 })
local mean, n = 0, 0
sum.hours(24 * 6, function(t)
  local day = sum.seen.hour >= 9 and sum.seen.hour < 15
  local air = day and 22 or sum.orders and sum.orders.heating or 18
  if t >= 48 then
    mean, n = mean + air, n + 1
  end
  return { air_seen = air }
end)
near(mean / n, 18, 0.1, "mean of days")


-- Vapour: half way from 1 to 3 g/m3 more than over the cloth is half speed. Saturated air holds 17.3 g/m3 at 20 degC, 4.85
-- at 0 degC (handbook tables of humid air); the run at the end looks at what is read off the house.
local fans = scene(pinery.fans_by_vapour { start = 1, full = 3, humidity = 82, band = 2 })
local function speed(change)
  local order = fans.step(change).fan_through
  return type(order) == "number" and order
end
near(speed { humidity_sensor = 90, absolute_humidity = 17.3 + 2, absolute_humidity_roof = 17.3 }, 0.5, 1e-9, "half speed")
near(speed { absolute_humidity = 4.85 + 3.2, absolute_humidity_roof = 4.85 }, 1, 1e-12, "full speed")
assert(speed { absolute_humidity = 4.85 + 0.9 } == 0)
assert(speed { absolute_humidity = 8.5, humidity_sensor = 81 } == 1 and speed { humidity_sensor = 79 } == 0
  and speed { humidity_sensor = 81 } == 0, "no chatter about the humidity")
fans.table[1], fans.table[2] = 0, 0
assert(speed { humidity_sensor = 95 } == 0, "no cloth is drawn")

-- The cheapest spells of two hours: of six from 20:00 to 8:00, at 18, 8, 4, 7, 7 and 16, the second of equals is left out.
local prices = {}
for h = 0, 23 do
  prices[h + 1] = ({ [20] = 9, [21] = 9, [22] = 4, [23] = 4, [0] = 2, [1] = 2, [2] = 6, [3] = 1, [4] = 1, [5] = 6, [6] = 8, [7] = 8 })[h] or 1
end
local lamps = scene(pinery.lamps_by_price { prices = prices, hours = 4, spell = 2, from = 20, to = 8 })
local lit, switched, before = {}, 0, nil
for i = 1, 288 do
  local on = lamps.step().lamp[1]
  lit[(i - 1) // 12] = on
  switched = switched + (before and before ~= on and 1 or 0)
  before = on
end
for h = 0, 23 do
  local want = h <= 3 and 1 or 0
  assert(lit[h] == want, h .. " o'clock: " .. lit[h])
end
assert(switched == 1, switched)
local year = {}
for h = 1, 8760 do
  year[h] = h % 24 == 14 and h <= 24 and 0 or h > 24 and h % 24 == 3 and 0 or 1
end
lamps = scene(pinery.lamps_by_price { prices = year, hours = 1, spell = 1 })
local total = { [1] = {}, [2] = {} }
for _ = 1, 576 do
  local day, hour = lamps.seen.day, math.floor(lamps.seen.hour)
  total[day][hour] = lamps.step().lamp[1] == 1 or nil
end
assert(total[1][13] and next(total[1], next(total[1])) == nil and total[2][2] and next(total[2], next(total[2])) == nil)

-- A limit of power: 80 W/m2 and 60 W/m2 under 100 and, for one hour, under 60.
local most = {}
for h = 1, 24 do
  most[h] = h == 3 and 60 or 100
end
local limit = scene(pinery.lamp_power_limit { powers = { 80, 60 }, most = most })
local orders = limit.step()
assert(orders.lamp[1] == 1 and orders.lamp[2] == 0)
orders = limit.hours(2.1)
assert(orders.lamp[1] == 0 and orders.lamp[2] == 1 and limit.why == "limit of power")

limit = scene(pinery.lamp_power_limit { powers = { 80, 60 }, most = most, dim = true })
orders = limit.step()
near(orders.lamp[2], 20 / 60, 1e-12, "what is left")
orders = limit.hours(2.1)
near(orders.lamp[1], 60 / 80, 1e-12, "dimmed")
assert(orders.lamp[2] == 0)

-- Light that leaves the house: by dark the cloth is drawn first; parked for snow, the lamps go out.
local dark = scene(pinery.light_emission())
dark.table[1], dark.table[2] = 0, 0
assert(dark.hours(17.6, { slit_1 = 0.005 }).cloth[1] == 0 and dark.orders.lamp[1] == 1)
orders = dark.hours(0.5)
assert(orders.cloth[1] == 0.98 and orders.lamp[1] == 1 and orders.slit[1].high == 0)
dark.table[1] = 1
orders = dark.step()
near(orders.slit[1].high, 0.02, 1e-12)
dark.table[1] = 0
dark.step { outside_snow = 1 }
orders = dark.step()
assert(orders.cloth[1] == 0 and orders.lamp[1] == 0)
dark.seen.outside_snow = 0
assert(dark.hours(1).lamp[1] == 1 and dark.orders.cloth[1] == 0.98)
dark.table[1] = 0
dark.lamps = { 0, 0, 0 }
assert(dark.step().cloth[1] == 0)

-- What the table says by itself.
local strategy = pinery.strategy { pinery.lamp_halves { half_off = 100, all_off = 250 }, pinery.day_length { hours = 11, from = 7 },
  pinery.pipe_limits { least = 40, most = 60 }, pinery.vents_over_cloth { open = 0.05 } }
local as = strategy:table()
assert(as.lighting[1].off_above_light == 250 and as.lighting[2].off_above_light == 100 and as.lighting[2].on_below_light == 50)
assert(as.screens[1].dark_from == 18 and as.screens[1].dark_until == 7 and as.minimum_pipe == 40 and as.maximum_pipe == 60)
assert(as.vent_over_screen == 0.05)

as = pinery.strategy { pinery.lamp_hours { from = -2, from_of = "sunrise", to = 20, delay = 600 },
  pinery.day_length { hours = 10.5, from = 7.5, first_day = 230, last_day = 290 } }:table()
assert(as.lighting[1].from == -2 and as.lighting[1].from_of == "sunrise" and as.lighting[1].to_of == "clock" and as.lighting[1].delay == 600)
assert(as.screens[1].dark_from == 18 and as.screens[1].dark_first_day == 230 and as.screens[1].dark_last_day == 290)

-- Ajar over a cloth while it is damp, with a band.
local ajar = scene(pinery.vents_over_cloth { humidity = 80, band = 3 })
assert(ajar.step { humidity_sensor = 79 }.vent_lee.low == 0 and ajar.step { humidity_sensor = 81 }.vent_lee.low == 0.03)
assert(ajar.step { humidity_sensor = 78 }.vent_wind.low == 0.03 and ajar.step { humidity_sensor = 76 }.vent_wind.low == 0
  and ajar.step { humidity_sensor = 79 }.vent_wind.low == 0)

-- After a day of 20 mol/m2, 8 above the mean, 1.2 K warmer from sunset to sunset; after one of 2, 10 below it, 1.3 K colder and no more.
local light = scene(pinery.warmer_after_light { per = 0.15, mean = 12, band = 1.3 }, { light_today = 0 })
near(light.hours(15.9, { light_today = 20 }).heating, 18, 1e-12)
near(light.hours(0.2).heating, 19.2, 1e-12)
near(light.orders.vent_lee.temperature_start, 23.2, 1e-12)
near(light.hours(23.7, { light_today = 2 }).heating, 19.2, 1e-12, "till the next sunset")
near(light.hours(0.3).heating, 18 - 1.3, 1e-12, "the band")
light.hours(48, function() return { light_today = 12 + light.seen.hour / 10 } end)
near(light.orders.heating, 18 + 0.15 * 1.6, 0.01)

-- No crop, no heat: until it is planted.
local empty = scene(pinery.empty_house { heating = 6 })
orders = empty.step { leaf_area = 0 }
assert(orders.heating == 6 and orders.lamp[1] == 0 and empty.why == "no crop in the house")
assert(empty.step { leaf_area = 0.3 }.heating == 18 and empty.orders.lamp[1] == 1)

-- While it is dosed the vents wait; not in the dark, and no longer than the heat allows, without chatter about either.
local keep = scene(pinery.vents_keep_carbon { by = 2, light = 50, light_band = 20, most = 4 })
local waits, last = 0, nil
for i = 1, 48 do
  local start = keep.step { outside_global = i % 2 == 0 and 60 or 40, air_seen = 22 }.vent_lee.temperature_start
  waits = waits + (last and last ~= start and 1 or 0)
  last = start
end
assert(last == 24 and waits <= 1, waits)
assert(keep.step { outside_global = 29 }.vent_lee.temperature_start == 22)
assert(keep.step { outside_global = 300 }.vent_lee.temperature_start == 24)
assert(keep.step { air_seen = 26.1 }.vent_lee.temperature_start == 22 and keep.step { air_seen = 25.5 }.vent_lee.temperature_start == 22)
assert(keep.step { air_seen = 24.9 }.vent_lee.temperature_start == 24)

-- Faults are told where they are made.
local function fault(pattern, f, ...)
  local ok, message = pcall(f, ...)
  assert(not ok and message:find("rules%.lua:%d+: " .. pattern), message)
end
fault("ask_table: outside and light are lists", pinery.ask_table, { outside = { 1 } })
fault("ask_table: outside%[2%] = 1 degC is not above", pinery.ask_table, { outside = { 5, 1 }, light = { 3, 2 } })
fault("cloth: ask%[1%] is no asking rule", pinery.cloth, { ask = { 3 } })
fault("cloth: unknown field asks; known are", pinery.cloth, { asks = {} })
fault("lamps_by_price: 3 prices, expected 24", pinery.lamps_by_price, { prices = { 1, 2, 3 } })
fault("lamps_by_price: hours = 2.5 is not a whole number", pinery.lamps_by_price, { prices = prices, hours = 2.5 })
fault("temperature_sum: days = 0 must be above 0", pinery.temperature_sum, { days = 0 })
fault("lamp_power_limit: powers is a list", pinery.lamp_power_limit, {})
fault("in_turn: %[1%] is a number", pinery.in_turn, { 3 })

-- In a run: the books close, each run begins anew, and a function that is kept makes the same run again.
local house = pinery.house { drives = { { cloth = "energy cloth" }, { cloth = "energy cloth" } }, lower_pipes = { length = 1.5 },
  lamps = { { power = 40 } }, through_fans = { flow = 2500 / 3600, area = 250, power = 200 } }
local all = pinery.strategy { name = "all", pinery.in_turn {
  pinery.cloth { drive = 1, ask = { pinery.ask_table(), pinery.ask_clear_sky() }, chink = 0.03, within = 5 },
  pinery.cloth { drive = 2, ask = { pinery.ask_saving(), pinery.ask_cold_night { below = 5 } }, after = 1 },
  pinery.temperature_sum(), pinery.fans_by_vapour(), pinery.lamps_by_price { prices = prices }, pinery.lamp_power_limit { powers = { 40 } },
  pinery.light_emission() } }
local case = { weather = pinery.weather { typical = "Denver" }, house = house, strategy = all,
  options = { first_day = 20, days = 3, spin_up = 1, keep_causes = true } }
local result = assert(pinery.run(case))
assert(result.closure_heat < 1e-9 and result.closure_water < 1e-9)
-- What is over the cloth, read off the house, is what fans_by_vapour goes by: saturated air at 0 degC holds 4.85 g/m3 (as
-- above), and about 6.9 % more or less for each kelvin nearby.
local looked
assert(pinery.run { weather = case.weather, house = house, options = case.options, strategy = all:with { control = function(seen)
  if seen.air_roof >= 0 and seen.air_roof < 1 then
    looked = true
    near(seen.absolute_humidity_roof, seen.humidity_roof / 100 * 4.85 * math.exp(0.069 * seen.air_roof), 0.02, "over the cloth")
  end
end } })
assert(looked, "never near 0 degC over the cloth")
-- Why a cloth was moved is what asked for it, by name.
local reasons = {}
for _, move in ipairs(result:causes { actuator = "cloth_1" }) do
  assert(move.cause == "script", move.cause)
  reasons[move.reason] = (reasons[move.reason] or 0) + 1
end
assert(reasons["dark for how cold it is"] >= 2 and reasons["no longer: dark for how cold it is"] >= 2)
assert(assert(pinery.run(case)).heat_MJ_per_m2 == result.heat_MJ_per_m2, "a run remembers the one before it")
local kept = assert(pinery.keep(all.control))
case.strategy = all:with { control = assert(load("return " .. kept))() }
assert(assert(pinery.run(case)).heat_MJ_per_m2 == result.heat_MJ_per_m2, "kept and made again")
print "rules: all is well"
