/* Heating and ventilation temperature: periods of the day, raised by light, changed no faster than a ramp.
 *
 * A period begins at an hour of the clock, or so many hours after this day's sunrise or sunset, and lasts until the
 * next one begins, over midnight too. The raise moves in steps of 0.1 K. Where the sun does not rise, sunrise and
 * sunset not given count as noon. */
#include <math.h>

#include "control/rules.h"

static const double raise_step = 0.1; /* K */

static double begins(const pinery_period *period, const pinery_seen *seen) {
    double hour = period->at;
    if (period->from == 1) {
        hour += isfinite(seen->sunrise) ? seen->sunrise : 12.0;
    } else if (period->from == 2) {
        hour += isfinite(seen->sunset) ? seen->sunset : 12.0;
    }
    if (hour >= 0.0 && hour < 24.0) {
        return hour;
    }
    hour = fmod(hour, 24.0);
    return hour < 0.0 ? hour + 24.0 : hour;
}

/* The period that began last; of two that begin together, the later in the list. */
static const pinery_period *present(const pinery_strategy *strategy, const pinery_seen *seen) {
    const pinery_period *period = &strategy->period[0];
    double least = INFINITY;
    for (int i = 0; i < strategy->periods; i++) {
        double ago = seen->hour + 1e-6 - begins(&strategy->period[i], seen);
        ago += ago < 0.0 ? 24.0 : 0.0;
        if (ago <= least) {
            least = ago;
            period = &strategy->period[i];
        }
    }
    return period;
}

static double towards(double now, double target, double most) {
    return fabs(target - now) <= most + 1e-9 ? target : now + copysign(most, target - now);
}

void pinery_control_setpoints(const pinery_strategy *strategy, struct pinery_control_memory *memory,
                              const pinery_seen *seen, pinery_orders *orders) {
    const pinery_period *period = present(strategy, seen);
    double raise = memory->raise;
    if (strategy->light_raise > 0.0) {
        double light = seen->reading[PINERY_READING_outside_global];
        double share =
            (light - strategy->light_raise_start) / (strategy->light_raise_full - strategy->light_raise_start);
        memory->raise =
            pinery_control_step(memory->raise, strategy->light_raise * share, raise_step, strategy->light_raise);
    }
    struct pinery_control_why *why = memory->why;
    int number = (int)(period - strategy->period) + 1;
    if (number != memory->period) {
        memory->period = number;
        why[PINERY_ACTUATOR_heating] = why[PINERY_ACTUATOR_ventilation] =
            pinery_control_because(PINERY_CAUSE_period, begins(period, seen), NAN);
    } else if (memory->raise != raise) {
        why[PINERY_ACTUATOR_heating] = why[PINERY_ACTUATOR_ventilation] = pinery_control_because(
            PINERY_CAUSE_light_raise, memory->raise > raise ? strategy->light_raise_start : strategy->light_raise_full,
            NAN);
    }
    double heating = period->heating + memory->raise, ventilation = period->ventilation + memory->raise;
    double most = memory->started ? strategy->ramp * (seen->time_s - memory->time_s) / 3600.0 : INFINITY;
    memory->heating = towards(memory->heating, heating, most);
    memory->ventilation = towards(memory->ventilation, ventilation, most);
    orders->heating = memory->heating;
    orders->ventilation = memory->ventilation;
}
