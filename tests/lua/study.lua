-- Studies of several runs: parts add up, the books of the difference close, what is asked wrongly is told.
local pinery = require "pinery"

local function fails(pattern, f, ...)
  local ok, message = pcall(f, ...)
  assert(not ok and message:find(pattern), tostring(message) .. "\ndoes not match " .. pattern)
end

local function close(got, want, size, what)
  assert(math.abs(got - want) <= 1e-12 * size, string.format("%s: got %.17g, want %.17g", what, got, want))
end

local weather = pinery.weather { typical = "Denver" }
local house = pinery.house { drives = { { cloth = "energy cloth" } }, lower_pipes = { length = 2 }, crop = "tomato" }
local strategy = pinery.strategy { pinery.humidity_slit { most = 0.2, start = 50, full = 70 }, vent_over_screen = 0.02 }
local options = { days = 1, spin_up = 0.5, first_day = 12 }
local tighter = { "tighter cloth", house = { drives = { { edge_gap = 0.0005, cloth = { emissivity_up = 0.2 } } } } }
local no_slit = { "no slit", strategy = { pinery.shut_with_fans {} } }
local colder = { "colder", strategy = { periods = { { heating = 16 } } } }

local function ask(parts, more)
  local given = { weather = weather, house = house, strategy = strategy, options = options, reference = "usual", other = "new",
    parts = parts }
  for key, value in pairs(more or {}) do
    given[key] = value
  end
  return given
end

-- The parts add up to the difference, whatever their order; the two ends are the runs themselves.
local shown = 0
local why = assert(pinery.explain(ask({ tighter, no_slit, colder }, { progress = function(share) shown = share end })))
local turned = assert(pinery.explain(ask { colder, tighter, no_slit }))
local before = assert(pinery.run { weather = weather, house = house, strategy = strategy, options = options })
local after = assert(pinery.run { weather = weather, house = house:with(tighter.house), options = options,
  strategy = strategy:with(no_slit.strategy):with(colder.strategy) })
assert(shown >= 0 and shown <= 1)
local numbers = 0
for name, change in pairs(why.difference) do
  if change == change then
    local size = math.abs(why.values.reference[name]) + math.abs(why.values.other[name])
    local sum, again, alone = 0, 0, {}
    for i, part in ipairs(why.parts) do
      sum, again = sum + part.results[name], again + turned.parts[i].results[name]
      alone[i] = part.alone[name]
      size = size + math.abs(part.results[name])
    end
    close(sum, change, size, name .. ", sum of parts")
    close(again, change, size, name .. ", sum of parts in another order")
    close(turned.parts[2].results[name], why.parts[1].results[name], size, name .. ", tighter cloth in another order")
    close(why.values.reference[name], before[name], 0, name .. ", reference")
    close(why.values.other[name], after[name], 0, name .. ", other")
    close(why.split.equipment.results[name] + why.split.behaviour.results[name], change, size, name .. ", kinds")
    numbers = numbers + 1
  end
