/* One house under one weather with one strategy, run to the end. */
#include <math.h>
#include <string.h>

#include "binding.h"

/* --- what a case is made of --- */

static void check_keys(lua_State *L, int table, const char *where) {
    static const char *const known[] = {"strategy", "house", "weather", "options", NULL};
    for (lua_pushnil(L); lua_next(L, table); lua_pop(L, 1)) {
        bool fine = lua_isinteger(L, -2) && lua_tointeger(L, -2) >= 1 && lua_tointeger(L, -2) <= 2;
        for (int i = 0; known[i] && lua_type(L, -2) == LUA_TSTRING; i++) {
            fine = fine || strcmp(known[i], lua_tostring(L, -2)) == 0;
        }
        if (!fine) {
            pinery_lua_raise(L, where,
                             lua_pushfstring(L,
                                             "case: unknown field %s; known are strategy, house, weather, options and "
                                             "{ \"name\", strategy }",
                                             luaL_tolstring(L, -2, NULL)));
        }
    }
}

/* Push the field, else what is common, else nil. */
static void push_field(lua_State *L, int table, const char *key, int common) {
    lua_pushstring(L, key);
    if (lua_rawget(L, table) == LUA_TNIL && common != 0) {
        lua_pop(L, 1);
        lua_pushvalue(L, common);
    }
}

static void read_options(lua_State *L, int table, struct pinery_lua_case *one, const char *where) {
    if (table == 0 || lua_isnil(L, table)) {
        return;
    }
    pinery_lua_record_read(L, table, &pinery_lua_options_shape, &one->options, where);
    lua_pushliteral(L, "control_limit");
    if (lua_rawget(L, table) != LUA_TNIL) {
        one->control_limit = lua_tonumber(L, -1);
        if (lua_type(L, -1) != LUA_TNUMBER || !(one->control_limit >= 1000 && one->control_limit <= 1e15)) {
            pinery_lua_raise(L, where,
                             lua_pushfstring(L, "options: control_limit = %s is outside 1000 .. 1e15 instructions",
                                             luaL_tolstring(L, -1, NULL)));
        }
    }
    lua_pop(L, 1);
}

/* { "label", strategy } or { strategy } or { strategy = ... }: push the label or nil, and the strategy. */
static void push_strategy(lua_State *L, int table) {
    if (lua_rawgeti(L, table, 1) == LUA_TSTRING) {
        lua_rawgeti(L, table, 2);
    } else {
        lua_pushnil(L);
        lua_insert(L, -2);
    }
    if (lua_isnil(L, -1)) {
        lua_pop(L, 1);
        push_field(L, table, "strategy", 0);
    }
}

static void set_label(lua_State *L, struct pinery_lua_case *one, int label, int number, const char *where) {
    const char *text = lua_isnil(L, label) ? one->strategy.name : lua_tostring(L, label);
    if (text[0] == '\0') {
        text = lua_pushfstring(L, "case %d", number);
    }
    if (strlen(text) >= sizeof one->label) {
        pinery_lua_raise(
            L, where,
            lua_pushfstring(L, "case: the name \"%s\" is longer than %d characters", text, (int)sizeof one->label - 1));
    }
    snprintf(one->label, sizeof one->label, "%s", text);
}

struct pinery_lua_case *pinery_lua_case_push(lua_State *L, int index, int number, struct pinery_lua_common common,
                                             const char *where) {
    index = lua_absindex(L, index);
    luaL_checkstack(L, 20, NULL);
    if (!lua_istable(L, index)) {
        pinery_lua_raise(
            L, where,
            lua_pushfstring(L, "case %d is a %s, expected { \"name\", strategy }", number, luaL_typename(L, index)));
    }
    check_keys(L, index, where);
    struct pinery_lua_case *one = lua_newuserdatauv(L, sizeof *one, 3);
    memset(one, 0, sizeof *one);
    luaL_setmetatable(L, PINERY_LUA_RESULT);
    int at = lua_gettop(L);

    push_field(L, index, "weather", common.weather);
    pinery_lua_weather(L, -1, where);
    lua_setiuservalue(L, at, 1);
    push_field(L, index, "house", common.house);
    one->house = *pinery_lua_house(L, -1, where);
    push_strategy(L, index);
    one->strategy = *pinery_lua_strategy(L, -1, where);
    pinery_lua_control(L, -1);
    lua_setiuservalue(L, at, 2);
    set_label(L, one, lua_gettop(L) - 1, number, where);

    pinery_options_default(&one->options);
    one->control_limit = 1e7;
    read_options(L, common.options, one, where);
    push_field(L, index, "options", 0);
    read_options(L, lua_gettop(L), one, where);
    lua_settop(L, at);
    return one;
}

