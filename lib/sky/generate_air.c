/* Temperature and humidity of a typical year.
 *
 * Daily means: a smooth course through the monthly means and about it a variate that is persistent from day to day,
 * with the normals' spread and autocorrelation, coupled to the day's clearness: clear days are cold in winter and warm
 * in summer (correlation -0.35 in the darkest month to 0.25 in the brightest). The autocorrelation of some 30 values
 * about their own mean is low by (1 + 4 r)/30 (Marriott & Pope 1954, Biometrika 41:390), which is given back.
 *
 * Course of the day: Parton & Logan 1981, Agric. Meteorol. 23:205: a sine from sunrise to past noon and on to sunset
 * (lag 1.86 h), an exponential fall through the night (2.2 nights' lengths; both from memory, unverified). Its range
 * follows the day's clearness: R/Rm = 1 + 0.6 (K/Km - 1). About it the hours wander with a correlation of 0.9 from hour
 * to hour and a spread of 0.08 (in the brightest month) to 0.13 (in the darkest) of the month's mean daily range; the
 * course's own range is what the normals' maxima and minima leave for it.
 *
 * Humidity: the vapour pressure is a daily relative humidity times the saturation pressure at the day's mean
 * temperature, so that it rises and falls with the temperature of the days, not of the hours. Towards saturation of
 * the hour it bends over (smooth minimum, 5 % wide): dew and fog take the rest. The daily relative humidity has a
 * spread of 9 %, a correlation of -0.7 with clearness and a persistence of 0.45.
 *
 * The couplings and the spread are rounded means of what seven typical years of Europe and North America show month by
 * month; the normals do not hold them. */
#include <math.h>

#include "air/psychro.h"
#include "sky/generate.h"
#include "sky/sun.h"

#define DAYS PINERY_SKY_DAYS
#define HOURS PINERY_SKY_HOURS

static const double *normal(const struct pinery_sky_draft *draft, enum pinery_sky_normal which) {
    return draft->normals.month[which];
}

/* A monthly curve at the days. */
static void days_of_curve(const double mean[12], double daily[DAYS]) {
    double hourly[HOURS];
    pinery_sky_spread_months(mean, hourly);
    pinery_sky_means_of_days(hourly, daily);
}

static void mean_and_sd(const double *x, int month, double *mean, double *sd) {
    int from = pinery_sky_first_day(month), to = pinery_sky_first_day(month + 1);
    double sum = 0, squares = 0;
    for (int d = from; d < to; d++)
        sum += x[d];
    *mean = sum / (to - from);
    for (int d = from; d < to; d++)
        squares += (x[d] - *mean) * (x[d] - *mean);
    *sd = sqrt(squares / (to - from));
}

static void daily_means(const struct pinery_sky_draft *draft, double day[DAYS]) {
    struct pinery_sky_random random;
    pinery_sky_random_seed(&random, draft->seed, 2);
    const double *mean = normal(draft, PINERY_SKY_NORMAL_temperature), *sd = normal(draft, PINERY_SKY_NORMAL_daily_sd);
    double season[DAYS], scale[DAYS], persistence[DAYS], own[DAYS], coupling[DAYS], x[DAYS];
    days_of_curve(mean, season);
    days_of_curve(sd, scale);
    for (int d = 0; d < DAYS; d++) {
        int m = pinery_sky_month_of_day(d);
        double r = normal(draft, PINERY_SKY_NORMAL_persistence)[m];
        persistence[d] = fmin(0.93, fmax(-0.5, (r + 1.0 / 30.0) / (1.0 - 4.0 / 30.0)));
        coupling[d] = -0.05 + 0.3 * draft->season[m];
    }
    pinery_sky_persistent(&random, DAYS, persistence, own);
    /* The coupled part carries the persistence of clearness, the own part the rest. */
    for (int d = 0; d < DAYS; d++)
        x[d] = fmax(0.0, scale[d]) *
               (coupling[d] * draft->clearness_z[d] + sqrt(1.0 - coupling[d] * coupling[d]) * own[d]);
    /* This year's draw has its own means and spreads: take them smoothly to those of the normals. */
    for (int pass = 0; pass < 12; pass++) {
        double shift[12], stretch[12], shift_day[DAYS], stretch_day[DAYS];
        for (int d = 0; d < DAYS; d++)
            day[d] = season[d] + x[d];
        for (int m = 0; m < 12; m++) {
            double got, got_sd;
            mean_and_sd(day, m, &got, &got_sd);
            shift[m] = mean[m] - got;
            stretch[m] = fmin(1.5, fmax(0.67, sd[m] / fmax(got_sd, 1e-6)));
        }
        days_of_curve(shift, shift_day);
        days_of_curve(stretch, stretch_day);
        for (int d = 0; d < DAYS; d++)
            x[d] = (pass < 10 ? fmax(0.3, stretch_day[d]) : 1.0) * (x[d] + shift_day[d]);
    }
    for (int d = 0; d < DAYS; d++)
        day[d] = season[d] + x[d];
}

