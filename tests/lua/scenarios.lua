-- label: long
-- The scenarios, each run as it stands and held against the answers committed here: numbers, not text. A change of the
-- physics that moves them must change them here, and say why. (They are our own made-up houses: nothing outside to hold
-- them against but the orders that the trade expects, at the end.)
local function run(name)
  local case = dofile("../../scenarios/" .. name .. ".lua")
  if tostring(case):find "^comparison" then
    assert(case:run())
  end
  return case
end

local function close(what, got, want, relative)
  if not (math.abs(got - want) <= relative * math.abs(want)) then
    error(string.format("%s: got %.6g, want %.6g within %g", what, got, want, relative))
  end
end

local function books(what, result)
  assert(math.abs(result.closure_heat) < 1e-9, what .. ": heat does not close")
  assert(math.abs(result.closure_water) < 1e-9, what .. ": water does not close")
end

local answers = {
  demo = {
    slits = { gas_m3_per_m2 = 28.068, electricity_kWh_per_m2 = 157.30, end_to_end_mean_K = 1.663 },
    fans = { gas_m3_per_m2 = 25.972, electricity_kWh_per_m2 = 160.41, end_to_end_mean_K = 0.6339 },
  },
  two_screens = {
    ["one cloth"] = { gas_m3_per_m2 = 38.410, light_mol_per_m2 = 6821.3 },
    ["two cloths"] = { gas_m3_per_m2 = 32.937, light_mol_per_m2 = 6682.1 },
  },
}

answers.four_ways_to_dry = {
  slit = { gas_m3_per_m2 = 45.758, electricity_kWh_per_m2 = 0.30574 },
  fans = { gas_m3_per_m2 = 45.651, electricity_kWh_per_m2 = 0.37235 },
  recovery = { gas_m3_per_m2 = 42.037, electricity_kWh_per_m2 = 0.8529, recovery_water_kg_per_m2 = 54.29 },
  dehumidifier = { gas_m3_per_m2 = 38.458, electricity_kWh_per_m2 = 6.201, dehumidifier_water_kg_per_m2 = 20.492 },
}

local done = {}
for name, cases in pairs(answers) do
  done[name] = run(name)
  for case, wanted in pairs(cases) do
    local result = done[name][case]
    books(name .. ", " .. case, result)
    for key, want in pairs(wanted) do
      close(name .. ", " .. case .. ", " .. key, result[key], want, key == "end_to_end_mean_K" and 0.01 or 3e-3)
    end
  end
end

-- The answer that the README prints: each of its lines within 2 % of the run, which is more than compilers and the last
-- changes of the steps move a peak or hours over a limit, or within the last digit.
do
  local file <close> = assert(io.open "../../README.md")
  local answer = assert(file:read "a":match "<!%-%- answer %-%->(.-)<!%-%- answer %-%->", "no answer in the README")
  local seen = 0
  for _, row in ipairs(done.demo:rows()) do
    local label = row.label:gsub("^ +", "") .. " "
    for line in answer:gmatch "[^\n]+" do
      local from, to = line:gsub("^ +", ""):find(label, 1, true)
      local a, b = line:gsub("^ +", ""):sub((to or 0) + 1):match "^%s+%S+%s+([-%d.]+)%s+([-%d.]+)%s"
      if from == 1 and a then
        seen = seen + 1
        for i, printed in ipairs { tonumber(a), tonumber(b) } do
          local off, digit = math.abs(printed - row.values[i]), 1.5 * 10 ^ -row.decimals
          assert(off <= math.max(digit, 0.02 * math.abs(row.values[i])), "the README is out of date: " .. line)
        end
      end
    end
  end
  assert(seen >= 12, seen)
end

local week = run "cold_week"
books("cold_week", week)
close("cold_week, gas", week.gas_m3_per_m2, 1.6239, 3e-3)

