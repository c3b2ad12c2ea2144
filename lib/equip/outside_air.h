/* Outside air by duct, past a heating coil, and with recovery of heat. Formulas and sources are in outside_air.c. */
#ifndef PINERY_EQUIP_OUTSIDE_AIR_H
#define PINERY_EQUIP_OUTSIDE_AIR_H

#include "pinery/devices.h"

/* Air as it arrives in the house, by the temperature and humidity ratio of the house air. */
struct pinery_equip_supply {
    double T, x;   /* degC, kg/kg */
    double T_by_T; /* slopes by those of the house */
    double x_by_x;
};

/* Heat of the coil per K of air warmed is `carries` [W/(m2 K)]: flow, density and heat of the air. The rise of the air
 * in the coil [K] towards a temperature under that of the house, up to the coil's power; slope by the house air's
 * temperature. */
double pinery_equip_coil_rise(const pinery_duct *duct, double carries, double T_house, double T_outside, double *slope);

/* Air that has passed the plates. */
struct pinery_equip_supply pinery_equip_recovered(const pinery_recovery *unit, double T_house, double x_house,
                                                  double T_outside, double x_outside);

#endif
