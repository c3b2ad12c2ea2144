/* What a house at rest is worth, from its last evaluation. */
#ifndef PINERY_YEAR_STEADY_H
#define PINERY_YEAR_STEADY_H

#include "pinery/steady.h"
#include "year/model.h"

/* rate: of all unknowns, from pinery_year_rates on the settled state. */
void pinery_year_steady_results(const struct pinery_year_work *work, const double *rate, double air,
                                pinery_steady *steady);

#endif
