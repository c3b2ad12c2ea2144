-- A control function as Lua source that makes it again, with the values it holds on to: its text is cut out of the file
-- it came from, compiled, and held against what the function is. What cannot be written is said.
local pinery = ...
local debug, load, io = debug, load, io

local reserved = {}
for word in ([[and break do else elseif end false for function goto if in local nil not or repeat return then true
  until while]]):gmatch "%a+" do
  reserved[word] = true
end

-- The tokens of a text from its first line on: { word, from, to, line }, strings and comments as one.
local function tokens(text)
  local list, at, line = {}, 1, 1
  local function add(to, kept)
    local word = text:sub(at, to)
    if kept then
      list[#list + 1] = { word = word, from = at, to = to, line = line }
    end
    line = line + select(2, word:gsub("\n", ""))
    at = to + 1
  end
  local function long(from) -- the end of [==[ ... ]==] that begins there
    local level = text:match("^%[(=*)%[", from)
    local _, to = text:find("]" .. (level or "") .. "]", from, true)
    return level and (to or #text)
  end
  while at <= #text do
    local two, one = text:sub(at, at + 1), text:sub(at, at)
    local to = select(2, text:find("^%s+", at))
    if to then
      add(to)
    elseif two == "--" then
      add(long(at + 2) or (text:find("\n", at, true) or #text + 1) - 1)
    elseif one == "[" and long(at) then
      add(long(at), true)
    elseif one == '"' or one == "'" then
      to = at + 1
      while to <= #text and text:sub(to, to) ~= one do
        to = to + (text:sub(to, to) == "\\" and 2 or 1)
      end
      add(to, true)
    else
      add(select(2, text:find("^[%a_][%w_]*", at)) or select(2, text:find("^%.?%d[%w%.]*", at))
        or select(2, text:find("^%.%.+", at)) or select(2, text:find("^[=~<>/:][=:/<>]", at)) or at, true)
    end
  end
  return list
end

-- Every function of a text that begins and ends on those lines: { from, to } in the list of tokens.
local function functions_between(list, first, last)
  local open, found = {}, {}
  for i, token in ipairs(list) do
    local word = token.word
    if word == "function" or word == "if" or word == "do" or word == "repeat" then
      open[#open + 1] = i
    elseif (word == "end" or word == "until") and #open > 0 then
      local from = table.remove(open)
      if list[from].word == "function" and list[from].line == first and token.line == last then
        found[#found + 1] = { from, i }
      end
    end
  end
  return found
end

-- The text of such a function without its name: function M:f(a) as function(self, a).
local function nameless(text, list, found)
  local i, method = found[1] + 1, false
  while list[i].word ~= "(" do
    method = method or list[i].word == ":"
    i = i + 1
  end
  local self = not method and "" or list[i + 1].word == ")" and "self" or "self, "
  return "function(" .. self .. text:sub(list[i].to + 1, list[found[2]].to)
end

local function upvalues(f)
  local list = {}
  for i = 1, math.huge do
    local name, value = debug.getupvalue(f, i)
    if not name then
      return list
    end
    list[i] = { name = name, value = value, id = debug.upvalueid(f, i) }
  end
end

-- Whether a function made of that text is the same: byte for byte the same code, but for where the values that it holds
-- lie, which stands in three bytes each behind their number.
local function is_same(f, text, info, held)
  local names, places = {}, {}
  for i, one in ipairs(held) do
    if one.name ~= "_ENV" then
      names[#names + 1] = one.name
    end
    places[i] = one.name == "_ENV" and "\0\0\0" or string.char(1, #names - 1, 0)
  end
  local head = #names > 0 and "local " .. table.concat(names, ", ") .. " = ... " or ""
  local chunk = load(("\n"):rep(info.linedefined - 1) .. head .. "return " .. text, "=kept", "t")
  local made = chunk and chunk()
  if not made or #held > 100 then
    return false
  end
  for i, one in ipairs(upvalues(made)) do
    if not held[i] or held[i].name ~= one.name then
      return false
    end
  end
  local a, b = string.dump(f, true), string.dump(made, true)
  local mark = string.char(128 + #held) .. table.concat(places)
  local at = b:find(mark, 1, true)
  while at do
    if a:sub(1, at) == b:sub(1, at) and a:sub(at + #mark) == b:sub(at + #mark) then
      return true
    end
    at = b:find(mark, at + 1, true)
  end
  return false
end

local function source_text(info)
  local kind = info.source:sub(1, 1)
  if kind == "@" then
    local file = io.open(info.source:sub(2), "r")
    local text = file and file:read "a"
    if file then
      file:close()
    end
    return text and text:gsub("^#[^\n]*", "")
  end
  return kind == "=" and pinery.library(info.source) or kind ~= "=" and info.source or nil
end

local function say(why, ...)
  error({ why = why:format(...) }, 0)
end

-- What needs no writing: name of every function and table of the standard libraries and of pinery.
local function standard()
  local names = { [_G] = "_G" }
  for _, module in ipairs { "string", "table", "math", "utf8", "io", "os", "coroutine", "debug", "pinery" } do
    local loaded = module == "pinery" and pinery or _G[module]
    for key, value in pairs(type(loaded) == "table" and loaded or {}) do
      if type(key) == "string" and (type(value) == "function" or type(value) == "table") then
        names[value] = module .. "." .. key
      end
    end
    if loaded then
      names[loaded] = module
    end
  end
  for _, key in ipairs { "assert", "collectgarbage", "error", "getmetatable", "ipairs", "next", "pairs", "pcall", "print",
    "rawequal", "rawget", "rawlen", "rawset", "require", "select", "setmetatable", "tonumber", "tostring", "type",
    "xpcall", "load", "loadfile", "dofile" } do
    if _G[key] then
      names[_G[key]] = key
    end
  end
  return names
end

-- Names that a function may take from _ENV: what is no field, no word of the language and no value it holds.
local function check_globals(list, found, env, known, held)
  if env ~= _G then
    say "its globals are not those of the script"
  end
  local own = {}
  for _, one in ipairs(held) do
    own[one.name] = true
  end
  for i = found[1], found[2] do
    local word, before = list[i].word, list[i - 1] and list[i - 1].word
    if word:find "^[%a_]" and not reserved[word] and not own[word] and before ~= "." and before ~= ":" then
      local value = rawget(_G, word)
      if value ~= nil and not known[value] and word ~= "_VERSION" and word ~= "package" and word ~= "arg" then
        say("it may use the global %s", word)
      end
    end
  end
end

-- Whether the text may assign to that name.
local function assigns(list, found, name)
  for i = found[1], found[2] do
    if list[i].word == name and list[i - 1].word ~= "." then
      local j = i + 1
      while list[j].word == "," and list[j + 1].word:find "^[%a_]" do
        j = j + 2
      end
      if list[j].word == "=" then
        return true
      end
    end
  end
  return false
end

local function number_text(value)
  if value ~= value then
    return "(0 / 0)"
  elseif value == math.huge or value == -math.huge then
    return value > 0 and "math.huge" or "-math.huge"
  end
  return math.type(value) == "integer" and string.format("%d", value) or string.format("%.17g", value)
    .. (string.format("%.17g", value):find "[%.eE]" and "" or ".0")
end

local most_entries = 20000

-- One writer for the functions of one control: `kept` is what has been written, by value.
local function writer(out)
  local known, kept, busy, variable, n, entries = standard(), {}, {}, {}, 0, 0
  local write

  -- A log is read again from its file, and its columns are taken from it.
  local function write_log(made, name)
    local text = made.column and string.format("%s[%q]", write(made.log, name), made.column)
      or string.format("pinery.log_again(%q, %s)", made.file, number_text(made.sum))
    n = n + 1
    out[#out + 1] = string.format("kept[%d] = %s", n, text)
    return string.format("kept[%d]", n)
  end

  local function write_table(value, name)
    if pinery.logs[value] then
      return write_log(pinery.logs[value], name)
    elseif getmetatable(value) then
      say("%s is a table with a metatable", name)
    end
    local lines = {}
    for key, item in next, value do
      entries = entries + 1
      if entries > most_entries then
        say("%s holds more than %d entries", name, most_entries)
      elseif type(key) ~= "string" and type(key) ~= "number" and type(key) ~= "boolean" then
        say("%s has a %s as a key", name, type(key))
      end
      lines[#lines + 1] = { key, "[" .. write(key, name) .. "] = " .. write(item, name .. "." .. tostring(key)) }
    end
    table.sort(lines, function(a, b)
      if type(a[1]) == type(b[1]) and type(a[1]) ~= "boolean" then
        return a[1] < b[1]
      end
      return type(a[1]) < type(b[1]) or (type(a[1]) == type(b[1]) and b[1] and not a[1])
    end)
    n = n + 1
    for i, line in ipairs(lines) do
      lines[i] = line[2]
    end
    out[#out + 1] = string.format("kept[%d] = { %s }", n, table.concat(lines, ", "))
    return string.format("kept[%d]", n)
  end

  local function write_function(f)
    local info, held = debug.getinfo(f, "S"), upvalues(f)
    local text = source_text(info)
    if not text then
      say("the text it was made of (%s) is not there", info.short_src)
    end
    local list = tokens(text)
    local match, cut
    for _, found in ipairs(functions_between(list, info.linedefined, info.lastlinedefined)) do
      local candidate = nameless(text, list, found)
      if is_same(f, candidate, info, held) then
        if match and candidate ~= cut then
          say("two functions stand on line %d", info.linedefined)
        end
        match, cut = found, candidate
      end
    end
    if not match then
      say("the text in %s is not, or no longer, what it was made of", info.short_src)
    end
    local head, own = {}, false
    for _, one in ipairs(held) do
      if one.name == "_ENV" then
        check_globals(list, match, one.value, known, held)
      else
        local other = variable[one.id]
        if other and (assigns(list, match, one.name) or assigns(other.list, other.match, other.name)) then
          say("it shares the variable %s with another function, and one of them changes it", one.name)
        end
        variable[one.id] = { list = list, match = match, name = one.name }
        own = own or one.value == f and one.name
        head[#head + 1] = "local " .. one.name .. (one.value == f and "" or " = " .. write(one.value, one.name))
      end
    end
    n = n + 1
    local place = string.format("kept[%d]", n)
    out[#out + 1] = string.format("do -- from %s:%d\n%s\n%s = %s\n%send", info.short_src, info.linedefined,
      table.concat(head, "\n"), own or place, cut, own and place .. " = " .. own .. "\n" or "")
    return place
  end

  function write(value, name)
    local kind = type(value)
    if kind == "nil" or kind == "boolean" then
      return tostring(value)
    elseif kind == "number" then
      return number_text(value)
    elseif kind == "string" then
      return (string.format("%q", value):gsub("\\\n", "\\n"):gsub("\r", "\\r"))
    elseif known[value] then
      return known[value]
    elseif kind ~= "table" and kind ~= "function" then
      say("%s is a %s", name, kind == "userdata" and tostring(value) or kind)
    elseif busy[value] then
      say("%s leads back to itself", name)
    elseif not kept[value] then
      busy[value] = true
      kept[value] = (kind == "table" and write_table or write_function)(value, name)
      busy[value] = nil
    end
    return kept[value]
  end
  return write
end

-- pinery.keep(control): Lua source of an expression that makes the function as it is now, or nil and why not.
function pinery.keep(control)
  if not debug or not debug.getinfo or not io or not load then
    return nil, "the libraries debug and io are not there"
  end
  local info = debug.getinfo(control, "S")
  local out = {}
  local ok, result = pcall(function() return writer(out)(control, "control") end)
  if ok then
    return string.format("(function()\nlocal kept = {}\n%s\nreturn %s\nend)()", table.concat(out, "\n"), result)
  elseif type(result) == "table" and result.why then
    return nil, string.format("its control function (%s:%d) cannot be written: %s", info.short_src, info.linedefined,
      result.why)
  end
  return nil, string.format("its control function (%s:%d) cannot be written: %s", info.short_src, info.linedefined,
    tostring(result))
end
