/* The one thing about a run that is not for users. */
#ifndef PINERY_YEAR_RUN_H
#define PINERY_YEAR_RUN_H

#include "pinery/run.h"

/* Put heat into the upper air that nobody books, so that a test can see the closure fail. */
void pinery_year_run_leak(pinery_run *run, double W_per_m2);

#endif
