#!/bin/sh
# Who may include whom. In lib every room may include itself and the rooms listed for it; the public headers point only
# back along one order; lua sees the public headers alone. SUNDIALS is included by the solver in lib/year and by what is
# plugged into it: the vectors and Newton's method.
cd "$1" || exit 1
files=$(find include lib lua -name '*.[ch]' | sort)
[ -n "$files" ] || exit 77

grep -n '^[ \t]*#[ \t]*include' $files /dev/null | awk '
function wrong(why) {
    print where ": " what ": " why
    bad = 1
}
function allow(room, rooms, headers,    i, n, list) {
    n = split(rooms " " room, list, " ")
    for (i = 1; i <= n; i++)
        may[room, list[i]] = 1
    n = split(headers " error field", list, " ")
    for (i = 1; i <= n; i++)
        may_public[room, list[i]] = 1
    known[room] = 1
}
BEGIN {
    allow("base", "", "")
    allow("air", "base", "")
    allow("sky", "base air", "weather")
    allow("house", "base air", "devices energy house")
    allow("crop", "base air", "house")
    allow("equip", "base air", "devices energy house")
    allow("control", "base", "seen strategy causes")
    allow("ledger", "base", "headings ledger")
    allow("study", "base ledger", "headings ledger money study fit")
    allow("report", "base ledger study", "headings ledger money study fit report")
    allow("year", "base air sky house crop equip control ledger", "weather devices energy house headings ledger seen strategy causes run advice steady")
    places = split("error field weather devices energy house headings ledger seen strategy causes run advice steady money study fit report", order, " ")
    for (i = 1; i <= places; i++)
        place[order[i] ".h"] = i
}
{
    split($0, part, ":")
    where = part[1] ":" part[2]
    n = split(part[1], path, "/")
    what = $0
    sub(/^[^:]*:[^:]*:[ \t]*#[ \t]*include[ \t]*/, "", what)
    sub(/[ \t].*$/, "", what)
    name = substr(what, 2, length(what) - 2)
    split(name, target, "/")
    system_header = what ~ /^</
    public = target[1] == "pinery" || name == "pinery.h"
    header = name
    sub(/^pinery\//, "", header)

    if (system_header) {
        if (name ~ /^(cvode|nvector|sunmatrix|sunlinsol|sunnonlinsol|sundials)\//) {
            if (path[1] != "lib" || path[2] != "year")
                wrong("SUNDIALS is for lib/year alone")
            if (part[1] !~ /^lib\/year\/(solver\.c|vector\.h|newton\.[ch])$/)
                wrong("SUNDIALS is for the solver and what is plugged into it")
        }
        if (name ~ /^(lua|lauxlib|lualib)\.h$/ && path[1] != "lua")
            wrong("Lua is for the binding alone")
    } else if (path[1] == "include") {
        if (!public)
            wrong("a public header includes public headers only")
        else if (n > 2 && !(path[3] in place))
            wrong(path[3] " has no place in the order of public headers")
        else if (n > 2 && !(header in place && place[header] < place[path[3]]))
            wrong(path[3] " comes before it")
    } else if (path[1] == "lua") {
        if (!public && (name ~ /\// || system("test -e \"lua/" name "\"") && name !~ /^lua_sources/))
            wrong("the binding sees include/ alone")
    } else {
        room = path[2]
        sub(/\.h$/, "", header)
        if (!(room in known))
            wrong(room " is no known room")
        else if (name !~ /\//)
            wrong("say which room it is in")
        else if (public && !((room, header) in may_public))
            wrong(room " may not include it")
        else if (!public && !((room, target[1]) in may))
            wrong(room " may not include " target[1])
    }
}
END {
    print NR " includes looked at"
    exit bad || !NR
}'
