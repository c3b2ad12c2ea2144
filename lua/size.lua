-- How large must the machines be that dry the air? Hours over a limit of humidity against capacity, and the least capacity
-- that keeps them to so many a year, by a bracketing search over whole runs.
local pinery, inner = ...

-- What can be sized: the part of the house, its capacity per m2 of floor from a unit that serves `area` m2, the result that
-- says what they use, and the electric power of a unit in W, or the full-load hours that tell it.
local function by_air(name, part)
  return { name = name, size = "flow", factor = 3600, unit = "m3/m2/h", of_unit = "m3/h",
    power = function(unit) return unit.power end, used = "electricity_" .. part .. "_kWh_per_m2" }
end

local machines = {
  through_fans = by_air("through-cloth fans", "fan_through"),
  duct = by_air("ducts with outside air", "duct"),
  recovery = by_air("units that recover heat", "recovery"),
  desiccant = by_air("units with brine", "desiccant"),
  dehumidifier = { name = "dehumidifiers", size = "cooling", factor = 1, unit = "W/m2", of_unit = "W of cooling",
    used = "electricity_dehumidifier_kWh_per_m2", full = "dehumidifier_hours" },
}

local places = {
  air = { key = "humidity", text = "in the crop's air" },
  under_cloth = { key = "under_cloth", text = "in the crop's air while a cloth is drawn" },
  sensor = { key = "sensor", text = "at the sensor" },
  colder_1 = { key = "colder_1", text = "in a place 1 K colder than the crop's air" },
  colder_2 = { key = "colder_2", text = "in a place 2 K colder than the crop's air" },
  colder_3 = { key = "colder_3", text = "in a place 3 K colder than the crop's air" },
}

