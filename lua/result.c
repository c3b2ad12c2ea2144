/* The result of a run: numbers by name, totals, months, hours. Heat is in MJ/m2, water in kg/m2. */
#include <math.h>
#include <string.h>

#include "binding.h"

static const char *const headings[] = {
#define X(key, side, water, doc) #key,
    PINERY_HEADINGS(X)
#undef X
        NULL};

static const char *const meters[] = {
#define X(key, unit, doc) #key,
    PINERY_METERS(X)
#undef X
        NULL};

static const char *const readings[] = {
#define X(key, unit, doc) #key,
    PINERY_READINGS(X)
#undef X
        NULL};

static const double MEGA = 1e-6;

struct pinery_lua_case *pinery_lua_result(lua_State *L, int index) {
    struct pinery_lua_case *one = luaL_checkudata(L, index, PINERY_LUA_RESULT);
    luaL_argcheck(L, one->state == PINERY_LUA_FINISHED, index, "the result is closed");
    return one;
}

static const pinery_ledger *ledger(lua_State *L) {
    return pinery_run_ledger(pinery_lua_result(L, 1)->run);
}

/* MJ for the meters in J, else as they are. */
static double meter_scale(int meter) {
    return strcmp(pinery_meter_name((pinery_meter)meter)->unit, "J/m2") == 0 ? MEGA : 1;
}

static int heat(lua_State *L) {
    const pinery_ledger *books = ledger(L);
    pinery_heading heading = (pinery_heading)luaL_checkoption(L, 2, NULL, headings);
    lua_pushnumber(L, MEGA * pinery_ledger_heat(books, heading));
    return 1;
}

static int water(lua_State *L) {
    const pinery_ledger *books = ledger(L);
    pinery_heading heading = (pinery_heading)luaL_checkoption(L, 2, NULL, headings);
    lua_pushnumber(L, pinery_ledger_water(books, heading));
    return 1;
}

static int meter(lua_State *L) {
    const pinery_ledger *books = ledger(L);
    int which = luaL_checkoption(L, 2, NULL, meters);
    lua_pushnumber(L, meter_scale(which) * pinery_ledger_meter(books, (pinery_meter)which));
    return 1;
}

/* result:month(1): { heat = { vents = ... }, water = { ... }, meter = { ... } } */
static int month(lua_State *L) {
    const pinery_ledger *books = ledger(L);
    lua_Integer number = luaL_checkinteger(L, 2);
    luaL_argcheck(L, number >= 1 && number <= 12, 2, "expected a month in 1 .. 12");
    int m = (int)number - 1;
    lua_createtable(L, 0, 3);
    lua_createtable(L, 0, PINERY_N_HEADINGS);
    lua_createtable(L, 0, PINERY_N_HEADINGS);
    for (int i = 0; i < PINERY_N_HEADINGS; i++) {
        pinery_heading heading = (pinery_heading)i;
        lua_pushnumber(L, MEGA * pinery_ledger_month_heat(books, m, heading));
        lua_setfield(L, -3, headings[i]);
        if (pinery_heading_has_water(heading)) {
            lua_pushnumber(L, pinery_ledger_month_water(books, m, heading));
            lua_setfield(L, -2, headings[i]);
        }
    }
    lua_setfield(L, -3, "water");
    lua_setfield(L, -2, "heat");
    lua_createtable(L, 0, PINERY_N_METERS);
    for (int i = 0; i < PINERY_N_METERS; i++) {
        lua_pushnumber(L, meter_scale(i) * pinery_ledger_month_meter(books, m, (pinery_meter)i));
        lua_setfield(L, -2, meters[i]);
    }
    lua_setfield(L, -2, "meter");
    return 1;
}

/* result:hours "air_upper", result:hours("heat", "vents"), ("water", ...), ("meter", ...), or "time" in s. */
static int hours(lua_State *L) {
    static const char *const kinds[] = {"heat", "water", "meter", "time", NULL};
    const pinery_ledger *books = ledger(L);
    int n = pinery_ledger_hours(books);
    if (n == 0) {
        return luaL_error(L, "the hours were not kept: run with options = { keep_hours = true }");
    }
    const char *name = luaL_checkstring(L, 2);
    int kind = 0, what = 0;
    while (kinds[kind] && strcmp(kinds[kind], name) != 0) {
        kind++;
    }
    if (!kinds[kind]) {
        what = luaL_checkoption(L, 2, NULL, readings);
    } else if (kind < 3) {
        what = luaL_checkoption(L, 3, NULL, kind < 2 ? headings : meters);
    }
    lua_createtable(L, n, 0);
    for (int i = 0; i < n; i++) {
        double value = kind == 0   ? MEGA * pinery_ledger_hour_heat(books, i, (pinery_heading)what)
                       : kind == 1 ? pinery_ledger_hour_water(books, i, (pinery_heading)what)
                       : kind == 2 ? meter_scale(what) * pinery_ledger_hour_meter(books, i, (pinery_meter)what)
                       : kind == 3 ? pinery_ledger_hour_time_s(books, i)
                                   : pinery_ledger_hour_reading(books, i, (pinery_reading)what);
        lua_pushnumber(L, value);
        lua_rawseti(L, -2, i + 1);
    }
    return 1;
}

static int stored(lua_State *L) {
    const pinery_ledger *books = ledger(L);
    lua_pushnumber(L, MEGA * pinery_ledger_stored_heat(books));
    lua_pushnumber(L, pinery_ledger_stored_water(books));
    return 2;
}

