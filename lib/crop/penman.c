/* FAO-56 reference evapotranspiration: Allen, Pereira, Raes and Smith 1998, FAO Irrigation and Drainage Paper 56;
 * equation numbers of that paper stand beside the lines. T degC, u2 m/s.
 *
 *   day   ET0 = [0.408 D (Rn - G) + g 900/(T + 273) u2 (es - ea)] / [D + g (1 + 0.34 u2)]      (6)
 *   hour  the same with 37 for 900                                                            (53)
 *
 * Crop in a greenhouse: Stanghellini 1987, thesis Wageningen,
 *   LE = [D Rn + 2 LAI rho cp VPD/r_b] / [D + gamma (1 + r_s/r_b)]
 * which follows from the energy balance of the leaf when e_sat is taken straight between leaf and air. */
#include "crop/penman.h"

#include <math.h>

#include "air/psychro.h"

static const double pi = 3.14159265358979323846;
static const double solar_MJ_min = 0.0820, albedo = 0.23;

double pinery_crop_penman_saturation_kPa(double T) {
    return 0.6108 * exp(17.27 * T / (T + 237.3)); /* (11) */
}

double pinery_crop_penman_wind_2m(double wind, double height) {
    return wind * 4.87 / log(67.8 * height - 5.42); /* (47) */
}

static double curve_slope(double T) {
    return 4098.0 * pinery_crop_penman_saturation_kPa(T) / ((T + 237.3) * (T + 237.3)); /* (13) */
}

static void of_place(struct pinery_crop_reference *r, double elevation) {
    r->pressure_kPa = 101.3 * pow((293.0 - 0.0065 * elevation) / 293.0, 5.26); /* (7) */
    r->gamma_kPa_K = 1.013e-3 * r->pressure_kPa / (0.622 * 2.45);              /* (8) */
}

/* Relative distance of the sun, and declination. */
static double distance(int day) {
    return 1.0 + 0.033 * cos(2.0 * pi * day / 365.0); /* (23) */
}

static double declination(int day) {
    return 0.409 * sin(2.0 * pi * day / 365.0 - 1.39); /* (24) */
}

static double sunset_angle(double latitude, int day) {
    double x = -tan(latitude) * tan(declination(day)); /* (25); beyond +-1 the sun stays down or up */
    return acos(fmax(-1.0, fmin(1.0, x)));
}

/* The integral of the cosine of the zenith angle between two hour angles, times `scale`. */
static double extraterrestrial(double latitude, int day, double from, double to, double scale) {
    double d = declination(day);
    return scale * solar_MJ_min * distance(day) *
           ((to - from) * sin(latitude) * sin(d) + cos(latitude) * cos(d) * (sin(to) - sin(from)));
}

/* Net long-wave loss for sigma T^4 [MJ/m2 per period] and the clearness Rs/Rso. */
static double net_long(double black_MJ, double vapour_kPa, double clearness) {
    return black_MJ * (0.34 - 0.14 * sqrt(vapour_kPa)) * (1.35 * fmin(clearness, 1.0) - 0.35); /* (39) */
}

static double evaporation(const struct pinery_crop_reference *r, double T, double wind_2m, double factor) {
    double radiant = 0.408 * r->slope_kPa_K * (r->net_MJ - r->ground_MJ);
    double drying = r->gamma_kPa_K * factor / (T + 273.0) * wind_2m * r->deficit_kPa;
    return (radiant + drying) / (r->slope_kPa_K + r->gamma_kPa_K * (1.0 + 0.34 * wind_2m));
}

static double kelvin_power(double T) {
    double K = T + PINERY_AIR_ZERO_K; /* the paper adds 273.16, which would make net_long 0.014 % more */
    return K * K * K * K;
}

