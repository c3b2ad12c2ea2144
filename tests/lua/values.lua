-- Houses, strategies and weather as values: defaults, presets, derivation, and the text of every kind of error.
local pinery = require "pinery"

local function fails(pattern, f, ...)
  local ok, message = pcall(f, ...)
  assert(not ok, "expected an error that matches " .. pattern)
  assert(type(message) == "string" and message:find(pattern), tostring(message) .. "\ndoes not match " .. pattern)
  return message
end

-- Any line of this file: what is called straight by pcall is called from the line of pcall.
local function here()
  return "^.-values%.lua:%d+: "
end

-- Defaults are those of the field lists.
local lists = {}
for _, list in ipairs(pinery.fields()) do
  lists[list.title] = {}
  for _, field in ipairs(list) do
    lists[list.title][field.name] = field
  end
end
local house = pinery.house {}
assert(house.length == lists.house.length.default and house.walls == true and house.name == "")
assert(house.outside_convection == lists.house.outside_convection.choices:match "[^|]+")
assert(#house.drives == 0 and #house.lamps == 2)
assert(pinery.strategy({}).periods[1].heating == 18 and #pinery.strategy({}).periods == 1)
assert(pinery.strategy({}).screens[1].dark_from == nil)

-- What is given is what is kept.
local cloth, second, lamp = pinery.presets("cloth")[1], pinery.presets("cloth")[2], pinery.presets("lamp")[1]
house = pinery.house {
  name = "north", length = 80, walls = false, outside_convection = "mcadams",
  cover = { haze = 0.25 },
  drives = { { cloth = cloth, run_time = 300 }, { cloths = { { cloth, thickness = 0.001 }, second } } },
  lower_pipes = { length = 1.25 }, lamps = { { lamp, power = 40 } },
  crop = { pinery.presets("crop")[1], calendar = { [200] = 3, [15] = 0.5 } },
}
assert(house.name == "north" and house.length == 80 and house.walls == false and house.outside_convection == "mcadams")
assert(house.cover.haze == 0.25 and house.wall.haze == pinery.house({}).wall.haze)
assert(#house.drives == 2 and house.drives[1].run_time == 300 and #house.drives[1].cloths == 1)
assert(#house.drives[2].cloths == 2 and house.drives[2].cloths[1].thickness == 0.001)
assert(house.drives[2].cloths[2].thickness == pinery.preset("cloth", second).thickness)
assert(house.lamps[1].power == 40 and house.lamps[1].photons == pinery.preset("lamp", lamp).photons)
local tall = pinery.house { crop = { calendar = { [15] = { 0.5, height = 0.3 }, [200] = { 3, height = 2.5 }, [300] = 0 } } }
assert(tall.crop.calendar[200][1] == 3 and tall.crop.calendar[200].height == 2.5 and tall.crop.calendar[300] == 0)
assert(house.crop.calendar[15] == 0.5 and house.crop.calendar[200] == 3 and house.crop.calendar[16] == nil)
assert(tostring(house) == "house north")

-- A derived house differs in what was named; the first is as it was.
local other = house:with { length = 90, drives = { [2] = { cloths = { [2] = false } } }, lamps = { false } }
assert(house.length == 80 and #house.drives[2].cloths == 2 and house.lamps[1].power == 40)
assert(other.length == 90 and other.name == "north" and #other.drives[2].cloths == 1 and other.lamps[1].power == 0)
assert(other.drives[2].cloths[1].thickness == 0.001 and other.drives[1].run_time == 300)
other = house:with { drives = { false } }
assert(#other.drives == 1 and other.drives[1].cloths[1].thickness == 0.001)
assert(#house:with({ drives = { false, false } }).drives == 0)
assert(house:with({ lower_pipes = false }).lower_pipes.length == 0)

-- The whole of a value reads back to the same value, as a table and as source.
local function same(a, b, path)
  assert(type(a) == type(b), path)
  if type(a) ~= "table" then
    assert(a == b, path)
    return
  end
  for key in pairs(a) do
    same(a[key], b[key], path .. "." .. tostring(key))
  end
  for key in pairs(b) do
    assert(a[key] ~= nil, path .. "." .. tostring(key))
  end
end
same(house:table(), pinery.house(house:table()):table(), "house")
same(house:table(), load("return " .. pinery.source(house:table()))(), "house")

local strategy = pinery.strategy {
  pinery.day_night { day = 19, night = 17, above = 5 }, pinery.humidity_slit { drive = 2, most = 0.04 },
  pinery.lamp_hours { from = 2, to = 16 }, pinery.blackout {}, name = "slits", fan_least = 0.1,
}
assert(strategy.periods[1].heating == 19 and strategy.periods[2].ventilation == 22 and strategy.periods[2].at == 19)
assert(strategy.screens[2].slit_humidity_max == 0.04 and strategy.screens[1].slit_humidity_max == 0)
assert(strategy.lighting[1].to == 16 and strategy.screens[1].dark_from == 18 and strategy.fan_least == 0.1)
same(strategy:table(), pinery.strategy(strategy:table()):table(), "strategy")
local shut = strategy:with { pinery.shut_with_fans { start = 84 }, name = "shut", screens = { { dark_from = false, dark_until = false } } }
assert(shut.screens[2].slit_humidity_max == 0 and shut.fan_humidity_start == 84 and shut.screens[1].dark_from == nil)
assert(strategy.screens[2].slit_humidity_max == 0.04 and shut.periods[2].heating == 17)
local sun = pinery.strategy { pinery.day_night { sun = true, from = -1 } }
assert(sun.periods[1].from == "sunrise" and sun.periods[1].at == -1 and sun.periods[2].from == "sunset")
local function control() end
assert(strategy:with({ control = control }).control == control and strategy.control == nil)
assert(strategy:with({ control = control }):with({ control = false }).control == nil)

-- Units by name, alone and with a field of one's own.
local plant = pinery.house { dehumidifier = "small dehumidifier", tank = { "layered tank", volume = 0.012 },
  through_fans = "through-cloth fan", boiler = "boiler with condenser", heat_pump = "well heat pump" }
assert(plant.dehumidifier.cooling == 11000 and plant.tank.volume == 0.012 and plant.tank.hot == 90)
assert(plant.boiler.condenser and plant.boiler.case_loss == 0.005 and plant.through_fans.area == 250)
assert(pinery.preset("heat pump", "well heat pump").carnot == plant.heat_pump.carnot)
for _, kind in ipairs(pinery.presets()) do
  assert(#pinery.presets(kind) > 0)
end
fails("no dehumidifier is called \"smal dehumidifier\" %(did you mean \"small dehumidifier\"%?%)", pinery.house, { dehumidifier = "smal dehumidifier" })

-- Errors name file, line, struct, field, value, unit and range, and what is known.
local line
local message = fails("^.-values%.lua:%d+: house: unknown field lenght %(did you mean length%?%); known are name, length, width",
  function()
    line = debug.getinfo(1, "l").currentline + 1
    local made = pinery.house { lenght = 3 }
    return made
  end)
assert(tonumber(message:match ":(%d+):") == line, message)
assert(message:find ", drives, lower_pipes, upper_pipes, lamps, through_fans, circulation_fans, duct, recovery, dehumidifier, desiccant, tank, "
  .. "cogeneration, bought_heat, heat_pump, electric_boiler, carbon, boiler, contract, crop$")
fails(here() .. "house: length = 0%.5 m is outside 3 .. 2000 m$", pinery.house, { length = 0.5 })
fails(here() .. "house: length = %-?nan m is outside 3 .. 2000 m$", pinery.house, { length = 0 / 0 })
fails(here() .. "house: length = inf m is outside", pinery.house, { length = math.huge })
fails(here() .. "house: length = \"8\" is a text, expected a number in 3 .. 2000 m$", pinery.house, { length = "8" })
fails(here() .. "house: length is a table, expected a number in m$", pinery.house, { length = {} })
fails(here() .. "house: walls is a function, expected true or false$", pinery.house, { walls = print })
fails(here() .. "house: soil_layers = 6%.5 is not a whole number", pinery.house, { soil_layers = 6.5 })
fails(here() .. "house: name = 3 is a number, expected a text$", pinery.house, { name = 3 })
fails(here() .. "house: name has a zero byte", pinery.house, { name = "a\0b" })
fails(here() .. "house: name = .* is longer than 63 characters$", pinery.house, { name = ("x"):rep(64) })
fails(here() .. "house: outside_convection = \"mcadam\" is not one of .*mcadams", pinery.house,
  { outside_convection = "mcadam" })
fails(here() .. "house: unknown field %[1%.5%]; known are", pinery.house, { [1.5] = 3 })
fails(here() .. "house: expected a table, got a number$", pinery.house, 3)
fails(here() .. "house: expected a table, got a nil$", pinery.house)
fails(here() .. "house: drives has %[2%] but no %[1%]$", pinery.house, { drives = { [2] = {} } })
fails(here() .. "house: drives is a list of at most 3, { { %.%.%. } }, and has no place for %[cloth%]$", pinery.house,
  { drives = { cloth = cloth } })
fails(here() .. "house: drives is a list of at most 3, .* no place for %[4%]$", pinery.house,
  { drives = { {}, {}, {}, {} } })
fails(here() .. "drives%[2%]: cloth: emissivity_up = 3 is outside 0%.01 .. 1$", pinery.house,
  { drives = { {}, { cloth = { emissivity_up = 3 } } } })
fails(here() .. "drives%[1%]: cloths%[2%]: cloth: thickness = %-1 m is outside", pinery.house,
  { drives = { { cloths = { {}, { thickness = -1 } } } } })
fails(here() .. "wall: cover: haze = 2 is outside 0 .. 1$", pinery.house, { wall = { haze = 2 } })
local known = fails(here() .. "no cover is called \"nonsense\"; known are ", pinery.house, { cover = "nonsense" })
assert(known:find(pinery.presets("cover")[1], 1, true), known)
fails(here() .. "crop: calendar: expected leaf areas by day", pinery.house, { crop = { calendar = { a = 1 } } })
fails(here() .. "crop: calendar: expected leaf areas by day", pinery.house, { crop = { calendar = { [3] = { 1 } } } })
fails(here() .. "crop: calendar: expected leaf areas by day", pinery.house, { crop = { calendar = { [3] = { 1, height = 1, width = 1 } } } })
fails(here() .. "house: crop: calendar: 1 of 2 points with leaves have a height", pinery.house,
  { crop = { calendar = { [3] = { 1, height = 1 }, [9] = 2 } } })
fails(here() .. "crop: calendar is a number, expected leaf areas", pinery.house, { crop = { calendar = 3 } })
fails(here() .. "strategy: control is a number, expected a function", pinery.strategy, { control = 3 })
fails(here() .. "periods%[1%]: period: from = \"noon\" is not one of clock, sunrise, sunset", pinery.strategy,
  { periods = { { from = "noon" } } })
local dried = pinery.strategy { pinery.dry_by { device = "recovery", start = 80 } }
assert(dried.recovery.humidity_start == 80 and dried.recovery.most == 1 and dried.dehumidifier.humidity_start == 85)
assert(dried.vent_humidity_max == 0)
fails(here() .. "dry_by: device = sponge; known are duct, recovery, dehumidifier, desiccant$", pinery.dry_by,
  { device = "sponge" })
fails(here() .. "strategy: duct: humidity_start = 95 %% must be below humidity_full = 92 %%$", pinery.strategy,
  { duct = { humidity_start = 95 } })
local wet = pinery.house { dehumidifier = { cooling = 25000 }, recovery = { flow = 1, latent = 0.3 } }
assert(wet.dehumidifier.cooling == 25000 and wet:with { dehumidifier = false }.dehumidifier.cooling == 0)
fails(here() .. "house: recovery: latent = 0%.9 is above sensible = 0%.7", pinery.house, { recovery = { latent = 0.9 } })
fails(here() .. "dehumidifier: bypass = 2 is outside 0 .. 0%.9$", pinery.house, { dehumidifier = { bypass = 2 } })

fails(here() .. "humidity_slit: unknown field mots; known are drive, full, least_outside, most, start$",
  pinery.humidity_slit, { mots = 3 })
fails(here() .. "drive = 4 is not 1, 2 or 3$", pinery.shade, { drive = 4 })
fails("a house has no field lenght$", function() return house.lenght end)
fails("house expected, got number", house.with, 3, {})

-- Rules across fields are held as well: shares of a lamp that add up to more than one.
fails(here(), pinery.house, { lamps = { { power = 10, light_share = 0.9, nir_share = 0.9 } } })

-- Weather.
local weather = pinery.weather { typical = "Denver", seed = 3 }
assert(weather.count == 8760 and weather.step == 3600 and weather.is_year and weather.elevation > 1500)
assert(#weather:values "temperature" == 8760 and weather:filled "snow" >= 0 and #weather:remarks() >= 0)
assert(weather.checksum == pinery.weather({ typical = "Denver", seed = 3 }).checksum)
assert(weather.checksum ~= pinery.weather({ typical = "Denver", seed = 4 }).checksum)
assert(tostring(weather) == "weather " .. weather.source)
local places = pinery.places()
assert(#places >= 10 and table.concat(places, ","):find "Denver")
for _, place in ipairs(places) do
  assert(#place > 2)
end
fails(here() .. "weather: give either file or typical$", pinery.weather, {})
fails(here() .. "weather: give either file or typical$", pinery.weather, { file = "a", typical = "b" })
fails(here() .. "weather: unknown field sead; known are file, typical, seed, normals$", pinery.weather, { sead = 1 })
fails(here() .. "weather: normals go with typical, not with file$", pinery.weather, { file = "a", normals = "b" })
fails(here() .. ".*absent%.csv", pinery.weather, { typical = "Berlin", normals = "absent.csv" })
do
  local mine <close> = pinery.weather { typical = "Denver", seed = 3, normals = "../../weather/normals.csv" }
  assert(mine.checksum == weather.checksum and mine:origin().normals:find "^/.*/weather/normals%.csv$")
  assert(weather:origin().normals == nil)
end
fails(here() .. "weather: seed = 1%.5 is not a whole number", pinery.weather, { typical = "Denver", seed = 1.5 })
fails(here() .. ".*no place 'Atlantis'; known: .*'Denver'", pinery.weather, { typical = "Atlantis" })
fails(here() .. ".*absent%.epw", pinery.weather, { file = "absent.epw" })
weather:close()
weather:close()
fails("the weather is closed", function() return weather.count end)
fails("the weather is closed", weather.values, weather, "temperature")
do
  local closed <close> = pinery.weather { typical = "Denver" }
end
print "values: all is well"
