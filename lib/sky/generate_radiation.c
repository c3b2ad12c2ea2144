/* Radiation of a typical year.
 *
 * Days: the clearness index is a normal variate with a correlation of 0.29 from day to day (Graham, Hollands & Huget
 * 1988, Solar Energy 40:83), mapped on a beta distribution (Olseth & Skartveit 1984, Solar Energy 33:533, for the form)
 * between 0.05 (Bendt, Collares-Pereira & Rabl 1981, Solar Energy 27:1) and the clearest day's 0.6313 + 0.267 K - 11.9
 * (K - 0.75)^8 (Hollands & Huget 1983, Solar Energy 30:195), with the mean and the spread of the normals.
 *
 * Hours: Aguiar & Collares-Pereira 1992, Solar Energy 49:167: a mean course by the sun's elevation and the day's
 * clearness, and about it a normal variate persistent from hour to hour. No hour is clearer than 1.08 times the
 * cloudless sky of Haurwitz 1945, J. Meteorol. 2:154 (0.807 exp(-0.057 / sin h) of the extraterrestrial; from memory,
 * unverified). The hours are then scaled to the day's sum.
 *
 * Diffuse share f: Erbs, as f^p with one p a month such that the month's mean diffuse is that of the normals.
 *
 * The coefficients of all these papers are from memory, unverified. The normals fix the sums that they shape. */
#include <math.h>

#include "base/error.h"
#include "sky/diffuse.h"
#include "sky/generate.h"
#include "sky/sun.h"

#define DAY_CORRELATION 0.29
#define CLEARNESS_MIN 0.05
#define CELLS 400

static double clear_hour(double sine) {
    return 1.08 * 0.807 * exp(-0.057 / fmax(sine, 1e-3));
}

static double day_sum(const double *hourly, int day) {
    double sum = 0;
    for (int i = 24 * day; i < 24 * (day + 1); i++)
        sum += hourly[i];
    return sum;
}

static void sun_of_year(struct pinery_sky_draft *draft) {
    const pinery_site *site = &draft->normals.site;
    double mean[12], low = INFINITY, high = 0;
    for (int i = 0; i < PINERY_SKY_HOURS; i++) {
        double elevation, azimuth;
        pinery_sky_sun_mean(site->latitude_deg, site->longitude_deg, site->utc_offset_h, 3600.0 * i, 3600.0, 0,
                            &elevation, &azimuth, &draft->sine[i]);
        draft->above[i] = draft->sine[i] * pinery_sky_extraterrestrial_normal(3600.0 * i + 1800.0);
    }
    for (int d = 0; d < PINERY_SKY_DAYS; d++) {
        double clear = 0;
        for (int i = 24 * d; i < 24 * (d + 1); i++)
            clear += draft->above[i] * clear_hour(draft->sine[i]);
        draft->clear_day[d] = clear / fmax(day_sum(draft->above, d), 1e-9);
    }
    pinery_sky_means_of_months(draft->above, mean);
    for (int m = 0; m < 12; m++) {
        low = fmin(low, mean[m]);
        high = fmax(high, mean[m]);
    }
    for (int m = 0; m < 12; m++)
        draft->season[m] = high > low ? 2.0 * (mean[m] - low) / (high - low) - 1.0 : 0.0;
}

/* The clearness below which a share `u` of the days lies: beta distribution of the given mean and variance over 0 .. 1,
 * summed up cell by cell. */
static void beta_shares(double mean, double variance, double share[CELLS + 1]) {
    double sum = mean * (1.0 - mean) / variance - 1.0, a = mean * sum, b = (1.0 - mean) * sum;
    share[0] = 0;
    for (int i = 0; i < CELLS; i++) {
        double x = (i + 0.5) / CELLS;
        /* relative to the density at the mean, lest narrow distributions underflow */
        double ln = (a - 1.0) * log(x / mean) + (b - 1.0) * log((1.0 - x) / (1.0 - mean));
        share[i + 1] = share[i] + exp(fmin(ln, 600.0));
    }
    for (int i = 1; i <= CELLS; i++)
        share[i] /= share[CELLS];
}

