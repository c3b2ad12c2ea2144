-- Cut roses near Denver, lit in the dark months. The same house, crop and weather twice: slits pulled in the energy
-- cloth when it is damp, or the cloth kept shut and the dry air above it brought down by fans. What does each use?
local pinery = require "pinery"

local house = pinery.house {
    length = 100, width = 64, wall_cloth_resistance = 0.3, crop = "cut rose", drives = { { cloth = "energy cloth" } },
    lower_pipes = { length = 2 }, upper_pipes = { length = 1 }, lamps = { { "sodium top lamps", power = 80 } },
    through_fans = { flow = 2500 / 3600, area = 250, power = 200 },     -- of one unit: m3/s, m2 it serves, W
    circulation_fans = { flow = 5000 / 3600, area = 250, power = 200 },
}
local usual = pinery.strategy {
    pinery.day_night { sun = true, day = 18.5, night = 17 }, pinery.lamp_hours { from = 3, to = 19 },
    hold_coldest = true,     -- the pipes are run for the coldest place, as a grower runs them
    vent_over_screen = 0.03, -- the vents stay ajar over the shut cloth, so that the air there is dry
}
local slits = usual:with { pinery.humidity_slit { most = 0.2, start = 80, full = 88 }, fan_most = 0 }
local fans = usual:with { pinery.shut_with_fans { start = 80, full = 88 }, circulation_shut = 1 }

return pinery.compare { weather = { typical = "Denver" }, house = house, { "slits", slits }, { "fans", fans } }
