/* Water vapour to and from wet surfaces, and what becomes of the film. Formulas and sources are in moisture.c. */
#ifndef PINERY_HOUSE_MOISTURE_H
#define PINERY_HOUSE_MOISTURE_H

#include "base/smooth.h"

/* Vapour from air to a surface [kg/(m2 s)], condensation positive, and its slopes. */
struct pinery_house_vapour {
    double flux;
    double d_coefficient; /* per W/(m2 K) of the heat transfer coefficient */
    double d_e_air;       /* per Pa */
    double d_T_surface;   /* per K */
    double d_water;       /* per kg/m2 held */
};

/* h: heat transfer coefficient [W/(m2 K)] between that air and that surface; e_air, pressure: [Pa]; water: film held
 * [kg/m2]; wetted: the film [kg/m2] from which the whole surface evaporates. A dry surface only gains. */
struct pinery_house_vapour pinery_house_vapour_to_surface(double h, double e_air, double T_surface, double pressure,
                                                          double water, double wetted);

/* Water that leaves a film [kg/(m2 s)]: part drips on what lies below, the rest runs to the gutter. */
struct pinery_house_run_off {
    double drip, gutter;
    double d_drip, d_gutter; /* per kg/m2 held */
};

/* Film above `capacity` [kg/m2] leaves with the time constant `time` [s]; `drip_share` 0..1. Zero below 0.9 capacity.
 */
struct pinery_house_run_off pinery_house_run_off(double water, double capacity, double time, double drip_share);

#endif
