/* Smooth curves through a weather's records: instants without overshoot, means with their integral kept. */
#ifndef PINERY_SKY_CURVE_H
#define PINERY_SKY_CURVE_H

/* A cubic over one interval: value at s = 0 .. 1 is c0 + s (c1 + s (c2 + s c3)). */
struct pinery_sky_cubic {
    double c0, c1, c2, c3;
};

static inline double pinery_sky_cubic_at(const struct pinery_sky_cubic *cubic, double s) {
    return cubic->c0 + s * (cubic->c1 + s * (cubic->c2 + s * cubic->c3));
}

/* The curve between the middle two of four equally spaced instants. */
struct pinery_sky_cubic pinery_sky_curve_instants(double before, double from, double to, double after);

/* The curve over the middle one of three equally long intervals whose means are given; its own mean is `mean`.
 * Non-negative means give a non-negative curve, and a mean of 0 gives 0 at both ends. */
struct pinery_sky_cubic pinery_sky_curve_means(double before, double mean, double after);

#endif
