/* Reports as text in a script, and as files that are there whole or not at all. */
#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "binding.h"

/* Something the library writes to a file. */
struct job {
    pinery_status (*write)(FILE *out, const struct job *job, pinery_error *error);
    int n, reference;
    const pinery_report_entry *entry;
    const pinery_weather *weather;
    double from, days, to;
    const char *text;
    size_t length;
    pinery_lua_writer *page;
    const void *context;
    const pinery_causes *causes;
};

static pinery_status write_compare(FILE *out, const struct job *job, pinery_error *error) {
    return pinery_report_compare(out, job->n, job->entry, job->reference, error);
}

static pinery_status write_months(FILE *out, const struct job *job, pinery_error *error) {
    return pinery_report_months(out, job->entry, error);
}

static pinery_status write_balance(FILE *out, const struct job *job, pinery_error *error) {
    return pinery_report_balance(out, job->entry, error);
}

static pinery_status write_json(FILE *out, const struct job *job, pinery_error *error) {
    return pinery_report_json(out, job->n, job->entry, error);
}

static pinery_status write_hours(FILE *out, const struct job *job, pinery_error *error) {
    return pinery_report_hours_csv(out, job->entry->ledger, error);
}

static pinery_status write_netcdf(FILE *out, const struct job *job, pinery_error *error) {
    return pinery_report_hours_netcdf(out, job->entry, error);
}

static pinery_status write_csv(FILE *out, const struct job *job, pinery_error *error) {
    return pinery_report_csv(out, job->n, job->entry, error);
}

static pinery_status write_causes(FILE *out, const struct job *job, pinery_error *error) {
    return pinery_causes_text(out, job->causes, job->from, job->to, 0, error);
}

static pinery_status write_text(FILE *out, const struct job *job, pinery_error *error) {
    (void)error;
    fwrite(job->text, 1, job->length, out);
    return PINERY_OK;
}

static pinery_status write_weather(FILE *out, const struct job *job, pinery_error *error) {
    return pinery_report_weather(out, job->weather, error);
}

static pinery_status write_weather_figure(FILE *out, const struct job *job, pinery_error *error) {
    return pinery_report_weather_figure(job->weather, NULL, out, error);
}

static pinery_status write_figure(FILE *out, const struct job *job, pinery_error *error) {
    return pinery_report_figure(job->entry, job->from, job->days, NULL, out, error);
}

static pinery_status write_page(FILE *out, const struct job *job, pinery_error *error) {
    return job->page(out, job->context, error);
}

/* --- into a text --- */

#define TEXT "pinery.text"

/* Owns what is written until the script has its copy. */
struct text {
    FILE *out;
    char *bytes;
    size_t length;
};

static int close_text(lua_State *L) {
    struct text *text = luaL_checkudata(L, 1, TEXT);
    if (text->out) {
        fclose(text->out);
        text->out = NULL;
    }
    free(text->bytes);
    text->bytes = NULL;
    return 0;
}

static int fail(lua_State *L, const char *message) {
    lua_pushnil(L);
    lua_pushstring(L, message);
    return 2;
}

static int push_text(lua_State *L, const struct job *job) {
    struct text *text = lua_newuserdatauv(L, sizeof *text, 0);
    *text = (struct text){0};
    luaL_setmetatable(L, TEXT);
    text->out = open_memstream(&text->bytes, &text->length);
    pinery_error error = {.status = PINERY_MEMORY, .text = "memory ran out"};
    bool written = text->out && job->write(text->out, job, &error) == PINERY_OK;
    if (text->out && fclose(text->out) != 0) {
        written = false;
    }
    text->out = NULL;
    if (!written) {
        return fail(L, error.text);
    }
    lua_pushlstring(L, text->bytes, text->length);
    free(text->bytes);
    text->bytes = NULL;
    return 1;
}

/* --- into a file --- */

static int fail_file(lua_State *L, const char *path, const char *what) {
    const char *why = strerror(errno);
    return fail(L, lua_pushfstring(L, "%s: %s: %s", path, what, why));
}

/* What umask allows, as for any new file; mkstemp makes it for the owner alone. */
static void share(int file) {
    mode_t mask = umask(0);
    umask(mask);
    fchmod(file, 0666 & ~mask);
}

