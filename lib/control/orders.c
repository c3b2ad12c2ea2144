#include "control/orders.h"

#include <math.h>
#include <string.h>

#include "control/rules.h"

double pinery_control_step(double held, double wanted, double step, double most) {
    if (wanted <= 0.0) {
        return 0.0;
    }
    if (wanted >= most) {
        return most;
    }
    if (fabs(wanted - held) < step) {
        return held;
    }
    double whole = step * round(wanted / step);
    return whole < most ? whole : most;
}

bool pinery_control_any_drawn(const pinery_orders *orders) {
    for (int i = 0; i < PINERY_DRIVES; i++) {
        if (orders->cloth[i] >= 0.5) {
            return true;
        }
    }
    return false;
}

void pinery_control_start(const pinery_strategy *strategy, struct pinery_control_memory *memory) {
    memset(memory, 0, sizeof *memory);
    for (int i = 0; i < PINERY_DRIVES; i++) {
        memory->screen[i].moved_s = memory->screen[i].snow_s = -INFINITY;
        memory->screen[i].which = strategy->screen[i].night_cloth - 1;
        memory->screen[i].slit_warm = true;
    }
    for (int i = 0; i < PINERY_LAMPS; i++) {
        memory->lighting[i].switched_s = -INFINITY;
        memory->lighting[i].turned_s = INFINITY;
    }
    memory->supply.switched_s = -INFINITY;
    memory->vents.rain_s = -INFINITY;
}

void pinery_control_orders(const pinery_strategy *strategy, struct pinery_control_memory *memory,
                           const pinery_seen *seen, pinery_orders *orders) {
    memset(orders, 0, sizeof *orders);
    pinery_control_setpoints(strategy, memory, seen, orders);
    pinery_control_heating(strategy, memory, seen, orders);
    pinery_control_screens(strategy, memory, seen, orders);
    pinery_control_lamps(strategy, memory, seen, orders);
    pinery_control_vents(strategy, memory, seen, orders);
    pinery_control_fans(strategy, memory, seen, orders);
    pinery_control_drying(strategy, memory, seen, orders);
    pinery_control_supply(strategy, memory, seen, orders);
    pinery_control_dosing(strategy, memory, seen, orders);
    memory->time_s = seen->time_s;
    memory->started = true;
}
