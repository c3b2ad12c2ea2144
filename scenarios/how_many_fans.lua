-- Lit tomatoes near Montreal under an energy cloth that is to stay shut at night, without a slit. An engineer has to quote:
-- how many through-cloth fans a hectare keep the air under the shut cloth over 90 % for no more than 175 h a year?
local pinery = require "pinery"

local house = pinery.house {
    name = "lit tomatoes", length = 120, width = 80, wall_cloth_resistance = 0.3, crop = "lit tomato",
    lower_pipes = { length = 2.2 }, upper_pipes = { length = 1 }, drives = { { cloth = "energy cloth" } },
    lamps = { { "led top lamps", power = 60 } },
    through_fans = { flow = 2800 / 3600, power = 230 }, -- of one unit, as its data sheet says; how many is the question
}

local weather = pinery.weather { typical = "Montreal" }
local strategy = pinery.strategy {
    pinery.day_night { sun = true, day = 20, night = 18 }, pinery.lamp_hours { from = 1, to = 19 },
    pinery.shut_with_fans { start = 80, full = 87 },
    vent_over_screen = 0.05, vent_humidity_start = 80, vent_humidity_full = 88, vent_humidity_max = 0.2,
}

local answer = assert(pinery.size {
    weather = weather, house = house, strategy = strategy,
    place = "under_cloth", -- fans through a cloth do nothing for the hours in which none is drawn
    limit = 90, hours_allowed = 175, most = 20, step = 1, points = 4,
})

-- What else so many do, beside the house without.
return answer, pinery.compare {
    weather = weather,
    { "no fans", strategy, house = house:with { through_fans = false } },
    { "fans", strategy, house = house:with { through_fans = { area = 10000 / answer.units_per_ha } } },
}
