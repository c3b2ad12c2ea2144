/* What is equal and what is not between two cases of a comparison: what went in, field by field, and what came out. */
#include <math.h>
#include <string.h>

#include "record.h"

/* --- what went in --- */

/* Two records that are walked together. */
struct walk {
    const struct pinery_lua_case *reference, *other;
    int list, n; /* stack slot of the list, rows in it */
};

/* Append { field, unit, reference, value }; the two values are texts on top of the stack, which are popped. */
static void add(lua_State *L, struct walk *walk, const char *field, const char *unit) {
    lua_createtable(L, 0, 4);
    lua_insert(L, -3);
    lua_setfield(L, -3, "value");
    lua_setfield(L, -2, "reference");
    lua_pushstring(L, field);
    lua_setfield(L, -2, "field");
    lua_pushstring(L, unit);
    lua_setfield(L, -2, "unit");
    lua_rawseti(L, walk->list, ++walk->n);
}

/* The value of a field as text. */
static void push_value(lua_State *L, const pinery_field *field, const void *record) {
    double value = pinery_field_number(field, record);
    char text[40];
    if (field->kind == PINERY_TEXT) {
        lua_pushfstring(L, "\"%s\"", (const char *)record + field->offset);
    } else if (field->kind == PINERY_BOOL) {
        lua_pushstring(L, value != 0.0 ? "true" : "false");
    } else if (field->kind == PINERY_CHOICE) {
        const char *choices = field->choices;
        for (int i = (int)value; i > 0 && *choices != '\0'; i--) {
            choices += strcspn(choices, "|");
            choices += *choices == '|';
        }
        lua_pushlstring(L, choices, strcspn(choices, "|"));
    } else if (isnan(value)) {
        lua_pushliteral(L, "not given");
    } else {
        snprintf(text, sizeof text, "%.10g", value);
        lua_pushstring(L, text);
    }
}

static bool same(const pinery_field *field, const void *a, const void *b) {
    if (field->kind == PINERY_TEXT) {
        return strcmp((const char *)a + field->offset, (const char *)b + field->offset) == 0;
    }
    double first = pinery_field_number(field, a), second = pinery_field_number(field, b);
    return first == second || (isnan(first) && isnan(second));
}

/* How many items of a list may matter: the screens of drives that neither house has, and the lighting of lamps that
 * neither has, are idle. */
static int items(const struct pinery_lua_part *part, const void *record, const pinery_house *house) {
    int n = part->most > 0 ? pinery_lua_part_count(part, record) : 1;
    if (strcmp(part->key, "screens") == 0) {
        return house->drives;
    }
    while (strcmp(part->key, "lighting") == 0 && n > 0 && !(house->lamp[n - 1].power > 0.0)) {
        n--;
    }
    return n;
}

static void record(lua_State *L, struct walk *walk, const char *path, const struct pinery_lua_shape *shape,
                   const void *a, const void *b, bool top);

static void part(lua_State *L, struct walk *walk, const char *path, const struct pinery_lua_part *inside, const void *a,
                 const void *b) {
    int in_a = items(inside, a, &walk->reference->house), in_b = items(inside, b, &walk->other->house);
    bool counted = pinery_lua_part_counted(inside); /* else every item exists in both */
    for (int i = 0; i < (in_a > in_b ? in_a : in_b); i++) {
        const char *name = inside->most > 0 ? lua_pushfstring(L, "%s.%s[%d]", path, inside->key, i + 1)
                                            : lua_pushfstring(L, "%s.%s", path, inside->key);
        if (counted && (i >= in_a || i >= in_b)) {
            lua_pushstring(L, i < in_a ? "one" : "none");
            lua_pushstring(L, i < in_b ? "one" : "none");
            add(L, walk, name, "");
        } else {
            record(L, walk, name, inside->shape, pinery_lua_part_item(inside, a, i), pinery_lua_part_item(inside, b, i),
                   false);
        }
        lua_pop(L, 1);
    }
}

static bool same_calendar(const pinery_crop *a, const pinery_crop *b) {
    bool equal = a->points == b->points;
    for (int i = 0; equal && i < a->points; i++) {
        equal = a->calendar[i].day == b->calendar[i].day && a->calendar[i].leaf_area == b->calendar[i].leaf_area &&
                a->calendar[i].height == b->calendar[i].height;
    }
    return equal;
}

