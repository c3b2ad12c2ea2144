/* pinery run SCENARIO.lua: run what the scenario returns and report it. */
#include <limits.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "command.h"

struct wishes {
    const char *file, *json, *csv, *figure, *summary, *netcdf, *input, *page, *figures;
    double from, days, limit;
    bool first, months, balance, causes, quiet;
    int last, page_of; /* slots of the last value the scenario returned, and of what a page is made of */
    int status;
};

static int fail(struct wishes *wish, const char *text) {
    wish->status = pinery_command_say(PINERY_COMMAND_FAILED, text);
    return 0;
}

/* --- progress on a terminal --- */

static int progress(lua_State *L) {
    enum { WIDTH = 40 };
    int done = (int)(WIDTH * lua_tonumber(L, 1) + 0.5);
    fputs("\r[", stderr);
    for (int i = 0; i < WIDTH; i++) {
        fputc(i < done ? '=' : ' ', stderr);
    }
    fprintf(stderr, "] %3.0f %%", 100 * lua_tonumber(L, 1));
    fflush(stderr);
    return 0;
}

static void wipe_progress(void) {
    fprintf(stderr, "\r%60s\r", "");
    fflush(stderr);
}

/* --- the scenario --- */

bool pinery_command_lines(lua_State *L, const char *file, double limit_s, int *failed) {
    if (access(file, R_OK) != 0) {
        fprintf(stderr, "pinery: %s cannot be read\n", file);
        *failed = PINERY_COMMAND_MISUSED;
        return false;
    }
    char limit[128];
    snprintf(limit, sizeof limit, "the scenario took more than %.10g s besides its runs (--limit)", limit_s);
    struct pinery_lua_guard guard = {
        .deadline_s = pinery_lua_clock() + limit_s, .instructions = LLONG_MAX, .limit = limit};
    lua_createtable(L, 0, 1);
    lua_pushstring(L, file);
    lua_rawseti(L, -2, 0);
    lua_setglobal(L, "arg");
    lua_pushcfunction(L, pinery_lua_traceback);
    int base = lua_gettop(L);
    int status = luaL_loadfile(L, file);
    if (status == LUA_OK) {
        pinery_lua_guard_enter(L, &guard);
        status = lua_pcall(L, 0, LUA_MULTRET, base);
        pinery_lua_guard_leave(L, &guard);
    }
    lua_remove(L, base);
    if (status != LUA_OK) {
        *failed = pinery_command_say(PINERY_COMMAND_FAILED, luaL_tolstring(L, -1, NULL));
    }
    return status == LUA_OK;
}

/* Run the comparison at `at`. */
static bool run_comparison(lua_State *L, int at, struct wishes *wish) {
    if (wish->csv || wish->figure || wish->netcdf || wish->page || wish->figures) {
        pinery_lua_comparison_keep_hours(L, at);
    }
    if (wish->causes) {
        pinery_lua_comparison_keep_causes(L, at);
    }
    bool shown = !wish->quiet && isatty(STDERR_FILENO);
    int top = lua_gettop(L);
    lua_pushcfunction(L, pinery_lua_traceback);
    lua_getfield(L, at, "run");
    lua_pushvalue(L, at);
    if (shown) {
        lua_pushcfunction(L, progress);
    } else {
        lua_pushnil(L);
    }
    int status = lua_pcall(L, 2, 2, -4);
    if (shown) {
        wipe_progress();
    }
    if (status != LUA_OK || lua_isnil(L, -2)) {
        fail(wish, luaL_tolstring(L, -1, NULL));
        return false;
    }
    lua_settop(L, top);
    return true;
}

/* --- what was wished for --- */

/* Push the name of the result on top, fit for the name of a file. */
static const char *push_file_name(lua_State *L) {
    lua_getfield(L, -1, "name");
    char name[PINERY_TEXT_SIZE];
    snprintf(name, sizeof name, "%s", lua_tostring(L, -1));
    for (char *c = name; *c != '\0'; c++) {
        *c = *c == '/' ? '_' : *c;
    }
    lua_pop(L, 1);
    return lua_pushstring(L, name);
}

