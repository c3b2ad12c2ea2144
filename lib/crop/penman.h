/* Combination equations: the reference crop of FAO-56 and the greenhouse crop of Stanghellini. Formulas and sources are
 * in penman.c. The year does not use them; they are what its transpiration is held against.
 *
 * The FAO standard is written in kPa and MJ/(m2 period); its coefficients only hold in these units, so this file keeps
 * them, and says so in every name. */
#ifndef PINERY_CROP_PENMAN_H
#define PINERY_CROP_PENMAN_H

/* All that the standard tabulates on the way. Period: the day or the hour. */
struct pinery_crop_reference {
    double pressure_kPa, gamma_kPa_K, slope_kPa_K;
    double saturation_kPa, vapour_kPa, deficit_kPa;
    double extraterrestrial_MJ, clear_sky_MJ;            /* Ra, Rso */
    double net_short_MJ, net_long_MJ, net_MJ, ground_MJ; /* Rns, Rnl, Rn, G */
    double evaporation_mm;                               /* ET0 of the period */
};

double pinery_crop_penman_saturation_kPa(double T);
double pinery_crop_penman_wind_2m(double wind, double height);

/* A day. latitude [rad], elevation [m], day of the year 1..366, highest and lowest temperature [degC], actual vapour
 * pressure, measured global radiation, wind at 2 m [m/s], heat into the ground. */
struct pinery_crop_reference pinery_crop_penman_day(double latitude, double elevation, int day, double T_max,
                                                    double T_min, double vapour_kPa, double global_MJ, double wind_2m,
                                                    double ground_MJ);

/* An hour that ends nowhere near midnight: longitude and time_zone [degrees, west positive, as the standard counts],
 * mid_hour: clock time of its middle [h], relative_humidity 0..1, cloudiness: Rs/Rso of the last hours of daylight,
 * used when the sun is down. */
struct pinery_crop_reference pinery_crop_penman_hour(double latitude, double longitude_west_deg,
                                                     double time_zone_west_deg, double elevation, int day,
                                                     double mid_hour, double T, double relative_humidity,
                                                     double global_MJ, double cloudiness, double wind_2m);

/* Latent heat of a greenhouse crop [W/m2 floor]: net radiation of the crop [W/m2], leaf area (one side), air
 * temperature, vapour pressure [Pa], pressure [Pa], resistances of one side [s/m], slope of the saturation curve
 * [Pa/K]. */
double pinery_crop_penman_canopy(double net_radiation, double leaf_area, double T_air, double e_air, double pressure,
                                 double boundary, double stomata, double slope);

#endif
