/* Weather as a handle of a script. */
#include <math.h>
#include <string.h>

#include "binding.h"

static const char *const keys[] = {"file", "typical", "seed", "normals"};

static void check_keys(lua_State *L, const char *where) {
    for (lua_pushnil(L); lua_next(L, 1); lua_pop(L, 1)) {
        const char *key = lua_type(L, -2) == LUA_TSTRING ? lua_tostring(L, -2) : "";
        bool known = false;
        for (size_t i = 0; i < sizeof keys / sizeof *keys; i++) {
            known = known || strcmp(key, keys[i]) == 0;
        }
        if (!known) {
            pinery_lua_raise(L, where,
                             lua_pushfstring(L, "weather: unknown field %s; known are file, typical, seed, normals",
                                             luaL_tolstring(L, -2, NULL)));
        }
    }
}

/* The text in the field, or NULL; left on the stack. */
static const char *text_field(lua_State *L, const char *key, const char *where) {
    lua_pushstring(L, key);
    int type = lua_rawget(L, 1);
    if (type != LUA_TNIL && type != LUA_TSTRING) {
        pinery_lua_raise(L, where,
                         lua_pushfstring(L, "weather: %s is a %s, expected a text", key, luaL_typename(L, -1)));
    }
    return lua_tostring(L, -1);
}

static unsigned seed_field(lua_State *L, const char *where) {
    lua_pushliteral(L, "seed");
    if (lua_rawget(L, 1) == LUA_TNIL) {
        return 1;
    }
    int whole;
    lua_Integer seed = lua_tointegerx(L, -1, &whole);
    if (lua_type(L, -1) != LUA_TNUMBER || !whole || seed < 0 || seed > 0xffffffff) {
        pinery_lua_raise(L, where,
                         lua_pushfstring(L, "weather: seed = %s is not a whole number in 0 .. 4294967295",
                                         luaL_tolstring(L, -1, NULL)));
    }
    return (unsigned)seed;
}

/* Set the whole of a path in the table on top of the stack. */
static void set_path(lua_State *L, const char *key, const char *path) {
    pinery_lua_whole_path(L, path);
    lua_setfield(L, -2, key);
}

/* Push what makes the same weather again from anywhere: { file = } or { typical =, seed =, normals = }, with whole
 * paths; normals only where they are not those of the library. */
static void push_origin(lua_State *L, const char *file, const char *place, unsigned seed, const char *normals) {
    lua_createtable(L, 0, 3);
    if (file) {
        set_path(L, "file", file);
        return;
    }
    lua_pushstring(L, place);
    lua_setfield(L, -2, "typical");
    lua_pushinteger(L, seed);
    lua_setfield(L, -2, "seed");
    if (normals) {
        set_path(L, "normals", normals);
    }
}

int pinery_lua_new_weather(lua_State *L) {
    lua_settop(L, 1);
    const char *where = pinery_lua_where(L);
    if (!lua_istable(L, 1)) {
        pinery_lua_raise(
            L, where,
            lua_pushfstring(L, "weather: expected { file = ... } or { typical = ... }, got a %s", luaL_typename(L, 1)));
    }
    check_keys(L, where);
    const char *file = text_field(L, "file", where);
    const char *place = text_field(L, "typical", where);
    unsigned seed = seed_field(L, where);
    if (!file == !place) {
        pinery_lua_raise(L, where, "weather: give either file or typical");
    }
    const char *normals = text_field(L, "normals", where);
    if (file && normals) {
        pinery_lua_raise(L, where, "weather: normals go with typical, not with file");
    }
    normals = normals ? pinery_lua_path(L, normals) : NULL;
    const char *path = file ? pinery_lua_path(L, file) : normals ? normals : pinery_lua_normals(L);
    struct pinery_lua_weather *handle = lua_newuserdatauv(L, sizeof *handle, 1);
    *handle = (struct pinery_lua_weather){0};
    luaL_setmetatable(L, PINERY_LUA_WEATHER);
    push_origin(L, file ? path : NULL, place, seed, normals);
    lua_setiuservalue(L, -2, 1);
    pinery_error error;
    pinery_status status = file ? pinery_weather_read(path, &handle->weather, &error)
                                : pinery_weather_generate(path, place, seed, &handle->weather, &error);
    if (status != PINERY_OK) {
        pinery_lua_raise(L, where, error.text);
    }
    return 1;
}

struct pinery_lua_weather *pinery_lua_weather(lua_State *L, int at, const char *where) {
    at = lua_absindex(L, at);
    if (lua_istable(L, at)) {
        lua_pushcfunction(L, pinery_lua_new_weather);
        lua_pushvalue(L, at);
        lua_call(L, 1, 1);
        lua_replace(L, at);
    }
    struct pinery_lua_weather *handle = luaL_testudata(L, at, PINERY_LUA_WEATHER);
    if (!handle) {
        pinery_lua_raise(L, where,
                         lua_pushfstring(L, "weather is %s, expected pinery.weather { ... }", pinery_lua_given(L, at)));
    } else if (handle->closed) {
        pinery_lua_raise(L, where, "the weather is closed");
    }
    return handle;
}

