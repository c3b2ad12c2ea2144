-- The page's tables: the results, what was held equal, the whole input.
local pinery, inner = ...
local html = inner.html
local sheet = inner.sheet

local function dot(run)
  return '<span class="dot" style="background:' .. inner.colour(run) .. '"></span>'
end

-- Swatch and name of every run; the reference says so.
function sheet.legend(page)
  local items = {}
  for i, name in ipairs(page.names) do
    items[i] = "<li>" .. dot(i) .. (page.lettered and "<b>" .. page.short[i] .. "</b> " or "") .. html.text(name) .. (#page.names > 1 and i == page.reference and " (the reference)" or "")
      .. "</li>"
  end
  return '<ul class="runs">' .. table.concat(items) .. "</ul>\n"
end

function sheet.name(page, run)
  return dot(run) .. html.text(page.names[run])
end

-- The same for the head of a column, where a long name is a letter.
function sheet.head(page, run)
  return dot(run) .. html.text(page.short[run])
end

-- "A" .. "Z" when a name is too long for a column.
function sheet.shorten(page)
  page.short = {}
  for _, name in ipairs(page.names) do
    page.lettered = page.lettered or (utf8.len(name) or #name) > 14
  end
  for i, name in ipairs(page.names) do
    page.short[i] = not page.lettered and name or i <= 26 and string.char(64 + i) or tostring(i)
  end
end

local function is_shown(row)
  local part, shown = row.label:find "^ ", false
  for _, value in ipairs(row.values) do
    shown = shown or (value == value and not (part and value == 0))
  end
  return shown
end

local function label(row)
  local text = html.unit((row.label:gsub("^%s+", "")))
  text = row.label:find "^ " and '<span class="part">' .. text .. "</span>" or text
  return text .. (row.unit ~= "" and ' <span class="unit">' .. html.unit(row.unit) .. "</span>" or "")
end

local function percent(value)
  return value == value and html.number(value, 1, true) .. " %" or "–"
end

-- Value, difference and percent of the reference's value; of several runs the last two stand below the value.
function sheet.table(page)
  local reference, two = page.reference, #page.names == 2
  local heads, rows, group = { "" }, {}, nil
  local order = { reference }
  for i = 1, #page.names do
    if i ~= reference then
      order[#order + 1] = i
    end
  end
  for _, run in ipairs(order) do
    heads[#heads + 1] = sheet.head(page, run)
  end
  if two then
    heads[#heads + 1] = "change"
    heads[#heads + 1] = "% of " .. html.text(page.short[reference])
  end
  local tables = {}
  local function close()
    if #rows > 0 then
      heads[1] = html.text(group)
      tables[#tables + 1] = html.grid("results", heads, rows)
    end
  end
  for _, row in ipairs(page.rows) do
    if is_shown(row) then
      if row.group ~= group then
        close()
        group, rows = row.group, {}
      end
      local cells = { label(row) }
      for _, run in ipairs(order) do
        local cell = html.number(row.values[run], row.decimals)
        if run ~= reference and not two and row.decimals >= 0 then
          cell = cell .. "<small>" .. html.number(row.differences[run], row.decimals, true) .. "</small>"
            .. (row.percents[run] == row.percents[run] and "<small>" .. percent(row.percents[run]) .. "</small>" or "")
        end
        cells[#cells + 1] = cell
      end
      if two then
        local other = order[2]
        cells[#cells + 1] = row.decimals < 0 and "" or html.number(row.differences[other], row.decimals, true)
        cells[#cells + 1] = row.decimals < 0 and "" or html.number(row.percents[other], 1, true)
      end
      rows[#rows + 1] = cells
    end
  end
  local note = two and "" or #page.names > 2 and '<p class="note">Below a value: its difference from '
    .. html.text(page.short[reference]) .. ", and that in percent of the value of "
    .. html.text(page.short[reference]) .. " in the same row.</p>\n" or ""
  close()
  return "<p class=\"note\">Per m² of floor.</p>\n" .. note .. '<div class="' .. (#page.names <= 4 and "groups" or "") .. '">'
    .. table.concat(tables) .. "</div>\n"
end

-- What went in and differs, and what should have come out equal.
function sheet.held(page)
  local out = {}
  for run, name in ipairs(page.names) do
    local case = page.held[name]
    if case then
      out[#out + 1] = "<h3>" .. sheet.name(page, run) .. "</h3>\n"
      local rows = {}
      for _, input in ipairs(case.inputs) do
        rows[#rows + 1] = { "<code>" .. html.text(input.field) .. "</code>"
          .. (input.unit ~= "" and ' <span class="unit">' .. html.unit(input.unit) .. "</span>" or ""),
          html.text(input.reference), html.text(input.value) }
      end
      out[#out + 1] = #rows > 0 and html.grid("inputs", { "what went in and differs",
        html.text(page.short[page.reference]), html.text(page.short[run]) }, rows) or "<p>Nothing that went in differs.</p>\n"
      rows = {}
      for _, outcome in ipairs(case.outcomes) do
        if outcome.reference == outcome.reference or outcome.value == outcome.value then
          local row = page.row[outcome.name]
          local decimals = row and row.decimals or 2
          rows[#rows + 1] = { row and label(row) or html.text(outcome.name),
            html.number(outcome.difference, decimals, true), html.number(outcome.tolerance, decimals + 1),
            outcome.equal and "equal" or '<b class="no">not equal</b>' }
        end
      end
      out[#out + 1] = html.grid("equal", { "what should come out equal", "difference", "equal within", "" }, rows)
    end
  end
  return table.concat(out)
end

-- Totals of gas and electricity by month, the numbers behind the bars.
function sheet.months(page)
  local names = { "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec" }
  local heads, rows = { "" }, {}
  for i = 1, #page.names do
    heads[#heads + 1] = sheet.head(page, i) .. " gas m³/m²"
  end
  for i = 1, #page.names do
    heads[#heads + 1] = sheet.head(page, i) .. " electricity kWh/m²"
  end
  for m = 1, 12 do
    local cells, any = { names[m] }, false
    local gas, power = {}, {}
    for i, result in ipairs(page.results) do
      local meter = result:month(m).meter
      local _, value = result:span()
      gas[i] = meter.gas / value
      power[i] = (meter.power_lamps + meter.power_fan_through + meter.power_fan_circulation + meter.power_pumps) / 3.6
      any = any or meter.gas == meter.gas
    end
    for _, value in ipairs(gas) do
      cells[#cells + 1] = html.number(value, 2)
    end
    for _, value in ipairs(power) do
      cells[#cells + 1] = html.number(value, 2)
    end
    rows[#rows + 1] = any and cells or nil
  end
  return html.grid("months", heads, rows)
end

local function whole(title, weather, input)
  input.weather = weather
  return "<details><summary>" .. title .. "</summary><pre>" .. html.text(pinery.source(input)) .. "</pre></details>\n"
end

-- The whole input of every run, as Lua.
function sheet.input(page)
  local out = {}
  for i, result in ipairs(page.results) do
    local site, source, checksum = result:weather()
    out[i] = whole(sheet.name(page, i), site .. ", " .. source .. ", checksum " .. checksum, result:input())
  end
  return table.concat(out)
end

local function all_options(given)
  local options = {}
  for _, list in ipairs(pinery.fields()) do
    for _, field in ipairs(list.title == "options" and list or {}) do
      options[field.name] = field.kind == "true or false" and field.default ~= 0 or field.kind == "choice" and field.choices:match "^[^|]+"
        or field.kind ~= "true or false" and field.kind ~= "choice" and field.default or false
    end
  end
  for key, value in pairs(given or {}) do
    options[key] = value
  end
  return options
end

-- The same of the runs that a study makes: every field as it was resolved, before what the study itself changes.
function sheet.study_input(cases)
  local out = {}
  for i, case in ipairs(cases) do
    local weather = case.weather
    out[i] = whole(html.text(case[1]), weather.name .. ", " .. weather.source .. ", checksum " .. weather.checksum,
      { house = case.house:table(), strategy = case[2]:table(), options = all_options(case.options) })
  end
  return table.concat(out)
end
