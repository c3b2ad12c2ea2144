/* A step of the integration is some hundred operations on vectors of a hundred numbers. SUNDIALS' own loops do one
 * number at a time in Debian's build; these do as many as the processor can, and are the same to the last bit but for
 * sums along a vector.
 *
 * The norm is the root of the mean weighted square over the physical unknowns alone: they come first, and the running
 * totals, which carry no weight, after them. CVODE's own mean over all unknowns would loosen its error test by
 * sqrt(n_all/n_physical). */
#include "year/vector.h"

#include <math.h>

#include "year/wide.h"

static inline sunrealtype *data(N_Vector v) {
    return NV_DATA_S(v);
}

/* z = a x + b y; z may be one of them. */
PINERY_YEAR_WIDE static void sum(long n, sunrealtype a, const sunrealtype *x, sunrealtype b, const sunrealtype *y,
                                 sunrealtype *z) {
    PINERY_YEAR_EACH
    PINERY_YEAR_UNROLL
    for (long i = 0; i < n; i++)
        z[i] = a * x[i] + b * y[i];
}

PINERY_YEAR_WIDE static void add(long n, const sunrealtype *x, const sunrealtype *y, sunrealtype *z) {
    PINERY_YEAR_EACH
    PINERY_YEAR_UNROLL
    for (long i = 0; i < n; i++)
        z[i] = x[i] + y[i];
}

PINERY_YEAR_WIDE static void subtract(long n, const sunrealtype *x, const sunrealtype *y, sunrealtype *z) {
    PINERY_YEAR_EACH
    PINERY_YEAR_UNROLL
    for (long i = 0; i < n; i++)
        z[i] = x[i] - y[i];
}

PINERY_YEAR_WIDE static void add_scaled(long n, sunrealtype a, const sunrealtype *x, const sunrealtype *y,
                                        sunrealtype *z) {
    PINERY_YEAR_EACH
    PINERY_YEAR_UNROLL
    for (long i = 0; i < n; i++)
        z[i] = a * x[i] + y[i];
}

PINERY_YEAR_WIDE static void scale(long n, sunrealtype a, const sunrealtype *x, sunrealtype *z) {
    PINERY_YEAR_EACH
    PINERY_YEAR_UNROLL
    for (long i = 0; i < n; i++)
        z[i] = a * x[i];
}

PINERY_YEAR_WIDE static void fill(long n, sunrealtype c, sunrealtype *z) {
    PINERY_YEAR_EACH
    PINERY_YEAR_UNROLL
    for (long i = 0; i < n; i++)
        z[i] = c;
}

/* The residual of a round of Newton's method. */
PINERY_YEAR_WIDE static void residual(long n, sunrealtype a, const sunrealtype *x, sunrealtype b, const sunrealtype *y,
                                      const sunrealtype *c, sunrealtype *z) {
    PINERY_YEAR_EACH
    PINERY_YEAR_UNROLL
    for (long i = 0; i < n; i++)
        z[i] = a * x[i] - b * y[i] - c[i];
}

void pinery_year_vector_residual(long n, double a, const double *x, double b, const double *y, const double *c,
                                 double *z) {
    if (c)
        residual(n, a, x, b, y, c, z);
    else
        sum(n, a, x, -b, y, z);
}

static void vector_sum(sunrealtype a, N_Vector x, sunrealtype b, N_Vector y, N_Vector z) {
    long n = (long)NV_LENGTH_S(x);
    if (a == 1.0 && b == 1.0)
        add(n, data(x), data(y), data(z));
    else if (a == 1.0 && b == -1.0)
        subtract(n, data(x), data(y), data(z));
    else if (b == 1.0)
        add_scaled(n, a, data(x), data(y), data(z));
    else if (a == 1.0)
        add_scaled(n, b, data(y), data(x), data(z));
    else
        sum(n, a, data(x), b, data(y), data(z));
}

static void vector_constant(sunrealtype c, N_Vector z) {
    fill((long)NV_LENGTH_S(z), c, data(z));
}

static void vector_scale(sunrealtype a, N_Vector x, N_Vector z) {
    scale((long)NV_LENGTH_S(x), a, data(x), data(z));
}

