"""Hours as CSV against the same hours as NetCDF: every column, its unit, its CF names, the time axis."""
import csv
import math
import os
import re
import subprocess
import sys

import netCDF4
import xarray

# Canonical units of the CF standard name table (cfconventions.org), for the names that may be used;
# from memory, unverified.
CANONICAL = {
    "time": "s",
    "latitude": "degree_north",
    "longitude": "degree_east",
    "altitude": "m",
    "air_temperature": "K",
    "canopy_temperature": "K",
    "leaf_area_index": "1",
    "relative_humidity": "1",
    "water_vapor_saturation_deficit_in_air": "Pa",
    "mass_concentration_of_water_vapor_in_air": "kg m-3",
    "canopy_water_amount": "kg m-2",
    "surface_downwelling_shortwave_flux_in_air": "W m-2",
    "surface_downwelling_longwave_flux_in_air": "W m-2",
    "wind_speed": "m s-1",
    "lwe_snowfall_rate": "m s-1",
}


def convertible(unit, to):
    done = subprocess.run(["udunits2", "-H", unit, "-W", to], capture_output=True, text=True)
    return done.returncode == 0 and "=" in done.stdout


def factor(unit, to):
    """What one `unit` is in `to`, by UDUNITS."""
    said = subprocess.run(["udunits2", "-H", unit, "-W", to], capture_output=True, text=True).stdout
    return float(re.search(r"= (\S+)", said).group(1))


def compare(table, path):
    with open(table, newline="") as file:
        rows = list(csv.reader(file))
    header, rows = rows[0], rows[1:]
    data = netCDF4.Dataset(path)
    assert data.Conventions == "CF-1.10" and data.dimensions["time"].size == len(rows) == 72
    seen = set()
    known = {}
    for place, title in enumerate(header[1:], start=1):
        name, unit = re.fullmatch(r"(\w+) \[(.*)\]", title).groups()
        if unit == "J/m2" and name + "_heat" in data.variables:
            name += "_heat"
        variable = data.variables[name]
        seen.add(name)
        if (unit, variable.units) not in known:
            known[unit, variable.units] = abs(factor(unit if unit != "-" else "1", variable.units) - 1) < 1e-12
        assert known[unit, variable.units], (title, variable.units)
        assert variable.cell_methods in ("time: mean", "time: sum"), name
        assert (variable.cell_methods == "time: sum") == (re.match(r"(J|kg|mol)/m2$", unit) is not None
                                                          and name not in ("crop_wetness", "cover_film")), title
        assert len(variable.long_name) > 3
        if hasattr(variable, "standard_name"):
            assert convertible(variable.units, CANONICAL[variable.standard_name]), name
        values = variable[:].filled(math.nan)
        for row, value in zip(rows, values):
            if row[place] == "":
                assert math.isnan(value), title
            else:  # the CSV has nine digits
                assert abs(float(row[place]) - value) <= 6e-9 * abs(value), (title, row[place], value)
    extra = set(data.variables) - seen
    assert extra == {"time", "time_bounds", "hour", "day", "latitude", "longitude", "altitude"}, extra
    for name in ("latitude", "longitude", "altitude", "time"):
        unit = data.variables[name].units if name != "time" else "h"
        assert data.variables[name].standard_name == name and convertible(unit, CANONICAL[name])
    data.close()
    return header, rows


def clock(path, rows):
    """The time axis as xarray decodes it: Denver is seven hours behind UTC, and the calendar has no leap day."""
    with xarray.open_dataset(path) as data:
        time = data.indexes["time"]
        assert type(time).__name__ == "CFTimeIndex" and time.calendar in ("noleap", "365_day")
        for i, row in enumerate(rows):
            local = re.fullmatch(r"(\d+)-(\d+)-(\d+)T(\d+):(\d+)", row[0]).groups()
            year, month, day, hour, minute = map(int, local)
            here = time[i] - __import__("datetime").timedelta(hours=7)
            assert (here.year, here.month, here.day, here.hour, here.minute) == (year, month, day, hour, minute), row[0]
            assert data["hour"].values[i] == hour
        assert list(data["day"].values[::24]) == [364, 365, 1]
        bounds = data["time_bounds"].values
        assert all(bounds[1:, 0] == bounds[:-1, 1]) and all(bounds[:, 0] == time)
        assert "hour" in data["air_upper"].coords and float(data["latitude"]) > 39
        assert len(data["air_upper"].groupby("hour").mean()) == 24


bare, shut = os.path.join(sys.argv[1], "bare.csv"), os.path.join(sys.argv[1], 'shut, "tight".csv')
for table in (bare, shut):
    path = table.replace(sys.argv[1], sys.argv[2], 1).replace(".csv", ".nc")
    _, rows = compare(table, path)
    clock(path, rows)
print("netcdf: the same as the CSV")
