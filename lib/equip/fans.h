/* Fans through the cloth and circulation fans. Formulas and sources are in fans.c. */
#ifndef PINERY_EQUIP_FANS_H
#define PINERY_EQUIP_FANS_H

#include "pinery/house.h"

/* Per m2 of floor; all electric power ends as heat in the air that the fan moves. Slopes are per unit of fan speed. */
struct pinery_equip_fan_output {
    double flow, d_flow;   /* m3/(m2 s) */
    double power, d_power; /* W/m2 */
};

/* speed: share of full speed, 0..1. */
struct pinery_equip_fan_output pinery_equip_fan_run(const pinery_fan *fan, double speed);

/* Speed that circulation of that flow [m3/(m2 s)] gives the air at the leaf [m/s]. */
double pinery_equip_fan_leaf_speed(double flow);

#endif
