-- Cucumbers near London, Ontario, in two damp weeks of October. Last year: an energy cloth, slits pulled in it when it
-- is damp, and a minimum pipe. This year: a cloth half metallised, kept shut, dried by fans, no minimum pipe. What does
-- that save, which of the three saves it and by which way, and how sure is it? (days = 365 asks the same of a year.)
local pinery = require "pinery"

local weather = pinery.weather { typical = "London ON" }
local options = { first_day = 288, days = 14, spin_up = 3 }

local house = pinery.house {
    length = 120, width = 96, crop = "cucumber", wall_cloth_resistance = 0.3,
    drives = { { cloth = "energy cloth" } }, lower_pipes = { length = 2 }, upper_pipes = { length = 1 },
    through_fans = { flow = 2500 / 3600, area = 250, power = 200 }, -- hung last year already, and not used
}
local last_year = pinery.strategy {
    name = "last year", pinery.day_night { sun = true, day = 21, night = 18.5 }, hold_coldest = true,
    pinery.humidity_slit { most = 0.15, start = 78, full = 88 }, fan_most = 0,
    minimum_pipe = 40, vent_over_screen = 0.02,
}

-- What differs, one part at a time.
local cloth = { drives = { { cloth = "half metallised cloth" } } }
local fans = { pinery.shut_with_fans { start = 78, full = 88 } }
local no_minimum = { minimum_pipe = 0 }

local new_house = house:with(cloth)
local this_year = last_year:with(fans):with(no_minimum):with { name = "this year" }

-- What does it save, and is it the same crop?
local saved = pinery.compare {
    weather = weather, options = options, reference = "last year",
    { last_year, house = house }, { this_year, house = new_house },
}

-- Why: each part's share, over all eight ways of taking them.
local why = assert(pinery.explain {
    weather = weather, options = options, house = house, strategy = last_year,
    reference = "last year", other = "this year",
    parts = { { "half metallised cloth", house = cloth }, { "fans, no slits", strategy = fans },
              { "no minimum pipe", strategy = no_minimum } },
})

-- How sure: what is known least of this house, the same draw for both years. The spreads are judgement, no source.
local sure = assert(pinery.how_sure {
    weather = weather, options = options, runs = 32, seed = 1,
    reference = { "last year", last_year, house = house }, other = { "this year", this_year, house = new_house },
    inputs = {
        { "house.leakage", lognormal = { 1e-4, 1.6 } },
        { "house.drives[1].edge_gap", triangular = { 0.001, 0.003, 0.01 } },
        { "house.crop.transpiration_factor", normal = { 1, 0.15 }, from = 0.6, to = 1.4 },
        { "house.drives[1].cloth.emissivity_up", name = "metallised face, dusty or not", only = "other",
          uniform = { 0.3, 0.5 } },
        { "strategy.periods[2].heating", name = "night, as it is held", by = "plus", normal = { 0, 0.3 } },
    },
})

return saved, why, sure
