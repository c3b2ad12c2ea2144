-- The hours of the runs for the page's own charts, as whole numbers with a scale each, so that a year stays small.
local pinery, inner = ...
local html = inner.html

local function most(...)
  local lists = { ... }
  local out = {}
  for i = 1, #lists[1] do
    local top = lists[1][i]
    for k = 2, #lists do
      top = lists[k][i] > top and lists[k][i] or top
    end
    out[i] = top
  end
  return out
end

local function boiler(result)
  local lower, upper = result:hours("heat", "heat_lower"), result:hours("heat", "heat_upper")
  local out = {}
  for i = 1, #lower do
    out[i] = (lower[i] + upper[i]) / 0.0036
  end
  return out
end

-- Each panel: lines of every run, { reading or function, label, dashed }, at `scale` steps a unit, and of the weather.
local panels = {
  { title = "Temperature", unit = "°C", scale = 10, weather = { "outside", "outside" },
    { "air_upper", "air" }, { "air_roof", "under the cover", true } },
  { title = "Relative humidity", unit = "%", scale = 10,
    { function(result)
      return most(result:hours "humidity_lower", result:hours "humidity_upper")
    end, "moister of lower and upper air" } },
  { title = "Cloth", unit = "% drawn", scale = 1, percent = true, steps = true,
    { "cloth_1", "lowest" }, { "cloth_2", "second", true }, { "cloth_3", "third", true } },
  { title = "Slit", unit = "% open", scale = 10, percent = true, steps = true, { "slit_1", "lowest" },
    { "slit_2", "second", true } },
  { title = "Vents", unit = "% open", scale = 10, percent = true, steps = true, { "vent_lee", "lee" },
    { "vent_wind", "wind", true } },
  { title = "Lamps", unit = "%", scale = 1, percent = true, steps = true, { "lamp_1", "first group" },
    { "lamp_2", "second group", true } },
  { title = "Fans", unit = "%", scale = 1, percent = true, steps = true, { "fan_through", "through the cloth" },
    { "fan_circulation", "circulation", true } },
  { title = "Heat from the boiler", unit = "W/m²", scale = 1, steps = true, { boiler, "boiler" } },
  { title = "Leaves above the dew point", unit = "K", scale = 10, { "dew_margin", "coldest leaves" } },
  { title = "Sun", unit = "W/m²", scale = 1, weather = { "outside_global", "global radiation" } },
}

local function whole(list, from, to, scale)
  local out, any = {}, false
  for i = from, to do
    local value = math.floor(list[i] * scale + 0.5)
    local is_number = math.type(value) == "integer" -- what is not one stays a float
    any = any or (is_number and value ~= 0)
    out[#out + 1] = is_number and string.format("%d", value) or "null"
  end
  return any and "[" .. table.concat(out, ",") .. "]"
end

-- The data of the page's charts as JSON, and how many hours it holds. Of more than `whole_years` runs only the weeks
-- around the coldest day are given.
function html.hours(results, names)
  local coldest = results[1]:coldest_day()
  local time = results[1]:hours "time"
  local from, to, whole_years = 1, #time, 4
  for _, result in ipairs(results) do
    to = math.min(to, #result:hours "time")
  end
  if #results > whole_years then
    from, to = math.max(1, coldest - 14 * 24), math.min(to, coldest + 15 * 24 - 1)
  end
  local out = {}
  for _, panel in ipairs(panels) do
    local lines = {}
    local function add(list, run, label, dashed)
      local scale = panel.scale * (panel.percent and 100 or 1)
      local values = whole(list, from, to, scale)
      if values then
        lines[#lines + 1] = string.format('{"run":%d,"label":%s,"dashed":%s,"values":%s}', run, html.json(label),
          tostring(dashed or false), values)
      end
    end
    for _, line in ipairs(panel) do
      for run, result in ipairs(results) do
        local what, label, dashed = table.unpack(line, 1, 3)
        add(type(what) == "function" and what(result) or result:hours(what), run - 1, label, dashed)
      end
    end
    if panel.weather then
      add(results[1]:hours(panel.weather[1]), -1, panel.weather[2])
    end
    if #lines > 0 then
      out[#out + 1] = string.format('{"title":%s,"unit":%s,"scale":%d,"steps":%s,"lines":[%s]}', html.json(panel.title),
        html.json(panel.unit), panel.scale, tostring(panel.steps or false), table.concat(lines, ","))
    end
  end
  local runs = {}
  for i, name in ipairs(names) do
    runs[i] = { name = name, colour = inner.colour(i) }
  end
  return string.format('{"start":%s,"coldest":%d,"runs":%s,"panels":[%s]}', html.json(time[from]),
    coldest and coldest - from or 0, html.json(runs), table.concat(out, ","))
end
