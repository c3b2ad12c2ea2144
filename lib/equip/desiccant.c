/* Liquid desiccant: air that meets brine goes a share of the way to the humidity that the brine holds air at:
 *
 *   water = G effectiveness max(0, x - x_eq),   x_eq the humidity ratio at `equilibrium` % of saturation at T + warmer
 *
 * (effectiveness of a packed bed in humidity, as in the desiccant chapters of the ASHRAE Handbook). Saturated solutions
 * hold air at 11.3 % (lithium chloride) and 33.1 % (magnesium chloride) at 20 degC (Greenspan 1977, J. Res. NBS
 * 81A:89); brines in use are thinner, 35 to 50 % (from memory, unverified). The latent heat stays with air and brine in
 * the house; boiling the water off takes 3.3 to 5 MJ/kg in open regenerators (thermal performance 0.5 to 0.75, from
 * memory, unverified). */
#include "equip/dehumidifier.h"

#include "air/psychro.h"
#include "base/smooth.h"

struct pinery_equip_quantity pinery_equip_absorb(const pinery_desiccant *unit, double dry_air, double pressure,
                                                 double T, double x) {
    double d_e, d_over, share = 0.01 * unit->equilibrium;
    double e = share * pinery_air_saturation(T + unit->warmer, &d_e), dry = pressure - e;
    double held = PINERY_AIR_RATIO * e / dry, d_held = PINERY_AIR_RATIO * pressure * share * d_e / (dry * dry);
    double over = pinery_base_hinge(x - held, 1e-4, &d_over), most = dry_air * unit->effectiveness;
    return (struct pinery_equip_quantity){most * over, -most * d_over * d_held, most * d_over, 0.0};
}
