"""The sums of some runs as CSV against the same as JSON, which is written apart from it. The JSON writer
stops at 15 digits when those are right to the machine's epsilon, and so far the two are equal."""
import csv
import json
import sys

with open(sys.argv[1], newline="") as file:
    rows = list(csv.reader(file))
runs = json.load(open(sys.argv[2]))["runs"]
assert rows[0] == ["kind", "name", "unit", "what it is"] + [run["name"] for run in runs], rows[0]
place = {"result": None, "meter": "meters", "heat": "heat_by_heading_J_per_m2", "water": "water_by_heading_kg_per_m2"}
count = {kind: 0 for kind in place}
for kind, name, unit, what, *values in rows[1:]:
    count[kind] += 1
    assert unit and len(what) > 3, name
    for run, value in zip(runs, values):
        wanted = (run if place[kind] is None else run[place[kind]])[name]
        if wanted is None:
            assert value == "", (name, value)
        else:
            assert abs(float(value) - wanted) <= sys.float_info.epsilon * abs(wanted), (name, value, wanted)
assert all(count.values()), count
print("summary: the same as the JSON,", count)


def once(pairs):
    """No key twice in an object of the JSON."""
    keys = [key for key, _ in pairs]
    assert len(keys) == len(set(keys)), [key for key in keys if keys.count(key) > 1]
    return dict(pairs)


json.load(open(sys.argv[2]), object_pairs_hook=once)
