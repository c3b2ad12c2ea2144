/* The vents as laws: by temperature and humidity, limited by storm, rain and frost, with a least opening over a cloth.
 *
 * Storm ends at 0.9 of its wind; rain counts for a quarter of an hour after it was last seen, and snow counts as rain;
 * frost ends 1 K above its temperature.
 *
 * In frost a vent opens no wider than it lately was, and one that is shut stays shut, since it may be frozen. Ice takes
 * its time: what counts is the widest opening, fading by half an hour, with the time in which the frost comes or, in
 * frost, while the vent is shut. So nothing hangs on the minute in which the frost comes or a vent passes its end.
 * (Bands and times are common practice, no source.) */
#include <math.h>

#include "control/rules.h"

static const double storm_lee = 0.1, storm_ends = 0.9, rain_hold_s = 900.0, frost_band = 1.0, shut = 0.005;
static const double ice_s = 1800.0;

/* The widest opening lately, from what it was and the share of that which counts still. */
static double lately(bool frost, double position, double widest, double still) {
    if (frost && position >= shut) {
        return widest;
    }
    widest *= still;
    widest = position > widest ? position : widest;
    return widest < shut ? 0.0 : widest;
}

static void update(const pinery_strategy *strategy, struct pinery_control_vents *is, const pinery_seen *seen,
                   double ago) {
    is->storm = pinery_control_switch(is->storm, seen->reading[PINERY_READING_outside_wind], strategy->vent_storm,
                                      storm_ends * strategy->vent_storm);
    if (seen->rain > 0.0 || seen->reading[PINERY_READING_outside_snow] > 0.0) {
        is->rain_s = seen->time_s;
    }
    is->rain = !pinery_control_waited(seen->time_s, is->rain_s, rain_hold_s);

    bool was_frost = is->frost;
    is->frost = pinery_control_switch(is->frost, seen->reading[PINERY_READING_outside], strategy->vent_frost,
                                      strategy->vent_frost + frost_band);
    double still = exp(-ago / ice_s);
    is->lee = lately(was_frost, seen->reading[PINERY_READING_vent_lee], is->lee, still);
    is->wind = lately(was_frost, seen->reading[PINERY_READING_vent_wind], is->wind, still);
}

void pinery_control_vents(const pinery_strategy *strategy, struct pinery_control_memory *memory,
                          const pinery_seen *seen, pinery_orders *orders) {
    struct pinery_control_vents *is = &memory->vents;
    update(strategy, is, seen, memory->started ? seen->time_s - memory->time_s : INFINITY);

    double lee_most = is->frost ? is->lee : 1.0, wind_most = is->frost ? is->wind : 1.0;
    struct pinery_control_why limit = pinery_control_because(PINERY_CAUSE_frost, strategy->vent_frost, NAN);
    if (is->rain) {
        if (strategy->vent_rain_max < fmin(lee_most, wind_most)) {
            limit = pinery_control_because(PINERY_CAUSE_rain, 0.0, 0.0);
        }
        lee_most = fmin(lee_most, strategy->vent_rain_max);
        wind_most = fmin(wind_most, strategy->vent_rain_max);
    }
    if (is->storm) {
        limit = pinery_control_because(PINERY_CAUSE_storm, strategy->vent_storm, NAN);
        lee_most = fmin(lee_most, storm_lee);
        wind_most = 0.0;
    }
    double least = pinery_control_any_drawn(orders) ? strategy->vent_over_screen : 0.0;
    for (int i = PINERY_ACTUATOR_vent_lee; i <= PINERY_ACTUATOR_vent_wind; i++) {
        memory->limit[i] = limit;
        memory->why[i] = pinery_control_because(least > 0.0 ? PINERY_CAUSE_over_cloth : PINERY_CAUSE_no_need, NAN, NAN);
    }

    double start = orders->ventilation;
    orders->vent_lee = (pinery_law){.low = fmin(least, lee_most),
                                    .by_temperature = 1.0,
                                    .temperature_start = start,
                                    .temperature_full = start + strategy->vent_band,
                                    .by_humidity = strategy->vent_humidity_max,
                                    .humidity_start = 0.01 * strategy->vent_humidity_start,
                                    .humidity_full = 0.01 * strategy->vent_humidity_full,
                                    .high = lee_most};
    start += strategy->vent_wind_lag;
    orders->vent_wind = (pinery_law){.low = fmin(least, wind_most),
                                     .by_temperature = pinery_control_gain(least, strategy->vent_wind_max),
                                     .temperature_start = start,
                                     .temperature_full = start + strategy->vent_band,
                                     .high = wind_most};
}
