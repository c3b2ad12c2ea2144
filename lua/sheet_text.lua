-- The words of the page: its two sentences, assumptions, sources and cautions.
local pinery, inner = ...
local html, sheet = inner.html, inner.sheet

local function bold(name)
  return "<b>" .. html.text(name) .. "</b>"
end

-- What the numbers are of.
function sheet.per(page)
  return math.abs(page.days - 365) < 1.5 and "a year" or string.format("in %.4g days", page.days)
end

-- "2.06 m³/m² less gas (7.3 % of 28.36)"
local function change(row, run, what)
  local difference = row.differences[run]
  local size = html.number(math.abs(difference), row.decimals)
  if tonumber(string.format("%." .. row.decimals .. "f", difference)) == 0 then
    return difference == 0 and "as much " .. what or "about as much " .. what
  end
  local percent = row.percents[run]
  local of = percent == percent and string.format(" (%s %% of %s)", html.number(math.abs(percent), 1),
    html.number(row.values[sheet.place(row.of)], row.decimals)) or ""
  return string.format("%s %s %s %s%s", size, html.unit(row.unit), difference < 0 and "less" or "more", what, of)
end

local function first_sentence(page, run)
  local gas, power = page.row.gas_m3_per_m2, page.row.electricity_kWh_per_m2
  local time = math.abs(page.days - 365) < 1.5 and "in this year" or string.format("in these %.4g days", page.days)
  local heat_only = gas.values[run] == 0 and gas.values[page.reference] == 0
  if heat_only then
    gas = page.row.heat_MJ_per_m2
  end
  local text = string.format("With %s the house takes %s and %s than with %s %s", bold(page.names[run]),
    change(gas, run, heat_only and "heat" or "gas"), change(power, run, "electricity"),
    bold(page.names[page.reference]), time)
  return (text:gsub("as much (%a+) and about as much (%a+) than", "as much %1 and about as much %2 as")
    :gsub("as much (%a+) and as much (%a+) than", "as much %1 and as much %2 as")
    :gsub("as much electricity than", "as much electricity as"))
end

-- What money adds to the first sentence.
local function money_words(page, run)
  for _, case in ipairs(page.money and page.money.cases or {}) do
    if case.name == page.names[run] and tonumber(case.saving_per_m2) then
      local saved = case.saving_per_m2
      return string.format("; at the prices given that %s %s %s/m² %s", saved < 0 and "costs" or "saves",
        html.number(math.abs(saved), 2), html.text(page.money.currency or ""), sheet.per(page))
    end
  end
  return ""
end

