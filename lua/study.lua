-- What studies of several runs share: reading what is asked, numbers as text, the value that is handed back.
local pinery, inner = ...

-- An error at the line of the script.
function inner.fail(...)
  local where = pinery.where()
  error((where ~= "" and where .. ": " or "") .. string.format(...), 0)
end

-- No key but those of the list "a b c", and positions when `list`.
function inner.check_keys(what, given, known, list)
  if type(given) ~= "table" then
    inner.fail("%s: expected a table, got a %s", what, type(given))
  end
  for key in pairs(given) do
    local fine = list and math.type(key) == "integer"
    if type(key) == "string" then
      for name in known:gmatch "%S+" do
        fine = fine or name == key
      end
    end
    if not fine then
      inner.fail("%s: unknown field %s; known are %s", what, tostring(key), (known:gsub(" ", ", ")))
    end
  end
end

local function value(make, type_name, given)
  local found = getmetatable(given)
  return type(given) == "userdata" and found and found.__name == type_name and given or make(given)
end

function inner.house(given)
  return value(pinery.house, "pinery.house", given)
end

function inner.strategy(given)
  if type(given) == "function" then
    given = { control = given }
  end
  return value(pinery.strategy, "pinery.strategy", given)
end

-- Read once, for all runs.
function inner.weather(what, given)
  if given == nil then
    inner.fail("%s: weather is missing, expected pinery.weather { ... }", what)
  end
  return value(pinery.weather, "pinery.weather", given)
end

-- A result by its name, as a row of tables; an error when there is none of that name.
function inner.row(what, name)
  for _, row in ipairs(inner.rows()) do
    if row.name == name then
      return row
    end
  end
  local known = {}
  for _, row in ipairs(inner.rows()) do
    known[#known + 1] = row.name
  end
  inner.fail("%s: no result is called %s; known are %s", what, tostring(name), table.concat(known, ", "))
end

local results = {}
for _, name in ipairs(pinery.names "results") do
  results[name.name] = true
end

function inner.is_result(name)
  return results[name] == true
end

-- --- numbers as text ---

-- "-" for what is no number, and no sign before a zero.
function inner.number(x, width, decimals, signed)
  if x == nil or x ~= x or math.abs(x) == math.huge then
    return string.rep(" ", width - 1) .. "-"
  end
  local text = string.format((signed and "%+." or "%.") .. decimals .. "f", x)
  if tonumber(text) == 0 then
    text = string.format("%." .. decimals .. "f", 0)
  end
  return string.rep(" ", width - #text) .. text
end

-- Cut or filled to a width, counted in characters.
function inner.column(text, width)
  local length = utf8.len(text) or #text
  if length > width then
    return text:sub(1, (utf8.offset(text, width + 1) or width + 1) - 1)
  end
  return text .. string.rep(" ", width - length)
end

-- --- JSON ---

local function quoted(text)
  return '"' .. text:gsub('[%c"\\]', function(c) return string.format("\\u%04x", c:byte()) end) .. '"'
end

local function write(out, x)
  if type(x) == "number" then
    local short = string.format("%.15g", x)
    local finite = x == x and math.abs(x) ~= math.huge
    out[#out + 1] = not finite and "null" or tonumber(short) == x and short or string.format("%.17g", x)
  elseif type(x) == "string" then
    out[#out + 1] = quoted(x)
  elseif type(x) == "boolean" then
    out[#out + 1] = tostring(x)
  elseif type(x) == "table" and (#x > 0 or next(x) == nil) then
    for i, item in ipairs(x) do
      out[#out + 1] = i == 1 and "[" or ",\n"
      write(out, item)
    end
    out[#out + 1] = #x > 0 and "]" or "[]"
  elseif type(x) == "table" then
    local keys = {}
    for key in pairs(x) do
      keys[#keys + 1] = key
    end
    table.sort(keys)
    for i, key in ipairs(keys) do
      out[#out + 1] = (i == 1 and "{" or ",\n") .. quoted(tostring(key)) .. ":"
      write(out, x[key])
    end
    out[#out + 1] = "}"
  else
    out[#out + 1] = "null"
  end
end

-- --- what is handed back ---

local methods = {}
local study = { __name = "pinery.study", __index = methods, __tostring = function(self) return "study: " .. self.what end }

-- The text of the study.
function methods:report()
  return inner.text[self.what](self)
end

-- Everything in it, as JSON.
function methods:save_json(path)
  local out = { '{"pinery":' .. quoted(pinery.version) .. ',\n"study":' }
  write(out, self)
  out[#out + 1] = "}\n"
  local file, message = io.open(pinery.path(path), "w")
  if not file then
    return nil, message
  end
  local done, why = file:write(table.concat(out))
  local closed, also = file:close()
  return done and closed and true or nil, why or also
end

-- A drawing into a file, or as text without a path, where the kind has one.
function methods:figure(path)
  local draw = inner.figures[self.what]
  if not draw then
    return nil, "a study of " .. self.what .. " has no figure"
  end
  return draw(self, type(path) == "table" and path.file or path)
end

-- One HTML file: page { file =, title =, notes =, figures =, other studies ... }; true, or nil and a message.
function methods:page(fields)
  return inner.sheet.of_study(self, fields)
end

inner.cases_of = setmetatable({}, { __mode = "k" }) -- study -> what it runs

-- `what` says which kind, and which text belongs to it; `cases` what it runs, { { "name", strategy, house =, weather =,
-- options = } }.
function inner.study(what, result, cases)
  result.what = what
  inner.cases_of[result] = cases
  return setmetatable(result, study)
end
