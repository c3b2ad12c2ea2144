/* Sources of heat in turn. A source gives min(what is asked, its capacity) with a corner of 2 % of the capacity; what
 * it leaves is the exact rest, so that the heats always add up to the demand. */
#include "equip/sources.h"

struct pinery_equip_turn pinery_equip_in_turn(double demand, const double *capacity, int n,
                                              struct pinery_equip_turn *turn) {
    struct pinery_equip_turn rest = {.heat = demand, .by_demand = 1.0};
    for (int i = 0; i < n; i++) {
        turn[i] = (struct pinery_equip_turn){.heat = 0.0};
        if (!(capacity[i] > 0.0))
            continue;
        const double corner = 0.02;
        double d_over, over = pinery_base_hinge(rest.heat - capacity[i], corner * capacity[i], &d_over);
        /* over is of the first degree in both, so by the capacity it is (over - d_over rest)/capacity */
        double by_own = (over - d_over * rest.heat) / capacity[i];
        turn[i].heat = rest.heat - over;
        turn[i].by_demand = rest.by_demand * (1.0 - d_over);
        for (int k = 0; k < i; k++) {
            turn[i].by_capacity[k] = rest.by_capacity[k] * (1.0 - d_over);
            rest.by_capacity[k] *= d_over;
        }
        turn[i].by_capacity[i] = -by_own;
        rest.by_capacity[i] = by_own;
        rest.heat = over;
        rest.by_demand *= d_over;
    }
    return rest;
}
