/* Heat between air and the surfaces of the house by convection. Formulas and sources are in convection.c. */
#ifndef PINERY_HOUSE_CONVECTION_H
#define PINERY_HOUSE_CONVECTION_H

#include "base/smooth.h"

/* Outside of the cover, in the order of the choices of `outside_convection`; the first is the default. */
enum pinery_house_wind_law {
    PINERY_HOUSE_WIND_BOT,
    PINERY_HOUSE_WIND_MCADAMS,
    PINERY_HOUSE_WIND_WATMUFF,
    PINERY_HOUSE_WIND_PAPADAKIS
};

/* Heat flux from a to b [W/m2] and the coefficient that made it [W/(m2 K)], the latter for the mass transfer. */
struct pinery_house_convection {
    struct pinery_pair flux, coefficient;
};

/* What |dT| and the change of law are rounded over, K. */
#define PINERY_HOUSE_FILM_ROUND 0.05
#define PINERY_HOUSE_FILM_TURN 0.2

/* The coefficient of a difference of temperature alone [W/(m2 K)], and its slope by it. */
struct pinery_house_film {
    double h, slope;
};

/* Outside of the cover, W/(m2 K) per m2 of cover, for a wind speed m/s. */
double pinery_house_convect_outside(enum pinery_house_wind_law law, double wind);

/* Outside of a vertical wall, W/(m2 K). */
double pinery_house_convect_wall_outside(double wind);

/* Between a level face and the air on one side of it; a is whichever of the two lies lower. Floor: a = floor, b = air.
 * Upper face of a cloth: a = cloth, b = air. Lower face of a cloth: a = air, b = cloth. Warm below is unstable. */
struct pinery_house_convection pinery_house_convect_level(double T_lower, double T_upper);

/* Between the roof air (a) and the inside of a cover (b) tilted by `tilt` [rad] from the level, per m2 of cover. */
struct pinery_house_convection pinery_house_convect_roof(double T_air, double T_cover, double steepness);
/* cos(tilt)^(1/3), of the slope the cover has [rad]. */
double pinery_house_roof_steepness(double tilt);

/* Between air and a vertical wall, either as a. */
struct pinery_house_convection pinery_house_convect_wall(double T_a, double T_b);

/* The coefficients of the last three by themselves: the stable law below zero, `steepness` (of a level face 1) times
 * the unstable one above. dT = T_lower - T_upper. */
static inline struct pinery_house_film pinery_house_film_level(double dT, double steepness) {
    double square = dT * dT + PINERY_HOUSE_FILM_ROUND * PINERY_HOUSE_FILM_ROUND, per_square = 1.0 / square;
    double root = sqrt(square), fourth = sqrt(sqrt(root));
    double up = 1.7 * steepness * pinery_base_third_root_by(root, fourth), down = 1.3 * fourth;
    double d_up = up * dT * per_square * (1.0 / 3.0), d_down = down * dT * per_square * 0.25;
    double turn = 1.0 / sqrt(dT * dT + PINERY_HOUSE_FILM_TURN * PINERY_HOUSE_FILM_TURN); /* as in smooth.h, no branch */
    double share = 0.5 + 0.5 * dT * turn;
    double d_share = 0.5 * PINERY_HOUSE_FILM_TURN * PINERY_HOUSE_FILM_TURN * turn * turn * turn;
    return (struct pinery_house_film){down + share * (up - down),
                                      d_down + share * (d_up - d_down) + d_share * (up - down)};
}
struct pinery_house_film pinery_house_film_wall(double dT);

#endif
