/* Limits on a script by a count hook, and its traceback. */
#include <math.h>
#include <time.h>

#include "binding.h"

static const char guard_key; /* its address names the present guard in the registry */

enum { STEP = 1000 }; /* instructions between two looks */

double pinery_lua_clock(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static struct pinery_lua_guard *present(lua_State *L) {
    lua_rawgetp(L, LUA_REGISTRYINDEX, &guard_key);
    struct pinery_lua_guard *guard = lua_touserdata(L, -1);
    lua_pop(L, 1);
    return guard;
}

static void set_present(lua_State *L, struct pinery_lua_guard *guard) {
    lua_pushlightuserdata(L, guard);
    lua_rawsetp(L, LUA_REGISTRYINDEX, &guard_key);
}

void pinery_lua_guard_open(lua_State *L) {
    /* The slot exists from now on, so that setting it later needs no memory. A guard may be there already. */
    set_present(L, present(L));
}

static void look(lua_State *L, lua_Debug *ar) {
    (void)ar;
    struct pinery_lua_guard *guard = present(L);
    if (!guard) {
        return;
    }
    guard->instructions -= lua_gethookcount(L);
    if (guard->instructions <= 0 || pinery_lua_clock() > guard->deadline_s) {
        /* From now on at every instruction: a protected call in the script may not swallow it and go on. */
        guard->instructions = 0;
        lua_sethook(L, look, LUA_MASKCOUNT, 1);
        luaL_where(L, 0); /* a hook has no level of its own */
        lua_pushstring(L, guard->limit);
        lua_concat(L, 2);
        lua_error(L);
    }
}

void pinery_lua_guard_enter(lua_State *L, struct pinery_lua_guard *guard) {
    guard->outer = present(L);
    guard->hook = lua_gethook(L);
    guard->mask = lua_gethookmask(L);
    guard->count = lua_gethookcount(L);
    set_present(L, guard);
    lua_sethook(L, look, LUA_MASKCOUNT, STEP);
}

void pinery_lua_guard_leave(lua_State *L, struct pinery_lua_guard *guard) {
    lua_sethook(L, guard->hook, guard->mask, guard->count);
    set_present(L, guard->outer);
}

void pinery_lua_guard_pause(lua_State *L, double seconds) {
    for (struct pinery_lua_guard *guard = present(L); guard; guard = guard->outer) {
        guard->deadline_s += seconds;
    }
}

int pinery_lua_traceback(lua_State *L) {
    luaL_traceback(L, L, luaL_tolstring(L, 1, NULL), 1);
    return 1;
}
