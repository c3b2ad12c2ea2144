#!/bin/sh
# The command: exit status, what goes to stdout and what to stderr, files whole or not there.
source=${1:-.}
build=${2:-${PINERY_BUILD_DIR:-$source/build}}
pinery=$(cd "$build" && pwd)/pinery
source=$(cd "$source" && pwd)
if [ ! -x "$pinery" ]; then
    echo "command: $pinery is not built, skipped"
    exit 77
fi
folder=$(mktemp -d) || exit 1
trap 'rm -rf "$folder"' EXIT
cd "$folder" || exit 1
failed=0

# expect STATUS WHERE PATTERN ARGUMENT...: that exit status; the pattern in `out` or `err`, the other one empty. WHERE
# `both` looks at stdout and lets stderr be.
expect() {
    status=$1 where=$2 pattern=$3
    shift 3
    "$pinery" "$@" >out 2>err
    got=$?
    wrong=
    [ $got -eq "$status" ] || wrong="exit status $got, expected $status"
    case $where in
    out) grep -q -e "$pattern" out || wrong="$wrong; no \"$pattern\" on stdout"
        [ ! -s err ] || wrong="$wrong; something on stderr" ;;
    err) grep -q -e "$pattern" err || wrong="$wrong; no \"$pattern\" on stderr"
        [ ! -s out ] || wrong="$wrong; something on stdout" ;;
    none) [ ! -s out ] && [ ! -s err ] || wrong="$wrong; it said something" ;;
    esac
    if [ -n "$wrong" ]; then
        echo "pinery $*: $wrong"
        cat out err | head -20
        failed=1
    fi
}

want() {
    if ! eval "$1"; then
        echo "not so: $1"
        failed=1
    fi
}

cat >pair.lua <<'END'
local pinery = require "pinery"
local slits = pinery.strategy { pinery.humidity_slit { most = 0.2 } }
return pinery.compare {
  weather = { typical = "Denver" }, house = { drives = { {} }, lower_pipes = { length = 1.5 } },
  { "slits", slits }, { "shut/fans", slits:with { pinery.shut_with_fans {} } }, options = { days = 2, spin_up = 0.5 },
}
END
sed 's/slits:with/pinery.strategy { control = function(seen, orders) orders.vent_lee = seen.hour end } or &/' pair.lua >bad.lua
echo 'local pinery = require "pinery"
return pinery.house { lenght = 3 }' >typo.lua
echo 'return = 3' >syntax.lua
echo 'while true do pcall(function() while true do end end) end' >endless.lua
echo 'print "by itself"' >itself.lua
echo 'return 42' >number.lua
echo 'return nil, "no luck"' >luck.lua

cat >one.lua <<'END'
local pinery = require "pinery"
return pinery.run { weather = { typical = "Denver" }, house = {}, strategy = {}, options = { days = 1, spin_up = 0.1 } }
END

# Called wrongly: 2, on stderr, one line that says what.
expect 2 err '^pinery SCENARIO'
expect 2 err '^pinery: unknown word dance; see pinery --help$' dance
expect 2 err '^pinery: unknown option --dance; see' --dance
expect 2 err '^pinery: unknown option --dance; see' run pair.lua --dance
expect 2 err '^pinery: a value is missing after --json; see' run pair.lua --json
expect 2 err '^pinery: one too many: bad.lua; see' run pair.lua bad.lua
expect 2 err '^pinery: which scenario' run
expect 2 err '^pinery: absent.lua cannot be read$' run absent.lua
expect 2 err '^pinery: which scenario' night
expect 2 err '^pinery: --wind -1 is not a number in 0 .. 40$' night pair.lua --wind -1
expect 2 err '^pinery: absent.lua cannot be read$' night absent.lua
expect 2 err '^pinery: --days few is not a number in 0.1 .. 10000$' run pair.lua --days few
expect 2 err '^pinery: --csv pair.lua is not a folder' run pair.lua --csv pair.lua
expect 2 err '^pinery: expected pinery weather FILE' weather
expect 2 err '^pinery: expected pinery weather FILE' weather a.epw --typical Denver
expect 2 err '^pinery: absent.epw cannot be read$' weather absent.epw
expect 2 err '^pinery: --seed -1 is not a number' weather --typical Denver --seed -1
expect 2 err '^pinery: no presets of kind stone; known are cover, cloth' presets stone
expect 2 err '^pinery: fields takes nothing more, not house' fields house

