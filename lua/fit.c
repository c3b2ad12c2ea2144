/* The search for the best values of named parameters, its model a function of the script. What the search owns must not
 * be lost to an error of the script, so the function is called protected, and its message is raised after the end. */
#include <string.h>

#include "binding.h"

struct model {
    lua_State *L;
    int function, handler, message; /* stack indices */
    const pinery_fit_problem *problem;
};

/* Push the field of the table on top and give it as a number. */
static double number(lua_State *L, const char *key) {
    lua_getfield(L, -1, key);
    double value = lua_tonumber(L, -1);
    lua_pop(L, 1);
    return value;
}

static pinery_status script_failed(struct model *model, pinery_error *error) {
    lua_replace(model->L, model->message);
    *error = (pinery_error){.status = PINERY_SCRIPT};
    return PINERY_SCRIPT;
}

static pinery_status residuals(void *context, const double *value, double *residual, pinery_error *error) {
    struct model *model = context;
    lua_State *L = model->L;
    int n = model->problem->parameters;
    lua_pushvalue(L, model->function);
    for (int i = 0; i < n; i++) {
        lua_pushnumber(L, value[i]);
    }
    if (lua_pcall(L, n, 1, model->handler) != LUA_OK) {
        return script_failed(model, error);
    }
    for (int i = 0; i < model->problem->residuals; i++) {
        lua_rawgeti(L, -1, i + 1); /* the function is that of fit.lua, which returns a plain list */
        residual[i] = lua_tonumber(L, -1);
        lua_pop(L, 1);
    }
    lua_pop(L, 1);
    return PINERY_OK;
}

/* An error of a script has its place and traceback; one of pinery.run is text already. */
static int keep_text(lua_State *L) {
    luaL_tolstring(L, 1, NULL);
    return 1;
}

static void push_numbers(lua_State *L, const double *values, int n) {
    lua_createtable(L, n, 0);
    for (int i = 0; i < n; i++) {
        lua_pushnumber(L, values[i]);
        lua_rawseti(L, -2, i + 1);
    }
}

static void push_parameter(lua_State *L, const pinery_fit_problem *problem, const pinery_fit_result *result, int i) {
    const pinery_fit_parameter *p = &problem->parameter[i];
    const struct {
        const char *key;
        double value;
    } numbers[] = {{"start", p->start},
                   {"min", p->min},
                   {"max", p->max},
                   {"value", result->value[i]},
                   {"low", result->low[i]},
                   {"high", result->high[i]},
                   {"spread", result->spread[i]},
                   {"spread_alone", result->spread_alone[i]}};
    lua_newtable(L);
    lua_pushstring(L, p->name);
    lua_setfield(L, -2, "name");
    for (size_t k = 0; k < sizeof numbers / sizeof *numbers; k++) {
        lua_pushnumber(L, numbers[k].value);
        lua_setfield(L, -2, numbers[k].key);
    }
    lua_pushboolean(L, result->at_bound[i]);
    lua_setfield(L, -2, "at_bound");
    lua_pushboolean(L, result->identified[i]);
    lua_setfield(L, -2, "identified");
    push_numbers(L, result->correlation[i], problem->parameters);
    lua_setfield(L, -2, "correlation");
}

static void push_result(lua_State *L, const pinery_fit_problem *problem, const pinery_fit_result *result) {
    lua_newtable(L);
    lua_createtable(L, problem->parameters, 0);
    for (int i = 0; i < problem->parameters; i++) {
        push_parameter(L, problem, result, i);
        lua_rawseti(L, -2, i + 1);
    }
    lua_setfield(L, -2, "parameters");
    lua_createtable(L, result->directions, 0);
    for (int k = 0; k < result->directions; k++) {
        push_numbers(L, result->direction[k], problem->parameters);
        lua_pushnumber(L, result->direction_spread[k]);
        lua_setfield(L, -2, "spread");
        lua_rawseti(L, -2, k + 1);
    }
    lua_setfield(L, -2, "directions");
    lua_pushnumber(L, result->score_before);
    lua_setfield(L, -2, "score_before");
    lua_pushnumber(L, result->score);
    lua_setfield(L, -2, "score");
    lua_pushinteger(L, result->calls);
    lua_setfield(L, -2, "calls");
    lua_pushboolean(L, result->settled);
    lua_setfield(L, -2, "settled");
}

/* search(parameters, weights, blocks, function(v1, v2 ...) -> residuals, most_calls, tolerance): a table, or nil and a
 * message. fit.lua has looked at what it hands over. */
