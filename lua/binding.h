/* What the files of the binding share. Every handle is a full userdata made before what it owns, so that it is safe to
 * collect half built; what a script calls goes through a protected call, and never while the solver is at work. */
#ifndef PINERY_LUA_BINDING_H
#define PINERY_LUA_BINDING_H

#include <lauxlib.h>
#include <lua.h>
#include <stdatomic.h>

#include "pinery.h"

/* --- where.c: the line of the script that called, and files named in it --- */

/* Push "wall.lua:12", the innermost line of a script that is running, or "". */
const char *pinery_lua_where(lua_State *L);

/* Push the path of a file named in a script: a relative one counts from the folder of the script that is running. */
const char *pinery_lua_path(lua_State *L, const char *path);

/* Push the path from the root of a path that may count from the present folder. */
const char *pinery_lua_whole_path(lua_State *L, const char *path);

/* Raise `text`, after `where` and a colon when where is not empty. */
int pinery_lua_raise(lua_State *L, const char *where, const char *text);

/* "missing" for nil or nothing, else "a TYPE", pushed. */
const char *pinery_lua_given(lua_State *L, int index);

/* Push the path of the file of monthly normals, or raise. */
const char *pinery_lua_normals(lua_State *L);

/* --- record.c: a struct made from a field list, read from and written to tables --- */

struct pinery_lua_shape;

/* Something inside a record that is a record itself, or a list of them. */
struct pinery_lua_part {
    const char *key;
    const struct pinery_lua_shape *shape;
    size_t offset;  /* of the first item in the record */
    int most;       /* items the list can hold; 0: not a list */
    int count;      /* offset of the int that counts the items, or PINERY_LUA_UNCOUNTED: they all always exist */
    bool removable; /* false in its place means none */
    bool alias;     /* another name of the first item of the part after it; read, never written */
};

#define PINERY_LUA_UNCOUNTED (-1)

struct pinery_lua_shape {
    const pinery_fields *fields;
    const struct pinery_lua_part *part;
    int parts;
    const char *preset; /* kind of preset a text stands for, or NULL */
    bool calendar;      /* the record is a crop and has one */
    bool bases;         /* tables at [1], [2] ... are read first */
    const char *also;   /* keys that are read elsewhere, "a b", or NULL */
};

extern const struct pinery_lua_shape pinery_lua_house_shape, pinery_lua_strategy_shape, pinery_lua_options_shape,
    pinery_lua_conditions_shape;

/* Every default of the record and of the records in it. */
void pinery_lua_record_default(const struct pinery_lua_shape *shape, void *record);

/* Read the value at `index` over the record: what it does not name stays as it is. Raises at `where`. */
void pinery_lua_record_read(lua_State *L, int index, const struct pinery_lua_shape *shape, void *record,
                            const char *where);

/* Push the whole record as a table that reads back to the same record. */
void pinery_lua_record_push(lua_State *L, const struct pinery_lua_shape *shape, const void *record);

/* Push the member or part of that name and return true, or push nothing. */
bool pinery_lua_record_get(lua_State *L, const struct pinery_lua_shape *shape, const void *record, const char *key);

/* Push the fields of the preset whose name is at `index`, or raise. */
void pinery_lua_preset_push(lua_State *L, const char *kind, int index);

/* --- value.c: houses and strategies --- */

#define PINERY_LUA_HOUSE "pinery.house"
#define PINERY_LUA_STRATEGY "pinery.strategy"

/* The record of the handle at `index`, made from a table there (which it then replaces), or raise at `where`. */
const pinery_house *pinery_lua_house(lua_State *L, int index, const char *where);
/* A strategy may also be a function: every default, with that function as its control. */
const pinery_strategy *pinery_lua_strategy(lua_State *L, int index, const char *where);
/* Push the control function of the strategy at `index`, or nil. */
int pinery_lua_control(lua_State *L, int index);

int pinery_lua_new_house(lua_State *L);
int pinery_lua_new_strategy(lua_State *L);
void pinery_lua_open_values(lua_State *L);

/* --- weather.c --- */

#define PINERY_LUA_WEATHER "pinery.weather"

struct pinery_lua_weather {
    pinery_weather *weather; /* NULL: closed */
    int users;               /* runs that read it; the last one frees it when it has been closed before */
    bool closed;
};

/* The weather at `index`, made from a table there (which it then replaces), or raise at `where`. */
struct pinery_lua_weather *pinery_lua_weather(lua_State *L, int index, const char *where);
/* The open weather that is the first argument, or raise. */
const pinery_weather *pinery_lua_weather_self(lua_State *L);
void pinery_lua_weather_release(struct pinery_lua_weather *handle);
int pinery_lua_new_weather(lua_State *L);
void pinery_lua_open_weather(lua_State *L);

/* --- guard.c: limits on a script, so that an endless loop ends --- */

