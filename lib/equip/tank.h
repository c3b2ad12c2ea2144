/* Buffer tank. Formulas and sources are in tank.c. */
#ifndef PINERY_EQUIP_TANK_H
#define PINERY_EQUIP_TANK_H

#include "base/smooth.h"
#include "pinery/energy.h"

/* Heat held per K [J/(m2 K)]. */
double pinery_equip_tank_capacity(const pinery_tank *tank);

/* Heat lost per K between the tank's mean and what stands round it [W/(m2 K)]; floor: m2 that it serves. */
double pinery_equip_tank_loss(const pinery_tank *tank, double floor);

/* Shares 0 .. 1 of the power that a tank of this mean temperature can take and give; slope per K. */
double pinery_equip_tank_room(const pinery_tank *tank, double T_mean, double *slope);

/* What it can give is for water of T_asked [degC]; a: mean of the tank, b: asked. */
struct pinery_pair pinery_equip_tank_ready(const pinery_tank *tank, double T_mean, double T_asked);

#endif
