-- Runs as a file that makes them again: house, strategy, options and weather of each, every field with its value.
local pinery = ...

local head = [[
-- The whole input of %s, written by Pinery %s; another version may answer otherwise. Run it with: pinery run FILE
local pinery = require "pinery"

local function weather(given, checksum)
  local made = pinery.weather(given)
  if made.checksum ~= checksum then
    error(string.format("%%s has the checksum %%s, but this input was run with %%s: it is not the same weather",
                        made.source, made.checksum, checksum), 0)
  end
  return made
end

]]

local function weather_source(weather, name)
  local origin = weather:origin()
  if not origin then
    return nil, string.format("%s: the weather (%s) was made in the script and has no file to name", name, weather.source)
  end
  return string.format("weather(%s, %q)", pinery.source(origin), weather.checksum)
end

-- A record inside a case; its texts hold no line breaks.
local function record(value)
  return (pinery.source(value):gsub("\n", "\n    "))
end

-- pinery.input_source(list of results, reference): the text of the file, or nil and why there is none.
function pinery.input_source(results, reference)
  local names, weathers, places, cases = {}, {}, {}, {}
  for i, result in ipairs(results) do
    local input = result:input()
    local weather, why = weather_source(input.weather, result.name)
    if not weather then
      return nil, why
    end
    if not places[weather] then
      weathers[#weathers + 1] = weather
      places[weather] = #weathers
    end
    input.strategy.control = nil
    local strategy = record(input.strategy)
    local control, reason = result:control()
    if control then
      strategy = "{\n      control = " .. control .. "," .. strategy:sub(2)
    elseif reason then
      return nil, result.name .. ": " .. reason
    end
    names[i] = string.format("%q", result.name)
    cases[i] = string.format("  {\n    %q,\n    %s,\n    house = %s,\n    options = %s,\n    weather = weathers[%d],\n  },",
      result.name, strategy, record(input.house), record(input.options), places[weather])
  end
  local what = #names == 1 and "the run " .. names[1] or "the runs " .. table.concat(names, ", ")
  local last = reference and string.format("  reference = %q,\n", reference) or ""
  return table.concat {
    head:format((what:gsub("%c", " ")), pinery.version), "local weathers = { ", table.concat(weathers, ", "),
    " }\n\nreturn pinery.compare {\n", table.concat(cases, "\n"), "\n", last, "}\n",
  }
end
