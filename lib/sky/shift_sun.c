/* The sun over a whole record, quickly: the orbit once a day, the day by closed form.
 *
 *   sin(elevation) = sin(latitude) sin(declination) + cos(latitude) cos(declination) cos(hour angle)
 *
 * Declination and the time of noon go in straight lines from noon to noon: within 1e-5 of the full orbit. The integral
 * over the sunlit part of an interval is exact for the declination of its middle. */
#include <math.h>
#include <stdlib.h>

#include "base/error.h"
#include "sky/read.h"
#include "sky/sun.h"

#define PI 3.14159265358979323846

pinery_status pinery_sky_track_new(struct pinery_sky_track *track, const pinery_site *site, double utc_offset_h,
                                   double start_s, double length_s, int year, pinery_error *error) {
    track->days = (int)ceil(length_s / 86400.0) + 4; /* a day and a half to spare at either end */
    track->latitude = site->latitude_deg * PI / 180.0;
    track->declination = malloc((size_t)track->days * 2 * sizeof *track->declination);
    if (track->declination == NULL) {
        return pinery_base_fail(error, PINERY_MEMORY, "no memory for the sun over %d days", track->days);
    }
    track->noon = track->declination + track->days;
    for (int d = 0; d < track->days; d++) {
        double noon_s = start_s + (d - 1.5) * 86400.0;
        struct pinery_sky_orbit orbit = pinery_sky_orbit_at(site->longitude_deg, utc_offset_h, noon_s, year);
        track->declination[d] = orbit.declination;
        /* kept without jumps of a turn, so that it can be interpolated */
        double turns = d > 0 ? round((track->noon[d - 1] - orbit.hour_angle) / (2 * PI)) : 0.0;
        track->noon[d] = orbit.hour_angle + 2 * PI * turns;
    }
    return PINERY_OK;
}

void pinery_sky_track_free(struct pinery_sky_track *track) {
    free(track->declination);
    *track = (struct pinery_sky_track){0};
}

double pinery_sky_track_sine(const struct pinery_sky_track *track, double from, double to, double *sunlit_s) {
    double middle = 0.5 * (from + to);
    double day = middle / 86400.0 + 1.5; /* in the table */
    day = fmin(fmax(day, 0.0), track->days - 1.001);
    int d = (int)day;
    double part = day - d;
    double declination = (1.0 - part) * track->declination[d] + part * track->declination[d + 1];
    double noon = (1.0 - part) * track->noon[d] + part * track->noon[d + 1];
    /* noon is the hour angle at d - 1.5 days for a whole d, and d - 1.5 + part days for the interpolated one */
    double hour_angle = remainder(noon + 2 * PI * (middle / 86400.0 - (d - 1.5)), 2 * PI);
    double half = PI * (to - from) / 86400.0;
    double a = sin(track->latitude) * sin(declination), b = cos(track->latitude) * cos(declination);
    double sunset = a >= b ? PI : a <= -b ? 0.0 : acos(-a / b);
    double sum = 0.0, lit = 0.0;
    for (int turn = -1; turn <= 1; turn++) {
        double begin = fmax(hour_angle - half, 2 * PI * turn - sunset);
        double end = fmin(hour_angle + half, 2 * PI * turn + sunset);
        if (begin < end) {
            lit += end - begin;
            sum += a * (end - begin) + b * (sin(end) - sin(begin));
        }
    }
    if (sunlit_s != NULL) {
        *sunlit_s = lit * 86400.0 / (2 * PI);
    }
    return fmax(sum, 0.0) * 86400.0 / (2 * PI);
}
