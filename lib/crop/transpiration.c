/* Transpiration of a layer of leaves from the temperature of the leaf itself: Stanghellini 1987, thesis Wageningen,
 *
 *   E = 2 LAI rho cp/(gamma L) (e_sat(T_leaf) - e_air)/(r_b + r_s)
 *
 * with LAI the leaf area of one side, both sides transpiring, r_b and r_s the resistances of one side. With gamma =
 * cp p/(0.622 L) and rho = p/(Rd T) the factor is rho cp/(gamma L) = 1/(Rv T), T of the air [K]. Heat and vapour take
 * the same r_b, as there (Lewis' factor 0.92 on r_b would make 1 % of E at night and 3 to 5 % by day).
 *
 * At a deficit below zero E goes to zero over 10 Pa. */
#include "crop/transpiration.h"

#include "air/psychro.h"

struct pinery_crop_vapour pinery_crop_transpiration_at(double leaf_area, struct pinery_pair boundary,
                                                       struct pinery_crop_resistance stomata, double dry_share,
                                                       double deficit, double d_sat, double T_air) {
    double d_positive, positive = pinery_base_hinge(deficit, 10.0, &d_positive);
    double per_T = 1.0 / (T_air + PINERY_AIR_ZERO_K), per_r = 1.0 / (boundary.value + stomata.value);
    double per_Pa = (2.0 / PINERY_AIR_GAS_VAPOUR) * leaf_area * dry_share * per_T * per_r;
    double flux = per_Pa * positive, by_r = -flux * per_r;
    return (struct pinery_crop_vapour){.flux = flux,
                                       .d_T_leaf =
                                           per_Pa * d_positive * d_sat + by_r * (boundary.d_a + stomata.d_T_leaf),
                                       .d_T_air = -flux * per_T + by_r * boundary.d_b,
                                       .d_e_air = -per_Pa * d_positive + by_r * stomata.d_e_air};
}

struct pinery_crop_vapour pinery_crop_transpiration(double leaf_area, struct pinery_pair boundary,
                                                    struct pinery_crop_resistance stomata, double dry_share,
                                                    double T_leaf, double T_air, double e_air) {
    double d_sat, deficit = pinery_air_saturation(T_leaf, &d_sat) - e_air;
    return pinery_crop_transpiration_at(leaf_area, boundary, stomata, dry_share, deficit, d_sat, T_air);
}
