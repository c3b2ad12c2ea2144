/* pinery run SCENARIO.lua --page FILE: a page of what the scenario returns. */
#include <string.h>

#include "command.h"

bool pinery_command_is_study(lua_State *L, int at) {
    bool study = lua_istable(L, at) && luaL_getmetafield(L, at, "__name") != LUA_TNIL;
    if (study) {
        study = lua_type(L, -1) == LUA_TSTRING && strcmp(lua_tostring(L, -1), "pinery.study") == 0;
        lua_pop(L, 1);
    }
    return study;
}

int pinery_command_page_of(lua_State *L, int last) {
    int study = 0;
    for (int at = 2; at <= last; at++) {
        if (luaL_testudata(L, at, PINERY_LUA_COMPARISON)) {
            return at;
        }
        study = study == 0 && pinery_command_is_study(L, at) ? at : study;
    }
    return study;
}

bool pinery_command_page(lua_State *L, int at, int last, const char *file) {
    int top = lua_gettop(L), given = 0;
    lua_getfield(L, at, "page");
    lua_pushvalue(L, at);
    lua_newtable(L);
    for (int i = 2; i <= last; i++) {
        if (i != at && lua_istable(L, i)) {
            lua_pushvalue(L, i);
            lua_rawseti(L, -2, ++given);
        }
    }
    lua_pushstring(L, file);
    lua_setfield(L, -2, "file");
    if (lua_pcall(L, 2, 2, 0) != LUA_OK || lua_isnil(L, -2)) {
        pinery_command_say(PINERY_COMMAND_FAILED, luaL_tolstring(L, -1, NULL));
        return false;
    }
    lua_settop(L, top);
    return true;
}
