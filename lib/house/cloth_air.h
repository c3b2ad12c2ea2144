/* Air exchanged through, between and round the cloths. Formulas and sources are in cloth_air.c.
 *
 * All exchanges are two-way volume flows [m3/(m2 s)]: as much goes up as comes down. a is the air below, b the air
 * above. */
#ifndef PINERY_HOUSE_CLOTH_AIR_H
#define PINERY_HOUSE_CLOTH_AIR_H

#include "base/smooth.h"

/* Buoyant exchange through an opening in a level plane; the first is the default. */
enum pinery_house_slit_law { PINERY_HOUSE_SLIT_MIGUEL, PINERY_HOUSE_SLIT_EPSTEIN };

/* Exchange per m2 of covered plane through the fabric, driven by the temperatures of the air below and above [degC].
 * K_s: [m/(s K^0.66)], 0.05e-3 (tight film) to 0.5e-3 (open knitted). */
struct pinery_pair pinery_house_fabric_exchange(double K_s, double T_below, double T_above);

/* Superficial velocity [m/s] through a porous cloth under a pressure difference dp [Pa], with the sign of dp.
 * permeability [m2]; inertia, dimensionless; thickness [m]; density [kg/m3]. slope: per Pa. */
double pinery_house_fabric_velocity(double dp, double permeability, double inertia, double thickness, double density,
                                    double *slope);

/* What the fabric sets against the air, Pa s/m and Pa s2/m2; and, of a plane of which it covers the share `drawn`, the
 * resistance 1/a^2 by the orifice of Cd 0.6 and a m2 per m2 that lets through as much under a pressure difference above
 * 0. */
struct pinery_house_fabric {
    double linear, square;
};
struct pinery_house_fabric pinery_house_fabric_drag(double permeability, double inertia, double thickness,
                                                    double density);
double pinery_house_fabric_resistance(struct pinery_house_fabric drag, double drawn, double dp, double density);

/* Permeability [m2] and inertia factor of a woven or knitted cloth of that porosity (share of holes, 0..1). */
double pinery_house_fabric_permeability(double porosity);
double pinery_house_fabric_inertia(double porosity);

struct pinery_house_exchange {
    double value, d_below, d_above; /* m3/(m2 s), and per K */
    double d_open;                  /* per unit of the open share */
};

/* Exchange per m2 of the whole plane through slits `width` metres wide that leave the share `open` (0..1) of it free.
 * Only air that is warmer below exchanges. At open = 1 the two airs are one: the exchange is large whatever the
 * temperatures. */
struct pinery_house_exchange pinery_house_slit_exchange(enum pinery_house_slit_law law, double open, double width,
                                                        double T_below, double T_above);

/* The same through the gaps `width` metres wide that a drawn cloth leaves along its edges, `share` of the plane: the
 * part by buoyancy alone. */
struct pinery_pair pinery_house_edge_exchange(enum pinery_house_slit_law law, double share, double width,
                                              double T_below, double T_above);

/* The same in two steps, for openings between the same two airs: the speed over an opening is the buoyancy of its two
 * airs [m/s per m^(1/2)], none when they are stable, times the root of its width. */
struct pinery_pair pinery_house_buoyancy(enum pinery_house_slit_law law, double T_below, double T_above);
struct pinery_house_exchange pinery_house_slit_by(struct pinery_pair buoyancy, double open, double width);

/* The temperature dry air would need to be as light as this air [degC]; a = temperature, b = vapour pressure [Pa] in
 * the slopes. Put it in place of T to let humidity weigh in the buoyancy. */
struct pinery_pair pinery_house_virtual_temperature(double T, double vapour_pressure, double pressure);

#endif
