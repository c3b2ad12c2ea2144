/* The lamps: hours of the clock, season, the sun, the heat of the house, the light the crop has had.
 *
 * Off at once when the clock, the season, the day's light sum or the heat of the house says so; by the sun, and on
 * again, only after the pause. After heat the house must be 1 K cooler (common practice, no source). */
#include "control/rules.h"

static const double cooler = 1.0; /* K */

static bool in_season(double day, int first, int last) {
    return first <= last ? day >= first && day <= last : day >= first || day <= last;
}

void pinery_control_lamps(const pinery_strategy *strategy, struct pinery_control_memory *memory,
                          const pinery_seen *seen, pinery_orders *orders) {
    for (int i = 0; i < PINERY_LAMPS; i++) {
        const pinery_lighting *lighting = &strategy->lighting[i];
        struct pinery_control_lighting *is = &memory->lighting[i];
        is->bright = pinery_control_switch(is->bright, seen->reading[PINERY_READING_outside_global],
                                           lighting->off_above_light, lighting->on_below_light);
        is->warm = pinery_control_switch(is->warm, seen->reading[PINERY_READING_air_seen], lighting->off_above_air,
                                         lighting->off_above_air - cooler);
        bool allowed = lighting->use && pinery_control_between(seen->hour, lighting->from, lighting->to) &&
                       in_season(seen->day, lighting->first_day, lighting->last_day) &&
                       seen->light_today < lighting->day_sum && !is->warm;
        bool wanted = allowed && !is->bright;
        bool waited = pinery_control_waited(seen->time_s, is->switched_s, lighting->pause);
        if (wanted != is->lit && (waited || !allowed)) {
            is->lit = wanted;
            is->switched_s = seen->time_s;
        }
        orders->lamp[i] = is->lit ? lighting->output : 0.0;
    }
}
