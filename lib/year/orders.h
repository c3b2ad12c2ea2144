/* Orders as they are carried out: motors under way, and set-points that move evenly. */
#ifndef PINERY_YEAR_ORDERS_H
#define PINERY_YEAR_ORDERS_H

#include "year/model.h"

/* Is this position a plain function of time since its order, not an unknown? */
static inline bool pinery_year_is_motor(int act) {
    return act < ACT_SLIT || (act >= ACT_LAMP && act < ACT_FAN_THROUGH) || act == ACT_FAN_CIRCULATION ||
           (act >= ACT_SOURCE && act < ACT_SOURCE + PINERY_SOURCES);
}

/* Rules for what the house does not have rest: nothing follows a cloth that is not there, nor the light of such lamps.
 */
void pinery_year_rest_rules(const struct pinery_year_model *model, pinery_strategy *strategy);

/* Carry out orders at once: motors stand where they are asked. */
void pinery_year_orders_settle(struct pinery_year_work *work, const pinery_orders *orders);

/* Are these the orders that were taken last, with nothing left to be done for them? */
bool pinery_year_orders_same(const struct pinery_year_work *work, const pinery_orders *orders);

/* Go on under these: nothing is new, and what moved evenly has arrived. */
void pinery_year_orders_hold(struct pinery_year_work *work);

/* Take new orders at `time_s`, to hold for `interval`. True when they jump, so that the integration has to begin anew.
 */
bool pinery_year_orders_take(struct pinery_year_work *work, const pinery_orders *orders, double time_s,
                             double interval);

/* Bring work->orders, and the positions of the motors in work->state, to a time. */
void pinery_year_orders_at(struct pinery_year_work *work, double time_s);

#endif
