/* Several cases side by side. Cases without a script run on threads, one on each processor; a script's on the calling
 * thread, meanwhile. */
#include <pthread.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "binding.h"

enum { MOST_THREADS = 64 };

/* User values: the list of cases, and name -> case. */
struct comparison {
    int n;
    int reference; /* place, from 0, of the case the others are held against */
    bool running, finished;
};

/* --- making it --- */

static int named_field(lua_State *L, const char *key) {
    lua_pushstring(L, key);
    int type = lua_rawget(L, 1);
    return type == LUA_TNIL ? 0 : lua_gettop(L);
}

static int check_keys(lua_State *L, const char *where) {
    int n = (int)lua_rawlen(L, 1);
    for (lua_pushnil(L); lua_next(L, 1); lua_pop(L, 1)) {
        const char *key = lua_type(L, -2) == LUA_TSTRING ? lua_tostring(L, -2) : "";
        bool place = lua_isinteger(L, -2) && lua_tointeger(L, -2) >= 1 && lua_tointeger(L, -2) <= n;
        if (!place && strcmp(key, "weather") != 0 && strcmp(key, "house") != 0 && strcmp(key, "options") != 0 &&
            strcmp(key, "reference") != 0) {
            pinery_lua_raise(L, where,
                             lua_pushfstring(L,
                                             "compare: unknown field %s; known are weather, house, options, reference "
                                             "and a list of { \"name\", strategy }",
                                             luaL_tolstring(L, -2, NULL)));
        }
    }
    if (n == 0) {
        pinery_lua_raise(L, where, "compare: there is nothing to compare, give a list of { \"name\", strategy }");
    }
    return n;
}

/* Stack slot `at` + 2: name -> case. The place of the case that `reference` names; not given: the first. */
static int reference_of(lua_State *L, int at, int n, const char *where) {
    lua_pushliteral(L, "reference");
    int type = lua_rawget(L, 1);
    lua_Integer place = type == LUA_TNIL ? 1 : 0;
    if (lua_isinteger(L, -1) && lua_tointeger(L, -1) >= 1 && lua_tointeger(L, -1) <= n) {
        place = lua_tointeger(L, -1);
    }
    for (int i = 1; i <= n && place == 0 && type == LUA_TSTRING; i++) {
        lua_rawgeti(L, at + 1, i);
        if (strcmp(((struct pinery_lua_case *)lua_touserdata(L, -1))->label, lua_tostring(L, -2)) == 0) {
            place = i;
        }
        lua_pop(L, 1);
    }
    if (place == 0) {
        const char *given = luaL_tolstring(L, -1, NULL);
        pinery_lua_raise(
            L, where,
            lua_pushfstring(L, "compare: reference = %s is neither the name of a case nor a place 1 .. %d", given, n));
    }
    lua_pop(L, 1);
    return (int)place - 1;
}

int pinery_lua_compare(lua_State *L) {
    lua_settop(L, 1);
    const char *where = pinery_lua_where(L);
    if (!lua_istable(L, 1)) {
        pinery_lua_raise(L, where, lua_pushfstring(L, "compare: expected a table, got a %s", luaL_typename(L, 1)));
    }
    int n = check_keys(L, where);
    struct pinery_lua_common common = {0};
    common.weather = named_field(L, "weather");
    common.house = named_field(L, "house");
    common.options = named_field(L, "options");
    if (common.weather) {
        pinery_lua_weather(L, common.weather, where);
    }
    if (common.house) {
        pinery_lua_house(L, common.house, where);
    }
    struct comparison *c = lua_newuserdatauv(L, sizeof *c, 2);
    *c = (struct comparison){.n = n};
    luaL_setmetatable(L, PINERY_LUA_COMPARISON);
    int at = lua_gettop(L);
    lua_createtable(L, n, 0);
    lua_createtable(L, 0, n);
    for (int i = 1; i <= n; i++) {
        lua_rawgeti(L, 1, i);
        struct pinery_lua_case *one = pinery_lua_case_push(L, -1, i, common, where);
        if (lua_getfield(L, at + 2, one->label) != LUA_TNIL) {
            pinery_lua_raise(L, where, lua_pushfstring(L, "compare: two cases are named \"%s\"", one->label));
        }
        lua_pop(L, 1);
        lua_pushvalue(L, -1);
        lua_setfield(L, at + 2, one->label);
        lua_rawseti(L, at + 1, i);
        lua_pop(L, 1);
    }
    c->reference = reference_of(L, at, n, where);
    lua_setiuservalue(L, at, 2);
    lua_setiuservalue(L, at, 1);
    return 1;
}

/* --- running it --- */

struct pool {
    atomic_int next;
    atomic_bool cancel;
    int jobs, all, threads;
    pthread_t thread[MOST_THREADS];
    double ticked;                  /* when progress was last shown */
    bool progress;                  /* a function to show it with is at stack slot 2 */
    struct pinery_lua_case **job;   /* the cases without a script */
    struct pinery_lua_case *each[]; /* all cases, then room for the jobs */
};

