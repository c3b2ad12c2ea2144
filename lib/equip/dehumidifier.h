/* Condensing dehumidifier and liquid desiccant: water taken out of the air of a house. Formulas and sources are in
 * dehumidifier.c and desiccant.c. */
#ifndef PINERY_EQUIP_DEHUMIDIFIER_H
#define PINERY_EQUIP_DEHUMIDIFIER_H

#include "pinery/devices.h"

/* A quantity with its slopes by the temperature and humidity ratio of the air, and by the temperature of what takes the
 * heat where that is not the air. */
struct pinery_equip_quantity {
    double value, d_T, d_x, d_sink;
};

/* One unit at full duty. Heat that goes over the cold coil comes out of the warm one, with the compressor's power. */
struct pinery_equip_condensing {
    struct pinery_equip_quantity water;   /* kg/s that condenses and drains, at the coil's temperature */
    struct pinery_equip_quantity cooling; /* W over the cold coil, latent and sensible */
    struct pinery_equip_quantity power;   /* W, compressor; the fan not with it */
    struct pinery_equip_quantity surface; /* degC of the cold coil */
};

/* dry_air: kg/s past the coil; pressure [Pa]; sink: degC of the air or the tank that takes the heat. With to_air the
 * sink is the air itself, and its slopes are in d_T. */
struct pinery_equip_condensing pinery_equip_condense(const pinery_dehumidifier *unit, double dry_air, double pressure,
                                                     double T, double x, double sink, bool to_air);

/* Water [kg/s] that the brine of one unit takes up at full duty. */
struct pinery_equip_quantity pinery_equip_absorb(const pinery_desiccant *unit, double dry_air, double pressure,
                                                 double T, double x);

#endif
