/* Why a run did what it did, as tables of a script. */
#include <math.h>
#include <string.h>

#include "binding.h"

static const char *const actuators[] = {
#define X(key, unit, worth, doc) #key,
    PINERY_ACTUATORS(X)
#undef X
        NULL};

const pinery_causes *pinery_lua_causes(lua_State *L) {
    const pinery_causes *causes = pinery_run_causes(pinery_lua_result(L, 1)->run);
    if (!causes) {
        luaL_error(L, "the causes were not kept: run with options = { keep_causes = true }");
    }
    return causes;
}

static void set_number(lua_State *L, const char *key, double value) {
    if (!isnan(value)) {
        lua_pushnumber(L, value);
        lua_setfield(L, -2, key);
    }
}

/* { time =, day =, hour =, actuator =, from =, to =, cause =, why =, values = { name = }, limits = { name = }, reason =
 * } */
static void push_move(lua_State *L, const pinery_move *move) {
    double day = floor((move->time_s + 1e-3) / 86400.0);
    lua_createtable(L, 0, 11);
    set_number(L, "time", move->time_s);
    set_number(L, "day", day + 1.0);
    set_number(L, "hour", (move->time_s - 86400.0 * day) / 3600.0);
    set_number(L, "from", move->from);
    set_number(L, "to", move->to);
    lua_pushstring(L, pinery_actuator_name(move->actuator)->key);
    lua_setfield(L, -2, "actuator");
    lua_pushstring(L, pinery_cause_name(move->cause)->key);
    lua_setfield(L, -2, "cause");
    lua_pushstring(L, pinery_cause_name(move->cause)->doc);
    lua_setfield(L, -2, "why");
    if (move->reason[0] != '\0') {
        lua_pushstring(L, move->reason);
        lua_setfield(L, -2, "reason");
    }
    lua_createtable(L, 0, 2);
    lua_createtable(L, 0, 2);
    for (int i = 0; i < 2 && pinery_cause_value(move->cause, i); i++) {
        const char *name = pinery_cause_value(move->cause, i)->key;
        set_number(L, name, move->limit[i]);
        lua_pushvalue(L, -2);
        set_number(L, name, move->value[i]);
        lua_pop(L, 1);
    }
    lua_setfield(L, -3, "limits");
    lua_setfield(L, -2, "values");
}

void pinery_lua_span(lua_State *L, int table, double *from_s, double *to_s) {
    *from_s = -INFINITY;
    *to_s = INFINITY;
    if (lua_isnoneornil(L, table)) {
        return;
    }
    luaL_checktype(L, table, LUA_TTABLE);
    if (lua_getfield(L, table, "from") != LUA_TNIL) {
        *from_s = 86400.0 * (luaL_checknumber(L, -1) - 1.0);
    }
    if (lua_getfield(L, table, "days") != LUA_TNIL) {
        double days = luaL_checknumber(L, -1);
        luaL_argcheck(L, isfinite(*from_s), table, "days needs from, the day of the year it counts from");
        *to_s = *from_s + 86400.0 * days;
    }
    lua_pop(L, 2);
}

/* result:causes { from = 12, days = 1, actuator = "vent_lee" }: a list of moves in order of time, and how many found no
 * room. */
int pinery_lua_result_causes(lua_State *L) {
    lua_settop(L, 2);
    const pinery_causes *causes = pinery_lua_causes(L);
    double from_s, to_s;
    pinery_lua_span(L, 2, &from_s, &to_s);
    int only = -1, n = 0;
    if (!lua_isnil(L, 2) && lua_getfield(L, 2, "actuator") != LUA_TNIL) {
        only = luaL_checkoption(L, -1, NULL, actuators);
    }
    lua_newtable(L);
    for (int i = 0; i < pinery_causes_count(causes); i++) {
        pinery_move move = pinery_causes_move(causes, i);
        if (move.time_s >= from_s - 1e-3 && move.time_s < to_s - 1e-3 && (only < 0 || (int)move.actuator == only)) {
            push_move(L, &move);
            lua_rawseti(L, -2, ++n);
        }
    }
    lua_pushinteger(L, pinery_causes_lost(causes));
    return 2;
}

/* result:why(day, hour): for that moment the last move of everything, by actuator. */
int pinery_lua_result_why(lua_State *L) {
    const pinery_causes *causes = pinery_lua_causes(L);
    double time_s = 86400.0 * (luaL_checknumber(L, 2) - 1.0) + 3600.0 * luaL_optnumber(L, 3, 0.0);
    lua_createtable(L, 0, PINERY_N_ACTUATORS);
    for (int a = 0; a < PINERY_N_ACTUATORS; a++) {
        int i = pinery_causes_before(causes, (pinery_actuator)a, time_s);
        if (i >= 0) {
            pinery_move move = pinery_causes_move(causes, i);
            push_move(L, &move);
            lua_setfield(L, -2, actuators[a]);
        }
    }
    return 1;
}