bool pinery_lua_case_has_control(lua_State *L, int index) {
    bool has = lua_getiuservalue(L, index, 2) == LUA_TFUNCTION;
    lua_pop(L, 1);
    return has;
}

/* --- running it --- */

void pinery_lua_case_close(struct pinery_lua_case *one) {
    pinery_run_free(one->run);
    one->run = NULL;
    if (one->weather) {
        pinery_lua_weather_release(one->weather);
        one->weather = NULL;
    }
    one->state = PINERY_LUA_CLOSED;
}

/* The control function as source, with the values it holds before it is called for the first time. */
static void keep_control(lua_State *L, int index) {
    luaL_checkstack(L, 6, NULL);
    int top = lua_gettop(L);
    if (lua_getiuservalue(L, index, 2) == LUA_TFUNCTION) {
        lua_createtable(L, 0, 1);
        lua_getfield(L, LUA_REGISTRYINDEX, PINERY_LUA_MODULE);
        lua_getfield(L, -1, "keep");
        lua_pushvalue(L, top + 1);
        bool kept = lua_pcall(L, 1, 2, 0) == LUA_OK;
        if (kept && !lua_isnil(L, -2)) {
            lua_pop(L, 1);
            lua_setfield(L, top + 2, "text");
        } else {
            lua_setfield(L, top + 2, "why");
        }
        lua_pushvalue(L, top + 2);
        lua_setiuservalue(L, index, 3);
    }
    lua_settop(L, top);
}

void pinery_lua_case_begin(lua_State *L, int index) {
    struct pinery_lua_case *one = lua_touserdata(L, index);
    pinery_lua_case_close(one);
    keep_control(L, index);
    lua_getiuservalue(L, index, 1);
    struct pinery_lua_weather *weather = lua_touserdata(L, -1);
    lua_pop(L, 1);
    atomic_store(&one->permille, 0);
    one->error.text[0] = '\0';
    if (weather->closed) {
        one->status = PINERY_BAD_INPUT;
        snprintf(one->error.text, sizeof one->error.text, "the weather is closed");
        return;
    }
    one->weather = weather;
    weather->users++;
    one->status =
        pinery_run_create(weather->weather, &one->house, &one->strategy, &one->options, &one->run, &one->error);
    one->state = PINERY_LUA_IDLE;
}

static void note_progress(struct pinery_lua_case *one) {
    atomic_store_explicit(&one->permille, (int)(1000 * pinery_run_progress(one->run)), memory_order_relaxed);
}

static void finish(struct pinery_lua_case *one) {
    one->state = one->status == PINERY_OK ? PINERY_LUA_FINISHED : PINERY_LUA_CLOSED;
    atomic_store(&one->permille, 1000); /* whatever the last step's rounding made of it */
}

void pinery_lua_case_run(struct pinery_lua_case *one, const atomic_bool *cancel) {
    while (one->status == PINERY_OK && !pinery_run_done(one->run)) {
        if (atomic_load_explicit(cancel, memory_order_relaxed)) {
            return;
        }
        pinery_orders orders;
        pinery_run_orders(one->run, &orders);
        one->status = pinery_run_advance(one->run, &orders, &one->error);
        note_progress(one);
    }
    finish(one);
}

