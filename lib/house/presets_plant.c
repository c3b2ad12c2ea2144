/* Where heat and power come from: generic plants of usual size for a hectare, to be replaced by the house's own. Where
 * a value is not said it is the field's default. */
#include "house/presets.h"

#define TANKS "100 to 200 m3/ha; " PINERY_FROM_MEMORY
#define ENGINES "0.3 to 0.6 MW/ha of 0.40 to 0.44, heat 0.45 to 0.55, on the net value; " PINERY_FROM_MEMORY
#define EN14511 "share of Carnot's that gives the COP of data sheets by EN 14511; " PINERY_FROM_MEMORY
#define BASE_LOAD "covers the base load of a duration curve; " PINERY_PRACTICE
#define BOILERS "0.90 to 0.95 on the net value, flue gas at 120 to 200 degC; " PINERY_FROM_MEMORY
#define CASES "0.3 to 1 % of large boilers, 2 % of old ones; " PINERY_FROM_MEMORY

static const struct pinery_house_preset tanks[] = {
    {.name = "layered tank",
     .value = {{"volume", 0.015, TANKS},
               {"hot", 90, "from boiler and engine; " PINERY_PRACTICE},
               {"cold", 40, PINERY_PRACTICE}}},
    {.name = "large layered tank", .like = "layered tank", .value = {{"volume", 0.02, TANKS}}},
    {.name = "low-temperature tank",
     .value = {{"volume", 0.02, TANKS},
               {"kind", 1, "small differences mix; " PINERY_PRACTICE},
               {"hot", 50, "from a heat pump; " PINERY_PRACTICE},
               {"cold", 30, PINERY_PRACTICE},
               {"max_power", 100, PINERY_PRACTICE}}},
};

static const struct pinery_house_preset engines[] = {
    {.name = "gas engine", .value = {{"power", 50, ENGINES}, {"electric", 0.42, ENGINES}, {"heat", 0.48, ENGINES}}},
    {.name = "gas engine with condenser",
     .like = "gas engine",
     .value = {{"heat", 0.54, "some 0.06 more by cooling the flue gas; " PINERY_FROM_MEMORY}}},
    {.name = "small gas engine",
     .value = {{"power", 20, PINERY_PRACTICE},
               {"electric", 0.36, "under 300 kW 0.33 to 0.38; " PINERY_FROM_MEMORY},
               {"heat", 0.52, PINERY_FROM_MEMORY}}},
};

static const struct pinery_house_preset pumps[] = {
    {.name = "air heat pump",
     .value = {{"heat", 30, BASE_LOAD},
               {"source", 0, ""},
               {"source_approach", 8, "a coil in air, fan and frost left out; " PINERY_FROM_MEMORY},
               {"carnot", 0.45, EN14511},
               {"sink", 45, "large pipe surface; " PINERY_PRACTICE}}},
    {.name = "well heat pump",
     .value = {{"heat", 30, BASE_LOAD},
               {"source", 1, ""},
               {"ground_temperature", 11, "some metres deep, the yearly mean of a temperate place; " PINERY_PRACTICE},
               {"source_approach", 4, "plates; " PINERY_FROM_MEMORY},
               {"carnot", 0.52, EN14511},
               {"sink", 45, "large pipe surface; " PINERY_PRACTICE}}},
};

static const struct pinery_house_preset boilers[] = {
    {.name = "boiler", .value = {{"efficiency", 0.94, BOILERS}, {"case_loss", 0.005, CASES}}},
    {.name = "boiler with condenser",
     .like = "boiler",
     .value = {{"condenser", 1, ""}, {"approach", 10, "5 to 15 K at full load; " PINERY_FROM_MEMORY}}},
    {.name = "old boiler", .value = {{"efficiency", 0.88, PINERY_FROM_MEMORY}, {"case_loss", 0.02, CASES}}},
};

#define LIST(name, kind, list) \
    const struct pinery_house_presets name = {kind, list, (int)(sizeof list / sizeof list[0])}
LIST(pinery_house_tanks, "tank", tanks);
LIST(pinery_house_engines, "cogeneration", engines);
LIST(pinery_house_pumps, "heat pump", pumps);
LIST(pinery_house_boilers, "boiler", boilers);
