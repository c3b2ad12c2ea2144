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

/* The same in parts, where a face is looked at from more than one side: the vapour that goes with a coefficient of 1
 * W/(m2 K) and a pull of 1 Pa, and the pull itself. */
double pinery_house_vapour_by_heat(double pressure);

/* Pa; excess: vapour pressure of the air over that at the face; share: of the face that a film wets. All of the excess
 * where it condenses, the share of it where it evaporates; the change is rounded over 3 Pa. */
struct pinery_house_pull {
    double value, by_excess, by_share;
};
static inline struct pinery_house_pull pinery_house_vapour_pull(double excess, double share) {
    double d_gain, gain = pinery_base_hinge(excess, 3.0, &d_gain), loss = gain - excess;
    return (struct pinery_house_pull){gain - share * loss, d_gain + share * (1.0 - d_gain), -loss};
}

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
