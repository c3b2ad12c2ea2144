/* Lamps: where every watt goes. Formulas and sources are in lamps.c. */
#ifndef PINERY_EQUIP_LAMPS_H
#define PINERY_EQUIP_LAMPS_H

#include <stdbool.h>

struct pinery_equip_lamp {
    double efficacy;    /* umol of light (400 to 700 nm) per J of electricity, ballast or driver included */
    double photons;     /* umol per J of that light: 5.0 high-pressure sodium, 5.4 red, 4.7 white */
    double infrared;    /* share of the electricity that leaves as near infrared */
    double long_wave;   /* share that leaves as long-wave radiation from the warm lamp */
    double ballast;     /* share lost in the ballast or driver */
    double ballast_out; /* share of the ballast's loss that stays outside the house, 0 when it hangs inside */
};

/* W/m2 of floor; electric = light + infrared + long_wave + convective + outside, exactly. */
struct pinery_equip_lamp_power {
    double electric;
    double light;       /* 400 to 700 nm */
    double infrared;    /* near infrared */
    double long_wave;   /* thermal */
    double convective;  /* to the air, the ballast's inside share with it */
    double outside;     /* ballast outside the house */
    double photon_flux; /* umol/(m2 s) */
};

/* Whether the shares of a lamp leave something for convection that is not negative. */
bool pinery_equip_lamp_possible(const struct pinery_equip_lamp *lamp);

/* installed: electric power [W/m2], ballast included; dim: 0..1. */
struct pinery_equip_lamp_power pinery_equip_lamp_power(const struct pinery_equip_lamp *lamp, double installed,
                                                       double dim);

/* Electric power [W/m2] that gives a photon flux [umol/(m2 s)]. */
double pinery_equip_lamp_installed(const struct pinery_equip_lamp *lamp, double photon_flux);

#endif
