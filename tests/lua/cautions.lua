-- What stands in a house brings its cautions; a comparison is checked as a whole; what fails in a run fails in a check.
local pinery = require "pinery"

local weather = pinery.weather { typical = "Denver" }
local house = pinery.house { drives = { { cloth = "energy cloth" } }, lower_pipes = { length = 2 }, through_fans = { flow = 0.7 } }
local usual = pinery.strategy {}
local careless = usual:with { screens = { { open_in_snow = false } } }

local function silent(strategy, given_house, options)
  local advice = assert(pinery.check { "it", strategy, house = given_house, weather = weather, options = options })
  assert(#advice == 1 and #advice[1].warnings == 0, tostring(advice))
  return advice[1]
end

-- Cautions belong to what stands in a house, and to nothing else.
local function cautions(given)
  local keys = {}
  for _, caution in ipairs(silent({}, pinery.house(given), { days = 1, spin_up = 0 }).cautions) do
    keys[#keys + 1] = caution.key
  end
  return table.concat(keys, " ")
end
assert(cautions {} == "")
assert(cautions { lamps = { { power = 50 } } } == "light_at_night")
assert(cautions { lamps = { { power = 50, place = "rows" } } } == "")
assert(cautions { drives = { {} } } == "structure")
assert(cautions { drives = { { cloth = "blackout cloth" } } } == "structure people")
assert(cautions { drives = { { cloths = { "energy cloth", "blackout cloth" } } } } == "structure people")
assert(cautions { circulation_fans = { flow = 1 } } == "structure moving_parts")
assert(cautions { duct = { flow = 1 } } == "structure moving_parts")
assert(cautions { tank = { volume = 0.01 } } == "machines")
assert(cautions { dehumidifier = { cooling = 20000 } } == "machines")
assert(cautions { heat_pump = { heat = 20 }, bought_heat = { heat = 20 } } == "machines")
assert(cautions { carbon = { balance = true, most = 4e-6 } } == "carbon")
assert(cautions { drives = { {} }, lamps = { { power = 50 } } } == "structure fire light_at_night")
assert(cautions { drives = { {} }, through_fans = { flow = 0.7 } } == "structure power_failure moving_parts")
local machines = silent({}, pinery.house { tank = { volume = 0.01 }, cogeneration = { power = 20 } }, { days = 1, spin_up = 0 })
assert(machines.cautions[1].rule == "a tank, an engine" and machines.cautions[1].caution:find "Legionella")

-- A comparison is checked as a whole, and can be run afterwards as if it had not been.
local comparison = pinery.compare { weather = weather, house = house, options = { first_day = 32, days = 3, spin_up = 0.5 },
  { "good", usual }, { "bad", careless } }
local advice = assert(comparison:check())
assert(#advice == 2 and advice[1].case == "good" and #advice[1].warnings == 0 and advice[2].warnings[1].key == "cloth_in_snow")
local text = tostring(advice)
assert(text:find "good: no warning\nbad:\n  WARNING" and text:find "load on the frame %(good, bad: 1 drive with a cloth, through%-cloth fans%)")
assert(comparison:run())
local alone = assert(pinery.run { strategy = careless, weather = weather, house = house, options = { first_day = 32, days = 3, spin_up = 0.5 } })
assert(comparison.bad.heat_MJ_per_m2 == alone.heat_MJ_per_m2 and comparison.bad:input().options.days == 3)
local ok, message = pcall(comparison.check, comparison)
assert(not ok and message:find "has been run; check it before", message)

-- What fails in a run fails in a check.
local none
none, message = pinery.check { function(_, orders) orders.vent_lee = 2 end, house = {}, weather = weather, options = { days = 1, spin_up = 0 } }
assert(not none and message:find "orders.vent_lee = 2 is outside 0 .. 1", message)
ok, message = pcall(pinery.check, { {}, house = {} })
assert(not ok and message:find "weather is missing", message)
print "cautions: all is well"
