-- A against A is nothing, and A against B is minus B against A, in every result, whichever of two ways a house is run.
local pinery = require "pinery"

local weather = pinery.weather { typical = "Berlin" }
local house = pinery.house { drives = { { cloth = "energy cloth" } }, lower_pipes = { length = 2 } }
local usual = pinery.strategy { name = "usual", pinery.humidity_slit { most = 0.2, start = 70, full = 85 } }
local others = {
  usual:with { pinery.shut_with_fans {} }, usual:with { pinery.day_night { day = 21, night = 15 } },
  usual:with { vent_humidity_max = 0.2, vent_humidity_start = 60 },
}

local function rows(reference, ...)
  local compare = { weather = weather, house = house, reference = reference, options = { days = 2, spin_up = 1, first_day = 40 } }
  for i, strategy in ipairs { ... } do
    compare[i] = { "way " .. i, strategy }
  end
  return assert(pinery.compare(compare):run()):rows()
end

for _, other in ipairs(others) do
  local one, back, same = rows("way 1", usual, other), rows("way 2", usual, other), rows("way 1", usual, usual)
  local moved = 0
  assert(#one == #back and #one > 20)
  for i, row in ipairs(one) do
    local d, b, s = row.differences[2], back[i].differences[1], same[i].differences[2]
    local measured = d == d
    assert(not measured or d == -b, row.name)
    assert(s == 0 or not measured or s ~= s, row.name)
    moved = moved + (measured and d ~= 0 and 1 or 0)
  end
  assert(moved > 5)
end
