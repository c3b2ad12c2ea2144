/* Continuous curves with given means: a parabola in each interval between edge values that neighbours share, as in the
 * piecewise parabolic method (Colella & Woodward 1984, J. Comput. Phys. 54:174), without its limiter. */
#include "sky/generate.h"

int pinery_sky_first_day(int month) {
    return pinery_sky_days_before(false, month);
}

int pinery_sky_month_of_day(int day) {
    int month = 0;
    while (day >= pinery_sky_first_day(month + 1))
        month++;
    return month;
}

/* Edge between intervals 1 and 2 of four neighbours: fourth order where they are equally long. */
static double edge(double m0, double m1, double m2, double m3) {
    return (7.0 * (m1 + m2) - (m0 + m3)) / 12.0;
}

static void parabola(double left, double mean, double right, int n, double *out) {
    /* the mean of x (1 - x) over the samples x = (i + 1/2) / n */
    double bulge = 1.0 / 6.0 + 1.0 / (12.0 * n * n);
    double height = (mean - 0.5 * (left + right)) / bulge;
    for (int i = 0; i < n; i++) {
        double x = (i + 0.5) / n;
        out[i] = left + x * (right - left) + height * x * (1.0 - x);
    }
}

static void spread(int n, const double *mean, int first_hour(int), double *hourly) {
    for (int i = 0; i < n; i++) {
        double before_2 = mean[(i + n - 2) % n], before = mean[(i + n - 1) % n];
        double after = mean[(i + 1) % n], after_2 = mean[(i + 2) % n];
        int from = first_hour(i);
        parabola(edge(before_2, before, mean[i], after), mean[i], edge(before, mean[i], after, after_2),
                 first_hour(i + 1) - from, hourly + from);
    }
}

static int month_hour(int month) {
    return 24 * pinery_sky_first_day(month);
}

static int day_hour(int day) {
    return 24 * day;
}

void pinery_sky_spread_months(const double mean[12], double hourly[PINERY_SKY_HOURS]) {
    spread(12, mean, month_hour, hourly);
}

void pinery_sky_spread_days(const double mean[PINERY_SKY_DAYS], double hourly[PINERY_SKY_HOURS]) {
    spread(PINERY_SKY_DAYS, mean, day_hour, hourly);
}

static double mean_of(const double *value, int from, int to) {
    double sum = 0;
    for (int i = from; i < to; i++)
        sum += value[i];
    return sum / (to - from);
}

void pinery_sky_means_of_months(const double hourly[PINERY_SKY_HOURS], double mean[12]) {
    for (int m = 0; m < 12; m++)
        mean[m] = mean_of(hourly, month_hour(m), month_hour(m + 1));
}

void pinery_sky_means_of_days(const double hourly[PINERY_SKY_HOURS], double mean[PINERY_SKY_DAYS]) {
    for (int d = 0; d < PINERY_SKY_DAYS; d++)
        mean[d] = mean_of(hourly, day_hour(d), day_hour(d + 1));
}
