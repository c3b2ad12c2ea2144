#!/bin/sh
# The C files are as clang-format leaves them.
command -v clang-format >/dev/null || { echo "skipped: clang-format is not installed"; exit 77; }
cd "$1" || exit 1
[ -f .clang-format ] || { echo "there is no .clang-format"; exit 1; }
if ! said=$(find include lib lua tests -name '*.[ch]' -print0 | xargs -0 clang-format --dry-run -Werror 2>&1); then
    echo "$said" | sed -n 's/^\([^ :]*\):\([0-9]*\):.*error: code should be.*/\1 is not formatted/p; /^[Ee]rror/p' | sort -u
    exit 1
fi
