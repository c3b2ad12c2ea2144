/* Fans by the affinity laws, as in any handbook: at share n of full speed flow goes with n, pressure with n^2, power
 * with n^3; the motor's loss is taken to follow.
 *
 * Air speed at the leaf goes with the flow per area, since the speed of a jet goes with the flow of its fan: 36.6
 * m3/(m2 h) (2 cfm per square foot) of circulation makes 0.25 to 0.5 m/s (50 to 100 ft/min), both from the horizontal
 * air flow advice of the University of Connecticut, so 0.375/(36.6/3600) = 37 m/s per m3/(m2 s). */
#include "equip/fans.h"

struct pinery_equip_fan_output pinery_equip_fan_run(const pinery_fan *fan, double speed) {
    double n = speed > 0.0 ? speed : 0.0, full = fan->flow / fan->area, draw = fan->power / fan->area;
    return (struct pinery_equip_fan_output){
        .flow = full * n, .d_flow = full, .power = draw * n * n * n, .d_power = 3.0 * draw * n * n};
}

double pinery_equip_fan_leaf_speed(double flow) {
    return 0.375 / (36.6 / 3600.0) * flow;
}
