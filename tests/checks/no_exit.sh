#!/bin/sh
# The library never prints, exits or aborts. Writing to a FILE that the caller gave is no printing.
# readelf, since nm asks the link-time optimiser, which knows nothing of the calls it will add.
find "$2/CMakeFiles/pinery_objects.dir" -name '*.o' -exec readelf -sW {} + | awk '
/^File:/ { file = $0; sub(/.*pinery_objects.dir\//, "", file); sub(/\.o$/, "", file); files++ }
BEGIN {
    banned = "v?printf|__v?printf_chk|puts|putchar|perror|psignal|stdout|stderr"
    banned = banned "|_?_?exit|_Exit|quick_exit|abort|raise|__assert_fail"
}
$7 == "UND" && $8 ~ "^(" banned ")(@.*)?$" {
    print file " uses " $8
    bad = 1
}
END {
    print files + 0 " objects looked at"
    exit bad || !files
}'