struct course {
    double sunrise_h, length_h; /* of the daylight */
    double low;                 /* mean of the course with minimum 0 and maximum 1 */
};

/* The course of a day `hour` after sunrise, 0 .. 24, between minimum 0 and maximum 1. */
static double course_at(const struct course *course, double hour) {
    double sunset = sin(3.14159265358979323846 * course->length_h / (course->length_h + 2 * 1.86));
    if (hour < course->length_h)
        return sin(3.14159265358979323846 * hour / (course->length_h + 2 * 1.86));
    double night = (hour - course->length_h) / (24.0 - course->length_h);
    return sunset * (exp(-2.2 * night) - exp(-2.2)) / (1.0 - exp(-2.2));
}

static struct course course_of_day(const pinery_site *site, int day) {
    double noon_s = 86400.0 * day + 43200.0, lat = site->latitude_deg * 3.14159265358979323846 / 180.0;
    struct pinery_sky_orbit orbit = pinery_sky_orbit_at(site->longitude_deg, site->utc_offset_h, noon_s, 0);
    double cosine = fmin(1.0, fmax(-1.0, -tan(fmin(1.55, fmax(-1.55, lat))) * tan(orbit.declination)));
    struct course course = {0, 0, 0};
    /* near the poles the daylight of the formula is kept between 4 and 20 h */
    course.length_h = fmin(20.0, fmax(4.0, 24.0 / 3.14159265358979323846 * acos(cosine)));
    course.sunrise_h = 12.0 - orbit.hour_angle * 12.0 / 3.14159265358979323846 - 0.5 * course.length_h;
    for (int i = 0; i < 96; i++)
        course.low += course_at(&course, 0.25 * (i + 0.5)) / 96.0;
    return course;
}

/* Mean over each month of the daily maxima less the daily minima. */
static void mean_ranges(const double temperature[HOURS], double range[12]) {
    for (int m = 0; m < 12; m++) {
        int from = pinery_sky_first_day(m), to = pinery_sky_first_day(m + 1);
        range[m] = 0;
        for (int d = from; d < to; d++) {
            double low = INFINITY, high = -INFINITY;
            for (int i = 24 * d; i < 24 * (d + 1); i++) {
                low = fmin(low, temperature[i]);
                high = fmax(high, temperature[i]);
            }
            range[m] += (high - low) / (to - from);
        }
    }
}

/* The wandering of the hours in units of the month's daily range; its daily means are 0. */
static void wandering(const struct pinery_sky_draft *draft, double hourly[HOURS]) {
    struct pinery_sky_random random;
    pinery_sky_random_seed(&random, draft->seed, 6);
    double day[DAYS], of_days[HOURS], squares = 0;
    pinery_sky_persistent_even(&random, HOURS, 0.9, hourly);
    pinery_sky_means_of_days(hourly, day);
    pinery_sky_spread_days(day, of_days);
    for (int i = 0; i < HOURS; i++) {
        hourly[i] -= of_days[i];
        squares += hourly[i] * hourly[i] / HOURS;
    }
    for (int i = 0; i < HOURS; i++)
        hourly[i] *= (0.105 - 0.025 * draft->season[pinery_sky_month_of_day(i / 24)]) / sqrt(squares);
}

