-- Where a difference comes from: shared among its parts, and by the ways heat takes.
local pinery, inner = ...

local function read_part(i, given, reference)
  inner.check_keys("explain: parts", given, "house strategy kind", true)
  local part = { name = given[1] or "part " .. i, house = given.house, strategy = given.strategy, kind = given.kind }
  local what = string.format("explain: part \"%s\"", part.name)
  if type(part.name) ~= "string" then
    inner.fail("explain: parts[%d][1] is a %s, expected the name of the part", i, type(part.name))
  end
  for _, key in ipairs { "house", "strategy" } do
    if part[key] ~= nil and type(part[key]) ~= "table" then
      inner.fail("%s: %s is a %s, expected a table of what is different", what, key, type(part[key]))
    end
  end
  if part.house == nil and part.strategy == nil then
    inner.fail("%s has neither house nor strategy", what)
  elseif part.kind == nil and part.house and part.strategy then
    inner.fail("%s is of house and strategy, say which it counts as: kind = \"equipment\" or \"behaviour\"", what)
  end
  part.kind = part.kind or (part.house and "equipment" or "behaviour")
  if part.kind ~= "equipment" and part.kind ~= "behaviour" then
    inner.fail("%s: kind is %s, expected \"equipment\" or \"behaviour\"", what, tostring(part.kind))
  end
  local house = part.house and reference.house:with(part.house) or reference.house
  local strategy = part.strategy and reference.strategy:with(part.strategy) or reference.strategy
  part.changes = inner.changes(reference.house, reference.strategy, house, strategy)
  if #part.changes == 0 then
    inner.fail("%s changes nothing of the reference", what)
  end
  return part
end

-- Parts that touch the same field would depend on the order in which they are put together.
local function check_apart(parts)
  local owner = {}
  for _, part in ipairs(parts) do
    for _, change in ipairs(part.changes) do
      local other = owner[change.field]
      if other then
        inner.fail("explain: parts \"%s\" and \"%s\" both change %s; make them one", other, part.name, change.field)
      end
      owner[change.field] = part.name
    end
  end
end