/* The name of a whole house or strategy is no input. */
static void record(lua_State *L, struct walk *walk, const char *path, const struct pinery_lua_shape *shape,
                   const void *a, const void *b, bool top) {
    luaL_checkstack(L, 10, NULL);
    for (int i = 0; i < shape->fields->n; i++) {
        const pinery_field *field = &shape->fields->field[i];
        bool name = top && field->kind == PINERY_TEXT && strcmp(field->name, "name") == 0;
        if (name || pinery_lua_is_count(shape, field) || same(field, a, b)) {
            continue;
        }
        const char *full = lua_pushfstring(L, "%s.%s", path, field->name);
        push_value(L, field, a);
        push_value(L, field, b);
        add(L, walk, full, field->unit);
        lua_pop(L, 1);
    }
    for (int i = 0; i < shape->parts; i++) {
        if (!shape->part[i].alias) {
            part(L, walk, path, &shape->part[i], a, b);
        }
    }
    if (shape->calendar && !same_calendar(a, b)) {
        const char *full = lua_pushfstring(L, "%s.calendar", path);
        lua_pushfstring(L, "%d points", ((const pinery_crop *)a)->points);
        lua_pushfstring(L, "%d other points", ((const pinery_crop *)b)->points);
        add(L, walk, full, "");
        lua_pop(L, 1);
    }
}

static const char *weather_name(lua_State *L, const struct pinery_lua_case *one) {
    char checksum[24];
    snprintf(checksum, sizeof checksum, "%016llx", pinery_weather_checksum(one->weather->weather));
    return lua_pushfstring(L, "%s, checksum %s", pinery_weather_site(one->weather->weather)->name, checksum);
}

static void weather(lua_State *L, struct walk *walk) {
    if (walk->reference->weather == NULL || walk->other->weather == NULL ||
        walk->reference->weather == walk->other->weather) {
        return;
    }
    if (strcmp(weather_name(L, walk->reference), weather_name(L, walk->other)) != 0) {
        add(L, walk, "weather", "");
    } else {
        lua_pop(L, 2);
    }
}

/* The control functions are user value 2 of a case. */
static void control(lua_State *L, struct walk *walk, int reference, int other) {
    lua_getiuservalue(L, reference, 2);
    lua_getiuservalue(L, other, 2);
    bool a = lua_isfunction(L, -2), b = lua_isfunction(L, -1), equal = lua_rawequal(L, -1, -2);
    lua_pop(L, 2);
    if (!equal && (a || b)) {
        lua_pushstring(L, a ? "a function" : "none");
        lua_pushstring(L, !b ? "none" : a ? "another function" : "a function");
        add(L, walk, "strategy.control", "");
    }
}

int pinery_lua_differences(lua_State *L, int reference, int other) {
    struct walk walk = {.reference = lua_touserdata(L, reference), .other = lua_touserdata(L, other)};
    lua_newtable(L);
    walk.list = lua_gettop(L);
    weather(L, &walk);
    record(L, &walk, "house", &pinery_lua_house_shape, &walk.reference->house, &walk.other->house, true);
    record(L, &walk, "strategy", &pinery_lua_strategy_shape, &walk.reference->strategy, &walk.other->strategy, true);
    control(L, &walk, reference, other);
    record(L, &walk, "options", &pinery_lua_options_shape, &walk.reference->options, &walk.other->options, true);
    return walk.n;
}

/* changes(house, strategy, other house, other strategy) */
int pinery_lua_changes(lua_State *L) {
    lua_settop(L, 4);
    struct pinery_lua_case *pair = lua_newuserdatauv(L, 2 * sizeof *pair, 0);
    memset(pair, 0, 2 * sizeof *pair);
    for (int i = 0; i < 2; i++) {
        pair[i].house = *(const pinery_house *)luaL_checkudata(L, 2 * i + 1, PINERY_LUA_HOUSE);
        pair[i].strategy = *(const pinery_strategy *)luaL_checkudata(L, 2 * i + 2, PINERY_LUA_STRATEGY);
    }
    struct walk walk = {.reference = &pair[0], .other = &pair[1]};
    lua_newtable(L);
    walk.list = lua_gettop(L);
    record(L, &walk, "house", &pinery_lua_house_shape, &pair[0].house, &pair[1].house, true);
    record(L, &walk, "strategy", &pinery_lua_strategy_shape, &pair[0].strategy, &pair[1].strategy, true);
    lua_getiuservalue(L, 2, 1);
    lua_getiuservalue(L, 4, 1);
    if (!lua_rawequal(L, -1, -2)) {
        lua_pushliteral(L, "a function");
        lua_pushliteral(L, "another");
        add(L, &walk, "strategy.control", "");
    }
    lua_settop(L, walk.list);
    return 1;
}

/* --- what came out --- */

static void set_text(lua_State *L, const char *key, const char *text) {
    lua_pushstring(L, text);
    lua_setfield(L, -2, key);
}

static void set_number(lua_State *L, const char *key, double value) {
    lua_pushnumber(L, value);
    lua_setfield(L, -2, key);
}

static const pinery_ledger *ledger_of(lua_State *L, int cases, int i) {
    lua_rawgeti(L, cases, i + 1);
    const pinery_ledger *ledger = pinery_run_ledger(pinery_lua_result(L, lua_gettop(L))->run);
    lua_pop(L, 1);
    return ledger;
}