/* Written beside `path` under another name, which then takes its place. */
static int save(lua_State *L, const char *path, const struct job *job) {
    char *temporary = lua_newuserdatauv(L, strlen(path) + sizeof ".XXXXXX", 0);
    sprintf(temporary, "%s.XXXXXX", path);
    luaL_checkstack(L, 8, NULL);
    int file = mkstemp(temporary);
    if (file < 0) {
        return fail_file(L, path, "cannot be written");
    }
    share(file);
    FILE *out = fdopen(file, "w");
    if (!out) {
        close(file);
        unlink(temporary);
        return fail_file(L, path, "cannot be written");
    }
    pinery_error error;
    pinery_status status = job->write(out, job, &error);
    bool whole = !ferror(out);
    whole = fclose(out) == 0 && whole;
    if (status == PINERY_OK && whole && rename(temporary, path) == 0) {
        lua_pushboolean(L, true);
        return 1;
    }
    int number = errno;
    unlink(temporary);
    errno = number;
    return status != PINERY_OK ? fail(L, lua_pushfstring(L, "%s: %s", path, error.text))
                               : fail_file(L, path, "cannot be written");
}

/* The path that is argument `arg`, on the stack. */
static const char *path_argument(lua_State *L, int arg) {
    return pinery_lua_path(L, luaL_checkstring(L, arg));
}

/* --- results --- */

pinery_report_entry pinery_lua_entry(const struct pinery_lua_case *one) {
    return (pinery_report_entry){.name = one->label,
                                 .ledger = pinery_run_ledger(one->run),
                                 .cost = pinery_run_cost(one->run),
                                 .weather = one->weather->weather};
}

int pinery_lua_result_report(lua_State *L) {
    static const char *const kinds[] = {"summary", "months", "balance", "causes", NULL};
    pinery_report_entry entry = pinery_lua_entry(pinery_lua_result(L, 1));
    struct job job = {.n = 1, .entry = &entry};
    int kind = luaL_checkoption(L, 2, "summary", kinds);
    job.write = kind == 0 ? write_compare : kind == 1 ? write_months : kind == 2 ? write_balance : write_causes;
    if (kind == 3) { /* result:report("causes", { from = day, days = n }) */
        job.causes = pinery_lua_causes(L);
        pinery_lua_span(L, 3, &job.from, &job.to);
    }
    return push_text(L, &job);
}

int pinery_lua_result_save_json(lua_State *L) {
    pinery_report_entry entry = pinery_lua_entry(pinery_lua_result(L, 1));
    return save(L, path_argument(L, 2), &(struct job){.write = write_json, .n = 1, .entry = &entry});
}

int pinery_lua_result_save_hours(lua_State *L) {
    pinery_report_entry entry = pinery_lua_entry(pinery_lua_result(L, 1));
    return save(L, path_argument(L, 2), &(struct job){.write = write_hours, .n = 1, .entry = &entry});
}

int pinery_lua_result_save_netcdf(lua_State *L) {
    pinery_report_entry entry = pinery_lua_entry(pinery_lua_result(L, 1));
    return save(L, path_argument(L, 2), &(struct job){.write = write_netcdf, .n = 1, .entry = &entry});
}

int pinery_lua_result_save_csv(lua_State *L) {
    pinery_report_entry entry = pinery_lua_entry(pinery_lua_result(L, 1));
    return save(L, path_argument(L, 2), &(struct job){.write = write_csv, .n = 1, .entry = &entry});
}

/* The number in the field of the table at slot 2. */
static double number_field(lua_State *L, const char *key, double otherwise) {
    lua_getfield(L, 2, key);
    if (!lua_isnil(L, -1) && lua_type(L, -1) != LUA_TNUMBER) {
        luaL_error(L, "figure: %s is a %s, expected a number", key, luaL_typename(L, -1));
    }
    double value = luaL_optnumber(L, -1, otherwise);
    lua_pop(L, 1);
    return value;
}

int pinery_lua_result_figure(lua_State *L) {
    struct pinery_lua_case *one = pinery_lua_result(L, 1);
    luaL_checktype(L, 2, LUA_TTABLE);
    pinery_report_entry entry = pinery_lua_entry(one);
    struct job job = {.write = write_figure, .entry = &entry};
    job.from = number_field(L, "from", one->options.first_day);
    job.days = number_field(L, "days", 2);
    if (lua_getfield(L, 2, "file") == LUA_TNIL) {
        return push_text(L, &job);
    }
    const char *path = path_argument(L, -1);
    pinery_error error;
    if (pinery_report_figure(&entry, job.from, job.days, path, NULL, &error) != PINERY_OK) {
        return fail(L, error.text);
    }
    lua_pushboolean(L, true);
    return 1;
}

/* --- comparisons --- */

/* Push memory that holds the entries of the comparison at slot 1. */
static struct job comparison_job(lua_State *L) {
    int n = pinery_lua_comparison_cases(L, 1);
    pinery_report_entry *entry = lua_newuserdatauv(L, (size_t)n * sizeof *entry, 0);
    for (int i = 0; i < n; i++) {
        lua_rawgeti(L, -2, i + 1);
        entry[i] = pinery_lua_entry(pinery_lua_result(L, lua_gettop(L)));
        lua_pop(L, 1);
    }
    return (struct job){.n = n, .entry = entry};
}

