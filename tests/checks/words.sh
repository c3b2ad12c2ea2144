#!/bin/sh
# Text that must not be committed: paths of one machine, unfinished work by its own word, files grown too long.
cd "$1" || exit 1
if git rev-parse --git-dir >/dev/null 2>&1 && [ -n "$(git ls-files CMakeLists.txt)" ]; then
    list='git ls-files -z --cached --others --exclude-standard'
else
    list='find . -name build* -prune -o -name .git -prune -o -type f -print0'
fi
status=0

found() {
    if [ -n "$2" ]; then
        printf '%s:\n%s\n' "$1" "$2"
        status=1
    fi
}

look() {
    $list | xargs -0 grep -nIE "$@" /dev/null 2>/dev/null
}

found 'a path of one machine' "$(look '(^|[^[:alnum:]_.])/([w]ork|home|root)/')"
found 'a temporary folder by name' "$(look '/[t]mp/' | grep -v '^\(\./\)*tests/')"
found 'unfinished by its own word' "$(look -w '[T]ODO|[F]IXME|[X]XX|[s]tub|not [i]mplemented' |
    grep -v '^\(\./\)*weather/')"
found 'over 400 lines' "$($list | tr '\0' '\n' | grep -E '^(\./)?(lib|lua|include)/' | while read -r file; do
    [ -f "$file" ] && awk -v file="$file" 'END { if (NR > 400) print file ": " NR " lines" }' "$file"
done)"
exit $status