local function second_sentence(page, run)
  local sure = page.sure and page.sure.results and page.sure.results.gas_m3_per_m2
  sure = sure and (page.sure.other or page.names[run]) == page.names[run] and sure
  local lead = ""
  if sure then
    lead = string.format("With what is uncertain varied, four runs in five put the difference in gas between %s and %s "
      .. "m³/m²", html.number(sure.low80, 2, true), html.number(sure.high80, 2, true))
  end
  local unequal = {}
  for _, outcome in ipairs(page.held[page.names[run]].outcomes) do
    if not outcome.equal then
      local row = page.row[outcome.name]
      local label = row and row.label:gsub("^%s+", "") or outcome.name
      unequal[#unequal + 1] = string.format("%s %s %s", html.text(label),
        html.number(outcome.difference, row and row.decimals or 2, true),
        outcome.unit == "degC" and "K" or html.unit(outcome.unit))
    end
  end
  if #unequal == 0 then
    return (lead == "" and "" or lead .. "; ") .. "temperature, light and humidity came out about equal, so that this is "
      .. "a difference of energy alone"
  end
  local most = math.min(#unequal, 3)
  local more = #unequal > most and string.format(" and %d more below", #unequal - most) or ""
  return (lead == "" and "" or lead .. ", but ") .. "the crop does not stand in the same climate ("
    .. table.concat(unequal, ", ", 1, most) .. more .. "), which has to be weighed against it"
end

local function capital(text)
  return (text:gsub("^%l", string.upper))
end

-- The two sentences, as HTML.
function sheet.answer(page)
  if #page.names == 1 then
    local gas, power = page.row.gas_m3_per_m2, page.row.electricity_kWh_per_m2
    return string.format("With %s the house takes %s m³ of gas and %s kWh of electricity per m² in %.4g days. There is no other run "
      .. "to compare it with.", bold(page.names[1]), html.number(gas.values[1], 2), html.number(power.values[1], 2),
      page.days)
  end
  local best
  for i = 1, #page.names do
    if i ~= page.reference and (not best
      or page.row.gas_m3_per_m2.values[i] < page.row.gas_m3_per_m2.values[best]) then
      best = i
    end
  end
  local lead, others = "", #page.names - 1
  if others > 1 and page.row.gas_m3_per_m2.differences[best] > 0 then
    lead = string.format("None of %d other ways takes less gas than %s; %s comes nearest: ", others,
      bold(page.names[page.reference]), bold(page.names[best]))
  elseif others > 1 then
    lead = string.format("Of %d other ways %s takes the least gas: ", others, bold(page.names[best]))
  end
  local sentence = first_sentence(page, best)
  return lead .. (lead == "" and sentence or sentence:gsub("^With", "with")) .. money_words(page, best) .. ". "
    .. capital(second_sentence(page, best)) .. "."
end

function sheet.list(items)
  return "<ul><li>" .. table.concat(items, "</li>\n<li>") .. "</li></ul>\n"
end

function sheet.assumptions(page)
  local result = page.results[page.reference]
  local days, value, gross = result:span()
  local _, _, _, remarks = result:weather()
  local items = {
    string.format("A m³ of gas is %s MJ, %s value, as the boiler of %s states it. Everything is per m² of floor, over %s "
      .. "days.", html.number(value, 2), gross and "gross" or "net", html.text(page.names[page.reference]),
      html.number(days, days % 1 == 0 and 0 or 2)),
    "One weather: it stands for the place, not for any one winter.",
    "Air is well mixed from side to side; gables, corners, jets and cold spots are not resolved. Humidity is that of the "
      .. "air of a layer; sensors are wrong by two or three per cent there.",
    "Not in the model: growth, yield, quality, disease and fog. Hours of high humidity, small dew-point margin and wet "
      .. "leaves are exposure.",
    "The growth index is an index and no yield forecast: what a canopy could take up in the light it gets, all else held "
      .. "(Acock et al. 1978). How much light counts is uncertain: leaves may be full early, or growth go by light alone; "
      .. "the truth of most crops lies between the two (0.5 to 1 % for 1 % of light, Marcelis et al. 2006, from memory).",
    "The crop is the same in all runs unless the list of what differs says otherwise, and does not answer to the climate "
      .. "by growing.",
    "A percentage is one of the reference's value in the same row, never of another quantity.",
  }
  for _, remark in ipairs(remarks) do
    items[#items + 1] = "Weather: " .. html.text(remark)
  end
  for _, note in ipairs(page.notes or {}) do
    items[#items + 1] = html.text(note)
  end
  return sheet.list(items)
end

function sheet.sources(page)
  local items, seen = {}, {}
  for _, result in ipairs(page.results) do
    local site, source, checksum = result:weather()
    if not seen[checksum] then
      seen[checksum] = true
      items[#items + 1] = string.format("Weather: %s, %s, checksum <code>%s</code>.", html.text(site),
        html.text(source), checksum)
    end
  end
  items[#items + 1] = "Model: Pinery " .. html.text(pinery.version) .. ". Moist air after Hyland and Wexler (1983); "
    .. "glass after Duffie and Beckman and EN 673; light and long wave in layers after Goudriaan (1977) and the "
    .. "radiation-shield formula; transpiration after Penman and Monteith (FAO-56); ground after Carslaw and Jaeger and "
    .. "ISO 13370; vents after Boulard and Baille (1995). What each part was held against stands in DEVELOPERS.md."
  items[#items + 1] = "Covers, cloths, lamps and crops: generic materials; each number has its source, or the words "
    .. "“from memory” or “no source”, in lib/house/presets_*.c. A data sheet of yours goes before them."
  items[#items + 1] = #page.names == 0 and "Drawings: gnuplot." or "Colours of the runs: M. Okabe and K. Ito, Color Universal Design (2008); of the humidity map: "
    .. "viridis, S. van der Walt and N. Smith (2015). Drawings: gnuplot. Moving charts: dygraphs, under the MIT licence "
    .. "at the end of this file."
  for _, given in ipairs { page.money, page.sure, page.why, page.sizing } do
    for _, source in ipairs(type(given) == "table" and given.sources or {}) do
      items[#items + 1] = html.text(source)
    end
  end
  return sheet.list(items)
end

local cautions = {
  { "Not a design certificate", "This page estimates energy and climate to compare ways of growing. Local building, "
    .. "electrical, gas, fire, health and environmental codes come first, with the advice of licensed structural, "
    .. "electrical and gas engineers, of the builder of the house and of the insurer." },
  { "Snow", "A roof over a shut cloth does not melt snow. Park the cloths before or when it falls and heat under the "
    .. "roof early. Keep boiler, pipes and gas contract sized for the house without a cloth: a lower peak here is never "
    .. "a reason to shrink them." },
  { "Structure", "Each cloth, fan or duct hangs on the frame and pulls at gutters and gables. Have the builder or a "
    .. "structural engineer recalculate before one is added; not every house carries it." },
  { "Fire", "Cloth burns and drips. Keep it clear of lamps, wiring, motors, heaters and welding as code and insurer "
    .. "say, openings for fans included; ask for its fire class. No clearance is calculated here." },
  { "Electricity", "Wet rooms, lamps under a shut cloth, and a failure that stops fans while the cloth is shut: a "
    .. "licensed electrician designs and inspects; know what happens when the power fails." },
  { "Flue gas and carbon dioxide", "A tighter house airs less: a burner fault, flue gas or dosed carbon dioxide stays "
    .. "longer. Detectors and limits as the code says; no burning in a closed house without a flue. No exposure is "
    .. "calculated here." },
  { "Fans and machines", "Guards, locks, noise and what hangs overhead; refrigerants, pressure, hot water, engines: each has its "
    .. "rules and its licensed trade. Warm standing water and condensate that is used again ask for a look at water quality." },
  { "Glass and vents", "Panes of a loaded or damaged roof fall; vents frozen shut break when they are opened." },
  { "Light at night", "Rules on light that leaves a lit house differ by place, hour and season. Check the local rule." },
  { "People", "A blacked-out house in summer can be unfit to work in; temperature and humidity are given, no judgement "
    .. "of health. A tight house airs slowly after spraying." },
  { "Crop", "Damp is exposure, not a forecast of disease; the growth index is no forecast of yield." },
}

function sheet.cautions(page)
  local items = {}
  for i, caution in ipairs(cautions) do
    items[i] = "<b>" .. caution[1] .. ".</b> " .. caution[2]
  end
  local snow, counted = page.row.snow_hours_shut, {}
  for i, name in ipairs(page.names) do
    if snow and snow.values and snow.values[i] == snow.values[i] then
      counted[#counted + 1] = html.number(snow.values[i], 0) .. " h in " .. html.text(name)
    end
  end
  if #counted > 0 then
    items[2] = items[2] .. " In these runs snow fell on a drawn cloth for " .. table.concat(counted, ", ") .. "."
  end
  return sheet.list(items)
end
