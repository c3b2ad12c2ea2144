/* The answer of pinery.size, a table, as a figure. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "binding.h"

static double number(lua_State *L, int table, const char *key) {
    lua_getfield(L, table, key);
    double value = lua_type(L, -1) == LUA_TNUMBER ? lua_tonumber(L, -1) : NAN;
    lua_pop(L, 1);
    return value;
}

/* The number in table[key][limit], or in table[key][limit].capacity. */
static double by_limit(lua_State *L, int table, const char *key, double limit) {
    double value = NAN;
    if (lua_getfield(L, table, key) == LUA_TTABLE) {
        int type = lua_rawgeti(L, -1, (lua_Integer)limit);
        value = type == LUA_TNUMBER  ? lua_tonumber(L, -1)
                : type == LUA_TTABLE ? number(L, lua_gettop(L), "capacity")
                                     : NAN;
        lua_pop(L, 1);
    }
    lua_pop(L, 1);
    return value;
}

static const char *text(lua_State *L, int table, const char *key) {
    return lua_getfield(L, table, key) == LUA_TSTRING ? lua_tostring(L, -1) : "";
}

/* Push memory for the points, and whatever else must stay while it is drawn. */
static void read(lua_State *L, pinery_sizing *sizing) {
    luaL_checktype(L, 1, LUA_TTABLE);
    luaL_checkstack(L, 20, NULL);
    sizing->unit = text(L, 1, "unit");
    sizing->machine = luaL_checkstring(L, 3);
    const char *house = text(L, 1, "house"), *weather = text(L, 1, "weather");
    sizing->title = lua_pushfstring(L, "%s%s%s, %s", sizing->machine, house[0] ? " for " : "", house, weather);
    sizing->place = luaL_checkstring(L, 4);
    lua_getfield(L, 1, "limits");
    luaL_checktype(L, -1, LUA_TTABLE);
    int limits = lua_gettop(L);
    for (int i = 0; i < PINERY_SIZING_LIMITS && lua_rawgeti(L, limits, i + 1) == LUA_TNUMBER;
         i++, lua_settop(L, limits)) {
        sizing->limit[i] = lua_tonumber(L, -1);
        sizing->allowed[i] = by_limit(L, 1, "allowed", sizing->limit[i]);
        sizing->needed[i] = by_limit(L, 1, "needed", sizing->limit[i]);
        sizing->limits++;
    }
    lua_settop(L, limits);
    lua_getfield(L, 1, "curve");
    luaL_checktype(L, -1, LUA_TTABLE);
    int curve = lua_gettop(L);
    sizing->points = (int)lua_rawlen(L, curve);
    pinery_sizing_point *points = lua_newuserdatauv(L, (size_t)(sizing->points + 1) * sizeof *points, 0);
    sizing->point = points;
    for (int i = 0; i < sizing->points; i++) {
        lua_rawgeti(L, curve, i + 1);
        luaL_checktype(L, -1, LUA_TTABLE);
        int one = lua_gettop(L);
        points[i] = (pinery_sizing_point){
            .capacity = number(L, one, "capacity"), .power = number(L, one, "kWh"), .gas = number(L, one, "gas")};
        for (int j = 0; j < sizing->limits; j++) {
            points[i].hours[j] = by_limit(L, one, "hours", sizing->limit[j]);
        }
        lua_pop(L, 1);
    }
}

static pinery_status in_letters(FILE *out, const void *context, pinery_error *error) {
    return pinery_report_sizing_figure(context, NULL, out, error);
}

int pinery_lua_sizing_figure(lua_State *L) {
    pinery_sizing sizing = {0};
    lua_settop(L, 4);
    read(L, &sizing);
    if (lua_isnil(L, 2)) {
        pinery_lua_page(L, in_letters, &sizing);
        return 1;
    }
    pinery_error error;
    if (pinery_report_sizing_figure(&sizing, luaL_checkstring(L, 2), NULL, &error)) {
        lua_pushnil(L);
        lua_pushstring(L, error.text);
        return 2;
    }
    lua_pushboolean(L, true);
    return 1;
}