/* Call the control function; stack: traceback, control, scene, seen, orders, run from `base` on. */
static bool control(lua_State *L, int base, const struct pinery_lua_case *one, struct pinery_lua_scene *scene,
                    const char *limit) {
    struct pinery_lua_guard guard = {
        .deadline_s = INFINITY, .instructions = (long long)one->control_limit, .limit = limit};
    lua_pushvalue(L, base + 1);
    lua_pushvalue(L, base + 3);
    lua_pushvalue(L, base + 4);
    lua_pushvalue(L, base + 5);
    scene->live = true;
    pinery_lua_guard_enter(L, &guard);
    int status = lua_pcall(L, 3, 0, base);
    pinery_lua_guard_leave(L, &guard);
    scene->live = false;
    return status == LUA_OK;
}

/* Where the control function begins, for the errors that only the run can see. */
static const char *control_place(lua_State *L, int base) {
    lua_Debug ar;
    lua_pushvalue(L, base + 1);
    lua_getinfo(L, ">S", &ar);
    return lua_pushfstring(L, "%s:%d: in the orders of the control function: ", ar.short_src, ar.linedefined);
}

/* The message on top, with the case and the time. */
static void add_time(lua_State *L, const struct pinery_lua_case *one, const pinery_seen *seen) {
    char time[64];
    int minute = (int)(seen->hour * 60 + 0.5);
    snprintf(time, sizeof time, "day %d at %02d:%02d", (int)seen->day, minute / 60, minute % 60);
    lua_pushfstring(L, "%s\n(%s, %s)", luaL_tolstring(L, -1, NULL), one->label, time);
}

bool pinery_lua_case_drive(lua_State *L, int index, pinery_lua_tick *tick, void *context) {
    struct pinery_lua_case *one = lua_touserdata(L, index);
    luaL_checkstack(L, 24, NULL);
    int base = lua_gettop(L) + 1;
    lua_pushcfunction(L, pinery_lua_traceback);
    bool scripted = lua_getiuservalue(L, index, 2) == LUA_TFUNCTION;
    struct pinery_lua_scene *scene = pinery_lua_scene_push(L);
    scene->house = &one->house;
    scene->run = one->run;
    char limit[128];
    snprintf(limit, sizeof limit,
             "the control function took more than %.10g instructions in one call (options.control_limit)",
             one->control_limit);
    bool called = true;
    while (one->status == PINERY_OK && !pinery_run_done(one->run)) {
        scene->seen = pinery_run_seen(one->run);
        pinery_run_orders(one->run, &scene->orders);
        if (scripted && !control(L, base, one, scene, limit)) {
            add_time(L, one, scene->seen);
            called = false;
            break;
        }
        if (one->watch) {
            pinery_watch_note(one->watch, one->run, &scene->orders);
        }
        one->status = pinery_run_advance(one->run, &scene->orders, &one->error);
        note_progress(one);
        if (tick) {
            tick(L, context);
        }
    }
    if (!called) {
        one->status = PINERY_SCRIPT;
    } else if (one->status != PINERY_OK) {
        const char *place = scripted && one->status == PINERY_BAD_INPUT ? control_place(L, base) : "";
        lua_pushfstring(L, "%s%s", place, one->error.text);
    }
    finish(one);
    if (one->status != PINERY_OK) {
        lua_replace(L, base);
        lua_settop(L, base);
        pinery_lua_case_close(one);
        return false;
    }
    lua_settop(L, base - 1);
    return true;
}

/* pinery.run { weather = ..., house = ..., strategy = ..., options = ... }: a result, or nil and a message. */
int pinery_lua_run(lua_State *L) {
    lua_settop(L, 1);
    const char *where = pinery_lua_where(L);
    struct pinery_lua_case *one = pinery_lua_case_push(L, 1, 1, (struct pinery_lua_common){0}, where);
    int at = lua_gettop(L);
    double start = pinery_lua_clock();
    pinery_lua_case_begin(L, at);
    bool done = false;
    if (one->status != PINERY_OK) {
        lua_pushstring(L, one->error.text);
    } else {
        done = pinery_lua_case_drive(L, at, NULL, NULL);
    }
    pinery_lua_guard_pause(L, pinery_lua_clock() - start);
    if (done) {
        return 1;
    }
    lua_pushnil(L);
    lua_insert(L, -2);
    return 2;
}
