/* A law: a position that follows temperature and humidity between two orders.
 *
 *   p = 1 - (1 - low)(1 - by_temperature r_T)(1 - by_humidity r_H),   then at most `high`
 *
 * r_T and r_H are smooth ramps between start and full, flat outside. The limit is rounded over at most +-0.02, and only
 * where it can bind, so that p is `low` exactly when neither ramp has begun. */
#include "base/smooth.h"
#include "control/orders.h"

double pinery_control_law(const pinery_law *law, double T_degC, double humidity_0_1, double *slope_T, double *slope_H) {
    *slope_T = *slope_H = 0.0;
    if (law->high <= law->low) {
        return law->high;
    }
    if (law->by_temperature == 0.0 && law->by_humidity == 0.0) {
        return law->low;
    }
    double by_T = 0.0, by_H = 0.0, d_T = 0.0, d_H = 0.0;
    if (law->by_temperature != 0.0) {
        double per_width = 1.0 / (law->temperature_full - law->temperature_start);
        by_T = law->by_temperature * pinery_base_ramp((T_degC - law->temperature_start) * per_width, &d_T);
        d_T *= law->by_temperature * per_width;
    }
    if (law->by_humidity != 0.0) {
        double per_width = 1.0 / (law->humidity_full - law->humidity_start);
        by_H = law->by_humidity * pinery_base_ramp((humidity_0_1 - law->humidity_start) * per_width, &d_H);
        d_H *= law->by_humidity * per_width;
    }
    double shut = 1.0 - law->low;
    double p = 1.0 - shut * (1.0 - by_T) * (1.0 - by_H);
    double widest = 1.0 - shut * (1.0 - law->by_temperature) * (1.0 - law->by_humidity);
    double slope = 1.0;
    if (widest > law->high + 1e-9) {
        double corner = 0.5 * (law->high - law->low);
        p = pinery_base_at_most(p, law->high, corner < 0.02 ? corner : 0.02, &slope);
    }
    *slope_T = slope * shut * d_T * (1.0 - by_H);
    *slope_H = slope * shut * d_H * (1.0 - by_T);
    return p;
}
