/* Draws and what comes of them, for the Lua files of this folder. */
#include <math.h>

#include "binding.h"

/* Push memory for the numbers of the list at `index`, filled with them. */
static double *push_list(lua_State *L, int index, int *n) {
    luaL_checktype(L, index, LUA_TTABLE);
    *n = (int)lua_rawlen(L, index);
    double *value = lua_newuserdatauv(L, (size_t)*n * sizeof *value + 1, 0);
    for (int i = 0; i < *n; i++) {
        lua_rawgeti(L, index, i + 1);
        value[i] = lua_type(L, -1) == LUA_TNUMBER ? lua_tonumber(L, -1) : NAN;
        lua_pop(L, 1);
    }
    return value;
}

static int give_list(lua_State *L, int n, const double value[]) {
    lua_createtable(L, n, 0);
    for (int i = 0; i < n; i++) {
        lua_pushnumber(L, value[i]);
        lua_rawseti(L, -2, i + 1);
    }
    return 1;
}

/* sample("sobol", draws, inputs, seed): a list, draw by draw. */
static int sample(lua_State *L) {
    static const char *const kinds[] = {"sobol", "latin hypercube", NULL};
    pinery_study_sampling kind = (pinery_study_sampling)luaL_checkoption(L, 1, NULL, kinds);
    int n = (int)luaL_checkinteger(L, 2), inputs = (int)luaL_checkinteger(L, 3);
    unsigned long seed = (unsigned long)luaL_checkinteger(L, 4);
    if (n < 1 || n > PINERY_STUDY_DRAWS || inputs < 1 || inputs > PINERY_STUDY_INPUTS) {
        return luaL_error(L, "draws or inputs are out of range");
    }
    double *u = lua_newuserdatauv(L, (size_t)n * (size_t)inputs * sizeof *u, 0);
    pinery_error error;
    if (pinery_study_sample(kind, n, inputs, seed, u, &error) != PINERY_OK) {
        return luaL_error(L, "%s", error.text);
    }
    return give_list(L, n * inputs, u);
}

static double field(lua_State *L, int index, const char *key, double otherwise) {
    lua_getfield(L, index, key);
    double value = lua_type(L, -1) == LUA_TNUMBER ? lua_tonumber(L, -1) : otherwise;
    lua_pop(L, 1);
    return value;
}

/* { kind =, a =, b =, c =, from =, to = } */
static pinery_study_chance read_chance(lua_State *L, int index) {
    static const char *const kinds[] = {
#define X(kind, name, doc) name,
        PINERY_STUDY_CHANCES(X)
#undef X
            NULL};
    luaL_checktype(L, index, LUA_TTABLE);
    lua_getfield(L, index, "kind");
    pinery_study_chance chance = {.kind = (pinery_study_chance_kind)luaL_checkoption(L, -1, NULL, kinds)};
    lua_pop(L, 1);
    chance.a = field(L, index, "a", NAN);
    chance.b = field(L, index, "b", NAN);
    chance.c = field(L, index, "c", NAN);
    chance.from = field(L, index, "from", -INFINITY);
    chance.to = field(L, index, "to", INFINITY);
    return chance;
}

/* check_chance(chance, name): nothing, or what is wrong with it. */
static int check_chance(lua_State *L) {
    pinery_study_chance chance = read_chance(L, 1);
    pinery_error error;
    if (pinery_study_chance_check(&chance, luaL_checkstring(L, 2), &error) == PINERY_OK) {
        return 0;
    }
    lua_pushstring(L, error.text);
    return 1;
}

/* quantile(chance, u) */
static int quantile(lua_State *L) {
    pinery_study_chance chance = read_chance(L, 1);
    lua_pushnumber(L, pinery_study_quantile(&chance, luaL_checknumber(L, 2)));
    return 1;
}

/* summarise(values) */
static int summarise(lua_State *L) {
    int n;
    const double *value = push_list(L, 1, &n);
    pinery_study_summary summary;
    pinery_error error;
    if (pinery_study_summarise(n, value, &summary, &error) != PINERY_OK) {
        return luaL_error(L, "%s", error.text);
    }
    const struct {
        const char *key;
        double value;
    } numbers[] = {{"mean", summary.mean},
                   {"median", summary.median},
                   {"low80", summary.low80},
                   {"high80", summary.high80},
                   {"low95", summary.low95},
                   {"high95", summary.high95},
                   {"median_error", summary.median_error},
                   {"below_zero", summary.below_zero}};
    lua_createtable(L, 0, 9);
    lua_pushinteger(L, summary.n);
    lua_setfield(L, -2, "n");
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++) {
        lua_pushnumber(L, numbers[i].value);
        lua_setfield(L, -2, numbers[i].key);
    }
    return 1;
}

/* shares(draws, inputs, values): by input; draws is the list of sample, of as many draws as values. */
static int shares(lua_State *L) {
    int length, n, inputs = (int)luaL_checkinteger(L, 2);
    luaL_argcheck(L, inputs >= 1 && inputs <= PINERY_STUDY_INPUTS, 2, "out of range");
    const double *u = push_list(L, 1, &length), *y = push_list(L, 3, &n);
    luaL_argcheck(L, length == n * inputs, 1, "not as many draws as values");
    double share[PINERY_STUDY_INPUTS];
    pinery_error error;
    if (pinery_study_shares(n, inputs, u, y, share, &error) != PINERY_OK) {
        return luaL_error(L, "%s", error.text);
    }
    return give_list(L, inputs, share);
}

/* total(values, values with one input drawn anew) */
static int total(lua_State *L) {
    int n, changed_n;
    const double *y = push_list(L, 1, &n), *changed = push_list(L, 2, &changed_n);
    luaL_argcheck(L, n == changed_n, 2, "not as many values");
    lua_pushnumber(L, pinery_study_total(n, y, changed));
    return 1;
}

void pinery_lua_add_chance(lua_State *L) {
    static const luaL_Reg functions[] = {{"sample", sample},
                                         {"check_chance", check_chance},
                                         {"quantile", quantile},
                                         {"summarise", summarise},
                                         {"shares", shares},
                                         {"total", total},
                                         {NULL, NULL}};
    luaL_setfuncs(L, functions, 0);
}
