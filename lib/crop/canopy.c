/* Boundary layer of leaves in mixed free and forced convection: Stanghellini 1987, thesis Wageningen,
 *
 *   Nu = 0.37 (Gr + 6.92 Re^2)^(1/4),   Gr = g |T_leaf - T_air| l^3 / (T nu^2),   Re = v l / nu,   h = Nu lambda / l
 *
 * per side of a leaf of width l. The sensible heat of a layer leaves through both sides: 2 LAI h (T_leaf - T_air). The
 * boundary-layer resistance is r_b = rho cp / h. Air at 20 degC: nu = 15.1e-6 m2/s, lambda = 0.0257 W/(m K), rho cp =
 * 1206 J/(m3 K). |dT| is rounded over 0.05 K. */
#include "crop/canopy.h"

#include "air/psychro.h"

static const double gravity = 9.81, nu = 15.1e-6, lambda = 0.0257, air_heat = 1206.0;
static const double round_K = 0.05;

struct pinery_crop_leaf_area pinery_crop_canopy_layers(double leaf_area, double lower_share) {
    return (struct pinery_crop_leaf_area){leaf_area * lower_share, leaf_area * (1.0 - lower_share)};
}

struct pinery_crop_leaf_heat pinery_crop_canopy_convect(double leaf_area, double width, double air_speed, double T_leaf,
                                                        double T_air) {
    double dT = T_leaf - T_air, per_T = 1.0 / (T_air + PINERY_AIR_ZERO_K);
    double d_abs, difference = pinery_base_abs_power(dT, 1.0, round_K, &d_abs);
    double grashof_per_K = gravity / (nu * nu) * (width * width * width) * per_T,
           reynolds = air_speed * width * (1.0 / nu);
    double grashof = grashof_per_K * difference, mixed = grashof + 6.92 * reynolds * reynolds;
    double h = 0.37 * lambda / width * sqrt(sqrt(mixed)), per_mixed = 0.25 * h / mixed;
    double h_leaf = per_mixed * grashof_per_K * d_abs, h_air = -h_leaf - per_mixed * grashof * per_T;
    double both = 2.0 * leaf_area, per_h = 1.0 / h, r = air_heat * per_h;
    return (struct pinery_crop_leaf_heat){.flux = {both * h * dT, both * (h + h_leaf * dT), both * (-h + h_air * dT)},
                                          .coefficient = {h, h_leaf, h_air},
                                          .resistance = {r, -r * per_h * h_leaf, -r * per_h * h_air}};
}

double pinery_crop_canopy_air_speed(double still, double fans) {
    return sqrt(still * still + fans * fans);
}
