-- The house at rest from a script: what comes out, and what is refused. The numbers are held in C (test_steady.c).
local pinery = require "pinery"

local function fails(pattern, f, ...)
  local ok, message = pcall(f, ...)
  assert(not ok, "expected an error that matches " .. pattern)
  assert(type(message) == "string" and message:find(pattern), tostring(message) .. "\ndoes not match " .. pattern)
end

local house = pinery.house {
  lower_pipes = { length = 5, max_power = 600 }, boiler = { max_power = 600 },
  drives = { { cloth = "energy cloth" }, { cloth = "metallised night cloth" } },
}
local parked = assert(pinery.steady { house = house, outside = -10, wind = 3 })
local drawn = assert(pinery.steady { house = house, outside = -10, wind = 3, cloth_1 = 1, cloth_2 = 1 })
assert(parked.held and drawn.held and drawn.heat < 0.8 * parked.heat)
assert(math.abs(parked.U_floor * parked.above_outside - parked.heat) < 1e-9 * parked.heat)
assert(math.abs(parked.U_cover * parked.cover_area - parked.U_floor) < 1e-9)
assert(math.abs(parked.reading.air_seen - 18) < 1e-6 and parked.reading.outside == -10)
assert(drawn.reading.cloth_2 == 1 and drawn.reading.cover < parked.reading.cover)

-- Every result is there under its name; the ways out are the heat.
local sum = 0
for _, row in ipairs(pinery.names "steady") do
  assert(math.type(parked[row.name]) == "float", row.name)
  if row.name:find "^out_" then
    sum = sum + parked[row.name]
  end
end
assert(math.abs(sum - parked.heat) < 1e-6)
local by = parked.heat_by_heading
assert(math.abs(by.cover_sky + by.through_sky + by.cloths_sky - parked.out_longwave) < 1e-9 and by.sun_canopy == 0)
assert(parked.water_by_heading.transpiration > 0 and parked.water_by_heading.cover_sky == nil)

-- A warm sky, a sky given either way, a house as a table, a temperature of the pipes.
local warm = pinery.steady { house = house, outside = -10, wind = 3, cloud = 1 }
assert(warm.heat < parked.heat and warm.reading.outside_infrared > parked.reading.outside_infrared)
local given = pinery.steady { house = house, outside = -10, wind = 3, infrared = parked.reading.outside_infrared }
assert(math.abs(given.heat - parked.heat) < 1e-6)
local pipes = pinery.steady { house = { lower_pipes = { length = 2 } }, pipe_lower = 50, outside = 5 }
assert(pipes.reading.pipe_lower > 45 and pipes.reading.pipe_lower <= 50)

fails("steady%.lua:%d+: conditions: outside = 200 degC is outside %-60", pinery.steady, { house = house, outside = 200 })
fails("steady%.lua:%d+: conditions: unknown field ouside %(did you mean outside%?%)", pinery.steady, { ouside = 1 })
fails("conditions: cloth_3 = 1, but the house has 2 drives", pinery.steady, { house = house, cloth_3 = 1 })
fails("sky = %-5 degC and infrared = 300 W/m2 say the same thing twice", pinery.steady,
  { house = house, sky = -5, infrared = 300 })
fails("house", pinery.steady, { outside = 3 })
fails("steady: expected a table, got a number", pinery.steady, 3)

-- The table.
local text = pinery.night_table { { "parked", parked }, { "drawn", drawn } }
assert(text:find "parked" and text:find(string.format("%.1f", drawn.heat), 1, true))
fails("night_table: row 1", pinery.night_table, { { "x", {} } })
local lines = select(2, pinery.night({ { "house", house } }, { outside = -10 }):gsub("\n", "\n"))
assert(lines == 5, lines) -- two of heading, parked, one and two drawn
