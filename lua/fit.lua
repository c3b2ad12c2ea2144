-- Calibration: the values of a few named parameters at which a run comes nearest to a log, learnt on some days and
-- scored on others.
local pinery = ...
local search, draw = pinery.fit, pinery.fit_figure -- in C
pinery.fit_figure = nil

local function fail(...)
  local where = pinery.where()
  error((where ~= "" and where .. ": " or "") .. "fit: " .. string.format(...), 0)
end

local function number(where, key, value, least, most)
  if type(value) ~= "number" or not (value >= least and value <= most) then
    fail("%s%s = %s, expected a number in %g .. %g", where, key, tostring(value), least, most)
  end
  return value
end

local function only(where, given, known)
  for key in pairs(given) do
    if not (" " .. known .. " "):find(" " .. tostring(key) .. " ", 1, true) then
      fail("%sunknown field %s; known are %s", where, tostring(key), (known:gsub(" ", ", ")))
    end
  end
end

local function take_parameters(given)
  if type(given) ~= "table" or #given == 0 then
    fail("parameters is a %s, expected a list of { name = \"leakage\", start = 1e-4, min = 2e-5, max = 1e-3 }",
      type(given))
  end
  local taken = {}
  for i, p in ipairs(given) do
    if type(p) ~= "table" or type(p.name) ~= "string" or p.name == "" or #p.name > 63 or taken[p.name] then
      fail("parameters[%d] has no name of its own of 1 .. 63 characters", i)
    end
    local where = "parameter " .. p.name .. ": "
    only(where, p, "name start guess min max ratio")
    for _, key in ipairs { "start", "min", "max" } do
      number(where, key, p[key], -1e300, 1e300)
    end
    number(where, "start", p.start, p.min, math.max(p.min, p.max))
    if p.guess ~= nil then
      number(where, "guess", p.guess, p.min, p.max)
    end
    taken[p.name] = true
    taken[i] = {
      name = p.name, start = p.guess or p.start, before = p.start, min = p.min, max = p.max, ratio = p.ratio,
    }
  end
  return taken
end

local function is_log(log)
  return type(log) == "table" and type(log.time) == "table" and type(log.names) == "table" and log.step ~= nil
end

local function take_measured(given, common)
  if type(given) ~= "table" or #given == 0 then
    fail("measured is a %s, expected a list of { column = \"air_degC\", model = \"air_seen\", scale = 1 }", type(given))
  end
  local taken = {}
  for i, m in ipairs(given) do
    local where = ("measured[%d]: "):format(i)
    if type(m) ~= "table" then
      fail("%sa %s, expected a table", where, type(m))
    end
    only(where, m, "column model scale log total name unit")
    local log = m.log or common
    if not is_log(log) then
      fail("%slog is a %s, expected pinery.log \"file.csv\"", where, type(log))
    end
    if type(m.column) ~= "string" or type(log[m.column]) ~= "table" then
      fail("%scolumn = %s is not in %s; known are %s", where, tostring(m.column), log.file,
        table.concat(log.names, ", "))
    end
    if type(m.model) ~= "string" and type(m.model) ~= "function" then
      fail("%smodel is a %s, expected the name of a reading or a function (result) that gives hours", where,
        type(m.model))
    end
    number(where, "scale", m.scale, 1e-300, 1e300)
    taken[i] = {
      name = m.name or m.column, unit = m.unit or "", column = log[m.column], log = log, model = m.model,
      scale = m.scale, total = m.total,
    }
  end
  return taken
end

local function take_days(key, given)
  if type(given) ~= "table" then
    fail("%s is a %s, expected { first day, last day }", key, type(given))
  end
  local first, last = given[1], given[2]
  if math.type(first) ~= "integer" or math.type(last) ~= "integer" or first < 1 or last < first or last > 366 then
    fail("%s = { %s, %s }, expected days of the year, first to last, in 1 .. 366", key, tostring(first), tostring(last))
  end
  return { first, last }
end