static int vector_combination(int many, sunrealtype *c, N_Vector *x, N_Vector z) {
    long n = (long)NV_LENGTH_S(z);
    if (many == 1)
        scale(n, c[0], data(x[0]), data(z));
    else
        sum(n, c[0], data(x[0]), c[1], data(x[1]), data(z));
    for (int k = 2; k < many; k++)
        add_scaled(n, c[k], data(x[k]), data(z), data(z));
    return 0;
}

static int vector_add_to_each(int many, sunrealtype *a, N_Vector x, N_Vector *y, N_Vector *z) {
    for (int k = 0; k < many; k++)
        add_scaled((long)NV_LENGTH_S(x), a[k], data(x), data(y[k]), data(z[k]));
    return 0;
}

static int vector_scale_each(int many, sunrealtype *c, N_Vector *x, N_Vector *z) {
    for (int k = 0; k < many; k++)
        scale((long)NV_LENGTH_S(x[k]), c[k], data(x[k]), data(z[k]));
    return 0;
}

/* How many carry weight. They come first, so halving finds the border. */
static long weighed(long n, const sunrealtype *w) {
    long many = 0, most = n;
    while (many < most) {
        long middle = (many + most) / 2;
        if (w[middle] > PINERY_YEAR_NO_WEIGHT)
            many = middle + 1;
        else
            most = middle;
    }
    return many;
}

/* Sums along a vector go side by side, so that none waits for the number before. */
enum { SIDE = 8 };
static sunrealtype together(const sunrealtype part[SIDE]) {
    return (part[0] + part[4]) + (part[1] + part[5]) + (part[2] + part[6]) + (part[3] + part[7]);
}

/* Of weighted squares. */
PINERY_YEAR_WIDE static sunrealtype squares(long n, const sunrealtype *x, const sunrealtype *w) {
    sunrealtype part[SIDE] = {0.0}, rest = 0.0;
    long whole = n - n % SIDE;
    for (long i = 0; i < whole; i += SIDE)
        for (int k = 0; k < SIDE; k++)
            part[k] += (x[i + k] * w[i + k]) * (x[i + k] * w[i + k]);
    for (long i = whole; i < n; i++)
        rest += (x[i] * w[i]) * (x[i] * w[i]);
    return together(part) + rest;
}

/* Of weighted squares, and of products of the weighted numbers with `last`; they are kept. */
PINERY_YEAR_WIDE static sunrealtype look(long n, const sunrealtype *x, const sunrealtype *w, const sunrealtype *last,
                                         sunrealtype *weighted, sunrealtype *with_last) {
    sunrealtype part[SIDE] = {0.0}, with[SIDE] = {0.0}, rest = 0.0, with_rest = 0.0;
    long whole = n - n % SIDE;
    PINERY_YEAR_EACH
    for (long i = 0; i < whole; i += SIDE)
        for (int k = 0; k < SIDE; k++) {
            sunrealtype now = weighted[i + k] = x[i + k] * w[i + k];
            part[k] += now * now;
            with[k] += now * last[i + k];
        }
    for (long i = whole; i < n; i++) {
        sunrealtype now = weighted[i] = x[i] * w[i];
        rest += now * now;
        with_rest += now * last[i];
    }
    *with_last = together(with) + with_rest;
    return together(part) + rest;
}

double pinery_year_vector_look(long n, const double *x, const double *weight, const double *last, double *weighted,
                               double *with_last) {
    return look(n, x, weight, last, weighted, with_last);
}

static sunrealtype vector_norm(N_Vector v, N_Vector weight) {
    long n = weighed((long)NV_LENGTH_S(v), data(weight));
    return sqrt(squares(n, data(v), data(weight)) / (sunrealtype)n);
}

N_Vector pinery_year_vector_create(int n, SUNContext context) {
    N_Vector v = N_VNew_Serial(n, context);
    if (!v)
        return NULL;
    v->ops->nvlinearsum = vector_sum;
    v->ops->nvscale = vector_scale;
    v->ops->nvconst = vector_constant;
    v->ops->nvlinearcombination = vector_combination;
    v->ops->nvscaleaddmulti = vector_add_to_each;
    v->ops->nvscalevectorarray = vector_scale_each;
    v->ops->nvwrmsnorm = vector_norm;
    return v;
}
