/* Sources of heat besides the boiler: what each may give.
 *
 * The engine runs by heat (it starts when the tank is emptier than one share and stops when it is fuller than another)
 * or by clock; a full tank stops it in any case, and it then waits for the tank to be down to where it would start, or,
 * by clock, to nine tenths of where it stopped. Without a tank it takes the tank to be empty. The heat pump starts
 * again 1 K over the cold that stopped it. (Common practice, no source.) */
#include <math.h>

#include "control/rules.h"

static bool wanted(const pinery_supply *rule, struct pinery_control_supply *is, const pinery_seen *seen) {
    double fill = seen->reading[PINERY_READING_tank_fill];
    fill = fill > 0.0 ? fill : 0.0; /* not a number without a tank */
    double again = rule->cogeneration == 0 ? rule->tank_start : 0.9 * rule->tank_stop;
    is->full = pinery_control_switch(is->full, fill, rule->tank_stop, again);
    switch (rule->cogeneration) {
    case 0:
        return !is->full && (is->running || fill < rule->tank_start);
    case 1:
        return !is->full && pinery_control_between(seen->hour, rule->from, rule->to);
    default:
        return false;
    }
}

void pinery_control_supply(const pinery_strategy *strategy, struct pinery_control_memory *memory,
                           const pinery_seen *seen, pinery_orders *orders) {
    const pinery_supply *rule = &strategy->supply;
    struct pinery_control_supply *is = &memory->supply;
    bool want = wanted(rule, is, seen);
    if (want != is->running && pinery_control_waited(seen->time_s, is->switched_s, rule->pause)) {
        is->running = want;
        memory->why[PINERY_ACTUATOR_cogeneration] =
            is->full                  ? pinery_control_because(PINERY_CAUSE_tank_full, rule->tank_stop, NAN)
            : rule->cogeneration == 0 ? pinery_control_because(PINERY_CAUSE_tank_low, rule->tank_start, NAN)
                                      : pinery_control_because(PINERY_CAUSE_hours, want ? rule->from : rule->to, NAN);
        is->switched_s = seen->time_s;
    }
    is->cold = pinery_control_switch(is->cold, seen->reading[PINERY_READING_outside], rule->heat_pump_least_outside,
                                     rule->heat_pump_least_outside + 1.0);
    for (int i = PINERY_ACTUATOR_bought_heat; i <= PINERY_ACTUATOR_electric_boiler; i++) {
        memory->why[i] = pinery_control_because(PINERY_CAUSE_allowed, NAN, NAN);
    }
    if (is->cold) {
        memory->why[PINERY_ACTUATOR_heat_pump] =
            pinery_control_because(PINERY_CAUSE_cold_source, rule->heat_pump_least_outside, NAN);
    }
    orders->source[PINERY_COGENERATION] = is->running ? rule->load : 0.0;
    orders->source[PINERY_BOUGHT] = rule->bought_heat;
    orders->source[PINERY_HEAT_PUMP] = is->cold ? 0.0 : rule->heat_pump;
    orders->source[PINERY_ELECTRIC] = rule->electric_boiler;
    orders->tank_fill = rule->tank_fill;
}
