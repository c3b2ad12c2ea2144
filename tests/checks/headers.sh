#!/bin/sh
# Every public header stands alone, in strict C11 and in C++.
cd "$1" || exit 1
status=0
for header in include/pinery.h include/pinery/*.h; do
    line="#include \"${header#include/}\""
    echo "$line" | cc -x c -std=c11 -Wall -Wextra -Wpedantic -Wconversion -Wshadow -Werror -Iinclude -fsyntax-only - ||
        status=1
    echo "$line" | c++ -x c++ -Wall -Wextra -Werror -Iinclude -fsyntax-only - || status=1
done
exit $status
