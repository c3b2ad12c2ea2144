/* A full matrix, row by row, with its right-hand side. */
#ifndef PINERY_YEAR_DENSE_H
#define PINERY_YEAR_DENSE_H

#include <stdbool.h>

/* By Gaussian elimination with row pivoting. a: n x n, overwritten by its factors; x, n: the right-hand side,
 * overwritten by the solution. False: singular. */
bool pinery_year_dense_solve(int n, double *a, double *x);

/* In two, for several right-hand sides, of a matrix by columns, with pivots on the diagonal, none of which may be
 * smaller than its `least`. a: n columns, at most so many, of `stride` values, which is n up to a multiple of 4; what
 * is over n is 0, and there is room for `stride` columns. False: a pivot is too small. */
enum { PINERY_YEAR_DENSE_MOST = 16 };
bool pinery_year_dense_factor(int n, int stride, double *a, const double *least);

/* x, the right-hand side with room for `stride`, becomes the solution. */
void pinery_year_dense_substitute(int n, int stride, const double *a, double *x);

#endif
