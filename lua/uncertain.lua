-- Uncertain inputs: numbers of a house or a strategy by name, and the distributions they are drawn from.
local _, inner = ...

local kinds = { uniform = 2, triangular = 3, normal = 2, lognormal = 2 }

-- --- inputs by name ---

-- "house.drives[1].cloth.emissivity_up": "house" and { "drives", 1, "cloth", "emissivity_up" }.
local function steps(field)
  local list = {}
  for name, places in field:gmatch "([%a_][%w_]*)([%[%]%d]*)" do
    list[#list + 1] = name
    for place in places:gmatch "%d+" do
      list[#list + 1] = math.tointeger(tonumber(place))
    end
  end
  return table.remove(list, 1), list
end

-- What stands there now, nil when there is nothing.
local function at(value, path)
  for _, step in ipairs(path) do
    if type(value) ~= "table" and type(value) ~= "userdata" then
      return nil
    end
    if step == "cloth" and type(value) == "table" then
      value = value.cloths and value.cloths[1]
    elseif type(value) == "userdata" then
      local found, inside = pcall(function() return value[step] end)
      value = found and inside or nil
    else
      value = value[step]
    end
  end
  return value
end

local function put(overlay, path, value)
  for i = 1, #path - 1 do
    overlay[path[i]] = overlay[path[i]] or {}
    overlay = overlay[path[i]]
  end
  overlay[path[#path]] = value
end

local function read_chance(what, given)
  local chance
  for kind, numbers in pairs(kinds) do
    local list = given[kind]
    if list ~= nil then
      if chance then
        inner.fail("%s: %s and %s are two distributions", what, chance.kind, kind)
      end
      if type(list) ~= "table" or #list ~= numbers then
        inner.fail("%s: %s is not a list of %d numbers", what, kind, numbers)
      end
      for i = 1, numbers do
        if type(list[i]) ~= "number" then
          inner.fail("%s: %s[%d] is a %s, expected a number", what, kind, i, type(list[i]))
        end
      end
      chance = { kind = kind, a = list[1], b = list[2], c = list[3], from = given.from, to = given.to }
    end
  end
  if not chance then
    inner.fail("%s has no distribution: uniform, triangular, normal or lognormal", what)
  end
  local wrong = inner.check_chance(chance, what)
  if wrong then
    inner.fail("%s", wrong)
  end
  return chance
end

-- Whether the case has that number to be changed.
local function check_field(what, input, case, path, root)
  local present = at(case[root], path)
  local parent = at(case[root], { table.unpack(path, 1, #path - 1) })
  if type(parent) ~= "table" and type(parent) ~= "userdata" or (present ~= nil and type(present) ~= "number") then
    inner.fail("%s is no number of the %s of \"%s\"", what, root, case.name)
  end
  if input.by and present == nil then
    inner.fail("%s is not given in \"%s\", so nothing can be put on it by %s", what, case.name, input.by)
  end
end

-- One row of `inputs`: { "house.leakage", uniform = { 1e-5, 3e-4 }, by = "times", only = "other", name = "leaks" }, or
-- { { field, field }, ... }, checked against the cases it is to change.
function inner.read_input(i, given, cases)
  inner.check_keys("how_sure: inputs", given, "name uniform triangular normal lognormal from to by only", true)
  local fields = type(given[1]) == "table" and given[1] or { given[1] }
  local what = string.format("how_sure: %s", type(fields[1]) == "string" and fields[1] or "inputs[" .. i .. "]")
  local input = { name = given.name or fields[1], by = given.by, only = given.only, targets = {} }
  if #fields == 0 then
    inner.fail("%s: [1] is not the name of a field", what)
  end
  if input.by ~= nil and input.by ~= "times" and input.by ~= "plus" then
    inner.fail("%s: by is %s, expected \"times\" or \"plus\"", what, tostring(input.by))
  end
  if input.only ~= nil and input.only ~= "reference" and input.only ~= "other" then
    inner.fail("%s: only is %s, expected \"reference\" or \"other\"", what, tostring(input.only))
  end
  input.chance = read_chance(what, given)
  for _, field in ipairs(fields) do
    if type(field) ~= "string" then
      inner.fail("%s: [1] is a %s, expected the name of a field", what, type(field))
    end
    local root, path = steps(field)
    if #path > 0 and (root == "house" or root == "strategy") then
      for _, which in ipairs { "reference", "other" } do
        local case = cases[which]
        if input.only == nil or input.only == which then
          check_field("how_sure: " .. field, input, case, path, root)
        end
      end
      input.targets[#input.targets + 1] = { root = root, path = path }
    elseif #fields > 1 or field:find "[%.%[]" then
      inner.fail("%s begins neither with house. nor with strategy.", "how_sure: " .. field)
    end -- else a number of the person's own, for `also`
  end
  return input
end

-- The values of one draw for one case put into its house and strategy.
function inner.drawn(case, which, inputs, values)
  local overlay = {}
  for i, input in ipairs(inputs) do
    for _, target in ipairs(input.only ~= nil and input.only ~= which and {} or input.targets) do
      local value = values[i]
      if input.by then
        local present = at(case[target.root], target.path)
        value = input.by == "times" and present * value or present + value
      end
      overlay[target.root] = overlay[target.root] or {}
      put(overlay[target.root], target.path, value)
    end
  end
  return overlay.house and case.house:with(overlay.house) or case.house,
    overlay.strategy and case.strategy:with(overlay.strategy) or case.strategy
end
