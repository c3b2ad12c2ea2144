/* An index of growth by light, for comparing; no forecast of yield. Formulas and sources are in growth.c. */
#ifndef PINERY_CROP_GROWTH_H
#define PINERY_CROP_GROWTH_H

/* Gross uptake [kg CO2 per m2 of floor and second] by three answers to light: leaves that are full of light early, as
 * stated, and never. */
struct pinery_crop_growth {
    double early, mid, even;
};

/* What of the index does not hang on light: the canopy as it stands. */
struct pinery_crop_growth_canopy {
    double extinction, leaf_uptake;
    double deep;      /* share of the light that is left below all leaves */
    double per_light; /* e k, of a mol of photons */
};

/* extinction of PAR by leaf area; leaf_uptake: most that a leaf takes up [kg/(m2 s)], above 0. */
struct pinery_crop_growth_canopy pinery_crop_growth_canopy(double leaf_area, double extinction, double leaf_uptake);

/* light: photons on top of the canopy [mol/(m2 s)]. */
struct pinery_crop_growth pinery_crop_growth_in(const struct pinery_crop_growth_canopy *canopy, double light);

/* Both in one. */
struct pinery_crop_growth pinery_crop_growth_index(double light, double leaf_area, double extinction,
                                                   double leaf_uptake);

#endif
