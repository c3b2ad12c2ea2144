/* Gas boiler.
 *
 * Heating value of Dutch gas: 31.65 MJ/m3 net, 35.17 gross (at 0 degC and 101325 Pa). Carbon dioxide 56.4 kg per GJ net
 * (Dutch list of fuels; from memory, unverified; 56.8 was measured in 2003/04 by Heslinga and van Harmelen, TNO 2006).
 *
 *   gas = (heat + case_loss max_power on)/(efficiency + gain)         as heat, on the basis of the efficiency
 *
 * `on` runs smoothly from 0 to 1 over the first 2 % of the load: while it burns its case loses the same at any load.
 *
 * Flue gas, from CH4 + 2 O2 -> CO2 + 2 H2O, 802.3 kJ/mol net and 890.6 gross (enthalpies of formation, any handbook of
 * chemistry), in air with 3.762 N2 to an O2 and a share `excess_air` too much of it; molar heats between 25 and 130
 * degC of 39.2 (CO2), 29.1 (N2), 29.6 (O2) and 33.8 J/(mol K) (water vapour) (gas tables, from memory, unverified).
 * Other natural gases differ by 1 to 2 % per joule. Without a condenser it leaves at
 *
 *   T_dry = 20 degC + (1 - efficiency)/heat of the flue gas,
 *
 * as what is lost goes up the chimney; air comes at 20 degC, its own vapour left out (it would condense some 0.01
 * more). A condenser cools it to T = T_return + approach load, as its area stays when gas and heat become less
 * (practice, no source: at 0.3 of the load the gas is within a few K of the water), and gains
 *
 *   gain = heat (T_dry - T) + condensate (2.501e6 - 2326 T)           on the net value; on the gross 1.111 times less
 *   condensate = 0.018015 (water - dry e_s(T)/(p - e_s(T))), not below 0
 *
 * with e_s the saturation pressure of lib/air. It begins to condense at 59 degC without excess, 57 at 0.15. */
#include "equip/boiler.h"

#include "air/psychro.h"

static const double molar_net = 802.3e3, nitrogen = 3.762, water_mass = 0.018015, air_degC = 20.0;
static const double corner_K = 2.0, corner_water = 0.02, burning = 0.02;

struct pinery_equip_flue_gas pinery_equip_flue_gas(double excess_air) {
    double n2 = 2.0 * nitrogen * (1.0 + excess_air), o2 = 2.0 * excess_air;
    return (struct pinery_equip_flue_gas){.heat = (39.2 + 29.1 * n2 + 29.6 * o2 + 2.0 * 33.8) / molar_net,
                                          .dry = (1.0 + n2 + o2) / molar_net,
                                          .water = 2.0 / molar_net};
}

double pinery_equip_flue_condensate(double excess_air, double T, double pressure, double *slope) {
    struct pinery_equip_flue_gas flue = pinery_equip_flue_gas(excess_air);
    double d_e, e = pinery_air_saturation(T, &d_e), d_over;
    *slope = 0.0;
    if (e > 0.5 * pressure) /* far too warm */
        return 0.0;
    double held = flue.dry * e / (pressure - e), d_held = flue.dry * pressure / (pressure - e) / (pressure - e) * d_e;
    double over = pinery_base_hinge(flue.water - held, corner_water * flue.water, &d_over);
    *slope = -water_mass * d_over * d_held;
    return water_mass * over;
}

/* Net over stated efficiency. */
static double per_basis(const pinery_boiler *boiler) {
    return boiler->basis == 0 ? 1.0 : PINERY_EQUIP_GAS_GROSS / PINERY_EQUIP_GAS_NET;
}

double pinery_equip_flue_temperature(const pinery_boiler *boiler) {
    double lost = 1.0 - boiler->efficiency * per_basis(boiler);
    return air_degC + lost / pinery_equip_flue_gas(boiler->excess_air).heat;
}

struct pinery_pair pinery_equip_condenser_gain(const pinery_boiler *boiler, double T_return, double load,
                                               double pressure) {
    if (!boiler->condenser)
        return (struct pinery_pair){0.0, 0.0, 0.0};
    double T = T_return + boiler->approach * load, d_cooled, d_water;
    double cooled = pinery_base_hinge(pinery_equip_flue_temperature(boiler) - T, corner_K, &d_cooled);
    double water = pinery_equip_flue_condensate(boiler->excess_air, T, pressure, &d_water);
    double liquid = PINERY_AIR_HEAT_VAPOUR - 4186.0, latent = PINERY_AIR_LATENT + liquid * T;
    double heat = pinery_equip_flue_gas(boiler->excess_air).heat, per = 1.0 / per_basis(boiler);
    double by_T = per * (-heat * d_cooled + d_water * latent + water * liquid);
    return (struct pinery_pair){per * (heat * cooled + water * latent), by_T, by_T * boiler->approach};
}

struct pinery_pair pinery_equip_boiler_burn(const pinery_boiler *boiler, double heat, double T_return,
                                            double pressure) {
    double most = boiler->max_power > 0.0 ? boiler->max_power : INFINITY, d_on;
    double on = pinery_base_ramp(heat / (burning * most), &d_on);
    double lost = boiler->max_power * boiler->case_loss, all = heat + lost * on;
    double d_all = 1.0 + lost * d_on / (burning * most);
    struct pinery_pair gain = pinery_equip_condenser_gain(boiler, T_return, heat / most, pressure);
    double per = 1.0 / (boiler->efficiency + gain.value), d_per = -per * per;
    return (struct pinery_pair){all * per, d_all * per + all * d_per * gain.d_b / most, all * d_per * gain.d_a};
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
