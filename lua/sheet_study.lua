-- study:page { file = ... }: the page of a study that stands by itself. One that was made of a comparison gets the page of
-- that comparison, with itself in it.
local pinery, inner = ...
local html, sheet = inner.html, inner.sheet

inner.made_of = setmetatable({}, { __mode = "k" }) -- study -> comparison

local function bold(text)
  return "<b>" .. html.text(text) .. "</b>"
end

local answers = {}

function answers.sizing(page, size)
  local none = size.curve[1] and size.curve[1].capacity == 0 and size.curve[1].hours[size.limit]
  local first = string.format("No capacity up to %s %s keeps the hours over %s %% to %s", html.number(size.most or 0, 1),
    html.unit(size.unit or ""), html.text(size.limit), html.number(size.hours_allowed, 0))
  if size.capacity == 0 then
    first = string.format("Nothing is needed to keep the hours over %s %% to %s in the run", html.text(size.limit),
      html.number(size.hours_allowed, 0))
  elseif tonumber(size.capacity) then
    first = string.format("To keep the hours over %s %% to %s in the run takes <b>%s %s</b>, %s units and %s kW per hectare",
      html.text(size.limit), html.number(size.hours_allowed, 0), html.number(size.capacity, 2),
      html.unit(size.unit or "m3/m2/h"), html.number(size.units_per_ha, 1), html.number(size.kW_per_ha, 2))
  end
  return first .. (none and string.format(". Without any there are %s such hours", html.number(none, 0))
    or ". Every point of the curve is a whole run") .. (size.place and size.place ~= "air" and ", counted "
    .. html.text((size.place:gsub("_", " "))) or "") .. ", in well-mixed air: a cold place is damper."
end

function answers.why(page, why)
  local of = why.of or "gas_m3_per_m2"
  local row, most = page.row[of], why.parts[1]
  for _, part in ipairs(why.parts) do
    most = math.abs(part.results[of]) > math.abs(most.results[of]) and part or most
  end
  return string.format("From %s to %s the change in %s is %s %s. The largest part of it is %s with %s.", bold(why.reference),
    bold(why.other), html.text((row.label:gsub("^%s+", ""))), html.number(why.difference[of], row.decimals, true),
    html.unit(row.unit), bold(most.name), html.number(most.results[of], row.decimals, true))
end

function answers.sure(page, sure)
  local of = sure.of or "gas_m3_per_m2"
  local row, result = page.row[of] or { label = of, unit = "", decimals = 2 }, sure.results[of]
  return string.format("The change in %s is %s %s, the median of %s pairs of runs. Four pairs in five lie between %s and %s, "
    .. "19 in 20 between %s and %s.", html.text((row.label:gsub("^%s+", ""))), html.number(result.median, row.decimals, true),
    html.unit(row.unit), html.number(sure.n, 0), html.number(result.low80, row.decimals, true),
    html.number(result.high80, row.decimals, true), html.number(result.low95, row.decimals, true),
    html.number(result.high95, row.decimals, true))
end

function answers.money(_, money)
  local out = {}
  for _, case in ipairs(money.cases) do
    if case.name ~= money.reference and tonumber(case.saving_per_m2) then
      out[#out + 1] = string.format("%s saves %s %s/m² against %s", bold(case.name), html.number(case.saving_per_m2, 2),
        html.text(money.currency), bold(money.reference))
    end
  end
  return table.concat(out, ", ") .. ". What would turn that round stands below."
end

-- A page without runs: what a section looks at is there, and empty.
local function bare(study, fields)
  local page = { rows = inner.rows(), row = {}, results = {}, names = {}, short = {}, held = {}, given = {},
    days = study.days or 365 }
  for _, row in ipairs(page.rows) do
    page.row[row.name] = row
  end
  for key, value in pairs(fields) do
    page[key] = value
  end
  function sheet.place() end
  local text = study:report()
  page.title = fields.title or text:match "^[^\n]+"
  return page, text
end

local function body(page, study, key, text)
  local out = { "<h1>", html.text(page.title), '</h1>\n<p class="about">', html.text(study.weather or ""),
    '</p>\n<p class="answer">', answers[key](page, study), '</p>\n<p class="note">An estimate for comparing, not a design '
      .. 'certificate: read the <a href="#cautions">cautions</a>.</p>\n' }
  for _, section in ipairs { "why", "sure", "money", "sizing" } do
    if page[section] then
      out[#out + 1] = "<h2>" .. sheet.sections[section] .. "</h2>\n" .. sheet[section](page)
    end
  end
  out[#out + 1] = "<h2>The study as text</h2>\n<details><summary>All of it</summary><pre>" .. html.text(text)
    .. "</pre></details>\n"
  if page.notes then
    local notes = {}
    for i, note in ipairs(page.notes) do
      notes[i] = html.text(note)
    end
    out[#out + 1] = "<h2>Notes</h2>\n" .. sheet.list(notes)
  end
  out[#out + 1] = "<h2>Sources</h2>\n" .. sheet.sources(page) .. '<h2 id="cautions">Cautions</h2>\n' .. sheet.cautions(page)
  local cases = inner.cases_of[study]
  out[#out + 1] = cases and '<h2>The whole input</h2>\n<p class="note">Every field as it was resolved, defaults included, before '
    .. "what the study itself changes.</p>\n" .. sheet.study_input(cases) or ""
  out[#out + 1] = '<p class="note">Made by Pinery ' .. html.text(pinery.version) .. ".</p>\n"
  return table.concat(out)
end

function sheet.of_study(study, given)
  if type(given) ~= "table" then
    inner.fail("page: expected a table, page { file = \"answer.html\" }")
  end
  given = table.move(given, 1, #given, 2, given)
  given[1] = study
  if inner.made_of[study] then
    return inner.made_of[study]:page(given)
  end
  local fields = sheet.read(given)
  local key = sheet.section_of(study)
  if not key then
    return nil, "page: a study of " .. study.what .. " has no page by itself; give it to the page of a comparison"
  end
  local page, text = bare(study, fields)
  local done, result = pcall(function()
    return sheet.frame(page.title, body(page, study, key, text), false)
  end)
  if not done then
    return nil, result
  end
  return sheet.save(page, fields, result)
end
