#!/bin/sh
# The C files are as clang-format leaves them.
command -v clang-format >/dev/null || { echo "skipped: clang-format is not installed"; exit 77; }
cd "$1" || exit 1
[ -f .clang-format ] || { echo "there is no .clang-format"; exit 1; }
find include lib lua tests -name '*.[ch]' -print0 | xargs -0 clang-format --dry-run -Werror 2>&1 |
    awk -F: '/error:/ && !seen[$1]++ { print $1 ":" $2 " is not formatted"; bad = 1 } !/error:/ && /error/ { print; bad = 1 }
        END { exit bad }'
