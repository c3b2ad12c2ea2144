-- Logs of climate computers and of experiments as columns of numbers, and runs that replay them.
local pinery = ...

local function fail(...)
  local where = pinery.where()
  error((where ~= "" and where .. ": " or "") .. string.format(...), 0)
end

-- Days from 1 January of `first` to 1 January of `year`.
local function days_between(first, year)
  local days = 0
  for y = first, year - 1 do
    days = days + (y % 4 == 0 and (y % 100 ~= 0 or y % 400 == 0) and 366 or 365)
  end
  return days
end

local before = { 0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334 }

local function day_of_year(year, month, day)
  local leap = year % 4 == 0 and (year % 100 ~= 0 or year % 400 == 0)
  return before[month] + day - 1 + (leap and month > 2 and 1 or 0)
end

-- "2018-08-14 06:05", "2018-08-14T06:05:30", or "2018-08-14" for its midnight: year and seconds since its 1 January, or
-- nil.
local function read_time(text)
  if text:match("^%d%d%d%d%-%d%d%-%d%d$") then
    text = text .. " 00:00"
  end
  local year, month, day, hour, minute, rest = text:match("^(%d%d%d%d)-(%d%d)-(%d%d)[ T](%d%d):(%d%d)(.*)$")
  local second = rest == "" and "0" or rest and rest:match("^:(%d%d)Z?$")
  if not second then
    return nil
  end
  year, month, day = tonumber(year), tonumber(month), tonumber(day)
  hour, minute, second = tonumber(hour), tonumber(minute), tonumber(second)
  if month < 1 or month > 12 or day < 1 or day > 31 or hour > 24 or minute > 59 or second > 60 then
    return nil
  end
  return year, day_of_year(year, month, day) * 86400 + hour * 3600 + minute * 60 + second
end

