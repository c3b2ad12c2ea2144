-- Values as text: tables as Lua source, the field lists as the reference page, the places of the normals.
local pinery = ...

local function key_text(key)
  if type(key) == "string" and key:match "^[%a_][%w_]*$" and load("local " .. key) then -- no reserved word
    return key
  end
  return "[" .. (type(key) == "string" and string.format("%q", key) or math.type(key) == "float"
    and string.format("%.17g", key) or tostring(key)) .. "]"
end

local function less(a, b)
  if type(a) == type(b) then
    return a < b
  end
  return type(a) == "number"
end

local function write(out, value, indent)
  if type(value) == "table" then
    local keys = {}
    for key in pairs(value) do
      keys[#keys + 1] = key
    end
    table.sort(keys, less)
    out[#out + 1] = "{\n"
    for _, key in ipairs(keys) do
      out[#out + 1] = indent .. "  " .. key_text(key) .. " = "
      write(out, value[key], indent .. "  ")
      out[#out + 1] = ",\n"
    end
    out[#out + 1] = indent .. "}"
  elseif math.type(value) == "float" and value == value and math.abs(value) ~= math.huge then
    local short = string.format("%.15g", value)
    out[#out + 1] = value == 0 and 1 / value < 0 and "-0.0" or tonumber(short) == value and short
      or string.format("%.17g", value)
  elseif type(value) == "string" then
    out[#out + 1] = (string.format("%q", value):gsub("\\\n", "\\n"))
  elseif type(value) == "number" or type(value) == "boolean" then
    out[#out + 1] = tostring(value)
  else
    out[#out + 1] = "nil --[[ " .. tostring(value):gsub("%]%]", "] ]") .. " ]]"
  end
end

-- pinery.source(house:table()): the table as Lua source, keys in order, numbers exact.
function pinery.source(value)
  local out = {}
  write(out, value, "")
  return table.concat(out)
end

-- The places of the monthly normals, in the order of the file.
function pinery.places()
  local places, seen = {}, {}
  local file = assert(io.open(pinery.normals(), "r"))
  local header = true
  for line in file:lines() do
    local place = line:match('^"?([^",]+)')
    if place and not place:match("^#") then
      if not header and not seen[place] then
        seen[place], places[#places + 1] = true, place
      end
      header = false
    end
  end
  file:close()
  return places
end

local function number_text(value)
  return string.format("%.10g", value)
end

local function default_text(field)
  if field.kind == "text" then
    return ""
  elseif field.kind == "true or false" then
    return field.default == 0 and "false" or "true"
  elseif field.kind == "choice" then
    local names = {}
    for name in field.choices:gmatch("[^|]+") do
      names[#names + 1] = name
    end
    return names[field.default // 1 + 1]
  end
  return field.default and number_text(field.default) or ""
end

local function range_text(field)
  if field.kind == "choice" then
    return (field.choices:gsub("|", ", "))
  elseif field.kind == "number" or field.kind == "whole number" then
    return number_text(field.min) .. " .. " .. number_text(field.max)
  end
  return field.kind
end

-- Where a list belongs in the tables of a script.
local places_of = {
  house = "`pinery.house { ... }`; besides: `cover`, `wall`, `drives` (a list, the lowest first), `lower_pipes`, "
    .. "`upper_pipes`, `lamps` (a list), `through_fans`, `circulation_fans`, `duct`, `recovery`, `dehumidifier`, `desiccant`, `tank`, `cogeneration`, `bought_heat`, `heat_pump`, `electric_boiler`, `carbon`, `boiler`, `contract`, `crop`",
  cover = "`cover` and `wall` of a house; `\"preset\"`, or `{ \"preset\", field = ... }`",
  drive = "`drives` of a house; besides: `cloth`, or `cloths` (a list of one or two)",
  cloth = "`cloth` of a drive; `\"preset\"`, or `{ \"preset\", field = ... }`",
  lamp = "`lamps` of a house; `\"preset\"`, or `{ \"preset\", field = ... }`",
  crop = "`crop` of a house; `\"preset\"`, or `{ \"preset\", field = ... }`; besides: `calendar`, leaf area, and height in m if you "
    .. "like, by day of the year, `{ [15] = { 0.8, height = 0.4 }, [90] = { 3, height = 2 }, [300] = 0 }`; 0 is an empty house",
  strategy = "`pinery.strategy { ... }`; besides: `periods`, `screens` (a list, one for each drive), `lighting` (a list, "
    .. "one for each group of lamps), `duct`, `recovery`, `dehumidifier`, `desiccant`, `supply`, `dosing`, `control` (a function)",
  drying = "`duct`, `recovery`, `dehumidifier` and `desiccant` of a strategy",
  options = "`options` of `pinery.run` and `pinery.compare`; besides: `control_limit`, instructions a control function "
    .. "may take in one call, 1e7",
  conditions = "`pinery.steady { ... }`; besides: `house`",
  tariff = "`tariff` of `pinery.money`; money is in `currency`; `gas_price` and `power_price` may be lists, 12 by month or "
    .. "8760 (in a leap year 8784) by hour of the year from 1 January 00:00 standard time",
  invest = "`invest` of `pinery.money`; besides: `cases`, by name, what differs for one of them",
}

local function rows(out, names)
  for _, name in ipairs(names) do
    out[#out + 1] = string.format("| `%s` | %s | %s |", name.name, name.unit, name.doc)
  end
end

-- The blocks in a file of the strategy library: the comment above each function, and the fields it starts from.
local function add_blocks(out, file)
  local doc, open = {}, nil
  for line in pinery.library("=[pinery " .. file .. "]"):gmatch "([^\n]*)\n" do
    local said, name = line:match "^%-%- ?(.*)", line:match "^function pinery%.([%w_]+)%("
    if name then
      out[#out + 1] = string.format("- `pinery.%s`: %s", name, table.concat(doc, " "))
      doc = {}
    elseif said then
      doc[#doc + 1] = said
    else
      doc = {}
    end
    local start = line:match "^  local v = take%(\"[%w_]+\", given, (.*)$"
    open = start and "" or open
    if open then
      open = open .. " " .. (start or line):match "^%s*(.-)%s*$"
      if open:find "%}%)$" then
        out[#out] = string.format("%s Starts from `%s`.", out[#out], open:match "^%s*(.-)%)$")
        open = nil
      end
    end
  end
end

-- The reference page, in markdown.
function pinery.reference()
  local out = { "# Fields", "", "Written by `pinery fields`; do not edit by hand.", "" }
  local function add(...)
    for _, line in ipairs { ... } do
      out[#out + 1] = line
    end
  end
  for _, list in ipairs(pinery.fields()) do
    add("## " .. list.title, "")
    if places_of[list.title] then
      add(places_of[list.title], "")
    end
    add("| field | unit | default | range | what it is |", "|---|---|---|---|---|")
    for _, field in ipairs(list) do
      if list.title ~= "drive" or field.name ~= "cloths" then -- a script gives the cloths themselves
        add(string.format("| `%s` | %s | %s | %s | %s |", field.name, field.unit, default_text(field),
          range_text(field), (field.doc:gsub("|", "\\|"))))
      end
    end
    add("")
  end
  for _, kind in ipairs { "results", "meters", "headings", "seen", "readings", "columns", "steady", "actuators", "causes" } do
    local titles = {
      results = "Results of a run", meters = "Meters", headings = "Headings of the books",
      seen = "What a control function sees", readings = "Readings, seen as well", columns = "Columns of a weather",
      steady = "A house at rest, `pinery.steady { ... }`",
      actuators = "What is moved, in `result:causes { ... }` and `result:why(day, hour)`",
      causes = "Why it is moved",
    }
    add("## " .. titles[kind], "", "| name | unit | what it is |", "|---|---|---|")
    rows(out, pinery.names(kind))
    add("")
  end
  for _, kind in ipairs(pinery.presets()) do
    add("## Presets: " .. kind, "", "- " .. table.concat(pinery.presets(kind), "\n- "), "")
  end
  add("## Blocks of strategies", "", "Each makes a table to put in front of a strategy's own fields; `drive` and `group` count from "
    .. "1. Several control functions go together by `pinery.in_turn`. What they start from is common practice, no source.", "")
  for _, file in ipairs { "blocks", "cloths", "rules", "lamps", "wind" } do
    add_blocks(out, file)
  end
  add("", "## Complete strategies", "", "`pinery.complete(name, { crop = \"gerbera\" })`, or `day`, `night` and the rest given: see the top of "
    .. "`lua/complete.lua`.", "",
    "| name | what it does | source of its numbers |", "|---|---|---|")
  for _, row in ipairs(pinery.complete_list()) do
    add(string.format("| %s | %s | %s |", row.name, row.doc, row.source))
  end
  add("")
  return table.concat(out, "\n")
end
