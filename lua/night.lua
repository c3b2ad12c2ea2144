-- Houses at rest side by side, as text: pinery.night_table and the word night of the command.
local pinery = ...

local ways = {
  { "sky", "out_longwave" }, { "wind", "out_convection" }, { "walls", "out_walls" }, { "air", "out_air" },
  { "vapour", "out_vapour" }, { "ground", "out_ground" }, { "water", "out_water" },
}

-- pinery.night_table { { "name", answer }, ... }, the answers from pinery.steady: heat, U-values, and the share of every
-- way out in per cent of the heat.
function pinery.night_table(rows)
  local out, width = {}, 4
  for i, row in ipairs(rows) do
    if type(row) ~= "table" or type(row[1]) ~= "string" or type(row[2]) ~= "table" or not row[2].heat then
      error(pinery.where() .. ": night_table: row " .. i .. " is not { \"name\", pinery.steady { ... } }", 0)
    end
    width = math.max(width, #row[1])
  end
  local line = string.rep(" ", width) .. "       heat  per cover    U floor    U cover    U tight"
  local units = string.rep(" ", width) .. "       W/m2       W/m2   W/(m2 K)   W/(m2 K)   W/(m2 K)"
  for _, way in ipairs(ways) do
    line, units = line .. string.format("%8s", way[1]), units .. "       %"
  end
  out[1], out[2] = line, units
  for _, row in ipairs(rows) do
    local answer = row[2]
    line = string.format("%-" .. width .. "s%11.1f%11.1f%11.2f%11.2f%11.2f", row[1], answer.heat, answer.heat_per_cover,
      answer.U_floor, answer.U_cover, answer.U_tight)
    for _, way in ipairs(ways) do
      line = line .. string.format("%8.1f", 100 * answer[way[2]] / answer.heat)
    end
    if not answer.held then
      line = line .. string.format("  (air at %.1f degC)", answer.reading.air_seen)
    end
    out[#out + 1] = line
  end
  return table.concat(out, "\n") .. "\n"
end

-- pinery.night({ { "name", house }, ... }, conditions): every house with its cloths parked, and drawn from the lowest up.
function pinery.night(houses, conditions)
  local rows = {}
  for _, pair in ipairs(houses) do
    local drives = #pair[2].drives
    for drawn = 0, drives do
      local with = {}
      for key, value in pairs(conditions) do
        with[key] = value
      end
      with.house = pair[2]
      for drive = 1, drawn do
        with["cloth_" .. drive] = 1
      end
      local answer, message = pinery.steady(with)
      if not answer then
        return nil, pair[1] .. ": " .. message
      end
      local what = drives == 0 and "" or drawn == 0 and ", parked" or drawn == 1 and ", drawn" or ", " .. drawn .. " drawn"
      rows[#rows + 1] = { pair[1] .. what, answer }
    end
  end
  return pinery.night_table(rows)
end
