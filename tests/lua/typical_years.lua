-- label: long
-- The gas of a house under years made from normals, against the real years that the normals were taken of: the house and
-- both strategies of scenarios/demo.lua. Where weather/normals.csv has no such place, its twelve rows are made here from the
-- real file. The real files are not part of the project: set PINERY_REAL_DATA to a folder that has them in weather/.
local pinery = require "pinery"

local places = {
  { "CAN_ON_London.AP.716230_CWEC2020.epw", "London ON" },
  { "CAN_QC_Montreal-McTavish.716120_CWEC2016.epw", "Montreal" },
  { "USA_IL_Chicago-OHare.Intl.AP.725300_TMY3.epw", "Chicago" },
  { "USA_WA_Port.Angeles-William.R.Fairchild.Intl.AP.727885_TMY3.epw", "Port Angeles WA" },
  { "ESP_CT_Barcelona-El.Prat.AP.081810_TMYx.epw", "Barcelona" },
  { "DNK_MJ_Horsens.Bygholm.061020_TMYx.2003-2017.epw", false },
  { "723170TYA.CSV", false },
  { "pvgis-tmy-45N-8E.epw", false },
}

local function readable(path)
  local file = io.open(path, "r")
  return file and file:close()
end

local function mean(t, from, to)
  local sum = 0
  for i = from, to do
    sum = sum + t[i]
  end
  return sum / (to - from + 1)
end

local function spread(t, from, to)
  local m, sum = mean(t, from, to), 0
  for i = from, to do
    sum = sum + (t[i] - m) ^ 2
  end
  return math.sqrt(sum / (to - from + 1))
end

-- From one day to the next within the month, each side about its own mean; at most 0.95, the end of the range of normals,
-- which a month of one long rise passes.
local function persistence(t, from, to)
  local a, b, ab, aa, bb = mean(t, from, to - 1), mean(t, from + 1, to), 0, 0, 0
  for i = from, to - 1 do
    local x, y = t[i] - a, t[i + 1] - b
    ab, aa, bb = ab + x * y, aa + x * x, bb + y * y
  end
  return math.min(0.95, ab / math.sqrt(aa * bb))
end

-- The twelve rows of a place, of a real year of 8760 hours, in a file of their own.
local function normals_of(weather, place)
  local v = {}
  for _, column in ipairs { "temperature", "vapour_pressure", "pressure", "global", "diffuse", "infrared", "wind_speed" } do
    v[column] = weather:values(column)
  end
  local day, low, high, sun = {}, {}, {}, {}
  for d = 1, 365 do
    local from, to = 24 * d - 23, 24 * d
    day[d], sun[d] = mean(v.temperature, from, to), 0.024 * mean(v.global, from, to)
    low[d], high[d] = math.huge, -math.huge
    for i = from, to do
      low[d], high[d] = math.min(low[d], v.temperature[i]), math.max(high[d], v.temperature[i])
    end
  end
  local rows = { "place,country,latitude [deg],longitude [deg],utc offset [h],elevation [m],month,temperature [degC],"
    .. "daily maximum [degC],daily minimum [degC],spread of daily means [K],persistence of daily means [-],"
    .. "vapour pressure [hPa],daily global radiation [kWh/m2],spread of daily global radiation [kWh/m2],"
    .. "daily diffuse radiation [kWh/m2],wind speed [m/s],sky infrared [W/m2],pressure [kPa]" }
  local first = 1
  for month, days in ipairs { 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31 } do
    local last = first + days - 1
    local from, to = 24 * first - 23, 24 * last
    rows[#rows + 1] = string.format("%s,-,%g,%g,%g,%g,%d,%.3f,%.3f,%.3f,%.3f,%.3f,%.3f,%.4f,%.4f,%.4f,%.3f,%.2f,%.3f", place,
      weather.latitude, weather.longitude, weather.utc_offset, weather.elevation, month, mean(day, first, last),
      mean(high, first, last), mean(low, first, last), spread(day, first, last), persistence(day, first, last),
      mean(v.vapour_pressure, from, to) / 100, mean(sun, first, last), spread(sun, first, last),
      0.024 * mean(v.diffuse, from, to), mean(v.wind_speed, from, to), mean(v.infrared, from, to),
      mean(v.pressure, from, to) / 1000)
    first = last + 1
  end
  local path = os.tmpname()
  local file <close> = assert(io.open(path, "w"))
  file:write(table.concat(rows, "\n"), "\n")
  return path
end

-- What scenarios/demo.lua asks for, under other weather.
local compare, demo = pinery.compare, nil
pinery.compare = function(t)
  demo = t
  return t
end
dofile "../../scenarios/demo.lua"
pinery.compare = compare
local function gas(weather)
  local both = assert(pinery.compare { weather = weather, house = demo.house, demo[1], demo[2] }:run())
  return both[1].gas_m3_per_m2, both[2].gas_m3_per_m2
end

local folder = (os.getenv "PINERY_REAL_DATA" or "../../../shared") .. "/weather/"
local seen, faults = 0, {}
for _, row in ipairs(places) do
  local file, place = row[1], row[2]
  if not readable(folder .. file) then
    print("SKIPPED: no " .. folder .. file)
  else
    seen = seen + 1
    local real = pinery.weather { file = folder .. file }
    local rows = not place and normals_of(real, "Here")
    local made = pinery.weather { typical = place or "Here", normals = rows or nil }
    if rows then
      os.remove(rows)
    end
    local real_slits, real_fans = gas(real)
    local slits, fans = gas(made)
    print(string.format("%-16s slits %.2f of %.2f (%+.1f %%), fans %.2f of %.2f (%+.1f %%); saved %.1f %% of %.1f %%",
      place or file:sub(1, 16), slits, real_slits, 100 * (slits / real_slits - 1), fans, real_fans,
      100 * (fans / real_fans - 1), 100 * (1 - fans / slits), 100 * (1 - real_fans / real_slits)))
    if math.abs(slits / real_slits - 1) > 0.05 or math.abs(fans / real_fans - 1) > 0.05 then
      faults[#faults + 1] = place or file
    end
  end
end
assert(#faults == 0, "the gas is not within 5 % at " .. table.concat(faults, ", "))
os.exit(seen > 0 and 0 or 77, true)
