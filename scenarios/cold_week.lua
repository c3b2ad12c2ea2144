-- Alstroemeria near Stockholm under two cloths: how does the house get through the coldest week of its winter? The coldest
-- night hour by hour, and the whole week as a figure.
local pinery = require "pinery"

local weather = pinery.weather { typical = "Stockholm Arlanda" }

-- The seven days, midnight to midnight, whose mean temperature is lowest.
local air = weather:values "temperature"
local coldest, first_day = math.huge, nil
for day = 1, 359 do
    local sum = 0
    for hour = 24 * (day - 1) + 1, 24 * (day + 6) do sum = sum + air[hour] end
    if sum / 168 < coldest then coldest, first_day = sum / 168, day end
end

local week = assert(pinery.run {
    weather = weather,
    house = {
        length = 60, width = 48, wall_cloth_resistance = 0.3, crop = "alstroemeria",
        lower_pipes = { length = 2 }, upper_pipes = { length = 1.2 },
        drives = { { cloth = "energy cloth" }, { cloth = "metallised night cloth" } },
    },
    strategy = {
        name = "coldest week",
        periods = { { from = "sunrise", at = 0, heating = 14, ventilation = 18 },
                    { from = "sunset", at = 0, heating = 12, ventilation = 16 } },
        hold_coldest = true, vent_over_screen = 0.01,
        screens = { { day_light = 60, day_outside = 0 }, { close_below_outside = 5 } },
    },
    options = { first_day = first_day, days = 7, keep_hours = true },
})

local function watts(heading) -- MJ/m2 in an hour to W/m2
    local heat = week:hours("heat", heading)
    for i, megajoule in ipairs(heat) do heat[i] = megajoule / 3600e-6 end
    return heat
end

local column = {
    { "outside degC", week:hours "outside" }, { "wind m/s", week:hours "outside_wind" },
    { "over cloths degC", week:hours "air_roof" }, { "plant tops degC", week:hours "air_upper" },
    { "among crop degC", week:hours "air_lower" }, { "humidity %", week:hours "humidity_upper" },
    { "end to end K", week:hours "end_to_end" }, { "lower pipes W/m2", watts "heat_lower" },
    { "upper pipes W/m2", watts "heat_upper" },
}

-- The night, noon to noon, with the coldest hour.
local outside, worst = column[1][2], 13
for hour = 13, 156 do if outside[hour] < outside[worst] then worst = hour end end
local noon = 24 * ((worst - 13) // 24) + 12

print(string.format("Week from day %d of the year, %.1f degC in the mean; the night with its coldest hour:\n", first_day,
                    coldest))
io.write("hour")
for _, c in ipairs(column) do io.write(string.format("%18s", c[1])) end
for hour = noon + 5, noon + 22 do
    io.write(string.format("\n%4d", (hour - 1) % 24))
    for _, c in ipairs(column) do io.write(string.format("%18.1f", c[2][hour])) end
end
print "\n"

-- In letters; with file = "week.png" it is drawn into that file beside this one.
print(assert(week:figure { from = first_day, days = 7 }))

return week -- its totals follow
