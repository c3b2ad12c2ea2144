/* Gas boiler.
 *
 * Heating value of Dutch gas: 31.65 MJ/m3 net, 35.17 gross (at 0 degC and 101325 Pa). Carbon dioxide 56.4 kg per GJ net
 * (Dutch list of fuels; from memory, unverified; 56.8 was measured in 2003/04 by Heslinga and van Harmelen, TNO 2006).
 * Gas = heat / (efficiency * heating value), both on the same basis, net or gross; the volume is then the same.
 * Efficiency on the net value: 0.90 to 0.95 without condensation, to 1.00 .. 1.06 with a condenser (handbook range,
 * from memory, unverified). Flue gas of natural gas at the usual excess of air is saturated at 55 degC, so a condenser
 * in the return gains nothing above that; colder water gains about in proportion, until at 25 degC what is left is not
 * worth its surface (common practice, no source). The gain runs smoothly from 0 at 55 to all at 25 degC. */
#include "equip/boiler.h"

#include "base/smooth.h"

static const double saturated_degC = 55.0, coldest_degC = 25.0;

double pinery_equip_condenser_gain(double most, double T_return, double *slope) {
    double range = saturated_degC - coldest_degC, d_share;
    double share = pinery_base_ramp((saturated_degC - T_return) / range, &d_share);
    *slope = -most * d_share / range;
    return most * share;
}

struct pinery_equip_gas pinery_equip_boiler_gas(const pinery_boiler *boiler, double gain, double heat) {
    double efficiency = boiler->efficiency + gain, per_heat = 1.0 / (efficiency * boiler->heating_value);
    return (struct pinery_equip_gas){heat * per_heat, per_heat, -heat * per_heat / efficiency};
}

double pinery_equip_gas_co2(void) {
    return 56.4e-9 * PINERY_EQUIP_GAS_NET;
}

double pinery_equip_deliver(double demand, double capacity, double *slope) {
    double d_least, d_most, width = 0.02 * capacity;
    if (capacity <= 0.0) {
        *slope = 0.0;
        return 0.0;
    }
    double least = pinery_base_hinge(demand, width, &d_least);
    double most = pinery_base_at_most(least, capacity, width, &d_most);
    *slope = d_least * d_most;
    return most;
}