struct pinery_lua_guard {
    double deadline_s;      /* by pinery_lua_clock; infinite: none */
    long long instructions; /* left */
    const char *limit;      /* what to say when it is reached */
    struct pinery_lua_guard *outer;
    lua_Hook hook;
    int mask, count;
};

double pinery_lua_clock(void);
void pinery_lua_guard_open(lua_State *L);
/* Around a protected call, never left by an error. */
void pinery_lua_guard_enter(lua_State *L, struct pinery_lua_guard *guard);
void pinery_lua_guard_leave(lua_State *L, struct pinery_lua_guard *guard);
/* Time that went into runs does not count. */
void pinery_lua_guard_pause(lua_State *L, double seconds);
/* A message handler: text, or any error value as text, with a traceback. */
int pinery_lua_traceback(lua_State *L);

/* --- views.c: what a control function is handed --- */

/* One control instant; the views point here, and are dead once `live` is false. */
struct pinery_lua_scene {
    pinery_run *run;
    const pinery_seen *seen;
    const pinery_house *house;
    pinery_orders orders;
    bool live;
};

/* Push a scene and, above it, the views seen, orders and run, made once for a whole run. */
struct pinery_lua_scene *pinery_lua_scene_push(lua_State *L);
void pinery_lua_open_views(lua_State *L);

/* --- case.c: one house, weather and strategy, run to the end --- */

#define PINERY_LUA_RESULT "pinery.result"

enum pinery_lua_state { PINERY_LUA_IDLE, PINERY_LUA_FINISHED, PINERY_LUA_CLOSED };

/* The handle of a result; it is there before the run, and a script gets it after. Its user values are the weather, the
 * control function, and { text = } or { why = } of that function as source. */
struct pinery_lua_case {
    pinery_run *run;
    struct pinery_lua_weather *weather; /* NULL when the run does not hold it */
    enum pinery_lua_state state;
    atomic_int permille; /* how far it is */
    pinery_status status;
    pinery_error error;
    double control_limit; /* instructions in one call */
    pinery_watch *watch;  /* looks at every interval; NULL: none */
    pinery_text label;
    pinery_house house;
    pinery_strategy strategy;
    pinery_options options;
};

/* What the cases of a comparison have in common: stack indices, 0 when not given. */
struct pinery_lua_common {
    int weather, house, options;
};

/* Called now and then while a case is run. */
typedef void pinery_lua_tick(lua_State *L, void *context);

/* Push a case made of the table at `index` and what is common; `number` is its place in a comparison. */
struct pinery_lua_case *pinery_lua_case_push(lua_State *L, int index, int number, struct pinery_lua_common common,
                                             const char *where);
bool pinery_lua_case_has_control(lua_State *L, int index);
/* Begin the run of the case at `index`, forgetting an earlier one. The status stays in the case. */
void pinery_lua_case_begin(lua_State *L, int index);
/* Run to the end without a script, on any thread; `cancel` may be set by another. The status stays in the case. */
void pinery_lua_case_run(struct pinery_lua_case *one, const atomic_bool *cancel);
/* Run the case at `index` to the end on this thread, calling its control function. False: a message was pushed. */
bool pinery_lua_case_drive(lua_State *L, int index, pinery_lua_tick *tick, void *context);
/* Free the run and let go of the weather. */
void pinery_lua_case_close(struct pinery_lua_case *one);

int pinery_lua_run(lua_State *L);

/* --- result.c --- */

/* The case at `index`, finished, or raise. */
struct pinery_lua_case *pinery_lua_result(lua_State *L, int index);
void pinery_lua_open_result(lua_State *L);

/* --- check.c --- */

/* Look at the case at `index` before it is run; push what there is to say. False: a message was pushed. */
bool pinery_lua_case_check(lua_State *L, int index);
int pinery_lua_check(lua_State *L);
int pinery_lua_comparison_check(lua_State *L);
void pinery_lua_open_check(lua_State *L);

/* --- causes.c --- */

/* The causes of the result that is the first argument, or raise when they were not kept. */
const pinery_causes *pinery_lua_causes(lua_State *L);
/* The times of { from = day, days = n } at `table`; all of it when there is no table. */
void pinery_lua_span(lua_State *L, int table, double *from_s, double *to_s);
int pinery_lua_result_causes(lua_State *L);
int pinery_lua_result_why(lua_State *L);

/* --- compare.c --- */

#define PINERY_LUA_COMPARISON "pinery.comparison"

int pinery_lua_compare(lua_State *L);
void pinery_lua_open_comparison(lua_State *L);

/* --- report.c --- */

