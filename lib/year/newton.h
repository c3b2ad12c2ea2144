/* The nonlinear solver of a step: see newton.c. */
#ifndef PINERY_YEAR_NEWTON_H
#define PINERY_YEAR_NEWTON_H

#include <sundials/sundials_nonlinearsolver.h>

#include "year/model.h"

struct pinery_year_rounds {
    long all, slopes; /* evaluations; those with slopes */
};

/* `like`: a vector of all unknowns. What it evaluates is added to `rounds`. NULL: no memory. */
SUNNonlinearSolver pinery_year_newton_create(struct pinery_year_work *work, N_Vector like,
                                             struct pinery_year_rounds *rounds, SUNContext context);

#endif
