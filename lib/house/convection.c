/* Convection at the surfaces of the house. u wind speed [m/s], dT temperature difference [K], h [W/(m2 K)].
 *
 * Outside of the cover, per m2 of cover. The laws disagree by a factor of three at 4 m/s, so the choice is by name:
 *   bot        2.8 + 1.2 u (u < 4), 2.5 u^0.8 above    Bot 1983, thesis Wageningen; measured on the saw-tooth roof of a
 *                                                      Venlo house; the default for that reason
 *   mcadams    5.7 + 3.8 u (u < 5), 6.47 u^0.78 above  McAdams 1954, flat plate in a tunnel
 *   watmuff    2.8 + 3.0 u                             Watmuff, Charters and Proctor 1977
 *   papadakis  0.95 + 6.76 u^0.49 (given to 6.3 m/s)   Papadakis, Frangoudakis and Kyritsis 1992, J. agric. Engng Res.
 *                                                      51; used above its range too
 * The two-part laws jump where the parts meet (Bot by 0.02, McAdams by 2.0), so they are blended over +-0.5 m/s.
 *
 * Outside of a vertical wall: h = 6 + u, the line through the measured 6 to 10 at 0 to 4 m/s of Jayamaha et al. 1996,
 * Build. Env. 31:399, whose abstract also says that the direction of the wind hardly matters.
 *
 * Inside, level faces (floor, cloth, cover): h = 1.7 |dT|^(1/3) with warm below, 1.3 |dT|^(1/4) with warm above
 *   de Zwart 1996, thesis Wageningen, after Bot 1983. On a tilted cover gravity acts by its component across the plate,
 *   so the unstable law takes cos(tilt)^(1/3) per m2 of cover, which is cos(tilt)^(-2/3) per m2 of floor.
 * Inside, vertical walls: h = 1.31 |dT|^(1/3), turbulent free convection on tall plates, McAdams 1954 (from memory,
 *   unverified).
 *
 * |dT| is rounded over 0.05 K, and the change between the stable and the unstable law over 0.2 K. */
#include "house/convection.h"

static const double round_K = PINERY_HOUSE_FILM_ROUND;

/* From `low` to factor u^power about `at`, over +-0.5 m/s. */
static double blend(double u, double at, double low, double factor, double power) {
    double slope, share = pinery_base_ramp(u - at + 0.5, &slope);
    return share > 0.0 ? low + share * (factor * pinery_base_power(u, power) - low) : low;
}

double pinery_house_convect_outside(enum pinery_house_wind_law law, double wind) {
    double slope, u = wind > 0.0 ? wind : 0.0;
    switch (law) {
    case PINERY_HOUSE_WIND_MCADAMS:
        return blend(u, 5.0, 5.7 + 3.8 * u, 6.47, 0.78);
    case PINERY_HOUSE_WIND_WATMUFF:
        return 2.8 + 3.0 * u;
    case PINERY_HOUSE_WIND_PAPADAKIS:
        return 0.95 + 6.76 * pinery_base_abs_power(u, 0.49, 0.05, &slope);
    case PINERY_HOUSE_WIND_BOT:
    default:
        return blend(u, 4.0, 2.8 + 1.2 * u, 2.5, 0.8);
    }
}

double pinery_house_convect_wall_outside(double wind) {
    return 6.0 + (wind > 0.0 ? wind : 0.0);
}

struct pinery_house_film pinery_house_film_wall(double dT) {
    double slope, h = 1.31 * pinery_base_abs_power(dT, 1.0 / 3.0, round_K, &slope);
    return (struct pinery_house_film){h, 1.31 * slope};
}

/* flux = h(dT) dT, with dT = Ta - Tb. */
static struct pinery_house_convection of_difference(double dT, struct pinery_house_film film) {
    double flux_slope = film.h + film.slope * dT;
    return (struct pinery_house_convection){.flux = {film.h * dT, flux_slope, -flux_slope},
                                            .coefficient = {film.h, film.slope, -film.slope}};
}

struct pinery_house_convection pinery_house_convect_level(double T_lower, double T_upper) {
    return of_difference(T_lower - T_upper, pinery_house_film_level(T_lower - T_upper, 1.0));
}

struct pinery_house_convection pinery_house_convect_roof(double T_air, double T_cover, double steepness) {
    return of_difference(T_air - T_cover, pinery_house_film_level(T_air - T_cover, steepness));
}

struct pinery_house_convection pinery_house_convect_wall(double T_a, double T_b) {
    return of_difference(T_a - T_b, pinery_house_film_wall(T_a - T_b));
}

double pinery_house_roof_steepness(double tilt) {
    return cbrt(cos(tilt));
}

static struct pinery_pair times(struct pinery_pair pair, double factor) {
    return (struct pinery_pair){factor * pair.value, factor * pair.d_a, factor * pair.d_b};
}

struct pinery_house_convection pinery_house_convect_scaled(struct pinery_house_convection convection, double factor) {
    convection.coefficient = times(convection.coefficient, factor);
    convection.flux = times(convection.flux, factor);
    return convection;
}
