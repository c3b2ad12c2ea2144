/* Carbon dioxide in the air of a house.
 *
 * Ideal gas: rho = ppm 1e-6 M p/(R T), M = 44.0095 g/mol (IUPAC), R = 8.314462 J/(mol K) (CODATA). Balance of the
 * house, worked out where the flows of air are known: what is dosed, less what the crop takes up, less what leaves with
 * the air.
 *
 * Flue gas: a m3 of Dutch gas makes 1.785 kg (boiler.c) and all its heat, wanted or not. Rates in practice 100 to 200
 * kg/(ha h), which is 56 to 112 m3/(ha h) of gas and 0.5 to 1 MW/ha of heat (practice, from memory, unverified). */
#include "equip/carbon.h"

#include "air/psychro.h"
#include "base/smooth.h"
#include "equip/boiler.h"

double pinery_equip_carbon_per_ppm(double T, double pressure) {
    return 1e-6 * 0.0440095 * pressure / (8.314462 * (T + PINERY_AIR_ZERO_K));
}

double pinery_equip_carbon_dose(double target, double band, double ppm, double *slope) {
    double share = pinery_base_ramp((target - ppm) / band, slope);
    *slope /= -band;
    return share;
}

struct pinery_equip_flue pinery_equip_carbon_flue(double dose, double efficiency, double heating_value) {
    double gas = dose / pinery_equip_gas_co2();
    return (struct pinery_equip_flue){gas, gas * heating_value * efficiency};
}
