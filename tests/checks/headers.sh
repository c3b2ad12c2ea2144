#!/bin/sh
# Every public header stands alone, in strict C11 and in C++.
cd "$1" || exit 1
status=0
for header in include/pinery.h include/pinery/*.h; do
    echo "#include \"${header#include/}\"" | ${CC:-cc} -x c -std=c11 -Wall -Wextra -Wpedantic -Wconversion -Wshadow -Werror \
        -Iinclude -fsyntax-only - || status=1
    if command -v c++ >/dev/null; then
        echo "#include \"${header#include/}\"" | c++ -x c++ -Wall -Wextra -Werror -Iinclude -fsyntax-only - || status=1
    fi
done
exit $status
