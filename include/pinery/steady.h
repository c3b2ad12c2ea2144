/* The house at rest: the weather, the orders and the air temperature stand still until everything has settled, soil and
 * films of water too. This is the night test that published heat losses of covers and cloths are held against.
 *
 * It is the rest of the very equations that a run integrates through a year. Without sun; the direction of the wind is
 * in the two sides of the vents. Water films are in balance: what condenses runs off. A tank gets the heat of
 * dehumidifiers alone, no carbon dioxide is dosed, and a contract sheds no lamps. */
#ifndef PINERY_STEADY_H
#define PINERY_STEADY_H

#include "pinery/house.h"
#include "pinery/ledger.h"

#ifdef __cplusplus
extern "C" {
#endif

#define PINERY_CONDITIONS_FIELDS(X)                                                                                   \
    X(REAL, air, "degC", 18, -20, 45, "", "heating holds the air seen at this")                                       \
    X(REAL, pipe_lower, "degC", NAN, -20, 110, "", "(optional) lower pipes at this temperature, whatever the air is") \
    X(REAL, pipe_upper, "degC", NAN, -20, 110, "", "(optional) upper pipes likewise")                                 \
    X(REAL, upper_start, "", 0.5, 0, 1, "", "share of the heating demand at which the upper pipes begin")             \
    X(REAL, outside, "degC", 0, -60, 50, "", "outside air")                                                           \
    X(REAL, outside_humidity, "%", 80, 0, 100, "", "relative humidity outside")                                       \
    X(REAL, wind, "m/s", 4, 0, 40, "", "at the station; at the cover it is wind_factor of that")                      \
    X(REAL, cloud, "", 0, 0, 1, "", "share of the sky that clouds cover; makes the sky where the next two do not")    \
    X(REAL, sky, "degC", NAN, -100, 50, "", "(optional) temperature of a black sky")                                  \
    X(REAL, infrared, "W/m2", NAN, 50, 700, "", "(optional) long wave from the sky, in place of sky")                 \
    X(REAL, pressure, "Pa", 101325, 50000, 110000, "", "of the outside air")                                          \
    X(REAL, deep, "degC", 10, -20, 40, "", "of the deep ground")                                                      \
    X(REAL, day, "d", 15, 1, 366, "", "of the year, for the leaf area of the crop")                                   \
    X(REAL, cloth_1, "", 0, 0, 1, "", "lowest drive, share drawn")                                                    \
    X(REAL, cloth_2, "", 0, 0, 1, "", "second drive, share drawn")                                                    \
    X(REAL, cloth_3, "", 0, 0, 1, "", "third drive, share drawn")                                                     \
    X(INT, which_1, "", 1, 1, 2, "", "cloth of the lowest drive in use")                                              \
    X(INT, which_2, "", 1, 1, 2, "", "cloth of the second drive in use")                                              \
    X(INT, which_3, "", 1, 1, 2, "", "cloth of the third drive in use")                                               \
    X(REAL, slit_1, "", 0, 0, 1, "", "slit in the lowest drive")                                                      \
    X(REAL, slit_2, "", 0, 0, 1, "", "slit in the second drive")                                                      \
    X(REAL, slit_3, "", 0, 0, 1, "", "slit in the third drive")                                                       \
    X(REAL, vent_lee, "", 0, 0, 1, "", "lee vents, share open")                                                       \
    X(REAL, vent_wind, "", 0, 0, 1, "", "wind-side vents, share open")                                                \
    X(REAL, lamp_1, "", 0, 0, 1, "", "first lamp group, output")                                                      \
    X(REAL, lamp_2, "", 0, 0, 1, "", "second lamp group, output")                                                     \
    X(REAL, fan_through, "", 0, 0, 1, "", "through-cloth fans, speed")                                                \
    X(REAL, fan_circulation, "", 0, 0, 1, "", "circulation fans, speed")                                              \
    X(REAL, duct, "", 0, 0, 1, "", "outside air by duct, speed")                                                      \
    X(REAL, recovery, "", 0, 0, 1, "", "ventilation with recovery of heat, speed")                                    \
    X(REAL, dehumidifier, "", 0, 0, 1, "", "dehumidifiers, duty")                                                     \
    X(REAL, desiccant, "", 0, 0, 1, "", "brine, duty")                                                                \
    X(REAL, cogeneration, "", 0, 0, 1, "", "engine, load")                                                            \
    X(REAL, bought_heat, "", 0, 0, 1, "", "share of the bought heat that may be used")                                \
    X(REAL, heat_pump, "", 0, 0, 1, "", "share of the heat pump's heat that may be used")                             \
    X(REAL, electric_boiler, "", 0, 0, 1, "", "share of the electric boiler's heat that may be used")

typedef struct pinery_conditions {
    PINERY_CONDITIONS_FIELDS(PINERY_MEMBER)
} pinery_conditions;

PINERY_API extern const pinery_fields pinery_conditions_fields;

PINERY_API void pinery_conditions_default(pinery_conditions *conditions);

/* X(key, unit, doc): what comes out. Fluxes are per m2 of floor unless they say cover. The eight ways out add up to
 * the heat. */
#define PINERY_STEADY_RESULTS(X)                                                                                  \
    X(heat, "W/m2", "heat put in by pipes, coils, lamps, fans and what dries, per m2 of floor")                   \
    X(heat_per_cover, "W/m2", "the same per m2 of cover and walls")                                               \
    X(pipe_heat, "W/m2", "of which from the pipes, per m2 of floor")                                              \
    X(cover_area, "m2/m2", "cover and walls per m2 of floor")                                                     \
    X(above_outside, "K", "air seen less outside air")                                                            \
    X(U_floor, "W/(m2 K)", "heat per m2 of floor and kelvin")                                                     \
    X(U_cover, "W/(m2 K)", "heat per m2 of cover and walls and kelvin")                                           \
    X(U_tight, "W/(m2 K)", "what goes through cover and walls, per m2 of them and kelvin: no air, ground, water") \
    X(out_longwave, "W/m2", "way out: long wave from the cover, and from inside through it, to the sky")          \
    X(out_convection, "W/m2", "way out: from the cover to the wind")                                              \
    X(out_walls, "W/m2", "way out: gables and sides, and inner walls")                                            \
    X(out_air, "W/m2", "way out: sensible heat of air through leaks, vents, duct and recovery")                   \
    X(out_vapour, "W/m2", "way out: latent heat of vapour in that air")                                           \
    X(out_ground, "W/m2", "way out: deep ground and slab edge")                                                   \
    X(out_tank, "W/m2", "way out: what a tank loses and gives, less what sources fill it with")                   \
    X(out_water, "W/m2", "way out: warmth of condensate that leaves, less that of water the roots take up")       \
    X(cover_longwave, "W/m2", "to the cover from inside: long wave that it takes up")                             \
    X(cover_convection, "W/m2", "to the cover from inside: convection")                                           \
    X(cover_condensation, "W/m2", "to the cover from inside: vapour that condenses on it")                        \
    X(air_change, "1/h", "air through leaks and vents, volumes of the house")                                     \
    X(imbalance, "W/m2", "largest rate of heat left in any place, latent heat of water included")

typedef enum pinery_steady_result {
#define X(key, unit, doc) PINERY_STEADY_##key,
    PINERY_STEADY_RESULTS(X)
#undef X
        PINERY_N_STEADY_RESULTS
} pinery_steady_result;

typedef struct pinery_steady {
    bool held; /* the air seen is within 0.01 K of what was asked; else the pipes were too small, or not wanted */
    double result[PINERY_N_STEADY_RESULTS]; /* NaN: nothing to measure, as a U-value without a difference */
    double reading[PINERY_N_READINGS];      /* as in a run */
    double heat[PINERY_N_HEADINGS];         /* W/m2 of floor */
    double water[PINERY_N_HEADINGS];        /* kg/(m2 s) */
    double meter[PINERY_N_METERS];          /* per second */
} pinery_steady;

PINERY_API const pinery_name *pinery_steady_result_name(pinery_steady_result result);

/* PINERY_BAD_INPUT names the field that is out of range or contradicts another; PINERY_SOLVER says what does not come
 * to rest. */
PINERY_API pinery_status pinery_steady_solve(const pinery_house *house, const pinery_conditions *conditions,
                                             pinery_steady *steady, pinery_error *error);

#ifdef __cplusplus
}
#endif
#endif
