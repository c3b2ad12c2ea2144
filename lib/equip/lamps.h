/* Lamps: where every watt goes. Formulas and sources are in lamps.c. */
#ifndef PINERY_EQUIP_LAMPS_H
#define PINERY_EQUIP_LAMPS_H

#include "pinery/house.h"

/* W/m2 of floor; electric = light + infrared + long_wave + convective, exactly. */
struct pinery_equip_lamp_power {
    double electric;
    double light;       /* 400 to 700 nm */
    double infrared;    /* near infrared */
    double long_wave;   /* thermal, from the warm lamp */
    double convective;  /* to the air, ballast or driver with it */
    double body;        /* what warms the lamp: long_wave + convective */
    double photon_flux; /* umol/(m2 s) */
};

/* output: share of full output, 0..1. */
struct pinery_equip_lamp_power pinery_equip_lamp_run(const pinery_lamp *lamp, double output);

/* Electric power [W/m2] that gives a photon flux [umol/(m2 s)]. */
double pinery_equip_lamp_installed(const pinery_lamp *lamp, double photon_flux);

/* Share of the electricity that leaves as light, from the efficacy [umol/J electric] and the photons in a joule of its
 * light: 5.0 high-pressure sodium, 5.4 red, 4.7 white. */
double pinery_equip_lamp_light_share(double efficacy, double per_joule);

#endif
