/* Gas boiler with or without a condenser. Formulas and sources are in boiler.c. */
#ifndef PINERY_EQUIP_BOILER_H
#define PINERY_EQUIP_BOILER_H

#include "pinery/house.h"

/* Dutch natural gas, J per m3 at 0 degC and 101325 Pa, by the net and the gross value. */
#define PINERY_EQUIP_GAS_NET 31.65e6
#define PINERY_EQUIP_GAS_GROSS 35.17e6

/* What a condenser adds to the efficiency at a return temperature [degC]; most: what it adds to cold water, 0.11 on the
 * net value. slope: per K. */
double pinery_equip_condenser_gain(double most, double T_return, double *slope);

/* Gas burnt for a heat [W or W/m2]: m3/s or m3/(m2 s), with slopes. gain: of a condenser, 0 without one. */
struct pinery_equip_gas {
    double value, d_heat, d_gain;
};
struct pinery_equip_gas pinery_equip_boiler_gas(const pinery_boiler *boiler, double gain, double heat);

/* Carbon dioxide from burning [kg per m3 of Dutch gas]. */
double pinery_equip_gas_co2(void);

/* What is delivered of a demand by something with a capacity in the same unit, rounded over +-2 % of the capacity; zero
 * for a demand below none. */
double pinery_equip_deliver(double demand, double capacity, double *slope);

#endif
