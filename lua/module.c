/* The module: its functions in C, and the strategy library in Lua, which travels inside. */
#include <string.h>

#include "binding.h"

/* Made from the Lua files of this folder when it is built; ends with a row without a name. */
extern const struct pinery_lua_source {
    const char *name;
    const char *text;
    size_t length;
} pinery_lua_sources[], pinery_lua_assets[];

void pinery_lua_type(lua_State *L, const char *name, const luaL_Reg *methods, lua_CFunction index) {
    luaL_newmetatable(L, name);
    lua_newtable(L);
    for (const luaL_Reg *method = methods; method->name; method++) {
        lua_pushcfunction(L, method->func);
        lua_setfield(L, strncmp(method->name, "__", 2) == 0 ? -3 : -2, method->name);
    }
    lua_pushvalue(L, -1);
    lua_setfield(L, -3, "methods");
    if (index) {
        lua_pushcclosure(L, index, 1);
    }
    lua_setfield(L, -2, "__index");
    lua_pop(L, 1);
}

/* pinery.path(file): where a file named in the calling script is. */
static int path(lua_State *L) {
    pinery_lua_path(L, luaL_checkstring(L, 1));
    return 1;
}

static int whole_path(lua_State *L) {
    pinery_lua_whole_path(L, luaL_checkstring(L, 1));
    return 1;
}

/* pinery.where(): the line of the script that is running, for the errors of the strategy library. */
static int where(lua_State *L) {
    pinery_lua_where(L);
    return 1;
}

/* pinery.library "=[pinery blocks]": the text of that part of the strategy library, or nil. */
static int library(lua_State *L) {
    const char *chunk = luaL_checkstring(L, 1);
    for (const struct pinery_lua_source *source = pinery_lua_sources; source->name; source++) {
        if (strcmp(lua_pushfstring(L, "=[pinery %s]", source->name), chunk) == 0) {
            lua_pushlstring(L, source->text, source->length);
            return 1;
        }
    }
    return 0;
}

/* asset "name": the text of a file that is not Lua and travels inside. */
static int asset(lua_State *L) {
    const char *name = luaL_checkstring(L, 1);
    for (const struct pinery_lua_source *source = pinery_lua_assets; source->name; source++) {
        if (strcmp(source->name, name) == 0) {
            lua_pushlstring(L, source->text, source->length);
            return 1;
        }
    }
    return luaL_error(L, "no asset %s", name);
}

/* Into the table on top, for the Lua files alone: the methods of comparisons, to add to, and what a page is made of. */
static void add_inner(lua_State *L) {
    luaL_getmetatable(L, PINERY_LUA_COMPARISON);
    lua_getfield(L, -1, "methods");
    lua_setfield(L, -3, "comparison");
    lua_pop(L, 1);
    lua_pushcfunction(L, asset);
    lua_setfield(L, -2, "asset");
    lua_pushcfunction(L, pinery_lua_colour);
    lua_setfield(L, -2, "colour");
    lua_pushcfunction(L, pinery_lua_bars);
    lua_setfield(L, -2, "bars");
    lua_pushcfunction(L, pinery_lua_ranges);
    lua_setfield(L, -2, "ranges");
    lua_pushcfunction(L, pinery_lua_lines);
    lua_setfield(L, -2, "lines");
}

static int normals(lua_State *L) {
    pinery_lua_normals(L);
    return 1;
}

PINERY_API int luaopen_pinery(lua_State *L) {
    static const luaL_Reg functions[] = {{"weather", pinery_lua_new_weather},
                                         {"house", pinery_lua_new_house},
                                         {"strategy", pinery_lua_new_strategy},
                                         {"run", pinery_lua_run},
                                         {"check_case", pinery_lua_check},
                                         {"compare", pinery_lua_compare},
                                         {"fit", pinery_lua_fit},
                                         {"fit_figure", pinery_lua_fit_figure},
                                         {"steady", pinery_lua_steady},
                                         {"money", pinery_lua_money},
                                         {"fields", pinery_lua_fields},
                                         {"names", pinery_lua_names},
                                         {"presets", pinery_lua_presets},
                                         {"preset", pinery_lua_preset},
                                         {"path", path},
                                         {"whole_path", whole_path},
                                         {"where", where},
                                         {"library", library},
                                         {"normals", normals},
                                         {NULL, NULL}};
    pinery_lua_guard_open(L);
    pinery_lua_open_values(L);
    pinery_lua_open_weather(L);
    pinery_lua_open_views(L);
    pinery_lua_open_result(L);
    pinery_lua_open_comparison(L);
    pinery_lua_open_report(L);
    pinery_lua_open_check(L);
    luaL_newlib(L, functions);
    lua_pushliteral(L, PINERY_VERSION);
    lua_setfield(L, -2, "version");
    lua_pushvalue(L, -1);
    lua_setfield(L, LUA_REGISTRYINDEX, PINERY_LUA_MODULE);
    pinery_lua_push_inner(L);
    add_inner(L);
    for (const struct pinery_lua_source *source = pinery_lua_sources; source->name; source++) {
        const char *chunk = lua_pushfstring(L, "=[pinery %s]", source->name);
        if (luaL_loadbufferx(L, source->text, source->length, chunk, "t") != LUA_OK) {
            return lua_error(L);
        }
        lua_pushvalue(L, -4);
        lua_pushvalue(L, -4);
        lua_call(L, 2, 0);
        lua_pop(L, 1);
    }
    lua_pop(L, 1);
    return 1;
}
