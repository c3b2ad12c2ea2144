# Writes the files SOURCES into the C file OUTPUT as a LIST of arrays of bytes: a string literal may not be that long in
# C11. A Lua file goes by its name without the ending.
set(arrays "")
set(rows "")
set(number 0)
foreach(source IN LISTS SOURCES)
    get_filename_component(name "${source}" NAME)
    string(REGEX REPLACE "[.]lua$" "" name "${name}")
    file(READ "${source}" bytes HEX)
    string(LENGTH "${bytes}" length)
    math(EXPR length "${length} / 2")
    string(REGEX REPLACE "(................................)" "\\1\n    " bytes "${bytes}")
    string(REGEX REPLACE "([0-9a-f][0-9a-f])" "'\\\\x\\1'," bytes "${bytes}")
    string(APPEND arrays "static const char text_${number}[] = {\n    ${bytes}0};\n\n")
    string(APPEND rows "    {\"${name}\", text_${number}, ${length}},\n")
    math(EXPR number "${number} + 1")
endforeach()
file(WRITE "${OUTPUT}" "/* Made by .ci/embed.cmake. */
#include <stddef.h>

${arrays}/* Ends with a row without a name. */
extern const struct pinery_lua_source {
    const char *name;
    const char *text;
    size_t length; /* without the closing zero */
} ${LIST}[];

const struct pinery_lua_source ${LIST}[] = {
${rows}    {NULL, NULL, 0},
};
")
