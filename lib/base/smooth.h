/* Smooth stand-ins for |x|^p, max(0, x), clip and switch, each with its slope, for use where a solver looks.
 *
 * A kink costs a solver a dozen steps, so nothing in a right-hand side may have one. Two families:
 *   exact outside a band (hinge, ramp): piecewise parabola, continuous first derivative; used where a quantity must be
 *     exactly zero or one, as run-off of a dry surface;
 *   asymptotic (positive, turn, abs_power): infinitely smooth; used where a small tail does no harm.
 * `slope` receives the derivative with respect to the first argument and may not be NULL. */
#ifndef PINERY_BASE_SMOOTH_H
#define PINERY_BASE_SMOOTH_H

#include <math.h>
#include <stdint.h>
#include <string.h>

/* A quantity that depends on two temperatures a and b [degC], with its partial derivatives. */
struct pinery_pair {
    double value, d_a, d_b;
};

/* max(0, x) ~ (x + sqrt(x^2 + width^2)) / 2. Too large by width/2 at 0 and by width^2/(4|x|) far out. */
static inline double pinery_base_positive(double x, double width, double *slope) {
    double root = sqrt(x * x + width * width);
    *slope = x < 0.0 ? 0.5 * width * width / (root * (root - x)) : 0.5 * (1.0 + x / root);
    return x < 0.0 ? 0.5 * width * width / (root - x) : 0.5 * (x + root);
}

/* max(0, x), exact outside -width .. width: 0, then (x + width)^2/(4 width), then x. */
static inline double pinery_base_hinge(double x, double width, double *slope) {
    if (x <= -width) {
        *slope = 0.0;
        return 0.0;
    }
    if (x >= width) {
        *slope = 1.0;
        return x;
    }
    *slope = (x + width) / (2.0 * width);
    return (x + width) * (x + width) / (4.0 * width);
}

/* A step from 0 (x <= 0) to 1 (x >= 1): a straight middle, and parabolas over the first and last quarter. */
static inline double pinery_base_ramp(double x, double *slope) {
    const double corner = 0.25, steep = 1.0 / (1.0 - corner);
    if (x <= 0.0 || x >= 1.0) {
        *slope = 0.0;
        return x <= 0.0 ? 0.0 : 1.0;
    }
    if (x < corner) {
        *slope = steep * x / corner;
        return 0.5 * steep * x * x / corner;
    }
    if (x > 1.0 - corner) {
        *slope = steep * (1.0 - x) / corner;
        return 1.0 - 0.5 * steep * (1.0 - x) * (1.0 - x) / corner;
    }
    *slope = steep;
    return steep * (x - 0.5 * corner);
}

/* A step from 0 to 1 about x = 0: (1 + x/sqrt(x^2 + width^2)) / 2; within 1 % at 5 widths. */
static inline double pinery_base_turn(double x, double width, double *slope) {
    double root = sqrt(x * x + width * width), sum = root + fabs(x), inverse = 1.0 / (root * sum);
    double per_root = sum * inverse, least = 0.5 * width * width * inverse; /* what is left on the lower side */
    *slope = 0.5 * width * width * per_root * per_root * per_root;
    return x < 0.0 ? least : 1.0 - least;
}

/* Cube root of a positive number: a third of its exponent for a start, within 4 %, and two rounds of Halley's method,
 * each of which cubes what is wrong. The C library's takes three times as long. */
static inline double pinery_base_halley(double root, double x) {
    double cube = root * root * root;
    return root * (cube + 2.0 * x) / (2.0 * cube + x);
}

static inline double pinery_base_third_root(double x) {
    uint64_t bits;
    double root;
    memcpy(&bits, &x, sizeof bits);
    bits = bits / 3 + 0x2a9f7893782da1ceULL;
    memcpy(&root, &bits, sizeof root);
    return pinery_base_halley(pinery_base_halley(root, x), x);
}

/* The same of a number between 0.05 and 240 whose fourth root q is at hand: from a parabola in q, within 1.4 %. Nothing
 * but arithmetic, so that a compiler may do several at once. */
static inline double pinery_base_third_root_by(double x, double q) {
    return pinery_base_halley(pinery_base_halley(-0.1359 + q * (0.9767 + q * 0.1672), x), x);
}

/* exp(x) for |x| < 700, without the branches of the C library's, so that a compiler may do several at once: 2^k with k
 * the whole number nearest to x/ln 2, times the series of the rest, which is at most ln 2/2 and leaves 4e-18 after 13
 * powers. Within 2 units of the last place. */
