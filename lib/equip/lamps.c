/* Lamps. The light follows from the efficacy: share of light = (umol/J electric)/(umol/J light).
 * Photons per joule of light: sodium 4.98 to 5.0, red 5.4 to 5.5, white 4.7 to 4.8, Thimijan and Heins 1983,
 * HortScience 18:818-822. Shares of infrared, long wave and convection: Nelson and Bugbee 2015, PLoS ONE 10:e0138930;
 * de Zwart et al. 2017 (from memory, unverified). Convection is what is left, so that nothing is lost; the ballast or
 * driver hangs in the house and its loss is part of it. Efficacy is taken as the same when dimmed: sodium loses some,
 * LED gains some (common practice, no source). */
#include "equip/lamps.h"

struct pinery_equip_lamp_power pinery_equip_lamp_run(const pinery_lamp *lamp, double output) {
    struct pinery_equip_lamp_power p;
    p.electric = lamp->power * output;
    p.photon_flux = p.electric * lamp->photons;
    p.light = p.electric * lamp->light_share;
    p.infrared = p.electric * lamp->nir_share;
    p.long_wave = p.electric * lamp->longwave_share;
    p.body = p.electric - p.light - p.infrared;
    p.convective = p.body - p.long_wave;
    return p;
}

double pinery_equip_lamp_installed(const pinery_lamp *lamp, double photon_flux) {
    return photon_flux / lamp->photons;
}

double pinery_equip_lamp_light_share(double efficacy, double per_joule) {
    return efficacy / per_joule;
}
