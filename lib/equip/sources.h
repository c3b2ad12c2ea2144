/* Heat pump, engine and generator, and sources that follow one another. Formulas and sources are in heat_pump.c,
 * cogeneration.c and turn.c. */
#ifndef PINERY_EQUIP_SOURCES_H
#define PINERY_EQUIP_SOURCES_H

#include "base/smooth.h"
#include "pinery/energy.h"

/* Heat given per electricity; a: what is heated, b: the source [degC]. */
struct pinery_pair pinery_equip_heat_pump(const pinery_heat_pump *pump, double T_sink, double T_source);

/* An engine at a load 0 .. 1 [W/m2], each with its slope by the load. */
struct pinery_equip_engine {
    double power, d_power;
    double heat, d_heat;
    double fuel, d_fuel; /* heat in the gas */
};
struct pinery_equip_engine pinery_equip_engine(const pinery_cogeneration *engine, double load);

/* What an hour at full load earns [money per m2 and second]: prices per J of electricity and of heat in the gas, on the
 * engine's basis, and the worth of a J of heat. Over 0 it pays to run. */
double pinery_equip_engine_earns(const pinery_cogeneration *engine, double power_price, double gas_price,
                                 double heat_worth);

/* Sources that follow one another: each gives what those before it have left of the demand, up to its capacity, rounded
 * over 2 % of it. Demand is never negative. What is left for the last one is returned. */
#define PINERY_EQUIP_TURNS 6
struct pinery_equip_turn {
    double heat, by_demand;                 /* W/m2 */
    double by_capacity[PINERY_EQUIP_TURNS]; /* of this source by the capacity of each */
};
struct pinery_equip_turn pinery_equip_in_turn(double demand, const double *capacity, int n,
                                              struct pinery_equip_turn *turn);

#endif
