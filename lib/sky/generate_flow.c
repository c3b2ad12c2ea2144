/* Sky infrared, wind and pressure of a typical year.
 *
 * Infrared: the library's default sky (sky/longwave.h) at the hour's temperature and vapour pressure under a cloud
 * cover from the day's clearness (Kasten & Czeplak 1980), its logit shifted month by month until the mean is that of
 * the normals. A mean beyond a wholly clear or overcast month is met by scaling what is left.
 *
 * Wind: Weibull of shape 2 (Rayleigh) about a mean with a course of the day, its maximum at 14 h, larger on average in
 * summer; behind it two normal variates with memories of a day and of some hours (correlation of neighbouring hours
 * 0.86, of daily means 0.3). Transforming a persistent normal variate: Brown, Katz & Murphy 1984, J. Climate Appl.
 * Meteorol. 23:1184. The normals hold no direction: it wanders, all directions being equally likely.
 *
 * Pressure: monthly mean, about it a variate persistent over days (0.6), with a spread of 3.5 hPa in the brightest
 * month to 8 hPa in the darkest, higher when clear (0.4).
 *
 * Numbers without a source are rounded means of what seven typical years of Europe and North America show. */
#include <math.h>

#include "sky/generate.h"
#include "sky/longwave.h"

#define DAYS PINERY_SKY_DAYS
#define HOURS PINERY_SKY_HOURS

/* Take the monthly means of a positive series to those wanted by a smooth factor. */
static void scale_months(double hourly[HOURS], const double want[12], int passes) {
    for (int pass = 0; pass < passes; pass++) {
        double got[12], factor[12], factor_hourly[HOURS];
        pinery_sky_means_of_months(hourly, got);
        for (int m = 0; m < 12; m++)
            factor[m] = got[m] > 0 ? want[m] / got[m] : 1.0;
        pinery_sky_spread_months(factor, factor_hourly);
        for (int i = 0; i < HOURS; i++)
            hourly[i] *= fmax(0.1, factor_hourly[i]);
    }
}

void pinery_sky_generate_infrared(struct pinery_sky_draft *draft) {
    const double *want = draft->normals.month[PINERY_SKY_NORMAL_infrared];
    double cloud[DAYS], cloud_hourly[HOURS], shift[12] = {0}, shift_hourly[HOURS], got[12];
    for (int d = 0; d < DAYS; d++) {
        double clear = draft->clearness[d] / fmax(draft->clear_day[d], 1e-6);
        double cover = fmin(0.98, fmax(0.02, pinery_sky_cloud_of_clear_index(clear)));
        cloud[d] = log(cover / (1.0 - cover));
    }
    pinery_sky_spread_days(cloud, cloud_hourly);
    for (int pass = 0; pass < 60; pass++) {
        pinery_sky_spread_months(shift, shift_hourly);
        for (int i = 0; i < HOURS; i++) {
            double cover = 1.0 / (1.0 + exp(-(cloud_hourly[i] + shift_hourly[i])));
            draft->infrared[i] = pinery_sky_infrared(draft->temperature[i], draft->vapour_pressure[i], cover);
        }
        pinery_sky_means_of_months(draft->infrared, got);
        /* overcast against clear is worth some 80 W/m2, a unit of the logit at most a quarter of it */
        for (int m = 0; m < 12; m++)
            shift[m] = fmin(8.0, fmax(-8.0, shift[m] + (want[m] - got[m]) / 20.0));
    }
    scale_months(draft->infrared, want, 3);
}

void pinery_sky_generate_wind(struct pinery_sky_draft *draft) {
    struct pinery_sky_random random;
    pinery_sky_random_seed(&random, draft->seed, 4);
    const double *want = draft->normals.month[PINERY_SKY_NORMAL_wind];
    double slow[HOURS], quick[HOURS], base[HOURS];
    pinery_sky_persistent_even(&random, HOURS, exp(-1.0 / 24.0), slow);
    pinery_sky_persistent_even(&random, HOURS, 0.80, quick);
    pinery_sky_spread_months(want, base);
    for (int i = 0; i < HOURS; i++) {
        int month = pinery_sky_month_of_day(i / 24);
        double share = pinery_sky_normal_share(0.6 * slow[i] + 0.8 * quick[i]);
        double swing = 0.30 + 0.12 * draft->season[month];
        double course = 1.0 + swing * cos(2.0 * 3.14159265358979323846 * (i % 24 + 0.5 - 14.0) / 24.0);
        draft->wind_speed[i] = fmax(0.0, base[i]) * course * sqrt(-log1p(-share)) / 0.886226925452758; /* Gamma(3/2) */
    }
    scale_months(draft->wind_speed, want, 3);
    /* direction: an angle whose rate persists */
    double turn[HOURS], angle = 360.0 * pinery_sky_random_uniform(&random);
    pinery_sky_persistent_even(&random, HOURS, 0.9, turn);
    for (int i = 0; i < HOURS; i++) {
        angle += 6.0 * turn[i];
        draft->wind_direction[i] = fmod(fmod(angle, 360.0) + 360.0, 360.0);
    }
}

void pinery_sky_generate_pressure(struct pinery_sky_draft *draft) {
    struct pinery_sky_random random;
    pinery_sky_random_seed(&random, draft->seed, 5);
    double own[DAYS], day[DAYS], about[HOURS], got[12];
    pinery_sky_persistent_even(&random, DAYS, 0.6, own);
    for (int d = 0; d < DAYS; d++) {
        double spread = 575.0 - 225.0 * draft->season[pinery_sky_month_of_day(d)];
        day[d] = spread * (0.4 * draft->clearness_z[d] + 0.917 * own[d]);
    }
    pinery_sky_spread_days(day, about);
    pinery_sky_means_of_months(about, got);
    double shift[12];
    for (int m = 0; m < 12; m++)
        shift[m] = draft->normals.month[PINERY_SKY_NORMAL_pressure][m] - got[m];
    pinery_sky_spread_months(shift, draft->pressure);
    for (int i = 0; i < HOURS; i++)
        draft->pressure[i] += about[i];
}
