-- Charts and the page: what is plotted adds up to the results, and no name of a script becomes markup or a command.
local pinery = require "pinery"

local function fails(pattern, f, ...)
  local ok, message = pcall(f, ...)
  assert(not ok and message:find(pattern), tostring(message) .. "\ndoes not match " .. pattern)
end

local function near(got, want, share, absolute)
  assert(math.abs(got - want) <= share * math.abs(want) + (absolute or 0), got .. " is not " .. want)
end

local folder = os.tmpname()
os.remove(folder)
assert(os.execute("mkdir '" .. folder .. "'"))

local evil = "<script>alert(1)</script> & \"it's\" `touch " .. folder .. "/trap`"
local other = "</script><b onclick='x()'>$(touch " .. folder .. "/trap)\n%s\\ \u{e9}"
local house = pinery.house { cover = "single film", drives = { { cloth = "energy cloth" } }, lower_pipes = { length = 1.5 },
  lamps = { { "sodium top lamps", power = 60 } }, through_fans = { flow = 0.5, area = 200, power = 150 } }
local usual = pinery.strategy { pinery.lamp_hours { from = 3, to = 9 } }
local function compare(names, days)
  return pinery.compare { weather = { typical = "Denver" }, house = house,
    options = { days = days, spin_up = 0.5, first_day = 30, keep_hours = true },
    { names[1], usual:with { pinery.humidity_slit { most = 0.2 } } }, { names[2], usual:with { pinery.shut_with_fans {} } } }
end
local both = assert(compare({ evil, other }, 3):run())

