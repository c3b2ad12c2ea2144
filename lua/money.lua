-- The answer of pinery.money as a study, with its page and its JSON.
local pinery, inner = ...

local reckon, pages = pinery.money, setmetatable({}, { __mode = "k" })

function pinery.money(given)
  local answer, page = reckon(given)
  pages[answer] = page
  return inner.study("money", answer)
end

function inner.text.money(answer)
  return pages[answer]
end
