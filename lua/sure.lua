-- How sure a difference is: the same uncertain inputs drawn for the reference and for the other, run by run.
local pinery, inner = ...

-- --- what is asked ---

local function read_case(given, which)
  local case = given[which]
  inner.check_keys("how_sure: " .. which, case, "house strategy", true)
  local name, strategy = case[1], case[2]
  if type(name) ~= "string" then
    name, strategy = which, name
  end
  return { name = name, house = inner.house(case.house or given.house),
    strategy = inner.strategy(strategy or case.strategy or given.strategy) }
end

local function whole(what, value, otherwise, least, most)
  value = value == nil and otherwise or value
  if math.type(value) ~= "integer" or value < least or value > most then
    inner.fail("how_sure: %s = %s is not a whole number in %d .. %d", what, tostring(value), least, most)
  end
  return value
end

local function read(given)
  inner.check_keys("how_sure",
    given, "weather house strategy options reference other inputs runs seed sampling of total also progress")
  local study = { weather = inner.weather("how_sure", given.weather), options = given.options, of = given.of or "gas_m3_per_m2",
    runs = whole("runs", given.runs, 64, 2, 100000), seed = whole("seed", given.seed, 1, 0, 2 ^ 31 | 0),
    sampling = given.sampling or "sobol", total = given.total, also = given.also, cases = {}, inputs = {} }
  if study.sampling ~= "sobol" and study.sampling ~= "latin hypercube" then
    inner.fail("how_sure: sampling is %s, expected \"sobol\" or \"latin hypercube\"", tostring(study.sampling))
  end
  if study.also ~= nil and type(study.also) ~= "function" then
    inner.fail("how_sure: also is a %s, expected a function (numbers, inputs) that gives a table of numbers", type(study.also))
  end
  for _, which in ipairs { "reference", "other" } do
    study.cases[which] = read_case(given, which)
  end
  local most = study.total and 20 or 40
  if type(given.inputs) ~= "table" or #given.inputs < 1 or #given.inputs > most then
    inner.fail("how_sure: inputs is not a list of 1 to %d, { { \"house.leakage\", uniform = { 1e-5, 3e-4 } } }", most)
  end
  for i, input in ipairs(given.inputs) do
    study.inputs[i] = inner.read_input(i, input, study.cases)
    for _, which in ipairs { "reference", "other" } do -- the middle at least must be possible
      inner.drawn(study.cases[which], which, { study.inputs[i] }, { inner.quantile(study.inputs[i].chance, 0.5) })
    end
  end
  return study
end

-- --- draws ---

-- Where input k of draw i stands; the second half of a sample for totals holds another draw of every input.
local function sampled(study)
  local k = #study.inputs
  local width = study.total and 2 * k or k
  local u = inner.sample(study.sampling, study.runs, width, study.seed)
  return function(draw, input, anew)
    return u[(draw - 1) * width + input + (anew and k or 0)]
  end
end

