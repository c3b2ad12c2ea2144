/* Outside air brought into the house on purpose.
 *
 * Coil: outside air is warmed to `supply_below` under the house air, never cooled, with no more than the coil's power:
 *
 *   rise = min(coil_power / carries, max(0, T_house - supply_below - T_outside)),   heat = carries rise
 *
 * Recovery of heat, both flows of equal dry mass; effectiveness as EN 308 and ASHRAE Standard 84 define it:
 *
 *   T_supply = T_out + sensible (T_house - T_out)      x_supply = x_out + latent (x_house - x_out)
 *
 * The air that leaves falls as far as the air that comes rises. A bypass holds it at `frost`, so the rise is at most
 * T_house - frost. What condenses in the air that leaves warms the plates and raises the effectiveness; that is left
 * out, as is fog where both airs are near saturation (its heat is in the balance all the same). Corners are rounded
 * over half a kelvin. */
#include "equip/outside_air.h"

#include "base/smooth.h"

static const double corner_K = 0.5;

double pinery_equip_coil_rise(const pinery_duct *duct, double carries, double T_house, double T_outside,
                              double *slope) {
    *slope = 0.0;
    if (!(carries > 0.0) || !(duct->coil_power > 0.0))
        return 0.0;
    double d_lack, d_most, most = duct->coil_power / carries, corner = most < 2.0 * corner_K ? 0.5 * most : corner_K;
    double lack = pinery_base_hinge(T_house - duct->supply_below - T_outside, corner, &d_lack);
    double rise = pinery_base_at_most(lack, most, corner, &d_most);
    *slope = d_lack * d_most;
    return rise;
}

struct pinery_equip_supply pinery_equip_recovered(const pinery_recovery *unit, double T_house, double x_house,
                                                  double T_outside, double x_outside) {
    double d_room, d_over, room = pinery_base_hinge(T_house - unit->frost, corner_K, &d_room);
    double rise = unit->sensible * (T_house - T_outside);
    double over = pinery_base_hinge(rise - room, corner_K, &d_over);
    return (struct pinery_equip_supply){.T = T_outside + rise - over,
                                        .x = x_outside + unit->latent * (x_house - x_outside),
                                        .T_by_T = unit->sensible * (1.0 - d_over) + d_over * d_room,
                                        .x_by_x = unit->latent};
}
