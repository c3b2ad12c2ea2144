#!/bin/sh
# Instructions of a fixed span of the benchmark's house, for comparisons that noise would hide: between two commits, or
# two builds. Counted by valgrind within pinery_run_advance, so without building house and weather.
#
#   sh tests/count_instructions.sh [BUILD_FOLDER [DAYS]]     build-gcc and 10 when not given
set -eu
build=${1:-build-gcc}
days=${2:-10}
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT

valgrind --tool=callgrind --toggle-collect=pinery_run_advance --callgrind-out-file="$folder/counts" \
    "$build/tests/benchmark" count "$days" >"$folder/cost" 2>"$folder/log" || { cat "$folder/log" >&2; exit 1; }
all=$(awk '/^(summary|totals):/ { n = $2 } END { printf "%.0f", n }' "$folder/counts")
[ "$all" -gt 0 ] || { echo "count_instructions: nothing was counted, see pinery_run_advance" >&2; exit 1; }

awk -v all="$all" '{
    printf "%s\n%.0f instructions: %.0f a step, %.0f an evaluation, %.0f an interval\n\n", $0, all, all / $1, all / $3,
           all / $5
}' "$folder/cost"
# Only what is done in a function itself, not what it calls; a function that was compiled into another counts there.
callgrind_annotate --threshold=100 "$folder/counts" 2>/dev/null | awk -v all="$all" '
    /^ *[0-9,]+ \([ 0-9.]+%\)/ && !/PROGRAM TOTALS/ {
        n = $1
        gsub(",", "", n)
        name = $0
        sub(/^[^:]*:/, "", name)
        sub(/ \[.*/, "", name)
        printf "%14.0f %5.1f %%  %s\n", n, 100 * n / all, name
        if (++shown == 10)
            exit
    }'
