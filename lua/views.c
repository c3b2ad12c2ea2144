/* What a control function is handed: seen, orders and run. The views are made once for a run and look into one scene,
 * so that a control instant needs no memory. */
#include "views.h"

#include <string.h>

#define SEEN "pinery.seen"
#define RUN "pinery.run"

struct pinery_lua_view *pinery_lua_view(lua_State *L, const char *type) {
    struct pinery_lua_view *v = luaL_checkudata(L, 1, type);
    if (!v->scene->live) {
        luaL_error(L, "%s may only be used inside the control function", type + strlen("pinery."));
    }
    return v;
}

struct pinery_lua_view *pinery_lua_view_here(lua_State *L, const char *type) {
    bool so = lua_getmetatable(L, 1) && lua_rawequal(L, -1, lua_upvalueindex(2));
    struct pinery_lua_view *v = so ? lua_touserdata(L, 1) : NULL;
    if (!v || !v->scene->live) {
        return pinery_lua_view(L, type); /* raises */
    }
    lua_pop(L, 1);
    return v;
}

void pinery_lua_view_push(lua_State *L, int scene, const char *type, int what, int index) {
    struct pinery_lua_view *v = lua_newuserdatauv(L, sizeof *v, 2);
    *v = (struct pinery_lua_view){lua_touserdata(L, scene), what, index};
    luaL_setmetatable(L, type);
    lua_pushvalue(L, scene);
    lua_setiuservalue(L, -2, 1);
}

/* --- seen --- */

static const char *const seen_names[] = {
#define X(key, unit, doc) #key,
    PINERY_SEEN(X) PINERY_READINGS(X)
#undef X
};

static const size_t seen_offsets[] = {
#define X(key, unit, doc) offsetof(pinery_seen, key),
    PINERY_SEEN(X)
#undef X
#define X(key, unit, doc) offsetof(pinery_seen, reading) + PINERY_READING_##key * sizeof(double),
        PINERY_READINGS(X)
#undef X
};

/* Upvalue 1: name -> place in the lists above. */
static int seen_index(lua_State *L) {
    struct pinery_lua_view *v = pinery_lua_view_here(L, SEEN);
    lua_pushvalue(L, 2);
    if (lua_rawget(L, lua_upvalueindex(1)) != LUA_TNUMBER) {
        luaL_Buffer list;
        luaL_buffinit(L, &list);
        for (size_t i = 0; i < sizeof seen_names / sizeof *seen_names; i++) {
            luaL_addstring(&list, i > 0 ? ", " : "");
            luaL_addstring(&list, seen_names[i]);
        }
        luaL_pushresult(&list);
        const char *known = lua_tostring(L, -1);
        return luaL_error(L, "seen has no field %s; known are %s", luaL_tolstring(L, 2, NULL), known);
    }
    double value;
    memcpy(&value, (const char *)v->scene->seen + seen_offsets[lua_tointeger(L, -1)], sizeof value);
    lua_pushnumber(L, value);
    return 1;
}

/* --- run --- */

static const char *const columns[] = {
#define X(key, unit, doc) #key,
    PINERY_WEATHER_COLUMNS(X)
#undef X
        NULL};

static int run_ahead(lua_State *L) {
    struct pinery_lua_view *v = pinery_lua_view(L, RUN);
    int column = luaL_checkoption(L, 2, NULL, columns);
    double hours = luaL_optnumber(L, 3, 0);
    luaL_argcheck(L, hours >= 0 && hours <= 8784, 3, "expected hours ahead in 0 .. 8784");
    lua_pushnumber(L, pinery_run_forecast(v->scene->run, (pinery_weather_column)column, hours));
    return 1;
}

/* Upvalue 1 holds the methods; user value 2 is the table a control function may keep its own things in. */
static int run_get(lua_State *L) {
    struct pinery_lua_view *v = pinery_lua_view(L, RUN);
    const char *key = luaL_checkstring(L, 2);
    if (lua_getfield(L, lua_upvalueindex(1), key) != LUA_TNIL) {
        return 1;
    }
    if (strcmp(key, "memory") == 0) {
        lua_getiuservalue(L, 1, 2);
    } else if (strcmp(key, "progress") == 0) {
        lua_pushnumber(L, pinery_run_progress(v->scene->run));
    } else {
        return luaL_error(L, "run has no field %s; known are ahead, memory, progress", key);
    }
    return 1;
}

/* --- the scene --- */

struct pinery_lua_scene *pinery_lua_scene_push(lua_State *L) {
    luaL_checkstack(L, 12, NULL);
    struct pinery_lua_scene *scene = lua_newuserdatauv(L, sizeof *scene, 0);
    memset(scene, 0, sizeof *scene);
    int at = lua_gettop(L);
    pinery_lua_view_push(L, at, SEEN, 0, 0);
    pinery_lua_orders_push(L, at);
    pinery_lua_view_push(L, at, RUN, 0, 0);
    lua_newtable(L);
    lua_setiuservalue(L, -2, 2);
    return scene;
}

void pinery_lua_view_event(lua_State *L, const char *type, const char *event, lua_CFunction function,
                           const char *const names[], int n) {
    luaL_getmetatable(L, type);
    lua_createtable(L, 0, n);
    for (int i = 0; i < n; i++) {
        lua_pushinteger(L, i);
        lua_setfield(L, -2, names[i]);
    }
    lua_pushvalue(L, -2);
    lua_pushcclosure(L, function, 2);
    lua_setfield(L, -2, event);
    lua_pop(L, 1);
}

void pinery_lua_open_views(lua_State *L) {
    static const luaL_Reg none[] = {{NULL, NULL}};
    static const luaL_Reg run[] = {{"ahead", run_ahead}, {NULL, NULL}};
    pinery_lua_type(L, SEEN, none, NULL);
    pinery_lua_view_event(L, SEEN, "__index", seen_index, seen_names, sizeof seen_names / sizeof *seen_names);
    pinery_lua_type(L, RUN, run, run_get);
    pinery_lua_open_orders(L);
}
