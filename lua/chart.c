/* Charts of results and comparisons, and what a page needs to know of a run besides its numbers. */
#include <errno.h>
#include <string.h>

#include "binding.h"

static int fail(lua_State *L, const char *message) {
    lua_pushnil(L);
    lua_pushstring(L, message);
    return 2;
}

/* --- charts --- */

static int close_file(lua_State *L) {
    fclose(((luaL_Stream *)luaL_checkudata(L, 1, LUA_FILEHANDLE))->f);
    return 0;
}

/* Push a nameless file that is closed when it is collected. */
static FILE *push_file(lua_State *L) {
    luaL_Stream *stream = lua_newuserdatauv(L, sizeof *stream, 0);
    stream->closef = NULL;
    luaL_setmetatable(L, LUA_FILEHANDLE);
    stream->f = tmpfile();
    if (!stream->f) {
        luaL_error(L, "chart: no temporary file: %s", strerror(errno));
    }
    stream->closef = close_file;
    return stream->f;
}

static void push_content(lua_State *L, FILE *file) {
    luaL_Buffer text;
    luaL_buffinit(L, &text);
    rewind(file);
    size_t got;
    do {
        got = fread(luaL_prepbuffer(&text), 1, LUAL_BUFFERSIZE, file);
        luaL_addsize(&text, got);
    } while (got > 0);
    luaL_pushresult(&text);
}

/* Push memory that holds the entries of the result or comparison at slot 1; their number, and the reference. */
static pinery_report_entry *entries(lua_State *L, int *n, int *reference) {
    *n = 1;
    *reference = 0;
    if (luaL_testudata(L, 1, PINERY_LUA_RESULT)) {
        pinery_report_entry *one = lua_newuserdatauv(L, sizeof *one, 0);
        *one = pinery_lua_entry(pinery_lua_result(L, 1));
        return one;
    }
    *n = pinery_lua_comparison_cases(L, 1);
    *reference = pinery_lua_comparison_reference(L, 1);
    pinery_report_entry *entry = lua_newuserdatauv(L, (size_t)*n * sizeof *entry, 0);
    for (int i = 0; i < *n; i++) {
        lua_rawgeti(L, -2, i + 1);
        entry[i] = pinery_lua_entry(pinery_lua_result(L, lua_gettop(L)));
        lua_pop(L, 1);
    }
    return entry;
}

static pinery_chart chart_field(lua_State *L) {
    lua_rawgeti(L, 2, 1);
    const char *key = lua_type(L, -1) == LUA_TSTRING ? lua_tostring(L, -1) : "";
    luaL_Buffer list;
    luaL_buffinit(L, &list);
    for (int i = 0; i < PINERY_N_CHARTS; i++) {
        if (strcmp(pinery_report_chart_key((pinery_chart)i), key) == 0) {
            return (pinery_chart)i;
        }
        luaL_addstring(&list, i > 0 ? ", " : "");
        luaL_addstring(&list, pinery_report_chart_key((pinery_chart)i));
    }
    luaL_pushresult(&list);
    const char *known = lua_tostring(L, -1);
    return (pinery_chart)luaL_error(L, "chart: no chart \"%s\"; known are %s", key, known);
}

/* comparison:chart { "months", run = 1, file = "x.svg" } or, without a file, the drawing as a text, of kind `as`. */
int pinery_lua_chart(lua_State *L) {
    static const char *const kinds[] = {"svg", "png", "pdf", "gnuplot", NULL};
    luaL_checktype(L, 2, LUA_TTABLE);
    lua_settop(L, 2);
    int n, reference;
    const pinery_report_entry *entry = entries(L, &n, &reference);
    pinery_chart chart = chart_field(L);
    lua_getfield(L, 2, "run");
    int one = (int)luaL_optinteger(L, -1, 1) - 1;
    pinery_error error;
    if (lua_getfield(L, 2, "file") != LUA_TNIL) {
        const char *path = pinery_lua_path(L, luaL_checkstring(L, -1));
        if (pinery_report_chart(chart, n, entry, reference, one, path, NULL, &error) != PINERY_OK) {
            return fail(L, error.text);
        }
        lua_pushboolean(L, true);
        return 1;
    }
    lua_getfield(L, 2, "as");
    const char *kind = lua_pushfstring(L, ".%s", kinds[luaL_checkoption(L, -1, "svg", kinds)]);
    FILE *file = push_file(L);
    if (pinery_report_chart(chart, n, entry, reference, one, kind, file, &error) != PINERY_OK) {
        return fail(L, error.text);
    }
    push_content(L, file);
    return 1;
}

int pinery_lua_colour(lua_State *L) {
    lua_pushstring(L, pinery_report_run_colour((int)luaL_checkinteger(L, 1) - 1));
    return 1;
}

/* --- of a run --- */

/* result:coldest_day(): the first of its hours, from 1, and the day of the year; nothing without hours. */
int pinery_lua_result_coldest_day(lua_State *L) {
    const pinery_ledger *books = pinery_run_ledger(pinery_lua_result(L, 1)->run);
    int hour = pinery_report_coldest_day(books);
    if (hour < 0) {
        return 0;
    }
    lua_pushinteger(L, hour + 1);
    lua_pushinteger(L, (lua_Integer)(pinery_ledger_hour_time_s(books, hour) / 86400.0 + 1e-6) + 1);
    return 2;
}

/* result:weather(): site, source and checksum of its weather, and the list of its remarks. */
int pinery_lua_result_weather(lua_State *L) {
    const pinery_weather *weather = pinery_lua_result(L, 1)->weather->weather;
    char checksum[24];
    snprintf(checksum, sizeof checksum, "%016llx", pinery_weather_checksum(weather));
    lua_pushstring(L, pinery_weather_site(weather)->name);
    lua_pushstring(L, pinery_weather_source(weather));
    lua_pushstring(L, checksum);
    lua_newtable(L);
    for (int i = 0; i < pinery_weather_remark_count(weather); i++) {
        lua_pushstring(L, pinery_weather_remark(weather, i));
        lua_rawseti(L, -2, i + 1);
    }
    return 4;
}

/* result:span(): days, heating value in MJ/m3, whether that is gross. */
int pinery_lua_result_span(lua_State *L) {
    const pinery_ledger *books = pinery_run_ledger(pinery_lua_result(L, 1)->run);
    lua_pushnumber(L, (pinery_ledger_end_s(books) - pinery_ledger_start_s(books)) / 86400.0);
    lua_pushnumber(L, pinery_ledger_heating_value(books) / 1e6);
    lua_pushboolean(L, pinery_ledger_gross(books));
    return 3;
}
