-- Lettuce near Helsinki, not lit. One energy cloth or two: what does the second save in a year, and on the coldest hour,
-- and how much light do both cost?
local pinery = require "pinery"

local one = pinery.house {
    name = "one cloth", length = 80, width = 64, crop = "lettuce", wall = "structured sheet 16 mm",
    lower_pipes = { length = 2 }, upper_pipes = { length = 1.2 },
    drives = { { cloth = "clear energy cloth" } },
}
-- The second hangs above the first and is of the same cloth, so that only the number of cloths differs.
local two = one:with { name = "two cloths", drives = { { cloth = "clear energy cloth" }, { cloth = "clear energy cloth" } } }

local strategy = pinery.strategy {
    periods = { { from = "sunrise", at = 0, heating = 14, ventilation = 19 },
                { from = "sunset", at = 0, heating = 10, ventilation = 15 } },
    vent_over_screen = 0.02,
    screens = {
        { close_below_outside = 10, day_light = 100, day_outside = 2 },
        { close_below_outside = 4, day_light = 50, day_outside = -5 }, -- the second for cold nights and dark cold days
    },
}

return pinery.compare {
    weather = { typical = "Helsinki" },
    { "one cloth", strategy, house = one },
    { "two cloths", strategy, house = two },
}