const pinery_weather *pinery_lua_weather_self(lua_State *L) {
    struct pinery_lua_weather *handle = luaL_checkudata(L, 1, PINERY_LUA_WEATHER);
    luaL_argcheck(L, !handle->closed && handle->weather, 1, "the weather is closed");
    return handle->weather;
}

static void free_unused(struct pinery_lua_weather *handle) {
    if (handle->closed && handle->users == 0) {
        pinery_weather_free(handle->weather);
        handle->weather = NULL;
    }
}

void pinery_lua_weather_release(struct pinery_lua_weather *handle) {
    handle->users--;
    free_unused(handle);
}

static int close_weather(lua_State *L) {
    struct pinery_lua_weather *handle = luaL_checkudata(L, 1, PINERY_LUA_WEATHER);
    handle->closed = true;
    free_unused(handle);
    return 0;
}

static const char *const columns[] = {
#define X(key, unit, doc) #key,
    PINERY_WEATHER_COLUMNS(X)
#undef X
        NULL};

static int values(lua_State *L) {
    const pinery_weather *weather = pinery_lua_weather_self(L);
    const double *value = pinery_weather_values(weather, (pinery_weather_column)luaL_checkoption(L, 2, NULL, columns));
    int n = pinery_weather_count(weather);
    lua_createtable(L, n, 0);
    for (int i = 0; i < n; i++) {
        lua_pushnumber(L, value[i]);
        lua_rawseti(L, -2, i + 1);
    }
    return 1;
}

static int filled(lua_State *L) {
    const pinery_weather *weather = pinery_lua_weather_self(L);
    int column = luaL_checkoption(L, 2, NULL, columns);
    lua_pushinteger(L, pinery_weather_filled(weather, (pinery_weather_column)column));
    return 1;
}

static int remarks(lua_State *L) {
    const pinery_weather *weather = pinery_lua_weather_self(L);
    lua_newtable(L);
    for (int i = 0; i < pinery_weather_remark_count(weather); i++) {
        lua_pushstring(L, pinery_weather_remark(weather, i));
        lua_rawseti(L, -2, i + 1);
    }
    return 1;
}

static int get(lua_State *L) {
    const char *key = luaL_checkstring(L, 2);
    if (lua_getfield(L, lua_upvalueindex(1), key) != LUA_TNIL) {
        return 1;
    }
    const pinery_weather *weather = pinery_lua_weather_self(L);
    const pinery_site *site = pinery_weather_site(weather);
    static const char *const names[] = {"name",  "latitude", "longitude", "utc_offset", "elevation", "count", "step",
                                        "start", "instant",  "is_year",   "source",     "checksum",  NULL};
    switch (luaL_checkoption(L, 2, NULL, names)) {
    case 0:
        lua_pushstring(L, site->name);
        break;
    case 1:
        lua_pushnumber(L, site->latitude_deg);
        break;
    case 2:
        lua_pushnumber(L, site->longitude_deg);
        break;
    case 3:
        lua_pushnumber(L, site->utc_offset_h);
        break;
    case 4:
        lua_pushnumber(L, site->elevation_m);
        break;
    case 5:
        lua_pushinteger(L, pinery_weather_count(weather));
        break;
    case 6:
        lua_pushnumber(L, pinery_weather_step_s(weather));
        break;
    case 7:
        lua_pushnumber(L, pinery_weather_start_s(weather));
        break;
    case 8:
        lua_pushnumber(L, pinery_weather_instant_s(weather));
        break;
    case 9:
        lua_pushboolean(L, pinery_weather_is_year(weather));
        break;
    case 10:
        lua_pushstring(L, pinery_weather_source(weather));
        break;
    default: {
        char text[32];
        snprintf(text, sizeof text, "%016llx", pinery_weather_checksum(weather));
        lua_pushstring(L, text);
    }
    }
    return 1;
}

/* weather:origin(): { file = } or { typical =, seed =, normals = }, or nil when it is neither. */
static int origin(lua_State *L) {
    luaL_checkudata(L, 1, PINERY_LUA_WEATHER);
    lua_getiuservalue(L, 1, 1);
    return 1;
}

static int text(lua_State *L) {
    struct pinery_lua_weather *handle = luaL_checkudata(L, 1, PINERY_LUA_WEATHER);
    lua_pushfstring(L, "weather %s", handle->closed ? "(closed)" : pinery_weather_source(handle->weather));
    return 1;
}

void pinery_lua_open_weather(lua_State *L) {
    static const luaL_Reg methods[] = {{"values", values},
                                       {"filled", filled},
                                       {"remarks", remarks},
                                       {"origin", origin},
                                       {"report", pinery_lua_weather_report},
                                       {"figure", pinery_lua_weather_figure},
                                       {"close", close_weather},
                                       {"__close", close_weather},
                                       {"__gc", close_weather},
                                       {"__tostring", text},
                                       {NULL, NULL}};
    pinery_lua_type(L, PINERY_LUA_WEATHER, methods, get);
}
