/* What takes moisture out: by humidity, as the fans, but not while the vents are open so wide that they do it for
 * nothing.
 *
 * Begins again once the vents have closed to half of the opening that stopped it (common practice, no source). */
#include "control/rules.h"

void pinery_control_drying(const pinery_strategy *strategy, struct pinery_control_memory *memory,
                           const pinery_seen *seen, pinery_orders *orders) {
    bool drawn = pinery_control_any_drawn(orders);
    for (int i = 0; i < PINERY_DRYERS; i++) {
        const pinery_drying *rule = &strategy->drying[i];
        if (!(rule->most > 0.0)) { /* never */
            orders->drying[i].high = 1.0;
            continue;
        }
        memory->vented[i] = pinery_control_switch(memory->vented[i], seen->reading[PINERY_READING_vent_lee],
                                                  rule->vent_most, 0.5 * rule->vent_most);
        pinery_law law = {.high = 1.0};
        if (!memory->vented[i] && (drawn || !rule->only_drawn)) {
            law.low = rule->least;
            law.high = rule->most;
            law.by_humidity = pinery_control_gain(rule->least, rule->most);
            law.humidity_start = 0.01 * rule->humidity_start;
            law.humidity_full = 0.01 * rule->humidity_full;
        }
        orders->drying[i] = law;
        int actuator = PINERY_ACTUATOR_duct + i;
        memory->why[actuator] =
            memory->vented[i] ? pinery_control_because(PINERY_CAUSE_vents_open, rule->vent_most, NAN)
            : rule->only_drawn
                ? pinery_control_because(drawn ? PINERY_CAUSE_cloth_drawn : PINERY_CAUSE_no_cloth_drawn, NAN, NAN)
                : pinery_control_because(PINERY_CAUSE_no_need, NAN, NAN);
        memory->limit[actuator] = pinery_control_because(PINERY_CAUSE_humidity, rule->humidity_full, NAN);
    }
}