static bool save_hours(lua_State *L, int at, const char *folder, const char *method, const char *ending) {
    lua_pushvalue(L, at);
    const char *path = lua_pushfstring(L, "%s/%s.%s", folder, push_file_name(L), ending);
    return pinery_command_call(L, at, method, path);
}

/* The figure of one run is FILE.svg; of several, FILE-NAME.svg. */
static bool draw(lua_State *L, int at, int n, const struct wishes *wish) {
    const char *path = wish->figure;
    const char *dot = strrchr(path, '.');
    if (n > 1 && dot) {
        lua_pushlstring(L, path, (size_t)(dot - path));
        const char *stem = lua_tostring(L, -1);
        lua_pushvalue(L, at);
        path = lua_pushfstring(L, "%s-%s%s", stem, push_file_name(L), dot);
    }
    lua_getfield(L, at, "figure");
    lua_pushvalue(L, at);
    lua_createtable(L, 0, 3);
    if (wish->first) {
        lua_pushnumber(L, wish->from);
        lua_setfield(L, -2, "from");
    }
    lua_pushnumber(L, wish->days);
    lua_setfield(L, -2, "days");
    lua_pushstring(L, path);
    lua_setfield(L, -2, "file");
    if (lua_pcall(L, 2, 2, 0) != LUA_OK || lua_isnil(L, -2)) {
        pinery_command_say(PINERY_COMMAND_FAILED, luaL_tolstring(L, -1, NULL));
        return false;
    }
    return true;
}

static bool print_report(lua_State *L, int at, const char *kind, const struct wishes *wish) {
    if (wish->quiet) {
        return true;
    }
    if (!pinery_command_call(L, at, "report", kind)) {
        return false;
    }
    pinery_command_print(L);
    return true;
}

/* Why everything moved in the days asked for. */
static bool print_causes(lua_State *L, int at, const struct wishes *wish) {
    if (wish->quiet) {
        return true;
    }
    lua_getfield(L, at, "name");
    printf("\n%s: what moved, and why\n", lua_tostring(L, -1));
    lua_getfield(L, at, "report");
    lua_pushvalue(L, at);
    lua_pushliteral(L, "causes");
    lua_createtable(L, 0, 2);
    lua_getfield(L, at, "input"); /* the first day of the run, unless --from says another */
    lua_pushvalue(L, at);
    lua_call(L, 1, 1);
    lua_getfield(L, -1, "options");
    lua_getfield(L, -1, "first_day");
    lua_pushnumber(L, wish->first ? wish->from : lua_tonumber(L, -1));
    lua_setfield(L, -5, "from");
    lua_pop(L, 3);
    lua_pushnumber(L, wish->days);
    lua_setfield(L, -2, "days");
    if (lua_pcall(L, 3, 2, 0) != LUA_OK || lua_isnil(L, -2)) {
        pinery_command_say(PINERY_COMMAND_FAILED, luaL_tolstring(L, -1, NULL));
        return false;
    }
    lua_pop(L, 1);
    pinery_command_print(L);
    return true;
}

static bool report_one(lua_State *L, int at, int n, const struct wishes *wish) {
    return (!wish->months || print_report(L, at, "months", wish)) &&
           (!wish->balance || print_report(L, at, "balance", wish)) && (!wish->causes || print_causes(L, at, wish)) &&
           (!wish->csv || save_hours(L, at, wish->csv, "save_hours", "csv")) &&
           (!wish->netcdf || save_hours(L, at, wish->netcdf, "save_netcdf", "nc")) &&
           (!wish->figure || draw(L, at, n, wish));
}

