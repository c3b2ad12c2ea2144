#!/bin/sh
# The library never prints, exits or aborts. Writing to a FILE that the caller gave is no printing.
objects=$(find "$2/CMakeFiles/pinery_objects.dir" -name '*.o' 2>/dev/null)
[ -n "$objects" ] || { echo "no objects of the library in $2"; exit 1; }

# readelf, since nm asks the link-time optimiser, which knows nothing of the calls it will add.
find "$2/CMakeFiles/pinery_objects.dir" -name '*.o' -exec readelf -sW {} + | awk '
/^File:/ { file = $0; sub(/.*pinery_objects.dir\//, "", file); sub(/\.o$/, "", file); files++ }
$7 == "UND" && $8 ~ /^(_*v?printf(_chk)?|puts|putchar|perror|psignal|stdout|stderr|exit|_exit|_Exit|quick_exit|abort|raise|__assert_fail|__assert)(@.*)?$/ {
    print file " uses " $8
    bad = 1
}
END {
    if (!files)
        files = 1
    print files " objects looked at"
    exit bad
}'
