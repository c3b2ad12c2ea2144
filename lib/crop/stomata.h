/* Resistance of the stomata to water vapour. Formulas and sources are in stomata.c. */
#ifndef PINERY_CROP_STOMATA_H
#define PINERY_CROP_STOMATA_H

struct pinery_crop_stomata {
    double least; /* s/m, in full light and moist air: 82 (tomato) */
    double dark;  /* s/m, in the dark at 33.6 degC in moist air: 650 (tomato); at 18 degC it is 2.2 times that */
};

/* Resistance and its slopes. */
struct pinery_crop_resistance {
    double value;    /* s/m, of one side of the leaf */
    double d_T_leaf; /* per K */
    double d_e_air;  /* per Pa */
};

/* light: short-wave radiation absorbed by the layer per m2 of its leaf area [W/m2]; e_air [Pa]; co2 [ppm]. */
struct pinery_crop_resistance pinery_crop_stomata_resistance(const struct pinery_crop_stomata *stomata, double light,
                                                             double T_leaf, double e_air, double co2);

#endif
