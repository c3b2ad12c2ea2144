/* Where heat, power and carbon dioxide of a house come from, besides its boiler: open structs made from field lists.
 * Sources of the defaults, or that there is none, stand in the notes of lib/equip: tank.c, cogeneration.c, heat_pump.c,
 * carbon.c. The electric boiler and bought heat have none: they are of common practice. Plants of usual size:
 * lib/house/presets_plant.c.
 *
 * Everything is per m2 of floor; a source without power, or a tank without volume, is none. */
#ifndef PINERY_ENERGY_H
#define PINERY_ENERGY_H

#include "pinery/field.h"

#ifdef __cplusplus
extern "C" {
#endif

/* A tank of hot water between the sources and the house. */
#define PINERY_TANK_FIELDS(X)                                                                                \
    X(REAL, volume, "m3/m2", 0, 0, 0.2, "", "of water per m2 of floor; 0: none")                             \
    X(CHOICE, kind, "", 0, 0, 1, "layered|mixed", "hot water over cold, or one temperature throughout")      \
    X(REAL, hot, "degC", 85, 30, 110, "", "full when all of it is this warm")                                \
    X(REAL, cold, "degC", 40, 5, 90, "", "empty when all of it has cooled to this, the return of the pipes") \
    X(REAL, max_power, "W/m2", 200, 1, 2000, "", "most heat that goes in or comes out")                      \
    X(REAL, insulation, "m", 0.1, 0.01, 1, "", "thickness round the tank")

/* Engine and generator on gas. */
#define PINERY_COGENERATION_FIELDS(X)                                                                                \
    X(REAL, power, "W/m2", 0, 0, 500, "", "electric at full load; 0: none")                                          \
    X(REAL, electric, "", 0.42, 0.1, 0.6, "", "electricity per heat in the gas at full load, on the boiler's basis") \
    X(REAL, heat, "", 0.48, 0, 0.7, "", "heat won per heat in the gas")                                              \
    X(REAL, idle_share, "", 0.07, 0, 0.3, "", "of the gas at full load, what it burns for nothing while it turns")   \
    X(REAL, least_load, "", 0.5, 0.05, 1, "", "share of full load under which it does not run")                      \
    X(REAL, run_time, "s", 600, 5, 3600, "", "from standstill to full load")

/* Heat pump that heats the water of the house. */
#define PINERY_HEAT_PUMP_FIELDS(X)                                                                        \
    X(REAL, heat, "W/m2", 0, 0, 500, "", "that it gives at most; 0: none")                                \
    X(CHOICE, source, "", 0, 0, 1, "outside|ground", "outside air, or water of a steady temperature")     \
    X(REAL, ground_temperature, "degC", 12, -5, 40, "", "of that water")                                  \
    X(REAL, source_approach, "K", 5, 0, 20, "", "source over the refrigerant that boils")                 \
    X(REAL, sink_approach, "K", 5, 0, 20, "", "refrigerant that condenses over the water it heats")       \
    X(REAL, carnot, "", 0.5, 0.05, 0.9, "", "share of a perfect machine's performance between these two") \
    X(REAL, sink, "degC", 45, 20, 90, "", "water it heats to")                                            \
    X(REAL, run_time, "s", 300, 5, 3600, "", "from standstill to full power")

/* Boiler heated by electricity. */
#define PINERY_ELECTRIC_FIELDS(X)                                           \
    X(REAL, heat, "W/m2", 0, 0, 1000, "", "that it gives at most; 0: none") \
    X(REAL, efficiency, "", 0.99, 0.5, 1, "", "heat per electricity")       \
    X(REAL, run_time, "s", 60, 5, 3600, "", "from off to full power")

/* Heat bought from outside: waste heat, a deep well, a network. */
#define PINERY_BOUGHT_FIELDS(X)                                                     \
    X(REAL, heat, "W/m2", 0, 0, 1000, "", "contracted, the most there is; 0: none") \
    X(REAL, pump_power, "", 0.02, 0, 1, "", "electricity per heat, to bring it")    \
    X(REAL, run_time, "s", 300, 5, 3600, "", "from shut to open")

/* What may be drawn from outside. */
#define PINERY_CONTRACT_FIELDS(X)                                                                                    \
    X(REAL, gas, "m3/(m2 s)", NAN, 0, 1e-3, "",                                                                      \
      "(optional) most gas; pipes get no more heat than it leaves; 200 m3/(ha h): 5.6e-6")                           \
    X(REAL, power, "W/m2", NAN, 0, 2000, "", "(optional) most electricity, less what an engine makes; 1 MW/ha: 100") \
    X(BOOL, shed, "", 0, 0, 1, "", "1: lamps are put out, the last group first, where they would draw more")

typedef struct pinery_contract {
    PINERY_CONTRACT_FIELDS(PINERY_MEMBER)
} pinery_contract;

/* Carbon dioxide of the house air. */
#define PINERY_CARBON_FIELDS(X)                                                                                       \
    X(BOOL, balance, "", 0, 0, 1, "", "1: worked out from dosing, crop and fresh air; 0: `co2` of the house, always") \
    X(CHOICE, source, "", 0, 0, 1, "flue gas|pure", "what is dosed; flue gas is burnt for it and brings its heat")    \
    X(REAL, most, "kg/(m2 s)", 0, 0, 1e-4, "", "dosed at most; 150 kg/(ha h) are 4.2e-6; 0: nothing is dosed")        \
    X(REAL, outside, "ppm", 420, 200, 1000, "", "in the outside air")

typedef struct pinery_carbon {
    PINERY_CARBON_FIELDS(PINERY_MEMBER)
} pinery_carbon;

/* The sources besides the boiler, in the order in which they are used. */
enum pinery_source { PINERY_COGENERATION, PINERY_BOUGHT, PINERY_HEAT_PUMP, PINERY_ELECTRIC, PINERY_SOURCES };

typedef struct pinery_tank {
    PINERY_TANK_FIELDS(PINERY_MEMBER)
} pinery_tank;

typedef struct pinery_cogeneration {
    PINERY_COGENERATION_FIELDS(PINERY_MEMBER)
} pinery_cogeneration;

typedef struct pinery_heat_pump {
    PINERY_HEAT_PUMP_FIELDS(PINERY_MEMBER)
} pinery_heat_pump;

typedef struct pinery_electric {
    PINERY_ELECTRIC_FIELDS(PINERY_MEMBER)
} pinery_electric;

typedef struct pinery_bought {
    PINERY_BOUGHT_FIELDS(PINERY_MEMBER)
} pinery_bought;

PINERY_API extern const pinery_fields pinery_tank_fields, pinery_cogeneration_fields, pinery_heat_pump_fields,
    pinery_electric_fields, pinery_bought_fields, pinery_carbon_fields, pinery_contract_fields;

#ifdef __cplusplus
}
#endif
#endif
