/* The fans: through-cloth fans by humidity while a cloth is drawn, circulation fans by whether one is. */
#include "control/rules.h"

void pinery_control_fans(const pinery_strategy *strategy, struct pinery_control_memory *memory, const pinery_seen *seen,
                         pinery_orders *orders) {
    (void)seen;
    bool drawn = pinery_control_any_drawn(orders);
    double least = strategy->fan_least, most = strategy->fan_most;
    pinery_law law = {.high = 1.0};
    if (drawn && most > 0.0) {
        law.low = least;
        law.high = most;
        law.by_humidity = pinery_control_gain(least, most);
        law.humidity_start = 0.01 * strategy->fan_humidity_start;
        law.humidity_full = 0.01 * strategy->fan_humidity_full;
    }
    orders->fan_through = law;
    pinery_cause cause = drawn ? PINERY_CAUSE_cloth_drawn : PINERY_CAUSE_no_cloth_drawn;
    memory->why[PINERY_ACTUATOR_fan_circulation] = pinery_control_because(cause, NAN, NAN);
    memory->why[PINERY_ACTUATOR_fan_through] =
        pinery_control_because(drawn && law.low <= 0.0 ? PINERY_CAUSE_no_need : cause, NAN, NAN);
    memory->limit[PINERY_ACTUATOR_fan_through] = memory->why[PINERY_ACTUATOR_fan_through];
    orders->fan_circulation = drawn ? strategy->circulation_shut : strategy->circulation_open;
}
