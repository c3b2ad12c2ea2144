/* Condensation and evaporation by the analogy of heat and mass transfer.
 *
 *   g = h / (rho cp Le^(2/3)) (e_air - e_sat(T_surface)) / (Rv T)      [kg/(m2 s)]
 *
 * Chilton and Colburn 1934, as in any handbook of heat transfer (ASHRAE Fundamentals, chapter on mass transfer). With
 * rho = p/(Rd T) the temperature cancels: rho Rv T = p Rv/Rd = p/0.622, so
 *
 *   g = 0.622 h (e_air - e_sat) / (p cp Le^(2/3))
 *
 * Le = a/D = 2.14e-5/2.42e-5 of air at 20 degC (D after Montgomery 1947; from memory, unverified), Le^(2/3) = 0.921.
 * At sea level 0.622/(p cp Le^(2/3)) = 6.63e-9, against the 6.4e-9 of Stanghellini 1987.
 *
 * Evaporation is limited to the wetted share of the surface, which goes from 0 at no film to 1 at `wetted`; below that
 * a film stands as drops with dry surface between them (usual 0.005 to 0.02 kg/m2; common practice, no source).
 *
 * A film over `capacity` drains with a time constant. Glass holds about 0.05 kg/m2, the order of the 0.1 mm film that
 * surface tension keeps on a plate. The drip share of a steep roof is near 0, of a cloth 1 (common practice, no
 * source). */
#include "house/moisture.h"

#include "air/psychro.h"

static const double lewis = 0.921; /* Le^(2/3) */

double pinery_house_vapour_by_heat(double pressure) {
    return PINERY_AIR_RATIO / (pressure * PINERY_AIR_HEAT_DRY * lewis);
}

struct pinery_house_vapour pinery_house_vapour_to_surface(double h, double e_air, double T_surface, double pressure,
                                                          double water, double wetted) {
    double d_sat, d_share, excess = e_air - pinery_air_saturation(T_surface, &d_sat);
    double share = pinery_base_ramp(water / wetted, &d_share), by_heat = pinery_house_vapour_by_heat(pressure);
    struct pinery_house_pull pull = pinery_house_vapour_pull(excess, share);
    double slope = h * by_heat * pull.by_excess;
    return (struct pinery_house_vapour){.flux = h * by_heat * pull.value,
                                        .d_coefficient = by_heat * pull.value,
                                        .d_e_air = slope,
                                        .d_T_surface = -slope * d_sat,
                                        .d_water = h * by_heat * pull.by_share * d_share / wetted};
}

struct pinery_house_run_off pinery_house_run_off(double water, double capacity, double time, double drip_share) {
    double slope, over = pinery_base_hinge(water - capacity, 0.1 * capacity, &slope);
    double rate = over / time, d_rate = slope / time;
    return (struct pinery_house_run_off){.drip = drip_share * rate,
                                         .gutter = (1.0 - drip_share) * rate,
                                         .d_drip = drip_share * d_rate,
                                         .d_gutter = (1.0 - drip_share) * d_rate};
}
