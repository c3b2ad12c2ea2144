/* Air through vents, cracks and the leaks of the cover. Formulas and sources are in vents.c. */
#ifndef PINERY_HOUSE_VENTS_H
#define PINERY_HOUSE_VENTS_H

#include "base/smooth.h"

/* Volume flow and its slopes. */
struct pinery_house_draught {
    double value, d_in, d_out; /* m3/s or m3/(m2 s) as the function says, and per K */
    double d_lee, d_wind;      /* per unit of opening of each side */
};

/* Through one opening [m3/s] that breathes both ways: area [m2], height of the opening [m], discharge and wind
 * coefficients; wind speed [m/s]. The slopes by opening are 0. */
struct pinery_house_draught pinery_house_opening_flow(double area, double height, double discharge, double wind_effect,
                                                      double T_in, double T_out, double wind);

/* The roof vents of a house, per m2 of floor. Each side has the same flaps. */
struct pinery_house_vents {
    double flap_area;        /* m2 of flap per m2 of floor, one side */
    double flap_length;      /* m, from hinge to free edge */
    double full_angle;       /* rad, at opening 1 */
    double discharge;        /* Cd, 0.644 */
    double wind_effect_lee;  /* Cw of the lee side, 0.03 */
    double wind_effect_wind; /* Cw of the wind side, 0.09 */
};

/* Free area over flap area at an opening 0..1 of the way to the full angle, by the chord the free edge moves through.
 */
double pinery_house_vent_share(double opening, double full_angle, double *slope);

/* Outside air through the vents [m3/(m2 floor s)]; openings 0..1. */
struct pinery_house_draught pinery_house_vent_flow(const struct pinery_house_vents *vents, double lee, double windward,
                                                   double T_in, double T_out, double wind);

/* Outside air through the leaks of a closed house [m3/(m2 floor s)]; leakage [m3/(m2 floor s) per m/s of wind], 1e-4
 * for a sound Venlo house. a = inside, b = outside. */
struct pinery_pair pinery_house_leakage(double leakage, double T_in, double T_out, double wind);

#endif
