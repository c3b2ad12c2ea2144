/* Lamps. The light follows from the efficacy: share of light = efficacy/photons, as (umol/J electric)/(umol/J light).
 * Photons per joule of light: sodium 4.98 to 5.0, red 5.4 to 5.5, white 4.7 to 4.8, Thimijan and Heins 1983,
 * HortScience 18:818-822. Shares of infrared, long wave and convection: Nelson and Bugbee 2015, PLoS ONE 10:e0138930;
 * de Zwart et al. 2017 (from memory, unverified). Convection is what is left, so that nothing is lost. Efficacy is
 * taken as the same when dimmed: sodium loses some, LED gains some (common practice, no source). */
#include "equip/lamps.h"

/* The share that becomes heat in the air or outside. */
static double rest(const struct pinery_equip_lamp *lamp) {
    return 1.0 - lamp->efficacy / lamp->photons - lamp->infrared - lamp->long_wave;
}

bool pinery_equip_lamp_possible(const struct pinery_equip_lamp *lamp) {
    return lamp->efficacy >= 0.0 && lamp->photons > 0.0 && lamp->infrared >= 0.0 && lamp->long_wave >= 0.0 &&
           lamp->ballast >= 0.0 && lamp->ballast_out >= 0.0 && lamp->ballast_out <= 1.0 && rest(lamp) >= lamp->ballast;
}

struct pinery_equip_lamp_power pinery_equip_lamp_power(const struct pinery_equip_lamp *lamp, double installed,
                                                       double dim) {
    struct pinery_equip_lamp_power p;
    p.electric = installed * dim;
    p.photon_flux = p.electric * lamp->efficacy;
    p.light = p.photon_flux / lamp->photons;
    p.infrared = p.electric * lamp->infrared;
    p.long_wave = p.electric * lamp->long_wave;
    p.outside = p.electric * lamp->ballast * lamp->ballast_out;
    p.convective = p.electric - p.light - p.infrared - p.long_wave - p.outside;
    return p;
}

double pinery_equip_lamp_installed(const struct pinery_equip_lamp *lamp, double photon_flux) {
    return photon_flux / lamp->efficacy;
}
