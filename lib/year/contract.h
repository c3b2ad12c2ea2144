/* Lamps that are put out to keep within the contract for electricity. */
#ifndef PINERY_YEAR_CONTRACT_H
#define PINERY_YEAR_CONTRACT_H

#include "year/model.h"

struct pinery_year_shed {
    double until[PINERY_LAMPS]; /* s, when a group that was put out may be lit again */
};

/* Electricity of all but the lamps between two ticks, less what an engine makes [W/m2]. */
double pinery_year_power_besides(const pinery_tick *from, const pinery_tick *to);

/* Put out, the last first, the groups for which the contract leaves no room beside what else is drawn; true when one
 * that was to be lit is out. */
bool pinery_year_shed(const pinery_house *house, struct pinery_year_shed *shed, double besides, double now_s,
                      pinery_orders *orders);

#endif