static const char *label_of(lua_State *L, int cases, int i) {
    lua_rawgeti(L, cases, i + 1);
    const char *label = ((struct pinery_lua_case *)lua_touserdata(L, -1))->label;
    lua_pop(L, 1);
    return label; /* the list keeps it */
}

static void push_list(lua_State *L, int n, const double value[], const char *key) {
    lua_createtable(L, n, 0);
    for (int i = 0; i < n; i++) {
        lua_pushnumber(L, value[i]);
        lua_rawseti(L, -2, i + 1);
    }
    lua_setfield(L, -2, key);
}

/* comparison:rows(): a list { name =, label =, group =, unit =, decimals =, of = "the reference", values = { ... },
 * differences = { ... }, percents = { ... } }, a value for each case; NaN where there is nothing to say. */
int pinery_lua_comparison_rows(lua_State *L) {
    lua_settop(L, 1);
    int n = pinery_lua_comparison_cases(L, 1), reference = pinery_lua_comparison_reference(L, 1), rows;
    const pinery_report_row *row = pinery_report_rows(&rows);
    double *value = lua_newuserdatauv(L, 3 * (size_t)n * sizeof *value, 0);
    lua_createtable(L, rows, 0);
    for (int r = 0; r < rows; r++) {
        double first = pinery_ledger_result(ledger_of(L, 2, reference), row[r].result);
        for (int i = 0; i < n; i++) {
            value[i] = pinery_ledger_result(ledger_of(L, 2, i), row[r].result);
            value[n + i] = value[i] - first;
            value[2 * n + i] = pinery_report_percent(&row[r], first, value[i]);
        }
        lua_createtable(L, 0, 9);
        set_text(L, "name", pinery_result_name(row[r].result)->key);
        set_text(L, "unit", pinery_result_name(row[r].result)->unit);
        set_text(L, "label", row[r].label);
        set_text(L, "group", row[r].group);
        lua_pushinteger(L, row[r].decimals);
        lua_setfield(L, -2, "decimals");
        set_text(L, "of", label_of(L, 2, reference));
        push_list(L, n, value, "values");
        push_list(L, n, value + n, "differences");
        push_list(L, n, value + 2 * n, "percents");
        lua_rawseti(L, -2, r + 1);
    }
    return 1;
}

static void push_outcomes(lua_State *L, const pinery_ledger *reference, const pinery_ledger *other) {
    int n;
    const pinery_study_outcome *outcome = pinery_study_outcomes(&n);
    double hours = (pinery_ledger_end_s(other) - pinery_ledger_start_s(other)) / 3600.0;
    lua_createtable(L, n, 0);
    for (int i = 0; i < n; i++) {
        double first = pinery_ledger_result(reference, outcome[i].result);
        double value = pinery_ledger_result(other, outcome[i].result);
        lua_createtable(L, 0, 7);
        set_text(L, "name", pinery_result_name(outcome[i].result)->key);
        set_text(L, "unit", pinery_result_name(outcome[i].result)->unit);
        set_number(L, "reference", first);
        set_number(L, "value", value);
        set_number(L, "difference", value - first);
        set_number(L, "tolerance", pinery_study_tolerance(&outcome[i], first, hours));
        lua_pushboolean(L, pinery_study_held(&outcome[i], first, value, hours));
        lua_setfield(L, -2, "equal");
        lua_rawseti(L, -2, i + 1);
    }
}

/* comparison:held(): { reference = "name", cases = { { name =, inputs = { { field =, unit =, reference =, value = } },
 * outcomes = { { name =, unit =, reference =, value =, difference =, tolerance =, equal = } } } } }, a case for each
 * but the reference. */
int pinery_lua_comparison_held(lua_State *L) {
    lua_settop(L, 1);
    int n = pinery_lua_comparison_cases(L, 1), reference = pinery_lua_comparison_reference(L, 1);
    lua_createtable(L, 0, 2);
    set_text(L, "reference", label_of(L, 2, reference));
    lua_createtable(L, n, 0);
    for (int i = 0, place = 0; i < n; i++) {
        if (i == reference) {
            continue;
        }
        lua_createtable(L, 0, 3);
        set_text(L, "name", label_of(L, 2, i));
        push_outcomes(L, ledger_of(L, 2, reference), ledger_of(L, 2, i));
        lua_setfield(L, -2, "outcomes");
        lua_rawgeti(L, 2, reference + 1);
        lua_rawgeti(L, 2, i + 1);
        pinery_lua_differences(L, lua_gettop(L) - 1, lua_gettop(L));
        lua_setfield(L, -4, "inputs");
        lua_pop(L, 2);
        lua_rawseti(L, -2, ++place);
    }
    lua_setfield(L, -2, "cases");
    return 1;
}
