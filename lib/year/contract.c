/* The contract for electricity, kept by a relay at the meter: it knows what was drawn besides the lamps over the last
 * control interval and what each group draws, and lets those burn for which there is room, the first group before the
 * next. A group that was put out stays out for 20 min, as hot lamps cannot be lit again (practice, no source). So it
 * comes an interval late after what changes without it, such as an engine that stops; the ledger counts what that is.
 */
#include "year/contract.h"

static const double hot_s = 1200.0;

double pinery_year_power_besides(const pinery_tick *from, const pinery_tick *to) {
    double dt = to->time_s - from->time_s, sum = 0.0;
    if (!(dt > 0.0))
        return 0.0;
#define X(key, unit, doc) sum += to->meter[PINERY_METER_##key] - from->meter[PINERY_METER_##key];
    PINERY_POWERS(X)
#undef X
    sum -= to->meter[PINERY_METER_power_lamps] - from->meter[PINERY_METER_power_lamps];
    sum -= to->meter[PINERY_METER_electricity_made] - from->meter[PINERY_METER_electricity_made];
    return sum / dt;
}

bool pinery_year_shed(const pinery_house *house, struct pinery_year_shed *shed, double besides, double now_s,
                      pinery_orders *orders) {
    double left = house->contract.power - besides;
    bool out = false;
    for (int g = 0; g < PINERY_LAMPS; g++) {
        double power = house->lamp[g].power * orders->lamp[g];
        if (!(power > 0.0))
            continue;
        bool hot = now_s<shed->until[g], over = power> left * (1.0 + 1e-9);
        if (!hot && !over) {
            left -= power;
            continue;
        }
        if (over)
            shed->until[g] = now_s + hot_s;
        orders->lamp[g] = 0.0;
        out = true;
    }
    return out;
}
