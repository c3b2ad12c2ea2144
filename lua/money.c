/* pinery.money { comparison, reference = "open", tariff = { ... }, invest = { ... }, draws = { ... } }: what the runs
 * cost a year, what is saved against one of them, whether it pays. The answer as a table, and as a page; money.lua
 * makes one of both. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "money.h"

static const struct pinery_lua_shape tariff_shape = {.fields = &pinery_tariff_fields},
                                     invest_shape = {.fields = &pinery_invest_fields, .also = "cases"};

static int fail(lua_State *L, const struct pinery_lua_bill *q, const char *text) {
    return pinery_lua_raise(L, q->where, lua_pushfstring(L, "money: %s", text));
}

static void *array(lua_State *L, int n, size_t size) {
    void *memory = lua_newuserdatauv(L, (size_t)n * size, 0);
    memset(memory, 0, (size_t)n * size);
    return memory;
}

static void check_keys(lua_State *L, const struct pinery_lua_bill *q) {
    static const char *const known[] = {"reference", "tariff", "invest", "draws", NULL};
    for (lua_pushnil(L); lua_next(L, 1); lua_pop(L, 1)) {
        bool fine = lua_isinteger(L, -2) != 0;
        for (int i = 0; known[i] && lua_type(L, -2) == LUA_TSTRING; i++) {
            fine = fine || strcmp(known[i], lua_tostring(L, -2)) == 0;
        }
        if (!fine) {
            fail(L, q,
                 lua_pushfstring(L, "unknown field %s; known are reference, tariff, invest, draws and the runs",
                                 luaL_tolstring(L, -2, NULL)));
        }
    }
}

/* --- the runs --- */

/* Run the comparison at the top of the stack, if it has not been, with its hours. */
static void run_comparison(lua_State *L, const struct pinery_lua_bill *q) {
    int at = lua_gettop(L);
    pinery_lua_comparison_keep_hours(L, at);
    lua_getfield(L, at, "run");
    lua_pushvalue(L, at);
    lua_call(L, 1, 2);
    if (lua_isnil(L, -2)) {
        pinery_lua_raise(L, q->where, lua_tostring(L, -1));
    }
    lua_settop(L, at);
}

/* Push a list of the results. */
static int push_runs(lua_State *L, struct pinery_lua_bill *q) {
    if (lua_rawgeti(L, 1, 1) != LUA_TNIL && luaL_testudata(L, -1, PINERY_LUA_COMPARISON)) {
        run_comparison(L, q);
        q->reference = pinery_lua_comparison_reference(L, lua_gettop(L));
        q->n = pinery_lua_comparison_cases(L, lua_gettop(L));
        return lua_gettop(L);
    }
    lua_pop(L, 1);
    q->n = (int)lua_rawlen(L, 1);
    if (q->n == 0) {
        fail(L, q, "there is nothing to reckon, expected a comparison or results");
    }
    lua_pushvalue(L, 1);
    return lua_gettop(L);
}

static void read_runs(lua_State *L, struct pinery_lua_bill *q) {
    int runs = push_runs(L, q);
    q->cases = array(L, q->n, sizeof *q->cases);
    q->run = array(L, q->n, sizeof *q->run);
    q->name = array(L, q->n, sizeof *q->name);
    q->light = array(L, q->n, sizeof *q->light);
    q->invest = array(L, q->n, sizeof *q->invest);
    q->draw_count = array(L, q->n, sizeof *q->draw_count);
    q->draws = array(L, q->n, sizeof *q->draws);
    lua_createtable(L, 0, q->n);
    q->names = lua_gettop(L);
    for (int i = 0; i < q->n; i++) {
        lua_rawgeti(L, runs, i + 1);
        q->run[i] = luaL_testudata(L, -1, PINERY_LUA_RESULT);
        if (!q->run[i]) {
            fail(L, q, lua_pushfstring(L, "[%d] is %s, expected a result", i + 1, pinery_lua_given(L, -1)));
        }
        if (q->run[i]->state != PINERY_LUA_FINISHED) {
            fail(L, q, lua_pushfstring(L, "[%d], the result %s, is closed", i + 1, q->run[i]->label));
        }
        q->name[i] = q->run[i]->label;
        lua_pushinteger(L, i);
        lua_setfield(L, q->names, q->name[i]);
        lua_pop(L, 1);
    }
}

