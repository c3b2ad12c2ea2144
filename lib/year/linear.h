/* Linear algebra of the integration: the slope matrix, and LU of its physical block. */
#ifndef PINERY_YEAR_LINEAR_H
#define PINERY_YEAR_LINEAR_H

#include <stdbool.h>

/* Slopes of `all` rows by `n` columns, as struct pinery_year_net writes them: all + 1 rows of n + 1, row by row. */
struct pinery_year_slopes;

struct pinery_year_slopes *pinery_year_linear_slopes_create(int n, int all); /* NULL: no memory */
void pinery_year_linear_slopes_free(struct pinery_year_slopes *slopes);
void pinery_year_linear_slopes_size(const struct pinery_year_slopes *slopes, int *n, int *all);
double *pinery_year_linear_slopes(struct pinery_year_slopes *slopes);
void pinery_year_linear_slopes_copy(const struct pinery_year_slopes *from, struct pinery_year_slopes *to);
/* factor J + I, the identity in the physical block. */
void pinery_year_linear_slopes_scale(struct pinery_year_slopes *slopes, double factor);

/* LU with row pivoting of the physical block. */
struct pinery_year_linear;

struct pinery_year_linear *pinery_year_linear_create(int n, int all); /* NULL: no memory */
void pinery_year_linear_free(struct pinery_year_linear *linear);
bool pinery_year_linear_factorize(struct pinery_year_linear *linear,
                                  const struct pinery_year_slopes *matrix); /* false: singular */
/* x from b: the physical part by LU, x_t = b_t - M_tp x_p for the totals, with the matrix that was factorized. */
void pinery_year_linear_solve(const struct pinery_year_linear *linear, const double *b, double *x);

#endif
