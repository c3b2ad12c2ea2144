/* Why a run did what it did: every move that an order made, with the rule that asked for it and what that rule looked
 * at. A run keeps them when its options say keep_causes. */
#ifndef PINERY_CAUSES_H
#define PINERY_CAUSES_H

#include "pinery/seen.h"
#include "pinery/strategy.h"

#ifdef __cplusplus
extern "C" {
#endif

/* X(key, unit, worth, doc): what orders move. A movement under one cause is told again each time it has gone so far. */
#define PINERY_ACTUATORS(X)                                            \
    X(heating, "degC", 0.5, "heating temperature")                     \
    X(ventilation, "degC", 0.5, "ventilation temperature")             \
    X(pipe_least, "degC", 5, "least temperature of the lower pipes")   \
    X(pipe_lower, "degC", 2, "temperature ordered of the lower pipes") \
    X(pipe_upper, "degC", 2, "temperature ordered of the upper pipes") \
    X(cloth_1, "", 0.01, "lowest drive, share drawn")                  \
    X(cloth_2, "", 0.01, "second drive, share drawn")                  \
    X(cloth_3, "", 0.01, "third drive, share drawn")                   \
    X(slit_1, "", 0.1, "slit in the lowest drive")                     \
    X(slit_2, "", 0.1, "slit in the second drive")                     \
    X(slit_3, "", 0.1, "slit in the third drive")                      \
    X(vent_lee, "", 0.1, "lee vents")                                  \
    X(vent_wind, "", 0.1, "wind-side vents")                           \
    X(lamp_1, "", 0.01, "first lamp group, output")                    \
    X(lamp_2, "", 0.01, "second lamp group, output")                   \
    X(fan_through, "", 0.1, "through-cloth fans, speed")               \
    X(fan_circulation, "", 0.01, "circulation fans, speed")            \
    X(duct, "", 0.1, "outside air by duct, speed")                     \
    X(recovery, "", 0.1, "ventilation with recovery, speed")           \
    X(dehumidifier, "", 0.1, "dehumidifiers, duty")                    \
    X(desiccant, "", 0.1, "brine, duty")                               \
    X(cogeneration, "", 0.01, "engine, load")                          \
    X(bought_heat, "", 0.01, "bought heat, share allowed")             \
    X(heat_pump, "", 0.01, "heat pump, share allowed")                 \
    X(electric_boiler, "", 0.01, "electric boiler, share allowed")     \
    X(carbon_target, "ppm", 50, "carbon dioxide held by dosing")

typedef enum pinery_actuator {
#define X(key, unit, worth, doc) PINERY_ACTUATOR_##key,
    PINERY_ACTUATORS(X)
#undef X
        PINERY_N_ACTUATORS
} pinery_actuator;

/* X(key, doc, first, second): the rules, each with up to two things it looked at, by their names in seen.h or among the
 * readings; "" where there is none. */
#define PINERY_CAUSES(X)                                                                                 \
    X(start, "as the run begins", "", "")                                                                \
    X(period, "a period of the day has begun", "hour", "")                                               \
    X(light_raise, "raised or lowered with the light", "outside_global", "")                             \
    X(minimum_pipe, "least pipe temperature, which falls with the light", "outside_global", "")          \
    X(snow, "snow falls", "outside_snow", "")                                                            \
    X(blackout, "hours of the blackout", "hour", "")                                                     \
    X(night, "dark and cold outside", "outside_global", "outside")                                       \
    X(cold_day, "a dark cold day", "outside_global", "outside")                                          \
    X(shade, "strong sun, drawn for shade", "outside_global", "")                                        \
    X(exchange, "parked so that the other cloth of the drive can be drawn", "outside_global", "outside") \
    X(light, "lighter than the rule that drew it allows", "outside_global", "")                          \
    X(warmth, "warmer outside than the rule that drew it allows", "outside", "")                         \
    X(blackout_over, "the hours of the blackout are over", "hour", "")                                   \
    X(weak_sun, "the sun is weak again", "outside_global", "")                                           \
    X(parked, "the cloth is parked", "", "")                                                             \
    X(no_need, "neither temperature nor humidity asks for it", "air_seen", "humidity_sensor")            \
    X(temperature, "warm air", "air_seen", "")                                                           \
    X(humidity, "damp air", "humidity_sensor", "")                                                       \
    X(too_cold_outside, "too cold outside for a humidity slit", "outside", "")                           \
    X(over_cloth, "least opening over a drawn cloth", "", "")                                            \
    X(rain, "rain or snow, opening limited", "rain", "outside_snow")                                     \
    X(storm, "storm, opening limited", "outside_wind", "")                                               \
    X(frost, "frost, vents may be frozen", "outside", "")                                                \
    X(no_cloth_drawn, "no cloth is drawn", "", "")                                                       \
    X(cloth_drawn, "a cloth is drawn", "", "")                                                           \
    X(hours, "hours of the clock", "hour", "")                                                           \
    X(season, "season of lighting", "day", "")                                                           \
    X(strong_sun, "strong sun", "outside_global", "")                                                    \
    X(warm_house, "the house is too warm", "air_seen", "")                                               \
    X(cool_house, "the house is cool enough again", "air_seen", "")                                      \
    X(light_sum, "light that the crop has had today", "light_today", "")                                 \
    X(vents_open, "the vents are open wide enough", "vent_lee", "")                                      \
    X(tank_low, "the tank is getting empty", "tank_fill", "")                                            \
    X(tank_full, "the tank is full", "tank_fill", "")                                                    \
    X(cold_source, "too cold outside for the heat pump", "outside", "")                                  \
    X(allowed, "allowed by the strategy", "", "")                                                        \
    X(in_light, "light enough for carbon dioxide", "outside_global", "")                                 \
    X(dark, "too dark for carbon dioxide", "outside_global", "")                                         \
    X(script, "the control function", "", "")

typedef enum pinery_cause {
#define X(key, doc, first, second) PINERY_CAUSE_##key,
    PINERY_CAUSES(X)
#undef X
        PINERY_N_CAUSES
} pinery_cause;

/* One move: at that time, from and to (in the actuator's unit), why, what was looked at and what it was held against.
 */
typedef struct pinery_move {
    double time_s; /* since 1 January 00:00 of the run's first year, standard time */
    pinery_actuator actuator;
    double from, to; /* NaN: nothing is ordered */
    pinery_cause cause;
    double value[2], limit[2]; /* NaN: none */
    const char *reason;        /* what a control function said; "" otherwise */
} pinery_move;

typedef struct pinery_causes pinery_causes; /* opaque, owned by its run */

/* In order of time. The first moves, one for each actuator, tell how all stood when the books began. */
PINERY_API int pinery_causes_count(const pinery_causes *causes);
PINERY_API pinery_move pinery_causes_move(const pinery_causes *causes, int i);
/* The last move of an actuator at or before that time, or -1. */
PINERY_API int pinery_causes_before(const pinery_causes *causes, pinery_actuator actuator, double time_s);
/* Moves that found no room any more. */
PINERY_API long pinery_causes_lost(const pinery_causes *causes);

/* Key, unit and text of an actuator; of a cause, whose unit is "". NULL outside the list. */
PINERY_API const pinery_name *pinery_actuator_name(pinery_actuator actuator);
PINERY_API const pinery_name *pinery_cause_name(pinery_cause cause);
/* What a cause looks at: name and unit of the first (0) or second (1) value, or NULL. */
PINERY_API const pinery_name *pinery_cause_value(pinery_cause cause, int i);

/* The moves from one time to another as lines of text, most_lines at most (0: all); what is left out is said. */
PINERY_API pinery_status pinery_causes_text(FILE *out, const pinery_causes *causes, double from_s, double to_s,
                                            int most_lines, pinery_error *error);

#ifdef __cplusplus
}
#endif
#endif
