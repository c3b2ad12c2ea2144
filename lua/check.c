/* A case looked at before it is run. */
#include <math.h>

#include "binding.h"

#define WATCH "pinery.watch"

struct holder {
    pinery_watch *watch;
};

static int free_watch(lua_State *L) {
    struct holder *holder = luaL_checkudata(L, 1, WATCH);
    pinery_watch_free(holder->watch);
    holder->watch = NULL;
    return 0;
}

static void set_number(lua_State *L, const char *key, double value) {
    if (!isnan(value)) {
        lua_pushnumber(L, value);
        lua_setfield(L, -2, key);
    }
}

static void set_text(lua_State *L, const char *key, const char *text) {
    lua_pushstring(L, text);
    lua_setfield(L, -2, key);
}

/* Push { case =, warnings = { { key =, title =, rule =, hours =, days =, looked =, day =, hour =, caution = } },
 * cautions = ... } */
static void push_advice(lua_State *L, const pinery_watch *watch, const char *label) {
    lua_createtable(L, 0, 3);
    set_text(L, "case", label);
    lua_newtable(L);
    lua_newtable(L);
    for (int i = 0; i < pinery_watch_count(watch); i++) {
        pinery_warning warning = pinery_watch_warning(watch, i);
        lua_createtable(L, 0, 9);
        set_text(L, "key", warning.key);
        set_text(L, "title", warning.title);
        set_text(L, "caution", warning.caution);
        set_text(L, "rule", warning.rule);
        set_number(L, "hours", warning.hours);
        set_number(L, "days", warning.is_warning ? warning.days : (double)NAN);
        set_number(L, "error", warning.is_warning ? warning.error_h : (double)NAN);
        set_number(L, "looked", warning.looked_d);
        double day = floor((warning.first_s + 1e-3) / 86400.0);
        set_number(L, "day", day + 1.0);
        set_number(L, "hour", (warning.first_s - 86400.0 * day) / 3600.0);
        int list = warning.is_warning ? -3 : -2;
        lua_rawseti(L, list, (lua_Integer)lua_rawlen(L, list) + 1);
    }
    lua_setfield(L, -3, "cautions");
    lua_setfield(L, -2, "warnings");
}

bool pinery_lua_case_check(lua_State *L, int index) {
    struct pinery_lua_case *one = lua_touserdata(L, index);
    luaL_checkstack(L, 12, NULL);
    int top = lua_gettop(L);
    struct holder *holder = lua_newuserdatauv(L, sizeof *holder, 0);
    holder->watch = NULL;
    luaL_setmetatable(L, WATCH);
    lua_getiuservalue(L, index, 1);
    struct pinery_lua_weather *weather = lua_touserdata(L, -1);
    if (weather->closed) {
        lua_settop(L, top);
        lua_pushliteral(L, "the weather is closed");
        return false;
    }
    pinery_error error;
    pinery_options whole = one->options, spell;
    if (pinery_watch_create(weather->weather, &one->house, &one->strategy, &whole,
                            pinery_lua_case_has_control(L, index), &holder->watch, &error) != PINERY_OK) {
        lua_settop(L, top);
        lua_pushstring(L, error.text);
        return false;
    }
    bool fine = true;
    for (int i = 0; fine && pinery_watch_spell(holder->watch, i, &spell); i++) {
        one->options = spell;
        one->watch = holder->watch;
        pinery_lua_case_begin(L, index);
        if (one->status != PINERY_OK) {
            lua_pushstring(L, one->error.text);
            fine = false;
        } else {
            fine = pinery_lua_case_drive(L, index, NULL, NULL);
        }
        one->watch = NULL;
        one->options = whole;
        pinery_lua_case_close(one);
    }
    if (fine) {
        pinery_watch_finish(holder->watch);
        push_advice(L, holder->watch, one->label);
    }
    pinery_watch_free(holder->watch);
    holder->watch = NULL;
    lua_replace(L, top + 1);
    lua_settop(L, top + 1);
    return fine;
}

/* pinery.check_case { weather =, house =, strategy =, options = }: what there is to say, or nil and a message. */
int pinery_lua_check(lua_State *L) {
    lua_settop(L, 1);
    const char *where = pinery_lua_where(L);
    pinery_lua_case_push(L, 1, 1, (struct pinery_lua_common){0}, where);
    double start = pinery_lua_clock();
    bool fine = pinery_lua_case_check(L, lua_gettop(L));
    pinery_lua_guard_pause(L, pinery_lua_clock() - start);
    if (!fine) {
        lua_pushnil(L);
        lua_insert(L, -2);
        return 2;
    }
    return 1;
}

/* comparison:check(): what there is to say of its cases before they are run, or nil and a message. */
int pinery_lua_comparison_check(lua_State *L) {
    lua_settop(L, 1);
    int n = pinery_lua_comparison_waiting(L, 1); /* the list at 2 */
    lua_getfield(L, LUA_REGISTRYINDEX, PINERY_LUA_MODULE);
    lua_getfield(L, 3, "advice");
    lua_replace(L, 3);
    lua_createtable(L, n, 0);
    double start_s = pinery_lua_clock();
    bool fine = true;
    for (int i = 1; i <= n && fine; i++) {
        lua_settop(L, 4);
        lua_rawgeti(L, 2, i);
        fine = pinery_lua_case_check(L, 5);
        if (fine) {
            lua_rawseti(L, 4, i);
        }
    }
    pinery_lua_guard_pause(L, pinery_lua_clock() - start_s);
    if (!fine) {
        lua_pushnil(L);
        lua_insert(L, -2);
        return 2;
    }
    lua_settop(L, 4);
    lua_call(L, 1, 1);
    return 1;
}

void pinery_lua_open_check(lua_State *L) {
    static const luaL_Reg methods[] = {{"__gc", free_watch}, {"__close", free_watch}, {NULL, NULL}};
    pinery_lua_type(L, WATCH, methods, NULL);
}
