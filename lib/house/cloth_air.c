/* Air through cloth, slits and gaps. dT = T_below - T_above [K]; positive is unstable (cold, heavy air on top).
 *
 * Fabric, temperature driven:
 *   q = K_s |dT|^0.66, Balemans 1989, thesis Ghent, fitted to twelve fabrics with warm air below. With warm air above
 *   the layers are stable and the law has no ground; the exchange then falls to a tenth (an assumption without a
 *   source, standing for draughts), over a change 0.3 K wide.
 *
 * Fabric, pressure driven:
 *   dp/L = (mu/K) v + rho (Y/sqrt(K)) v^2 (Darcy and Forchheimer), solved for v. For cloths of porosity phi
 *   K = 3.44e-9 phi^1.6 m2 and Y = 0.043 phi^-2.13, Miguel et al. 1997, J. agric. Engng Res., and Miguel 1998, thesis
 *   Wageningen. mu = 1.81e-5 Pa s, air at 20 degC.
 *
 * Slit of width W, unstable, speed of the exchange over the slit:
 *   miguel    sqrt(g |dT|/T W / 2)      Miguel 1998, in the form used by de Zwart 1996, thesis Wageningen
 *   epstein   0.055 sqrt(g |dT|/T W)    Epstein 1988, J. Heat Transfer 110:885, thin square opening of side W, the two
 *                                       streams fighting for it; a slit is taken as a row of such squares
 *   The first is a speed reached without loss, each stream having the opening to itself; the second was measured on
 *   small square openings in a rigid plate. They differ by a factor of 13, and a slit in a cloth lies between. The
 *   first is the default because it was set up for screens in greenhouses.
 *   Stable layers do not exchange through a slit.
 *
 * Open planes mix at `open_mixing` in any case, by a share that grows from none at half open to all at fully open:
 *   without a cloth the two airs are one. Its size has no source; it only has to be large: 100 W/m2 of heat passing
 *   makes 0.4 K. */
#include "house/cloth_air.h"

#include "air/psychro.h"

static const double gravity = 9.81, viscosity = 1.81e-5;
static const double stable_share = 0.1;
static const double round_K = 0.05, turn_K = 0.3;
static const double open_mixing = 0.2; /* m3/(m2 s) */
static const double closed = 1e-12;    /* square of the opening of a plane without any */

struct pinery_pair pinery_house_fabric_exchange(double K_s, double T_below, double T_above) {
    double d_power, d_turn, dT = T_below - T_above;
    double power = K_s * pinery_base_abs_power(dT, 0.66, round_K, &d_power);
    double share = stable_share + (1.0 - stable_share) * pinery_base_turn(dT, turn_K, &d_turn);
    double slope = K_s * d_power * share + power * (1.0 - stable_share) * d_turn;
    return (struct pinery_pair){power * share, slope, -slope};
}

struct pinery_house_fabric pinery_house_fabric_drag(double permeability, double inertia, double thickness,
                                                    double density) {
    return (struct pinery_house_fabric){viscosity / permeability * thickness,
                                        density * inertia / sqrt(permeability) * thickness};
}

/* The opening a of a m2 of fabric is its speed as below, 2 dp/(linear + root), over that of an orifice, 0.6 (2
 * dp/rho)^(1/2); written without its quotient. */
double pinery_house_fabric_resistance(struct pinery_house_fabric drag, double drawn, double dp, double density) {
    if (drawn == 0.0)
        return 1.0 / (1.0 + closed);
    double drag_at = 0.6 * (drag.linear + sqrt(drag.linear * drag.linear + 4.0 * drag.square * dp));
    double open = (1.0 - drawn) * drag_at + drawn * sqrt(2.0 * density * dp);
    return drag_at * drag_at / (open * open + closed * drag_at * drag_at);
}

double pinery_house_fabric_velocity(double dp, double permeability, double inertia, double thickness, double density,
                                    double *slope) {
    struct pinery_house_fabric drag = pinery_house_fabric_drag(permeability, inertia, thickness, density);
    double root = sqrt(drag.linear * drag.linear + 4.0 * drag.square * fabs(dp));
    *slope = 1.0 / root;
    return 2.0 * dp / (drag.linear + root);
}

double pinery_house_fabric_permeability(double porosity) {
    return 3.44e-9 * pow(porosity, 1.6);
}

double pinery_house_fabric_inertia(double porosity) {
    return 0.043 * pow(porosity, -2.13);
}

struct pinery_pair pinery_house_buoyancy(enum pinery_house_slit_law law, double T_below, double T_above) {
    double factor = law == PINERY_HOUSE_SLIT_EPSTEIN ? 0.055 : sqrt(0.5);
    double d_drop, d_power;
    double drop = pinery_base_hinge(T_below - T_above, turn_K, &d_drop);
    if (!(drop > 0.0))
        return (struct pinery_pair){0.0, 0.0, 0.0};
    double power = pinery_base_abs_power(drop, -0.5, round_K, &d_power);
    double root = drop * power, d_root = power + drop * d_power; /* of the drop, but straight at its end */
    double per_T = 1.0 / (0.5 * (T_below + T_above) + PINERY_AIR_ZERO_K);
    double scale = factor * sqrt(gravity * per_T);
    double speed = scale * root, by_drop = scale * d_root * d_drop, by_mean = -0.25 * speed * per_T;
    return (struct pinery_pair){speed, by_drop + by_mean, -by_drop + by_mean};
}

struct pinery_house_exchange pinery_house_slit_by(struct pinery_pair buoyancy, double open, double width) {
    double d_mix, mix = open_mixing * pinery_base_ramp(2.0 * open - 1.0, &d_mix), root = sqrt(width);
    return (struct pinery_house_exchange){.value = open * root * buoyancy.value + mix,
                                          .d_below = open * root * buoyancy.d_a,
                                          .d_above = open * root * buoyancy.d_b,
                                          .d_open = root * buoyancy.value + 2.0 * open_mixing * d_mix};
}

struct pinery_house_exchange pinery_house_slit_exchange(enum pinery_house_slit_law law, double open, double width,
                                                        double T_below, double T_above) {
    return pinery_house_slit_by(pinery_house_buoyancy(law, T_below, T_above), open, width);
}

struct pinery_pair pinery_house_edge_exchange(enum pinery_house_slit_law law, double share, double width,
                                              double T_below, double T_above) {
    struct pinery_pair buoyancy = pinery_house_buoyancy(law, T_below, T_above);
    double scale = share * sqrt(width);
    return (struct pinery_pair){scale * buoyancy.value, scale * buoyancy.d_a, scale * buoyancy.d_b};
}

struct pinery_pair pinery_house_virtual_temperature(double T, double vapour_pressure, double pressure) {
    double lightness = 1.0 / (1.0 - (1.0 - PINERY_AIR_RATIO) * vapour_pressure / pressure);
    double T_K = (T + PINERY_AIR_ZERO_K) * lightness;
    return (struct pinery_pair){T_K - PINERY_AIR_ZERO_K, lightness,
                                T_K * lightness * (1.0 - PINERY_AIR_RATIO) / pressure};
}
