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

/* Flux and slopes of a power p of the difference, rounded, times the difference; per_square: 1/dT^2. */
static struct pinery_pair by_power(double dT, double p, double power, double per_square) {
    double slope = power * (1.0 + p * dT * dT * per_square);
    return (struct pinery_pair){power * dT, slope, -slope};
}

struct pinery_pair pinery_equip_pipe_convect(enum pinery_equip_pipe_law law, double diameter, double T_pipe,
                                             double T_air) {
    double dT = T_pipe - T_air, area = pi * diameter, T = T_air + zero_K, square = dT * dT + round_K * round_K;
    if (law == PINERY_EQUIP_PIPE_DEZWART)
        return by_power(dT, 0.32, area * 1.99 * pinery_base_power(square, 0.16), 1.0 / square);
    double per_T = 1.0 / T, power = area * 5.2 * sqrt(sqrt(sqrt(square) * (per_T / diameter)));
    struct pinery_pair flux = by_power(dT, 0.25, power, 1.0 / square);
    flux.d_b -= 0.25 * flux.value * per_T;
    return flux;
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
