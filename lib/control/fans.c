/* The fans: through-cloth fans by humidity while a cloth is drawn, circulation fans by whether one is. */
#include "control/rules.h"

void pinery_control_fans(const pinery_strategy *strategy, struct pinery_control_memory *memory, const pinery_seen *seen,
                         pinery_orders *orders) {
    (void)memory;
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
    orders->fan_circulation = drawn ? strategy->circulation_shut : strategy->circulation_open;
}