-- What is saved of what, in EUR; the bill itself is held against one worked by hand in tests/test_money.c.
local cloth = select(2, dofile "../../scenarios/second_cloth_pays.lua").cases["two cloths"]
for key, want in pairs { gas_per_m2 = 399.41, saving_per_m2 = 3.9836, co2_kg_per_m2 = 72.62, payback_years = 3.197 } do
  close("second_cloth_pays, " .. key, cloth[key], want, key == "gas_per_m2" and 3e-3 or 1e-2)
end

-- Neighbouring capacities differ by 2 % in their hours: a capacity may move by one step of the search.
local size = run "how_many_fans"
close("how_many_fans, without", size.curve[1].hours[90], 401.0, 0.02)
close("how_many_fans, gas", size.curve[1].gas, 42.752, 3e-3)
close("how_many_fans, capacity", size.capacity, 12, 1 / 12)
assert(size.needed[90].hours[90] <= 175 and size.needed[90].gas > size.curve[1].gas)

-- What three changes save, which of them does, and how sure it is.
local saved, why, sure = dofile "../../scenarios/why_it_saves.lua"
assert(saved:run())
local gas, damp = "gas_m3_per_m2", "hours_humidity_over_90"
books("why_it_saves", saved["last year"])
close("why_it_saves, last year", saved["last year"][gas], 1.8698, 3e-3)
close("why_it_saves, this year", saved["this year"][gas], 1.3540, 3e-3)
for i, want in ipairs { -0.1027, -0.0280, -0.3851 } do
  close("why_it_saves, " .. why.parts[i].name, why.parts[i].results[gas], want, 0.05)
end
assert(math.abs(why.difference[gas] - (saved["this year"][gas] - saved["last year"][gas])) < 1e-12)
close("why_it_saves, median", sure.results[gas].median, -0.4998, 0.02)
close("why_it_saves, 95 %", sure.results[gas].low95, -0.5893, 0.03)
assert(sure.n == 32 and sure.results[gas].high95 < 0 and sure.inputs[5].share > 0.35)
-- (common practice, no source) without slits less goes up through them, and it is the minimum pipe that was drying
assert(why.parts[2].ways.slit < -1 and why.parts[3].results[damp] > 10)

-- Four ways to dry (orders: common practice, no source): recovery of heat saves gas against the slit for some electricity; a
-- dehumidifier, which keeps its heat, saves more gas for more electricity, 2 to 3.5 litres a kWh; both keep the house drier.
do
  local way = done.four_ways_to_dry
  local slit, recovery, machine = way.slit, way.recovery, way.dehumidifier
  assert(recovery.gas_m3_per_m2 < slit.gas_m3_per_m2 and machine.gas_m3_per_m2 < recovery.gas_m3_per_m2)
  assert(slit.electricity_kWh_per_m2 < recovery.electricity_kWh_per_m2)
  assert(recovery.electricity_kWh_per_m2 < machine.electricity_kWh_per_m2)
  local litres = machine.dehumidifier_water_kg_per_m2 / machine.electricity_dehumidifier_kWh_per_m2
  assert(litres > 2 and litres < 3.5, litres)
  for _, name in ipairs { "recovery", "dehumidifier" } do
    assert(way[name].hours_humidity_over_90 < slit.hours_humidity_over_90)
  end
end

-- Orders (common practice, no source): slits and wind make the house uneven, fans make it even; a second cloth saves less
-- than the first and takes some light.
local demo, screens = done.demo, done.two_screens
assert(demo.fans.gas_m3_per_m2 < demo.slits.gas_m3_per_m2)
assert(demo.fans.end_to_end_mean_K < 0.6 * demo.slits.end_to_end_mean_K)
assert(demo.fans.electricity_kWh_per_m2 > demo.slits.electricity_kWh_per_m2)
local share = 1 - screens["two cloths"].gas_m3_per_m2 / screens["one cloth"].gas_m3_per_m2
assert(share > 0.05 and share < 0.25, share)
assert(screens["two cloths"].light_mol_per_m2 < screens["one cloth"].light_mol_per_m2)
