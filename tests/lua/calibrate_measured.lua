-- label: long
-- The logged house (tests/measured/cucumber.lua) calibrated on its first six weeks and scored on the nine after them,
-- which the fit does not see. What is committed is what the model reaches, no claim of accuracy; the values found are
-- those of this house with all that the model lacks of it, not findings about crops or lamps.
--
-- Which parameters are free rests on the six weeks, each of them left out in turn: see DEVELOPERS.md.
--
-- The search begins at the values committed below, so it is short; it may not find much better ones, and must say the
-- same of what the log tells. `calibrate_measured.lua from-start` searches from the generic values, and takes longer;
-- PINERY_FIGURE=file.svg draws it.
local pinery = require "pinery"

local case = dofile "../measured/cucumber.lua"
if not case then
  os.exit(77)
end

-- name, generic value, bounds, the value found. Bounds: what handbooks have, or common practice, no source.
local parameters = {
  { "leakage", 1e-4, 1e-5, 5e-4, 5e-4, ratio = true }, -- m3/(m2 s) per m/s
  { "vent_area", 0.1, 0.01, 0.3, 0.107, ratio = true }, -- m2/m2 of one side; not published of this house
  { "wind_factor", 0.9, 0.3, 1.1, 0.432 }, -- one house among others
  { "resistance_night", 1000, 100, 3000, 145, ratio = true }, -- s/m
  { "inner_wall_u", 3.8, 0, 6, 2.78 }, -- W/(m2 K), of inner walls all round; 0: no neighbours
  { "neighbour", 20, 16, 26, 21.35 }, -- degC, by night
  { "neighbour_day", 0, -10, 10, 2.38 }, -- K, warmer by day: a room run for a crop too is asked so
  { "pipe_factor", 1, 0.7, 1.3, 0.899 }, -- on the length of both pipes
  { "leaf_early", 1, 0.3, 3, 2.05, ratio = true }, -- m2/m2, two weeks after planting; at planting 0.3 of it
  { "leaf_full", 3.2, 1, 5, 1.953, ratio = true }, -- m2/m2, once the crop is full grown
}

local from_start = arg and arg[1] == "from-start"
local list = {}
for i, p in ipairs(parameters) do
  list[i] = {
    name = p[1], start = p[2], guess = not from_start and p[5] or nil, min = p[3], max = p[4], ratio = p.ratio,
  }
end

local function house(p)
  return case.house:with {
    walls = true, inner_wall_share = 1, inner_wall_u = p.inner_wall_u, neighbour = p.neighbour, neighbour_day = p.neighbour_day,
    neighbour_sun = 5, -- K at 1000 W/m2; not identifiable on the days learnt, common practice, no source
    pressure_span = 0, -- 10 m between inner walls
    leakage = p.leakage, vent_area = p.vent_area, wind_factor = p.wind_factor,
    crop = {
      resistance_night = p.resistance_night,
      calendar = { -- of the shape that tests/measured/cucumber.lua has
        [226] = 0.3 * p.leaf_early, [240] = p.leaf_early, [260] = p.leaf_early + 9 / 11 * (p.leaf_full - p.leaf_early),
        [275] = p.leaf_full, [341] = p.leaf_full,
      },
    },
    lower_pipes = { length = p.pipe_factor * case.house.lower_pipes.length },
    upper_pipes = { length = p.pipe_factor * case.house.upper_pipes.length },
  }
end

local fit = pinery.fit {
  parameters = list, log = case.log, learn = { 233, 274 }, unseen = { 275, 339 },
  most_runs = from_start and 10 * #list or 0,
  case = function(p)
    return { weather = case.weather, house = house(p), strategy = case.strategy, options = { spin_up = 7, tolerance = 0.03 } }
  end,
  measured = {
    { column = "air_degC", name = "air temperature", unit = "°C", model = "air_seen", scale = 1 },
    { column = "rh_pct", name = "relative humidity", unit = "%", model = case.humidity, scale = 6 },
    { column = "pipe_heat_MJ_m2", name = "pipe heat", unit = "MJ/m²", log = case.daily, total = true,
      model = case.pipe_heat, scale = 0.15 }, -- a tenth of the mean day
  },
}
print(fit:report())
local water = fit.after.result:water "transpiration"
print(string.format("transpired %.1f kg/m2 on all days", water))

local picture = os.getenv "PINERY_FIGURE"
if picture then
  assert(fit:figure {
    file = picture, zoom = { 310, 316 },
    title = "A logged cucumber compartment: calibrated on six weeks, the rest unseen",
    against = {
      { column = "wind_m_s", name = "wind, m/s" },
      { column = "net_sky_longwave_W_m2", name = "net long wave of the sky, W/m²" },
      { column = "rh_pct", name = "measured relative humidity, %" },
    },
  })
end

-- Bias and RMSE before, bias and RMSE after. The aim for the unseen days: air under 1.0 K, humidity under 6 %, pipe heat
-- of a day within 10 % (10.06 since long wave follows wet cloths closely and the soil has 14 layers). Whoever changes the physics changes the numbers here and says why.
local committed = {
  { "learnt", "air temperature", -0.80, 1.41, -0.01, 0.79 },
  { "learnt", "relative humidity", -0.76, 7.81, 0.10, 3.72 },
  { "learnt", "pipe heat", 0.180, 0.208, 0.018, 0.099 },
  { "unseen", "air temperature", -1.23, 1.83, -0.16, 1.00 },
  { "unseen", "relative humidity", 8.05, 11.07, 2.37, 5.50 },
  { "unseen", "pipe heat", 0.213, 0.252, -0.079, 0.153 },
}
if from_start then -- it ends elsewhere in the same flat valley, to a few per cent of the scores
  print "calibrate_measured: searched from the generic values; nothing is compared"
  os.exit(0)
end
for _, want in ipairs(committed) do
  local days, name = want[1], want[2]
  local function near(what, got, bias, rmse)
    if not (math.abs(got.bias - bias) <= 0.1 * rmse and math.abs(got.rmse - rmse) <= 0.1 * rmse) then
      error(string.format("%s, %s, %s: bias %.3f and RMSE %.3f, committed %.3f and %.3f", days, name, what, got.bias,
        got.rmse, bias, rmse))
    end
  end
  near("generic", fit.before[days][name], want[3], want[4])
  near("calibrated", fit.after[days][name], want[5], want[6])
end
assert(fit.settled and fit.score > 0.95 * fit.score_before, "better values are there to be found")
-- What six weeks of late summer tell, and what they do not: the rest stays at its generic value.
for _, p in ipairs(fit.parameters) do
  local told = { vent_area = true, wind_factor = true, inner_wall_u = true, pipe_factor = true, leaf_early = true,
    leaf_full = true }
  assert(p.identified or not told[p.name], p.name .. " is not identified")
end
print "calibrate_measured: scores are as committed"
