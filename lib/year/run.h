/* What tests do to a run. */
#ifndef PINERY_YEAR_RUN_H
#define PINERY_YEAR_RUN_H

#include "pinery/run.h"

/* Put heat into the upper air that nobody books, so that a test can see the closure fail. */
void pinery_year_run_leak(pinery_run *run, double W_per_m2);

/* Work out light and long wave of the stack in every evaluation, as the house at rest does (steady.c). */
void pinery_year_run_exact(pinery_run *run);

/* The least water on any face now, kg/m2 of floor. */
double pinery_year_run_least_film(const pinery_run *run);

#endif