static inline double pinery_base_exp(double x) {
    const double whole = 6755399441055744.0; /* 1.5 2^52: what is added to it loses its fraction */
    double shifted = x * 1.4426950408889634074 + whole, k = shifted - whole;
    double r = (x - k * 6.93147180369123816490e-01) - k * 1.90821492927058770002e-10, r2 = r * r, r4 = r2 * r2;
    double low = (1.0 + r) + r2 * (1.0 / 2 + r * (1.0 / 6));
    double middle = (1.0 / 24 + r * (1.0 / 120)) + r2 * (1.0 / 720 + r * (1.0 / 5040));
    double high = (1.0 / 40320 + r * (1.0 / 362880)) + r2 * (1.0 / 3628800 + r * (1.0 / 39916800));
    double top = 1.0 / 479001600 + r * (1.0 / 6227020800);
    uint64_t bits;
    double power;
    memcpy(&bits, &shifted, sizeof bits);
    bits = (bits + 1023) << 52;
    memcpy(&power, &bits, sizeof power);
    return power * (low + r4 * (middle + r4 * (high + r4 * top)));
}

/* ln(x) for x > 0 that is no denormal, in the same way: x = 2^k m with m from 1/sqrt 2 to sqrt 2, and ln m by the
 * series in (m - 1)/(m + 1), which leaves 2e-17 of it after eleven terms. Within 2 units of the last place. */
static inline double pinery_base_ln(double x) {
    const double whole = 6755399441055744.0; /* as above; its bits hold a whole number that is added to them */
    const uint64_t root_half = 0x3fe6a09e667f3bcdULL;
    uint64_t bits, shifted;
    double m, k;
    memcpy(&bits, &x, sizeof bits);
    memcpy(&shifted, &whole, sizeof shifted);
    const uint64_t power = ((bits - root_half + (1024ULL << 52)) >> 52) - 1024;
    bits -= power << 52;
    shifted += power;
    memcpy(&m, &bits, sizeof m);
    memcpy(&k, &shifted, sizeof k);
    k -= whole;
    double f = (m - 1.0) / (m + 1.0), s = f * f, s2 = s * s, s4 = s2 * s2;
    double low = (1.0 / 3 + s * (1.0 / 5)) + s2 * (1.0 / 7 + s * (1.0 / 9));
    double middle = (1.0 / 11 + s * (1.0 / 13)) + s2 * (1.0 / 15 + s * (1.0 / 17));
    double high = (1.0 / 19 + s * (1.0 / 21));
    return k * 6.93147180369123816490e-01 +
           (2.0 * f + (2.0 * f * s * (low + s4 * (middle + s4 * high)) + k * 1.90821492927058770002e-10));
}

/* x^p for x > 0. */
static inline double pinery_base_power(double x, double p) {
    return pinery_base_exp(p * pinery_base_ln(x));
}

/* sin(x) for |x| < 1, by its series, which leaves 1e-17 of it after nine powers. */
static inline double pinery_base_sine(double x) {
    double s = x * x, s2 = s * s;
    double low = -1.0 / 6 + s * (1.0 / 120), middle = -1.0 / 5040 + s * (1.0 / 362880);
    double high = -1.0 / 39916800 + s * (1.0 / 6227020800);
    double top = -1.0 / 1307674368000 + s * (1.0 / 355687428096000);
    return x + x * s * ((low + s2 * middle) + s2 * s2 * (high + s2 * top));
}

/* |x|^p ~ (x^2 + width^2)^(p/2). Where p is known to the compiler and a chain of roots, no pow is left of it. */
static inline double pinery_base_abs_power(double x, double p, double width, double *slope) {
    double square = x * x + width * width, value;
    if (p == 1.0)
        value = sqrt(square);
    else if (p == 1.0 / 3.0)
        value = pinery_base_third_root(sqrt(square));
    else if (p == 0.25)
        value = sqrt(sqrt(sqrt(square)));
    else if (p == -0.5)
        value = 1.0 / sqrt(sqrt(square));
    else
        value = pinery_base_power(square, 0.5 * p);
    *slope = p * x * value * (1.0 / square); /* the quotient need not wait for the value */
    return value;
}

/* min(x, limit) with a rounded corner of +-width. */
static inline double pinery_base_at_most(double x, double limit, double width, double *slope) {
    double over_slope, over = pinery_base_hinge(x - limit, width, &over_slope);
    *slope = 1.0 - over_slope;
    return x - over;
}

#endif