static double beta_quantile(const double share[CELLS + 1], double u) {
    int i = 0;
    while (i < CELLS - 1 && share[i + 1] < u)
        i++;
    double width = share[i + 1] - share[i];
    return (i + (width > 0 ? fmin(1.0, (u - share[i]) / width) : 0.5)) / CELLS;
}

/* Mean and standard deviation of the daily sums of a month, and mean and variance of extraterrestrial ones; kWh/m2. */
static void sums_of_month(const struct pinery_sky_draft *draft, int month, double *mean, double *sd) {
    int from = pinery_sky_first_day(month), to = pinery_sky_first_day(month + 1), n = to - from;
    double sum = 0, squares = 0;
    for (int d = from; d < to; d++)
        sum += draft->clearness[d] * day_sum(draft->above, d) / 1000.0;
    *mean = sum / n;
    for (int d = from; d < to; d++)
        squares += pow(draft->clearness[d] * day_sum(draft->above, d) / 1000.0 - *mean, 2.0);
    *sd = sqrt(squares / n);
}

static pinery_status clearness_of_month(struct pinery_sky_draft *draft, int month, const char *path,
                                        pinery_error *error) {
    int from = pinery_sky_first_day(month), to = pinery_sky_first_day(month + 1), n = to - from;
    double want = draft->normals.month[PINERY_SKY_NORMAL_global][month];
    double spread = draft->normals.month[PINERY_SKY_NORMAL_global_sd][month];
    double above = 0, above_2 = 0, cloudless = 0;
    for (int d = from; d < to; d++) {
        double kwh = day_sum(draft->above, d) / 1000.0;
        above += kwh / n;
        above_2 += kwh * kwh / n;
        cloudless += kwh * draft->clear_day[d] / n;
    }
    double mean = want / fmax(above, 1e-9);
    double clearest = fmin(cloudless / fmax(above, 1e-9), 0.6313 + 0.267 * mean - 11.9 * pow(mean - 0.75, 8.0));
    if (above < 1e-3 || want <= 0) { /* the polar night */
        for (int d = from; d < to; d++)
            draft->clearness[d] = 0;
        if (want > 0.05)
            return pinery_base_fail(error, PINERY_BAD_FILE,
                                    "%s: daily global radiation of %s in month %d is %g kWh/m2, but the sun stays down",
                                    path, draft->normals.site.name, month + 1, want);
        return PINERY_OK;
    }
    if (!(mean < 0.95 * clearest))
        return pinery_base_fail(
            error, PINERY_BAD_FILE,
            "%s: daily global radiation of %s in month %d is %g kWh/m2; want less than %.2f, that of a "
            "month almost without cloud",
            path, draft->normals.site.name, month + 1, want, 0.95 * clearest * above);
    double lowest = fmin(CLEARNESS_MIN, 0.3 * mean), width = clearest - lowest;
    double variance = (spread * spread - mean * mean * (above_2 - above * above)) / above_2;
    double unit = (mean - lowest) / width, widest = 0.8 * unit * (1.0 - unit);
    double share[CELLS + 1];
    beta_shares(unit, fmin(fmax(variance, 0.02 * 0.02) / (width * width), widest), share);
    for (int d = from; d < to; d++)
        draft->clearness[d] = lowest + width * beta_quantile(share, pinery_sky_normal_share(draft->clearness_z[d]));
    /* This month's draw has its own mean and spread: take them to those of the normals. */
    for (int pass = 0; pass < 30; pass++) {
        double got, got_sd;
        sums_of_month(draft, month, &got, &got_sd);
        double middle = mean * got / want, stretch = fmin(2.0, fmax(0.5, spread / fmax(got_sd, 1e-6)));
        if (pass >= 20)
            stretch = 1.0; /* the mean has the last word */
        for (int d = from; d < to; d++) {
            double k = mean + stretch * (draft->clearness[d] - middle);
            draft->clearness[d] = fmin(fmin(clearest, draft->clear_day[d]), fmax(lowest, k));
        }
    }
    return PINERY_OK;
}

