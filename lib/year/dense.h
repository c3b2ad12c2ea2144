/* A full matrix, row by row, with its right-hand side. */
#ifndef PINERY_YEAR_DENSE_H
#define PINERY_YEAR_DENSE_H

#include <stdbool.h>

/* By Gaussian elimination with row pivoting. a: n x n, overwritten by its factors; x, n: the right-hand side,
 * overwritten by the solution. False: singular. */
bool pinery_year_dense_solve(int n, double *a, double *x);

/* In two, for several right-hand sides, with pivots on the diagonal, none of which may be smaller than its `least`.
 * a: n rows of `stride` values, a multiple of 4 not below n, what is over n being 0; overwritten by U. lower becomes L,
 * n columns of `stride` values, and inverse, n, that of the pivots. x: n, with room for `stride`; what is over n does
 * not change. False: a pivot is too small. */
bool pinery_year_dense_factor(int n, int stride, double *a, const double *least, double *lower, double *inverse);
void pinery_year_dense_substitute(int n, int stride, const double *a, const double *lower, const double *inverse,
                                  double *x);

#endif