static const char *text_field(lua_State *L, const char *key) {
    lua_getfield(L, -1, key);
    const char *text = lua_tostring(L, -1);
    lua_pop(L, 1);
    return text; /* the table keeps it */
}

/* Give an entry the differences of its inputs; they stay on the stack. */
static void add_differences(lua_State *L, int cases, int reference, int i, pinery_report_entry *entry) {
    luaL_checkstack(L, 10, NULL);
    lua_rawgeti(L, cases, reference + 1);
    lua_rawgeti(L, cases, i + 1);
    int n = pinery_lua_differences(L, lua_gettop(L) - 1, lua_gettop(L));
    int list = lua_gettop(L);
    pinery_report_difference *difference = lua_newuserdatauv(L, (size_t)n * sizeof *difference + 1, 0);
    for (int j = 0; j < n; j++) {
        lua_rawgeti(L, list, j + 1);
        difference[j] = (pinery_report_difference){text_field(L, "field"), text_field(L, "unit"),
                                                   text_field(L, "reference"), text_field(L, "value")};
        lua_pop(L, 1);
    }
    entry->differences = n;
    entry->difference = difference;
}

int pinery_lua_comparison_report(lua_State *L) {
    lua_settop(L, 1);
    int cases = 2;
    struct job job = comparison_job(L);
    job.reference = pinery_lua_comparison_reference(L, 1);
    pinery_report_entry *entry = lua_touserdata(L, -1);
    for (int i = 0; i < job.n; i++) {
        if (i != job.reference) {
            add_differences(L, cases, job.reference, i, &entry[i]);
        }
    }
    job.write = write_compare;
    return push_text(L, &job);
}

int pinery_lua_comparison_save_json(lua_State *L) {
    struct job job = comparison_job(L);
    job.write = write_json;
    return save(L, path_argument(L, 2), &job);
}

int pinery_lua_comparison_save_csv(lua_State *L) {
    struct job job = comparison_job(L);
    job.write = write_csv;
    return save(L, path_argument(L, 2), &job);
}

/* --- input --- */

/* Stack: the path is argument 2, the list of results and the name of the reference or nil on top. */
static int save_input(lua_State *L) {
    lua_getfield(L, LUA_REGISTRYINDEX, PINERY_LUA_MODULE);
    lua_getfield(L, -1, "input_source");
    lua_replace(L, -2);
    lua_insert(L, -3);
    lua_call(L, 2, 2);
    if (lua_isnil(L, -2)) {
        return 2;
    }
    lua_pop(L, 1);
    struct job job = {.write = write_text};
    job.text = lua_tolstring(L, -1, &job.length);
    return save(L, path_argument(L, 2), &job);
}

int pinery_lua_result_save_input(lua_State *L) {
    pinery_lua_result(L, 1);
    lua_createtable(L, 1, 0);
    lua_pushvalue(L, 1);
    lua_rawseti(L, -2, 1);
    lua_pushnil(L);
    return save_input(L);
}

int pinery_lua_comparison_save_input(lua_State *L) {
    pinery_lua_comparison_cases(L, 1);
    lua_rawgeti(L, -1, pinery_lua_comparison_reference(L, 1) + 1);
    lua_pushstring(L, pinery_lua_result(L, lua_gettop(L))->label);
    lua_replace(L, -2);
    return save_input(L);
}

/* --- pages --- */

void pinery_lua_page(lua_State *L, pinery_lua_writer *write, const void *context) {
    luaL_checkstack(L, 8, NULL);
    int top = lua_gettop(L);
    if (push_text(L, &(struct job){.write = write_page, .page = write, .context = context}) != 1) {
        lua_error(L);
    }
    lua_replace(L, top + 1);
    lua_settop(L, top + 1);
}

/* --- weather --- */

int pinery_lua_weather_report(lua_State *L) {
    return push_text(L, &(struct job){.write = write_weather, .weather = pinery_lua_weather_self(L)});
}

int pinery_lua_weather_figure(lua_State *L) {
    const pinery_weather *weather = pinery_lua_weather_self(L);
    if (lua_isnoneornil(L, 2)) {
        return push_text(L, &(struct job){.write = write_weather_figure, .weather = weather});
    }
    pinery_error error;
    if (pinery_report_weather_figure(weather, path_argument(L, 2), NULL, &error) != PINERY_OK) {
        return fail(L, error.text);
    }
    lua_pushboolean(L, true);
    return 1;
}

void pinery_lua_open_report(lua_State *L) {
    static const luaL_Reg methods[] = {{"__gc", close_text}, {"__close", close_text}, {NULL, NULL}};
    pinery_lua_type(L, TEXT, methods, NULL);
}