/* The hours of one day: clearness k of each, then the sum to the day's. */
static void hours_of_day(struct pinery_sky_draft *draft, int day, struct pinery_sky_random *random, double *variate) {
    double K = draft->clearness[day], want = K * day_sum(draft->above, day);
    double lambda = -0.19 + 1.12 * K + 0.24 * exp(-8.0 * K), epsilon = 0.32 - 1.6 * (K - 0.5) * (K - 0.5);
    double kappa = 0.19 + 2.27 * K * K - 2.51 * K * K * K;
    double a = 0.14 * exp(-20.0 * (K - 0.35) * (K - 0.35)), b = 3.0 * (K - 0.45) * (K - 0.45) + 16.0 * pow(K, 5.0);
    double persistence = 0.38 + 0.06 * cos(7.4 * K - 2.5);
    double *global = draft->global + 24 * day;
    const double *above = draft->above + 24 * day, *sine = draft->sine + 24 * day;
    for (int h = 0; h < 24; h++) {
        global[h] = 0;
        if (above[h] <= 0)
            continue;
        *variate = persistence * *variate + sqrt(1.0 - persistence * persistence) * pinery_sky_random_normal(random);
        double k = lambda + epsilon * exp(-kappa / sine[h]) + a * exp(b * (1.0 - sine[h])) * *variate;
        global[h] = above[h] * fmin(clear_hour(sine[h]), fmax(0.02, k));
    }
    for (int pass = 0; pass < 50 && want > 0; pass++) {
        double factor = want / day_sum(draft->global, day);
        if (fabs(factor - 1.0) < 1e-9)
            break;
        for (int h = 0; h < 24; h++)
            global[h] = fmin(factor * global[h], above[h] * clear_hour(sine[h]));
    }
}

static double split_of_month(struct pinery_sky_draft *draft, int month, double power) {
    int from = 24 * pinery_sky_first_day(month), to = 24 * pinery_sky_first_day(month + 1);
    double sum = 0;
    for (int i = from; i < to; i++) {
        draft->diffuse[i] = draft->global[i];
        draft->beam_normal[i] = 0;
        if (draft->global[i] > 0) {
            double share = pow(pinery_sky_erbs(draft->global[i] / draft->above[i]), power);
            draft->beam_normal[i] = (1.0 - share) * draft->global[i] / draft->sine[i];
            draft->diffuse[i] = share * draft->global[i];
        }
        sum += draft->diffuse[i];
    }
    return sum * 24.0 / (to - from) / 1000.0;
}

pinery_status pinery_sky_generate_radiation(struct pinery_sky_draft *draft, const char *path, pinery_error *error) {
    struct pinery_sky_random random;
    pinery_sky_random_seed(&random, draft->seed, 1);
    sun_of_year(draft);
    pinery_sky_persistent_even(&random, PINERY_SKY_DAYS, DAY_CORRELATION, draft->clearness_z);
    for (int m = 0; m < 12; m++) {
        pinery_status status = clearness_of_month(draft, m, path, error);
        if (status != PINERY_OK)
            return status;
    }
    double variate = 0;
    for (int d = 0; d < PINERY_SKY_DAYS; d++)
        hours_of_day(draft, d, &random, &variate);
    for (int m = 0; m < 12; m++) {
        double low = 0.2, high = 5.0, want = draft->normals.month[PINERY_SKY_NORMAL_diffuse][m];
        for (int pass = 0; pass < 50; pass++) {
            double middle = 0.5 * (low + high);
            if (split_of_month(draft, m, middle) > want)
                low = middle;
            else
                high = middle;
        }
    }
    return PINERY_OK;
}
