/* How the records of the public headers lie in one another, and what a script calls their parts. */
#include <string.h>

#include "binding.h"

#define PARTS(list) .part = list, .parts = (int)(sizeof list / sizeof *list)

static const struct pinery_lua_shape cover = {.fields = &pinery_cover_fields, .preset = "cover"};
static const struct pinery_lua_shape cloth = {.fields = &pinery_cloth_fields, .preset = "cloth"};
static const struct pinery_lua_shape lamp = {.fields = &pinery_lamp_fields, .preset = "lamp"};
static const struct pinery_lua_shape crop = {.fields = &pinery_crop_fields, .preset = "crop", .calendar = true};
static const struct pinery_lua_shape pipe = {.fields = &pinery_pipe_fields};
static const struct pinery_lua_shape fan = {.fields = &pinery_fan_fields, .preset = "fan"};
static const struct pinery_lua_shape duct = {.fields = &pinery_duct_fields, .preset = "duct"};
static const struct pinery_lua_shape recovery = {.fields = &pinery_recovery_fields, .preset = "recovery"};
static const struct pinery_lua_shape dehumidifier = {.fields = &pinery_dehumidifier_fields, .preset = "dehumidifier"};
static const struct pinery_lua_shape desiccant = {.fields = &pinery_desiccant_fields, .preset = "desiccant"};
static const struct pinery_lua_shape tank = {.fields = &pinery_tank_fields, .preset = "tank"};
static const struct pinery_lua_shape cogeneration = {.fields = &pinery_cogeneration_fields, .preset = "cogeneration"};
static const struct pinery_lua_shape bought = {.fields = &pinery_bought_fields};
static const struct pinery_lua_shape heat_pump = {.fields = &pinery_heat_pump_fields, .preset = "heat pump"};
static const struct pinery_lua_shape carbon = {.fields = &pinery_carbon_fields};
static const struct pinery_lua_shape electric = {.fields = &pinery_electric_fields};
static const struct pinery_lua_shape contract = {.fields = &pinery_contract_fields};
static const struct pinery_lua_shape boiler = {.fields = &pinery_boiler_fields, .preset = "boiler"};

static const struct pinery_lua_part drive_parts[] = {
    {"cloth", &cloth, offsetof(pinery_drive, cloth), 0, PINERY_LUA_UNCOUNTED, false, true},
    {"cloths", &cloth, offsetof(pinery_drive, cloth), 2, offsetof(pinery_drive, cloths), true, false},
};
static const struct pinery_lua_shape drive = {.fields = &pinery_drive_fields, PARTS(drive_parts)};

static const struct pinery_lua_part house_parts[] = {
    {"cover", &cover, offsetof(pinery_house, cover), 0, PINERY_LUA_UNCOUNTED, false, false},
    {"wall", &cover, offsetof(pinery_house, wall), 0, PINERY_LUA_UNCOUNTED, false, false},
    {"drives", &drive, offsetof(pinery_house, drive), PINERY_DRIVES, offsetof(pinery_house, drives), true, false},
    {"lower_pipes", &pipe, offsetof(pinery_house, pipe_lower), 0, PINERY_LUA_UNCOUNTED, true, false},
    {"upper_pipes", &pipe, offsetof(pinery_house, pipe_upper), 0, PINERY_LUA_UNCOUNTED, true, false},
    {"lamps", &lamp, offsetof(pinery_house, lamp), PINERY_LAMPS, PINERY_LUA_UNCOUNTED, true, false},
    {"through_fans", &fan, offsetof(pinery_house, fan_through), 0, PINERY_LUA_UNCOUNTED, true, false},
    {"circulation_fans", &fan, offsetof(pinery_house, fan_circulation), 0, PINERY_LUA_UNCOUNTED, true, false},
    {"duct", &duct, offsetof(pinery_house, duct), 0, PINERY_LUA_UNCOUNTED, true, false},
    {"recovery", &recovery, offsetof(pinery_house, recovery), 0, PINERY_LUA_UNCOUNTED, true, false},
    {"dehumidifier", &dehumidifier, offsetof(pinery_house, dehumidifier), 0, PINERY_LUA_UNCOUNTED, true, false},
    {"desiccant", &desiccant, offsetof(pinery_house, desiccant), 0, PINERY_LUA_UNCOUNTED, true, false},
    {"tank", &tank, offsetof(pinery_house, tank), 0, PINERY_LUA_UNCOUNTED, true, false},
    {"cogeneration", &cogeneration, offsetof(pinery_house, cogeneration), 0, PINERY_LUA_UNCOUNTED, true, false},
    {"bought_heat", &bought, offsetof(pinery_house, bought_heat), 0, PINERY_LUA_UNCOUNTED, true, false},
    {"heat_pump", &heat_pump, offsetof(pinery_house, heat_pump), 0, PINERY_LUA_UNCOUNTED, true, false},
    {"electric_boiler", &electric, offsetof(pinery_house, electric_boiler), 0, PINERY_LUA_UNCOUNTED, true, false},
    {"carbon", &carbon, offsetof(pinery_house, carbon), 0, PINERY_LUA_UNCOUNTED, true, false},
    {"boiler", &boiler, offsetof(pinery_house, boiler), 0, PINERY_LUA_UNCOUNTED, false, false},
    {"contract", &contract, offsetof(pinery_house, contract), 0, PINERY_LUA_UNCOUNTED, true, false},
    {"crop", &crop, offsetof(pinery_house, crop), 0, PINERY_LUA_UNCOUNTED, false, false},
};
const struct pinery_lua_shape pinery_lua_house_shape = {
    .fields = &pinery_house_fields, PARTS(house_parts), .bases = true};