struct pinery_crop_reference pinery_crop_penman_day(double latitude, double elevation, int day, double T_max,
                                                    double T_min, double vapour_kPa, double global_MJ, double wind_2m,
                                                    double ground_MJ) {
    struct pinery_crop_reference r = {0};
    double T = 0.5 * (T_max + T_min), sunset = sunset_angle(latitude, day);
    of_place(&r, elevation);
    r.slope_kPa_K = curve_slope(T);
    r.saturation_kPa =
        0.5 * (pinery_crop_penman_saturation_kPa(T_max) + pinery_crop_penman_saturation_kPa(T_min)); /* (12) */
    r.vapour_kPa = vapour_kPa;
    r.deficit_kPa = r.saturation_kPa - vapour_kPa;
    r.extraterrestrial_MJ = extraterrestrial(latitude, day, -sunset, sunset, 24.0 * 60.0 / (2.0 * pi)); /* (21) */
    r.clear_sky_MJ = (0.75 + 2e-5 * elevation) * r.extraterrestrial_MJ;                                 /* (37) */
    r.net_short_MJ = (1.0 - albedo) * global_MJ;                                                        /* (38) */
    r.net_long_MJ =
        net_long(4.903e-9 * 0.5 * (kelvin_power(T_max) + kelvin_power(T_min)), vapour_kPa, global_MJ / r.clear_sky_MJ);
    r.net_MJ = r.net_short_MJ - r.net_long_MJ; /* (40) */
    r.ground_MJ = ground_MJ;
    r.evaporation_mm = evaporation(&r, T, wind_2m, 900.0);
    return r;
}

struct pinery_crop_reference pinery_crop_penman_hour(double latitude, double longitude_west_deg,
                                                     double time_zone_west_deg, double elevation, int day,
                                                     double mid_hour, double T, double relative_humidity,
                                                     double global_MJ, double cloudiness, double wind_2m) {
    struct pinery_crop_reference r = {0};
    double b = 2.0 * pi * (day - 81) / 364.0;                                 /* (33) */
    double season = 0.1645 * sin(2.0 * b) - 0.1255 * cos(b) - 0.025 * sin(b); /* (32) */
    double solar = mid_hour + 0.06667 * (time_zone_west_deg - longitude_west_deg) + season;
    double angle = pi / 12.0 * (solar - 12.0); /* (31) */
    double sunset = sunset_angle(latitude, day);
    double from = fmax(-sunset, fmin(sunset, angle - pi / 24.0)); /* (29), cut at sunrise and sunset */
    double to = fmax(-sunset, fmin(sunset, angle + pi / 24.0));   /* (30) */
    of_place(&r, elevation);
    r.slope_kPa_K = curve_slope(T);
    r.saturation_kPa = pinery_crop_penman_saturation_kPa(T);
    r.vapour_kPa = relative_humidity * r.saturation_kPa; /* (54) */
    r.deficit_kPa = r.saturation_kPa - r.vapour_kPa;
    r.extraterrestrial_MJ = extraterrestrial(latitude, day, from, to, 12.0 * 60.0 / pi); /* (28) */
    r.clear_sky_MJ = (0.75 + 2e-5 * elevation) * r.extraterrestrial_MJ;
    r.net_short_MJ = (1.0 - albedo) * global_MJ;
    r.net_long_MJ = net_long(4.903e-9 / 24.0 * kelvin_power(T), r.vapour_kPa,
                             r.clear_sky_MJ > 0.0 ? global_MJ / r.clear_sky_MJ : cloudiness);
    r.net_MJ = r.net_short_MJ - r.net_long_MJ;
    r.ground_MJ = (r.net_MJ > 0.0 ? 0.1 : 0.5) * r.net_MJ; /* (45), (46) */
    r.evaporation_mm = evaporation(&r, T, wind_2m, 37.0);
    return r;
}

double pinery_crop_penman_canopy(double net_radiation, double leaf_area, double T_air, double e_air, double pressure,
                                 double boundary, double stomata, double slope) {
    double ignored, rho_cp = pressure / (PINERY_AIR_GAS_DRY * (T_air + PINERY_AIR_ZERO_K)) * PINERY_AIR_HEAT_DRY;
    double latent = PINERY_AIR_LATENT;
    double gamma = PINERY_AIR_HEAT_DRY * pressure / (PINERY_AIR_RATIO * latent);
    double deficit = pinery_air_saturation(T_air, &ignored) - e_air;
    return (slope * net_radiation + 2.0 * leaf_area * rho_cp * deficit / boundary) /
           (slope + gamma * (1.0 + stomata / boundary));
}
