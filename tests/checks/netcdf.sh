#!/bin/sh
# The hours as NetCDF, opened by two readers that are not ours, hold what the CSV holds, with units UDUNITS knows.
source=$(cd "$1" && pwd)
pinery=$(cd "$2" && pwd)/pinery
python=/usr/bin/python3
if [ ! -x "$pinery" ] || ! $python -c 'import xarray, netCDF4' 2>/dev/null || ! command -v udunits2 >/dev/null; then
    echo "netcdf: pinery is not built, or python3-xarray, python3-netcdf4 or udunits-bin is not installed, skipped"
    exit 77
fi
folder=$(mktemp -d) || exit 1
trap 'rm -rf "$folder"' EXIT
cd "$folder" || exit 1
cat >two.lua <<'END'
local pinery = require "pinery"
return pinery.compare {
  weather = { typical = "Denver" }, options = { first_day = 364, days = 3, spin_up = 0.5 },
  { "bare", {}, house = {} },
  { "shut, \"tight\"", {}, house = { drives = { {} }, lower_pipes = { length = 1.5 }, lamps = { { power = 50 } } } },
}
END
"$pinery" run two.lua --quiet --csv csv --netcdf nc --summary sums.csv --json all.json || exit 1
$python "$source/tests/checks/netcdf.py" csv nc || exit 1
$python "$source/tests/checks/summary.py" sums.csv all.json
