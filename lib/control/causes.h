/* The causes of a run as they are collected, an interval at a time:
 *
 *     offer    what the strategy's table asks
 *     because  from here on a script changes orders for this reason, once or more
 *     note     the orders that hold now; what has moved is kept with its cause */
#ifndef PINERY_CONTROL_CAUSES_H
#define PINERY_CONTROL_CAUSES_H

#include "control/orders.h"

/* `has`: which actuators are there to be moved. NULL when memory runs out. */
pinery_causes *pinery_control_causes_new(const bool has[PINERY_N_ACTUATORS]);
void pinery_control_causes_free(pinery_causes *causes); /* NULL is fine */

void pinery_control_causes_offer(pinery_causes *causes, const pinery_orders *orders);
void pinery_control_causes_because(pinery_causes *causes, const pinery_orders *orders, const char *text);
void pinery_control_causes_note(pinery_causes *causes, const struct pinery_control_memory *memory,
                                const pinery_seen *seen, const pinery_orders *orders);

/* What a strategy sees under that name, or NaN. */
double pinery_control_seen(const pinery_seen *seen, const char *name);

#endif
