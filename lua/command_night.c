/* pinery night SCENARIO.lua: the houses of a scenario at rest, cloths parked and drawn. */
#include <math.h>
#include <string.h>

#include "command.h"

struct night {
    const char *file;
    double value[5];
    int status;
};

static const struct {
    const char *option, *field;
    double min, max;
} conditions[] = {{"--air", "air", -20, 45},
                  {"--outside", "outside", -60, 50},
                  {"--wind", "wind", 0, 40},
                  {"--cloud", "cloud", 0, 1},
                  {"--sky", "sky", -100, 50}};
enum { N_CONDITIONS = sizeof conditions / sizeof *conditions };

/* Append { label, house } to the list on top, unless the house before it was the same. */
static void add_house(lua_State *L, const struct pinery_lua_case *one, const pinery_house **before) {
    if (*before && memcmp(*before, &one->house, sizeof one->house) == 0) {
        return;
    }
    *before = &one->house;
    lua_createtable(L, 2, 0);
    lua_pushstring(L, one->house.name[0] != '\0' ? one->house.name : one->label);
    lua_rawseti(L, -2, 1);
    pinery_lua_record_push(L, &pinery_lua_house_shape, &one->house);
    lua_rawseti(L, -2, 2);
    lua_rawseti(L, -2, (lua_Integer)lua_rawlen(L, -2) + 1);
}

/* Push the list of the houses of what the scenario returned, at `at`; false: neither a comparison nor a result. */
static bool push_houses(lua_State *L, int at) {
    const pinery_house *before = NULL;
    lua_newtable(L);
    if (luaL_testudata(L, at, PINERY_LUA_RESULT)) {
        add_house(L, pinery_lua_result(L, at), &before);
        return true;
    }
    if (!luaL_testudata(L, at, PINERY_LUA_COMPARISON)) {
        return false;
    }
    lua_getiuservalue(L, at, 1);
    int cases = lua_gettop(L), n = (int)lua_rawlen(L, cases);
    lua_pushvalue(L, cases - 1);
    for (int i = 1; i <= n; i++) {
        lua_rawgeti(L, cases, i);
        struct pinery_lua_case *one = lua_touserdata(L, -1);
        lua_pop(L, 1);
        add_house(L, one, &before);
    }
    return true;
}

/* Stack: module, night. */
static int body(lua_State *L) {
    struct night *night = lua_touserdata(L, 2);
    if (!pinery_command_lines(L, night->file, 60, &night->status)) {
        return 0;
    }
    luaL_checkstack(L, 20, NULL);
    if (lua_gettop(L) > 3 && lua_isnil(L, 3)) {
        return luaL_error(L, "%s", luaL_tolstring(L, 4, NULL));
    }
    if (lua_gettop(L) == 2 || !push_houses(L, 3)) {
        return luaL_error(L, "%s: the scenario returns no pinery.compare { ... } or result, so no house", night->file);
    }
    int houses = lua_gettop(L);
    lua_getfield(L, 1, "night");
    lua_pushvalue(L, houses);
    lua_newtable(L);
    for (int i = 0; i < N_CONDITIONS; i++) {
        if (!isnan(night->value[i])) {
            lua_pushnumber(L, night->value[i]);
            lua_setfield(L, -2, conditions[i].field);
        }
    }
    lua_call(L, 2, 2);
    if (lua_isnil(L, -2)) {
        return luaL_error(L, "%s", lua_tostring(L, -1));
    }
    lua_pop(L, 1);
    pinery_command_print(L);
    return 0;
}

int pinery_command_night(int argc, char **argv) {
    struct night night = {0};
    const char *text[N_CONDITIONS] = {NULL};
    struct pinery_command_option options[N_CONDITIONS + 1] = {{NULL, NULL, NULL}};
    for (int i = 0; i < N_CONDITIONS; i++) {
        options[i] = (struct pinery_command_option){conditions[i].option, &text[i], NULL};
    }
    if (!pinery_command_options(argc, argv, options, &night.file)) {
        return PINERY_COMMAND_MISUSED;
    }
    for (int i = 0; i < N_CONDITIONS; i++) {
        if (!pinery_command_number(conditions[i].option, text[i], NAN, conditions[i].min, conditions[i].max,
                                   &night.value[i])) {
            return PINERY_COMMAND_MISUSED;
        }
    }
    if (!night.file) {
        return pinery_command_say(PINERY_COMMAND_MISUSED, "which scenario? pinery night SCENARIO.lua");
    }
    lua_State *L = pinery_command_state();
    if (!L) {
        return PINERY_COMMAND_FAILED;
    }
    lua_pushcfunction(L, body);
    lua_insert(L, 1);
    lua_pushlightuserdata(L, &night);
    if (lua_pcall(L, 2, 0, 0) != LUA_OK) {
        night.status = pinery_command_say(PINERY_COMMAND_FAILED, luaL_tolstring(L, -1, NULL));
    }
    lua_close(L);
    return night.status;
}