/* `at` is a study: its text, and all its numbers as JSON. */
static bool report_study(lua_State *L, int at, const struct wishes *wish) {
    return print_report(L, at, NULL, wish) &&
           (!wish->page || at != wish->page_of || pinery_command_page(L, at, wish->last, wish->page)) &&
           (!wish->json || pinery_command_call(L, at, "save_json", wish->json)) &&
           (!wish->figure || pinery_command_call(L, at, "figure", wish->figure));
}

/* `at` is a finished comparison or a result. */
static bool report_runs(lua_State *L, int at, bool compared, const struct wishes *wish) {
    if (!print_report(L, at, NULL, wish) || (wish->json && !pinery_command_call(L, at, "save_json", wish->json)) ||
        (wish->summary && !pinery_command_call(L, at, "save_csv", wish->summary)) ||
        (wish->input && !pinery_command_call(L, at, "save_input", wish->input))) {
        return false;
    }
    if (!compared) {
        return report_one(L, at, 1, wish);
    }
    if (at == wish->page_of) {
        if ((wish->page && !pinery_command_page(L, at, wish->last, wish->page)) ||
            (wish->figures && !pinery_command_call(L, at, "save_figures", wish->figures))) {
            return false;
        }
    }
    int n = pinery_lua_comparison_cases(L, at);
    int cases = lua_gettop(L);
    for (int i = 1; i <= n; i++) {
        lua_rawgeti(L, cases, i);
        if (!report_one(L, lua_gettop(L), n, wish)) {
            return false;
        }
        lua_settop(L, cases);
    }
    return true;
}

/* A plain table after the first value is what a page is to say besides: title, notes. */
static bool is_words(lua_State *L, int at) {
    if (!lua_istable(L, at)) {
        return false;
    }
    bool words = !lua_getmetatable(L, at);
    lua_pop(L, words ? 0 : 1);
    return words;
}

/* What the scenario returned as value `number` of it; the JSON of the second goes to FILE-2.json, and so on. */
static bool report(lua_State *L, int at, int number, const struct wishes *wishes) {
    struct wishes wish = *wishes;
    const char *dot = wish.json ? strrchr(wish.json, '.') : NULL;
    if (wish.json && number > 1) {
        lua_pushlstring(L, wish.json, dot ? (size_t)(dot - wish.json) : strlen(wish.json));
        wish.json = lua_pushfstring(L, "%s-%d%s", lua_tostring(L, -1), number, dot ? dot : "");
    }
    if (number > 1 && !wish.quiet) {
        putchar('\n');
    }
    if (pinery_command_is_study(L, at)) {
        return report_study(L, at, &wish);
    }
    bool compared = luaL_testudata(L, at, PINERY_LUA_COMPARISON);
    if (!compared && !luaL_testudata(L, at, PINERY_LUA_RESULT)) {
        lua_pushfstring(L, "%s: the scenario returns a %s, expected pinery.compare { ... }, a result or a study",
                        wish.file, luaL_typename(L, at));
        pinery_command_say(PINERY_COMMAND_FAILED, lua_tostring(L, -1));
        return false;
    }
    if (compared) {
        struct wishes own = wish;
        if (!run_comparison(L, at, &own)) {
            return false;
        }
    }
    return report_runs(L, at, compared, &wish);
}

