/* Gross uptake of carbon dioxide by a canopy.
 *
 * Canopy: leaf rectangular hyperbola integrated down the canopy, Acock et al. 1978, J. Exp. Bot. 29:815 (tomato):
 *
 *   P = (P_m/k) ln((e k I + (1 - m) P_m)/(e k I exp(-k L) + (1 - m) P_m))       m = 0.1, what a leaf lets through
 *
 * Leaf: efficiency in low light and most in full light by carbon dioxide, Goudriaan and van Laar 1994, Modelling
 * Potential Crop Growth Processes:
 *
 *   e = e_0 (C - G)/(C + 2 G),   e_0 = 17e-9 kg/J of PAR
 *   P_m = P_mm (1 - exp(-P_nc/P_mm)),   P_nc = (C - G) rho/r,   r = 500 s/m through boundary, stomata and inside
 *   G = 42.7 + 1.68 (T - 25) + 0.012 (T - 25)^2 ppm                             Brooks and Farquhar 1985, Planta
 * 165:397
 *
 * and P_mm = 2e-6 kg/(m2 s) of a greenhouse crop. All numbers from memory, unverified. Uncertain by a third for a crop
 * that is not known; what the house does with carbon dioxide hangs on its vents more than on this.
 *
 * Respiration: 0.015 g CO2 per g of leaf dry matter and day times 50 g dry leaf per m2, with as much again for stem,
 * roots and fruit, at 25 degC, twofold per 10 K (Spitters et al. 1989, maintenance coefficients, from memory). */
#include "crop/assimilation.h"

#include <math.h>

#include "base/smooth.h"

static const double efficiency = 17e-9, passes = 0.1, most_leaf = 2e-6, resistance = 500.0;
static const double per_ppm = 1.80e-6; /* kg/m3 at 25 degC and 101325 Pa */

double pinery_crop_compensation(double T_leaf, double *slope) {
    double off = T_leaf - 25.0;
    *slope = 1.68 + 0.024 * off;
    return 42.7 + 1.68 * off + 0.012 * off * off;
}

double pinery_crop_efficiency(double co2, double T_leaf) {
    double unused, G = pinery_crop_compensation(T_leaf, &unused), free = fmax(co2 - G, 0.0);
    return efficiency * free / (free + 3.0 * G);
}

struct pinery_crop_uptake pinery_crop_assimilation(double light, double leaf_area, double extinction, double co2,
                                                   double T_leaf) {
    double d_light, d_free, d_G, G = pinery_crop_compensation(T_leaf, &d_G), k = extinction;
    double I = pinery_base_hinge(light - 0.1, 0.1, &d_light); /* a curve of light may dip below 0 */
    double free = pinery_base_positive(co2 - G, 5.0, &d_free), sum = free + 3.0 * G;
    double e = efficiency * free / sum;
    double e_C = efficiency * 3.0 * G / (sum * sum) * d_free;
    double e_G = -efficiency * 3.0 * (free + G * d_free) / (sum * sum);
    double share = free * per_ppm / resistance / most_leaf, left = exp(-share);
    double P_m = most_leaf * (1.0 - left), P_free = left * per_ppm / resistance;
    double P_C = P_free * d_free, P_G = -P_C;
    double deep = exp(-k * leaf_area), floor = (1.0 - passes) * P_m;
    double top = e * k * I + floor, bottom = e * k * I * deep + floor, ln = log(top / bottom);
    double by_e = P_m / k * (k * I / top - k * I * deep / bottom);
    double by_P = ln / k + P_m / k * (1.0 - passes) * (1.0 / top - 1.0 / bottom);
    double by_I = P_m / k * (e * k / top - e * k * deep / bottom);
    return (struct pinery_crop_uptake){.value = P_m / k * ln,
                                       .d_light = by_I * d_light,
                                       .d_co2 = by_e * e_C + by_P * P_C,
                                       .d_T = (by_e * e_G + by_P * P_G) * d_G};
}

double pinery_crop_respiration(double leaf_area, double T_leaf, double *slope) {
    double at_25 = 2.0 * 0.015 * 0.050 / 86400.0 * leaf_area;
    double value = at_25 * exp2((T_leaf - 25.0) / 10.0);
    *slope = value * 0.0693147180559945;
    return value;
}
