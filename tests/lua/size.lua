-- Sizing: the search finds what all runs of a fine grid say, the curve is that of runs by themselves, wrong arguments say what.
local pinery = require "pinery"

local function fails(pattern, f, ...)
  local ok, message = pcall(f, ...)
  assert(not ok and message:find(pattern), tostring(message) .. "\ndoes not match " .. pattern)
end

local house = pinery.house {
  length = 80, width = 60, crop = "lit tomato", lower_pipes = { length = 2 }, drives = { { cloth = "energy cloth" } },
  lamps = { { "led top lamps", power = 80 } }, through_fans = { flow = 0.5, power = 150 }, -- 1800 m3/h
}
local strategy = pinery.strategy { pinery.shut_with_fans { start = 78, full = 86 }, vent_over_screen = 0.03 }
local question = { weather = pinery.weather { typical = "Montreal" }, house = house, strategy = strategy,
  options = { first_day = 10, days = 4, spin_up = 1 }, limit = 85, hours_allowed = 0, limits = { 85, 90 }, most = 12, step = 1 }
local function size(more)
  local asked = {}
  for key, value in pairs(question) do asked[key] = value end
  for key, value in pairs(more or {}) do asked[key] = value end
  return pinery.size(asked)
end

-- Every capacity of the grid, run.
local all = assert(size { points = 12 })
assert(#all.curve == 13)
local most, least = all.curve[1].hours[85], all.curve[13].hours[85]
assert(most > least + 2, "the fans do too little here for a test: " .. most .. ", " .. least)
local function by_force(allowed)
  local enough
  for i = #all.curve, 1, -1 do
    if all.curve[i].hours[85] > allowed then
      break
    end
    enough = all.curve[i]
  end
  return enough
end

-- The search, from a few capacities, for hours allowed all the way from none to all: the same answer from fewer runs.
local found, fewer = 0, 0
for _, share in ipairs { -0.1, 0.05, 0.3, 0.6, 0.9, 1 } do
  local allowed = math.max(0, least + share * (most - least))
  local answer, want = assert(size { hours_allowed = allowed, points = 2 }), by_force(allowed)
  assert(answer.capacity == (want and want.capacity), string.format("%s instead of %s", answer.capacity, want and want.capacity))
  if want then
    found = found + 1
    fewer = fewer + (#answer.curve < 10 and 1 or 0)
    assert(answer.units_per_ha == want.units_per_ha and answer.needed[85].hours[85] == want.hours[85])
    assert(math.abs(answer.units_per_ha - want.capacity * 10000 / 1800) < 1e-9)
    assert(math.abs(answer.kW_per_ha - answer.units_per_ha * 0.150) < 1e-9)
  else
    assert(answer:report():find "no capacity up to 12 m3/m2/h is enough")
  end
end
assert(found >= 4 and fewer >= 4, found .. " found, " .. fewer .. " from fewer runs")
assert(size { hours_allowed = 1000, points = 1 }.capacity == 0) -- none are needed

-- A point of the curve is the run with so many fans.
local five = assert(pinery.run { weather = question.weather, strategy = strategy, options = question.options,
  house = house:with { through_fans = { area = 360 } } }) -- 1800 m3/h over 360 m2
local point = all.curve[6]
assert(point.capacity == 5 and point.hours[85] == five.hours_humidity_over_85 and point.gas == five.gas_m3_per_m2)
assert(point.kWh == five.electricity_fan_through_kWh_per_m2 and point.longest_h[90] == five.longest_humidity_over_90_h)
local none = assert(pinery.run { weather = question.weather, strategy = strategy, options = question.options,
  house = house:with { through_fans = false } })
assert(all.curve[1].hours[85] == none.hours_humidity_over_85)

-- Several limits, and a colder place, which is damper.
local both = assert(size { hours_allowed = { [85] = most - 1, [90] = 1000 }, points = 2, place = "colder_2" })
assert(both.needed[90].capacity == 0 and both.curve[1].hours[85] > most)
assert(both:report():find "in a place 2 K colder" and both:report():find "no design, no quotation, no warranty")

-- As a figure and as JSON.
local path = os.tmpname()
assert(both:save_json(path) and io.open(path):read "a":find '"hours_allowed":')
os.remove(path)
assert(all:figure(path .. ".svg") and io.open(path .. ".svg"):read "a":find "over 85 %%")
os.remove(path .. ".svg")
assert(all:figure():find "over 85 %%")
local nothing, message = all:figure "x.jpg"
assert(nothing == nil and message:find "x.jpg", message)

-- Wrong arguments, and a run that fails.
fails("size: hours_allowed is missing for 85 %%", size, { hours_allowed = { [90] = 1 } })
fails("size: unknown field fans", size, { fans = 3 })
fails("size: limit = 80, expected one of 100, 85, 90, 95", size, { limit = 80 })
fails("size: place = roof, expected one of air, colder_1", size, { place = "roof" })
fails("size: machine = heater, expected one of", size, { machine = "heater" })
fails("size: step = 0.1 m3/m2/h is less than one unit of 1800 m3/h a hectare brings, 0.18", size, { step = 0.1 })
fails("size: most = x m3/m2/h is outside", size, { most = "x" })
fails("the house has no through_fans", size, { house = house:with { through_fans = false } })
nothing, message = size { strategy = function() error "not today" end, points = 1 }
assert(nothing == nil and message:find "^size: .*not today", message)
print "size: all is well"