void pinery_sky_generate_temperature(struct pinery_sky_draft *draft) {
    double day[DAYS], shape[HOURS], swing[DAYS], swing_hourly[HOURS], range[12], clear[12], got[12], shift[12];
    double wander[HOURS], full[12], full_hourly[HOURS];
    const double *highest = normal(draft, PINERY_SKY_NORMAL_daily_max);
    const double *lowest = normal(draft, PINERY_SKY_NORMAL_daily_min);
    daily_means(draft, day);
    pinery_sky_spread_days(day, draft->daily_temperature);

    struct course course = course_of_day(&draft->normals.site, -1), next;
    for (int d = 0; d < DAYS; d++) {
        next = course_of_day(&draft->normals.site, d);
        for (int h = 0; h < 24; h++) {
            double since = h + 0.5 - next.sunrise_h; /* sunrise of today; before it yesterday's night goes on */
            const struct course *now = since < 0 ? &course : &next;
            if (since < 0)
                since = h + 0.5 + 24.0 - course.sunrise_h;
            shape[24 * d + h] = course_at(now, fmin(fmax(since, 0.0), 24.0)) - now->low;
        }
        course = next;
    }

    for (int m = 0; m < 12; m++) {
        double sd;
        mean_and_sd(draft->clearness, m, &clear[m], &sd);
        full[m] = highest[m] - lowest[m];
        range[m] = 0.7 * full[m];
    }
    wandering(draft, wander);
    pinery_sky_spread_months(full, full_hourly);
    for (int i = 0; i < HOURS; i++)
        wander[i] *= fmax(0.0, full_hourly[i]);
    for (int pass = 0; pass < 16; pass++) {
        for (int d = 0; d < DAYS; d++) {
            int m = pinery_sky_month_of_day(d);
            double relative = clear[m] > 0 ? draft->clearness[d] / clear[m] : 1.0;
            swing[d] = fmax(0.0, range[m]) * fmax(0.1, 1.0 + 0.6 * (relative - 1.0));
        }
        pinery_sky_spread_days(swing, swing_hourly);
        for (int i = 0; i < HOURS; i++)
            draft->temperature[i] = draft->daily_temperature[i] + fmax(0.0, swing_hourly[i]) * shape[i] + wander[i];
        mean_ranges(draft->temperature, got);
        for (int m = 0; m < 12; m++)
            range[m] = fmax(0.0, range[m] + 0.8 * (full[m] - got[m]));
    }
    /* what the swing did to the means */
    pinery_sky_means_of_months(draft->temperature, got);
    for (int m = 0; m < 12; m++)
        shift[m] = normal(draft, PINERY_SKY_NORMAL_temperature)[m] - got[m];
    double shift_hourly[HOURS];
    pinery_sky_spread_months(shift, shift_hourly);
    for (int i = 0; i < HOURS; i++) {
        draft->temperature[i] += shift_hourly[i];
        draft->daily_temperature[i] += shift_hourly[i];
    }
}

/* The smooth minimum of x and 1. */
static double bent(double x) {
    double width = 0.05;
    return x < 1.0 ? x - width * log1p(exp((x - 1.0) / width)) : 1.0 - width * log1p(exp((1.0 - x) / width));
}

void pinery_sky_generate_humidity(struct pinery_sky_draft *draft) {
    struct pinery_sky_random random;
    pinery_sky_random_seed(&random, draft->seed, 3);
    const double *want = normal(draft, PINERY_SKY_NORMAL_vapour_pressure);
    double own[DAYS], about[DAYS], about_hourly[HOURS], level[12], level_hourly[HOURS], got[12];
    pinery_sky_persistent_even(&random, DAYS, 0.45, own);
    for (int d = 0; d < DAYS; d++)
        about[d] = 0.09 * (-0.7 * draft->clearness_z[d] + 0.714 * own[d]);
    pinery_sky_spread_days(about, about_hourly);
    for (int m = 0; m < 12; m++)
        level[m] =
            fmin(0.95, want[m] / pinery_air_saturation_pressure(normal(draft, PINERY_SKY_NORMAL_temperature)[m]));
    for (int pass = 0; pass < 40; pass++) {
        pinery_sky_spread_months(level, level_hourly);
        for (int i = 0; i < HOURS; i++) {
            double humidity = fmin(1.0, fmax(0.08, level_hourly[i] + about_hourly[i]));
            double of_day = humidity * pinery_air_saturation_pressure(draft->daily_temperature[i]);
            double saturated = pinery_air_saturation_pressure(draft->temperature[i]);
            draft->vapour_pressure[i] = saturated * bent(of_day / saturated);
        }
        pinery_sky_means_of_months(draft->vapour_pressure, got);
        for (int m = 0; m < 12; m++)
            level[m] = fmin(1.5, fmax(0.02, level[m] * pow(want[m] / got[m], 0.8)));
    }
}
