/* Vectors of the integration: SUNDIALS' serial vector with our own loops in the operations that every step uses.
 *
 * Numbers stand in whole lines of eight, and loops go over whole lines: a vector's length is a multiple of eight, and
 * what is behind the last number is nobody's. */
#ifndef PINERY_YEAR_VECTOR_H
#define PINERY_YEAR_VECTOR_H

#include <nvector/nvector_serial.h>
#include <sundials/sundials_version.h>

#include "year/wide.h"

/* For a context of one process alone: SUNDIALS 7 names the communicator that is missing. */
#if SUNDIALS_VERSION_MAJOR >= 7
#define PINERY_YEAR_NO_COMMUNICATOR SUN_COMM_NULL
#else
#define PINERY_YEAR_NO_COMMUNICATOR NULL
#endif

/* Numbers in as many whole lines as n need. */
static inline int pinery_year_in_lines(int n) {
    return (n + PINERY_YEAR_LINE - 1) / PINERY_YEAR_LINE * PINERY_YEAR_LINE;
}

/* Of n numbers, all 0, and what is behind them. NULL: no memory. Freed by N_VDestroy; what is cloned from it has the
 * same operations. */
N_Vector pinery_year_vector_create(int n, SUNContext context);

/* Weight of an unknown that must not count in the error. CVODE wants weights above 0. */
#define PINERY_YEAR_NO_WEIGHT 1e-30

/* Of n numbers in whole lines: z = a x - b y - c, where z may be one of them; c NULL: nothing. */
void pinery_year_vector_residual(long n, double a, const double *x, double b, const double *y, const double *c,
                                 double *z);

/* Of n numbers x in whole lines: they weighted, the sum of the squares of these, and of their products with those in
 * `last`. What is behind x belongs to numbers without weight. */
double pinery_year_vector_look(long n, const double *x, const double *weight, const double *last, double *weighted,
                               double *with_last);

#endif
