/* Carbon dioxide that a canopy takes up. Formulas and sources are in assimilation.c. */
#ifndef PINERY_CROP_ASSIMILATION_H
#define PINERY_CROP_ASSIMILATION_H

/* Uptake [kg CO2 per m2 of floor and second] and its slopes. */
struct pinery_crop_uptake {
    double value, d_light, d_co2, d_T;
};

/* Gross uptake: light: PAR on top of the canopy [W/m2]; co2 [ppm]; extinction of PAR by leaf area. */
struct pinery_crop_uptake pinery_crop_assimilation(double light, double leaf_area, double extinction, double co2,
                                                   double T_leaf);

/* Efficiency in low light [kg CO2 per J of PAR taken up]. */
double pinery_crop_efficiency(double co2, double T_leaf);

/* Carbon dioxide that stops just short of uptake at this leaf temperature [ppm]. */
double pinery_crop_compensation(double T_leaf, double *slope);

/* Breathed out by the crop, day and night [kg CO2 per m2 of floor and second]. */
double pinery_crop_respiration(double leaf_area, double T_leaf, double *slope);

#endif
