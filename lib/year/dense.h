/* A full matrix, row by row, by Gaussian elimination with row pivoting. */
#ifndef PINERY_YEAR_DENSE_H
#define PINERY_YEAR_DENSE_H

#include <stdbool.h>

/* lu: n x n, overwritten by its factors; pivot: n. False: singular. */
bool pinery_year_dense_factorize(int n, double *lu, int *pivot);
/* x, n: the right-hand side, overwritten by the solution. */
void pinery_year_dense_solve(int n, const double *lu, const int *pivot, double *x);

#endif