local function split(line, separator)
  local cells = {}
  for cell in (line .. separator):gmatch("(.-)" .. separator) do
    cells[#cells + 1] = cell:match('^%s*"?(.-)"?%s*$')
  end
  return cells
end

local Log = {}
Log.__index = Log

-- The line of the log that holds at `time_s`: the last one that is not later; nil before the first and, when `longest`
-- seconds are given (3 steps of the log if not), later than that after it.
function Log:row(time_s, longest)
  local time, low, high = self.time, 1, #self.time
  if not (time_s >= time[1]) then
    return nil
  end
  while low < high do
    local middle = (low + high + 1) // 2
    if time[middle] <= time_s then
      low = middle
    else
      high = middle - 1
    end
  end
  if time_s - time[low] > (longest or 3 * self.step) then
    return nil
  end
  return low
end

-- The value of a column at a time, nil where the log has none.
function Log:at(name, time_s)
  local column = self[name] or fail("log %s: no column %s; known are %s", self.file, name, table.concat(self.names, ", "))
  local row = self:row(time_s)
  local value = row and column[row]
  return value == value and value or nil
end

-- pinery.log "house.csv": a table with `names`, `time` (s since 1 January 00:00 of the first line's year), and one
-- list of numbers for every column, an empty cell being NaN. The first column is the time, 2018-08-14 06:05. With `;`
-- between cells a comma is the decimal sign.
function pinery.log(file)
  local path = pinery.path(file)
  local handle, message = io.open(path, "r")
  if not handle then
    fail("log: %s", message)
  end
  local log, number, first, separator = setmetatable({ file = file, names = {}, time = {} }, Log), 0, nil, nil
  local sum = 0 -- of all values, each weighed by its place
  for line in handle:lines() do
    number = number + 1
    line = line:gsub("\r$", "")
    if number == 1 then
      line = line:gsub("^\xEF\xBB\xBF", "")
      separator = line:find(";", 1, true) and ";" or ","
      for i, name in ipairs(split(line, separator)) do
        if i > 1 then
          if name == "" or log[name] then
            fail("log: %s, line 1: column %d is named \"%s\", expected a name of its own", path, i, name)
          end
          log.names[i - 1], log[name] = name, {}
        end
      end
      if #log.names == 0 then
        fail("log: %s, line 1: expected a time column and at least one more, separated by , or ;", path)
      end
    elseif line:match("%S") then
      local cells = split(line, separator)
      if #cells ~= #log.names + 1 then
        fail("log: %s, line %d: %d cells, expected %d", path, number, #cells, #log.names + 1)
      end
      local year, seconds = read_time(cells[1])
      if not year then
        fail("log: %s, line %d: \"%s\" is not a time like 2018-08-14 06:05", path, number, cells[1])
      end
      first = first or year
      local row = #log.time + 1
      log.time[row] = days_between(first, year) * 86400 + seconds
      if row > 1 and not (log.time[row] > log.time[row - 1]) then
        fail("log: %s, line %d: %s is not later than the line before", path, number, cells[1])
      end
      for i, name in ipairs(log.names) do
        local cell = cells[i + 1]
        local value = tonumber(separator == ";" and (cell:gsub(",", ".")) or cell)
        if not value and cell ~= "" then
          fail("log: %s, line %d: %s = \"%s\" is not a number", path, number, name, cell)
        end
        log[name][row] = value or 0 / 0
        sum = sum + (value or 0.5) * (row + i / 1000)
      end
    end
  end
  handle:close()
  if #log.time < 2 then
    fail("log: %s has fewer than two lines of data", path)
  end
  local steps = {}
  for i = 2, #log.time do
    steps[i - 1] = log.time[i] - log.time[i - 1]
  end
  table.sort(steps)
  log.step = steps[(#steps + 1) // 2]
  pinery.logs[log] = { file = pinery.whole_path(path), sum = sum + log.time[#log.time] }
  for _, name in ipairs(log.names) do
    pinery.logs[log[name]] = { log = log, column = name }
  end
  return log
end

-- By log and by column of one: where it came from.
pinery.logs = setmetatable({}, { __mode = "k" })

-- The log that was read before, in another run of another script; other numbers in the file are an error.
function pinery.log_again(file, sum)
  local log = pinery.log(file)
  if pinery.logs[log].sum ~= sum then
    fail("log: %s holds other numbers than when this input was written", file)
  end
  return log
end

local positions = { "vent_lee", "vent_wind", "fan_through", "fan_circulation" }
local temperatures = { "heating", "ventilation", "pipe_lower", "pipe_upper" }
local lists = { "cloth", "slit", "lamp" }

-- A control function that orders what a log says, column by column:
--   pinery.replay { log = log, share = 0.01, cloth = { "screen_pct" }, vent_lee = "lee_pct", pipe_lower = "rail_degC" }
-- `share` is what one unit of a position in the log is; positions are held within 0 .. 1. Where the log has no value the
-- order stays what the strategy's table asks.
function pinery.replay(options)
  local log, share = options.log, options.share or 1
  if getmetatable(log) ~= Log then
    fail("replay: log is a %s, expected pinery.log \"file.csv\"", type(log))
  end
  local actions, known = {}, { log = true, share = true }
  local function action(key, name, set)
    local column = log[name]
    if type(name) ~= "string" or type(column) ~= "table" then
      fail("replay: %s = %s is not a column of %s; known are %s", key, tostring(name), log.file,
        table.concat(log.names, ", "))
    end
    actions[#actions + 1] = function(orders, row)
      local value = column[row]
      if value == value then
        set(orders, value)
      end
    end
  end
  local function position(value)
    return math.max(0, math.min(1, value * share))
  end
  for _, key in ipairs(positions) do
    known[key] = true
    if options[key] then
      action(key, options[key], function(orders, value) orders[key] = position(value) end)
    end
  end
  for _, key in ipairs(temperatures) do
    known[key] = true
    if options[key] then
      action(key, options[key], function(orders, value) orders[key] = value end)
    end
  end
  for _, key in ipairs(lists) do
    known[key] = true
    for i, name in pairs(options[key] or {}) do
      action(key, name, function(orders, value) orders[key][i] = position(value) end)
    end
  end
  for key in pairs(options) do
    if not known[key] then
      fail("replay: unknown field %s; known are log, share, %s, %s, %s", tostring(key), table.concat(positions, ", "),
        table.concat(temperatures, ", "), table.concat(lists, ", "))
    end
  end
  return function(seen, orders)
    local row = log:row(seen.time_s)
    if row then
      orders:because("as logged")
      for i = 1, #actions do
        actions[i](orders, row)
      end
    end
  end
end
