/* The ledger of a run: differences of the running totals by hour and month, meters, peaks, hours in humidity bands, and
 * the closure of the books. Read-only once the run is over. */
#ifndef PINERY_LEDGER_H
#define PINERY_LEDGER_H

#include <stdbool.h>
#include <stdio.h>

#include "pinery/error.h"
#include "pinery/headings.h"

#ifdef __cplusplus
extern "C" {
#endif

/* X(key, unit, doc): what is read off the house at every control instant. */
#define PINERY_READINGS(X)                                                  \
    X(air_lower, "degC", "lower air")                                       \
    X(air_upper, "degC", "upper air")                                       \
    X(air_roof, "degC", "air under the cover")                              \
    X(air_seen, "degC", "air the controller sees")                          \
    X(heating, "degC", "heating temperature asked")                         \
    X(humidity_lower, "%", "relative humidity of the lower air")            \
    X(humidity_upper, "%", "relative humidity of the upper air")            \
    X(humidity_roof, "%", "relative humidity under the cover")              \
    X(humidity_sensor, "%", "relative humidity of the air seen")            \
    X(humidity_colder_1, "%", "in a place 1 K colder than the crop's air")  \
    X(humidity_colder_2, "%", "in a place 2 K colder")                      \
    X(humidity_colder_3, "%", "in a place 3 K colder")                      \
    X(vapour_deficit, "Pa", "vapour pressure deficit of the air seen")      \
    X(humidity_deficit, "g/m3", "what the air seen could still take up")    \
    X(absolute_humidity, "g/m3", "vapour in the air seen")                  \
    X(absolute_humidity_roof, "g/m3", "vapour in the air under the cover")  \
    X(dew_margin, "K", "coldest leaf layer above the dew point of its air") \
    X(dew_margin_air, "K", "crop's air above its dew point")                \
    X(canopy_lower, "degC", "lower leaves")                                 \
    X(canopy_upper, "degC", "upper leaves")                                 \
    X(cover, "degC", "cover, inside face")                                  \
    X(floor, "degC", "floor surface")                                       \
    X(pipe_lower, "degC", "lower pipes")                                    \
    X(pipe_upper, "degC", "upper pipes")                                    \
    X(lamp_body, "degC", "first lamp group's body")                         \
    X(end_to_end, "K", "difference of air temperature along the house")     \
    X(crop_wetness, "kg/m2", "water on the leaves")                         \
    X(cover_film, "kg/m2", "water on the cover")                            \
    X(light_crop, "umol/m2/s", "PAR that reaches the top of the crop")      \
    X(leaf_area, "m2/m2", "leaf area, 0 in an empty house")                 \
    X(cloth_1, "", "lowest drive, share drawn")                             \
    X(cloth_2, "", "second drive, share drawn")                             \
    X(cloth_3, "", "third drive, share drawn")                              \
    X(slit_1, "", "slit in the lowest drive")                               \
    X(slit_2, "", "slit in the second drive")                               \
    X(slit_3, "", "slit in the third drive")                                \
    X(vent_lee, "", "lee vents, share open")                                \
    X(vent_wind, "", "wind-side vents, share open")                         \
    X(lamp_1, "", "first lamp group, output")                               \
    X(lamp_2, "", "second lamp group, output")                              \
    X(fan_through, "", "through-cloth fans, speed")                         \
    X(fan_circulation, "", "circulation fans, speed")                       \
    X(duct, "", "outside air by duct, speed")                               \
    X(recovery, "", "ventilation with recovery, speed")                     \
    X(dehumidifier, "", "dehumidifiers, duty")                              \
    X(desiccant, "", "brine, duty")                                         \
    X(cogeneration, "", "engine, load")                                     \
    X(tank, "degC", "tank, mean")                                           \
    X(tank_fill, "", "how full the tank is, 0 .. 1")                        \
    X(co2, "ppm", "carbon dioxide in the house air")                        \
    X(outside, "degC", "outside air")                                       \
    X(outside_humidity, "%", "relative humidity outside")                   \
    X(outside_global, "W/m2", "global radiation")                           \
    X(outside_infrared, "W/m2", "long wave from the sky")                   \
    X(outside_wind, "m/s", "wind at the station")                           \
    X(outside_snow, "mm/h", "snowfall as water")

typedef enum pinery_reading {
#define X(key, unit, doc) PINERY_READING_##key,
    PINERY_READINGS(X)
#undef X
        PINERY_N_READINGS
} pinery_reading;

/* X(key, unit, doc): electricity by what uses it, per m2 of floor. */
#define PINERY_POWERS(X)                                                   \
    X(power_lamps, "J/m2", "electricity for lamps")                        \
    X(power_fan_through, "J/m2", "electricity for through-cloth fans")     \
    X(power_fan_circulation, "J/m2", "electricity for circulation fans")   \
    X(power_pumps, "J/m2", "electricity for pumps")                        \
    X(power_duct, "J/m2", "electricity to blow in outside air by duct")    \
    X(power_recovery, "J/m2", "electricity for ventilation with recovery") \
    X(power_dehumidifier, "J/m2", "electricity for dehumidifiers")         \
    X(power_desiccant, "J/m2", "electricity for brine")                    \
    X(power_bought_heat, "J/m2", "electricity to bring bought heat")       \
    X(power_heat_pump, "J/m2", "electricity for the heat pump")            \
    X(power_electric_boiler, "J/m2", "electricity for the electric boiler")

/* X(key, unit, doc): running totals that are not flows between places, per m2 of floor. */
#define PINERY_METERS(X)                                                            \
    X(gas, "J/m2", "heat in the gas burnt, on the basis of the boiler")             \
    PINERY_POWERS(X)                                                                \
    X(heat_regeneration, "J/m2", "boiler heat to boil down brine")                  \
    X(heat_short, "J/m2", "heat that the contract for gas kept from the pipes")     \
    X(heat_boiler, "J/m2", "heat from the boiler, where it is not the only source") \
    X(heat_cogeneration, "J/m2", "heat used from the engine")                       \
    X(heat_cooled, "J/m2", "heat of engine and flue gas cooled away")               \
    X(heat_bought, "J/m2", "heat bought from outside")                              \
    X(heat_pump, "J/m2", "heat from the heat pump")                                 \
    X(gas_cogeneration, "J/m2", "heat in the gas of the engine, in `gas` too")      \
    X(electricity_made, "J/m2", "electricity made by the engine")                   \
    X(heat_flue, "J/m2", "heat used of gas burnt for carbon dioxide")               \
    X(gas_flue, "J/m2", "heat in the gas burnt for carbon dioxide, in `gas` too")   \
    X(gas_flue_only, "J/m2", "of which for that alone: nobody took its heat")       \
    X(carbon_pure, "kg/m2", "pure carbon dioxide, in `carbon_dosed` too")           \
    X(carbon_dosed, "kg/m2", "carbon dioxide dosed")                                \
    X(carbon_taken, "kg/m2", "carbon dioxide taken up by the crop, net")            \
    X(carbon_aired, "kg/m2", "carbon dioxide lost with the air")                    \
    X(light_sun, "mol/m2", "PAR from the sun that reaches the top of the crop")     \
    X(light_lamps, "mol/m2", "PAR from lamps that reaches the crop")

typedef enum pinery_meter {
#define X(key, unit, doc) PINERY_METER_##key,
    PINERY_METERS(X)
#undef X
        PINERY_N_METERS
} pinery_meter;

/* X(key): what the ledger sums over the run besides, per m2 and second. Light of the sun [mol] that the packages of
 * open cloths and drawn cloths keep off the crop; the growth index [kg] by its three answers to light, in the light
 * that there is, without cloths, and without lamps. */
#define PINERY_INDICES(X) \
    X(light_parked)       \
    X(light_drawn)        \
    X(growth_early)       \
    X(growth_mid)         \
    X(growth_even)        \
    X(bare_early)         \
    X(bare_mid)           \
    X(bare_even)          \
    X(unlit_early)        \
    X(unlit_mid)          \
    X(unlit_even)

typedef enum pinery_index {
#define X(key) PINERY_INDEX_##key,
    PINERY_INDICES(X)
#undef X
        PINERY_N_INDICES
} pinery_index;

/* One look at the house, handed to the ledger at every control instant. */
typedef struct pinery_tick {
    double time_s; /* since 1 January 00:00 of the run's first year, standard time */
    double reading[PINERY_N_READINGS];
    double heat[PINERY_N_HEADINGS];  /* J/m2 since the start of the run */
    double water[PINERY_N_HEADINGS]; /* kg/m2 since the start of the run */
    double meter[PINERY_N_METERS];
    double index[PINERY_N_INDICES];   /* present rates */
    double stored_heat, stored_water; /* J/m2 and kg/m2 in all nodes now */
} pinery_tick;

/* Exposure to damp at a place: hours, and the longest run of them, over four limits of relative humidity; over 100 %
 * the place is below the dew point of the air. It is exposure, not a forecast of disease. */
#define PINERY_EXPOSURE(X, place, at)                                        \
    X(hours_##place##_over_85, "h", "relative humidity over 85 % " at)       \
    X(hours_##place##_over_90, "h", "over 90 % " at)                         \
    X(hours_##place##_over_95, "h", "over 95 % " at)                         \
    X(hours_##place##_over_100, "h", "over 100 %, below the dew point, " at) \
    X(longest_##place##_over_85_h, "h", "longest run over 85 % " at)         \
    X(longest_##place##_over_90_h, "h", "longest run over 90 % " at)         \
    X(longest_##place##_over_95_h, "h", "longest run over 95 % " at)         \
    X(longest_##place##_over_100_h, "h", "longest run over 100 %, below the dew point, " at)

#define PINERY_EXPOSURES(X)                                                                 \
    PINERY_EXPOSURE(X, humidity, "in the crop's air, the moister of lower and upper")       \
    PINERY_EXPOSURE(X, sensor, "at the sensor, which sees the mean of lower and upper air") \
    PINERY_EXPOSURE(X, colder_1, "in a place 1 K colder than the crop's air")               \
    PINERY_EXPOSURE(X, colder_2, "in a place 2 K colder than the crop's air")               \
    PINERY_EXPOSURE(X, colder_3, "in a place 3 K colder than the crop's air")               \
    PINERY_EXPOSURE(X, under_cloth, "in the crop's air while a cloth is drawn")

/* X(key, unit, doc): the results of a run. Hours are sums of control intervals. */
#define PINERY_RESULTS(X)                                                                              \
    X(gas_m3_per_m2, "m3/m2", "gas at the boiler's stated heating value")                              \
    X(gas_MJ_per_m2, "MJ/m2", "heat in the gas on that basis")                                         \
    X(heat_MJ_per_m2, "MJ/m2", "heat into pipes and coils, from all sources")                          \
    X(electricity_kWh_per_m2, "kWh/m2", "electricity for all uses")                                    \
    X(electricity_lamps_kWh_per_m2, "kWh/m2", "electricity for lamps")                                 \
    X(electricity_fan_through_kWh_per_m2, "kWh/m2", "electricity for through-cloth fans")              \
    X(electricity_fan_circulation_kWh_per_m2, "kWh/m2", "electricity for circulation fans")            \
    X(electricity_pumps_kWh_per_m2, "kWh/m2", "electricity for pumps")                                 \
    X(electricity_duct_kWh_per_m2, "kWh/m2", "electricity to blow in outside air by duct")             \
    X(electricity_recovery_kWh_per_m2, "kWh/m2", "electricity for ventilation with recovery")          \
    X(electricity_dehumidifier_kWh_per_m2, "kWh/m2", "electricity for dehumidifiers")                  \
    X(electricity_desiccant_kWh_per_m2, "kWh/m2", "electricity for brine")                             \
    X(electricity_heat_pump_kWh_per_m2, "kWh/m2", "electricity for the heat pump")                     \
    X(electricity_electric_boiler_kWh_per_m2, "kWh/m2", "electricity for the electric boiler")         \
    X(electricity_bought_heat_kWh_per_m2, "kWh/m2", "electricity to bring bought heat")                \
    X(electricity_made_kWh_per_m2, "kWh/m2", "electricity made by the engine; not taken off the uses") \
    X(gas_cogeneration_MJ_per_m2, "MJ/m2", "heat in the gas of the engine, part of all gas")           \
    X(boiler_efficiency, "", "of the boiler, but for gas burnt for carbon dioxide")                    \
    X(heat_boiler_MJ_per_m2, "MJ/m2", "from the boiler, where not all")                                \
    X(heat_cogeneration_MJ_per_m2, "MJ/m2", "heat used from the engine")                               \
    X(heat_cooled_MJ_per_m2, "MJ/m2", "heat of engine and flue gas that nobody took")                  \
    X(heat_bought_MJ_per_m2, "MJ/m2", "heat bought from outside")                                      \
    X(heat_pump_MJ_per_m2, "MJ/m2", "heat from the heat pump")                                         \
    X(cogeneration_hours, "h", "full-load hours of the engine")                                        \
    X(gas_flue_MJ_per_m2, "MJ/m2", "heat in gas burnt for carbon dioxide, part of all gas")            \
    X(gas_flue_only_MJ_per_m2, "MJ/m2", "of which for carbon dioxide alone: nobody took its heat")     \
    X(heat_flue_MJ_per_m2, "MJ/m2", "heat used of gas burnt for it")                                   \
    X(carbon_dosed_kg_per_m2, "kg/m2", "carbon dioxide dosed")                                         \
    X(carbon_pure_kg_per_m2, "kg/m2", "of which pure")                                                 \
    X(carbon_taken_kg_per_m2, "kg/m2", "carbon dioxide taken up by the crop, net")                     \
    X(carbon_aired_kg_per_m2, "kg/m2", "carbon dioxide lost with the air")                             \
    X(mean_co2_ppm, "ppm", "mean carbon dioxide of the house air")                                     \
    X(heat_duct_MJ_per_m2, "MJ/m2", "heat from the boiler into outside air by duct")                   \
    X(heat_desiccant_MJ_per_m2, "MJ/m2", "heat from the boiler to boil down brine")                    \
    X(duct_water_kg_per_m2, "kg/m2", "water carried out of the crop's air by outside air")             \
    X(recovery_water_kg_per_m2, "kg/m2", "water carried out through the recovery of heat")             \
    X(dehumidifier_water_kg_per_m2, "kg/m2", "water condensed by dehumidifiers")                       \
    X(desiccant_water_kg_per_m2, "kg/m2", "water taken up by brine")                                   \
    X(duct_hours, "h", "full-speed hours of the outside air by duct")                                  \
    X(recovery_hours, "h", "full-speed hours of ventilation with recovery")                            \
    X(dehumidifier_hours, "h", "full-duty hours of the dehumidifiers")                                 \
    X(desiccant_hours, "h", "full-duty hours of the brine")                                            \
    X(water_kg_per_m2, "kg/m2", "water taken up by the roots")                                         \
    X(peak_hour_W_per_m2, "W/m2", "highest hourly mean of the boiler's heat")                          \
    X(peak_interval_W_per_m2, "W/m2", "highest mean of the boiler's heat over two control intervals")  \
    X(hours_gas_short, "h", "the gas contract leaves the pipes short of 1 W/m2 or more")               \
    X(heat_short_MJ_per_m2, "MJ/m2", "heat they were short of")                                        \
    X(hours_gas_over, "h", "hours that draw more gas than the contract has, for engine, dosing ...")   \
    X(gas_over_MJ_per_m2, "MJ/m2", "heat in the gas over it")                                          \
    X(hours_power_over, "h", "hours that draw more electricity than the contract has")                 \
    X(power_over_kWh_per_m2, "kWh/m2", "electricity over it")                                          \
    X(light_mol_per_m2, "mol/m2", "PAR at the crop from sun and lamps")                                \
    X(light_lamps_mol_per_m2, "mol/m2", "of which from lamps")                                         \
    X(light_day_mol_per_m2, "mol/m2", "light sum of a day, mean")                                      \
    X(light_lost_parked_mol_per_m2, "mol/m2", "PAR of the sun that packages of open cloths take")      \
    X(light_lost_drawn_mol_per_m2, "mol/m2", "and that drawn cloths take")                             \
    X(growth_index, "kg/m2", "growth by light, an index and no yield forecast: gross uptake")          \
    X(growth_index_early, "kg/m2", "the same if leaves are full of light at half of `leaf_uptake`")    \
    X(growth_index_even, "kg/m2", "the same if growth is in proportion to light")                      \
    X(growth_lost_pct, "%", "of the index without cloths, what they take, open and drawn")             \
    X(growth_lost_early_pct, "%", "the same by growth_index_early")                                    \
    X(growth_lost_even_pct, "%", "the same by growth_index_even")                                      \
    X(growth_lamps_pct, "%", "of the index without lamps, what they add")                              \
    X(growth_lamps_early_pct, "%", "the same by growth_index_early")                                   \
    X(growth_lamps_even_pct, "%", "the same by growth_index_even")                                     \
    X(lamp_hours, "h", "full-load hours of the first lamp group")                                      \
    X(mean_air_degC, "degC", "mean of the air seen")                                                   \
    X(mean_humidity_pct, "%", "mean relative humidity of the upper air")                               \
    PINERY_EXPOSURES(X)                                                                                \
    X(hours_deficit_under_1_5, "h", "humidity deficit under 1.5 g/m3")                                 \
    X(hours_vapour_deficit_under_200, "h", "vapour pressure deficit under 200 Pa")                     \
    X(hours_vapour_deficit_over_1400, "h", "vapour pressure deficit over 1400 Pa")                     \
    X(hours_dew_margin_under_1, "h", "coldest leaf layer less than 1 K above the dew point")           \
    X(hours_dew_margin_under_0, "h", "coldest leaf layer below the dew point")                         \
    X(dew_margin_p5_K, "K", "5th percentile of the coldest leaf layer's margin above the dew point")   \
    X(dew_margin_air_p5_K, "K", "5th percentile of the crop's air above its dew point")                \
    X(hours_crop_wet, "h", "more than 1 g/m2 of water on the leaves")                                  \
    X(longest_crop_wet_h, "h", "longest run of that")                                                  \
    X(condensation_cover_kg_per_m2, "kg/m2", "net condensation on cover and walls")                    \
    X(condensation_cloths_kg_per_m2, "kg/m2", "net condensation on the cloths")                        \
    X(transpiration_kg_per_m2, "kg/m2", "vapour given off by the leaves")                              \
    X(screen_1_hours, "h", "lowest drive over 95 % drawn")                                             \
    X(screen_2_hours, "h", "second drive over 95 % drawn")                                             \
    X(screen_3_hours, "h", "third drive over 95 % drawn")                                              \
    X(slit_hours, "h", "a slit over 0.5 % in a drawn cloth")                                           \
    X(vent_hours, "h", "vents over 1 % open")                                                          \
    X(fan_through_hours, "h", "full-speed hours of the through-cloth fans")                            \
    X(pipe_mean_degC, "degC", "mean temperature of the lower pipes while over 25 degC")                \
    X(lower_minus_upper_K, "K", "mean lower minus upper air temperature at night")                     \
    X(lower_minus_upper_coldest_K, "K", "5th percentile of that difference")                           \
    X(roof_minus_outside_K, "K", "mean air under the cover minus outside while a cloth is drawn")      \
    X(end_to_end_mean_K, "K", "mean end-to-end difference while a cloth is drawn")                     \
    X(end_to_end_p95_K, "K", "95th percentile of it")                                                  \
    X(hours_end_to_end_over_1_5, "h", "end-to-end difference over 1.5 K, cloth drawn or not")          \
    X(hours_vertical_over_1_5, "h", "lower and upper air more than 1.5 K apart, day or night")         \
    X(snow_hours_shut, "h", "snow falls while a cloth is drawn")                                       \
    X(closure_heat, "", "heat not accounted for, relative to the heat that went in")                   \
    X(closure_water, "", "water not accounted for, relative to the water that went in")

typedef enum pinery_result {
#define X(key, unit, doc) PINERY_RESULT_##key,
    PINERY_RESULTS(X)
#undef X
        PINERY_N_RESULTS
} pinery_result;

/* X(key, unit, width, doc): how some readings are spread over the run, as hours in bins of that width from 0 up. */
#define PINERY_SPREADS(X)                                                      \
    X(humidity, "%", 0.5, "relative humidity, moister of lower and upper air") \
    X(vapour_deficit, "Pa", 20.0, "vapour pressure deficit of the air seen")

typedef enum pinery_spread {
#define X(key, unit, width, doc) PINERY_SPREAD_##key,
    PINERY_SPREADS(X)
#undef X
        PINERY_N_SPREADS
} pinery_spread;

typedef struct pinery_name {
    const char *key, *unit, *doc;
} pinery_name;

PINERY_API const pinery_name *pinery_reading_name(pinery_reading reading);
PINERY_API const pinery_name *pinery_meter_name(pinery_meter meter);
PINERY_API const pinery_name *pinery_result_name(pinery_result result);
PINERY_API const pinery_name *pinery_heading_name(pinery_heading heading); /* unit is "" */
PINERY_API pinery_side pinery_heading_side(pinery_heading heading);
PINERY_API bool pinery_heading_has_water(pinery_heading heading);

typedef struct pinery_ledger pinery_ledger; /* opaque */

/* The results, NaN where the run had nothing to measure. */
PINERY_API double pinery_ledger_result(const pinery_ledger *ledger, pinery_result result);

/* The span of the run, seconds since 1 January 00:00 of its first year, and whether that year has 366 days. */
PINERY_API double pinery_ledger_start_s(const pinery_ledger *ledger);
PINERY_API double pinery_ledger_end_s(const pinery_ledger *ledger);
PINERY_API bool pinery_ledger_leap(const pinery_ledger *ledger);
/* What a m3 of gas is counted as, J/m3, and whether that is the gross value. */
PINERY_API double pinery_ledger_heating_value(const pinery_ledger *ledger);
PINERY_API bool pinery_ledger_gross(const pinery_ledger *ledger);

/* The mean of a reading over the run, or over month 0..11, and how many hours of the month are in the run. */
PINERY_API double pinery_ledger_mean(const pinery_ledger *ledger, pinery_reading reading);
PINERY_API double pinery_ledger_month_reading(const pinery_ledger *ledger, int month, pinery_reading reading);
PINERY_API double pinery_ledger_month_hours(const pinery_ledger *ledger, int month);

/* Hours by day (global radiation of 1 W/m2 or more) or night in which a reading was over bin * width and up to (bin +
 * 1)
 * * width; the last bin also holds what is above it. */
PINERY_API double pinery_spread_width(pinery_spread spread);
PINERY_API int pinery_ledger_spread_bins(void);
PINERY_API double pinery_ledger_spread_hours(const pinery_ledger *ledger, pinery_spread spread, bool night, int bin);

/* Totals of a heading over the run, or over month 0..11 (of every year of the run together; NaN for a month outside
 * it). */
PINERY_API double pinery_ledger_heat(const pinery_ledger *ledger, pinery_heading heading);  /* J/m2 */
PINERY_API double pinery_ledger_water(const pinery_ledger *ledger, pinery_heading heading); /* kg/m2 */
PINERY_API double pinery_ledger_meter(const pinery_ledger *ledger, pinery_meter meter);
PINERY_API double pinery_ledger_month_heat(const pinery_ledger *ledger, int month, pinery_heading heading);
PINERY_API double pinery_ledger_month_water(const pinery_ledger *ledger, int month, pinery_heading heading);
PINERY_API double pinery_ledger_month_meter(const pinery_ledger *ledger, int month, pinery_meter meter);
PINERY_API double pinery_ledger_stored_heat(const pinery_ledger *ledger);  /* gained by the nodes over the run, J/m2 */
PINERY_API double pinery_ledger_stored_water(const pinery_ledger *ledger); /* kg/m2 */

/* Hourly series, kept when the run was asked to: hours, the time of each hour's start, means of a reading, sums of
 * totals. */
PINERY_API int pinery_ledger_hours(const pinery_ledger *ledger); /* 0 when not kept */
PINERY_API double pinery_ledger_hour_time_s(const pinery_ledger *ledger, int hour);
PINERY_API double pinery_ledger_hour_reading(const pinery_ledger *ledger, int hour, pinery_reading reading);
PINERY_API double pinery_ledger_hour_heat(const pinery_ledger *ledger, int hour, pinery_heading heading);
PINERY_API double pinery_ledger_hour_water(const pinery_ledger *ledger, int hour, pinery_heading heading);
PINERY_API double pinery_ledger_hour_meter(const pinery_ledger *ledger, int hour, pinery_meter meter);

#ifdef __cplusplus
}
#endif
#endif
