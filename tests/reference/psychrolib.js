// Moist air against the npm package psychrolib, which follows the same chapter (ASHRAE 2017 Fundamentals ch. 1) as the
// library does: the same formulas, written by others. usage: node psychrolib.js PROGRAM FOLDER
//
// So what is a formula must agree to rounding, 1e-9. What is not:
// - dew point and wet bulb are found there by iteration that stops at 0.001 K: 0.002 K;
// - volumes take 1.607858 where the ratio of the molar masses, 0.621945, gives 1.607859: 2e-6;
// - a wet bulb from 0 to 0.01 degC has ice here and water there: left out;
// - below 1e-7 kg/kg it stops counting: no such row.
"use strict";
const fs = require("fs"), path = require("path"), { execFileSync } = require("child_process");
const [program, folder] = process.argv.slice(2);
const where = path.resolve(folder, "node_modules", "psychrolib");
if (!fs.existsSync(where)) {
  console.log(`SKIPPED: the npm package psychrolib is not in ${folder}; '.ci/setup tests' fetches it`);
  process.exit(77);
}
const other = require(where);
other.SetUnitSystem(other.SI);

const [head, ...lines] = execFileSync(program, { encoding: "utf8" }).trim().split("\n");
const names = head.split(",");
let faults = 0, compared = 0;
const worst = {};
for (const line of lines) {
  const row = Object.fromEntries(line.split(",").map((text, i) => [names[i], Number(text)]));
  const { temperature: t, humidity, pressure } = row;
  const look = (name, want, relative, absolute) => {
    const off = Math.abs(row[name] - want), allowed = relative * Math.abs(want) + absolute;
    compared++;
    worst[name] = Math.max(worst[name] || 0, relative > 0 && want ? off / Math.abs(want) : off);
    if (!(off <= allowed)) {
      faults++;
      console.log(`${name} at ${t} degC, ${humidity}, ${pressure} Pa: ${row[name]}, there ${want}, allowed ${allowed}`);
    }
  };
  const ratio = other.GetHumRatioFromRelHum(t, humidity, pressure);
  look("saturation", other.GetSatVapPres(t), 1e-9, 0);
  look("vapour", other.GetVapPresFromRelHum(t, humidity), 1e-9, 0);
  look("ratio", ratio, 1e-9, 0);
  look("enthalpy", other.GetMoistAirEnthalpy(t, ratio), 1e-9, 1e-6);
  look("deficit", other.GetVaporPressureDeficit(t, ratio, pressure), 0, 1e-6);
  look("density", other.GetMoistAirDensity(t, ratio, pressure), 2e-6, 0);
  look("dew_point", other.GetTDewPointFromRelHum(t, humidity), 0, 2e-3);
  if (!(row.wet_bulb > -0.01 && row.wet_bulb < 0.02))
    look("wet_bulb", other.GetTWetBulbFromRelHum(t, humidity, pressure), 0, 2e-3);
}
console.log(`${lines.length} states, ${compared} values, ${faults} faults; furthest off:`, worst);
process.exit(faults || lines.length < 100 ? 1 : 0);