static const struct pinery_lua_shape period = {.fields = &pinery_period_fields};
static const struct pinery_lua_shape screen = {.fields = &pinery_screen_fields};
static const struct pinery_lua_shape lighting = {.fields = &pinery_lighting_fields};

static const struct pinery_lua_shape dosing = {.fields = &pinery_dosing_fields};
static const struct pinery_lua_shape supply = {.fields = &pinery_supply_fields};
static const struct pinery_lua_shape drying = {.fields = &pinery_drying_fields};
#define DRYING(i) offsetof(pinery_strategy, drying) + (i) * sizeof(pinery_drying), 0, PINERY_LUA_UNCOUNTED, false, false

static const struct pinery_lua_part strategy_parts[] = {
    {"periods", &period, offsetof(pinery_strategy, period), PINERY_PERIODS, offsetof(pinery_strategy, periods), true,
     false},
    {"screens", &screen, offsetof(pinery_strategy, screen), PINERY_DRIVES, PINERY_LUA_UNCOUNTED, false, false},
    {"lighting", &lighting, offsetof(pinery_strategy, lighting), PINERY_LAMPS, PINERY_LUA_UNCOUNTED, false, false},
    {"supply", &supply, offsetof(pinery_strategy, supply), 0, PINERY_LUA_UNCOUNTED, false, false},
    {"dosing", &dosing, offsetof(pinery_strategy, dosing), 0, PINERY_LUA_UNCOUNTED, false, false},
    {"duct", &drying, DRYING(PINERY_DUCT)},
    {"recovery", &drying, DRYING(PINERY_RECOVERY)},
    {"dehumidifier", &drying, DRYING(PINERY_DEHUMIDIFIER)},
    {"desiccant", &drying, DRYING(PINERY_DESICCANT)},
};
const struct pinery_lua_shape pinery_lua_strategy_shape = {
    .fields = &pinery_strategy_fields, PARTS(strategy_parts), .bases = true, .also = "control"};

const struct pinery_lua_shape pinery_lua_options_shape = {.fields = &pinery_options_fields, .also = "control_limit"};
const struct pinery_lua_shape pinery_lua_conditions_shape = {.fields = &pinery_conditions_fields, .also = "house"};

void pinery_lua_preset_push(lua_State *L, const char *kind, int index) {
#define X(key, kind) &key,
    const struct pinery_lua_shape *const shapes[] = {PINERY_PRESET_KINDS(X)};
#undef X
    size_t i = 0;
    while (strcmp(shapes[i]->preset, kind) != 0) {
        i++;
    }
    union {
#define X(key, kind) pinery_##key key;
        PINERY_PRESET_KINDS(X)
#undef X
    } record;
    pinery_lua_record_read(L, index, shapes[i], &record, pinery_lua_where(L));
    pinery_lua_record_push(L, shapes[i], &record);
}