pinery_report_entry pinery_lua_entry(const struct pinery_lua_case *one);
int pinery_lua_result_report(lua_State *L);      /* result:report("months") */
int pinery_lua_result_save_json(lua_State *L);   /* result:save_json(path) */
int pinery_lua_result_save_csv(lua_State *L);    /* result:save_csv(path) */
int pinery_lua_result_save_hours(lua_State *L);  /* result:save_hours(path) */
int pinery_lua_result_save_netcdf(lua_State *L); /* result:save_netcdf(path) */
int pinery_lua_result_figure(lua_State *L);      /* result:figure { from = 1, days = 2, file = "x.svg" } */
int pinery_lua_comparison_report(lua_State *L);  /* comparison:report() */
int pinery_lua_comparison_save_json(lua_State *L);
int pinery_lua_comparison_save_csv(lua_State *L);
int pinery_lua_result_save_input(lua_State *L); /* result:save_input(path) */
int pinery_lua_comparison_save_input(lua_State *L);
int pinery_lua_weather_report(lua_State *L); /* weather:report() */
int pinery_lua_weather_figure(lua_State *L); /* weather:figure(path) */
void pinery_lua_open_report(lua_State *L);

/* Writes a page about `context`. */
typedef pinery_status pinery_lua_writer(FILE *out, const void *context, pinery_error *error);
/* Push the page as text, or raise. */
void pinery_lua_page(lua_State *L, pinery_lua_writer *write, const void *context);

/* Keep the hours, and why everything moved, of every case of the comparison at `index`, which has not been run. */
void pinery_lua_comparison_keep_hours(lua_State *L, int index);
void pinery_lua_comparison_keep_causes(lua_State *L, int index);

/* The place, from 0, of the case the others are held against. */
int pinery_lua_comparison_reference(lua_State *L, int index);

/* Push the list of cases of a comparison that has not been run, or raise; their number. */
int pinery_lua_comparison_waiting(lua_State *L, int index);

/* Push the list of cases of the finished comparison at `index`, or raise; their number. */
int pinery_lua_comparison_cases(lua_State *L, int index);

/* --- held.c: what is equal and what is not between cases of a comparison --- */

/* Push a list { field =, unit =, reference =, value = } of the inputs of the case at `other` that are not as in the one
 * at `reference`; values as text. */
int pinery_lua_differences(lua_State *L, int reference, int other);
int pinery_lua_comparison_rows(lua_State *L); /* comparison:rows() */
int pinery_lua_comparison_held(lua_State *L); /* comparison:held() */

/* --- fit.c --- */

/* The search alone; fit.lua puts pinery.fit { ... } in its place. */
int pinery_lua_fit(lua_State *L);
/* Its drawing; fit:figure { ... } calls it. */
int pinery_lua_fit_figure(lua_State *L);

/* --- steady.c --- */

int pinery_lua_steady(lua_State *L);
/* --- money.c --- */

int pinery_lua_money(lua_State *L);

/* The same of two houses and strategies, without weather, control and options. */
int pinery_lua_changes(lua_State *L);

/* --- batch.c, study.c, chance.c: what the studies written in Lua are made of --- */

/* Field of the registry: a function that shows progress 0 .. 1, or nil. */
#define PINERY_LUA_PROGRESS "pinery.progress"

int pinery_lua_batch(lua_State *L);
/* Push a table of functions for the Lua files of this folder, which no script sees. */
void pinery_lua_push_inner(lua_State *L);
/* Add those of draws to the table on top. */
void pinery_lua_add_chance(lua_State *L);

/* --- chart.c: drawings of runs, and what a page says of them --- */

int pinery_lua_chart(lua_State *L); /* comparison:chart { "months" }, result:chart { "months" } */
int pinery_lua_bars(lua_State *L);  /* of numbers of a study */
int pinery_lua_ranges(lua_State *L);
int pinery_lua_lines(lua_State *L);
int pinery_lua_colour(lua_State *L);             /* colour(2): that of the second run in every chart */
int pinery_lua_result_coldest_day(lua_State *L); /* result:coldest_day() */
int pinery_lua_result_weather(lua_State *L);     /* result:weather() */
int pinery_lua_result_span(lua_State *L);        /* result:span() */

/* --- size.c --- */

/* sizing_figure(answer, path or nil, machines, place): true, or the drawing as text; nil and a message. */
int pinery_lua_sizing_figure(lua_State *L);

/* --- names.c: the lists as tables, for the reference page --- */

int pinery_lua_fields(lua_State *L);
int pinery_lua_names(lua_State *L);
int pinery_lua_presets(lua_State *L);
int pinery_lua_preset(lua_State *L);

/* --- module.c --- */

/* The table of the module, in the registry. */
#define PINERY_LUA_MODULE "pinery.module"

/* Register methods under a type name: __index is the function given, or the methods themselves when it is NULL. */
void pinery_lua_type(lua_State *L, const char *name, const luaL_Reg *methods, lua_CFunction index);

PINERY_API int luaopen_pinery(lua_State *L);

#endif
