-- Cloths by more than the table of a strategy can say: rules that ask for a cloth, and a drive that follows them.
--   pinery.cloth { drive = 1, ask = { pinery.ask_table(), pinery.ask_clear_sky() } }
-- An asking rule is { why =, asks = function(seen, was, run) }, `was` being its last answer, so each brings its own band
-- and none chatters. The numbers they start from are common practice, no source.
local pinery, inner = ...
local take, on_drive = inner.take, inner.on_drive

-- Value at x of a line through points; beyond the ends the values there.
local function between(xs, ys, x)
  if x <= xs[1] then
    return ys[1]
  end
  for i = 2, #xs do
    if x < xs[i] then
      return ys[i - 1] + (ys[i] - ys[i - 1]) * (x - xs[i - 1]) / (xs[i] - xs[i - 1])
    end
  end
  return ys[#ys]
end

-- Hours of the clock, over midnight where `from` is later than `to`.
local function within(hour, from, to)
  if from <= to then
    return hour >= from and hour < to
  end
  return hour >= from or hour < to
end
inner.within = within

-- Asks while global radiation is below a value by outside temperature; never when it is warmer outside than the last.
function pinery.ask_table(given)
  local v = take("ask_table", given, { outside = { 0, 5, 10, 14 }, light = { 200, 150, 75, 5 }, light_band = 20, outside_band = 0.5 })
  if type(v.outside) ~= "table" or type(v.light) ~= "table" or #v.outside < 2 or #v.outside ~= #v.light then
    error(string.format("%s: ask_table: outside and light are lists of the same length, two or more", pinery.where()), 0)
  end
  for i = 2, #v.outside do
    if not (v.outside[i] > v.outside[i - 1]) then
      error(string.format("%s: ask_table: outside[%d] = %s degC is not above the one before it", pinery.where(), i,
        tostring(v.outside[i])), 0)
    end
  end
  return {
    why = "dark for how cold it is",
    asks = function(seen, was)
      local outside, light = seen.outside - (was and v.outside_band or 0), seen.outside_global - (was and v.light_band or 0)
      return outside < v.outside[#v.outside] and light < between(v.outside, v.light, outside)
    end,
  }
end

-- Asks while the heat it saves is worth more than the light it takes. `saved` W/m2K of what the cloth saves, `gas_price`
-- for 1 m3 and `gas_heat` MJ bought with it; the crop gets `light` mol for 1 MJ of global radiation, of which the cloth
-- takes a share; the money of both is the same. A move must be worth `band` of the value.
function pinery.ask_saving(given)
  local v = take("ask_saving", given, { saved = 3, gas_price = 0.4, gas_heat = 31.65, light = 1.36, light_lost = 0.2,
    light_value = 0.008, band = 0.2 })
  return {
    why = "heat worth more than light",
    asks = function(seen, was)
      local heat = v.saved * (seen.air_seen - seen.outside) * v.gas_price / v.gas_heat
      local light = seen.outside_global * v.light * v.light_lost * v.light_value
      return heat > 0 and heat > light * (was and 1 - v.band or 1 + v.band)
    end,
  }
end

-- Asks at night while more than `above` W/m2 goes from a black level face at outside temperature to the sky, however mild
-- it is: a clear sky cools the heads of the plants.
function pinery.ask_clear_sky(given)
  local v = take("ask_clear_sky", given, { above = 90, band = 15, light = 5 })
  return {
    why = "clear sky",
    asks = function(seen, was)
      local net = 5.670374419e-8 * (seen.outside + 273.15) ^ 4 - seen.outside_infrared -- CODATA 2018
      return seen.outside_global < v.light + (was and 5 or 0) and net > v.above - (was and v.band or 0)
    end,
  }
end

-- Asks at night while it is colder outside than `below`, and in daylight up to `light`.
function pinery.ask_cold_night(given)
  local v = take("ask_cold_night", given, { below = 14, light = 5, light_band = 5, outside_band = 0.5 })
  return {
    why = "cold night",
    asks = function(seen, was)
      return seen.outside < v.below + (was and v.outside_band or 0) and seen.outside_global < v.light + (was and v.light_band or 0)
    end,
  }
end

-- Asks for shade while the sun is over `above` W/m2 and the air of the house could take up more than `deficit` g/m3 of vapour:
-- in moist air leaves stand the sun.
function pinery.ask_shade(given)
  local v = take("ask_shade", given, { above = 500, light_band = 75, deficit = 8, deficit_band = 1.5 })
  return {
    why = "strong sun and dry air",
    asks = function(seen, was)
      return seen.outside_global > v.above - (was and v.light_band or 0)
        and seen.humidity_deficit > v.deficit - (was and v.deficit_band or 0)
    end,
  }
end

-- Asks between two hours of the clock, or with `sun` so many hours after sunset and sunrise.
function pinery.ask_hours(given)
  local v = take("ask_hours", given, { from = 18, to = 7, sun = false })
  return {
    why = "its hours",
    asks = function(seen)
      return within(seen.hour, v.sun and seen.sunset + v.from or v.from, v.sun and seen.sunrise + v.to or v.to)
    end,
  }
end

-- Asks all day when the day, as the weather ahead has it at sunrise, brings less than `sum` MJ/m2 of global radiation and
-- it is then colder outside than `below`: a transparent cloth is left drawn rather than opened for little light.
function pinery.ask_dark_day(given)
  local v = take("ask_dark_day", given, { sum = 3, below = 5 })
  return {
    why = "a dark cold day",
    asks = function(seen, was, run)
      if not (seen.hour >= seen.sunrise and seen.hour < seen.sunset) then
        return false
      end
      local m = run.memory.dark_day or {}
      if m.day ~= seen.day then
        local sum = 0
        for h = 0, math.ceil(seen.sunset - seen.hour) - 1 do
          sum = sum + 0.0036 * run:ahead("global", h + 0.5)
        end
        m = { day = seen.day, sum = sum, outside = seen.outside }
        run.memory.dark_day = m
      end
      return m.sum < v.sum and m.outside < v.below
    end,
  }
end

local function any_drawn(orders)
  for i = 1, #orders.cloth do
    if orders.cloth[i] > 0 then
      return true
    end
  end
  return false
end
inner.any_drawn = any_drawn

-- A drive that is drawn while any of the rules in `ask` asks for it, not moved within `pause` s of its last move, nor
-- drawn more than `most_a_day` times. It opens by a `chink`, after `chink_wait` s by `step` every `step_wait` s, so that
-- cold air does not fall on the crop at once, and begins to when the air over it is no more than `within` K colder than
-- the house, in more than `sun` W/m2, or `hold` s after the last rule asked for it. `after`: the drive that is drawn before
-- this one and opened after it. Snow parks it.
function pinery.cloth(given)
  local v = take("cloth", given, { drive = 1, ask = {}, pause = 900, most_a_day = 6, drawn = 1, chink = 1, chink_wait = 900,
    step = 0.2, step_wait = 300, within = 100, sun = 100, hold = 7200, after = false })
  -- The table asks for the cloth all the time, save in snow; below it is said when not. It asks for a little less of it, so
  -- that a drawn cloth is seen to be drawn by a rule and for its reason.
  local block = on_drive(v.drive, { close_below_light = 1500, close_below_outside = 60, pause = 0, drawn = 0.9999 * v.drawn })
  for i, rule in ipairs(v.ask) do
    if type(rule) ~= "table" or type(rule.asks) ~= "function" then
      error(string.format("%s: cloth: ask[%d] is no asking rule, such as pinery.ask_table()", pinery.where(), i), 0)
    end
  end
  local function wanted(seen, m, run)
    local why
    for i, rule in ipairs(v.ask) do
      m.was[i] = rule.asks(seen, m.was[i], run)
      why = why or m.was[i] and rule.why
    end
    return why
  end
  function block.control(seen, orders, run)
    local key, d = "cloth_" .. v.drive, v.drive
    local m = run.memory[key]
    if not m then
      m = { was = {}, position = 0, moved_s = -math.huge, asked_s = -math.huge, day = seen.day, moves = 0 }
      run.memory[key] = m
    end
    if m.day ~= seen.day then
      m.day, m.moves = seen.day, 0
    end
    local why, now, most = wanted(seen, m, run), seen.time_s, orders.cloth[d] > 0 and v.drawn or 0
    local first = v.after and run.memory["cloth_" .. v.after]
    if v.after then
      run.memory["over_" .. v.after] = key
    end
    if first and not first.wanted then
      why = nil -- the one that was drawn before it is about to open
    end
    m.wanted, m.asked_s = why ~= nil, why and now or m.asked_s
    local waited = now - m.moved_s
    if most == 0 then
      if m.position > 0 then
        m.position, m.moved_s = 0, now
      end
    elseif why then
      local may = not v.after or seen["cloth_" .. v.after] > 0.9
      if m.position < most and may and waited >= v.pause and m.moves < v.most_a_day then
        m.position, m.moved_s, m.moves, m.why = most, now, m.moves + 1, why
      end
    elseif m.position > 0 then
      local over = run.memory["over_" .. d]
      local begins = m.position >= most
      local calm = seen.air_seen - seen.air_roof <= v.within or seen.outside_global > v.sun or now - m.asked_s >= v.hold
      if begins and waited >= v.pause and calm and (not over or seen[over] < 0.01) then
        m.position, m.moved_s, m.chink = math.max(0, most - v.chink), now, true
      elseif not begins and waited >= (m.chink and v.chink_wait or v.step_wait) then
        local left = m.position - v.step
        m.position, m.moved_s, m.chink = left > 1e-6 and left or 0, now, false
      end
    end
    if most > 0 then
      orders:because(why or m.why and "no longer: " .. m.why or "no rule asks for the cloth")
      orders.cloth[d] = m.position
      if not any_drawn(orders) then
        orders.vent_lee.low, orders.vent_wind.low, orders.fan_through = 0, 0, 0
      end
    end
  end
  return block
end

-- Blocks one after the other: what each sets, and each control function on what the one before it ordered.
function pinery.in_turn(blocks)
  local controls, all = {}, {}
  for i, block in ipairs(blocks) do
    if type(block) ~= "table" and type(block) ~= "function" then
      error(string.format("%s: in_turn: [%d] is a %s, expected a block", pinery.where(), i, type(block)), 0)
    end
    local fields = {}
    for key, value in pairs(type(block) == "table" and block or {}) do
      fields[key] = key ~= "control" and value or nil
    end
    all[i] = fields
    controls[#controls + 1] = type(block) == "function" and block or block.control
  end
  if #controls > 0 then
    function all.control(seen, orders, run)
      for i = 1, #controls do
        controls[i](seen, orders, run)
      end
    end
  end
  return all
end
