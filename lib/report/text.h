/* Small things every report needs. */
#ifndef PINERY_REPORT_TEXT_H
#define PINERY_REPORT_TEXT_H

#include <stdio.h>

#include "pinery/report.h"

/* A number in a table, right-aligned in `width`: so many decimals, or %.1e when decimals is negative; "-" for NaN. */
void pinery_report_number(FILE *out, int width, int decimals, double value);

/* The same with its sign. */
void pinery_report_change(FILE *out, int width, int decimals, double value);

/* "A" .. "Z", then "27" and so on: what a run is called in a table. */
const char *pinery_report_letter(int i, char text[16]);

/* "site, source (checksum 0123456789abcdef)" of the run's weather on a line of its own, if it is told. */
void pinery_report_source(FILE *out, const char *indent, const pinery_weather *weather);

/* What every report says of itself. */
void pinery_report_cautions(FILE *out);

/* OK, or IO when something could not be written to `out`. */
pinery_status pinery_report_done(FILE *out, pinery_error *error);

#endif
