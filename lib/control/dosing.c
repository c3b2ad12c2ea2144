/* Carbon dioxide: a target by the vents, in the light alone, and with flue gas not into a full tank.
 *
 * Light is that of the sun outside, or of lamps as orders have them lit. It ends at nine tenths of where it began, the
 * vents count as shut again at half of what opened them, and a full tank as not full at nine tenths of that. (Common
 * practice, no source.) */
#include "control/rules.h"

void pinery_control_dosing(const pinery_strategy *strategy, struct pinery_control_memory *memory,
                           const pinery_seen *seen, pinery_orders *orders) {
    const pinery_dosing *rule = &strategy->dosing;
    struct pinery_control_dosing *is = &memory->dosing;
    double fill = seen->reading[PINERY_READING_tank_fill]; /* not a number without a tank, and so never full */
    is->light = pinery_control_switch(is->light, seen->reading[PINERY_READING_outside_global], rule->least_light,
                                      0.9 * rule->least_light);
    is->open =
        pinery_control_switch(is->open, seen->reading[PINERY_READING_vent_lee], rule->open_at, 0.5 * rule->open_at);
    is->full = pinery_control_switch(is->full, fill, rule->tank_stop, 0.9 * rule->tank_stop);
    bool lit = is->light;
    for (int i = 0; i < PINERY_LAMPS; i++) {
        lit = lit || orders->lamp[i] > 0.0;
    }
    orders->carbon_target = !lit || is->full ? 0.0 : is->open ? rule->target_open : rule->target;
    orders->carbon_band = rule->band;
    memory->why[PINERY_ACTUATOR_carbon_target] =
        !lit       ? pinery_control_because(PINERY_CAUSE_dark, rule->least_light, NAN)
        : is->full ? pinery_control_because(PINERY_CAUSE_tank_full, rule->tank_stop, NAN)
        : is->open ? pinery_control_because(PINERY_CAUSE_vents_open, rule->open_at, NAN)
                   : pinery_control_because(PINERY_CAUSE_in_light, rule->least_light, NAN);
}