int pinery_lua_fit(lua_State *L) {
    lua_settop(L, 6);
    pinery_fit_problem *problem = lua_newuserdatauv(L, sizeof *problem, 0);
    pinery_fit_result *result = lua_newuserdatauv(L, sizeof *result, 0);
    int m = (int)lua_rawlen(L, 2);
    double *weight = lua_newuserdatauv(L, (size_t)m * sizeof *weight + 1, 0);
    int *block = lua_newuserdatauv(L, (size_t)m * sizeof *block + 1, 0);
    memset(problem, 0, sizeof *problem);
    problem->parameters = (int)lua_rawlen(L, 1);
    for (int i = 0; i < problem->parameters && i < PINERY_FIT_PARAMETERS; i++) {
        pinery_fit_parameter *p = &problem->parameter[i];
        lua_rawgeti(L, 1, i + 1);
        lua_getfield(L, -1, "name");
        snprintf(p->name, sizeof p->name, "%s", lua_tostring(L, -1));
        lua_pop(L, 1);
        p->start = number(L, "start");
        p->min = number(L, "min");
        p->max = number(L, "max");
        lua_getfield(L, -1, "ratio");
        p->ratio = lua_toboolean(L, -1);
        lua_pop(L, 2);
    }
    for (int i = 0; i < m; i++) {
        lua_rawgeti(L, 2, i + 1);
        weight[i] = lua_tonumber(L, -1);
        lua_rawgeti(L, 3, i + 1);
        block[i] = (int)lua_tointeger(L, -1);
        lua_pop(L, 2);
    }
    problem->residuals = m;
    problem->weight = weight;
    problem->block = block;
    problem->most_calls = (int)lua_tointeger(L, 5);
    problem->tolerance = lua_tonumber(L, 6);
    lua_pushcfunction(L, keep_text);
    lua_pushnil(L);
    luaL_checkstack(L, 2 * PINERY_FIT_PARAMETERS, NULL);
    struct model model = {
        .L = L, .function = 4, .handler = lua_gettop(L) - 1, .message = lua_gettop(L), .problem = problem};
    problem->model = residuals;
    problem->context = &model;
    pinery_error error;
    pinery_status status = pinery_fit(problem, result, &error);
    if (status == PINERY_OK) {
        push_result(L, problem, result);
        return 1;
    }
    lua_pushnil(L);
    if (status == PINERY_SCRIPT) {
        lua_pushvalue(L, model.message);
    } else {
        lua_pushstring(L, error.text);
    }
    return 2;
}

/* --- the figure --- */

/* The list in the field of the table on top as numbers, in memory that is pushed below it; NULL when it is not there.
 */
static const double *list(lua_State *L, const char *key, int *n) {
    lua_getfield(L, -1, key);
    *n = (int)lua_rawlen(L, -1);
    double *values = lua_newuserdatauv(L, (size_t)*n * sizeof *values + 1, 0);
    for (int i = 0; i < *n; i++) {
        lua_rawgeti(L, -2, i + 1);
        values[i] = lua_tonumber(L, -1);
        lua_pop(L, 1);
    }
    lua_remove(L, -2);
    lua_insert(L, -2);
    return values;
}

/* Push the text in the field of the table on top, below it. */
static const char *text(lua_State *L, const char *key) {
    lua_getfield(L, -1, key);
    const char *value = lua_tostring(L, -1);
    lua_insert(L, -2);
    return value;
}

/* draw(path, title, series, causes, six days): true, or nil and a message. fit.lua has looked at what it hands over. */
int pinery_lua_fit_figure(lua_State *L) {
    pinery_report_measured measured[PINERY_REPORT_SERIES];
    pinery_report_cause cause[PINERY_REPORT_CAUSES];
    pinery_report_match match = {.measured = measured, .cause = cause};
    lua_settop(L, 10);
    luaL_checkstack(L, 10 * (PINERY_REPORT_SERIES + PINERY_REPORT_CAUSES), NULL);
    match.title = luaL_checkstring(L, 2);
    match.series = (int)lua_rawlen(L, 3);
    match.causes = (int)lua_rawlen(L, 4);
    for (int i = 0; i < match.series && i < PINERY_REPORT_SERIES; i++) {
        lua_rawgeti(L, 3, i + 1);
        pinery_report_measured *m = &measured[i];
        m->name = text(L, "name");
        m->unit = text(L, "unit");
        m->day = list(L, "day", &m->n);
        m->measured = list(L, "measured", &m->n);
        m->before = list(L, "before", &m->n);
        m->after = list(L, "after", &m->n);
        m->step = number(L, "step");
    }
    for (int i = 0; i < match.causes && i < PINERY_REPORT_CAUSES; i++) {
        lua_rawgeti(L, 4, i + 1);
        cause[i].name = text(L, "name");
        cause[i].value = list(L, "value", &cause[i].n);
    }
    double *const days[] = {match.learn, match.unseen, match.zoom};
    for (int i = 0; i < 6; i++) {
        days[i / 2][i % 2] = luaL_checknumber(L, 5 + i);
    }
    pinery_error error;
    if (pinery_report_match_figure(&match, lua_tostring(L, 1), &error) != PINERY_OK) {
        lua_pushnil(L);
        lua_pushstring(L, error.text);
        return 2;
    }
    lua_pushboolean(L, true);
    return 1;
}
