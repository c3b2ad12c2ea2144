-- What a square metre of house loses on a clear cold night: covers with and without cloths, settled, no sun, 18 degC held
-- inside. First the covers alone, dry and sealed, as handbooks state their U-values; then with a leaf area of 3.
local pinery = require "pinery"

local night = { outside = 0, outside_humidity = 80, wind = 4, deep = 10 } -- wind at 10 m; the clear sky follows from these
local covers = { "single glass", "double glass", "double low-e glass", "single film", "inflated double film",
                 "structured sheet 16 mm" }
local cloths = { "energy cloth", "metallised night cloth" }

local function at_rest(house, orders)
    local conditions = { house = house }
    for key, value in pairs(night) do conditions[key] = value end
    for key, value in pairs(orders) do conditions[key] = value end
    return assert(pinery.steady(conditions))
end

-- A piece out of the middle of a large house, so that walls do not count; pipes that can hold it.
local pipes = { length = 5, max_power = 600 }
local middle = pinery.house { walls = false, lower_pipes = pipes, boiler = { max_power = 600 } }
local dry = middle:with { leakage = 0, crop = { leaf_area = 0.01, transpiration_factor = 0 } }

local rows = {}
for _, cover in ipairs(covers) do rows[#rows + 1] = { cover, at_rest(dry:with { cover = cover }, {}) } end
print("Dry and sealed:\n" .. pinery.night_table(rows))

rows = {}
for _, cover in ipairs(covers) do
    local house = middle:with { cover = cover, drives = { { cloth = cloths[1] }, { cloth = cloths[2] } } }
    rows[#rows + 1] = { cover, at_rest(house, {}) }
    rows[#rows + 1] = { "  + " .. cloths[1], at_rest(house, { cloth_1 = 1 }) }
    rows[#rows + 1] = { "  + " .. cloths[2] .. " over it", at_rest(house, { cloth_1 = 1, cloth_2 = 1 }) }
end
print("With a crop, leaks and wet faces:\n" .. pinery.night_table(rows))

-- The wind's part of it: published laws of heat loss to the wind differ by a factor of three at 4 m/s.
local glass = dry:with { cover = "single glass" }
print "U-value of dry single glass per m2 of cover, W/(m2 K), by wind at 10 m and law of heat loss to it:"
io.write(string.format("%-12s", "m/s"))
local winds, laws = { 0, 2, 4, 6, 10 }, { "bot", "mcadams", "watmuff", "papadakis" }
for _, wind in ipairs(winds) do io.write(string.format("%8g", wind)) end
for _, law in ipairs(laws) do
    io.write(string.format("\n%-12s", law))
    for _, wind in ipairs(winds) do
        io.write(string.format("%8.2f", at_rest(glass:with { outside_convection = law }, { wind = wind }).U_tight))
    end
end
print()