/* The place of the case whose name or number is on top, or raise; `what` is where it stands. */
static int place(lua_State *L, const struct pinery_lua_bill *q, int at, const char *what) {
    if (lua_isinteger(L, at) && lua_tointeger(L, at) >= 1 && lua_tointeger(L, at) <= q->n) {
        return (int)lua_tointeger(L, at) - 1;
    }
    if (lua_type(L, at) == LUA_TSTRING) {
        lua_pushvalue(L, at);
        bool known = lua_rawget(L, q->names) == LUA_TNUMBER;
        int found = (int)lua_tointeger(L, -1);
        lua_pop(L, 1);
        if (known) {
            return found;
        }
    }
    luaL_Buffer list;
    luaL_buffinit(L, &list);
    for (int i = 0; i < q->n; i++) {
        luaL_addstring(&list, i > 0 ? ", " : "");
        luaL_addstring(&list, q->name[i]);
    }
    luaL_pushresult(&list);
    const char *known = lua_tostring(L, -1);
    return fail(L, q,
                lua_pushfstring(L, "%s: there is no case %s; there are %s", what, luaL_tolstring(L, at, NULL), known));
}

/* --- prices --- */

/* The numbers of the list on top, which stays there beside the array. */
static const double *read_numbers(lua_State *L, const struct pinery_lua_bill *q, const char *what, int *n) {
    int list = lua_gettop(L);
    *n = (int)lua_rawlen(L, list);
    double *value = array(L, *n > 0 ? *n : 1, sizeof *value);
    for (int i = 0; i < *n; i++) {
        if (lua_rawgeti(L, list, i + 1) != LUA_TNUMBER) {
            fail(L, q, lua_pushfstring(L, "%s[%d] is %s, expected a number", what, i + 1, pinery_lua_given(L, -1)));
        }
        value[i] = lua_tonumber(L, -1);
        lua_pop(L, 1);
    }
    return value;
}

static void read_tariff(lua_State *L, struct pinery_lua_bill *q) {
    static const char *const by_time[] = {"gas_price", "power_price"};
    if (lua_getfield(L, 1, "tariff") != LUA_TTABLE) {
        fail(L, q,
             lua_pushfstring(L, "tariff is %s, expected { currency = ..., gas_price = ... }", pinery_lua_given(L, -1)));
    }
    int given = lua_gettop(L);
    lua_newtable(L);
    int plain = lua_gettop(L);
    for (lua_pushnil(L); lua_next(L, given); lua_pop(L, 1)) {
        lua_pushvalue(L, -2);
        lua_pushvalue(L, -2);
        lua_rawset(L, plain);
    }
    for (int i = 0; i < 2; i++) {
        pinery_prices *prices = i == 0 ? &q->gas : &q->power;
        if (lua_getfield(L, plain, by_time[i]) == LUA_TTABLE) {
            prices->value = read_numbers(L, q, by_time[i], &prices->n);
            if (prices->n == 0) {
                fail(L, q, lua_pushfstring(L, "%s is an empty list", by_time[i]));
            }
            lua_pushnil(L);
            lua_setfield(L, plain, by_time[i]);
        }
    }
    pinery_tariff_default(&q->tariff);
    pinery_lua_record_read(L, plain, &tariff_shape, &q->tariff, q->where);
}

/* --- what it takes to have it --- */

