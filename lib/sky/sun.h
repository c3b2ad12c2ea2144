/* Where the sun stands, when it rises, and the radiation above the atmosphere.
 *
 * Times are seconds since 1 January 00:00 of `year` on the site's standard time; year 0 means a typical year of 365
 * days and takes the orbit of 2005. Latitude is north positive, longitude east positive. Elevations are of the sun's
 * centre, without refraction; azimuths are clockwise from north, 0 .. 360. */
#ifndef PINERY_SKY_SUN_H
#define PINERY_SKY_SUN_H

#include <stdbool.h>

#define PINERY_SKY_SOLAR_CONSTANT 1361.0 /* W/m2; Kopp & Lean 2011, Geophys. Res. Lett. 38:L01706 */

/* The sun as seen from the earth's centre. */
struct pinery_sky_orbit {
    double declination; /* rad */
    double hour_angle;  /* rad at the site's meridian, -pi .. pi, 0 at true noon */
    double distance;    /* astronomical units */
};

struct pinery_sky_orbit pinery_sky_orbit_at(double longitude_deg, double utc_offset_h, double time_s, int year);

/* Where the sun stands at an instant. */
void pinery_sky_sun_position(double latitude_deg, double longitude_deg, double utc_offset_h, double time_s, int year,
                             double *elevation_deg, double *azimuth_deg);

/* The sun of an interval (up to a day): the direction of the irradiance-weighted mean over its sunlit part. Weight is
 * the sine of the elevation, so that E0 * sin_elevation_mean is the mean extraterrestrial radiation on the horizontal
 * over the whole interval. False when the sun stays down: then sin_elevation_mean is 0 and the position is that of
 * mid-interval, except that an elevation is never above 0. */
bool pinery_sky_sun_mean(double latitude_deg, double longitude_deg, double utc_offset_h, double start_s,
                         double length_s, int year, double *elevation_deg, double *azimuth_deg,
                         double *sin_elevation_mean);

/* Extraterrestrial radiation facing the sun, W/m2. The years differ by less than 1e-3 of it; the typical year is used.
 */
double pinery_sky_extraterrestrial_normal(double time_s);

/* Sunrise and sunset (upper limb with standard refraction: centre at -0.8333 deg) on the day that starts at
 * day_start_s. False when the sun stays up or down all day; then *rise_s = *set_s = NAN. */
bool pinery_sky_sunrise(double latitude_deg, double longitude_deg, double utc_offset_h, double day_start_s, int year,
                        double *rise_s, double *set_s);

#endif
