/* Water that a layer of leaves gives to its air. Formulas and sources are in transpiration.c. */
#ifndef PINERY_CROP_TRANSPIRATION_H
#define PINERY_CROP_TRANSPIRATION_H

#include "base/smooth.h"
#include "crop/stomata.h"

/* kg/(m2 floor s), from leaf to air, and its slopes. Never negative: dew on the leaf is condensation, not
 * transpiration. */
struct pinery_crop_vapour {
    double flux;
    double d_T_leaf, d_T_air, d_e_air;
};

/* leaf_area: of the layer, one side; boundary: boundary-layer resistance of one side [s/m], a = leaf, b = air; stomata:
 * one side [s/m]; dry_share: share of the leaf that no film of water covers (1 when dry). */
struct pinery_crop_vapour pinery_crop_transpiration(double leaf_area, struct pinery_pair boundary,
                                                    struct pinery_crop_resistance stomata, double dry_share,
                                                    double T_leaf, double T_air, double e_air);

/* The same for one vapour deficit from leaf to air [Pa] and its slope by the temperature of the leaf [Pa/K]. */
struct pinery_crop_vapour pinery_crop_transpiration_at(double leaf_area, struct pinery_pair boundary,
                                                       struct pinery_crop_resistance stomata, double dry_share,
                                                       double deficit, double d_sat, double T_air);

#endif