# Failed: 1, on stderr, with the scenario's own line.
expect 1 err '^pinery: typo.lua:2: house: unknown field lenght (did you mean length?)' run typo.lua
expect 1 err '^pinery: syntax.lua:1:' run syntax.lua
expect 1 err '^pinery: endless.lua:1: the scenario took more than 0.2 s besides its runs' run endless.lua --limit 0.2
expect 1 err '^pinery: shut/fans: bad.lua:5: orders.vent_lee = [0-9.]* is outside 0 .. 1$' run bad.lua
expect 1 err '^pinery: number.lua: the scenario returns a number, expected' run number.lua
expect 1 err '^pinery: no luck$' run luck.lua
expect 1 err '^pinery: number.lua: the scenario returns no' night number.lua
expect 1 err '^pinery: no luck$' night luck.lua
echo "local nothing = 3" >nothing.lua
expect 1 err "^pinery: the scenario returns nothing to report" run nothing.lua --quiet --json x.json
expect 1 err "no place 'Atlantis'" weather --typical Atlantis
expect 1 err 'typo.lua' weather typo.lua
expect 1 err '^pinery: absent/x.json: cannot be written: No such file' run pair.lua --quiet --json absent/x.json

# Done: 0, on stdout, nothing on stderr when that is no terminal.
expect 0 out '^pinery [0-9]' --version
expect 0 out '^Exit status: 0 done' --help
expect 0 out '^Denver$' places
expect 0 out '^cloth$' presets
expect 0 out . presets lamp
expect 0 out '^# Fields$' fields
expect 0 out '^slits, drawn ' night pair.lua --outside -10 --cloud 0.5
expect 0 out '^double low-e glass ' run "$source/scenarios/night_test.lua"
expect 0 out '^Denver: latitude' weather --typical Denver --seed 7
expect 0 out '^by itself$' itself.lua
expect 0 out 'shut/fans' run pair.lua
expect 0 out 'shut/fans' pair.lua
expect 0 none '' run pair.lua --quiet
expect 0 out 'by month' run pair.lua --months --balance
expect 0 none '' run pair.lua --quiet --json x.json --csv hours
want 'grep -q "\"slits\"" x.json'
sed 's/^}$/}, { title = "On \& off" }/' pair.lua >title.lua
expect 0 none '' run title.lua --quiet --page x.html --figures drawn
want 'grep -q "<h1>On &amp; off</h1>" x.html && [ -s drawn/months.pdf ] && [ -s drawn/heat-2.svg ]'
expect 1 err '^pinery: absent/x.html.part: No such file' run pair.lua --quiet --page absent/x.html
expect 1 err 'a page or its figures are made of pinery.compare' run one.lua --quiet --page x.html
expect 2 err '^pinery: --figures pair.lua is not a folder' run pair.lua --figures pair.lua
want '[ "$(wc -l <hours/slits.csv)" -eq 49 ] && [ -s "hours/shut_fans.csv" ]'
want '[ "$(ls | grep -c "^x.json")" -eq 1 ]'
expect 0 none '' run pair.lua --quiet --input again.lua --summary sums.csv --netcdf hours
expect 0 none '' run again.lua --quiet --input twice.lua --summary again.csv
want 'cmp sums.csv again.csv && cmp again.lua twice.lua && [ -s "hours/shut_fans.nc" ]'
expect 1 err '^pinery: absent/x.lua: cannot be written: No such file' run pair.lua --quiet --input absent/x.lua
expect 2 err '^pinery: --netcdf pair.lua is not a folder' run pair.lua --netcdf pair.lua
expect 0 out '^slits: no warning$' check pair.lua
sed 's/most = 0.2 }/most = 0.2 }, screens = { { open_in_snow = false } }/' pair.lua >snow.lua
expect 3 out '^  WARNING cloth shut while snow falls$' check snow.lua
expect 1 err '^pinery: typo.lua:2: house: unknown field lenght' check typo.lua
expect 1 err '^pinery: the scenario returns nothing to check' check number.lua
expect 1 err 'bad.lua:5: orders.vent_lee = [0-9.]* is outside 0 .. 1' check bad.lua
expect 2 err '^pinery: which scenario' check
expect 2 err '^pinery: absent.lua cannot be read$' check absent.lua

# A folder elsewhere: the scenario finds what it names beside itself, and PINERY_DATA is heeded.
mkdir beside && mv pair.lua beside/ && printf 'time,a\n2019-01-01 00:00,1\n2019-01-01 01:00,2\n' >beside/a.csv
echo 'local log = require("pinery").log "a.csv" print(log.a[2])' >beside/log.lua
expect 0 out '^2.0$\|^2$' beside/log.lua
mkdir -p data/weather && sed 's/Denver/Nowhere/' "$source/weather/normals.csv" >data/weather/normals.csv
export PINERY_DATA="$folder/data"
expect 0 out '^Nowhere: ' weather --typical Nowhere
expect 1 err "no place 'Denver'" weather --typical Denver
PINERY_DATA=$folder/empty
expect 1 err 'empty/weather/normals.csv' weather --typical Denver
unset PINERY_DATA

# What cannot be written fails, and leaves what was there.
if [ -w /dev/full ]; then
    "$pinery" --help >/dev/full 2>err
    want "[ $? -eq 1 ] && grep -q 'cannot be written' err"
fi
exit $failed
