/* The house as a duct of its own length.
 *
 * Flow. Wind over the roof puts its two ends at pressures that differ by dCp rho u^2/2. Air enters through the leaks of
 * the cover at one end, falls through the slits of that half, goes along the house among the crop, rises through the
 * slits of the other half and leaves through the leaks there. Each of the four is an orifice, Q = Cd A (2 dp/rho)^(1/2)
 * with Cd = 0.6 (sharp-edged opening, any handbook), half of the leaks and half of the slits each; in series 1/A^2
 * adds up:
 *
 *   q = Cd u dCp^(1/2) / (2 * 2^(1/2)) * (1/a_leak^2 + 1/open^2)^(-1/2)      [m3/(m2 floor s)]
 *
 * dCp is 0.3 to 0.5 between the ends of a low roof with wind along it (EN 1991-1-4, roof zones H and I against G; from
 * memory, unverified). That the roof space itself joins the ends above the cloth is left out: the flow is an upper
 * bound.
 *
 * Temperature. The air that falls in is spread evenly over the entering half, and leaves evenly over the other. With k
 * the conductance to all that is even along the house, T_e the temperature the air would have without the flow,
 * m = 2 rho cp q and r = m/(m + k), the heat balance along the duct has the closed solution
 *
 *   entering half   T = T_e - r (T_e - T_roof)             constant
 *   leaving half    T = T_e - r (T_e - T_roof) y^(k/m)     y from 1 at the middle to 0 at the end
 *
 * and with the mean T_crop (known to the caller) instead of T_e
 *
 *   T_e - cold end  = (T_crop - T_roof) (m/k) / (1 + r/2)
 *   mean - cold end = (T_e - cold end) (1 - r)/2           the mean lies (1 + r)/2 of it below T_e
 *   difference      = (T_e - cold end) (1 - 0.1^(k/m)/(1 + k/m))
 *
 * The warm end is the mean of the last tenth of the leaving half: where a strong wind blows through, only the very last
 * air is at T_e.
 *
 * Air that wanders to and fro at speed v over the height h evens the halves out; it adds 2 rho cp v h / length to k.
 * Its speed, 0.05 m/s in still houses, has no source. rho cp = 1206 J/(m3 K), air at 20 degC. */
#include "house/along.h"

static const double discharge = 0.6, air_heat = 1206.0, ln_10 = 2.302585092994045684;

/* What the wind makes of an opening in the middle of the house, m/s. */
static double speed_of(double wind, double pressure_difference) {
    return discharge * wind * sqrt(0.125 * pressure_difference);
}

double pinery_house_along_through(double wind, double pressure_difference, double leak_area, double resistance) {
    return speed_of(wind, pressure_difference) * leak_area / sqrt(1.0 + leak_area * leak_area * resistance);
}

struct pinery_house_along pinery_house_along_flow(double wind, double pressure_difference, double leak_area,
                                                  double open) {
    double share = open > 0.0 ? open : 0.0;
    double speed = speed_of(wind, pressure_difference);
    double square = leak_area * leak_area + share * share + 1e-30, root = sqrt(square);
    return (struct pinery_house_along){.value = speed * leak_area * share / root,
                                       .d_open = speed * leak_area * leak_area * leak_area / (square * root)};
}

double pinery_house_leak_area(double leakage, double pressure_difference) {
    /* in through one half and out through the other: q = Cd u dCp^(1/2) a / (2 * 2^(1/2)) */
    return leakage * sqrt(8.0) / (discharge * sqrt(pressure_difference));
}

struct pinery_house_ends pinery_house_along_ends(double flow, double T_crop, double T_roof, double conductance,
                                                 double length, double height, double mixing) {
    double m = 2.0 * air_heat * flow;
    double k = conductance + 2.0 * air_heat * mixing * height / length;
    double per_sum = 1.0 / (m + k), r = m * per_sum, d_r = k * per_sum * per_sum;
    double per_k = 1.0 / (k * (k + 1.5 * m)), per_K = m * (m + k) * per_k; /* m/k / (1 + r/2) */
    double d_per_K = ((m + k) - 0.5 * per_K * d_r * k * (m + k)) * per_k;  /* (1/k - per_K d_r/2) / (1 + r/2) */
    double share = 0.5 * (1.0 - r), fall = T_crop - T_roof;                /* the deficit over the difference */
    double p = k / (m + 1e-30),
           warm = pinery_base_exp(-ln_10 * (p < 300.0 ? p : 300.0)) * r; /* y^p, mean of y to 0.1 */
    return (struct pinery_house_ends){.difference = fall * per_K * (1.0 - warm),
                                      .deficit = fall * per_K * share,
                                      .d_deficit_crop = per_K * share,
                                      .d_deficit_roof = -per_K * share,
                                      .d_deficit_flow = 2.0 * air_heat * fall * (d_per_K * share - 0.5 * d_r * per_K)};
}
