/* Slopes that a function gives, held against central differences. Include after check.h. */
#ifndef PINERY_TESTS_SLOPES_H
#define PINERY_TESTS_SLOPES_H

#include <stdint.h>

#define SLOPES_MOST 8

/* Value of a function of n numbers; fills its n slopes. */
typedef double (*slopes_function)(const double *x, double *slope);

/* The same numbers in every run (xorshift64*). */
static inline double slopes_random(double low, double high) {
    static uint64_t state = 88172645463325252u;
    state ^= state >> 12;
    state ^= state << 25;
    state ^= state >> 27;
    return low + (high - low) * (double)((state * 2685821657736338717u) >> 11) / 9007199254740992.0;
}

/* A difference of either sign from 1e-4 to `most`, small ones as often as large ones, now and then 0. */
static inline double slopes_near_zero(double most) {
    if (slopes_random(0, 1) < 0.05)
        return 0.0;
    return (slopes_random(-1, 1) < 0 ? -1.0 : 1.0) * 1e-4 * pow(most / 1e-4, slopes_random(0, 1));
}

/* Fourth-order difference by number i with step h. */
static inline double slopes_difference(slopes_function f, const double *x, int n, int i, double h) {
    double y[SLOPES_MOST], unused[SLOPES_MOST], at[4];
    const double step[4] = {-2, -1, 1, 2};
    for (int k = 0; k < n; k++)
        y[k] = x[k];
    for (int k = 0; k < 4; k++) {
        y[i] = x[i] + step[k] * h;
        at[k] = f(y, unused);
    }
    return (at[0] - 8.0 * at[1] + 8.0 * at[2] - at[3]) / (12.0 * h);
}

/* Every slope within rel of the difference, or within rel of the value over `scale[i]`, the change of x[i] that
 * matters. */
static inline void slopes_check(slopes_function f, const double *x, int n, const double *scale, double rel,
                                const char *what, const char *file, int line) {
    double slope[SLOPES_MOST] = {0};
    double value = f(x, slope);
    for (int i = 0; i < n; i++) {
        double difference = slopes_difference(f, x, n, i, 1e-4 * scale[i]);
        if (check_is_close(slope[i], difference, rel, rel * fabs(value) / scale[i] + 1e-300))
            continue;
        print_error("%s: slope by number %d is %.9g, difference %.9g, at", what, i, slope[i], difference);
        for (int k = 0; k < n; k++)
            print_error(" %.9g", x[k]);
        print_error("\n");
        _fail(file, line);
    }
}

#define assert_slopes(f, x, n, scale, rel) slopes_check(f, x, n, scale, rel, #f, __FILE__, __LINE__)

#endif
