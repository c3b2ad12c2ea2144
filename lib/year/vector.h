/* Vectors of the integration: SUNDIALS' serial vector with our own loops in the operations that every step uses. */
#ifndef PINERY_YEAR_VECTOR_H
#define PINERY_YEAR_VECTOR_H

#include <nvector/nvector_serial.h>

/* NULL: no memory. Freed by N_VDestroy; what is cloned from it has the same operations. */
N_Vector pinery_year_vector_create(int n, SUNContext context);

/* Weight of an unknown that must not count in the error. CVODE wants weights above 0. */
#define PINERY_YEAR_NO_WEIGHT 1e-30

#endif
