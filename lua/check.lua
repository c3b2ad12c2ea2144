-- What there is to say of runs before they are run: warnings of rules, cautions of what stands in the house.
local pinery = ...

local function wrap(out, text, indent)
  local line = indent
  for word in text:gmatch "%S+" do
    if #line + #word + 1 > 100 and line ~= indent then
      out[#out + 1], line = line, indent
    end
    line = line .. (line == indent and "" or " ") .. word
  end
  out[#out + 1] = line
end

local function clock(warning)
  local minute = math.floor(warning.hour * 60 + 0.5)
  return string.format("day %d at %02d:%02d", warning.day, minute // 60, minute % 60)
end

local function text(advice)
  local out, told = {}, {}
  for _, one in ipairs(advice) do
    out[#out + 1] = one.case .. (#one.warnings == 0 and ": no warning" or ":")
    for _, warning in ipairs(one.warnings) do
      local all = not warning.hours or warning.looked >= warning.days - 1e-6
      out[#out + 1] = string.format("  WARNING %s", warning.title)
      wrap(out, "rule: " .. warning.rule, "    ")
      out[#out + 1] = not warning.hours and "    when: not known, since this weather holds no snow"
        or string.format("    when: %s of %g days%s; first on %s", all and string.format("%.3g h", warning.hours)
        or string.format("about %.2g h, give or take %.2g,", warning.hours, warning.error), warning.days, all and "" or string.format(" (%g of them looked at)", warning.looked), clock(warning))
      wrap(out, warning.caution, "    ")
    end
    for _, caution in ipairs(one.cautions) do
      told[#told + 1] = not told[caution.key] and caution or nil
      told[caution.key] = (told[caution.key] and told[caution.key] .. ", " or "") .. one.case
    end
  end
  if #told > 0 then
    out[#out + 1] = "Cautions, for what stands in these houses"
    for _, caution in ipairs(told) do
      wrap(out, string.format("%s (%s: %s). %s", caution.title, told[caution.key], caution.rule, caution.caution), "  ")
    end
    wrap(out, "Local codes, licensed engineers and the insurer decide; nothing here is a safety assessment.", "  ")
  end
  return table.concat(out, "\n") .. "\n"
end

local advice = { __tostring = text }

function pinery.advice(list)
  return setmetatable(list, advice)
end

-- pinery.check { weather =, house =, strategy =, options = }: a list with one entry, { case =, warnings =, cautions = },
-- and its text by tostring; or nil and a message. What belongs to a run is looked at in a tenth of its time or two.
function pinery.check(case)
  local one, message = pinery.check_case(case)
  if not one then
    return nil, message
  end
  return pinery.advice { one }
end

-- What a scenario returns, for the command: comparisons and results, one list for all. Other values are passed over.
function pinery.check_all(...)
  local list = pinery.advice {}
  for i = 1, select("#", ...) do
    local value = select(i, ...)
    local kind = type(value) == "userdata" and (getmetatable(value) or {}).__name
    local found, message
    if kind == "pinery.comparison" then
      found, message = value:check()
    elseif kind == "pinery.result" then
      local input = value:input()
      found, message = pinery.check { value.name, input.strategy, house = input.house, weather = input.weather,
        options = input.options }
    end
    if message then
      return nil, message
    end
    table.move(found or {}, 1, #(found or {}), #list + 1, list)
  end
  if #list == 0 then
    return nil, "the scenario returns nothing to check; end it with return pinery.compare { ... }"
  end
  local warned = false
  for _, one in ipairs(list) do
    warned = warned or #one.warnings > 0
  end
  return tostring(list), warned
end
