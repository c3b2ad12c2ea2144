/* A step of the integration is some hundred operations on vectors of a hundred numbers. SUNDIALS' own loops do one
 * number at a time in Debian's build; these do a line at a time, written as such: what compilers make of loops over
 * single numbers is ten times the code, and a step runs through more code than the first cache holds.
 *
 * The norm is the root of the mean weighted square over the physical unknowns alone: they come first, and the running
 * totals, which carry no weight, after them. CVODE's own mean over all unknowns would loosen its error test by
 * sqrt(n_all/n_physical). */
#include "year/vector.h"

#include <math.h>

enum { LINE = PINERY_YEAR_LINE };
typedef pinery_year_line line;
typedef sunrealtype real;

static inline real *data(N_Vector v) {
    return NV_DATA_S(v);
}

/* ---- loops ---- */

#define EACH_LINE PINERY_YEAR_UNROLL for (long i = 0; i < n; i += LINE)
#define OF(x) (*(const line *)((x) + i))
#define INTO(z) (*(line *)((z) + i))

/* z = a x + b y; z may be one of them, here and below. */
PINERY_YEAR_WIDE static void sum(long n, real a, const real *x, real b, const real *y, real *z) {
    EACH_LINE INTO(z) = a * OF(x) + b * OF(y);
}

PINERY_YEAR_WIDE static void sum_of_three(long n, const real *c, const real *x, const real *y, const real *v, real *z) {
    const real a = c[0], b = c[1], d = c[2];
    EACH_LINE INTO(z) = a * OF(x) + b * OF(y) + d * OF(v);
}

PINERY_YEAR_WIDE static void add(long n, const real *x, const real *y, real *z) {
    EACH_LINE INTO(z) = OF(x) + OF(y);
}

/* z = a (x - y), nothing where they are the same: what a quotient of differences wants. */
PINERY_YEAR_WIDE static void difference(long n, real a, const real *x, const real *y, real *z) {
    EACH_LINE INTO(z) = a * (OF(x) - OF(y));
}

PINERY_YEAR_WIDE static void add_scaled(long n, real a, const real *x, const real *y, real *z) {
    EACH_LINE INTO(z) = a * OF(x) + OF(y);
}

PINERY_YEAR_WIDE static void scale(long n, real a, const real *x, real *z) {
    EACH_LINE INTO(z) = a * OF(x);
}

PINERY_YEAR_WIDE static void fill(long n, real c, real *z) {
    EACH_LINE INTO(z) = c - (line){0.0};
}

PINERY_YEAR_WIDE static void residual(long n, real a, const real *x, real b, const real *y, const real *c, real *z) {
    EACH_LINE INTO(z) = a * OF(x) - b * OF(y) - OF(c);
}

/* Numbers side by side, in one. */
static inline real together(const line *part) {
    const line p = *part;
    return ((p[0] + p[4]) + (p[1] + p[5])) + ((p[2] + p[6]) + (p[3] + p[7]));
}

/* Sum of weighted squares. */
PINERY_YEAR_WIDE static real squares(long n, const real *x, const real *w) {
    line part = {0.0};
    EACH_LINE {
        const line weighted = OF(x) * OF(w);
        part += weighted * weighted;
    }
    return together(&part);
}

PINERY_YEAR_WIDE static real look(long n, const real *x, const real *w, const real *last, real *weighted,
                                  real *with_last) {
    line part = {0.0}, with = {0.0};
    EACH_LINE {
        const line now = OF(x) * OF(w);
        part += now * now;
        with += now * OF(last);
        INTO(weighted) = now;
    }
    *with_last = together(&with);
    return together(&part);
}

void pinery_year_vector_residual(long n, double a, const double *x, double b, const double *y, const double *c,
                                 double *z) {
    if (c)
        residual(n, a, x, b, y, c, z);
    else
        sum(n, a, x, -b, y, z);
}

double pinery_year_vector_look(long n, const double *x, const double *weight, const double *last, double *weighted,
                               double *with_last) {
    return look(n, x, weight, last, weighted, with_last);
}

/* ---- what SUNDIALS asks ---- */

static void vector_sum(real a, N_Vector x, real b, N_Vector y, N_Vector z) {
    long n = (long)NV_LENGTH_S(x);
    if (b == 1.0 && a == 1.0)
        add(n, data(x), data(y), data(z));
    else if (a == -b)
        difference(n, a, data(x), data(y), data(z));
    else if (b == 1.0)
        add_scaled(n, a, data(x), data(y), data(z));
    else if (a == 1.0)
        add_scaled(n, b, data(y), data(x), data(z));
    else
        sum(n, a, data(x), b, data(y), data(z));
}

static void vector_constant(real c, N_Vector z) {
    fill((long)NV_LENGTH_S(z), c, data(z));
}

static void vector_scale(real a, N_Vector x, N_Vector z) {
    scale((long)NV_LENGTH_S(x), a, data(x), data(z));
}

static int vector_combination(int many, real *c, N_Vector *x, N_Vector z) {
    long n = (long)NV_LENGTH_S(z);
    if (many == 1)
        scale(n, c[0], data(x[0]), data(z));
    else if (many == 2)
        sum(n, c[0], data(x[0]), c[1], data(x[1]), data(z));
    else
        sum_of_three(n, c, data(x[0]), data(x[1]), data(x[2]), data(z));
    for (int k = 3; k < many; k++)
        add_scaled(n, c[k], data(x[k]), data(z), data(z));
    return 0;
}

static int vector_add_to_each(int many, real *a, N_Vector x, N_Vector *y, N_Vector *z) {
    for (int k = 0; k < many; k++)
        add_scaled((long)NV_LENGTH_S(x), a[k], data(x), data(y[k]), data(z[k]));
    return 0;
}

static int vector_scale_each(int many, real *c, N_Vector *x, N_Vector *z) {
    for (int k = 0; k < many; k++)
        scale((long)NV_LENGTH_S(x[k]), c[k], data(x[k]), data(z[k]));
    return 0;
}

/* How many carry weight. They come first, so halving finds the border. */
static long weighed(long n, const real *w) {
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

static real vector_norm(N_Vector v, N_Vector weight) {
    long n = weighed((long)NV_LENGTH_S(v), data(weight));
    return sqrt(squares(n, data(v), data(weight)) / (real)n);
}

N_Vector pinery_year_vector_create(int n, SUNContext context) {
    N_Vector v = N_VNew_Serial(pinery_year_in_lines(n), context);
    if (!v)
        return NULL;
    v->ops->nvlinearsum = vector_sum;
    v->ops->nvscale = vector_scale;
    v->ops->nvconst = vector_constant;
    v->ops->nvlinearcombination = vector_combination;
    v->ops->nvscaleaddmulti = vector_add_to_each;
    v->ops->nvscalevectorarray = vector_scale_each;
    v->ops->nvwrmsnorm = vector_norm;
    N_VConst(0.0, v);
    return v;
}