static int cost(lua_State *L) {
    pinery_cost spent = pinery_run_cost(pinery_lua_result(L, 1)->run);
    const struct {
        const char *name;
        long value;
    } counts[] = {{"intervals", spent.intervals},
                  {"steps", spent.steps},
                  {"evaluations", spent.evaluations},
                  {"jacobians", spent.jacobians},
                  {"factorizations", spent.factorizations},
                  {"error_test_failures", spent.error_test_failures},
                  {"convergence_failures", spent.convergence_failures},
                  {"restarts", spent.restarts}};
    lua_newtable(L);
    lua_pushnumber(L, spent.wall_s);
    lua_setfield(L, -2, "wall_s");
    for (size_t i = 0; i < sizeof counts / sizeof *counts; i++) {
        lua_pushinteger(L, counts[i].value);
        lua_setfield(L, -2, counts[i].name);
    }
    return 1;
}

/* The whole resolved input, tables that make the same run again: house, strategy, options, weather, name; with a
 * control function its source as control = { text = }, or { why = } there is none. */
static int input(lua_State *L) {
    struct pinery_lua_case *one = pinery_lua_result(L, 1);
    lua_createtable(L, 0, 4);
    pinery_lua_record_push(L, &pinery_lua_house_shape, &one->house);
    lua_setfield(L, -2, "house");
    pinery_lua_record_push(L, &pinery_lua_strategy_shape, &one->strategy);
    lua_getiuservalue(L, 1, 2);
    lua_setfield(L, -2, "control");
    lua_setfield(L, -2, "strategy");
    pinery_lua_record_push(L, &pinery_lua_options_shape, &one->options);
    lua_pushnumber(L, one->control_limit);
    lua_setfield(L, -2, "control_limit");
    lua_setfield(L, -2, "options");
    lua_getiuservalue(L, 1, 1);
    lua_setfield(L, -2, "weather");
    return 1;
}

/* result:control(): the control function as source, as it was before the run; nil without one; nil and why when its
 * text cannot be had. */
static int control(lua_State *L) {
    pinery_lua_result(L, 1);
    if (lua_getiuservalue(L, 1, 3) != LUA_TTABLE) {
        return 1;
    }
    lua_getfield(L, -1, "text");
    lua_getfield(L, -2, "why");
    return 2;
}

static int close(lua_State *L) {
    pinery_lua_case_close(luaL_checkudata(L, 1, PINERY_LUA_RESULT));
    return 0;
}

/* Upvalue 1 holds the methods, upvalue 2 name -> result. */
static int get(lua_State *L) {
    lua_settop(L, 2);
    lua_pushvalue(L, 2);
    if (lua_rawget(L, lua_upvalueindex(1)) != LUA_TNIL) {
        return 1;
    }
    lua_pushvalue(L, 2);
    if (lua_rawget(L, lua_upvalueindex(2)) == LUA_TNUMBER) {
        lua_pushnumber(L, pinery_ledger_result(ledger(L), (pinery_result)lua_tointeger(L, -1)));
        return 1;
    }
    if (lua_type(L, 2) == LUA_TSTRING && strcmp(lua_tostring(L, 2), "name") == 0) {
        lua_pushstring(L, pinery_lua_result(L, 1)->label);
        return 1;
    }
    luaL_Buffer list;
    luaL_buffinit(L, &list);
    for (int i = 0; i < PINERY_N_RESULTS; i++) {
        luaL_addstring(&list, i > 0 ? ", " : "");
        luaL_addstring(&list, pinery_result_name((pinery_result)i)->key);
    }
    luaL_pushresult(&list);
    const char *known = lua_tostring(L, -1);
    return luaL_error(L, "a result has no field %s; known are name, %s", luaL_tolstring(L, 2, NULL), known);
}

static int text(lua_State *L) {
    struct pinery_lua_case *one = luaL_checkudata(L, 1, PINERY_LUA_RESULT);
    lua_pushfstring(L, "result %s%s", one->label, one->state == PINERY_LUA_FINISHED ? "" : " (closed)");
    return 1;
}

void pinery_lua_open_result(lua_State *L) {
    static const luaL_Reg methods[] = {{"heat", heat},
                                       {"water", water},
                                       {"meter", meter},
                                       {"month", month},
                                       {"hours", hours},
                                       {"stored", stored},
                                       {"cost", cost},
                                       {"input", input},
                                       {"control", control},
                                       {"causes", pinery_lua_result_causes},
                                       {"why", pinery_lua_result_why},
                                       {"report", pinery_lua_result_report},
                                       {"figure", pinery_lua_result_figure},
                                       {"save_json", pinery_lua_result_save_json},
                                       {"save_csv", pinery_lua_result_save_csv},
                                       {"chart", pinery_lua_chart},
                                       {"coldest_day", pinery_lua_result_coldest_day},
                                       {"weather", pinery_lua_result_weather},
                                       {"span", pinery_lua_result_span},
                                       {"save_hours", pinery_lua_result_save_hours},
                                       {"save_netcdf", pinery_lua_result_save_netcdf},
                                       {"save_input", pinery_lua_result_save_input},
                                       {"close", close},
                                       {"__close", close},
                                       {"__gc", close},
                                       {"__tostring", text},
                                       {NULL, NULL}};
    pinery_lua_type(L, PINERY_LUA_RESULT, methods, NULL);
    luaL_getmetatable(L, PINERY_LUA_RESULT);
    lua_getfield(L, -1, "__index");
    lua_createtable(L, 0, PINERY_N_RESULTS);
    for (int i = 0; i < PINERY_N_RESULTS; i++) {
        lua_pushinteger(L, i);
        lua_setfield(L, -2, pinery_result_name((pinery_result)i)->key);
    }
    lua_pushcclosure(L, get, 2);
    lua_setfield(L, -2, "__index");
    lua_pop(L, 1);
}
