/* What was held equal between runs that are compared. */
#ifndef PINERY_REPORT_HELD_H
#define PINERY_REPORT_HELD_H

#include <stdio.h>

#include "pinery/report.h"

/* The differences in what went in, and whether what should be equal came out equal. */
void pinery_report_held(FILE *out, int n, const pinery_report_entry run[], int reference);

#endif
