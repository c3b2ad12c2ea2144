-- Comparisons and results: threads and scripts give the same numbers, failures say which case, files are whole.
local pinery = require "pinery"

local function fails(pattern, f, ...)
  local ok, message = pcall(f, ...)
  assert(not ok and message:find(pattern), tostring(message) .. "\ndoes not match " .. pattern)
end

local weather = pinery.weather { typical = "Denver" }
local house = pinery.house { drives = { { cloth = pinery.presets("cloth")[1] } }, lower_pipes = { length = 1.5 } }
local slits = pinery.strategy { name = "slits", pinery.humidity_slit { most = 0.2, start = 60, full = 80 } }
local shut = slits:with { name = "shut", pinery.shut_with_fans {} }
local options = { days = 1, spin_up = 0.5, first_day = 12, keep_hours = true }

-- The same case on a thread, under a script that changes nothing, and by itself: equal to the last bit.
local both = pinery.compare {
  weather = weather, house = house, options = options,
  { "threaded", slits }, { "scripted", slits:with { control = function() end } }, { shut },
  { "longer", slits, options = { days = 1.5 } }, { strategy = slits },
}
assert(#both == 5 and tostring(both) == "comparison of 5, not run")
fails("has not been run", function() return both[1] end)
fails("has not been run", both.report, both)
local shares = {}
assert(both:run(function(share) shares[#shares + 1] = share end) == both)
assert(both:run() == both and tostring(both) == "comparison of 5")
for _, share in ipairs(shares) do
  assert(share >= 0 and share <= 1)
end
local alone = assert(pinery.run { weather = weather, house = house, strategy = slits, options = options })
for _, name in ipairs(pinery.names "results") do
  local a, b, c = both.threaded[name.name], both.scripted[name.name], alone[name.name]
  assert((a == b and b == c) or (a ~= a and b ~= b and c ~= c), name.name)
end
assert(both[3].name == "shut" and both.shut == both[3] and both.slits == both[5])
assert(#both.longer:hours "time" == 36 and #both[1]:hours "time" == 24)
fails("the comparison has no case 6", function() return both[6] end)
assert(both:report():find "threaded" and both.shut:report("months"):find "Jan" and both.shut:report("balance"):find "vents")

-- Against a reference that is not the first: what differs in what went in is named, A against A is nothing at all.
local held = pinery.compare {
  weather = weather, house = house, options = options, reference = "slits",
  { "tight", slits:with { minimum_pipe = 45, pinery.shut_with_fans {} },
    house = house:with { leakage = 2e-5, cover = { panes = 2 }, drives = { [2] = { cloth = "blackout cloth" } } } },
  { "slits", slits }, { "again", slits }, { "drier", slits:with { control = function() end } },
}
fails("has not been run", held.held, held)
assert(held:run())
local told = held:held()
assert(told.reference == "slits" and #told.cases == 3 and told.cases[2].name == "again")
local inputs = {}
for _, input in ipairs(told.cases[1].inputs) do
  inputs[input.field] = input
end
assert(inputs["house.leakage"].value == "2e-05" and inputs["house.leakage"].reference == "0.0001")
assert(inputs["house.leakage"].unit == "m3/(m2 s) per m/s" and inputs["house.cover.panes"].value == "2")
assert(inputs["house.drives[2]"].value == "one" and inputs["house.drives[2]"].reference == "none")
assert(inputs["strategy.minimum_pipe"].value == "45" and inputs["strategy.screens[1].slit_humidity_max"].value == "0")
assert(not inputs["house.length"] and #told.cases[1].inputs == 5)
assert(#told.cases[2].inputs == 0 and told.cases[3].inputs[1].field == "strategy.control")
for _, outcome in ipairs(told.cases[2].outcomes) do
  assert(outcome.equal and (outcome.difference == 0 or outcome.difference ~= outcome.difference), outcome.name)
end
for _, row in ipairs(held:rows()) do
  local d, p = row.differences[3], row.percents[3]
  assert((d == 0 or d ~= d) and (p == 0 or p ~= p) and row.of == "slits", row.name)
  if row.name == "gas_m3_per_m2" then
    assert(row.values[1] == held.tight.gas_m3_per_m2 and row.differences[1] == row.values[1] - row.values[2])
    assert(math.abs(row.percents[1] - 100 * row.differences[1] / row.values[2]) < 1e-12 and row.percents[1] < -5)
  end
end
assert(held:report():find "house%.leakage: 2e%-05 instead of 0%.0001 m3" and held:report():find "%% of B")
fails('reference = mist is neither the name of a case nor a place 1 .. 1', pinery.compare,
  { weather = weather, house = house, reference = "mist", { "slits", slits } })
fails("reference = 2 is neither", pinery.compare, { weather = weather, house = house, reference = 2, { "slits", slits } })

-- Totals, months and hours tell the same story.
local one = both.threaded
local sum = 0
for _, value in ipairs(one:hours("heat", "heat_lower")) do
  sum = sum + value
end
assert(math.abs(sum - one:heat "heat_lower") < 1e-9 * one:heat "heat_lower")
assert(math.abs(one:month(1).heat.heat_lower - one:heat "heat_lower") < 1e-9 * one:heat "heat_lower")
local february = one:month(2).heat.heat_lower
assert(february ~= february and one:month(1).water.sun_cover == nil) -- NaN: the run had no February
assert(math.abs(one.heat_MJ_per_m2 - one:heat "heat_lower" - one:heat "heat_upper") < 1e-9)
assert(math.abs(one:meter "gas" - one.gas_MJ_per_m2) < 1e-9 and one:meter "light_sun" > 0)
assert(#one:hours("water", "vents") == 24 and #one:hours("meter", "light_sun") == 24)
local heat, water = one:stored()
assert(heat == heat and water == water and math.abs(one.closure_heat) < 1e-9 and math.abs(one.closure_water) < 1e-9)
assert(one:cost().intervals >= 288)
fails("a result has no field gas; known are name, gas_m3_per_m2", function() return one.gas end)
fails("invalid option 'vent'", one.heat, one, "vent")
fails("expected a month in 1 .. 12", one.month, one, 13)
local bare = assert(pinery.run { weather = weather, house = house, strategy = slits, options = { days = 0.1, spin_up = 0 } })
fails("options = { keep_hours = true }", bare.hours, bare, "air_upper")

-- The resolved input makes the same run again.
local again = assert(pinery.run(one:input()))
assert(again.heat_MJ_per_m2 == one.heat_MJ_per_m2 and again.mean_air_degC == one.mean_air_degC)

-- Files are written whole or not at all; failing says why.
local function read(path)
  local file = assert(io.open(path, "r"))
  local text = file:read "a"
  file:close()
  return text
end
local path = os.tmpname()
assert(one:save_hours(path) and read(path):find "air_upper %[degC%]")
assert(both:save_json(path) and read(path):find '"threaded"' and read(path):find "}%s*$")
assert(one:save_json(path) and not read(path):find '"scripted"')
local kept = read(path)
local nothing, message = bare:save_hours(path)
assert(nothing == nil and message:find(path, 1, true) == 1 and read(path) == kept, message)
nothing, message = one:save_json(path .. ".absent/x.json")
assert(nothing == nil and message:find "cannot be written: No such file", message)
os.remove(path)
nothing, message = bare:figure { days = 0.1 }
assert(nothing == nil and message:find "hour", message)
fails("figure: days is a string, expected a number", one.figure, one, { days = "2" })

-- A failure names the case, and other cases end with it.
local bad = pinery.compare {
  weather = weather, house = house, options = { days = 30 },
  { "fine", slits }, { "wrong", slits:with { control = function(_, orders) orders.vent_lee = 2 end } },
}
nothing, message = bad:run()
assert(nothing == nil and message:find "^wrong: .-compare%.lua:%d+: orders%.vent_lee = 2 is outside 0 .. 1\n", message)
fails("has not been run", function() return bad.fine end)
fails("a message of my own", function()
  pinery.compare({ weather = weather, house = house, options = { days = 60 }, { slits } }):run(function() error "a message of my own" end)
end)
local nested
nested = pinery.compare {
  weather = weather, house = house, options = options,
  { "nested", function() local ok, text = pcall(nested.run, nested) assert(not ok and text:find "running already") end },
}
assert(nested:run())
assert(select(2, pinery.compare({ weather = weather, house = house, { "x", slits, options = { first_day = 1, days = 1, tolerance = 1 } } }):run()) == nil)

-- Wrong arguments.
fails("compare: there is nothing to compare", pinery.compare, { weather = weather })
fails("compare: unknown field wether; known are weather, house, options, reference", pinery.compare, { wether = weather, { slits } })
fails("case: unknown field hous; known are", pinery.compare, { weather = weather, house = house, { slits, hous = house } })
fails("two cases are named \"slits\"", pinery.compare, { weather = weather, house = house, { slits }, { slits } })
fails("weather is missing, expected pinery%.weather", pinery.compare, { house = house, { slits } })
fails("house is missing, expected pinery%.house", pinery.compare, { weather = weather, { slits } })
fails("strategy is a number, expected pinery%.strategy", pinery.compare, { weather = weather, house = house, { "x", 3 } })
fails("case 1 is a userdata, expected { \"name\", strategy }", pinery.compare, { weather = weather, house = house, slits })
fails("options: unknown field dais %(did you mean days%?%)", pinery.run, { weather = weather, house = house, strategy = slits, options = { dais = 3 } })
fails("house: unknown field lenght", pinery.run, { weather = weather, house = { lenght = 3 }, strategy = slits })
fails("no place 'Atlantis'", pinery.run, { weather = { typical = "Atlantis" }, house = house, strategy = slits })

-- Handles: closed by hand, by scope, by the collector, in any order.
one:close()
one:close()
fails("the result is closed", function() return one.gas_m3_per_m2 end)
fails("the result is closed", both.report, both)
assert(tostring(one):find "closed")
do
  local scoped <close> = assert(pinery.run { weather = weather, house = house, strategy = slits, options = { days = 0.1, spin_up = 0 } })
end
for i = 1, 30 do
  local w = i % 3 == 0 and pinery.weather { typical = "Denver" } or weather
  local r = assert(pinery.run { weather = w, house = house, options = { days = 0.02, spin_up = 0, control_interval = 600 },
    strategy = i % 2 == 0 and slits or function(seen, orders, run)
      collectgarbage()
      run.memory[1] = { seen.hour }
      orders.slit[1] = { by_humidity = 0.1, humidity_start = 70, humidity_full = 80 }
    end })
  if i % 3 == 0 and i % 2 == 0 then
    w:close()
  end
  w, r = nil, nil
  collectgarbage()
end
print "compare: all is well"
