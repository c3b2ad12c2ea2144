/* A full matrix, row by row, with its right-hand side. */
#ifndef PINERY_YEAR_DENSE_H
#define PINERY_YEAR_DENSE_H

#include <stdbool.h>

/* By Gaussian elimination with row pivoting. a: n x n, overwritten by its factors; x, n: the right-hand side,
 * overwritten by the solution. False: singular. */
bool pinery_year_dense_solve(int n, double *a, double *x);

/* The same with pivots on the diagonal, none of which may be smaller than its `least`: rows of `stride` values, a
 * multiple of 4 over n, the right-hand side in place n of each. x, n: the solution. False: a pivot is too small. */
bool pinery_year_dense_solve_rows(int n, int stride, double *a, const double *least, double *x);

#endif
