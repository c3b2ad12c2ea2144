/* Gas boiler with or without a condenser. Formulas and sources are in boiler.c. */
#ifndef PINERY_EQUIP_BOILER_H
#define PINERY_EQUIP_BOILER_H

/* On which heating value a gas volume and an efficiency are stated. */
#define PINERY_EQUIP_HEATING_VALUE_NAMES "net|gross"
enum pinery_equip_heating_value { PINERY_EQUIP_HEATING_VALUE_NET, PINERY_EQUIP_HEATING_VALUE_GROSS };

/* J per m3 of gas at 0 degC and 101325 Pa, Dutch natural gas. */
double pinery_equip_heating_value(enum pinery_equip_heating_value basis);

struct pinery_equip_boiler {
    double dry;       /* efficiency on the net value without condensation, 0.93 */
    double condenser; /* what the condenser can add at most, on the net value: 0.11; 0 without one */
};

/* Efficiency on the net value at a return temperature [degC]; slope per K. */
double pinery_equip_boiler_efficiency(const struct pinery_equip_boiler *boiler, double T_return, double *slope);

/* Gas for a heat [W or W/m2]: m3/s or m3/(m2 s), with slopes in heat and return temperature. */
struct pinery_equip_gas {
    double value, d_heat, d_T_return;
};
struct pinery_equip_gas pinery_equip_boiler_gas(const struct pinery_equip_boiler *boiler, double heat, double T_return);

/* Energy in a gas volume [J], by the stated heating value. */
double pinery_equip_gas_energy(double volume, enum pinery_equip_heating_value basis);

/* Carbon dioxide from burning [kg per m3 of gas]. */
double pinery_equip_gas_co2(void);

/* What is delivered of a demand by something with a capacity in the same unit, rounded over +-2 % of the capacity; zero
 * for a demand below none. */
double pinery_equip_deliver(double demand, double capacity, double *slope);

#endif
