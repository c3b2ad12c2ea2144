/* Vectors of the integration: SUNDIALS' serial vector with our own loops in the operations that every step uses. */
#ifndef PINERY_YEAR_VECTOR_H
#define PINERY_YEAR_VECTOR_H

#include <nvector/nvector_serial.h>

/* NULL: no memory. Freed by N_VDestroy; what is cloned from it has the same operations. */
N_Vector pinery_year_vector_create(int n, SUNContext context);

/* Weight of an unknown that must not count in the error. CVODE wants weights above 0. */
#define PINERY_YEAR_NO_WEIGHT 1e-30

/* z = a x + b y of n numbers; z may be one of them. */
void pinery_year_vector_sum(long n, double a, const double *x, double b, const double *y, double *z);

#endif
