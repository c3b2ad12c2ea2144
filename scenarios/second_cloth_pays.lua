-- Pot plants near Billund. Their grower asks: should a second cloth, half of it metallised, be hung over the energy cloth,
-- at what I pay for gas and power, and for light that I lose? The bill by item, payback, and what would turn it round.
-- Prices and costs are made up, in the manner of a Danish bill; put your own.
local pinery = require "pinery"

local one = pinery.house {
    name = "one cloth", length = 90, width = 64, crop = "pot plants", wall_cloth_resistance = 0.25,
    lower_pipes = { length = 2.2 }, upper_pipes = { length = 1 },
    drives = { { cloth = "energy cloth" } },
}
local two = one:with { name = "two cloths", drives = { {}, { cloth = "half metallised cloth" } } }

local strategy = pinery.strategy {
    pinery.day_night { sun = true, day = 20, night = 18.5 },
    vent_over_screen = 0.02,
    screens = {
        { close_below_outside = 13, day_light = 60, day_outside = 3 },
        { close_below_outside = 7 }, -- the second on cold nights only: by day it would take too much light
    },
}

local both = pinery.compare {
    weather = { typical = "Billund" },
    { "one cloth", strategy, house = one },
    { "two cloths", strategy, house = two },
}

-- Power by the hour: dear from 7 to 10 and from 17 to 20, cheap at night.
local power = {}
for hour = 0, 8759 do
    local h = hour % 24
    power[hour + 1] = (h < 6 and 0.55) or ((h >= 7 and h < 10 or h >= 17 and h < 20) and 1.20) or 0.85
end

local money = pinery.money {
    both,
    reference = "one cloth",
    tariff = {
        currency = "DKK", gas_unit = "kWh gross", show_currency = "EUR", show_rate = 1 / 7.46,
        gas_price = { 0.46, 0.46, 0.42, 0.38, 0.34, 0.32, 0.32, 0.32, 0.34, 0.38, 0.42, 0.45 }, -- January first
        gas_levy = 0.10, gas_capacity = 55, gas_booked = 0.25, gas_standing = 6000, -- what is booked stays booked, for snow
        power_price = power, power_levy = 0.15, power_peak = 25, power_standing = 3000,
        light_value = 0.09, co2_price = 300, power_co2 = 0.12,
    },
    invest = { price = 95, maintenance = 1.2, life = 10, interest = 0.05 }, -- of the second cloth, a m2 of floor
}

return both, money -- what it does to the air as well; with --page FILE.html all of it on one page
