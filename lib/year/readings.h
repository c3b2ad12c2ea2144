/* What can be read off the house at a moment. */
#ifndef PINERY_YEAR_READINGS_H
#define PINERY_YEAR_READINGS_H

#include "year/model.h"

/* From the state of the last evaluation. What the house does not have is NaN. */
void pinery_year_readings(const struct pinery_year_work *work, double reading[PINERY_N_READINGS]);

/* Time, totals, meters and stores of a tick; its readings are left alone. */
void pinery_year_tick(const struct pinery_year_work *work, double time_s, const double *y, pinery_tick *tick);

#endif
