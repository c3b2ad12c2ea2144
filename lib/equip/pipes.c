/* Heating pipes, level, bare or painted steel. A = pi d per metre, d outer diameter [m], temperatures of the formulas
 * in K.
 *
 * Convection
 *   nawrocki   5.2 ((Tp - Ta)/(d Ta))^0.25 A (Tp - Ta)       W/m; the pipe formula of greenhouse heating practice, the
 *                                                            default because it knows the diameter
 *   dezwart    1.99 |Tp - Ta|^0.32 A (Tp - Ta)               de Zwart 1996, thesis Wageningen, 51 mm pipe
 * Radiation of a pipe by itself (Nawrocki): 20.77e-8 ((Tp + Ta)/2)^3 A (Tp - Ta), which is 4 sigma times 0.916.
 * Heat held: steel 7850 kg/m3 and 470 J/(kg K), water 4180 J/(kg K) and 985 kg/m3 (at 55 degC).
 * Supply and return: the mean is their arithmetic mean, heat = flow cp (supply - return); the fall along a pipe is in
 * truth exponential, which at 15 K in 40 K differs from this by under 2 % of the heat. |dT| is rounded over 0.1 K. */
#include "equip/pipes.h"

static const double pi = 3.14159265358979323846, zero_K = 273.15;
static const double water_heat = 4180.0;
static const double round_K = 0.1;

struct pinery_pair pinery_equip_pipe_convect(enum pinery_equip_pipe_law law, double diameter, double T_pipe,
                                             double T_air) {
    double dT = T_pipe - T_air, area = pi * diameter, T = T_air + zero_K, d_power;
    double p = law == PINERY_EQUIP_PIPE_DEZWART ? 0.32 : 0.25;
    double factor = law == PINERY_EQUIP_PIPE_DEZWART ? 1.99 : 5.2 / sqrt(sqrt(diameter * T));
    double power = pinery_base_abs_power(dT, p, round_K, &d_power);
    double slope = area * factor * (power + d_power * dT), flux = area * factor * power * dT;
    double by_T = law == PINERY_EQUIP_PIPE_DEZWART ? 0.0 : -0.25 * flux / T;
    return (struct pinery_pair){flux, slope, -slope + by_T};
}

struct pinery_pair pinery_equip_pipe_radiate(double diameter, double T_pipe, double T_around) {
    double dT = T_pipe - T_around, mean = 0.5 * (T_pipe + T_around) + zero_K;
    double factor = 20.77e-8 * pi * diameter * mean * mean, flux = factor * mean * dT, by_mean = 1.5 * factor * dT;
    return (struct pinery_pair){flux, factor * mean + by_mean, -factor * mean + by_mean};
}

double pinery_equip_pipe_area(double diameter) {
    return pi * diameter;
}

double pinery_equip_pipe_capacity(double diameter, double wall) {
    double inner = diameter - 2.0 * wall;
    double steel = 0.25 * pi * (diameter * diameter - inner * inner) * 7850.0 * 470.0;
    return steel + 0.25 * pi * inner * inner * 985.0 * water_heat;
}

struct pinery_equip_spread pinery_equip_pipe_spread(double T_mean, double heat, double flow) {
    double d_heat = 0.5 / (flow * water_heat);
    return (struct pinery_equip_spread){T_mean + heat * d_heat, T_mean - heat * d_heat, d_heat};
}
