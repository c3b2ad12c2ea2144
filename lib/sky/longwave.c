/* Clear-sky emissivity and cloud.
 *
 * Brutsaert derives his from the profile of a standard atmosphere, without fitted constants, and it lies in the middle
 * of the field; it is the default. Cloud by default: e = (1 - 0.84 c) e0 + 0.84 c. Sources are named in the header; no
 * coefficient was read in the papers themselves: all from memory, unverified. */
#include "sky/longwave.h"

#include "air/psychro.h"

#include <math.h>

#define STEFAN_BOLTZMANN 5.670374419e-8 /* W/(m2 K4), CODATA 2018 */
#define PI 3.14159265358979323846

static double black(double temperature_degC) {
    double kelvin = temperature_degC + PINERY_AIR_ZERO_K;
    return STEFAN_BOLTZMANN * kelvin * kelvin * kelvin * kelvin;
}

double pinery_sky_clear_emissivity(enum pinery_sky_clear_model model, double temperature_degC, double vapour_pressure,
                                   double hour) {
    double t = temperature_degC + PINERY_AIR_ZERO_K;
    double hpa = fmax(0.01 * vapour_pressure, 1e-3); /* bone-dry air has no dew point */
    double dew = 0;
    switch (model) {
    case PINERY_SKY_CLEAR_swinbank:
        return pow(0.0552 * sqrt(t), 4.0);
    case PINERY_SKY_CLEAR_brunt:
        return 0.52 + 0.065 * sqrt(hpa);
    case PINERY_SKY_CLEAR_idso_jackson:
        return 1.0 - 0.261 * exp(-7.77e-4 * (273.0 - t) * (273.0 - t));
    case PINERY_SKY_CLEAR_berdahl_martin:
        dew = pinery_air_dew_point(100.0 * hpa);
        return 0.711 + 0.0056 * dew + 7.3e-5 * dew * dew + 0.013 * cos(2 * PI * hour / 24.0);
    case PINERY_SKY_CLEAR_berdahl_fromberg:
        return 0.741 + 0.0062 * pinery_air_dew_point(100.0 * hpa);
    case PINERY_SKY_CLEAR_fao56:
        return 1.0 - (0.34 - 0.14 * sqrt(0.1 * hpa));
    case PINERY_SKY_CLEAR_clark_allen:
        return 0.787 + 0.764 * log((pinery_air_dew_point(100.0 * hpa) + PINERY_AIR_ZERO_K) / 273.0);
    case PINERY_SKY_CLEAR_idso:
        return 0.70 + 5.95e-5 * hpa * exp(1500.0 / t);
    default:
        return 1.24 * pow(hpa / t, 1.0 / 7.0);
    }
}

double pinery_sky_cloudy_emissivity(enum pinery_sky_cloud_model model, double clear_emissivity, double cloud_fraction) {
    if (model == PINERY_SKY_CLOUD_walton) {
        double n = 10.0 * cloud_fraction;
        return clear_emissivity * (1.0 + n * (0.0224 + n * (-0.0035 + n * 0.00028)));
    }
    return (1.0 - 0.84 * cloud_fraction) * clear_emissivity + 0.84 * cloud_fraction;
}

double pinery_sky_infrared(double temperature_degC, double vapour_pressure, double cloud_fraction) {
    double clear = pinery_sky_clear_emissivity(PINERY_SKY_CLEAR_brutsaert, temperature_degC, vapour_pressure, 0.0);
    return black(temperature_degC) *
           pinery_sky_cloudy_emissivity(PINERY_SKY_CLOUD_unsworth_monteith, clear, cloud_fraction);
}

double pinery_sky_cloud_of_infrared(double temperature_degC, double vapour_pressure, double infrared) {
    double clear = pinery_sky_infrared(temperature_degC, vapour_pressure, 0.0);
    double overcast = pinery_sky_infrared(temperature_degC, vapour_pressure, 1.0);
    if (!(overcast > clear))
        return 1.0;
    return fmin(1.0, fmax(0.0, (infrared - clear) / (overcast - clear)));
}

double pinery_sky_temperature(double infrared) {
    return pow(infrared / STEFAN_BOLTZMANN, 0.25) - PINERY_AIR_ZERO_K;
}

double pinery_sky_cloud_of_clear_index(double clear_index) {
    double missing = fmin(1.0, fmax(0.0, (1.0 - clear_index) / 0.75));
    return pow(missing, 1.0 / 3.4);
}