static void read_invest(lua_State *L, struct pinery_lua_bill *q) {
    pinery_invest common;
    pinery_invest_default(&common);
    int type = lua_getfield(L, 1, "invest"), given = lua_gettop(L);
    if (type != LUA_TNIL) {
        pinery_lua_record_read(L, given, &invest_shape, &common, q->where);
    }
    for (int i = 0; i < q->n; i++) {
        q->invest[i] = common;
    }
    if (type == LUA_TNIL || lua_getfield(L, given, "cases") == LUA_TNIL) {
        return;
    }
    int cases = lua_gettop(L);
    if (!lua_istable(L, cases)) {
        fail(L, q,
             lua_pushfstring(L, "invest.cases is %s, expected { [\"name\"] = { price = ... } }",
                             pinery_lua_given(L, -1)));
    }
    for (lua_pushnil(L); lua_next(L, cases); lua_settop(L, cases + 1)) {
        int i = place(L, q, cases + 1, "invest.cases");
        if (i == q->reference) {
            fail(L, q, lua_pushfstring(L, "invest.cases: %s is the reference, which has no investment", q->name[i]));
        }
        pinery_lua_record_read(L, cases + 2, &invest_shape, &q->invest[i], q->where);
    }
}

static void read_draws(lua_State *L, struct pinery_lua_bill *q) {
    int type = lua_getfield(L, 1, "draws"), given = lua_gettop(L);
    if (type == LUA_TNIL) {
        return;
    }
    if (type != LUA_TTABLE) {
        fail(L, q,
             lua_pushfstring(L, "draws is %s, expected { [\"name\"] = { savings per m2 and year } }",
                             pinery_lua_given(L, -1)));
    }
    lua_newtable(L); /* keeps the arrays */
    for (lua_pushnil(L); lua_next(L, given); lua_settop(L, given + 2)) {
        int i = place(L, q, given + 2, "draws");
        if (!lua_istable(L, given + 3)) {
            fail(L, q,
                 lua_pushfstring(L, "draws: %s is %s, expected a list of savings", q->name[i],
                                 pinery_lua_given(L, given + 3)));
        }
        q->draws[i] = read_numbers(L, q, "draws", &q->draw_count[i]);
        lua_rawseti(L, given + 1, i + 1);
    }
}

int pinery_lua_money(lua_State *L) {
    lua_settop(L, 1);
    luaL_checkstack(L, 60, NULL);
    struct pinery_lua_bill *q = lua_newuserdatauv(L, sizeof *q, 0);
    *q = (struct pinery_lua_bill){.where = pinery_lua_where(L)};
    if (!lua_istable(L, 1)) {
        fail(L, q, lua_pushfstring(L, "expected a table, got %s", pinery_lua_given(L, 1)));
    }
    check_keys(L, q);
    read_runs(L, q);
    if (lua_getfield(L, 1, "reference") != LUA_TNIL) {
        q->reference = place(L, q, lua_gettop(L), "reference");
    }
    read_tariff(L, q);
    read_invest(L, q);
    read_draws(L, q);
    pinery_error error;
    for (int i = 0; i < q->n; i++) {
        const pinery_ledger *ledger = pinery_run_ledger(q->run[i]->run);
        double area = q->run[i]->house.length * q->run[i]->house.width;
        if (pinery_money_bill(ledger, &q->tariff, &q->gas, &q->power, area, &q->cases[i].bill, &error)) {
            fail(L, q, lua_pushfstring(L, "%s: %s", q->name[i], error.text));
        }
        q->light[i] = pinery_ledger_result(ledger, PINERY_RESULT_light_mol_per_m2) /
                      (q->cases[i].bill.whole ? round(q->cases[i].bill.years) : 1.0);
    }
    if (pinery_money_compare(q->n, q->cases, q->name, q->light, q->reference, &q->tariff, q->invest, q->draw_count,
                             q->draws, &error)) {
        pinery_lua_raise(L, q->where, error.text);
    }
    pinery_lua_bill_push(L, q);
    return 2;
}
