/* What takes moisture from the air of a house, besides its vents and cloths: open structs made from field lists.
 *
 * Sources of the defaults, or that there is none, stand in the notes of lib/equip: outside_air.c (duct, recovery),
 * dehumidifier.c, desiccant.c. Units of usual size: lib/house/presets_drying.c.
 *
 * Flow, power and cooling are of one unit, which serves `area` m2 of floor; a unit with none of its kind is none. */
#ifndef PINERY_DEVICES_H
#define PINERY_DEVICES_H

#include "pinery/field.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Outside air blown in through ducts, past a heating coil. As much air leaves through leaks and vents. */
#define PINERY_DUCT_FIELDS(X)                                                                                         \
    X(REAL, flow, "m3/s", 0, 0, 20, "", "outside air brought by one unit at full speed; 0: none")                     \
    X(REAL, area, "m2", 500, 1, 10000, "", "floor served by one unit")                                                \
    X(REAL, power, "W", 600, 0, 20000, "", "electric, one unit at full speed")                                        \
    X(REAL, run_time, "s", 60, 5, 600, "", "from standstill to full speed")                                           \
    X(REAL, lower_share, "", 0.8, 0, 1, "", "of the air that it brings to the lower air")                             \
    X(REAL, coil_power, "W/m2", 60, 0, 500, "", "most heat of the coil per m2 of floor, from the boiler; 0: no coil") \
    X(REAL, supply_below, "K", 2, 0, 40, "", "the coil heats the air to this much below that of the house")           \
    X(REAL, water_back, "degC", 35, 10, 90, "", "of the coil's water that goes back to the boiler; for its condenser")

/* Ventilation with recovery of heat: the air that leaves warms the air that comes. */
#define PINERY_RECOVERY_FIELDS(X)                                                                           \
    X(REAL, flow, "m3/s", 0, 0, 20, "", "air exchanged by one unit at full speed; 0: none")                 \
    X(REAL, area, "m2", 500, 1, 10000, "", "floor served by one unit")                                      \
    X(REAL, power, "W", 900, 0, 20000, "", "electric, both fans of one unit at full speed")                 \
    X(REAL, run_time, "s", 60, 5, 600, "", "from standstill to full speed")                                 \
    X(REAL, lower_share, "", 0.5, 0, 1, "", "of the air that it takes from the lower air and brings there") \
    X(REAL, sensible, "", 0.7, 0, 0.95, "", "effectiveness in temperature")                                 \
    X(REAL, latent, "", 0, 0, 0.95, "", "effectiveness in humidity; 0: plates that let no vapour pass")     \
    X(REAL, frost, "degC", 2, -30, 10, "", "air leaves no colder than this: a bypass keeps the plates from freezing")

/* Condensing dehumidifier: a cold coil, a compressor, a warm coil. */
#define PINERY_DEHUMIDIFIER_FIELDS(X)                                                                                \
    X(REAL, cooling, "W", 0, 0, 1e6, "", "of one unit when its cold coil is at 10 degC; 0: none")                    \
    X(REAL, area, "m2", 1000, 1, 10000, "", "floor served by one unit")                                              \
    X(REAL, flow, "m3/s", 1.4, 0.01, 50, "", "air past the coils of one unit")                                       \
    X(REAL, fan_power, "W", 700, 0, 20000, "", "electric, the fan of one unit")                                      \
    X(REAL, run_time, "s", 120, 5, 1800, "", "from standstill to full duty")                                         \
    X(REAL, lower_share, "", 0.5, 0, 1, "", "of the units that stand in the lower air")                              \
    X(CHOICE, heat_to, "", 0, 0, 1, "house|tank", "what its heat warms; a tank that is full leaves it to the house") \
    X(REAL, bypass, "", 0.15, 0, 0.9, "", "share of the air that passes the cold coil untouched")                    \
    X(REAL, coil_slope, "1/K", 0.035, 0, 0.1, "", "cooling gained per kelvin of a warmer cold coil")                 \
    X(REAL, coil_least, "degC", 2, -10, 20, "", "the coil is held from freezing at this temperature")                \
    X(REAL, coil_approach, "K", 5, 0, 20, "", "cold coil over the refrigerant that boils in it")                     \
    X(REAL, warm_approach, "K", 15, 0, 40, "",                                                                       \
      "refrigerant that condenses over the air, or the tank, that takes its heat")                                   \
    X(REAL, carnot, "", 0.45, 0.05, 0.9, "", "share of a perfect machine's performance between these two")

/* Liquid desiccant: brine takes up vapour and is boiled down again elsewhere. */
#define PINERY_DESICCANT_FIELDS(X)                                                                           \
    X(REAL, flow, "m3/s", 0, 0, 20, "", "air past the brine of one unit; 0: none")                           \
    X(REAL, area, "m2", 1000, 1, 10000, "", "floor served by one unit")                                      \
    X(REAL, power, "W", 900, 0, 20000, "", "electric, fans and pumps of one unit at full duty")              \
    X(REAL, run_time, "s", 120, 5, 1800, "", "from standstill to full duty")                                 \
    X(REAL, lower_share, "", 0.5, 0, 1, "", "of the units that stand in the lower air")                      \
    X(REAL, equilibrium, "%", 45, 5, 90, "", "relative humidity that the brine holds air at")                \
    X(REAL, warmer, "K", 3, 0, 20, "", "brine over the air, warmed by the vapour that it takes up")          \
    X(REAL, effectiveness, "", 0.6, 0, 1, "", "of the way to equilibrium that the air goes")                 \
    X(REAL, regeneration, "J/kg", 3.9e6, 2.5e6, 2e7, "", "heat per kg of water boiled off, from the boiler") \
    X(REAL, recovered, "", 0, 0, 0.9, "", "share of that heat that is won back into the air of the house")   \
    X(REAL, water_back, "degC", 70, 10, 110, "", "of the water that goes back to the boiler; for its condenser")

typedef struct pinery_duct {
    PINERY_DUCT_FIELDS(PINERY_MEMBER)
} pinery_duct;

typedef struct pinery_recovery {
    PINERY_RECOVERY_FIELDS(PINERY_MEMBER)
} pinery_recovery;

typedef struct pinery_dehumidifier {
    PINERY_DEHUMIDIFIER_FIELDS(PINERY_MEMBER)
} pinery_dehumidifier;

typedef struct pinery_desiccant {
    PINERY_DESICCANT_FIELDS(PINERY_MEMBER)
} pinery_desiccant;

PINERY_API extern const pinery_fields pinery_duct_fields, pinery_recovery_fields, pinery_dehumidifier_fields,
    pinery_desiccant_fields;

#ifdef __cplusplus
}
#endif
#endif