-- The case with the parts whose bits are set.
local function case(study, set)
  local house, strategy, names = study.house, study.strategy, {}
  for i, part in ipairs(study.parts) do
    if set & 1 << (i - 1) ~= 0 then
      house = part.house and house:with(part.house) or house
      strategy = part.strategy and strategy:with(part.strategy) or strategy
      names[#names + 1] = string.char(96 + i)
    end
  end
  local label = #names == 0 and "the reference" or "with " .. table.concat(names, "+")
  return { label, strategy, house = house, weather = study.weather, options = study.options }
end

-- Everything a run gives that can be shared: results, paths out of the house and ways out of the crop's room, each under
-- one name.
local function flat(numbers)
  local all = {}
  for name, value in pairs(numbers) do
    if type(value) == "number" and not name:find "^closure" then
      all[name] = value
    end
  end
  for name, value in pairs(numbers.paths) do
    all["path " .. name] = value
  end
  for name, value in pairs(numbers.ways) do
    all["way " .. name] = value
  end
  return all
end

-- { result = number }, { path = number } and { way = number } of something shared under one name.
local function split(all)
  local results, paths, ways = {}, {}, {}
  for name, value in pairs(all) do
    local kind, key = name:match "^(%l+) (.*)"
    local into = kind == "path" and paths or kind == "way" and ways or results
    into[key or name] = value
  end
  return results, paths, ways
end

local function difference(a, b)
  local d = {}
  for name, value in pairs(a) do
    d[name] = value - b[name]
  end
  return d
end

local function add(sum, results)
  for name, value in pairs(results) do
    sum[name] = (sum[name] or 0) + value
  end
end

-- The equipment together and the behaviour together: sums of their parts' shares, and what they do by themselves and last.
local function kinds(parts, runs)
  local all, split_by = (1 << #parts) - 1, {}
  for _, kind in ipairs { "equipment", "behaviour" } do
    local set, results = 0, {}
    for i, part in ipairs(parts) do
      if part.kind == kind then
        set = set | 1 << (i - 1)
        add(results, part.results)
      end
    end
    if set ~= 0 then
      split_by[kind] = { results = results, alone = split(difference(runs[set], runs[0])),
        last = split(difference(runs[all], runs[all & ~set])) }
    end
  end
  return split_by
end

-- runs[0 .. 2^n - 1], each flat.
local function share(answer, runs)
  local n = #answer.parts
  local all = (1 << n) - 1
  local shares, pairs_of = {}, {}
  for i = 1, n do
    shares[i], pairs_of[i] = {}, {}
    for j = i + 1, n do
      pairs_of[i][j] = {}
    end
  end
  for name in pairs(runs[0]) do
    local values = {}
    for set = 0, all do
      values[set + 1] = runs[set][name]
    end
    local by_part, by_pair = inner.shapley(n, values)
    for i = 1, n do
      shares[i][name] = by_part[i]
      for j = i + 1, n do
        pairs_of[i][j][name] = by_pair[i][j]
      end
    end
  end
  for i, part in ipairs(answer.parts) do
    local bit = 1 << (i - 1)
    part.results, part.paths, part.ways = split(shares[i])
    part.alone = split(difference(runs[bit], runs[0]))
    part.last = split(difference(runs[all], runs[all & ~bit]))
    for j = i + 1, n do
      local together = split(pairs_of[i][j])
      answer.interaction[#answer.interaction + 1] = { a = part.name, b = answer.parts[j].name, results = together }
    end
  end
  answer.split = kinds(answer.parts, runs)
end

-- The paths or ways of both, in order.
local function by(kind, list, reference, other)
  for i, way in ipairs(list) do
    local before, after = reference[kind .. " " .. way.name], other[kind .. " " .. way.name]
    list[i] = { key = way.name, name = way.doc, MJ_per_m2 = after - before, reference = before, other = after }
  end
  return list
end

-- pinery.explain { weather =, house =, strategy =, options =, reference = "name", other = "name",
--   of = "gas_m3_per_m2", parts = { { "name", house = { ... } }, { "name", strategy = { ... } } } }
-- Runs the reference with every choice of the parts, 2^n runs, and gives
-- { reference =, other =, parts = { { name =, kind =, results =, alone =, last =, paths =, ways =, changes = } }, difference =,
--   interaction = { { a =, b =, results = } }, paths = { { name =, MJ_per_m2 = } }, ways = { ... }, split = { equipment =, behaviour = },
--   values = { reference =, other = } }, or nil and a message.
function pinery.explain(given)
  inner.check_keys("explain", given, "weather house strategy options reference other of parts progress")
  if type(given.parts) ~= "table" or #given.parts < 1 or #given.parts > 6 then
    inner.fail("explain: parts is not a list of 1 to 6, { { \"name\", house = { ... } }, { \"name\", strategy = { ... } } }")
  end
  local study = { weather = inner.weather("explain", given.weather), options = given.options, parts = {},
    house = inner.house(given.house), strategy = inner.strategy(given.strategy) }
  for i, part in ipairs(given.parts) do
    study.parts[i] = read_part(i, part, study)
  end
  check_apart(study.parts)
  local answer = { reference = given.reference or "reference", other = given.other or "with all parts", parts = {},
    interaction = {}, of = given.of or "gas_m3_per_m2", weather = study.weather.name }
  inner.row("explain", answer.of)
  local n = #study.parts
  local numbers = inner.batch(1 << n, function(i) return case(study, i - 1) end, given.progress)
  local runs = {}
  for i, run in ipairs(numbers) do
    if run.error then
      return nil, "explain: " .. run.error
    end
    runs[i - 1] = flat(run)
  end
  for i, part in ipairs(study.parts) do
    answer.parts[i] = { name = part.name, kind = part.kind, changes = part.changes }
  end
  share(answer, runs)
  local all = (1 << n) - 1
  answer.values = { reference = split(runs[0]), other = split(runs[all]) }
  answer.difference = difference(answer.values.other, answer.values.reference)
  answer.paths = by("path", inner.paths(), runs[0], runs[all])
  answer.ways = by("way", inner.ways(), runs[0], runs[all])
  local first, last = case(study, 0), case(study, all)
  first[1], last[1] = answer.reference, answer.other
  return inner.study("why", answer, { first, last })
end

-- --- as text ---

local function heading(out, answer)
  local n = #answer.parts
  out("Why \"%s\" differs from \"%s\", per m2 of floor (%s; %d runs)", answer.other, answer.reference, answer.weather, 1 << n)
  for i, part in ipairs(answer.parts) do
    out("  %s  %s: %s", string.char(96 + i), part.name, part.kind)
    for _, change in ipairs(part.changes) do
      out("       %s: %s instead of %s%s", change.field, change.value, change.reference,
        change.unit ~= "" and " " .. change.unit or "")
    end
  end
end

-- What prints as a difference of nothing in the whole and in every part is left out, but gas and power.
local function is_shown(answer, row)
  local always = row.name == answer.of or row.name == "gas_m3_per_m2" or row.name == "electricity_kWh_per_m2"
  local least = 0.5 * 10.0 ^ -row.decimals
  local seen = math.abs(answer.difference[row.name] or 0) >= least
  for _, part in ipairs(answer.parts) do
    seen = seen or math.abs(part.results[row.name] or 0) >= least
  end
  return row.decimals >= 0 and (always or seen)
end

local function by_part(out, answer)
  local line = inner.column("", 37) .. inner.column("", 3) .. "before   after  change"
  for i in ipairs(answer.parts) do
    line = line .. string.rep(" ", 7) .. string.char(96 + i)
  end
  out("\nWhat each part adds, averaged over all orders in which the parts can come; together they are the change")
  out("%s", line)
  for _, row in ipairs(inner.rows()) do
    if is_shown(answer, row) then
      line = "  " .. inner.column(row.label, 28) .. inner.column(row.unit, 7)
        .. inner.number(answer.values.reference[row.name], 9, row.decimals)
        .. inner.number(answer.values.other[row.name], 8, row.decimals)
        .. inner.number(answer.difference[row.name], 8, row.decimals, true)
      for _, part in ipairs(answer.parts) do
        line = line .. inner.number(part.results[row.name], 8, row.decimals, true)
      end
      out("%s", line)
    end
  end
end

local function one_result(out, answer)
  local row = inner.row("explain", answer.of)
  local decimals = row.decimals + 1
  local function line(name, shares, alone, last)
    out("%s%s%s%s", inner.column(name, 44), inner.number(shares, 10, decimals, true),
      inner.number(alone, 10, decimals, true), inner.number(last, 10, decimals, true))
  end
  out("\n%s%10s%10s%10s", inner.column("Parts of the change in " .. row.label:gsub("^ +", "") .. ", " .. row.unit, 44), "share",
    "alone", "last")
  for i, part in ipairs(answer.parts) do
    line(string.format("  %s  %s", string.char(96 + i), part.name), part.results[row.name], part.alone[row.name],
      part.last[row.name])
  end
  for _, kind in ipairs { "equipment", "behaviour" } do
    local together = answer.split[kind]
    if together then
      line("  " .. kind .. " together", together.results[row.name], together.alone[row.name], together.last[row.name])
    end
  end
  line("  all", answer.difference[row.name])
  out("  (alone: put on the reference by itself; last: put onto all the others)")
  local k = 0
  for i = 1, #answer.parts do
    for j = i + 1, #answer.parts do
      k = k + 1
      line(string.format("  %s with %s", string.char(96 + i), string.char(96 + j)), answer.interaction[k].results[row.name])
    end
  end
  if k > 0 then
    out("  (with: what two add together beyond what each adds alone, averaged over what else is there)")
  end
end

-- One of the two lists, each part's share beside it.
local function by_way(out, answer, title, list, of_part)
  local line = "\n" .. inner.column(title, 52) .. "  before   after  change"
  for i in ipairs(answer.parts) do
    line = line .. string.rep(" ", 7) .. string.char(96 + i)
  end
  out("%s", line)
  local total = { 0, 0, 0 }
  local function row(name, numbers)
    line = "  " .. inner.column(name, 50)
    for i, x in ipairs(numbers) do
      line = line .. inner.number(x, 8, 1, i > 2)
    end
    out("%s", line)
  end
  for _, way in ipairs(list) do
    local numbers = { way.reference, way.other, way.MJ_per_m2 }
    for _, part in ipairs(answer.parts) do
      numbers[#numbers + 1] = part[of_part][way.key]
    end
    for i, x in ipairs(numbers) do
      total[i] = (total[i] or 0) + x
    end
    if way.reference ~= 0 or way.other ~= 0 then
      row(way.name, numbers)
    end
  end
  row("heat from the boiler", total)
end

function inner.text.why(answer)
  local lines = {}
  local function out(...)
    lines[#lines + 1] = string.format(...)
  end
  heading(out, answer)
  by_part(out, answer)
  one_result(out, answer)
  by_way(out, answer, "Heat by the way it leaves the crop's room, MJ/m2", answer.ways, "ways")
  by_way(out, answer, "Heat by the way it leaves the house, MJ/m2", answer.paths, "paths")
  return table.concat(lines, "\n") .. "\n"
end
