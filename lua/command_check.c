/* pinery check SCENARIO.lua: look at what the scenario compares before it is run. */
#include "command.h"

struct check {
    const char *file;
    int status;
};

/* Stack: the check. */
static int body(lua_State *L) {
    struct check *check = lua_touserdata(L, 1);
    if (!pinery_command_lines(L, check->file, 60, &check->status)) {
        return 0;
    }
    int n = lua_gettop(L) - 1;
    lua_getfield(L, LUA_REGISTRYINDEX, PINERY_LUA_MODULE);
    lua_getfield(L, -1, "check_all");
    lua_replace(L, -2);
    lua_insert(L, 2);
    lua_call(L, n, 2);
    if (lua_isnil(L, -2)) {
        check->status = pinery_command_say(PINERY_COMMAND_FAILED, luaL_tolstring(L, -1, NULL));
        return 0;
    }
    check->status = lua_toboolean(L, -1) ? PINERY_COMMAND_WARNED : PINERY_COMMAND_FINE;
    lua_pop(L, 1);
    pinery_command_print(L);
    return 0;
}

int pinery_command_check(int argc, char **argv) {
    static const struct pinery_command_option none[] = {{NULL, NULL, NULL}};
    struct check check = {0};
    if (!pinery_command_options(argc, argv, none, &check.file)) {
        return PINERY_COMMAND_MISUSED;
    }
    if (!check.file) {
        return pinery_command_say(PINERY_COMMAND_MISUSED, "which scenario? pinery check SCENARIO.lua");
    }
    lua_State *L = pinery_command_state();
    if (!L) {
        return PINERY_COMMAND_FAILED;
    }
    lua_pushcfunction(L, body);
    lua_pushlightuserdata(L, &check);
    if (lua_pcall(L, 1, 0, 0) != LUA_OK) {
        check.status = pinery_command_say(PINERY_COMMAND_FAILED, luaL_tolstring(L, -1, NULL));
    }
    lua_close(L);
    return check.status;
}