local function choice(field, given, among)
  if among[given] then
    return among[given]
  end
  local known = {}
  for name in pairs(among) do
    known[#known + 1] = tostring(name)
  end
  table.sort(known)
  inner.fail("size: %s = %s, expected one of %s", field, tostring(given), table.concat(known, ", "))
end

local function number(given, field, unit, otherwise, least, most)
  local value = given[field]
  if value == nil then
    value = otherwise
  end
  if type(value) ~= "number" or not (value >= least and value <= most) then
    inner.fail("size: %s = %s %s is outside %g .. %g %s", field, tostring(value), unit, least, most, unit)
  end
  return value
end

local limits_known = { [85] = 85, [90] = 90, [95] = 95, [100] = 100 }

-- Hours allowed by limit: a number is for `limit`, a table { [85] = 800, [90] = 100 } for each it names.
local function read_allowed(given, study)
  study.limit = choice("limit", given.limit or 90, limits_known)
  local allowed = given.hours_allowed
  if type(allowed) == "number" then
    allowed = { [study.limit] = allowed }
  end
  if type(allowed) ~= "table" or not allowed[study.limit] then
    inner.fail("size: hours_allowed is missing for %d %%, expected hours over %d %% in the run, or { [%d] = hours }", study.limit,
      study.limit, study.limit)
  end
  study.allowed, study.limits = {}, {}
  for limit, hours in pairs(allowed) do
    choice("hours_allowed", limit, limits_known)
    study.allowed[limit] = number({ hours_allowed = hours }, "hours_allowed", "h", nil, 0, 1e5)
  end
  for _, limit in ipairs(given.limits or { 85, 90, 95 }) do
    study.limits[#study.limits + 1] = choice("limits", limit, limits_known)
  end
end

local function read_machine(given, study)
  study.machine = given.machine or "through_fans"
  study.kind = choice("machine", study.machine, machines)
  local has, one = pcall(function() return study.house[study.machine] end)
  study.one = has and one
  study.rate = has and one[study.kind.size] * study.kind.factor or 0
  if not (study.rate > 0) then
    inner.fail("size: the house has no %s, expected one unit of them: its flow and power", study.machine)
  end
  study.step = number(given, "step", study.kind.unit, 0.25, 1e-3, 1000)
  study.most = number(given, "most", study.kind.unit, 20, study.step, 1e4)
  study.last = math.floor(study.most / study.step + 1e-9)
  local least = study.rate / 10000 -- a unit for a hectare: the widest a field lets it serve
  if study.step < least then
    inner.fail("size: step = %g %s is less than one unit of %g %s a hectare brings, %g", study.step, study.kind.unit, study.rate,
      study.kind.of_unit, least)
  end
end

-- --- runs ---

-- The house with capacity number k on the grid of steps; 0: without the machines.
local function house_with(study, k)
  local part = { [study.machine] = k == 0 and { [study.kind.size] = 0 } or { area = study.rate / (k * study.step) } }
  return study.house:with(part)
end

local function point(study, k, run)
  local capacity = k * study.step
  local units = capacity * 10000 / study.rate
  local hours, longest = {}, {}
  for limit in pairs(limits_known) do
    hours[limit] = run[string.format("hours_%s_over_%d", study.place.key, limit)]
    longest[limit] = run[string.format("longest_%s_over_%d_h", study.place.key, limit)]
  end
  local kW
  if study.kind.power then
    kW = units * study.kind.power(study.one) / 1000
  else -- what they take for each hour at full duty
    local full = run[study.kind.full]
    kW = k == 0 and 0 or full and full > 0 and 10000 * run[study.kind.used] / full or nil
  end
  return { capacity = capacity, units_per_ha = units, kW_per_ha = kW, hours = hours,
    longest_h = longest, kWh = run[study.kind.used], gas = run.gas_m3_per_m2, electricity = run.electricity_kWh_per_m2 }
end

-- Run the capacities of a list that have not been; nil and a message when one fails.
local function look(study, list)
  local new = {}
  for _, k in ipairs(list) do
    if not study.known[k] then
      study.known[k] = false
      new[#new + 1] = k
    end
  end
  local runs = inner.batch(#new, function(i)
    local label = string.format("%g %s", new[i] * study.step, study.kind.unit)
    return { label, study.strategy, house = house_with(study, new[i]), weather = study.weather, options = study.options }
  end, study.progress)
  for i, run in ipairs(runs) do
    if run.error then
      return nil, "size: " .. run.error
    end
    study.known[new[i]] = point(study, new[i], run)
  end
  return true
end

-- Numbers from `low` to `high` in about `n` equal parts, the ends with them.
local function spread(low, high, n)
  local list = {}
  n = math.min(n, high - low)
  for i = 0, n do
    list[#list + 1] = low + (high - low) * i // n
  end
  return list
end

-- --- the search ---

-- Between what is known, the last capacity with too many hours and the next above it; nil when the largest has.
local function bracket(study, limit)
  local tried = {}
  for k in pairs(study.known) do
    tried[#tried + 1] = k
  end
  table.sort(tried)
  local low, high = -1, nil
  for i = #tried, 1, -1 do
    if study.known[tried[i]].hours[limit] > study.allowed[limit] then
      low = tried[i]
      break
    end
    high = tried[i]
  end
  return low, high
end

-- The number on the grid from which on the hours are within what is allowed, or nil when none is; the bracket is cut in
-- four until its ends are neighbours.
local function search(study, limit)
  while true do
    local low, high = bracket(study, limit)
    if high == nil or high - low <= 1 then
      return high
    end
    local done, message = look(study, spread(math.max(low, 0), high, 4))
    if not done then
      return nil, message
    end
  end
end

local function by_limit(list)
  local copy = {}
  for i, limit in ipairs(list) do
    copy[i] = limit
  end
  return copy
end

-- pinery.size { weather =, house =, strategy =, options =, machine = "through_fans", limit = 90, hours_allowed = 100,
--   limits = { 85, 90, 95 }, place = "air", most = 20, step = 0.25, points = 8 }
-- The machines of the house are given as one unit; how many m2 each serves is what is searched. Gives
-- { limit =, hours_allowed =, capacity =, units_per_ha =, kW_per_ha =, needed = { [90] = { capacity = ... } },
--   curve = { { capacity =, units_per_ha =, kW_per_ha =, hours = { [85] = ... }, kWh =, gas = } } }, or nil and a message.
-- Where no capacity up to `most` is enough, there is no capacity in the answer.
function pinery.size(given)
  inner.check_keys("size", given,
    "weather house strategy options machine limit hours_allowed limits place most step points progress")
  local study = { weather = inner.weather("size", given.weather), house = inner.house(given.house),
    strategy = inner.strategy(given.strategy), options = given.options, known = {}, progress = given.progress }
  read_machine(given, study)
  read_allowed(given, study)
  study.place = choice("place", given.place or "air", places)
  local points = number(given, "points", "points", 8, 1, 1000)
  local done, message = look(study, spread(0, study.last, math.floor(points)))
  if not done then
    return nil, message
  end
  local answer = { limit = study.limit, hours_allowed = study.allowed[study.limit], place = given.place or "air",
    machine = study.machine, unit = study.kind.unit, step = study.step, most = study.last * study.step, needed = {}, curve = {},
    limits = by_limit(study.limits), house = study.house.name, weather = study.weather.name, allowed = study.allowed,
    machine_text = study.kind.name, place_text = study.place.text, cautions = inner.sizing_cautions, unit_size = study.rate, days = (given.options or {}).days or 365 }
  for limit in pairs(study.allowed) do
    local k
    k, message = search(study, limit)
    if message then
      return nil, message
    end
    answer.needed[limit] = k and study.known[k] or nil
  end
  for _, one in pairs(study.known) do
    answer.curve[#answer.curve + 1] = one
  end
  table.sort(answer.curve, function(a, b) return a.capacity < b.capacity end)
  local found = answer.needed[answer.limit] or {}
  answer.capacity, answer.units_per_ha, answer.kW_per_ha = found.capacity, found.units_per_ha, found.kW_per_ha
  return inner.study("sizing", answer, { { study.house.name ~= "" and study.house.name or "the house", study.strategy,
    house = study.house, weather = study.weather, options = study.options } })
end

-- --- as text and as a figure ---

inner.sizing_cautions = [[
What this leaves open, for a licensed engineer, the builder of the house and the insurer
  A capacity by calculation for well-mixed air: no design, no quotation, no warranty. Cold places
  are damper than the air that is counted here: look at place = "colder_2" as well.
  Make-up: as much air must leave as fans or ducts bring. Leave ways for it through and round the
  cloth, and the vents over the cloth ajar, or the air there turns as damp as that below. On a mild
  damp night outside air dries little at any size.
  Cloth: openings in it, fire class, distance to ignition. Structure: what hangs on the frame.
  People: guards, interlock, noise.
  Power: supply, starting current, wet rooms; and how long a house with a shut cloth stays safe when
  the fans stop.
  Boiler and gas contract stay sized for the house without cloths, snow melting included.
]]

local function verdict(out, answer, limit)
  local found, hours = answer.needed[limit], answer.allowed[limit]
  out("Over %d %% for at most %g h %s:", limit, hours, places[answer.place].text)
  if not found then
    out("  no capacity up to %g %s is enough; %.0f h remain there", answer.most, answer.unit,
      answer.curve[#answer.curve].hours[limit])
  elseif found.capacity == 0 then
    out("  none are needed; there are %.0f h without", found.hours[limit])
  else
    out("  %g %s: %d units of %g %s for a hectare (%.1f by calculation, one to %.0f m2), %s kW/ha; %.0f h remain,", found.capacity,
      answer.unit, math.ceil(found.units_per_ha - 1e-9), answer.unit_size, machines[answer.machine].of_unit, found.units_per_ha,
      10000 / found.units_per_ha, inner.number(found.kW_per_ha, 1, 2), found.hours[limit])
    out("  the longest run of them %.1f h", found.longest_h[limit])
  end
end

function inner.text.sizing(answer)
  local lines = {}
  local function out(...)
    lines[#lines + 1] = string.format(...)
  end
  out("How many %s%s, weather %s, %g days?", machines[answer.machine].name,
    answer.house ~= "" and " for " .. answer.house or "", answer.weather, answer.days)
  local asked = {}
  for limit in pairs(answer.allowed) do
    asked[#asked + 1] = limit
  end
  table.sort(asked)
  for _, limit in ipairs(asked) do
    verdict(out, answer, limit)
  end
  local line = string.format("\n%10s%10s%10s", answer.unit, "units/ha", "kW/ha")
  for _, limit in ipairs(answer.limits) do
    line = line .. string.format("%10s", "h > " .. limit .. " %")
  end
  out("%s%12s%12s", line, "used kWh/m2", "gas m3/m2")
  for _, one in ipairs(answer.curve) do
    line = inner.number(one.capacity, 10, 2) .. inner.number(one.units_per_ha, 10, 1) .. inner.number(one.kW_per_ha, 10, 2)
    for _, limit in ipairs(answer.limits) do
      line = line .. inner.number(one.hours[limit], 10, 0)
    end
    out("%s%s%s", line, inner.number(one.kWh, 12, 2), inner.number(one.gas, 12, 2))
  end
  out("\nEach row is a run; searched to %g %s. Hours over a limit are exposure, not a forecast of disease.\n", answer.step,
    answer.unit)
  return table.concat(lines, "\n") .. answer.cautions
end

function inner.figures.sizing(answer, path)
  return inner.sizing_figure(answer, path and pinery.path(path), machines[answer.machine].name, places[answer.place].text)
end
