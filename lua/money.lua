-- The answer of pinery.money as a study, with its page and its JSON.
local pinery, inner = ...

local reckon, pages = pinery.money, setmetatable({}, { __mode = "k" })

-- The savings of a study of how sure, whose `also` gives a cost per m2 and year; draws that failed are left out.
local function savings(name, study)
  local list = {}
  for _, draw in ipairs(study.draws) do
    local change = draw.difference and draw.difference.cost
    if draw.difference and not change then
      inner.fail("money: draws: %s: the draws have no cost; give it by also = function(result, inputs) return { cost = ... } end", name)
    end
    list[#list + 1] = change and -change
  end
  return list
end

function pinery.money(given)
  if type(given) == "table" and type(given.draws) == "table" then
    local plain, draws = {}, {}
    for key, value in pairs(given) do
      plain[key] = value
    end
    for name, list in pairs(given.draws) do
      local meta = type(list) == "table" and getmetatable(list)
      draws[name] = meta and meta.__name == "pinery.study" and list.draws and savings(name, list) or list
    end
    plain.draws, given = draws, plain
  end
  local answer, page = reckon(given)
  pages[answer] = page
  if type(given[1]) == "userdata" and getmetatable(given[1]).__name == "pinery.comparison" then
    inner.made_of[answer] = given[1]
  end
  return inner.study("money", answer)
end

function inner.text.money(answer)
  return pages[answer]
end
