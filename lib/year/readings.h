/* What can be read off the house at a moment. */
#ifndef PINERY_YEAR_READINGS_H
#define PINERY_YEAR_READINGS_H

#include "year/model.h"

/* From the state of the last evaluation. What the house does not have is NaN. */
void pinery_year_readings(const struct pinery_year_work *work, double reading[PINERY_N_READINGS]);

/* PAR from all lamps on the crop [umol/(m2 s)], with the stack as it is. */
double pinery_year_lamp_light(const struct pinery_year_work *work);

/* The rates of PINERY_INDICES (growth.c). */
void pinery_year_growth(struct pinery_year_work *work, double index[PINERY_N_INDICES]);

/* Time, totals, meters and stores of a tick; its readings and rates are left alone. */
void pinery_year_tick(const struct pinery_year_work *work, double time_s, const double *y, pinery_tick *tick);

#endif
