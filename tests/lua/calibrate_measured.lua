-- label: long
-- The logged house (tests/measured/cucumber.lua) calibrated on its first six weeks and scored on the nine after them,
-- which the fit does not see. What is committed is what the model reaches, no claim of accuracy; the values found are
-- those of this house with all that the model lacks of it, not findings about crops or lamps.
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
  { "vent_area", 0.1, 0.01, 0.3, 0.110, ratio = true }, -- m2/m2 of one side; not published of this house
  { "wind_factor", 0.9, 0.3, 1.1, 0.363 }, -- one house among others
  { "transpiration_factor", 1, 0.4, 2.5, 0.793, ratio = true },
  { "resistance_night", 1000, 100, 3000, 181, ratio = true }, -- s/m
  { "inner_wall_u", 3.8, 0, 6, 1.57 }, -- W/(m2 K), of inner walls all round; 0: no neighbours
  { "neighbour", 20, 16, 26, 22.4 }, -- degC
  { "pipe_factor", 1, 0.7, 1.3, 0.894 }, -- on the length of both pipes
  { "lamp_radiation", 1, 0.2, 1.5, 0.291 }, -- on the near infrared and long wave of the lamps; the rest warms the air
}

local from_start = arg and arg[1] == "from-start"
local list = {}
for i, p in ipairs(parameters) do
  list[i] = {
    name = p[1], start = p[2], guess = not from_start and p[5] or nil, min = p[3], max = p[4], ratio = p.ratio,
  }
end

local lamp = pinery.preset("lamp", "sodium top lamps")
local function house(p)
  return case.house:with {
    walls = true, inner_wall_share = 1, inner_wall_u = p.inner_wall_u, neighbour = p.neighbour,
    neighbour_sun = 5, -- K at 1000 W/m2; not identifiable on the days learnt, common practice, no source
    pressure_span = 0, -- 10 m between inner walls
    leakage = p.leakage, vent_area = p.vent_area, wind_factor = p.wind_factor,
    crop = { transpiration_factor = p.transpiration_factor, resistance_night = p.resistance_night },
    lamps = {
      { "sodium top lamps", power = 117, photons = 1.6, light_share = 1.6 / 4.98,
        nir_share = p.lamp_radiation * lamp.nir_share, longwave_share = p.lamp_radiation * lamp.longwave_share },
    },
    lower_pipes = { length = p.pipe_factor * case.house.lower_pipes.length },
    upper_pipes = { length = p.pipe_factor * case.house.upper_pipes.length },
  }
end

local fit = pinery.fit {
  parameters = list, log = case.log, learn = { 233, 274 }, unseen = { 275, 339 },
  most_runs = from_start and 10 * #list or 0,
  case = function(p)
    return { weather = case.weather, house = house(p), strategy = case.strategy, options = { spin_up = 7 } }
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
-- of a day within 10 %. Whoever changes the physics changes the numbers here and says why.
local committed = {
  { "learnt", "air temperature", -1.00, 1.62, -0.03, 0.89 },
  { "learnt", "relative humidity", -0.20, 7.95, 0.61, 6.19 },
  { "learnt", "pipe heat", 0.188, 0.216, 0.015, 0.102 },
  { "unseen", "air temperature", -1.33, 1.95, 0.12, 1.02 }, -- the aim is just missed
  { "unseen", "relative humidity", 8.21, 11.30, 4.87, 7.04 }, -- the aim is not reached
  { "unseen", "pipe heat", 0.223, 0.261, -0.067, 0.153 },
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
  local told = { vent_area = true, wind_factor = true, inner_wall_u = true, neighbour = true, pipe_factor = true }
  assert(p.identified or not told[p.name], p.name .. " is not identified")
end
print "calibrate_measured: scores are as committed"