-- Every set of values to be run: the draws, and for totals the draws with one input drawn anew.
local function plan(study)
  local u, sets = sampled(study), {}
  for anew = 0, study.total and #study.inputs or 0 do
    for draw = 1, study.runs do
      local values, chances = {}, {}
      for i, input in ipairs(study.inputs) do
        chances[i] = u(draw, i, i == anew)
        values[i] = inner.quantile(input.chance, chances[i])
      end
      sets[#sets + 1] = { draw = draw, values = values, u = chances }
    end
  end
  return sets
end

local function named(study, values)
  local inputs = {}
  for i, input in ipairs(study.inputs) do
    inputs[input.name] = values[i]
  end
  return inputs
end

-- Numbers of a run, and what the person makes of them.
local function complete(study, set, which, run)
  if run.error then
    return nil, run.error
  end
  local numbers = {}
  for name, value in pairs(run) do
    if type(value) == "number" then
      numbers[name] = value
    end
  end
  if study.also then
    local done, more = pcall(study.also, numbers, named(study, set.values), which)
    if not done or type(more) ~= "table" then
      return nil, "also: " .. (done and "gave a " .. type(more) .. ", expected a table of numbers" or tostring(more))
    end
    for name, value in pairs(more) do
      numbers[name] = tonumber(value)
    end
  end
  return numbers
end

local function run(study, sets, progress)
  local order = { "reference", "other" }
  local function case(i)
    local set, which = sets[(i + 1) // 2], order[(i - 1) % 2 + 1]
    local house, strategy = inner.drawn(study.cases[which], which, study.inputs, set.values)
    return { string.format("draw %d", set.draw), strategy, house = house, weather = study.weather, options = study.options }
  end
  local runs, failed = inner.batch(2 * #sets, case, progress), {}
  for i, numbers in ipairs(runs) do
    local set, which = sets[(i + 1) // 2], order[(i - 1) % 2 + 1]
    local message
    set[which], message = complete(study, set, which, numbers)
    if message then
      failed[#failed + 1] = { draw = set.draw, case = study.cases[which].name, message = message,
        inputs = named(study, set.values) }
    end
  end
  for _, set in ipairs(sets) do
    if set.reference and set.other then
      set.difference = {}
      for name, value in pairs(set.other) do
        set.difference[name] = value - (set.reference[name] or 0 / 0)
      end
    end
  end
  return failed
end

-- --- what comes of them ---

local function summaries(sets, n, value)
  local lists, all = {}, {}
  for i = 1, n do
    for name in pairs(sets[i].difference or {}) do
      lists[name] = lists[name] or {}
      table.insert(lists[name], value(sets[i], name))
    end
  end
  for name, list in pairs(lists) do
    all[name] = inner.summarise(list)
  end
  return all
end

-- Of the draws that were run: their places, and the chances row by row.
local function known(study, sets, name)
  local u, y, places = {}, {}, {}
  for i = 1, study.runs do
    local value = sets[i].difference and sets[i].difference[name]
    if value and value == value then
      table.move(sets[i].u, 1, #study.inputs, #u + 1, u)
      y[#y + 1], places[#places + 1] = value, i
    end
  end
  return u, y, places
end

-- Correlation of ranks (Spearman): which way the result goes with the input.
local function rank_correlation(x, y)
  local function ranks(list)
    local order, rank = {}, {}
    for i = 1, #list do
      order[i] = i
    end
    table.sort(order, function(a, b) return list[a] < list[b] end)
    for place = 1, #order do
      rank[order[place]] = place
    end
    return rank
  end
  local a, b, sum, n = ranks(x), ranks(y), 0, #x
  for i = 1, n do
    sum = sum + (a[i] - b[i]) ^ 2
  end
  return 1 - 6 * sum / (n * (n * n - 1))
end

local function totals(study, sets, name, places)
  local list = {}
  for i = 1, #study.inputs do
    local y, changed = {}, {}
    for _, place in ipairs(places) do
      local anew = sets[i * study.runs + place].difference
      if anew and anew[name] == anew[name] then
        y[#y + 1], changed[#changed + 1] = sets[place].difference[name], anew[name]
      end
    end
    list[i] = inner.total(y, changed)
  end
  return list
end

local function matter(study, sets, names)
  local inputs = {}
  for i, input in ipairs(study.inputs) do
    inputs[i] = { name = input.name, by = input.by, only = input.only, chance = input.chance, shares = {} }
  end
  for name in pairs(names) do
    local u, y = known(study, sets, name)
    if #y > 1 then
      for i, share in ipairs(inner.shares(u, #inputs, y)) do
        inputs[i].shares[name] = share
      end
    end
  end
  local u, y, places = known(study, sets, study.of)
  local total = study.total and totals(study, sets, study.of, places)
  for i, input in ipairs(inputs) do
    local x = {}
    for j = 1, #y do
      x[j] = u[(j - 1) * #inputs + i]
    end
    input.share = input.shares[study.of]
    input.rank = #y > 1 and rank_correlation(x, y) or 0 / 0
    input.total = total and total[i]
  end
  return inputs
end

-- pinery.how_sure { weather =, house =, strategy =, options =, reference = { "name", strategy, house = }, other = { ... },
--   inputs = { { "house.leakage", lognormal = { 1e-4, 1.5 } }, { "strategy.periods[1].heating", by = "plus", normal = { 0, 0.3 } } },
--   runs = 64, seed = 1, sampling = "sobol", of = "gas_m3_per_m2", also = function(numbers, inputs) return { ... } end,
--   total = false }
-- Runs both once for every draw, with the same draw, and gives { n =, results = { gas_m3_per_m2 = { median =, low80 =, ... } },
--   percent = { ... }, values = { reference =, other = }, inputs = { { name =, share =, rank =, total = } }, failed = { ... },
--   draws = { { inputs =, difference =, reference =, other = } } }
function pinery.how_sure(given)
  local study = read(given)
  local sets = plan(study)
  local failed = run(study, sets, given.progress)
  local answer = { reference = study.cases.reference.name, other = study.cases.other.name, weather = study.weather.name,
    of = study.of, seed = study.seed, sampling = study.sampling, runs = study.runs, failed = failed, draws = {}, n = 0 }
  answer.results = summaries(sets, study.runs, function(set, name) return set.difference[name] end)
  answer.percent = summaries(sets, study.runs, function(set, name)
    return set.reference[name] ~= 0 and 100 * set.difference[name] / math.abs(set.reference[name]) or 0 / 0
  end)
  answer.values = {
    reference = summaries(sets, study.runs, function(set, name) return set.reference[name] end),
    other = summaries(sets, study.runs, function(set, name) return set.other[name] end),
  }
  for i = 1, study.runs do
    local set = sets[i]
    answer.n = answer.n + (set.difference and 1 or 0)
    answer.draws[i] = { inputs = named(study, set.values), difference = set.difference, reference = set.reference,
      other = set.other }
  end
  if answer.n == 0 then
    return nil, "how_sure: every draw failed; the first: " .. failed[1].message
  end
  if not answer.results[study.of] then
    local names = {}
    for name in pairs(answer.results) do
      names[#names + 1] = name
    end
    table.sort(names)
    inner.fail("how_sure: no result is called %s; known are %s", tostring(study.of), table.concat(names, ", "))
  end
  answer.inputs = matter(study, sets, answer.results)
  local cases = {}
  for i, which in ipairs { "reference", "other" } do
    local one = study.cases[which]
    cases[i] = { one.name, one.strategy, house = one.house, weather = study.weather, options = study.options }
  end
  return inner.study("how sure", answer, cases)
end

-- --- as text ---

local function chance_text(input)
  local c = input.chance
  local text = string.format("%s %.4g, %.4g", c.kind, c.a, c.b) .. (c.kind == "triangular" and string.format(", %.4g", c.c) or "")
  text = text .. (c.from and string.format(", from %.4g", c.from) or "") .. (c.to and string.format(", to %.4g", c.to) or "")
  return (input.by and input.by .. " " or "") .. text .. (input.only and ", " .. input.only .. " only" or "")
end

-- The rows of a comparison, and after them what the person made.
local function all_rows(answer)
  local rows, seen = {}, {}
  for _, row in ipairs(inner.rows()) do
    rows[#rows + 1], seen[row.name] = row, true
  end
  local own = {}
  for name in pairs(answer.results) do
    if not seen[name] and not name:find "^closure" and answer.draws[1].difference and not inner.is_result(name) then
      own[#own + 1] = name
    end
  end
  table.sort(own)
  for _, name in ipairs(own) do
    local size = math.max(math.abs(answer.results[name].low95), math.abs(answer.results[name].high95))
    local decimals = size > 0 and size < math.huge and 2 - math.floor(math.log(size, 10)) or 2
    rows[#rows + 1] = { name = name, label = name, unit = "", decimals = math.max(0, math.min(decimals, 6)) }
  end
  return rows
end

local function changes(out, answer)
  out("\n%s  median    80 %% between       95 %% between        mean  +-", inner.column("\"" .. answer.other .. "\" less \"" .. answer.reference .. "\"", 37))
  for _, row in ipairs(all_rows(answer)) do
    local s = answer.results[row.name]
    local least = 0.5 * 10.0 ^ -row.decimals
    local shown = s and s.n > 0 and row.decimals >= 0 and (row.name == answer.of or row.name == "electricity_kWh_per_m2"
      or math.abs(s.low95) >= least or math.abs(s.high95) >= least)
    if shown then
      local d = row.decimals
      out("  %s%s%s%s%s%s%s%s%s", inner.column(row.label, 28), inner.column(row.unit, 7), inner.number(s.median, 8, d, true),
        inner.number(s.low80, 9, d, true), inner.number(s.high80, 9, d, true), inner.number(s.low95, 10, d, true),
        inner.number(s.high95, 9, d, true), inner.number(s.mean, 9, d, true), inner.number(s.median_error, 8, d + 1))
    end
  end
  out("  (+-: standard error of the median from so many draws)")
end

local function matters(out, answer, row)
  local s, p, d = answer.results[answer.of], answer.percent[answer.of], row.decimals + 1
  out("\nChange in %s: %s %s, 80 %% between %s and %s, 95 %% between %s and %s; lower in %.0f %% of the draws",
    (row.label:gsub("^ +", "")), inner.number(s.median, 1, d, true), row.unit, inner.number(s.low80, 1, d, true),
    inner.number(s.high80, 1, d, true), inner.number(s.low95, 1, d, true), inner.number(s.high95, 1, d, true),
    100 * s.below_zero)
  if p and p.n > 0 then
    out("  in percent of \"%s\" of the same draw: %s, 80 %% between %s and %s, 95 %% between %s and %s", answer.reference,
      inner.number(p.median, 1, 1, true), inner.number(p.low80, 1, 1, true), inner.number(p.high80, 1, 1, true),
      inner.number(p.low95, 1, 1, true), inner.number(p.high95, 1, 1, true))
  end
  local order, left = {}, 1
  for i, input in ipairs(answer.inputs) do
    order[i] = input
  end
  table.sort(order, function(a, b) return (a.share or -1) > (b.share or -1) end)
  out("\n%s%10s%10s%10s", inner.column("Which input makes the spread of that change, % of its variance", 64), "alone", "in all",
    "goes")
  for _, input in ipairs(order) do
    left = left - (input.share or 0 / 0)
    out("  %s%s%s%10s", inner.column(input.name, 62), inner.number(100 * (input.share or 0 / 0), 10, 0),
      inner.number(100 * (input.total or 0 / 0), 10, 0),
      math.abs(input.rank) < 0.2 and "" or input.rank > 0 and "up" or "down")
  end
  out("  %s%s", inner.column("not caught: interactions, noise of the integration", 62), inner.number(100 * left, 10, 0))
  out("  (alone: first order, from a fit to the draws; in all: with its interactions, when asked for by total = true;")
  out("  goes: which way the change goes when the input goes up)")
end

inner.text["how sure"] = function(answer)
  local lines = {}
  local function out(...)
    lines[#lines + 1] = string.format(...)
  end
  out("How sure is \"%s\" against \"%s\", per m2 of floor (%s; %d of %d draws, %s, seed %d)", answer.other, answer.reference,
    answer.weather, answer.n, answer.runs, answer.sampling, answer.seed)
  for _, input in ipairs(answer.inputs) do
    out("  %s: %s", input.name, chance_text(input))
  end
  for i, failure in ipairs(answer.failed) do
    if i <= 5 then
      out("  failed: draw %d of \"%s\": %s", failure.draw, failure.case, failure.message)
    end
  end
  if #answer.failed > 5 then
    out("  and %d more failed", #answer.failed - 5)
  end
  changes(out, answer)
  for _, row in ipairs(all_rows(answer)) do
    if row.name == answer.of then
      matters(out, answer, row)
    end
  end
  return table.concat(lines, "\n") .. "\n"
end
