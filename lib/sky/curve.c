/* Instants: a cubic with the slopes of Fritsch & Butland 1984 (SIAM J. Sci. Stat. Comput. 5:300), the harmonic mean of
 * the slopes on either side, 0 at a turning point. The curve is smooth to its first derivative and never leaves the
 * range of its two ends.
 *
 * Means: a parabola through the values a and b at the ends of the interval whose mean is m,
 *     f(s) = a + (b - a) s + 6 (m - (a + b)/2) s (1 - s).
 * Two intervals share their end's value, the mean of the two means, but not more than twice the smaller one: with a, b
 * <= 2m the parabola is nowhere negative. */
#include "sky/curve.h"

static double slope(double left, double right) {
    return left * right > 0.0 ? 2.0 * left * right / (left + right) : 0.0;
}

struct pinery_sky_cubic pinery_sky_curve_instants(double before, double from, double to, double after) {
    double rise = to - from, a = slope(from - before, rise), b = slope(rise, after - to);
    return (struct pinery_sky_cubic){from, a, 3.0 * rise - 2.0 * a - b, a + b - 2.0 * rise};
}

static double shared(double left, double right) {
    double smaller = left < right ? left : right, half = 0.5 * (left + right);
    return half < 2.0 * smaller ? half : 2.0 * smaller;
}

struct pinery_sky_cubic pinery_sky_curve_means(double before, double mean, double after) {
    double a = shared(before, mean), b = shared(mean, after), bow = 6.0 * (mean - 0.5 * (a + b));
    return (struct pinery_sky_cubic){a, b - a + bow, -bow, 0.0};
}
