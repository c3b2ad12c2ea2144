/* Gas boiler with or without a condenser. Formulas and sources are in boiler.c. */
#ifndef PINERY_EQUIP_BOILER_H
#define PINERY_EQUIP_BOILER_H

#include "base/smooth.h"
#include "pinery/house.h"

/* Dutch natural gas, J per m3 at 0 degC and 101325 Pa, by the net and the gross value. */
#define PINERY_EQUIP_GAS_NET 31.65e6
#define PINERY_EQUIP_GAS_GROSS 35.17e6

/* Flue gas per J of net heat in the gas, burnt with a share of air over what it needs. */
struct pinery_equip_flue_gas {
    double heat;  /* J/K, of all of it while nothing condenses */
    double dry;   /* mol */
    double water; /* mol of vapour from burning */
};
struct pinery_equip_flue_gas pinery_equip_flue_gas(double excess_air);

/* What has condensed of the water when the gas leaves at T [degC], kg per J of net heat, with its slope. */
double pinery_equip_flue_condensate(double excess_air, double T, double pressure, double *slope);

/* The temperature [degC] at which the flue gas of this boiler leaves without a condenser: its efficiency says so. */
double pinery_equip_flue_temperature(const pinery_boiler *boiler);

/* What a condenser adds to the efficiency, on the boiler's basis; a: temperature of the return [degC], b: load of the
 * boiler 0 .. 1. 0 without one. */
struct pinery_pair pinery_equip_condenser_gain(const pinery_boiler *boiler, double T_return, double load,
                                               double pressure);

/* Heat in the gas burnt for a heat [W/m2] that goes into water of T_return; a: the heat, b: T_return. */
struct pinery_pair pinery_equip_boiler_burn(const pinery_boiler *boiler, double heat, double T_return, double pressure);

/* Carbon dioxide from burning [kg per m3 of Dutch gas]. */
double pinery_equip_gas_co2(void);

/* What is delivered of a demand by something with a capacity in the same unit, rounded over +-2 % of the capacity; zero
 * for a demand below none. */
double pinery_equip_deliver(double demand, double capacity, double *slope);

#endif