-- What of the log falls into these days, whole: a list of { from, to, value }, hours of the year counted from 0. Lines
-- closer than an hour are averaged over theirs.
local function windows(measured, days)
  local log, list, first, last = measured.log, {}, (days[1] - 1) * 24, days[2] * 24
  local hours = math.max(1, math.floor(log.step / 3600 + 0.5))
  for i, time in ipairs(log.time) do
    local value, from = measured.column[i], time // 3600
    if value == value and from >= first and from + hours <= last then
      local before = list[#list]
      if before and before.from == from then
        before.value, before.n = before.value + (value - before.value) / (before.n + 1), before.n + 1
      else
        list[#list + 1] = { from = from, to = from + hours - 1, value = value, n = 1 }
      end
    end
  end
  if #list == 0 then
    fail("%s has no values on days %d .. %d in %s", measured.name, days[1], days[2], log.file)
  end
  return list
end

-- Hourly list of the run for one of the measured things.
local function modelled(measured, result)
  local hours = type(measured.model) == "string" and result:hours(measured.model) or
      type(measured.model) == "function" and measured.model(result)
  if type(hours) ~= "table" then
    fail("model of %s gave a %s, expected a list, a value for every hour of the run", measured.name, type(hours))
  end
  return hours
end

-- Model less measured in each window; `first_day` is that of the run.
local function differences(measured, list, result, first_day)
  local hours, offset, out = modelled(measured, result), (first_day - 1) * 24 - 1, {}
  for i, window in ipairs(list) do
    local sum = 0
    for hour = window.from, window.to do
      local value = hours[hour - offset]
      if not value then
        fail("model of %s has no value for hour %d of the run", measured.name, hour - offset)
      end
      sum = sum + value
    end
    out[i] = (measured.total and sum or sum / (window.to - window.from + 1)) - window.value
  end
  return out
end

local function named(parameters, values)
  local p, text = {}, {}
  for i, parameter in ipairs(parameters) do
    p[parameter.name], text[i] = values[i], ("%s = %.6g"):format(parameter.name, values[i])
  end
  return p, table.concat(text, ", ")
end

-- The case with these values, run over some days.
local function run(given, parameters, values, first, last)
  local p, text = named(parameters, values)
  local case = given.case(p)
  if type(case) ~= "table" then
    fail("case gave a %s, expected what pinery.run takes", type(case))
  end
  local copy = {}
  for key, value in pairs(case) do
    copy[key] = value
  end
  copy.options = {}
  for key, value in pairs(case.options or {}) do
    copy.options[key] = value
  end
  copy.options.first_day, copy.options.days, copy.options.keep_hours = first, last - first + 1, true
  local result, message = pinery.run(copy)
  if not result then
    fail("the run with %s failed: %s", text, message)
  end
  return result
end

-- Bias and RMSE of everything measured over some days of a run that has them, and the score.
local function scores(measured, days, result, first_day)
  local table_of, score = {}, 0
  for _, m in ipairs(measured) do
    local list = windows(m, days)
    local sum, squares, mean = 0, 0, 0
    for i, difference in ipairs(differences(m, list, result, first_day)) do
      sum, squares, mean = sum + difference, squares + difference ^ 2, mean + list[i].value
    end
    local n = #list
    table_of[m.name] = { n = n, bias = sum / n, rmse = math.sqrt(squares / n), mean = mean / n }
    score = score + squares / n / m.scale ^ 2
  end
  table_of.score = score
  return table_of
end

local Fit = {}
Fit.__index = Fit

local known_scores = { { "before", "learnt" }, { "after", "learnt" }, { "before", "unseen" }, { "after", "unseen" } }

-- A page of text: what was found, how sure it is, and the scores.
function Fit:report()
  local lines = {}
  local function add(...)
    lines[#lines + 1] = string.format(...)
  end
  add("%-28s %12s %12s   %-25s %s", "parameter", "start", "found", "95 % interval",
    "spread left, and were all others known")
  for _, p in ipairs(self.parameters) do
    add("%-28s %12.5g %12.5g   %-25s %4.2f  %4.2f  %s", p.name, p.start, p.value,
      ("%.4g .. %.4g"):format(p.low, p.high), p.spread, p.spread_alone,
      p.identified and "" or p.at_bound and "at its bound" or "not identified")
  end
  for i, p in ipairs(self.parameters) do
    for j = 1, i - 1 do
      if math.abs(p.correlation[j]) > 0.8 then
        add("%s and %s go together, correlation %+.2f", self.parameters[j].name, p.name, p.correlation[j])
      end
    end
  end
  for _, direction in ipairs(self.directions) do
    local parts = {}
    for i, part in ipairs(direction) do
      if math.abs(part) > 0.25 then
        parts[#parts + 1] = ("%+.2f %s"):format(part, self.parameters[i].name)
      end
    end
    add("not identified, spread left %.2f: %s, in parts of their bounds", direction.spread, table.concat(parts, " "))
  end
  add("%-18s %-8s %10s %10s %10s %8s", "", "days", "bias", "RMSE", "mean", "values")
  for _, m in ipairs(self.names) do
    for _, k in ipairs(known_scores) do
      local s = self[k[1]][k[2]][m]
      add("%-18s %-8s %10.4g %10.4g %10.4g %8d  %s", m, k[2], s.bias, s.rmse, s.mean, s.n, k[1])
    end
  end
  add("%d runs, the score on learnt days from %.4g to %.4g, on unseen days from %.4g to %.4g%s", self.calls,
    self.before.learnt.score, self.after.learnt.score, self.before.unseen.score, self.after.unseen.score,
    self.settled and "" or "; the last step still gained")
  return table.concat(lines, "\n") .. "\n"
end

Fit.__tostring = Fit.report

-- Bias, RMSE, mean and number of everything measured on days { first, last }, and the score, with other values by
-- name; what is not named has the value that was found.
function Fit:scored(values, days)
  local list = {}
  for key in pairs(values) do
    if not self.values[key] then
      fail("score: %s is no parameter", tostring(key))
    end
  end
  for i, p in ipairs(self.parameters) do
    list[i] = number("score: ", p.name, values[p.name] or p.value, -1e300, 1e300)
  end
  days = take_days("days", days)
  local result <close> = run(self.given, self.parameters, list, days[1], days[2])
  return scores(self.measured, days, result, days[1])
end

-- A drawing of what was measured, and of the runs before and after: fit:figure { file = "fit.svg", title = "...",
--   zoom = { 300, 307 }, against = { { column = "wind_m_s", name = "wind, m/s" } } }
-- The differences of what is measured by the hour are drawn against columns of its log. True, or nil and a message.
function Fit:figure(given)
  if type(given) ~= "table" or type(given.file) ~= "string" then
    fail("figure: expected { file = \"fit.svg\", zoom = { first day, last day } }")
  end
  only("figure: ", given, "file title zoom against")
  local zoom = take_days("zoom", given.zoom or { self.unseen[1], math.min(self.unseen[1] + 6, self.unseen[2]) })
  local first, last = math.min(self.learn[1], self.unseen[1]), math.max(self.learn[2], self.unseen[2])
  local series, causes = {}, {}
  for k, m in ipairs(self.measured) do
    local list, one = windows(m, { first, last }), { name = m.name, unit = m.unit, day = {}, measured = {} }
    for i, window in ipairs(list) do
      one.day[i], one.measured[i] = (window.from + window.to + 1) / 48 + 1, window.value
    end
    for _, key in ipairs { "before", "after" } do
      one[key] = differences(m, list, self[key].result, first)
      for i, difference in ipairs(one[key]) do
        one[key][i] = difference + list[i].value
      end
    end
    one.step = (list[1].to - list[1].from + 1) / 24
    for c, cause in ipairs(one.step < 0.9 and #causes == 0 and given.against or {}) do
      if type(cause) ~= "table" or type(m.log[cause.column]) ~= "table" then
        fail("figure: against[%d]: column = %s is not in %s; known are %s", c,
          tostring(type(cause) == "table" and cause.column), m.log.file, table.concat(m.log.names, ", "))
      end
      causes[c] = { name = cause.name or cause.column, value = {} }
      for i, window in ipairs(list) do
        causes[c].value[i] = m.log:at(cause.column, window.from * 3600 + 1800) or 0 / 0
      end
    end
    series[k] = one
  end
  return draw(pinery.path(given.file), given.title or "", series, causes, self.learn[1], self.learn[2] + 1,
    self.unseen[1], self.unseen[2] + 1, zoom[1], zoom[2] + 1)
end

-- pinery.fit { parameters = {...}, case = function (p) ... end, log = log, measured = {...}, learn = { 233, 274 },
--   unseen = { 275, 340 }, most_runs = 100, tolerance = 0.01 }
-- A parameter is { name = "leakage", start = 1e-4, min = 2e-5, max = 1e-3 }: `start` is its value before, `guess`
-- where the search begins if not there, and `ratio = true` lets it move by ratio. `case` gets the values by name and
-- gives what pinery.run takes. The score is the sum over what is measured of the mean of (model - log)^2 / scale^2.
-- `most_runs` and `tolerance`, in parts of the bounds, end the search by values (0 runs: none), after which steps by
-- slopes follow. Its runs differ by little and want a finer tolerance, 0.03 K. Returns what was found; its `before` and
-- `after` hold the finished runs over all days.
function pinery.fit(given)
  if type(given) ~= "table" then
    fail("expected a table, got a %s", type(given))
  end
  only("", given, "parameters case log measured learn unseen most_runs tolerance")
  if type(given.case) ~= "function" then
    fail("case is a %s, expected a function (p) that gives what pinery.run takes", type(given.case))
  end
  local parameters = take_parameters(given.parameters)
  local measured = take_measured(given.measured, given.log)
  local learn, unseen = take_days("learn", given.learn), take_days("unseen", given.unseen)
  if learn[1] <= unseen[2] and unseen[1] <= learn[2] then
    fail("learn = { %d, %d } and unseen = { %d, %d } share days", learn[1], learn[2], unseen[1], unseen[2])
  end
  local most = number("", "most_runs", given.most_runs or 10 * #parameters, 0, 1e6)
  local tolerance = number("", "tolerance", given.tolerance or 0.01, 1e-4, 0.1)

  local weights, blocks, lists = {}, {}, {}
  for k, m in ipairs(measured) do
    lists[k] = windows(m, learn)
    windows(m, unseen) -- fails now, not after the search
    for _, window in ipairs(lists[k]) do
      weights[#weights + 1], blocks[#blocks + 1] = 1 / #lists[k], window.from // 24 - (learn[1] - 1)
    end
  end
  local fit, message = search(parameters, weights, blocks, function(...)
    local result <close> = run(given, parameters, { ... }, learn[1], learn[2])
    local out = {}
    for k, m in ipairs(measured) do
      for _, difference in ipairs(differences(m, lists[k], result, learn[1])) do
        out[#out + 1] = difference / m.scale
      end
    end
    return out
  end, math.floor(most), tolerance)
  if not fit then
    error(message, 0)
  end

  local first, last = math.min(learn[1], unseen[1]), math.max(learn[2], unseen[2])
  local found, start = {}, {}
  fit.given, fit.names, fit.values, fit.measured, fit.learn, fit.unseen = given, {}, {}, measured, learn, unseen
  for i, p in ipairs(fit.parameters) do
    p.start = parameters[i].before
    found[i], start[i], fit.values[p.name] = p.value, p.start, p.value
  end
  for k, m in ipairs(measured) do
    fit.names[k] = m.name
  end
  for key, values in pairs { before = start, after = found } do
    local result = run(given, parameters, values, first, last)
    fit[key] = {
      result = result,
      learnt = scores(measured, learn, result, first), unseen = scores(measured, unseen, result, first),
    }
  end
  return setmetatable(fit, Fit)
end
