-- Money and carbon from a script: the bill follows from the results, units and currencies change nothing, wrong arguments
-- say where and what. (Bills worked by hand, present values: tests/test_money.c.)
local pinery = require "pinery"

local function fails(pattern, f, ...)
  local ok, message = pcall(f, ...)
  assert(not ok and message:find(pattern), tostring(message) .. "\ndoes not match " .. pattern)
end

local function close(got, want, relative)
  assert(math.abs(got - want) <= (relative or 1e-12) * math.abs(want), string.format("got %.12g, want %.12g", got, want))
end

local house = pinery.house { length = 100, width = 50, drives = { { cloth = "energy cloth" } },
  lower_pipes = { length = 2 }, lamps = { { "led top lamps", power = 40 } } }
local open = pinery.strategy { screens = { { use = false } } }
local both = pinery.compare {
  weather = { typical = "Denver" }, house = house, options = { first_day = 30, days = 3, spin_up = 1 }, -- over 1 February
  { "open", open }, { "shut", open:with { screens = { { use = true } } } },
}
local tariff = { currency = "EUR", gas_price = 0.4, power_price = 0.15, gas_levy = 0.1, power_peak = 2, gas_standing = 730,
  light_value = 0.02, power_co2 = 0.3 }
local answer = pinery.money { both, tariff = tariff } -- runs it, with its hours
local a, b = both.open, both.shut
assert(answer.currency == "EUR" and answer.reference == "open" and #answer.cases == 2)
assert(answer.cases.shut == answer.cases[2] and answer.cases[1].name == "open" and answer.cases.shut.saving_of:find "open")
local one, two = answer.cases[1], answer.cases[2]

close(one.cost_per_m2.gas, 0.4 * a.gas_m3_per_m2)
close(one.cost_per_m2.gas_levy, 0.1 * a.gas_m3_per_m2)
close(one.cost_per_m2.power, 0.15 * a.electricity_kWh_per_m2)
close(one.power_by_use.power_lamps, 0.15 * a.electricity_lamps_kWh_per_m2)
close(one.cost_per_m2.gas_standing, 730 / 5000 * 3 / 365) -- of three days, shared by the house's floor
-- Two days of January and one of February: 2/31 of the one month's highest hour, 1/28 of the other's.
local function peak(from, to)
  local highest = 0
  for hour = from, to do
    local power = 0
    for _, meter in ipairs { "power_lamps", "power_pumps" } do
      power = power + a:hours("meter", meter)[hour] / 3.6
    end
    highest = math.max(highest, power)
  end
  return highest
end
close(one.cost_per_m2.power_peak, 2 * (peak(1, 48) * 2 / 31 + peak(49, 72) / 28))
close(one.co2_gas_kg_per_m2, 56.1e-3 * a.gas_MJ_per_m2) -- 56.1 kg/GJ of net value, on which the boiler is stated
close(one.co2_kg_per_m2, 56.1e-3 * a.gas_MJ_per_m2 + 0.3 * a.electricity_kWh_per_m2)
close(two.cost_per_m2.light, 0.02 * (a.light_mol_per_m2 - b.light_mol_per_m2))
assert(two.saving_by_item.light == -two.cost_per_m2.light)
close(two.saving_per_m2, one.cost_per_m2.total - two.cost_per_m2.total)
close(two.saving_percent, 100 * two.saving_per_m2 / one.cost_per_m2.total)
local sum = 0
for item, cost in pairs(one.cost_per_m2) do
  sum = sum + (item == "total" and 0 or cost)
end
close(sum, one.cost_per_m2.total)
assert(one.saving_per_m2 == 0 and one.npv_per_m2 == nil and one.payback_years == nil and two.npv_per_m2 == nil)
assert(answer.break_even.shut == two.break_even and answer.break_even.open == nil)
local text = answer:report()
assert(text:find "EUR per m2 of floor, against A" and text:find "of a run of 3.0 days, not of a year" and tostring(answer) == "study: money")
local path = os.tmpname()
assert(answer:save_json(path) and io.open(path):read "a":find '"saving_of":"all that is paid in open"')
os.remove(path)
for line in text:gmatch "[^\n]+" do
  assert(#line <= 108, line)
end

-- Against itself a run saves nothing, to the bit; against the other it is the other way round.
local back = pinery.money { both, tariff = tariff, reference = "shut" }
assert(back.cases.shut.saving_per_m2 == 0)
close(back.cases.open.saving_per_m2, -two.saving_per_m2)
local itself = pinery.money { a, a, tariff = tariff }
assert(itself.cases[2].saving_per_m2 == 0 and itself.cases[2].saving_percent == 0)

-- The same prices in other units and money, shown in the first.
local function with(more)
  local t = {}
  for key, value in pairs(tariff) do t[key] = value end
  for key, value in pairs(more) do t[key] = value end
  return pinery.money { both, tariff = t }
end
local kWh = 31.65e6 * 1.1112 / 3.6e6 -- gross, in a m3
close(with { gas_unit = "kWh gross", gas_price = 0.4 / kWh, gas_levy = 0.1 / kWh }.cases[2].saving_per_m2, two.saving_per_m2)
local dollars = with { show_currency = "USD", show_rate = 1.25 }
assert(dollars.currency == "USD" and dollars:report():find "1 is 1.25 USD")
close(dollars.cases[2].saving_per_m2, 1.25 * two.saving_per_m2)
local months, hours = {}, {}
for i = 1, 12 do months[i] = 0.4 end
for i = 1, 8760 do hours[i] = 0.15 end
close(with { gas_price = months, power_price = hours }.cases[2].saving_per_m2, two.saving_per_m2)
months[2] = 1.4 -- February costs more: one day of it is in the run
close(with { gas_price = months }.cases[1].cost_per_m2.gas - one.cost_per_m2.gas, a:month(2).meter.gas / 31.65, 1e-9)

-- Draws of the saving.
local drawn = pinery.money { both, tariff = tariff, invest = { life = 10, interest = 0.05, maintenance = 1 },
  draws = { shut = { 0.5, 1.5, 2, 3 } } }
assert(drawn.cases.shut.probability == 0.75 and drawn:report():find "above 0 in 75 %% of 4 draws")
local worth = drawn.cases.shut.npv_per_m2 -- with nothing to buy, what it may cost; none when it is worth less than nothing
assert(drawn.break_even.shut.investment == (worth > 0 and worth or nil))
assert(answer.units.gas_price == "EUR/m3" and answer.gas_unit == "m3" and answer.items[1].key == "gas" and #answer.items == 16)

-- Draws from a study of how sure, with the price of gas drawn as well: the savings are those of its draws.
local function sure(also)
  return assert(pinery.how_sure { weather = { typical = "Denver" }, house = house, options = { first_day = 30, days = 0.5, spin_up = 0 },
    reference = { "open", open }, other = { "shut", open:with { screens = { { use = true } } } }, runs = 4,
    inputs = { { "gas price", uniform = { 0.1, 0.9 } } }, also = also })
end
local study = sure(function(result, input) return { cost = input["gas price"] * result.gas_m3_per_m2 } end)
local pays = 0
for _, draw in ipairs(study.draws) do
  close(draw.difference.cost, draw.inputs["gas price"] * draw.difference.gas_m3_per_m2, 1e-9)
  pays = pays + (-draw.difference.cost > 0.01 and 1 or 0)
end
local chance = pinery.money { both, tariff = tariff, draws = { shut = study }, -- 0.01 a year for one year costs 0.01
  invest = { life = 1, interest = 0, maintenance = 0.01 } }.cases.shut.probability
assert(pays > 0 and chance == pays / 4, chance)
fails("money: draws: shut: the draws have no cost", pinery.money,
  { both, tariff = tariff, draws = { shut = sure(function() return {} end) } })

-- Wrong arguments.
fails("money.lua:%d+: money: shut: tariff: currency is missing", function()
  pinery.money { b, tariff = { gas_price = 1, power_price = 1 } }
end)
fails("money.lua:%d+: money: reference: there is no case other; there are open, shut", pinery.money,
  { both, tariff = tariff, reference = "other" })
fails("money: tariff is missing", pinery.money, { both })
fails("money: unknown field tarif; known are", pinery.money, { both, tarif = tariff })
fails("tariff: unknown field gas_prise %(did you mean gas_price%?%)", pinery.money, { both, tariff = { gas_prise = 1 } })
fails("gas_unit", with, { gas_unit = "kWh" })
fails("gas_price%[2%] is a string, expected a number", with, { gas_price = { 1, "x" } })
fails("gas_price has 3 values, expected 12, by month, or 8760", with, { gas_price = { 1, 2, 3 } })
fails("the run shut is of 0.0082%d* years; what an investment brings wants a run of a year", pinery.money,
  { both, tariff = tariff, invest = { price = 10 } })
fails("invest.cases: open is the reference", pinery.money, { both, tariff = tariff, invest = { cases = { open = { price = 1 } } } })
fails("invest: life = 0 a is outside", pinery.money, { both, tariff = tariff, invest = { life = 0 } })
fails("draws: shut is a number", pinery.money, { both, tariff = tariff, draws = { shut = 3 } })
fails("%[1%] is a number, expected a result", pinery.money, { 1, tariff = tariff })
fails("nothing to reckon", pinery.money, { tariff = tariff })
b:close()
fails("the result shut, is closed", pinery.money, { both, tariff = tariff })
print "money: all is well"
