/* pinery.steady { house = ..., outside = -10, cloth_1 = 1, ... }: the house at rest, a table of numbers. */
#include <string.h>

#include "binding.h"

static void set_number(lua_State *L, const char *key, double value) {
    lua_pushnumber(L, value);
    lua_setfield(L, -2, key);
}

/* Push a table of flows by heading, W/m2 of floor or g/(m2 h). */
static void push_flows(lua_State *L, const double *flow, double scale, bool water) {
    lua_createtable(L, 0, PINERY_N_HEADINGS);
    for (int i = 0; i < PINERY_N_HEADINGS; i++) {
        if (!water || pinery_heading_has_water((pinery_heading)i)) {
            set_number(L, pinery_heading_name((pinery_heading)i)->key, scale * flow[i]);
        }
    }
}

static void push_answer(lua_State *L, const pinery_steady *steady) {
    lua_createtable(L, 0, PINERY_N_STEADY_RESULTS + 5);
    for (int i = 0; i < PINERY_N_STEADY_RESULTS; i++) {
        set_number(L, pinery_steady_result_name((pinery_steady_result)i)->key, steady->result[i]);
    }
    lua_pushboolean(L, steady->held);
    lua_setfield(L, -2, "held");
    lua_createtable(L, 0, PINERY_N_READINGS);
    for (int i = 0; i < PINERY_N_READINGS; i++) {
        set_number(L, pinery_reading_name((pinery_reading)i)->key, steady->reading[i]);
    }
    lua_setfield(L, -2, "reading");
    push_flows(L, steady->heat, 1.0, false);
    lua_setfield(L, -2, "heat_by_heading");
    push_flows(L, steady->water, 3600e3, true);
    lua_setfield(L, -2, "water_by_heading");
    lua_createtable(L, 0, PINERY_N_METERS); /* per second: W/m2, kg/(m2 s), mol/(m2 s) */
    for (int i = 0; i < PINERY_N_METERS; i++) {
        set_number(L, pinery_meter_name((pinery_meter)i)->key, steady->meter[i]);
    }
    lua_setfield(L, -2, "meter_rate");
}

/* A table, or nil and a message when the house does not come to rest. What is wrong with the input is raised. */
int pinery_lua_steady(lua_State *L) {
    lua_settop(L, 1);
    const char *where = pinery_lua_where(L);
    if (!lua_istable(L, 1)) {
        return pinery_lua_raise(L, where,
                                lua_pushfstring(L, "steady: expected a table, got %s", pinery_lua_given(L, 1)));
    }
    pinery_conditions conditions;
    pinery_conditions_default(&conditions);
    pinery_lua_record_read(L, 1, &pinery_lua_conditions_shape, &conditions, where);
    lua_pushliteral(L, "house");
    lua_rawget(L, 1);
    const pinery_house *house = pinery_lua_house(L, lua_gettop(L), where);
    pinery_steady steady;
    pinery_error error = {.status = PINERY_OK};
    pinery_status status = pinery_steady_solve(house, &conditions, &steady, &error);
    if (status == PINERY_SOLVER) {
        lua_pushnil(L);
        lua_pushstring(L, error.text);
        return 2;
    }
    if (status != PINERY_OK) {
        return pinery_lua_raise(L, where, error.text);
    }
    push_answer(L, &steady);
    return 1;
}
