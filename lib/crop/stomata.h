/* Resistance of the stomata to water vapour. Formulas and sources are in stomata.c. */
#ifndef PINERY_CROP_STOMATA_H
#define PINERY_CROP_STOMATA_H

/* Resistance and its slopes. */
struct pinery_crop_resistance {
    double value;    /* s/m, of one side of the leaf */
    double d_T_leaf; /* per K */
    double d_e_air;  /* per Pa */
};

/* least: in full light and moist air [s/m]; dark: in the dark and in moist air at 18 degC [s/m]; factor: multiplies the
 * conductance; light: short-wave radiation absorbed by the layer per m2 of its leaf area [W/m2]; e_air [Pa]; co2 [ppm].
 * The first three are resistance_min, resistance_night and transpiration_factor of a crop; with the factor 0 the value
 * is infinite and the slopes are 0. */
struct pinery_crop_resistance pinery_crop_stomata_resistance(double least, double dark, double factor, double light,
                                                             double T_leaf, double e_air, double co2);

/* The same with what hangs on the crop alone worked out before, for one vapour deficit from leaf to air [Pa] and its
 * slope by the temperature of the leaf [Pa/K]. */
struct pinery_crop_stomata {
    double light_dark; /* c1, W/m2 */
    double least;      /* s/m, over the factor; infinite where that is 0 */
};
struct pinery_crop_stomata pinery_crop_stomata_of(double least, double dark, double factor);
struct pinery_crop_resistance pinery_crop_stomata_at(const struct pinery_crop_stomata *stomata, double light,
                                                     double T_leaf, double deficit, double d_sat, double co2);

#endif
