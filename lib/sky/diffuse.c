/* Diffuse share of the hourly global radiation as a function of the clearness index k.
 * Sources are named at each model in the header. Two widely copied scripts misprint Reindl's 1.020 as 0.1020. */
#include "sky/diffuse.h"

#include <math.h>

double pinery_sky_erbs(double k) {
    if (!(k > 0.22))
        return 1.0 - 0.09 * fmax(k, 0.0);
    if (k > 0.80)
        return 0.165;
    return 0.9511 + k * (-0.1604 + k * (4.388 + k * (-16.638 + k * 12.336)));
}

double pinery_sky_reindl_1(double k) {
    if (!(k > 0.3))
        return fmin(1.0, 1.020 - 0.248 * fmax(k, 0.0));
    if (k >= 0.78)
        return 0.147;
    return 1.45 - 1.67 * k;
}

double pinery_sky_reindl_2(double k, double sin_elevation) {
    if (!(k > 0.3))
        return fmin(1.0, 1.020 - 0.254 * fmax(k, 0.0) + 0.0123 * sin_elevation);
    if (k >= 0.78)
        return fmin(1.0, fmax(0.1, 0.486 * k - 0.182 * sin_elevation));
    return fmin(0.97, fmax(0.1, 1.400 - 1.749 * k + 0.177 * sin_elevation));
}

double pinery_sky_orgill_hollands(double k) {
    if (!(k >= 0.35))
        return 1.0 - 0.249 * fmax(k, 0.0);
    if (k > 0.75)
        return 0.177;
    return 1.557 - 1.84 * k;
}

double pinery_sky_diffuse_fraction(enum pinery_sky_diffuse_model model, double clearness, double sin_elevation) {
    switch (model) {
    case PINERY_SKY_DIFFUSE_reindl_1:
        return pinery_sky_reindl_1(clearness);
    case PINERY_SKY_DIFFUSE_reindl_2:
        return pinery_sky_reindl_2(clearness, sin_elevation);
    case PINERY_SKY_DIFFUSE_orgill_hollands:
        return pinery_sky_orgill_hollands(clearness);
    default:
        return pinery_sky_erbs(clearness);
    }
}

void pinery_sky_split(enum pinery_sky_diffuse_model model, double global, double sin_elevation,
                      double extraterrestrial_normal, double *beam_normal, double *diffuse) {
    *beam_normal = 0.0;
    *diffuse = global;
    if (!(sin_elevation > 0.0) || !(global > 0.0))
        return;
    double clearness = global / (extraterrestrial_normal * sin_elevation);
    double share = pinery_sky_diffuse_fraction(model, clearness, sin_elevation);
    *beam_normal = fmin((1.0 - share) * global / sin_elevation, extraterrestrial_normal);
    *diffuse = global - *beam_normal * sin_elevation;
}
