-- Control functions: what they see and order, and how a run ends when they fail.
local pinery = require "pinery"

local weather = pinery.weather { typical = "Denver" }
local cloths = pinery.presets "cloth"
local house = pinery.house {
  drives = { { cloth = cloths[1] }, { cloths = { cloths[1], cloths[2] } } }, lower_pipes = { length = 1.5 },
  lamps = { { power = 40 } },
}

local function run(control, options)
  local all = { days = 0.25, spin_up = 0.25, first_day = 10 }
  for key, value in pairs(options or {}) do
    all[key] = value
  end
  return pinery.run { weather = weather, house = house, strategy = { name = "tried", control = control }, options = all }
end

-- It is called once at every control instant, spin-up included, with views that are the same all along.
local calls, views, hours = 0, nil, {}
local result = assert(run(function(seen, orders, state)
  calls = calls + 1
  views = views or { seen, orders, state }
  assert(views[1] == seen and views[2] == orders and views[3] == state)
  hours[calls] = seen.hour
  assert(seen.day == 9 and calls <= 72 or seen.day == 10)
  state.memory.n = (state.memory.n or 0) + 1
  assert(state.memory.n == calls and state.progress >= 0 and state.progress < 1)
  if math.abs(seen.hour % 1 - 0.5) < 1e-9 then -- at the instants of the records; between them a run curves
    assert(math.abs(state:ahead "temperature" - seen.outside) < 1e-9)
  end
  assert(state:ahead("global", 12) >= 0)
end, { control_interval = 600 }))
assert(calls == 72 and math.abs(hours[2] - hours[1] - 1 / 6) < 1e-9, calls)

-- Views are dead outside.
for _, look in ipairs {
  function() return views[1].hour end, function() return views[2].heating end, function() return views[3].progress end,
  function() views[2].heating = 3 end, function() return views[3]:ahead "temperature" end,
} do
  local ok, message = pcall(look)
  assert(not ok and message:find "may only be used inside the control function$", message)
end

-- A function that orders nothing makes the run of the table alone, to the last bit.
local alone = assert(run(nil))
local idle = assert(run(function() end))
assert(alone.heat_MJ_per_m2 == idle.heat_MJ_per_m2 and alone.mean_air_degC == idle.mean_air_degC)

