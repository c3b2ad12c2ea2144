#!/bin/sh
# What is installed can be used: by pkg-config, shared and static, by find_package, and by plain Lua.
build=$2
set -e
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT
prefix="$place/with space"
cmake --install "$build" --prefix "$prefix" >"$place/log" || { cat "$place/log"; exit 1; }
mkdir "$place/consumer"
cd "$place/consumer"
cat >main.c <<'END'
#include <pinery.h>
#include <stdio.h>
/* Something that needs each library of others, so that one which the package files do not name is missed: SUNDIALS,
 * cJSON, netCDF, NLopt, GSL. */
void (*volatile needs[])(void) = {(void (*)(void))pinery_run_create, (void (*)(void))pinery_report_json,
    (void (*)(void))pinery_report_hours_netcdf, (void (*)(void))pinery_fit, (void (*)(void))pinery_study_sample};
int main(void) {
    return !needs[0] || puts(pinery_status_meaning(PINERY_OK)) < 0;
}
END

package=$(find "$prefix" -name pinery.pc)
PKG_CONFIG_PATH=$(dirname "$package")
export PKG_CONFIG_PATH
library=$(find "$prefix" -name libpinery.a)
eval "cc -std=c11 main.c $(pkg-config --cflags --libs pinery) -o shared"
LD_LIBRARY_PATH=$(dirname "$library") ./shared
private=$(pkg-config --libs --static pinery | sed 's/-lpinery//')
eval "cc -std=c11 main.c $(pkg-config --cflags pinery) '$library' $private -o static"
./static

cat >CMakeLists.txt <<'END'
cmake_minimum_required(VERSION 3.18)
project(consumer C)
find_package(pinery 0.1 REQUIRED)
foreach(kind pinery static)
    add_executable(${kind} main.c)
    target_link_libraries(${kind} pinery::${kind})
endforeach()
END
{ cmake -S . -B made -DCMAKE_PREFIX_PATH="$prefix" && cmake --build made; } >log 2>&1 || { cat log; exit 1; }
made/pinery
made/static

if [ -e "$prefix/lib/lua/5.4/pinery.so" ] && command -v lua5.4 >/dev/null; then
    LUA_CPATH="$prefix/lib/lua/5.4/?.so" lua5.4 -e 'assert(require "pinery")'
fi