static void *work(void *argument) {
    struct pool *pool = argument;
    for (int i = atomic_fetch_add(&pool->next, 1); i < pool->jobs; i = atomic_fetch_add(&pool->next, 1)) {
        pinery_lua_case_run(pool->job[i], &pool->cancel);
        if (pool->job[i]->status != PINERY_OK) {
            atomic_store(&pool->cancel, true);
        }
    }
    return NULL;
}

static bool at_work(struct pool *pool) {
    for (int i = 0; i < pool->jobs; i++) {
        if (atomic_load(&pool->job[i]->permille) < 1000) {
            return !atomic_load(&pool->cancel);
        }
    }
    return false;
}

/* Show progress, at most ten times a second. */
static void tick(lua_State *L, void *context) {
    struct pool *pool = context;
    double now = pinery_lua_clock();
    if (!pool->progress || now - pool->ticked < 0.1) {
        return;
    }
    pool->ticked = now;
    double sum = 0;
    for (int i = 0; i < pool->all; i++) {
        sum += atomic_load(&pool->each[i]->permille);
    }
    lua_pushvalue(L, 2);
    lua_pushnumber(L, sum / (1000.0 * pool->all));
    lua_call(L, 1, 0);
}

/* Stack: comparison, progress or nil, list of cases, pool. The scripts' cases, then waiting for the others. Returns
 * nothing, or the message of the case that failed. */
static int run_here(lua_State *L) {
    struct pool *pool = lua_touserdata(L, 4);
    for (int i = 0; i < pool->all && !atomic_load(&pool->cancel); i++) {
        lua_rawgeti(L, 3, i + 1);
        bool here = pool->threads == 0 || pinery_lua_case_has_control(L, -1);
        if (here && !pinery_lua_case_drive(L, lua_gettop(L), tick, pool)) {
            lua_pushfstring(L, "%s: %s", pool->each[i]->label, lua_tostring(L, -1));
            return 1;
        }
        lua_settop(L, 4);
    }
    while (pool->threads > 0 && at_work(pool)) {
        nanosleep(&(struct timespec){.tv_nsec = 20000000}, NULL);
        tick(L, pool);
    }
    return 0;
}

static void begin(lua_State *L, struct pool *pool) {
    for (int i = 0; i < pool->all; i++) {
        lua_rawgeti(L, 3, i + 1);
        pool->each[i] = lua_touserdata(L, -1);
        pinery_lua_case_begin(L, lua_gettop(L));
        if (pool->each[i]->status != PINERY_OK) {
            atomic_store(&pool->cancel, true);
        }
        if (!pinery_lua_case_has_control(L, -1)) {
            pool->job[pool->jobs++] = pool->each[i];
        }
        lua_pop(L, 1);
    }
}

static void start(struct pool *pool) {
    long processors = sysconf(_SC_NPROCESSORS_ONLN);
    long most = processors < 1 ? 1 : processors > MOST_THREADS ? MOST_THREADS : processors;
    while (pool->threads < most && pool->threads < pool->jobs &&
           pthread_create(&pool->thread[pool->threads], NULL, work, pool) == 0) {
        pool->threads++;
    }
}

static void join(struct pool *pool) {
    for (; pool->threads > 0; pool->threads--) {
        pthread_join(pool->thread[pool->threads - 1], NULL);
    }
}

/* Push "name: text" of the first case that failed by itself, if any. */
static bool push_failure(lua_State *L, struct pool *pool) {
    for (int i = 0; i < pool->all; i++) {
        if (pool->each[i]->status != PINERY_OK) {
            lua_pushfstring(L, "%s: %s", pool->each[i]->label, pool->each[i]->error.text);
            return true;
        }
    }
    return false;
}

/* Stack: comparison, progress or nil. The comparison is marked as running by the caller. */
static int run_all(lua_State *L) {
    struct comparison *c = lua_touserdata(L, 1);
    lua_getiuservalue(L, 1, 1);
    struct pool *pool = lua_newuserdatauv(L, sizeof *pool + 2 * (size_t)c->n * sizeof *pool->each, 0);
    memset(pool, 0, sizeof *pool);
    pool->all = c->n;
    pool->job = pool->each + c->n;
    pool->progress = !lua_isnil(L, 2);
    luaL_checkstack(L, 40, NULL);
    lua_pushcfunction(L, run_here);
    for (int i = 1; i <= 4; i++) {
        lua_pushvalue(L, i);
    }
    begin(L, pool);
    if (atomic_load(&pool->cancel)) {
        push_failure(L, pool);
        return 1;
    }
    start(pool);
    int status = lua_pcall(L, 4, LUA_MULTRET, 0);
    if (status != LUA_OK || lua_gettop(L) > 4) {
        atomic_store(&pool->cancel, true);
    }
    join(pool);
    if (status != LUA_OK) {
        return lua_error(L);
    }
    return lua_gettop(L) > 4 || push_failure(L, pool) ? 1 : 0;
}

