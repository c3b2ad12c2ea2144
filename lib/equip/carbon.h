/* Carbon dioxide in the air of a house, and where it comes from. Formulas and sources are in carbon.c. */
#ifndef PINERY_EQUIP_CARBON_H
#define PINERY_EQUIP_CARBON_H

/* kg/m3 of one ppm by volume. */
double pinery_equip_carbon_per_ppm(double T, double pressure);

/* Share 0 .. 1 of the dosing rate that a controller asks while the air is under a target [ppm]: all at `band` under it,
 * none at the target; slope per ppm. */
double pinery_equip_carbon_dose(double target, double band, double ppm, double *slope);

/* Burning gas for carbon dioxide: what a dose [kg/(m2 s)] takes of gas [m3/(m2 s)] and gives of heat [W/m2] in a boiler
 * of this efficiency and heating value. */
struct pinery_equip_flue {
    double gas, heat;
};
struct pinery_equip_flue pinery_equip_carbon_flue(double dose, double efficiency, double heating_value);

#endif
