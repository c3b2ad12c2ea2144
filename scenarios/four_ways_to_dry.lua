-- Sweet peppers near Billund, not lit, under one energy cloth. The same house is to stay under the same humidity at night by a
-- slit in the cloth, by fans that bring dry air down through it, by ventilation with recovery of heat, or by a condensing
-- dehumidifier. What does each use from October to April, how much water does it take out, and how damp does it get?
local pinery = require "pinery"

local start, full = 83, 90 -- per cent: nothing at the one, everything at the other

local house = pinery.house {
    length = 120, width = 80, wall_cloth_resistance = 0.3, crop = "sweet pepper", drives = { { cloth = "energy cloth" } },
    lower_pipes = { length = 2 }, upper_pipes = { length = 1 },
}
-- Sizes are of a unit and the floor that it serves: m3/s, W, m2.
local with_fans = house:with { through_fans = { flow = 2500 / 3600, area = 250, power = 200 } }
local with_recovery = house:with { recovery = { flow = 5000 / 3600, area = 500, power = 900, sensible = 0.7 } }
local with_dehumidifier = house:with { dehumidifier = { cooling = 25000, area = 1000, flow = 1.4, fan_power = 700 } }

local usual = pinery.strategy {
    pinery.day_night { sun = true, day = 20, night = 17.5 }, pinery.cold_night_screen { below = 14, day_light = 40, day_below = 5 },
    fan_most = 0,
}
local ajar = { vent_humidity_start = start, vent_humidity_full = full, vent_over_screen = 0.02 } -- vents open for humidity
local slit = usual:with { ajar, pinery.humidity_slit { most = 0.1, start = start, full = full } }
local fans = usual:with { ajar, pinery.shut_with_fans { start = start, full = full } }
local recovery = usual:with { pinery.dry_by { device = "recovery", start = start, full = full } } -- vents for heat alone
local dehumidifier = usual:with { pinery.dry_by { device = "dehumidifier", start = start, full = full } }

return pinery.compare {
    weather = { typical = "Billund" }, options = { first_day = 274, days = 212 },
    { "slit", slit, house = house },
    { "fans", fans, house = with_fans },
    { "recovery", recovery, house = with_recovery },
    { "dehumidifier", dehumidifier, house = with_dehumidifier },
}
