#!/bin/sh
# Text that must not be committed: paths of one machine, unfinished work by its own word, files grown too long.
cd "$1" || exit 1
list='find README.md DEVELOPERS.md LICENSE CMakeLists.txt .ci include lib lua weather scenarios tests -type f -print0'
status=0

found() {
    if [ -n "$2" ]; then
        printf '%s:\n%s\n' "$1" "$2"
        status=1
    fi
}

look() {
    $list 2>/dev/null | xargs -0 grep -nIE "$@" /dev/null 2>/dev/null
}

found 'a path of one machine' "$(look '(^|[^[:alnum:]_.])/([w]ork|home|root)/')"
found 'a temporary folder by name' "$(look '/[t]mp/' | grep -v '^tests/')"
found 'unfinished by its own word' "$(look -w '[T]ODO|[F]IXME|[X]XX|[s]tub|not [i]mplemented' |
    grep -v '^weather/')"
found 'over 400 lines' "$($list 2>/dev/null | tr '\0' '\n' | grep -E '^(lib|lua|include)/.*[.](c|h|lua)$' | while read -r file; do
    [ -f "$file" ] && awk -v file="$file" 'END { if (NR > 400) print file ": " NR " lines" }' "$file"
done)"
exit $status
