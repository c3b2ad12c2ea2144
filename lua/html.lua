-- Text for an HTML page: whatever a script names is escaped here, and nowhere is it written otherwise.
local pinery, inner = ...
local html = {}
inner.html, inner.sheet = html, {} -- the latter holds what the parts of a page share

local entity = { ["&"] = "&amp;", ["<"] = "&lt;", [">"] = "&gt;", ['"'] = "&quot;", ["'"] = "&#39;" }

-- Any value as text that a browser shows as it is, in an element or in an attribute between quotes.
function html.text(value)
  return (tostring(value):gsub("[%z\1-\8\11\12\14-\31\127]", " "):gsub("[&<>\"']", entity))
end

-- What gnuplot drew, to stand inside the page: no prologue, no definitions nobody uses, names that no other drawing has.
-- Text in it cannot hold a "<", so that what is between "<" and ">" is its own.
function html.drawing(svg, name, title)
  svg = svg:gsub("^.-<svg", "<svg", 1):gsub("<defs>.-</defs>", "", 1):gsub("<title>.-</title>", "")
    :gsub("<desc>.-</desc>", "", 1)
  svg = svg:gsub("<[^>]*>", function(tag)
    return (tag:gsub(' id="gnuplot_', ' id="' .. name .. "_"):gsub(' font%-family="[^"]*"', ""))
  end)
  return (svg:gsub("<svg", function()
    return '<svg role="img" aria-label="' .. html.text(title) .. '"'
  end, 1))
end

-- 12345.6 as 12 345.6; a dash for what is not a number.
function html.number(value, decimals, sign)
  if type(value) ~= "number" or value ~= value or math.abs(value) == math.huge then
    return "–"
  end
  if decimals < 0 then
    return (string.format("%.1e", value):gsub("-", "−"))
  end
  local text = string.format("%." .. decimals .. "f", math.abs(value))
  local whole, rest = text:match "^(%d+)(.*)$"
  local left = #whole > 4 and 1 or 0
  while left > 0 do
    whole, left = whole:gsub("^(%d+)(%d%d%d)", "%1\u{202f}%2")
  end
  local zero = tonumber(text) == 0
  return (zero and "" or value < 0 and "−" or sign and "+" or "") .. whole .. rest
end

local units = { m2 = "m²", m3 = "m³", degC = "°C", umol = "µmol" }

-- "m3/m2" as a reader writes it.
function html.unit(unit)
  return (html.text(unit):gsub("%a+%d?", units))
end

-- A table: heads and the cells of its rows are HTML; the first cell heads its row.
function html.grid(class, heads, rows)
  local out = { '<div class="wide"><table class="' .. class .. '"><thead><tr>' }
  for _, head in ipairs(heads) do
    out[#out + 1] = '<th scope="col">' .. head .. "</th>"
  end
  out[#out + 1] = "</tr></thead><tbody>"
  for _, row in ipairs(rows) do
    out[#out + 1] = "<tr>"
    for i, cell in ipairs(row) do
      out[#out + 1] = i == 1 and '<th scope="row">' .. cell .. "</th>" or "<td>" .. cell .. "</td>"
    end
    out[#out + 1] = "</tr>\n"
  end
  out[#out + 1] = "</tbody></table></div>\n"
  return table.concat(out)
end

-- Values as JSON that may stand in a script element: "<" cannot end it. Lists have no holes; NaN becomes null.
function html.json(value)
  if type(value) == "table" then
    local out = {}
    if #value > 0 or next(value) == nil then
      for i, item in ipairs(value) do
        out[i] = html.json(item)
      end
      return "[" .. table.concat(out, ",") .. "]"
    end
    local keys = {}
    for key in pairs(value) do
      keys[#keys + 1] = tostring(key)
    end
    table.sort(keys)
    for i, key in ipairs(keys) do
      out[i] = html.json(key) .. ":" .. html.json(value[key])
    end
    return "{" .. table.concat(out, ",") .. "}"
  elseif type(value) == "string" then
    return '"' .. value:gsub('[%z\1-\31"\\<>&\127]', function(c)
      return string.format("\\u%04x", c:byte())
    end) .. '"'
  elseif type(value) == "number" then
    return (value ~= value or math.abs(value) == math.huge) and "null"
      or (string.format("%.10g", value):gsub("%.0$", ""))
  end
  return tostring(value)
end
