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

/* Where a drawing goes: to a file by name, or to a nameless one whose content a script gets. */
struct paper {
    const char *path;
    FILE *file;
};

/* The fields `file` or `as` of the table; what they name stays on the stack. */
static struct paper paper_field(lua_State *L, int table) {
    static const char *const kinds[] = {"svg", "png", "pdf", "gnuplot", NULL};
    if (lua_getfield(L, table, "file") != LUA_TNIL) {
        return (struct paper){pinery_lua_path(L, luaL_checkstring(L, -1)), NULL};
    }
    lua_getfield(L, table, "as");
    const char *path = lua_pushfstring(L, ".%s", kinds[luaL_checkoption(L, -1, "svg", kinds)]);
    return (struct paper){path, push_file(L)};
}

static int finish(lua_State *L, const struct paper *paper, pinery_status status, const pinery_error *error) {
    if (status != PINERY_OK) {
        return fail(L, error->text);
    }
    if (paper->file) {
        push_content(L, paper->file);
    } else {
        lua_pushboolean(L, true);
    }
    return 1;
}

/* comparison:chart { "months", run = 1, file = "x.svg" } or, without a file, the drawing as a text, of kind `as`. */
int pinery_lua_chart(lua_State *L) {
    luaL_checktype(L, 2, LUA_TTABLE);
    lua_settop(L, 2);
    int n, reference;
    const pinery_report_entry *entry = entries(L, &n, &reference);
    pinery_chart chart = chart_field(L);
    lua_getfield(L, 2, "run");
    int one = (int)luaL_optinteger(L, -1, 1) - 1;
    struct paper paper = paper_field(L, 2);
    pinery_error error;
    return finish(L, &paper, pinery_report_chart(chart, n, entry, reference, one, paper.path, paper.file, &error),
                  &error);
}

/* --- of numbers --- */

static const char *text_field(lua_State *L, int table, const char *key) {
    lua_getfield(L, table, key);
    const char *text = luaL_checkstring(L, -1); /* the table keeps it */
    lua_pop(L, 1);
    return text;
}

static double number_field(lua_State *L, int table, const char *key, double otherwise) {
    lua_getfield(L, table, key);
    double number = luaL_optnumber(L, -1, otherwise);
    lua_pop(L, 1);
    return number;
}

static bool flag_field(lua_State *L, int table, const char *key) {
    lua_getfield(L, table, key);
    bool flag = lua_toboolean(L, -1);
    lua_pop(L, 1);
    return flag;
}

/* bars { axis =, decimals =, { label =, from =, to =, run =, total = } ... }, with file or as; run counts from 1. */
int pinery_lua_bars(lua_State *L) {
    luaL_checktype(L, 1, LUA_TTABLE);
    lua_settop(L, 1);
    int n = (int)lua_rawlen(L, 1);
    pinery_report_bar *bar = lua_newuserdatauv(L, (size_t)n * sizeof *bar + 1, 0);
    for (int i = 0; i < n; i++) {
        lua_rawgeti(L, 1, i + 1);
        int at = lua_gettop(L);
        bar[i] = (pinery_report_bar){.label = text_field(L, at, "label"),
                                     .from = number_field(L, at, "from", 0.0),
                                     .to = number_field(L, at, "to", 0.0),
                                     .run = (int)number_field(L, at, "run", 0.0) - 1,
                                     .total = flag_field(L, at, "total")};
        lua_pop(L, 1);
    }
    const char *axis = text_field(L, 1, "axis");
    int decimals = (int)number_field(L, 1, "decimals", 2.0);
    struct paper paper = paper_field(L, 1);
    pinery_error error;
    return finish(L, &paper, pinery_report_bars(n, bar, axis, decimals, paper.path, paper.file, &error), &error);
}

/* ranges { axis =, { label =, 2.5 %, 10 %, 50 %, 90 %, 97.5 % } ... }, with file or as. */
int pinery_lua_ranges(lua_State *L) {
    luaL_checktype(L, 1, LUA_TTABLE);
    lua_settop(L, 1);
    int n = (int)lua_rawlen(L, 1);
    pinery_report_spread_row *row = lua_newuserdatauv(L, (size_t)n * sizeof *row + 1, 0);
    for (int i = 0; i < n; i++) {
        lua_rawgeti(L, 1, i + 1);
        row[i].label = text_field(L, lua_gettop(L), "label");
        for (int k = 0; k < 5; k++) {
            lua_rawgeti(L, -1, k + 1);
            row[i].at[k] = luaL_checknumber(L, -1);
            lua_pop(L, 1);
        }
        lua_pop(L, 1);
    }
    const char *axis = text_field(L, 1, "axis");
    struct paper paper = paper_field(L, 1);
    pinery_error error;
    return finish(L, &paper, pinery_report_ranges(n, row, axis, paper.path, paper.file, &error), &error);
}

/* Push the numbers of the list in a field; how many there are. */
static double *push_numbers(lua_State *L, int table, const char *key, int *n) {
    lua_getfield(L, table, key);
    int list = lua_gettop(L);
    luaL_checktype(L, list, LUA_TTABLE);
    *n = (int)lua_rawlen(L, list);
    double *number = lua_newuserdatauv(L, (size_t)*n * sizeof *number + 1, 0);
    for (int i = 0; i < *n; i++) {
        lua_rawgeti(L, list, i + 1);
        number[i] = lua_tonumber(L, -1);
        lua_pop(L, 1);
    }
    lua_remove(L, list);
    return number;
}

/* lines { x =, y =, { name =, run =, x = { ... }, y = { ... } } ... }, with file or as. */
int pinery_lua_lines(lua_State *L) {
    luaL_checktype(L, 1, LUA_TTABLE);
    lua_settop(L, 1);
    int n = (int)lua_rawlen(L, 1);
    pinery_report_line *line = lua_newuserdatauv(L, (size_t)n * sizeof *line + 1, 0);
    luaL_checkstack(L, 2 * n + 20, "too many lines");
    for (int i = 0; i < n; i++) {
        lua_rawgeti(L, 1, i + 1);
        int at = lua_gettop(L), x, y;
        line[i].name = text_field(L, at, "name");
        line[i].run = (int)number_field(L, at, "run", 0.0) - 1;
        line[i].x = push_numbers(L, at, "x", &x);
        line[i].y = push_numbers(L, at, "y", &y);
        line[i].n = x < y ? x : y;
        lua_remove(L, at);
    }
    const char *x_axis = text_field(L, 1, "x"), *y_axis = text_field(L, 1, "y");
    struct paper paper = paper_field(L, 1);
    pinery_error error;
    return finish(L, &paper, pinery_report_lines(n, line, x_axis, y_axis, paper.path, paper.file, &error), &error);
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