/* Stack: the wishes. */
static int body(lua_State *L) {
    struct wishes *wish = lua_touserdata(L, 1);
    if (!wish->quiet && isatty(STDERR_FILENO)) {
        lua_pushcfunction(L, progress);
        lua_setfield(L, LUA_REGISTRYINDEX, PINERY_LUA_PROGRESS);
    }
    bool ran = pinery_command_lines(L, wish->file, wish->limit, &wish->status);
    if (!wish->quiet && isatty(STDERR_FILENO)) {
        wipe_progress();
    }
    if (!ran) {
        return 0;
    }
    luaL_checkstack(L, 20, NULL);
    int last = wish->last = lua_gettop(L);
    if (last == 1) {
        return wish->json || wish->csv || wish->summary || wish->netcdf || wish->input || wish->figure ||
                       wish->months || wish->balance || wish->page || wish->figures || wish->causes
                   ? fail(wish, "the scenario returns nothing to report; end it with return pinery.compare { ... }")
                   : 0;
    }
    wish->page_of = pinery_command_page_of(L, last);
    if (!lua_isnil(L, 2) && ((wish->page && wish->page_of == 0) ||
                             (wish->figures && (wish->page_of == 0 || pinery_command_is_study(L, wish->page_of))))) {
        return fail(wish,
                    "a page or its figures are made of pinery.compare { ... }, or a page of a study; the scenario "
                    "returns none");
    }
    for (int at = 2; at <= last; at++) {
        /* nil and a message, as pinery.run { ... } and others give when they fail */
        if (lua_isnil(L, at) && at < last) {
            return fail(wish, luaL_tolstring(L, at + 1, NULL));
        }
        if (!(at > 2 && is_words(L, at)) && !report(L, at, at - 1, wish)) {
            wish->status = PINERY_COMMAND_FAILED;
            return 0;
        }
        lua_settop(L, last);
    }
    return 0;
}

static bool make_folder(const char *option, const char *folder) {
    struct stat found;
    if (mkdir(folder, 0777) == 0 || (stat(folder, &found) == 0 && S_ISDIR(found.st_mode))) {
        return true;
    }
    fprintf(stderr, "pinery: %s %s is not a folder and cannot be made one\n", option, folder);
    return false;
}

int pinery_command_run(int argc, char **argv) {
    struct wishes wish = {0};
    const char *from = NULL, *days = NULL, *limit = NULL;
    const struct pinery_command_option options[] = {{"--json", &wish.json, NULL},
                                                    {"--csv", &wish.csv, NULL},
                                                    {"--figure", &wish.figure, NULL},
                                                    {"--from", &from, NULL},
                                                    {"--days", &days, NULL},
                                                    {"--limit", &limit, NULL},
                                                    {"--months", NULL, &wish.months},
                                                    {"--balance", NULL, &wish.balance},
                                                    {"--causes", NULL, &wish.causes},
                                                    {"--quiet", NULL, &wish.quiet},
                                                    {"--summary", &wish.summary, NULL},
                                                    {"--netcdf", &wish.netcdf, NULL},
                                                    {"--input", &wish.input, NULL},
                                                    {"--page", &wish.page, NULL},
                                                    {"--figures", &wish.figures, NULL},
                                                    {NULL, NULL, NULL}};
    if (!pinery_command_options(argc, argv, options, &wish.file) ||
        !pinery_command_number("--from", from, 1, 1, 10000, &wish.from) ||
        !pinery_command_number("--days", days, 2, 0.1, 10000, &wish.days) ||
        !pinery_command_number("--limit", limit, 60, 0.01, 1e9, &wish.limit)) {
        return PINERY_COMMAND_MISUSED;
    }
    wish.first = from != NULL;
    if (!wish.file) {
        return pinery_command_say(PINERY_COMMAND_MISUSED, "which scenario? pinery run SCENARIO.lua");
    }
    if ((wish.csv && !make_folder("--csv", wish.csv)) || (wish.netcdf && !make_folder("--netcdf", wish.netcdf)) ||
        (wish.figures && !make_folder("--figures", wish.figures))) {
        return PINERY_COMMAND_MISUSED;
    }
    lua_State *L = pinery_command_state();
    if (!L) {
        return PINERY_COMMAND_FAILED;
    }
    lua_pushcfunction(L, body);
    lua_pushlightuserdata(L, &wish);
    if (lua_pcall(L, 1, 0, 0) != LUA_OK) {
        fail(&wish, luaL_tolstring(L, -1, NULL));
    }
    lua_close(L);
    return wish.status;
}
