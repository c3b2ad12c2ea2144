/* An allocator that fails at its n-th call, walked through everything a small scenario does: at every n tried the
 * script ends in an ordinary error, nothing is leaked and nothing is touched after it is freed (watched by the
 * sanitizers). */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <lauxlib.h>
#include <lua.h>
#include <lualib.h>
#include <stdlib.h>
#include <string.h>

#include "binding.h"

struct allocator {
    long left;  /* calls until the one that fails; negative: none fails */
    long bytes; /* held now */
};

static void *allocate(void *state, void *block, size_t old, size_t size) {
    struct allocator *a = state;
    if (!block) {
        old = 0; /* Lua passes a type there */
    }
    if (size == 0) {
        a->bytes -= (long)old;
        free(block);
        return NULL;
    }
    /* Lua takes for granted that a block can shrink. */
    if (size > old && a->left >= 0 && a->left-- == 0) {
        a->left = 0; /* and all that follow */
        return NULL;
    }
    void *moved = realloc(block, size);
    if (moved) {
        a->bytes += (long)size - (long)old;
    }
    return moved;
}

static lua_State *open_state(struct allocator *a) {
    *a = (struct allocator){.left = -1};
    lua_State *L = lua_newstate(allocate, a);
    assert_non_null(L);
    luaL_openlibs(L);
    return L;
}

static void close_state(lua_State *L, struct allocator *a) {
    a->left = -1;
    lua_close(L);
    assert_int_equal(a->bytes, 0);
}

/* Every call of the first hundred, then one in ever more: opening alone makes some ten thousand, each a state anew. */
static long next(long n) {
    return n + 1 + n / 97;
}

static int open_module(lua_State *L) {
    luaL_requiref(L, "pinery", luaopen_pinery, 1);
    return 0;
}

static void opening_fails_cleanly(void **state) {
    (void)state;
    int status = LUA_ERRMEM;
    long n = 0;
    for (; status != LUA_OK; n = next(n)) {
        struct allocator a;
        lua_State *L = open_state(&a);
        lua_pushcfunction(L, open_module);
        a.left = n;
        status = lua_pcall(L, 0, 0, 0);
        a.left = -1;
        assert_true(status == LUA_OK || status == LUA_ERRMEM);
        close_state(L, &a);
    }
    assert_true(n > 100);
}

static const char scenario[] =
    "local house = pinery.house { drives = { { cloth = { name = 'a' } } }, lower_pipes = { length = 1.5 } }\n"
    "local table = pinery.strategy { pinery.humidity_slit {} }\n"
    "local scripted = table:with { name = 'scripted', control = function(seen, orders, run)\n"
    "  run.memory[1] = { seen.hour, run:ahead 'temperature' }\n"
    "  orders.slit[1] = { by_humidity = 0.1, humidity_start = 70, humidity_full = 80 }\n"
    "end }\n"
    "local options = { days = 0.05, spin_up = 0, keep_hours = true, control_interval = 600 }\n"
    "local both = pinery.compare { weather = weather, house = house, { 'table', table }, { scripted }, options = "
    "options }\n"
    "assert(both:run(function() end))\n"
    "local text = both:report() .. both[1]:report 'balance' .. pinery.source(both[2]:input().house)\n"
    "assert(#text > 1000 and #both[1]:hours 'air_upper' > 0)\n"
    "local ok, message = pinery.run { weather = weather, house = house, options = options,\n"
    "  strategy = function(seen, orders) orders.vent_lee = 2 end }\n"
    "assert(not ok)\n"
    "if not message:find 'outside 0 .. 1' then error(message, 0) end\n";

/* What the script says when memory ran out at a point where it can still say something. */
static bool is_memory(const char *message) {
    return message && (strstr(message, "not enough memory") || strstr(message, "memory ran out"));
}

/* One weather for all states: a user more than there is keeps it open. */
static int push_weather(lua_State *L) {
    struct pinery_lua_weather *handle = lua_newuserdatauv(L, sizeof *handle, 0);
    *handle = (struct pinery_lua_weather){.weather = lua_touserdata(L, 1), .users = 1};
    luaL_setmetatable(L, PINERY_LUA_WEATHER);
    lua_setglobal(L, "weather");
    return 0;
}

/* Run the script with the allocator failing from its n-th call on, for ever more until it succeeds. */
static long walk(const char *script, pinery_weather *weather) {
    int status = LUA_ERRMEM;
    long n = 0;
    for (; status != LUA_OK; n = next(n)) {
        struct allocator a;
        lua_State *L = open_state(&a);
        lua_pushcfunction(L, open_module);
        assert_int_equal(lua_pcall(L, 0, 0, 0), LUA_OK);
        lua_pushcfunction(L, push_weather);
        lua_pushlightuserdata(L, weather);
        assert_int_equal(lua_pcall(L, 1, 0, 0), LUA_OK);
        assert_int_equal(luaL_loadstring(L, script), LUA_OK);
        a.left = n;
        status = lua_pcall(L, 0, 0, 0);
        a.left = -1;
        if (status != LUA_OK && status != LUA_ERRMEM && !is_memory(lua_tostring(L, -1))) {
            fail_msg("call %ld: %s", n, luaL_tolstring(L, -1, NULL));
        }
        close_state(L, &a);
    }
    return n;
}

static void a_scenario_fails_cleanly(void **state) {
    (void)state;
    pinery_weather *weather;
    pinery_error error;
    assert_int_equal(pinery_weather_generate(PINERY_SOURCE_DIR "/weather/normals.csv", "Denver", 1, &weather, &error),
                     PINERY_OK);
    assert_true(walk(scenario, weather) > 300);
    assert_true(walk("own = pinery.weather { typical = 'Denver' } pinery.places()", weather) > 3);
    pinery_weather_free(weather);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(opening_fails_cleanly),
        cmocka_unit_test(a_scenario_fails_cleanly),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
