#!/bin/sh
# Names that the linker sees: inside the library pinery_ROOM_..., in the public headers pinery_...; the shared library
# exports what is marked PINERY_API and no more.
build=$2
status=0

find "$build/CMakeFiles/pinery_objects.dir" -name '*.o' -exec readelf -sW {} + | awk '
/^File:/ { room = $0; sub(/.*\/lib\//, "", room); sub(/\/.*/, "", room) }
($5 == "GLOBAL" || $5 == "WEAK") && $7 != "UND" && $8 !~ /^__(asan|odr_asan|ubsan|sancov)/ {
    seen++
    want = $6 == "DEFAULT" ? "pinery_" : "pinery_" room "_"
    if (index($8, want) != 1) {
        print "lib/" room ": " $8 " does not start with " want
        bad = 1
    }
}
END {
    print seen + 0 " symbols looked at"
    exit bad || !seen
}' || status=1

# A name is marked where its declaration says PINERY_API; the declaration may go on over lines.
marked=$(cat "$1"/include/pinery/*.h | awk '
/^#/ { next }
/PINERY_API/ { on = 1 }
on { text = text " " $0 }
/;/ { on = 0; text = text "\n" }
END { print text }' | sed 's/.*PINERY_API//; s/[({[;].*//' | tr ',' '\n' | sed -n 's/.*\(pinery_[a-z0-9_]*\)[ ]*$/\1/p' | sort -u)
exported=$(nm -D --defined-only "$build/libpinery.so" | awk '$3 !~ /^__(asan|odr_asan|ubsan|sancov)/ { print $3 }')
for name in $exported; do
    echo "$marked" | grep -qx "$name" || { echo "libpinery.so exports $name, which no public header marks"; status=1; }
done
for name in $marked; do
    echo "$exported" | grep -qx "$name" || { echo "$name is marked PINERY_API and not in libpinery.so"; status=1; }
done
exit $status
