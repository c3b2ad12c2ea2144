#!/bin/sh
# The committed reference page is the one the command writes now.
source=${1:-.}
build=${2:-${PINERY_BUILD_DIR:-$source/build}}
command=$build/pinery
if [ ! -x "$command" ]; then
    echo "reference: $command is not built, skipped"
    exit 77
fi
if "$command" fields | diff "$source/lua/REFERENCE.md" -; then
    echo "reference: lua/REFERENCE.md is fresh"
else
    echo "reference: lua/REFERENCE.md is stale; write it again with: $command fields > lua/REFERENCE.md"
    exit 1
fi
