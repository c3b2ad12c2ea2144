/* Leaves and the air at their surface. Formulas and sources are in canopy.c. */
#ifndef PINERY_CROP_CANOPY_H
#define PINERY_CROP_CANOPY_H

#include "base/smooth.h"

/* Leaf area of the two layers, m2 of leaf (one side) per m2 of floor. */
struct pinery_crop_leaf_area {
    double lower, upper;
};

/* lower_share: share of the leaf area in the lower half, 0..1. */
struct pinery_crop_leaf_area pinery_crop_canopy_layers(double leaf_area, double lower_share);

/* Heat from a layer of leaves to its air. */
struct pinery_crop_leaf_heat {
    struct pinery_pair flux;        /* W per m2 floor, both sides; a = leaf, b = air */
    struct pinery_pair coefficient; /* W/(m2 K), one side */
    struct pinery_pair resistance;  /* s/m, boundary layer of one side */
};

/* leaf_area: of the layer, one side; air_speed at the leaf [m/s]; width of a leaf [m]. */
struct pinery_crop_leaf_heat pinery_crop_canopy_convect(double leaf_area, double width, double air_speed, double T_leaf,
                                                        double T_air);

/* Speed of the air at the leaf [m/s]: what it is without fans and what the fans add, independent and so added in
 * squares. */
double pinery_crop_canopy_air_speed(double still, double fans);

#endif
