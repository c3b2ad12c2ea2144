/* Heat through the gap of a double pane, EN 673:2011 (Glass in building: determination of thermal transmittance).
 *
 * Gas         h_g = Nu conductivity / s,  Nu = max(1, A (Gr Pr)^n)
 *             Gr = 9.81 s^3 dT density^2 / (Tm viscosity^2),  Pr = viscosity c / conductivity
 *             upright A 0.035 n 0.38;  45 degrees A 0.10 n 0.31;  horizontal, heat going up, A 0.16 n 0.28
 *             between these Nu is linear in the slope, as the standard allows
 *             heat going down through a horizontal gap: Nu = 1
 * Radiation   h_r = 4 sigma Tm^3 / (1/e1 + 1/e2 - 1);  as a flow sigma (T1^4 - T2^4) / (1/e1 + 1/e2 - 1)
 * U           1/U = R_in + d/1.0 for each pane + 1/(h_g + h_r) + 1/h_out, at Tm 283 K, dT 15 K whatever the weather
 *
 * Gas values at 10 degC from the table of EN 673 (from memory). Its rows from -10 to 20 degC are straight in
 * temperature for viscosity and conductivity, and follow 1/T for density, to 0.1 %.
 *
 * The corner of max() is rounded over 0.01 of Nu, |dT| over 0.1 K, and the sign of dT, which tells heat going up from
 * heat going down, from -1 to 1 K, so that a solver meets no kink. */
#include "house/glazing.h"

#include <math.h>

#include "base/smooth.h"
#include "house/longwave.h"

#define ZERO 273.15
#define TEN (ZERO + 10)

const struct pinery_house_gas pinery_house_gas_air = {1.232, 1.761e-5, 2.496e-2, 5.0e-8, 8.0e-5, 1008};
const struct pinery_house_gas pinery_house_gas_argon = {1.699, 2.164e-5, 1.684e-2, 6.35e-8, 5.0e-5, 519};

/* A number with its slopes by the mean temperature and by the difference. */
struct sloped {
    double value, by_mean, by_d;
};

/* max(1, A (Gr Pr)^n), l being the logarithm of Gr Pr. */
static struct sloped power_law(double a, double n, struct sloped l) {
    double x = a * exp(n * l.value), slope, value = 1 + pinery_base_positive(x - 1, 0.01, &slope);
    slope *= n * x;
    return (struct sloped){value, slope * l.by_mean, slope * l.by_d};
}

/* (1 - f) u + f v. */
static struct sloped between(struct sloped u, struct sloped v, double f) {
    return (struct sloped){u.value + f * (v.value - u.value), u.by_mean + f * (v.by_mean - u.by_mean),
                           u.by_d + f * (v.by_d - u.by_d)};
}

static struct sloped gap_nusselt(const struct pinery_house_gas *gas, double gap_m, double mean_T, double dT,
                                 double slope_deg) {
    double T = mean_T + ZERO, size_slope, size = pinery_base_abs_power(dT, 1, 0.1, &size_slope);
    double density = gas->density * TEN / T;
    double viscosity = gas->viscosity + gas->viscosity_slope * (mean_T - 10);
    double conductivity = gas->conductivity + gas->conductivity_slope * (mean_T - 10);
    double grashof = 9.81 * gap_m * gap_m * gap_m * size * density * density / (T * viscosity * viscosity);
    struct sloped l = {log(grashof * viscosity * gas->heat_capacity / conductivity),
                       -3 / T - gas->viscosity_slope / viscosity - gas->conductivity_slope / conductivity,
                       size_slope / size};
    struct sloped upright = power_law(0.035, 0.38, l);
    if (slope_deg >= 90)
        return upright;
    struct sloped half = power_law(0.10, 0.31, l);
    struct sloped up = slope_deg >= 45 ? between(half, upright, (slope_deg - 45) / 45)
                                       : between(power_law(0.16, 0.28, l), half, slope_deg / 45);
    struct sloped down = between((struct sloped){1, 0, 0}, upright, slope_deg / 90);
    double turn_slope, rising = pinery_base_ramp(0.5 * (dT + 1), &turn_slope);
    struct sloped nusselt = between(down, up, rising);
    nusselt.by_d += 0.5 * turn_slope * (up.value - down.value);
    return nusselt;
}

double pinery_house_gap_nusselt(const struct pinery_house_gas *gas, double gap_m, double mean_T, double dT,
                                double slope_deg) {
    return gap_nusselt(gas, gap_m, mean_T, dT, slope_deg).value;
}

static struct sloped gas_conductance(const struct pinery_house_gas *gas, double gap_m, double mean_T, double dT,
                                     double slope_deg) {
    struct sloped nu = gap_nusselt(gas, gap_m, mean_T, dT, slope_deg);
    double k = (gas->conductivity + gas->conductivity_slope * (mean_T - 10)) / gap_m;
    return (struct sloped){nu.value * k, nu.by_mean * k + nu.value * gas->conductivity_slope / gap_m, nu.by_d * k};
}

double pinery_house_gas_conductance(const struct pinery_house_gas *gas, double gap_m, double mean_T, double dT,
                                    double slope_deg) {
    return gas_conductance(gas, gap_m, mean_T, dT, slope_deg).value;
}

double pinery_house_gap_conductance(double gap_m, double emissivity1, double emissivity2, double mean_T, double dT,
                                    double slope_deg) {
    double T = mean_T + ZERO;
    return pinery_house_gas_conductance(&pinery_house_gas_air, gap_m, mean_T, dT, slope_deg) +
           4 * PINERY_HOUSE_STEFAN_BOLTZMANN * T * T * T / (1 / emissivity1 + 1 / emissivity2 - 1);
}

struct pinery_house_gap_flow pinery_house_gap_flow(const struct pinery_house_gas *gas, double gap_m, double emissivity1,
                                                   double emissivity2, double lower_T, double upper_T,
                                                   double slope_deg) {
    double d = lower_T - upper_T;
    struct sloped h = gas_conductance(gas, gap_m, 0.5 * (lower_T + upper_T), d, slope_deg);
    double exchange = PINERY_HOUSE_STEFAN_BOLTZMANN / (1 / emissivity1 + 1 / emissivity2 - 1);
    double t1 = lower_T + ZERO, t2 = upper_T + ZERO;
    return (struct pinery_house_gap_flow){
        .flow = h.value * d + exchange * (t1 * t1 + t2 * t2) * (t1 + t2) * d,
        .d_lower = h.value + d * (0.5 * h.by_mean + h.by_d) + 4 * exchange * t1 * t1 * t1,
        .d_upper = -h.value + d * (0.5 * h.by_mean - h.by_d) - 4 * exchange * t2 * t2 * t2,
    };
}

double pinery_house_glazing_u(const struct pinery_house_gas *gas, double pane_m, double gap_m, double emissivity1,
                              double emissivity2, double slope_deg, double inside_resistance,
                              double outside_coefficient) {
    double resistance = inside_resistance + pane_m + 1 / outside_coefficient; /* pane of 1.0 W/(m K) */
    if (gap_m > 0) {
        double T = 283;
        double h = pinery_house_gas_conductance(gas, gap_m, T - ZERO, 15, slope_deg) +
                   4 * PINERY_HOUSE_STEFAN_BOLTZMANN * T * T * T / (1 / emissivity1 + 1 / emissivity2 - 1);
        resistance += pane_m + 1 / h;
    }
    return 1 / resistance;
}