-- Orders are obeyed, and read back as they were set.
local obeyed = assert(run(function(seen, orders)
  orders.cloth[1], orders.cloth[2], orders.which[2] = 1, 0, 2
  orders.slit[1], orders.lamp[1], orders.vent_lee, orders.vent_wind = 0.125, 0.5, 0.25, 0
  orders.pipe_lower, orders.heating, orders.hold_coldest, orders.fan_circulation = 45, 15, true, 0
  assert(orders.cloth[1] == 1 and orders.which[2] == 2 and orders.lamp[1] == 0.5 and #orders.cloth == 2)
  assert(orders.slit[1].low == 0.125 and orders.slit[1].high == 1 and orders.slit[1].by_humidity == 0)
  assert(orders.vent_lee.low == 0.25 and orders.pipe_lower == 45 and orders.heating == 15)
  assert(orders.hold_coldest == true and orders.pipe_upper == nil)
end, { keep_hours = true }))
local function last(name)
  local list = obeyed:hours(name)
  return list[#list]
end
assert(last "cloth_1" == 1 and last "cloth_2" == 0 and math.abs(last "slit_1" - 0.125) < 1e-6)
assert(math.abs(last "vent_lee" - 0.25) < 1e-6 and math.abs(last "lamp_1" - 0.5) < 1e-6)
assert(math.abs(last "pipe_lower" - 45) < 1, last "pipe_lower")
assert(math.abs(obeyed.electricity_lamps_kWh_per_m2 - 0.5 * 0.040 * 6) < 0.002)

-- A law by a table, in per cent; one field alone; a law taken from another.
assert(run(function(seen, orders)
  orders.slit[1] = { by_humidity = 0.2, humidity_start = 80, humidity_full = 90 }
  assert(orders.slit[1].humidity_start == 80 and orders.slit[1].by_humidity == 0.2 and orders.slit[1].high == 1)
  orders.slit[1].humidity_full = 95
  assert(math.abs(orders.slit[1].humidity_full - 95) < 1e-9)
  orders.slit[2] = orders.slit[1]
  assert(math.abs(orders.slit[2].humidity_full - 95) < 1e-9)
  orders.pipe_lower = nil
end))

-- Nonsense ends the run with the line that asked for it, and a traceback.
local function nonsense(pattern, control, options)
  local result, message = run(control, options)
  assert(result == nil and type(message) == "string")
  local line = debug.getinfo(control, "S").linedefined
  local found = message:find("^.-control%.lua:" .. line .. ": " .. pattern)
  assert(found == 1, message .. "\ndoes not match " .. pattern)
  return message
end
local message = nonsense("orders%.vent_lee = 1%.5 is outside 0 .. 1\nstack traceback:\n",
  function(_, orders) orders.vent_lee = 1.5 end)
assert(message:find "in function <.-control%.lua:" and message:find "%(tried, day 9 at 18:00%)$", message)
nonsense("orders%.lamp = %-?nan is outside 0 .. 1\n", function(_, orders) orders.lamp[1] = 0 / 0 end)
nonsense("orders%.cloth is a string, expected a number in 0 .. 1\n", function(_, orders) orders.cloth[1] = "shut" end)
nonsense("orders%.cloth has no %[3%]; the house has 2 drives\n", function(_, orders) orders.cloth[3] = 1 end)
nonsense("orders%.which = 2 is outside 1 .. 1\n", function(_, orders) orders.which[1] = 2 end)
nonsense("orders%.which = 1%.5 is not the number of a cloth\n", function(_, orders) orders.which[2] = 1.5 end)
nonsense("orders%.cloth is a list: set orders%.cloth%[1%]\n", function(_, orders) orders.cloth = 1 end)
nonsense("orders%.heating is a nil, expected a number in %-20 .. 60 degC\n", function(_, orders) orders.heating = nil end)
nonsense("orders%.pipe_lower = 300 degC is outside 0 .. 110 degC\n", function(_, orders) orders.pipe_lower = 300 end)
nonsense("orders%.hold_coldest is a number, expected true or false\n", function(_, orders) orders.hold_coldest = 1 end)
nonsense("orders has no field vent; known are heating, ", function(_, orders) orders.vent = 1 end)
nonsense("seen has no field temperature; known are time_s, day, hour, ", function(seen) return seen.temperature end)
nonsense("orders%.slit: humidity_full must be above humidity_start\n",
  function(_, orders) orders.slit[1] = { by_humidity = 0.1, humidity_start = 90, humidity_full = 80 } end)
nonsense("a law has no field wide; known are low, ", function(_, orders) orders.slit[1] = { wide = 1 } end)
nonsense("attempt to perform arithmetic on a nil value", function(seen) return seen.hour + nil end)
nonsense("attempt to index a number value", function(_, orders) orders.heating.x = 1 end)
nonsense("bad argument #1 to 'ahead'", function(_, _, state) state:ahead "heat" end)


-- An error value that is no text, and an error that has no place.
local _, text = run(function() error(setmetatable({}, { __tostring = function() return "my own" end })) end)
assert(text:find "^my own\nstack traceback:")
_, text = run(function() coroutine.yield() end)
assert(text:find "^attempt to yield", text)

-- What only the run can see is blamed on the function: its file and line.
_, text = run(function(_, orders)
  orders.slit[1] = { by_humidity = 0.2, humidity_start = 80, humidity_full = 90 }
  orders.slit[1].humidity_start = 95
end)
if text then
  assert(text:find "^.-control%.lua:%d+: in the orders of the control function: ", text)
end

-- Endless loops end: plain, behind protected calls, in a coroutine.
for _, endless in ipairs {
  function() while true do end end,
  function() while true do pcall(function() while true do end end) end end,
  function() coroutine.wrap(function() while true do end end)() end,
} do
  local _, message = run(endless, { control_limit = 1e6 })
  assert(message:find "control%.lua:%d+: the control function took more than 1000000 instructions in one call", message)
  assert(message:find "stack traceback", message)
end
-- The hook is gone afterwards.
assert(debug.gethook() == nil)
for _ = 1, 3e6 do end
local ok
ok, text = pcall(run, nil, { control_limit = 3 })
assert(not ok and text:find "control_limit = 3 is outside", text)

-- A run inside a control function, and a weather closed in one.
local inner
assert(run(function(_, orders, state)
  if not inner then
    inner = assert(run(nil))
    orders.vent_lee = 0
  end
end))
assert(inner.heat_MJ_per_m2 == alone.heat_MJ_per_m2)
local brief = pinery.weather { typical = "Denver" }
local late = assert(pinery.run {
  weather = brief, house = house, options = { days = 0.1, spin_up = 0 },
  strategy = function() brief:close() end,
})
assert(not pcall(function() return brief.count end) and late.mean_air_degC > 0)
late:close()
ok, text = pcall(function() return late.mean_air_degC end)
assert(not ok and text:find "the result is closed", text)
-- An engine and an electric boiler by the price of the hour: 13 dear hours a day, 11 cheap ones.
do
  local prices = {}
  for h = 1, 24 do
    prices[h] = (h >= 8 and h <= 20) and 0.15 or 0.05
  end
  local led = pinery.price_led { prices = prices, run_above = 0.1, heat_below = 0.06 }
  local made = assert(pinery.run {
    weather = weather, options = { first_day = 40, days = 2, spin_up = 0 }, strategy = pinery.strategy { led },
    house = { length = 60, width = 48, cogeneration = { power = 20 }, electric_boiler = { heat = 10 } },
  })
  assert(math.abs(made.cogeneration_hours - 26) < 0.5, made.cogeneration_hours)
  assert(math.abs(made.electricity_made_kWh_per_m2 - 0.02 * 26) < 0.01)
  assert(math.abs(made.electricity_electric_boiler_kWh_per_m2 - 0.01 / 0.99 * 22) < 0.02)
  assert(math.abs(made.closure_heat) < 1e-11)
  local fine, message = pcall(pinery.price_led, { prices = { 1, 2, 3 } })
  assert(not fine and message:find "price_led: 3 prices, expected 24, or 8760 or 8784", message)
end

print "control: all is well"
