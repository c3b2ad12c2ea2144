-- comparison:page { file = ... }: one HTML file that needs nothing else, the answer first.
local pinery, inner = ...
local html, sheet = inner.html, inner.sheet

-- A study stands in the section for its kind.
sheet.sections = { why = "Why", sure = "How sure", money = "Money and carbon", sizing = "How large" }

-- The section a study belongs in, by what it holds.
function sheet.section_of(study)
  return study.parts and "why" or study.curve and "sizing" or study.cases and study.currency and "money"
    or study.results and study.inputs and "sure" or nil
end

-- What is given, studies in their places.
function sheet.read(given)
  inner.check_keys("page", given, "file title notes why sure money sizing figures", true)
  local fields = {}
  for key, value in pairs(given) do
    if type(key) == "string" then
      fields[key] = value
    end
  end
  for i, item in ipairs(given) do
    local meta = getmetatable(item)
    if type(item) ~= "table" then
      inner.fail("page: value %d is a %s, expected a study", i, type(item))
    elseif meta and meta.__name == "pinery.study" then
      local key = sheet.section_of(item)
      if key then
        fields[key] = fields[key] or item
      end
    elseif not meta then
      inner.check_keys("page", item, "title notes")
      fields.title, fields.notes = fields.title or item.title, fields.notes or item.notes
    end
  end
  for key, kind in pairs { file = "string", title = "string", figures = "string", notes = "table", why = "table",
    sure = "table", money = "table", sizing = "table" } do
    if (fields[key] ~= nil or key == "file") and type(fields[key]) ~= kind then
      inner.fail("page: %s is a %s, expected %s", key, type(fields[key]), kind == "table" and "a table" or "a text")
    end
  end
  return fields
end

