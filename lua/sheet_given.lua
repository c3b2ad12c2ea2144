-- The page's sections on studies: why, how sure, money, how large. A study that lacks a part has no such table.
local pinery, inner = ...
local html, sheet = inner.html, inner.sheet

local function heads_of(...)
  local out = {}
  for i, text in ipairs { ... } do
    out[i] = html.text(text)
  end
  return out
end

-- A drawing of numbers, which save_figures also finds.
local function drawing(page, draw, name, given, words)
  page.given[#page.given + 1] = { draw = draw, name = name, numbers = given }
  local svg = assert(draw(given))
  return "<figure>" .. html.drawing(svg, name, (words:gsub("<[^>]*>", ""))) .. "<figcaption>" .. words
    .. "</figcaption></figure>\n"
end

local function row_of(page, name)
  return page.row[name] or { label = name, unit = "", decimals = 2 }
end

local function label_of(page, name)
  local row = row_of(page, name)
  return html.unit((row.label:gsub("^%s+", "")))
    .. (row.unit ~= "" and ' <span class="unit">' .. html.unit(row.unit) .. "</span>" or "")
end

local function plain(text)
  return (text:gsub("m2", "m²"):gsub("m3", "m³"))
end

-- --- why ---

local function waterfall(page, why, of)
  local row = row_of(page, of)
  local at = why.values.reference[of]
  local bars = { axis = plain((row.label:gsub("^%s+", "")) .. ", " .. row.unit), decimals = row.decimals,
    { label = tostring(why.reference), to = at, total = true, run = sheet.place(why.reference) or 1 } }
  for _, part in ipairs(why.parts) do
    local change = part.results[of] or 0
    bars[#bars + 1] = { label = tostring(part.name), from = at, to = at + change }
    at = at + change
  end
  bars[#bars + 1] = { label = tostring(why.other), to = why.values.other[of], total = true,
    run = sheet.place(why.other) or 2 }
  return drawing(page, inner.bars, "why", bars, "<b>From " .. html.text(why.reference) .. " to " .. html.text(why.other)
    .. ", part by part.</b> Each part has its Shapley share: the mean of what it does over all orders of putting the "
    .. "parts in, so that they add up to the difference. Mind where the axis begins.")
end

local function path_bars(page, why)
  local bars = { axis = "heat leaving, MJ/m²", decimals = 1 }
  for _, path in ipairs(why.paths) do
    if math.abs(path.MJ_per_m2) >= 0.05 then
      bars[#bars + 1] = { label = tostring(path.name), to = path.MJ_per_m2 }
    end
  end
  return #bars > 0 and drawing(page, inner.bars, "paths", bars, "<b>By the ways of heat:</b> what leaves the house by each "
    .. "of them with " .. html.text(why.other) .. ", less or more than with " .. html.text(why.reference) .. ".") or ""
end

local function parts_table(page, why, of)
  local decimals, rows = row_of(page, of).decimals, {}
  local power = row_of(page, "electricity_kWh_per_m2")
  local function cells(name, kind, results, alone, last)
    rows[#rows + 1] = { name, html.text(kind or ""), html.number(results[of], decimals, true),
      html.number(alone and alone[of], decimals, true), html.number(last and last[of], decimals, true),
      html.number(results.electricity_kWh_per_m2, power.decimals, true) }
  end
  for _, part in ipairs(why.parts) do
    cells(html.text(part.name), part.kind, part.results, part.alone, part.last)
  end
  for _, kind in ipairs { "equipment", "behaviour" } do
    local sum = why.split and why.split[kind]
    if sum then
      cells("<i>all " .. kind .. "</i>", "", sum.results, sum.alone, sum.last)
    end
  end
  cells("<b>together</b>", "", why.difference)
  return html.grid("results", { "part", "kind", label_of(page, of) .. ", its share", "first of all", "last of all",
    "electricity, its share" }, rows)
end

function sheet.why(page)
  local why, out = page.why, {}
  local of = why.of or "gas_m3_per_m2"
  local function add(text)
    out[#out + 1] = text
  end
  add '<div class="pair">'
  add(waterfall(page, why, of))
  add(why.paths and path_bars(page, why) or "")
  add "</div>\n"
  add(parts_table(page, why, of))
  local rows = {}
  for _, pair in ipairs(why.interaction or {}) do
    rows[#rows + 1] = { html.text(pair.a) .. " with " .. html.text(pair.b),
      html.number(pair.results[of], row_of(page, of).decimals, true) }
  end
  if #rows > 0 then
    add "<details><summary>What two parts do together beyond each by itself</summary>"
    add(html.grid("results", { "pair", label_of(page, of) }, rows))
    add "</details>\n"
  end
  return table.concat(out)
end

-- --- how sure ---

-- "normal 0, 0.3" of an input as a study gives it.
local function chance_text(input)
  local chance = input.chance
  if type(chance) ~= "table" then
    return html.text(chance or "–")
  end
  local out = { tostring(chance.kind) }
  for _, key in ipairs { "a", "b", "c" } do
    if tonumber(chance[key]) and (key ~= "c" or chance.kind == "triangular") then
      out[#out + 1] = string.format("%.4g", chance[key])
    end
  end
  return html.text((input.by and input.by .. " " or "") .. out[1] .. " " .. table.concat(out, ", ", 2)
    .. (input.only and ", " .. input.only .. " only" or ""))
end

-- The rows of the table that a study has numbers for, then what else it has, a row each with its decimals.
local function sure_rows(page, results)
  local rows, seen = {}, {}
  local function add(row)
    local result = results[row.name]
    seen[row.name] = true
    if row.decimals >= 0 and type(result) == "table" and tonumber(result.median)
      and math.max(math.abs(result.low95), math.abs(result.high95)) >= 0.5 * 10.0 ^ -row.decimals then
      rows[#rows + 1] = row
    end
  end
  for _, row in ipairs(page.rows) do
    add(row)
  end
  local own = {}
  for name in pairs(results) do
    if not seen[name] and not inner.is_result(name) then
      own[#own + 1] = name
    end
  end
  table.sort(own)
  for _, name in ipairs(own) do
    add { name = name, label = name, unit = "", decimals = 2 }
  end
  return rows
end

-- The rows that a reader looks at first: energy, what should be equal, and what the study made itself.
local function is_first(page, name)
  for _, case in pairs(page.held) do
    for _, outcome in ipairs(case.outcomes) do
      if outcome.name == name then
        return true
      end
    end
  end
  return name == "gas_m3_per_m2" or name == "electricity_kWh_per_m2" or name == "peak_hour_W_per_m2"
    or not inner.is_result(name)
end

function sheet.sure(page)
  local rest = {}
  local sure, rows, ranges = page.sure, {}, { axis = "less (−) or more than the reference, in the unit named" }
  for _, row in ipairs(sure_rows(page, sure.results)) do
    local result = sure.results[row.name]
    local function number(key)
      return html.number(result[key], row.decimals, true)
    end
    local list = is_first(page, row.name) and rows or rest
    list[#list + 1] = { label_of(page, row.name), number "median", number "low80" .. " … " .. number "high80",
      number "low95" .. " … " .. number "high95" }
    if row.name == "gas_m3_per_m2" or row.name == "electricity_kWh_per_m2" then
      ranges[#ranges + 1] = { label = plain((row.label:gsub(", all", "")) .. ", " .. row.unit), result.low95, result.low80,
        result.median, result.high80, result.high95 }
    end
  end
  local between = sure.reference and sure.other and " of " .. html.text(sure.other) .. " less " .. html.text(sure.reference)
    or ""
  local out = { "<p>" .. (tonumber(sure.n) and html.number(sure.n, 0) .. " pairs of runs" .. between
    .. ", what is uncertain drawn alike for both" .. (sure.sampling and " (" .. html.text(sure.sampling) .. ", seed "
    .. html.text(sure.seed) .. ")" or "") .. "." or "") .. "</p>\n", '<div class="pair">' }
  if #ranges > 0 then
    out[#out + 1] = drawing(page, inner.ranges, "sure", ranges, "<b>Mark:</b> half of the pairs lie on either side; "
      .. "<b>thick:</b> four in five; <b>thin:</b> 19 in 20.")
  end
  local inputs, drawn = {}, { axis = "share of the spread of the gas, %", decimals = 0 }
  for _, input in ipairs(sure.inputs or {}) do
    if tonumber(input.share) and input.share == input.share then
      inputs[#inputs + 1] = input
    end
  end
  table.sort(inputs, function(a, b) return a.share > b.share end)
  for i = 1, math.min(#inputs, 12) do
    drawn[i] = { label = tostring(inputs[i].name):gsub("^house%.", ""):gsub("^strategy%.", ""), to = 100 * inputs[i].share,
      total = true }
  end
  if #drawn > 0 then
    out[#out + 1] = drawing(page, inner.bars, "inputs", drawn, "<b>What matters most:</b> the share of the spread that comes "
      .. "from each uncertain input.")
  end
  out[#out + 1] = "</div>\n"
  local heads = heads_of("change", "median", "4 in 5", "19 in 20")
  out[#out + 1] = html.grid("results", heads, rows)
  if #rest > 0 then
    out[#out + 1] = "<details><summary>Other changes</summary>" .. html.grid("results", heads, rest) .. "</details>\n"
  end
  rows = {}
  for _, input in ipairs(inputs) do
    rows[#rows + 1] = { "<code>" .. html.text(input.name) .. "</code>", chance_text(input), html.number(100 * input.share, 0) }
  end
  if #rows > 0 then
    out[#out + 1] = "<details><summary>What was drawn</summary>" .. html.grid("inputs", { "uncertain input", "drawn from",
      "share of the spread, %" }, rows) .. "</details>\n"
  end
  return table.concat(out)
end

-- --- money ---

local function spaced(key)
  return (tostring(key):gsub("_", " "))
end

-- What the bills are made of, in their order where the study says it.
local function items_of(money)
  local items, seen = {}, {}
  local function used(key)
    for _, case in ipairs(money.cases) do
      local value = case.cost_per_m2 and case.cost_per_m2[key]
      if value and value ~= 0 then
        return true
      end
    end
  end
  for _, item in ipairs(money.items or {}) do
    seen[item.key] = true
    items[#items + 1] = used(item.key) and item or nil
  end
  local others = {}
  for _, case in ipairs(money.cases) do
    for key in pairs(case.cost_per_m2 or {}) do
      if key ~= "total" and not seen[key] and used(key) then
        seen[key], others[#others + 1] = true, key
      end
    end
  end
  table.sort(others)
  for _, key in ipairs(others) do
    items[#items + 1] = { key = key, name = spaced(key) }
  end
  items[#items + 1] = { key = "total", name = "together" }
  return items
end

function sheet.money(page)
  local money = page.money
  local unit = html.text(money.currency or "") .. "/m²"
  local heads, rows = { sheet.per(page) }, {}
  local bars = { axis = tostring(money.currency or "") .. "/m² " .. sheet.per(page), decimals = 2 }
  for i, case in ipairs(money.cases) do
    local run = sheet.place(case.name)
    heads[#heads + 1] = run and sheet.head(page, run) or html.text(case.name)
    if case.cost_per_m2 and tonumber(case.cost_per_m2.total) then
      bars[#bars + 1] = { label = tostring(case.name), to = case.cost_per_m2.total, total = true, run = run or i }
    end
  end
  local function row(label, get, decimals, sign)
    local cells, any = { label }, false
    for _, case in ipairs(money.cases) do
      local value = get(case)
      any = any or (tonumber(value) and value == value)
      cells[#cells + 1] = html.number(value, decimals, sign)
    end
    rows[#rows + 1] = any and cells or nil
  end
  for _, item in ipairs(items_of(money)) do
    local name = html.text(item.name)
    row((item.key == "total" and "<b>" .. name .. "</b>" or name) .. ' <span class="unit">' .. unit .. "</span>",
      function(case) return case.cost_per_m2 and case.cost_per_m2[item.key] end, 2)
  end
  row('saved against the reference <span class="unit">' .. unit .. "</span>", function(case)
    return case.saving_per_m2
  end, 2, true)
  row('that is, of all paid in ' .. html.text(money.reference or "the reference") .. ' <span class="unit">%</span>',
    function(case) return case.saving_percent end, 1, true)
  row('simple payback <span class="unit">years</span>', function(case)
    return case.payback_years ~= 0 and case.payback_years or nil -- 0: there is nothing to pay back
  end, 1)
  row('net present value <span class="unit">' .. unit .. "</span>", function(case) return case.npv_per_m2 end, 2, true)
  row('probability that it pays <span class="unit">%</span>', function(case)
    return case.probability and 100 * case.probability
  end, 0)
  row('carbon dioxide <span class="unit">kg/m²</span>', function(case) return case.co2_kg_per_m2 end, 1)
  local out = { '<div class="pair">' }
  out[#out + 1] = html.grid("results", heads, rows)
  if #bars > 0 then
    out[#out + 1] = drawing(page, inner.bars, "money", bars, "<b>What it costs</b> at the prices given.")
  end
  out[#out + 1] = "</div>\n"
  rows = {}
  for name, even in pairs(type(money.break_even) == "table" and money.break_even or {}) do
    for key, value in pairs(type(even) == "table" and even or { [name] = even }) do
      local of = money.units and money.units[key]
      rows[#rows + 1] = { (type(even) == "table" and html.text(name) .. ": " or "") .. html.text(spaced(key))
        .. (of and ' <span class="unit">' .. html.unit(of) .. "</span>" or ""),
        type(value) == "number" and (value < 0 and "none" or html.number(value, 3)) or html.text(value) }
    end
  end
  table.sort(rows, function(a, b) return a[1] < b[1] end)
  if #rows > 0 then
    out[#out + 1] = html.grid("results", { "it just pays, all else as it is, at", "" }, rows)
  end
  return table.concat(out)
end

-- --- how large ---

function sheet.sizing(page)
  local sizing, limits = page.sizing, {}
  for _, limit in ipairs(sizing.limits or {}) do
    limits[limit] = true
  end
  for _, point in ipairs(sizing.limits and {} or sizing.curve or {}) do
    for limit in pairs(point.hours or {}) do
      limits[limit] = true
    end
  end
  local order = {}
  for _, limit in ipairs(sizing.limits or {}) do
    order[#order + 1] = limits[limit] and limit or nil
  end
  for limit in pairs(#order == 0 and limits or {}) do
    order[#order + 1] = limit
  end
  table.sort(order, function(a, b)
    local x, y = tonumber(a), tonumber(b)
    if x and y then
      return x < y
    end
    return tostring(a) < tostring(b)
  end)
  local heads, rows, lines = { "capacity" }, {}, { x = "capacity, " .. plain(tostring(sizing.unit or "m3/m2/h")),
    y = "hours a year over the limit" }
  for i, limit in ipairs(order) do
    heads[#heads + 1] = "hours over " .. html.text(limit) .. " %"
    lines[i] = { name = "over " .. limit .. " %", x = {}, y = {} }
  end
  heads[#heads + 1], heads[#heads + 2] = "electricity kWh/m²", "gas m³/m²"
  for _, point in ipairs(sizing.curve or {}) do
    local cells = { html.number(point.capacity, 1) }
    for i, limit in ipairs(order) do
      local hours = point.hours[limit]
      cells[#cells + 1] = html.number(hours, 0)
      if tonumber(hours) then
        table.insert(lines[i].x, point.capacity)
        table.insert(lines[i].y, hours)
      end
    end
    cells[#cells + 1], cells[#cells + 2] = html.number(point.kWh, 1), html.number(point.gas, 2)
    rows[#rows + 1] = cells
  end
  local words = {}
  if tonumber(sizing.capacity) then
    words[#words + 1] = string.format("For at most %s hours of the run over %s %%%s: <b>%s %s</b> of %s",
      html.number(sizing.hours_allowed, 0), html.text(sizing.limit or "–"),
      sizing.place_text and " " .. html.text(sizing.place_text) or "", html.number(sizing.capacity, 2),
      html.unit(sizing.unit or "m3/m2/h"), html.text(sizing.machine_text or "machines"))
    words[#words + 1] = tonumber(sizing.units_per_ha) and html.number(sizing.units_per_ha, 1) .. " units per hectare" or nil
    words[#words + 1] = tonumber(sizing.kW_per_ha) and html.number(sizing.kW_per_ha, 1) .. " kW per hectare" or nil
  else
    words[1] = "No capacity that was tried keeps within the hours allowed"
  end
  local cautions = sizing.cautions and "<details><summary>What the number leaves open</summary><pre>"
    .. html.text(sizing.cautions) .. "</pre></details>\n" or ""
  return "<p>" .. table.concat(words, ", ") .. ".</p>\n" .. '<div class="pair">'
    .. (#lines > 0 and drawing(page, inner.lines, "sizing", lines, "<b>Hours over the limit against capacity.</b>") or "")
    .. html.grid("results", heads, rows) .. "</div>\n" .. cautions
end
