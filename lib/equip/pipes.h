/* Heating pipes. Formulas and sources are in pipes.c. */
#ifndef PINERY_EQUIP_PIPES_H
#define PINERY_EQUIP_PIPES_H

#include "base/smooth.h"

/* Convection from pipe to air; the first is the default. */
enum pinery_equip_pipe_law { PINERY_EQUIP_PIPE_NAWROCKI, PINERY_EQUIP_PIPE_DEZWART };

/* Heat to the air [W per m of pipe]; a = pipe, b = air [degC]; outer diameter [m]. */
struct pinery_pair pinery_equip_pipe_convect(enum pinery_equip_pipe_law law, double diameter, double T_pipe,
                                             double T_air);

/* Heat by radiation to surroundings at T_around [W per m], for a pipe seen by itself; the house uses its long-wave
 * exchange with the area below instead. */
struct pinery_pair pinery_equip_pipe_radiate(double diameter, double T_pipe, double T_around);

/* Outer surface [m2 per m]. */
double pinery_equip_pipe_area(double diameter);

/* Heat held by steel and water [J/(m K)]; wall thickness [m]. */
double pinery_equip_pipe_capacity(double diameter, double wall);

/* Flow and return temperature of a circuit whose mean is T_mean and that gives off `heat` [W/m2] with `flow` [kg/(m2
 * s)]. */
struct pinery_equip_spread {
    double supply, back;
    double d_heat; /* of the supply, K per W/m2; the return has the opposite sign */
};
struct pinery_equip_spread pinery_equip_pipe_spread(double T_mean, double heat, double flow);

#endif