-- What all parts of the page look at.
local function gather(comparison, fields)
  local page = { comparison = comparison, rows = comparison:rows(), row = {}, results = {}, names = {}, held = {}, given = {} }
  for key, value in pairs(fields) do
    page[key] = value
  end
  for _, row in ipairs(page.rows) do
    page.row[row.name] = row
  end
  local held = comparison:held()
  for i = 1, #comparison do
    page.results[i], page.names[i] = comparison[i], comparison[i].name
    page.reference = page.names[i] == held.reference and i or page.reference
  end
  for _, case in ipairs(held.cases) do
    page.held[case.name] = case
  end
  sheet.shorten(page)
  page.days = page.results[page.reference]:span()
  page.title = fields.title or table.concat(page.names, ", ", 1, math.min(#page.names, 6))
    .. (#page.names > 6 and " and others" or "")
  function sheet.place(name)
    for i, each in ipairs(page.names) do
      if each == name then
        return i
      end
    end
  end
  return page
end

local drawings = 0

-- A figure of the comparison, or of one run, with its words below.
local function figure(page, chart, run, words, class)
  drawings = drawings + 1
  local svg = assert(page.comparison:chart { chart, run = run })
  return '<figure class="' .. (class or "") .. '">' .. html.drawing(svg, "d" .. drawings, (words:gsub("<[^>]*>", "")))
    .. "<figcaption>" .. words .. "</figcaption></figure>\n"
end

local function of_each(page, chart, words)
  local out = {}
  for i in ipairs(page.names) do
    out[i] = figure(page, chart, i, "<b>" .. sheet.name(page, i) .. "</b> " .. words)
  end
  return '<div class="pair">' .. table.concat(out) .. "</div>\n"
end

local function hours(page)
  local results = page.results
  return '<div class="live-only"><div class="buttons"><button type="button" id="hours-day">coldest day</button>'
    .. '<button type="button" id="hours-week">its week</button><button type="button" id="hours-year">all</button>'
    .. '<button type="button" id="hours-back">◀</button><button type="button" id="hours-on">▶</button>'
    .. '<span id="hours-span"></span> <span id="hours-time"></span></div>\n<div id="hours"></div>'
    .. '<p class="note">Drag sideways to zoom in, with the shift key or two fingers to move along; double click or “all” '
    .. "shows everything. Times are standard time.</p></div>\n"
    .. '<div class="still-only">' .. figure(page, "day", 1, "The day that is coldest outside, hour by hour.") .. "</div>\n"
    .. '<script type="application/json" id="hours-data">' .. html.hours(results, page.names) .. "</script>\n"
end

local function body(page)
  local out = {}
  local function add(...)
    for _, text in ipairs { ... } do
      out[#out + 1] = text
    end
  end
  local function section(title, ...)
    add("<h2>" .. title .. "</h2>\n", ...)
  end
  local site, source = page.results[page.reference]:weather()
  add("<h1>" .. html.text(page.title) .. "</h1>\n", '<p class="about">' .. html.text(site) .. ", " .. html.text(source)
    .. string.format(", %.4g days", page.days) .. "</p>\n", '<p class="answer">' .. sheet.answer(page) .. "</p>\n",
    sheet.legend(page), '<p class="note">An estimate for comparing, not a design certificate: read the <a '
      .. 'href="#cautions">cautions</a>.</p>\n')
  section("The numbers", sheet.table(page))
  for _, key in ipairs { "why", "sure", "money", "sizing" } do
    if page[key] and sheet[key] then
      section(sheet.sections[key], sheet[key](page))
    end
  end
  section("When", '<div class="pair">', figure(page, "months", 1, "<b>Gas and electricity by month.</b>"),
    figure(page, "weeks", 1, "<b>Gas added up by week</b>" .. (#page.names > 1 and ", and what is saved or lost by then "
      .. "against " .. html.text(page.names[page.reference]) or "") .. "."), "</div>\n",
    "<details><summary>The numbers by month</summary>", sheet.months(page), "</details>\n")
  section("How much heat at once, and how damp", '<div class="pair">', figure(page, "duration", 1, "<b>Duration curve:</b> "
    .. "for how many hours of the run the boiler gives more than so much. Its area is the heat from the boiler. The peak "
    .. "is not the size of a boiler: see Snow under the cautions."), figure(page, "humidity", 1, "<b>Hours over a relative "
    .. "humidity</b> (moister of lower and upper air) <b>and under a vapour pressure deficit</b>, by night and day; dotted: "
    .. "the limits of the table."), "</div>\n")
  section("Where heat comes from and goes to", of_each(page, "heat", "Heat. Bands are drawn at one scale for all runs."))
  section("Where water comes from and goes to", of_each(page, "water", "Water. One scale for all runs."))
  section("Day by hour", of_each(page, "map", "A column is a day, midnight at its top."))
  section("A winter day, and any other", hours(page))
  if #page.names > 1 then
    section("What was held equal, and what was not", sheet.held(page))
  end
  section("Assumptions", sheet.assumptions(page))
  section("Sources", sheet.sources(page))
  add('<h2 id="cautions">Cautions</h2>\n', sheet.cautions(page))
  section("The whole input", '<p class="note">Every field as it was resolved, defaults included; it makes the same run '
    .. "again.</p>\n", sheet.input(page))
  local _, _, checksum = page.results[page.reference]:weather()
  add('<p class="note">Made by Pinery ' .. html.text(pinery.version) .. "; weather checksum <code>" .. checksum
    .. "</code>; heat not accounted for in " .. html.text(page.names[page.reference]) .. " "
    .. html.number(page.row.closure_heat.values[page.reference], -1) .. ", water "
    .. html.number(page.row.closure_water.values[page.reference], -1) .. " of what went in.</p>\n")
  return table.concat(out)
end

-- A script that cannot end its element by itself.
local function tame(text)
  return (text:gsub("</([sS])", "<\\/%1"))
end

-- The whole file around a body; `live` with the charts that move.
function sheet.frame(title, content, live)
  return table.concat {
    '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">\n',
    '<meta name="viewport" content="width=device-width, initial-scale=1">\n', "<title>", html.text(title), "</title>\n<style>",
    live and inner.asset "dygraph.min.css" .. "\n" or "", inner.asset "sheet.css", "</style></head>\n<body>\n", content,
    live and "<script>" .. tame(inner.asset "dygraph.min.js"):gsub("//# sourceMapp[^\n]*", "") .. "</script>\n<script>"
      .. tame(inner.asset "sheet.js") .. "</script>\n<!-- The licence of dygraphs, which is part of this file:\n\n"
      .. inner.asset "copyright":gsub("%-%-+", "-") .. "\n-->\n" or "", "</body></html>\n",
  }
end

-- comparison:save_figures(folder): every figure of the page, as SVG, PNG and PDF; true, or nil and a message.
function inner.comparison.save_figures(comparison, folder)
  folder = pinery.path(folder)
  for _, chart in ipairs { "months", "weeks", "duration", "humidity", "day", "map", "heat", "water" } do
    local each = (chart == "map" or chart == "heat" or chart == "water") and #comparison or 1
    for run = 1, each do
      for _, kind in ipairs { "svg", "png", "pdf" } do
        local file = string.format("%s/%s%s.%s", folder, chart, each > 1 and "-" .. run or "", kind)
        local ok, message = comparison:chart { chart, run = run, file = file }
        if not ok then
          return nil, message
        end
      end
    end
  end
  return true
end

-- Written beside the file under another name, which then takes its place.
local function save(path, text)
  local part = path .. ".part"
  local file, message = io.open(part, "wb")
  local written
  if file then
    written, message = file:write(text)
    local closed, why = file:close()
    if written and closed then
      written, message = os.rename(part, path)
    end
    if not written or not closed then
      os.remove(part)
      return nil, message or why
    end
    return true
  end
  return nil, message
end

-- The page into its file, and the figures of its studies into their folder.
function sheet.save(page, fields, text)
  for _, given in ipairs(fields.figures and page.given or {}) do
    for _, kind in ipairs { "svg", "png", "pdf" } do
      given.numbers.file = pinery.path(fields.figures) .. "/" .. given.name .. "." .. kind
      local ok, message = given.draw(given.numbers)
      if not ok then
        return nil, message
      end
    end
  end
  return save(pinery.path(fields.file), text)
end

-- comparison:page { file =, title =, notes =, why =, sure =, money =, sizing =, figures = folder }: true, or nil and a
-- message. Runs the comparison when that has not been done, keeping the hours.
function inner.comparison.page(comparison, fields)
  fields = sheet.read(fields)
  comparison:keep_hours()
  local ok, message = comparison:run()
  if not ok then
    return nil, message
  end
  local page = gather(comparison, fields)
  for i, result in ipairs(page.results) do
    if not pcall(result.hours, result, "time") then
      return nil, "page: the hours of " .. page.names[i] .. " were not kept; call comparison:keep_hours() before it is run"
    end
  end
  local text
  drawings = 0
  ok, text = pcall(function()
    return sheet.frame(page.title, body(page), true)
  end)
  if not ok then
    return nil, text
  end
  if fields.figures then
    ok, message = comparison:save_figures(fields.figures)
    if not ok then
      return nil, message
    end
  end
  return sheet.save(page, fields, text)
end