/* comparison:run(progress): the comparison, or nil and a message. `progress` is called with 0 .. 1. */
static int run(lua_State *L) {
    struct comparison *c = luaL_checkudata(L, 1, PINERY_LUA_COMPARISON);
    lua_settop(L, 2);
    if (!lua_isnil(L, 2)) {
        luaL_checktype(L, 2, LUA_TFUNCTION);
    }
    if (c->running) {
        return luaL_error(L, "the comparison is running already");
    }
    if (c->finished) {
        lua_settop(L, 1);
        return 1;
    }
    double start_s = pinery_lua_clock();
    lua_pushcfunction(L, run_all);
    lua_pushvalue(L, 1);
    lua_pushvalue(L, 2);
    c->running = true;
    int status = lua_pcall(L, 2, LUA_MULTRET, 0);
    c->running = false;
    pinery_lua_guard_pause(L, pinery_lua_clock() - start_s);
    if (status != LUA_OK) {
        return lua_error(L);
    }
    if (lua_gettop(L) > 2) {
        lua_pushnil(L);
        lua_insert(L, -2);
        return 2;
    }
    c->finished = true;
    lua_settop(L, 1);
    return 1;
}

/* --- looking at it --- */

/* comparison[1], comparison["shut"]; upvalue 1 holds the methods. */
static int get(lua_State *L) {
    struct comparison *c = luaL_checkudata(L, 1, PINERY_LUA_COMPARISON);
    lua_settop(L, 2);
    lua_pushvalue(L, 2);
    if (lua_rawget(L, lua_upvalueindex(1)) != LUA_TNIL) {
        return 1;
    }
    lua_getiuservalue(L, 1, lua_type(L, 2) == LUA_TNUMBER ? 1 : 2);
    lua_pushvalue(L, 2);
    if (lua_rawget(L, -2) == LUA_TNIL) {
        return luaL_error(L, "the comparison has no case %s", luaL_tolstring(L, 2, NULL));
    }
    if (!c->finished) {
        return luaL_error(L, "the comparison has not been run: call its method run()");
    }
    return 1;
}

int pinery_lua_comparison_cases(lua_State *L, int index) {
    struct comparison *c = luaL_checkudata(L, index, PINERY_LUA_COMPARISON);
    if (!c->finished) {
        return luaL_error(L, "the comparison has not been run: call its method run()");
    }
    lua_getiuservalue(L, index, 1);
    return c->n;
}

int pinery_lua_comparison_reference(lua_State *L, int index) {
    return ((struct comparison *)luaL_checkudata(L, index, PINERY_LUA_COMPARISON))->reference;
}

static void keep(lua_State *L, int index, bool hours) {
    struct comparison *c = luaL_checkudata(L, index, PINERY_LUA_COMPARISON);
    lua_getiuservalue(L, index, 1);
    for (int i = 1; i <= c->n && !c->finished; i++) {
        lua_rawgeti(L, -1, i);
        pinery_options *options = &((struct pinery_lua_case *)lua_touserdata(L, -1))->options;
        *(hours ? &options->keep_hours : &options->keep_causes) = true;
        lua_pop(L, 1);
    }
    lua_pop(L, 1);
}

void pinery_lua_comparison_keep_hours(lua_State *L, int index) {
    keep(L, index, true);
}

void pinery_lua_comparison_keep_causes(lua_State *L, int index) {
    keep(L, index, false);
}

static int keep_hours(lua_State *L) {
    keep(L, 1, true);
    lua_settop(L, 1);
    return 1;
}

static int keep_causes(lua_State *L) {
    keep(L, 1, false);
    lua_settop(L, 1);
    return 1;
}

int pinery_lua_comparison_waiting(lua_State *L, int index) {
    struct comparison *c = luaL_checkudata(L, index, PINERY_LUA_COMPARISON);
    if (c->running || c->finished) {
        return luaL_error(L, "the comparison has been run; check it before");
    }
    lua_getiuservalue(L, index, 1);
    return c->n;
}

static int length(lua_State *L) {
    lua_pushinteger(L, ((struct comparison *)luaL_checkudata(L, 1, PINERY_LUA_COMPARISON))->n);
    return 1;
}

static int text(lua_State *L) {
    struct comparison *c = luaL_checkudata(L, 1, PINERY_LUA_COMPARISON);
    lua_pushfstring(L, "comparison of %d%s", c->n, c->finished ? "" : ", not run");
    return 1;
}

void pinery_lua_open_comparison(lua_State *L) {
    static const luaL_Reg methods[] = {{"run", run},
                                       {"check", pinery_lua_comparison_check},
                                       {"keep_hours", keep_hours},
                                       {"keep_causes", keep_causes},
                                       {"report", pinery_lua_comparison_report},
                                       {"rows", pinery_lua_comparison_rows},
                                       {"held", pinery_lua_comparison_held},
                                       {"save_json", pinery_lua_comparison_save_json},
                                       {"save_csv", pinery_lua_comparison_save_csv},
                                       {"save_input", pinery_lua_comparison_save_input},
                                       {"chart", pinery_lua_chart},
                                       {"__len", length},
                                       {"__tostring", text},
                                       {NULL, NULL}};
    pinery_lua_type(L, PINERY_LUA_COMPARISON, methods, get);
}