end
assert(numbers > 25 and why.difference.gas_m3_per_m2 < -0.05)
assert(why.parts[1].kind == "equipment" and why.parts[2].kind == "behaviour" and #why.interaction == 3)
assert(why.parts[1].results.gas_m3_per_m2 < 0 and why.parts[3].results.gas_m3_per_m2 < 0)

-- By path: what leaves less what comes in is the boiler's heat, of either run and of the change.
local sum, change = 0, 0
for _, path in ipairs(why.paths) do
  sum, change = sum + path.other, change + path.MJ_per_m2
  local shares = 0
  for _, part in ipairs(why.parts) do
    shares = shares + part.paths[path.key]
  end
  close(shares, path.MJ_per_m2, math.abs(path.other) + math.abs(path.reference), path.name)
end
close(sum, after.heat_MJ_per_m2, 100, "heat by path")
close(change, after.heat_MJ_per_m2 - before.heat_MJ_per_m2, 100, "change of heat by path")
close(sum, after:heat "heat_lower", 100, "heat by path, from the books")

-- By way out of the crop's room: the boiler's heat again, and no share of a part is lost.
sum, change = 0, 0
local way = {}
for _, one in ipairs(why.ways) do
  sum, change, way[one.key] = sum + one.other, change + one.MJ_per_m2, one
  local shares = 0
  for _, part in ipairs(why.parts) do
    shares = shares + part.ways[one.key]
  end
  close(shares, one.MJ_per_m2, math.abs(one.other) + math.abs(one.reference), one.name)
end
close(sum, after.heat_MJ_per_m2, 100, "heat by way")
close(change, after.heat_MJ_per_m2 - before.heat_MJ_per_m2, 100, "change of heat by way")
assert(way.slit.MJ_per_m2 < 0 and way.slit.other < way.slit.reference)

-- Nothing that goes up past the lowest cloth is forgotten: in a house without walls and lamps the rest is sun, water and
-- what is kept, known by other headings. (What the roof space keeps and what drips from the cloth counts there, too: some
-- tenths of a per cent.)
local film = { longwave_transmittance = 0.4, emissivity_outside = 0.4, emissivity_inside = 0.4 }
for name, of in pairs {
  ["one cloth"] = house, ["no cloth"] = house:with { drives = { false } }, ["under a film"] = house:with { cover = film },
  ["two cloths"] = house:with { drives = { {}, { cloth = "clear energy cloth" } } },
} do
  local inland = of:with { walls = false, soil_conductivity = 0.5 }
  local explained = assert(pinery.explain(ask({ { "warmer", strategy = { periods = { { heating = 19 } } } } },
    { house = inland, options = { days = 4, spin_up = 1, first_day = 12 } })))
  local run = assert(pinery.run { weather = weather, house = inland, strategy = strategy,
    options = { days = 4, spin_up = 1, first_day = 12 } })
  local rest = run:stored() - run:heat "sun_canopy" - run:heat "sun_floor" - run:heat "water_supply"
    - (name == "no cloth" and run:heat "sun_structure" or 0) -- the air under the cover is the crop's then
  for _, one in ipairs(explained.ways) do
    if one.key == "rest" then
      assert(math.abs(one.reference - rest) < 0.005 * run.heat_MJ_per_m2, string.format("%s: %g, %g", name, one.reference, rest))
    end
  end
end

-- Two parts: what both add together is the whole less each alone.
local two = assert(pinery.explain(ask { tighter, colder }))
local gas = "gas_m3_per_m2"
close(two.interaction[1].results[gas], two.difference[gas] - two.parts[1].alone[gas] - two.parts[2].alone[gas], 1, "pair")
close(two.parts[1].results[gas], (two.parts[1].alone[gas] + two.parts[1].last[gas]) / 2, 1, "mean of alone and last")
local text = two:report()
assert(text:find "tighter cloth: equipment" and text:find "edge_gap: 0.0005 instead of 0.003" and text:find "alone")

-- A part with a control function is run on the calling thread, with the same numbers as one without.
local called = 0
local scripted = assert(pinery.explain(ask { tighter, { "watched", strategy = { control = function() called = called + 1 end } } }))
assert(called >= 2 * 24 * 12 and scripted.parts[2].results[gas] == 0)
close(scripted.parts[1].results[gas], scripted.difference[gas], 1, "with a function that does nothing")

-- As JSON: whole, and a number for what is one.
local path = os.tmpname()
assert(two:save_json(path))
local file = assert(io.open(path))
local json = file:read "a"
file:close()
os.remove(path)
assert(json:find '"gas_m3_per_m2":%-?0%.%d+' and json:find '"lamp_hours":null' and json:find "}\n$" and not json:find "nan")
assert(two:save_json "absent/x.json" == nil)

-- A run that fails is named; wrong arguments are errors at the script's line.
local nothing, message = pinery.explain(ask({ tighter, { "broken", strategy = { control = function() error "no more" end } } }))
assert(nothing == nil and message:find "^explain: with [ab+]+: .*no more", message)
fails("study%.lua:%d+: explain: parts is not a list of 1 to 6", pinery.explain, ask {})
fails("study%.lua:%d+: explain: part \"idle\" changes nothing of the reference", pinery.explain, ask { { "idle", house = {} } })
fails("parts \"colder\" and \"warmer\" both change strategy.periods%[1%].heating; make them one", pinery.explain,
  ask { colder, { "warmer", strategy = { periods = { { heating = 20 } } } } })
fails("part \"odd\": kind is tool, expected", pinery.explain, ask { { "odd", house = { length = 20 }, kind = "tool" } })
fails("part \"none\" has neither house nor strategy", pinery.explain, ask { { "none" } })
fails("part \"both\" is of house and strategy", pinery.explain, ask { { "both", house = { length = 20 }, strategy = { ramp = 2 } } })
fails("explain: unknown field wether; known are weather, house", pinery.explain, ask({ colder }, { wether = 1 }))
fails("explain: parts: unknown field hous; known are house, strategy, kind", pinery.explain, ask { { "x", hous = {} } })
fails("no result is called gas; known are gas_m3_per_m2", pinery.explain, ask({ colder }, { of = "gas" }))
fails("house: unknown field lenght", pinery.explain, ask { { "x", house = { lenght = 3 } } })
fails("weather is missing", pinery.explain, { house = house, strategy = strategy, parts = { colder } })
-- How sure: the same draws for both, the same seed the same numbers, another seed within what is said.
local function sure(more)
  local given = {
    weather = weather, house = house, options = { days = 0.5, spin_up = 0.2, first_day = 12 }, runs = 32,
    reference = { "usual", strategy }, other = { "tight", house = house:with(tighter.house), strategy = strategy },
    inputs = {
      { "house.leakage", lognormal = { 1e-4, 1.5 } },
      { "strategy.periods[1].heating", by = "plus", normal = { 0, 0.5 }, from = -1, to = 1 },
      { { "house.cover.emissivity_outside", "house.cover.emissivity_inside" }, name = "emissivity", uniform = { 0.8, 0.9 } },
      { "price", triangular = { 0.2, 0.4, 0.5 } },
    },
    also = function(of, drawn) return drawn.price and { cost = of.gas_m3_per_m2 * drawn.price } or {} end,
  }
  for key, value in pairs(more or {}) do
    given[key] = value
  end
  return pinery.how_sure(given)
end
local first, same, another = assert(sure()), assert(sure()), assert(sure { seed = 2 })
local s = first.results[gas]
assert(first.n == 32 and #first.failed == 0 and #first.draws == 32 and s.n == 32)
assert(s.low95 <= s.low80 and s.low80 < s.median and s.median < s.high80 and s.high80 <= s.high95 and s.high95 < 0)
for name, one in pairs(first.results) do
  for key, value in pairs(one) do
    assert(value == same.results[name][key] or value ~= value, name)
  end
end
local off = math.abs(another.results[gas].median - s.median)
assert(off > 0 and off < 4 * (s.median_error + another.results[gas].median_error), off)

-- A draw is a run: by hand, both with its inputs.
local draw = first.draws[7]
local function by_hand(with)
  local x = draw.inputs
  return assert(pinery.run { weather = weather, options = { days = 0.5, spin_up = 0.2, first_day = 12 },
    house = house:with(with):with { leakage = x["house.leakage"],
      cover = { emissivity_outside = x.emissivity, emissivity_inside = x.emissivity } },
    strategy = strategy:with { periods = { { heating = strategy.periods[1].heating + x["strategy.periods[1].heating"] } } } })
end
local a, b = by_hand {}, by_hand(tighter.house)
assert(draw.reference[gas] == a[gas] and draw.other[gas] == b[gas] and draw.difference[gas] == b[gas] - a[gas])
assert(draw.other.cost == b[gas] * draw.inputs.price and first.results.cost.median < 0)

-- What matters: shares of one, the price for the cost alone, nothing at all against itself.
local together = 0
for _, input in ipairs(first.inputs) do
  together = together + input.share
  assert(input.share >= 0 and input.share <= 1 and input.rank >= -1 and input.rank <= 1)
end
assert(together <= 1 + 1e-12 and first.inputs[4].share < 0.1 and first.inputs[4].shares.cost > 0.3)
local nothing_between = assert(sure { runs = 2, other = { "usual again", strategy } })
for name, one in pairs(nothing_between.results) do
  assert(one.n == 0 or (one.low95 == 0 and one.high95 == 0), name)
end
local all = assert(sure { runs = 8, total = true, sampling = "latin hypercube", inputs = { { "house.leakage", uniform = { 5e-5, 2e-4 } } },
  of = "heat_MJ_per_m2" })
assert(all.inputs[1].total > 0 and all.n == 8)
text = first:report()
assert(text:find "32 of 32 draws, sobol, seed 1" and text:find "emissivity: uniform 0.8, 0.9" and text:find "Change in gas: %-0")
assert(text:find "\n  cost ")

-- Draws that fail are named and nothing else is lost.
local some = assert(sure { inputs = { { "house.leakage", normal = { 1e-4, 1e-4 } } }})
assert(#some.failed > 0 and #some.failed < 24 and some.n == 32 - #some.failed // 2 and some.results[gas].n == some.n)
assert(some.failed[1].message:find "leakage = %-.* is outside 0 .. 0.005" and some.failed[1].inputs["house.leakage"] < 0)
assert(some.draws[some.failed[1].draw].difference == nil and some:report():find "failed: draw %d+ of \"usual\"")
nothing, message = sure { runs = 2, other = { "broken", function() error "no luck" end } }
assert(nothing == nil and message:find "every draw failed; the first: draw 1: .*no luck", message)

local function wrong(pattern, more)
  fails("how_sure: " .. pattern, sure, more)
end
fails("house: unknown field leekage %(did you mean leakage%?%)", sure, { inputs = { { "house.leekage", uniform = { 1, 2 } } } })
fails("house: leakage = 1.5 .* is outside", sure, { inputs = { { "house.leakage", uniform = { 1, 2 } } } })
wrong("house.leakage%[1%] is no number of the house of \"usual\"", { inputs = { { "house.leakage[1]", uniform = { 1, 2 } } } })
wrong("house.drives%[2%].edge_gap is no number", { inputs = { { "house.drives[2].edge_gap", uniform = { 1, 2 } } } })
wrong("hose.leakage begins neither", { inputs = { { "hose.leakage", uniform = { 1, 2 } } } })
wrong("house.leakage has no distribution", { inputs = { { "house.leakage" } } })
wrong("house.leakage: uniform is not a list of 2", { inputs = { { "house.leakage", uniform = { 1, 2, 3 } } } })
wrong("house.leakage: lognormal 1, 0.5, expected a median over 0", { inputs = { { "house.leakage", lognormal = { 1, 0.5 } } } })
wrong("house.drives%[1%].height is not given in \"usual\"", { inputs = { { "house.drives[1].height", by = "times", uniform = { 1, 2 } } } })
wrong("runs = 1.5 is not a whole number in 2", { runs = 1.5 })
wrong("sampling is dice, expected", { sampling = "dice" })
wrong("inputs is not a list of 1 to 40", { inputs = {} })
wrong("no result is called gas; known are .*cost", { of = "gas", runs = 2 })
print "study: all is well"
