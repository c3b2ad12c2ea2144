/* The field lists and the lists of names as tables, for the reference page and for scripts that look around. */
#include <math.h>
#include <string.h>

#include "binding.h"

static const pinery_fields *const lists[] = {
    &pinery_house_fields,     &pinery_cover_fields,     &pinery_drive_fields,      &pinery_cloth_fields,
    &pinery_pipe_fields,      &pinery_lamp_fields,      &pinery_fan_fields,        &pinery_boiler_fields,
    &pinery_crop_fields,      &pinery_strategy_fields,  &pinery_period_fields,     &pinery_screen_fields,
    &pinery_lighting_fields,  &pinery_options_fields,   &pinery_conditions_fields, &pinery_tariff_fields,
    &pinery_invest_fields,    &pinery_duct_fields,      &pinery_recovery_fields,   &pinery_dehumidifier_fields,
    &pinery_desiccant_fields, &pinery_drying_fields,    &pinery_tank_fields,       &pinery_cogeneration_fields,
    &pinery_bought_fields,    &pinery_heat_pump_fields, &pinery_electric_fields,   &pinery_supply_fields,
    &pinery_carbon_fields,    &pinery_dosing_fields};

static void push_row(lua_State *L, const pinery_field *field) {
    static const char *const kinds[] = {"number", "whole number", "true or false", "choice", "text"};
    lua_createtable(L, 0, 8);
    lua_pushstring(L, kinds[field->kind]);
    lua_setfield(L, -2, "kind");
    const char *const texts[][2] = {
        {"name", field->name}, {"unit", field->unit}, {"choices", field->choices}, {"doc", field->doc}};
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        lua_pushstring(L, texts[i][1]);
        lua_setfield(L, -2, texts[i][0]);
    }
    if (!isnan(field->def)) {
        lua_pushnumber(L, field->def);
        lua_setfield(L, -2, "default");
    }
    lua_pushnumber(L, field->min);
    lua_setfield(L, -2, "min");
    lua_pushnumber(L, field->max);
    lua_setfield(L, -2, "max");
}

/* pinery.fields(): every list, { title = ..., { name = ..., unit = ... }, ... } */
int pinery_lua_fields(lua_State *L) {
    int n = (int)(sizeof lists / sizeof *lists);
    lua_createtable(L, n, 0);
    for (int i = 0; i < n; i++) {
        lua_createtable(L, lists[i]->n, 1);
        lua_pushstring(L, lists[i]->title);
        lua_setfield(L, -2, "title");
        for (int j = 0; j < lists[i]->n; j++) {
            push_row(L, &lists[i]->field[j]);
            lua_rawseti(L, -2, j + 1);
        }
        lua_rawseti(L, -2, i + 1);
    }
    return 1;
}

static void push_name(lua_State *L, int i, const char *key, const char *unit, const char *doc) {
    lua_createtable(L, 0, 3);
    lua_pushstring(L, key);
    lua_setfield(L, -2, "name");
    lua_pushstring(L, unit);
    lua_setfield(L, -2, "unit");
    lua_pushstring(L, doc);
    lua_setfield(L, -2, "doc");
    lua_rawseti(L, -2, i);
}

static const struct {
    const char *key, *unit, *doc;
} seen[] =
    {
#define X(key, unit, doc) {#key, unit, doc},
        PINERY_SEEN(X)
#undef X
},
  columns[] = {
#define X(key, unit, doc) {#key, unit, doc},
      PINERY_WEATHER_COLUMNS(X)
#undef X
};

/* pinery.names "results", "readings", "meters", "headings", "seen", "columns" or "steady" */
int pinery_lua_names(lua_State *L) {
    static const char *const kinds[] = {"results", "readings", "meters",    "headings", "seen",
                                        "columns", "steady",   "actuators", "causes",   NULL};
    static const int lengths[] = {PINERY_N_RESULTS,        PINERY_N_READINGS,          PINERY_N_METERS,
                                  PINERY_N_HEADINGS,       sizeof seen / sizeof *seen, sizeof columns / sizeof *columns,
                                  PINERY_N_STEADY_RESULTS, PINERY_N_ACTUATORS,         PINERY_N_CAUSES};
    int kind = luaL_checkoption(L, 1, NULL, kinds);
    lua_createtable(L, lengths[kind], 0);
    for (int i = 0; i < lengths[kind]; i++) {
        const pinery_name *name = kind == 0   ? pinery_result_name((pinery_result)i)
                                  : kind == 1 ? pinery_reading_name((pinery_reading)i)
                                  : kind == 2 ? pinery_meter_name((pinery_meter)i)
                                  : kind == 3 ? pinery_heading_name((pinery_heading)i)
                                  : kind == 6 ? pinery_steady_result_name((pinery_steady_result)i)
                                  : kind == 7 ? pinery_actuator_name((pinery_actuator)i)
                                  : kind == 8 ? pinery_cause_name((pinery_cause)i)
                                              : NULL;
        if (name) {
            push_name(L, i + 1, name->key, name->unit, name->doc);
        } else if (kind == 4) {
            push_name(L, i + 1, seen[i].key, seen[i].unit, seen[i].doc);
        } else {
            push_name(L, i + 1, columns[i].key, columns[i].unit, columns[i].doc);
        }
    }
    return 1;
}

static const char *const preset_kinds[] = {
#define X(key, kind) kind,
    PINERY_PRESET_KINDS(X)
#undef X
        NULL};

/* pinery.presets "cloth": the names of that kind; without one: the kinds */
int pinery_lua_presets(lua_State *L) {
    const char *kind = lua_isnoneornil(L, 1) ? NULL : preset_kinds[luaL_checkoption(L, 1, NULL, preset_kinds)];
    lua_newtable(L);
    const char *name;
    for (int i = 0; (name = kind ? pinery_preset_name(kind, i) : preset_kinds[i]) != NULL; i++) {
        lua_pushstring(L, name);
        lua_rawseti(L, -2, i + 1);
    }
    return 1;
}

/* pinery.preset("cloth", name): its fields */
int pinery_lua_preset(lua_State *L) {
    const char *kind = preset_kinds[luaL_checkoption(L, 1, NULL, preset_kinds)];
    luaL_checkstring(L, 2);
    lua_settop(L, 2);
    pinery_lua_preset_push(L, kind, 2);
    return 1;
}
