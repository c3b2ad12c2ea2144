/* Runs one Lua script, as the plain interpreter does, in a program that carries the sanitizers' run-time library: the
 * interpreter of the system cannot load a module built with them. */
#include <lauxlib.h>
#include <lua.h>
#include <lualib.h>
#include <stdio.h>
#include <stdlib.h>

static int traceback(lua_State *L) {
    luaL_traceback(L, L, luaL_tolstring(L, 1, NULL), 1);
    return 1;
}

static int run(lua_State *L, int status, const char *what) {
    if (status == LUA_OK) {
        lua_pushcfunction(L, traceback);
        lua_insert(L, 1);
        status = lua_pcall(L, 0, 0, 1);
    }
    if (status != LUA_OK) {
        fprintf(stderr, "%s: %s\n", what, luaL_tolstring(L, -1, NULL));
    }
    lua_settop(L, 0);
    return status;
}

int main(int argc, char **argv) {
    if (argc != 2) {
        fprintf(stderr, "usage: %s script.lua\n", argv[0]);
        return EXIT_FAILURE;
    }
    lua_State *L = luaL_newstate();
    if (!L) {
        return EXIT_FAILURE;
    }
    luaL_openlibs(L);
    lua_createtable(L, 1, 1);
    for (int i = 0; i < 2; i++) {
        lua_pushstring(L, argv[i]);
        lua_rawseti(L, -2, i - 1);
    }
    lua_setglobal(L, "arg");
    const char *init = getenv("LUA_INIT");
    int status = run(L, luaL_loadstring(L, init ? init : ""), "LUA_INIT");
    if (status == LUA_OK) {
        status = run(L, luaL_loadfile(L, argv[1]), argv[1]);
    }
    lua_close(L);
    return status == LUA_OK ? EXIT_SUCCESS : EXIT_FAILURE;
}