-- The block of that name in a chart's script, as rows of numbers.
local function block(chart, name, run)
  local script = assert(both:chart { chart, run = run, as = "gnuplot" })
  local text = script:match("%$" .. name .. " << PINERY_END\n(.-)PINERY_END")
  assert(text, chart .. " has no block " .. name)
  local rows = {}
  for line in text:gmatch "[^\n]+" do
    local row = {}
    for word in line:gsub('"[^"]*"', ""):gmatch "%S+" do
      row[#row + 1] = tonumber(word) or word
    end
    rows[#rows + 1] = row
  end
  return rows
end

for i = 1, 2 do
  local result = both[i]
  local gas, power = 0, 0
  for _, row in ipairs(block("months", "months")) do
    gas, power = gas + row[1 + i], power + row[3 + i]
  end
  near(gas, result.gas_m3_per_m2, 1e-7)
  near(power, result.electricity_kWh_per_m2, 1e-7)
  local weeks = block("weeks", "weeks")
  near(weeks[#weeks][1 + i], result.gas_m3_per_m2, 1e-7)
  near(weeks[#weeks][3 + i], result.gas_m3_per_m2 - both[1].gas_m3_per_m2, 1e-6, 1e-9)
  local area, curve = 0, block("duration", "duration" .. i)
  for k = 2, #curve do
    area = area + curve[k - 1][2] * (curve[k][1] - curve[k - 1][1])
    assert(k == #curve or curve[k][2] <= curve[k - 1][2])
  end
  near(area * 0.0036, result.heat_MJ_per_m2, 1e-6)
  near(curve[1][2], result.peak_hour_W_per_m2, 1e-6)
  local over = {}
  for _, row in ipairs(block("humidity", "over")) do
    over[row[1]] = row[2 * i] + row[2 * i + 1]
  end
  for _, limit in ipairs { 85, 90, 95 } do
    near(over[limit], result["hours_humidity_over_" .. limit], 1e-7, 1e-7)
  end
  for _, row in ipairs(block("humidity", "under")) do
    if row[1] == 200 then
      near(row[2 * i] + row[2 * i + 1], result.hours_vapour_deficit_under_200, 1e-7, 1e-7)
    end
  end
  -- Bands of the flow pictures: as much in as out with what the house kept, and some headings that have one of their own.
  for _, flow in ipairs { { "heat", result.heat }, { "water", result.water } } do
    local into, out, bands = 0, 0, {}
    for _, row in ipairs(block(flow[1], "in", i)) do
      into = into + row[1]
    end
    for _, row in ipairs(block(flow[1], "out", i)) do
      out = out + row[1]
    end
    near(into, out, 1e-7)
    for _, heading in ipairs(flow[1] == "heat" and { "heat_lower", "fan_heat", "wall_out", "vents" }
      or { "water_supply", "vents", "leakage", "run_off" }) do
      bands[heading] = math.abs(flow[2](result, heading))
      local found = bands[heading] == 0
      for _, side in ipairs { "in", "out" } do
        for _, row in ipairs(block(flow[1], side, i)) do
          found = found or math.abs(row[1] - bands[heading]) <= 1e-7 * bands[heading]
        end
      end
      assert(found, flow[1] .. ": no band is as large as " .. heading)
    end
  end
  local mean, n = 0, 0
  for _, row in ipairs(block("map", "humidity", i)) do
    for _, value in ipairs(row) do
      mean, n = mean + value, n + 1
    end
  end
  assert(n == 72)
end

-- Drawings hold the names as text, and nothing was run.
for _, chart in ipairs { "months", "weeks", "duration", "humidity", "day", "map", "heat", "water" } do
  local svg = assert(both:chart { chart })
  assert(svg:find "^<%?xml" and svg:find "</svg>%s*$" and not svg:find "<script" and not svg:find "<b ", chart)
end
assert(both:chart({ "months" }):find("&lt;script", 1, true))
fails('no chart "pie"; known are months, weeks,', both.chart, both, { "pie" })
assert(not both:chart { "heat", run = 3 })
assert(both:chart({ "day", as = "png" }):find "^\x89PNG" and both:chart({ "day", as = "pdf" }):find "^%%PDF")
assert(both[2]:chart({ "heat" }):find "</svg>")

-- The page: elements are those of the page alone, and the numbers in it are the results.
local file = folder .. "/page.html"
local ok, message = both:page { file = file, title = evil, notes = { evil } }
assert(ok, message)
local handle = assert(io.open(file, "rb"))
local text = handle:read "a"
handle:close()
assert(#text < 3e6)
local _, scripts = text:gsub("<script", "")
assert(scripts == 3, scripts .. " script elements")
assert(not text:find("alert(1)<", 1, true) and not text:find("<b onclick", 1, true))
assert(text:find("&lt;script&gt;alert(1)&lt;/script&gt; &amp; &quot;it&#39;s&quot;", 1, true))
for _, address in text:gmatch '%f[%w](src)=["\'](.-)["\']' do
  assert(address:find "^data:", "the page loads " .. address)
end
assert(not text:find("<link", 1, true) and not text:find("@import", 1, true) and not text:find('href="http', 1, true))
for _, part in ipairs { "Snow", "Structure", "Fire", "Flue gas", "Electricity", "not a design certificate", "checksum",
  "Permission is hereby granted", "The numbers", "Assumptions", "Sources", "The whole input" } do
  assert(text:find(part, 1, true), "the page has no " .. part)
end
local function shown(value, decimals)
  local text = string.format("%." .. decimals .. "f", value)
  return tonumber(text) == 0 and text:gsub("-", "") or (text:gsub("-", "−"))
end
local row = text:match '<tr><th scope="row">gas <.-</tr>'
local cells = {}
for cell in row:gmatch "<td>(.-)</td>" do
  cells[#cells + 1] = cell
end
local a, b = both[1].gas_m3_per_m2, both[2].gas_m3_per_m2
assert(cells[1] == shown(a, 2) and cells[2] == shown(b, 2), row)
assert(cells[3]:gsub("+", "") == shown(b - a, 2) and cells[4]:gsub("+", "") == shown(100 * (b - a) / a, 1), row)

-- The hours embedded for the moving charts, at their scale, add up to the results.
local data = text:match '<script type="application/json" id="hours%-data">(.-)</script>'
local lines = data:match('"title":"Heat from the boiler".-"lines":%[(.-})%]')
local run = 0
for values in lines:gmatch '"values":%[(.-)%]' do
  run = run + 1
  local sum, hours = 0, 0
  for value in values:gmatch "[^,]+" do
    sum, hours = sum + tonumber(value), hours + 1
  end
  near(sum * 0.0036, both[run].heat_MJ_per_m2, 0, 0.0036 * 0.5 * hours)
end
assert(run == 2)

-- A against A: as much, and no difference anywhere.
local same = pinery.compare { weather = { typical = "Denver" }, house = house, options = { days = 1, spin_up = 0.5 },
  { "a", usual }, { "b", usual } }
ok, message = same:page { file = file } -- it is run here, with its hours
assert(ok, message)
handle = assert(io.open(file, "rb"))
text = handle:read "a"
handle:close()
assert(text:find("as much gas and as much electricity as", 1, true))
assert(text:find "Nothing that went in differs")

-- Studies stand in their sections, their names as text and their sums as they are.
local why = assert(pinery.explain { weather = { typical = "Denver" }, house = house, strategy = usual,
  options = { days = 1, spin_up = 0.5, first_day = 30 }, reference = evil, other = other,
  parts = { { evil, house = { leakage = 4e-4 } }, { "warm & <i>", strategy = { hold_coldest = true } } } })
local function spread(a)
  return { median = a, low80 = a - 1, high80 = a + 1, low95 = a - 2, high95 = a + 2 }
end
ok, message = both:page { file = file, figures = folder, why,
  sure = { n = 64, results = { gas_m3_per_m2 = spread(-3.25) }, inputs = { { name = evil, share = 0.625 } } },
  money = { currency = "<EUR>", reference = evil, cases = { { name = evil, cost_per_m2 = { gas = 11.25, total = 11.25 } },
    { name = other, cost_per_m2 = { gas = 10.5, total = 10.5 }, saving_per_m2 = 0.75, payback_years = 6.5 } },
    break_even = { [other] = { gas_price = "</td><script>" } } },
  sizing = { limit = 85, hours_allowed = 100, capacity = 7.125, units_per_ha = 28.5, kW_per_ha = 5.75, curve = {
    { capacity = 0, hours = { [85] = 812, ["<b>"] = 3 }, kWh = 0, gas = 30 },
    { capacity = 10, hours = { [85] = 61, ["<b>"] = 2 }, kWh = 1.5, gas = 31 } } } }
assert(ok, message)
handle = assert(io.open(file, "rb"))
text = handle:read "a"
handle:close()
_, scripts = text:gsub("<script", "")
assert(scripts == 3 and not text:find("<b onclick", 1, true))
assert(not text:find("warm & <i>", 1, true) and text:find("warm &amp; &lt;i&gt;", 1, true))
assert(text:find("four runs in five put the difference in gas between −4.25 and −2.25", 1, true))
assert(text:find("saves 0.75 &lt;EUR&gt;/m² in 3 days", 1, true))
for _, part in ipairs { "7.12", "28.5 units per hectare", "812", ">6.5<", ">11.25<", "Shapley" } do
  assert(text:find(part, 1, true), "the page has no " .. part)
end
local sum = why.values.reference.gas_m3_per_m2
for _, part in ipairs(why.parts) do
  local share = part.results.gas_m3_per_m2
  sum = sum + share
  local sign = math.abs(share) < 0.005 and "" or share < 0 and "−" or "+"
  assert(text:find(string.format(">%s%.2f<", sign, math.abs(share)), 1, true), share)
end
near(sum, why.values.other.gas_m3_per_m2, 1e-9)
for _, name in ipairs { "why.svg", "paths.pdf", "sure.png", "inputs.svg", "money.pdf", "sizing.png" } do
  assert(io.open(folder .. "/" .. name), name):close()
end

-- A study by itself has a page too.
local size = assert(pinery.size { weather = { typical = "Denver" }, house = house, strategy = usual, limits = { 85, 90 },
  options = { days = 1, spin_up = 0.5 }, limit = 90, hours_allowed = 24, most = 10, step = 10, points = 1 })
for _, study in ipairs { why, size } do
  ok, message = study:page { file = file, title = evil, notes = { other } }
  assert(ok, message)
  handle = assert(io.open(file, "rb"))
  text = handle:read "a"
  handle:close()
  assert(not text:find("<script", 1, true) and not text:find("<b onclick", 1, true) and text:find("Snow", 1, true))
  assert(text:find("structure_shade = 0.08", 1, true) and text:find("close_below_light = 5", 1, true)
    and text:find("first_day = 1", 1, true) and text:find("tolerance = 0.1", 1, true) and text:find(", checksum ", 1, true))
end

-- Every caution has its place on the page, in the README and in what is printed.
handle = assert(io.open("../../README.md"))
local readme = handle:read "a"
handle:close()
for on_page, elsewhere in pairs { Snow = "Snow", Structure = "Structure", Fire = "Fire", Electricity = "Electricity",
  ["Flue gas and carbon dioxide"] = "Gas and carbon dioxide", ["Fans and machines"] = "Fans and machines",
  ["Glass and vents"] = "Glass and vents", ["Light at night"] = "Light at night", People = "Heat and damp for people" } do
  assert(text:find("<b>" .. on_page .. ".</b>", 1, true), on_page)
  assert(readme:find("- **" .. elsewhere .. ".**", 1, true), elsewhere)
end
local printed = both:report()
for _, word in ipairs { "design certificate", "licensed engineers and the insurer", "Snow", "load the structure", "fire", "forecast of disease",
  "forecast of yield" } do
  assert(printed:gsub("%s+", " "):find(word, 1, true), word)
end
assert(text:find("Nothing is needed to keep the hours over 90 % to 24", 1, true))

fails("page: file is a nil", both.page, both, {})
fails("page: unknown field colour; known are file", both.page, both, { file = file, colour = 1 })
fails("page: why is a number, expected a table", both.page, both, { file = file, why = 1 })
fails("page: value 1 is a string, expected a study", both.page, both, { "title", file = file })
ok, message = both:page { file = folder .. "/absent/page.html" }
assert(not ok and message:find "absent", message)
local without = assert(pinery.compare { weather = { typical = "Denver" }, house = house,
  options = { days = 1, spin_up = 0.5 }, { "a", usual } }:run())
ok, message = without:page { file = file }
assert(not ok and message:find "hours of a were not kept", message)

assert(both:save_figures(folder))
for _, name in ipairs { "months.svg", "weeks.png", "map-2.pdf", "water-1.svg", "day.pdf" } do
  assert(io.open(folder .. "/" .. name)):close()
end
assert(not io.open(folder .. "/trap") and not io.open(file .. ".part"))
assert(os.execute("rm -r '" .. folder .. "'"))
