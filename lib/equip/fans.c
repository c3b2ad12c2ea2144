/* Fans by the affinity laws, as in any handbook: at share n of full speed flow goes with n, pressure with n^2, power
 * with n^3. The motor's loss is taken to follow, but for a standby draw that runs over into it: power = full n^3 +
 * standby (1 - n^3).
 *
 * Air speed at the leaf goes with the flow per area, since the speed of a jet goes with the flow of its fan: 36.6
 * m3/(m2 h) (2 cfm per square foot) of circulation makes 0.25 to 0.5 m/s (50 to 100 ft/min), both from the horizontal
 * air flow advice of the University of Connecticut, so 0.375/(36.6/3600) = 37 m/s per m3/(m2 s). */
#include "equip/fans.h"

struct pinery_equip_fan_output pinery_equip_fan_run(const struct pinery_equip_fan *fan, double speed) {
    double n = speed > 0.0 ? speed : 0.0, cube = n * n * n;
    double full = fan->per_area * fan->flow, above_standby = fan->per_area * (fan->power - fan->standby);
    return (struct pinery_equip_fan_output){.flow = full * n,
                                            .power = fan->per_area * fan->standby + above_standby * cube,
                                            .speed = fan->leaf_speed * full * n,
                                            .d_flow = full,
                                            .d_power = 3.0 * above_standby * n * n,
                                            .d_speed = fan->leaf_speed * full};
}
