/* The lamps: hours of the clock or by sunrise and sunset, season, the sun, the heat of the house, the light the crop
 * has had.
 *
 * Off at once when the clock, the season, the day's light sum or the heat of the house says so; by the sun, and on
 * again, only after its delay and the pause. After heat the house must be 1 K cooler (common practice, no source). */
#include "control/rules.h"

static const double cooler = 1.0; /* K */

/* An hour of the clock, from sunrise or sunset where it counts from there. */
static double hour_of(double at, int of, const pinery_seen *seen) {
    double hour = at + (of == 1 ? seen->sunrise : of == 2 ? seen->sunset : 0.0);
    return hour < 0.0 ? hour + 24.0 : hour > 24.0 ? hour - 24.0 : hour;
}

static bool in_hours(const pinery_lighting *lighting, const pinery_seen *seen) {
    return pinery_control_between(seen->hour, hour_of(lighting->from, lighting->from_of, seen),
                                  hour_of(lighting->to, lighting->to_of, seen));
}

/* Bright, or no longer so, once the sun has been past the limit for the delay. */
static void look_at_sun(const pinery_lighting *lighting, struct pinery_control_lighting *is, const pinery_seen *seen) {
    double light = seen->reading[PINERY_READING_outside_global];
    bool now = pinery_control_switch(is->bright, light, lighting->off_above_light, lighting->on_below_light);
    if (now == is->bright) {
        is->turned_s = INFINITY;
        return;
    }
    is->turned_s = fmin(is->turned_s, seen->time_s);
    if (pinery_control_waited(seen->time_s, is->turned_s, lighting->delay)) {
        is->bright = now;
        is->turned_s = INFINITY;
    }
}

/* The rule that keeps the lamps off, the sun last; start: none. */
static pinery_cause forbids(const pinery_lighting *lighting, const struct pinery_control_lighting *is,
                            const pinery_seen *seen) {
    return !pinery_control_in_season(seen->day, lighting->first_day, lighting->last_day) ? PINERY_CAUSE_season
           : !in_hours(lighting, seen)                                                   ? PINERY_CAUSE_hours
           : !(seen->light_today < lighting->day_sum)                                    ? PINERY_CAUSE_light_sum
           : is->warm                                                                    ? PINERY_CAUSE_warm_house
           : is->bright                                                                  ? PINERY_CAUSE_strong_sun
                                                                                         : PINERY_CAUSE_start;
}

static struct pinery_control_why unlit(const pinery_lighting *lighting, pinery_cause off, const pinery_seen *seen) {
    double limit = off == PINERY_CAUSE_season       ? lighting->last_day
                   : off == PINERY_CAUSE_hours      ? hour_of(lighting->to, lighting->to_of, seen)
                   : off == PINERY_CAUSE_light_sum  ? lighting->day_sum
                   : off == PINERY_CAUSE_warm_house ? lighting->off_above_air
                                                    : lighting->off_above_light;
    return pinery_control_because(off, limit, NAN);
}

/* Why they are lit: what kept them off is over. */
static struct pinery_control_why lit(const pinery_lighting *lighting, pinery_cause was_off, const pinery_seen *seen) {
    switch (was_off) {
    case PINERY_CAUSE_season:
        return pinery_control_because(was_off, lighting->first_day, NAN);
    case PINERY_CAUSE_light_sum:
        return pinery_control_because(was_off, lighting->day_sum, NAN);
    case PINERY_CAUSE_warm_house:
        return pinery_control_because(PINERY_CAUSE_cool_house, lighting->off_above_air - cooler, NAN);
    case PINERY_CAUSE_strong_sun:
        return pinery_control_because(PINERY_CAUSE_weak_sun, lighting->on_below_light, NAN);
    default:
        return pinery_control_because(PINERY_CAUSE_hours, hour_of(lighting->from, lighting->from_of, seen), NAN);
    }
}

void pinery_control_lamps(const pinery_strategy *strategy, struct pinery_control_memory *memory,
                          const pinery_seen *seen, pinery_orders *orders) {
    for (int i = 0; i < PINERY_LAMPS; i++) {
        const pinery_lighting *lighting = &strategy->lighting[i];
        struct pinery_control_lighting *is = &memory->lighting[i];
        if (!lighting->use) {
            continue;
        }
        look_at_sun(lighting, is, seen);
        is->warm = pinery_control_switch(is->warm, seen->reading[PINERY_READING_air_seen], lighting->off_above_air,
                                         lighting->off_above_air - cooler);
        pinery_cause off = forbids(lighting, is, seen);
        bool wanted = off == PINERY_CAUSE_start;
        bool allowed = wanted || off == PINERY_CAUSE_strong_sun;
        bool waited = pinery_control_waited(seen->time_s, is->switched_s, lighting->pause);
        if (wanted != is->lit && (waited || !allowed)) {
            is->lit = wanted;
            is->switched_s = seen->time_s;
            memory->why[PINERY_ACTUATOR_lamp_1 + i] =
                wanted ? lit(lighting, is->off, seen) : unlit(lighting, off, seen);
        }
        is->off = wanted ? is->off : off;
        orders->lamp[i] = is->lit ? lighting->output : 0.0;
    }
}
