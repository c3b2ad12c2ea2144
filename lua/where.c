/* Which line of a script is running, and where the files it names are. */
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "binding.h"

/* The innermost function of a script: not C, not the strategy library. */
static bool innermost(lua_State *L, lua_Debug *ar) {
    for (int level = 0; lua_getstack(L, level, ar); level++) {
        if (lua_getinfo(L, "Sl", ar) && ar->currentline > 0 && strncmp(ar->short_src, "[pinery", 7) != 0) {
            return true;
        }
    }
    return false;
}

const char *pinery_lua_where(lua_State *L) {
    lua_Debug ar;
    if (innermost(L, &ar)) {
        return lua_pushfstring(L, "%s:%d", ar.short_src, ar.currentline);
    }
    return lua_pushliteral(L, "");
}

const char *pinery_lua_path(lua_State *L, const char *path) {
    lua_Debug ar;
    if (path[0] != '/' && innermost(L, &ar) && ar.source[0] == '@') {
        const char *slash = strrchr(ar.source, '/');
        if (slash) {
            lua_pushlstring(L, ar.source + 1, (size_t)(slash - ar.source));
            lua_pushstring(L, path);
            lua_concat(L, 2);
            return lua_tostring(L, -1);
        }
    }
    return lua_pushstring(L, path);
}

const char *pinery_lua_whole_path(lua_State *L, const char *path) {
    char folder[4096];
    if (path[0] != '/' && getcwd(folder, sizeof folder)) {
        return lua_pushfstring(L, "%s/%s", folder, path);
    }
    return lua_pushstring(L, path);
}

int pinery_lua_raise(lua_State *L, const char *where, const char *text) {
    lua_pushfstring(L, "%s%s%s", where, where[0] != '\0' ? ": " : "", text);
    return lua_error(L);
}

const char *pinery_lua_given(lua_State *L, int index) {
    return lua_isnoneornil(L, index) ? lua_pushliteral(L, "missing")
                                     : lua_pushfstring(L, "a %s", luaL_typename(L, index));
}

const char *pinery_lua_normals(lua_State *L) {
    const char *folder = getenv("PINERY_DATA");
    if (folder && folder[0] != '\0') {
        return lua_pushfstring(L, "%s/weather/normals.csv", folder);
    }
    static const char *const folders[] = {
#ifdef PINERY_DATA_DIR_SOURCE
        PINERY_DATA_DIR_SOURCE,
#endif
#ifdef PINERY_DATA_DIR
        PINERY_DATA_DIR,
#endif
        "/usr/local/share/pinery", "/usr/share/pinery"};
    lua_pushliteral(L, "");
    for (size_t i = 0; i < sizeof folders / sizeof *folders; i++) {
        const char *path = lua_pushfstring(L, "%s/weather/normals.csv", folders[i]);
        if (access(path, R_OK) == 0) {
            return path;
        }
        lua_pushfstring(L, "%s%s%s", lua_tostring(L, -2), i > 0 ? ", " : "", path);
    }
    const char *tried = lua_tostring(L, -1);
    pinery_lua_raise(
        L, pinery_lua_where(L),
        lua_pushfstring(L, "weather/normals.csv is not found, tried %s; set PINERY_DATA to its folder", tried));
    return NULL;
}
