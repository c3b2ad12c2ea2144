/* An index of the growth that light allows: gross uptake of the canopy in the light it gets, with everything else held
 * at 450 ppm and 20 degC, so that nothing but light and leaf area moves it. It tells what a cloth's shade or a lamp is
 * worth to a crop that lacks nothing but light; it is no forecast of growth or yield.
 *
 * A leaf's rectangular hyperbola down the canopy, Acock et al. 1978, as in assimilation.c:
 *
 *   P = (P_m/k) ln((e k I + (1 - m) P_m)/(e k I exp(-k L) + (1 - m) P_m)),   m = 0.1
 *   P -> e I (1 - exp(-k L))/(1 - m) for P_m without end: in proportion to the light
 *
 * e, and P_m = 1e-6 kg/(m2 s) of a greenhouse crop in the sun, are what assimilation.c gives at 450 ppm and 20 degC.
 * How uncertain: three answers are told, `early` with half of P_m, `mid` with P_m, `even` in proportion. One per cent
 * of light is then worth 0.6, 0.7 and 1 % over a season at 52 N, 0.8 to 1 % there in winter, and less where there is
 * more sun. Growers' rule: 0.5 to 1 % by crop (0.7 to 1 for fruit vegetables, 0.6 to 1 for cut flowers, 0.5 to 1 for
 * flowering pot plants, 0.65 for foliage): Marcelis, Broekhuijsen, Meinen, Nijs and Raaphorst 2006, Acta Hort. 711:97,
 * from memory. Since lamps burn in dim light, they are worth more the earlier leaves are full. Photons count alike
 * whatever their colour. */
#include "crop/growth.h"

#include "base/smooth.h"
#include "crop/assimilation.h"

static const double co2_ppm = 450.0, leaf_degC = 20.0, passes = 0.1;
static const double photons = 4.57e-6; /* mol per J of PAR from the sun; Thimijan and Heins 1983, HortScience 18:818 */

/* In proportion: P_m without end. share: e k I; deep: exp(-k L). */
static double even(double share, double deep, double k) {
    return share * (1.0 - deep) / (k * (1.0 - passes));
}

static double saturating(double share, double deep, double k, double P_m) {
    double floor = (1.0 - passes) * P_m;
    return P_m / k * pinery_base_ln(1.0 + share * (1.0 - deep) / (share * deep + floor));
}

struct pinery_crop_growth_canopy pinery_crop_growth_canopy(double leaf_area, double extinction, double leaf_uptake) {
    return (struct pinery_crop_growth_canopy){.extinction = extinction,
                                              .leaf_uptake = leaf_uptake,
                                              .deep = pinery_base_exp(-extinction * leaf_area),
                                              .per_light =
                                                  pinery_crop_efficiency(co2_ppm, leaf_degC) * extinction / photons};
}

struct pinery_crop_growth pinery_crop_growth_in(const struct pinery_crop_growth_canopy *canopy, double light) {
    if (!(light > 0.0)) {
        return (struct pinery_crop_growth){0.0, 0.0, 0.0};
    }
    double k = canopy->extinction, deep = canopy->deep, share = canopy->per_light * light;
    return (struct pinery_crop_growth){saturating(share, deep, k, 0.5 * canopy->leaf_uptake),
                                       saturating(share, deep, k, canopy->leaf_uptake), even(share, deep, k)};
}

struct pinery_crop_growth pinery_crop_growth_index(double light, double leaf_area, double extinction,
                                                   double leaf_uptake) {
    struct pinery_crop_growth_canopy canopy = pinery_crop_growth_canopy(leaf_area, extinction, leaf_uptake);
    return pinery_crop_growth_in(&canopy, light);
}
