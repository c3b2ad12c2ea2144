/* What the charts share. A chart compares runs, each in its colour, or shows one of them; it is a gnuplot script that
 * carries its data, so that the numbers in it can be read and added up. */
#ifndef PINERY_REPORT_CHART_H
#define PINERY_REPORT_CHART_H

#include "pinery/report.h"
#include "report/plot.h"

/* What is asked for. */
struct pinery_chart_ask {
    int n, reference, one; /* runs; the one the others are held against; the one that a chart of one run shows */
    const pinery_report_entry *run;
    const char *path;
    FILE *out;
};

/* The colour of a run, the same in every chart. */
const char *pinery_report_chart_colour(int run);

/* Begin a chart so many pixels high; all are 480 wide, so that their letters can still be read on a phone. */
enum { PINERY_CHART_WIDTH = 480 };
pinery_status pinery_report_chart_begin(struct pinery_report_plot *plot, const struct pinery_chart_ask *ask, int height,
                                        pinery_error *error);

/* The upper end of the first panel, below n names of up to `widest` bytes; or below those of the runs. */
double pinery_report_chart_room(int n, size_t widest, int height);
double pinery_report_chart_top(const struct pinery_chart_ask *ask, int height);

/* " title 'name'", shortened to a length that leaves room for the chart. */
void pinery_report_chart_title(FILE *script, const char *name);

/* The same without the word. */
void pinery_report_chart_text(FILE *script, const char *text, int most);

/* A month's first day in letters at each month of the run, x counting days from 1 January, 1. */
void pinery_report_chart_month_tics(FILE *script, const pinery_ledger *ledger, bool labels);

/* 1, 2 or 5 times a power of ten, so that three or four steps of it reach over a span above 0. */
double pinery_report_chart_step(double span);

/* Place a panel: its lower and upper end as shares of the height. */
void pinery_report_chart_panel(FILE *script, double bottom, double top, const char *label);

/* BAD_INPUT when a run kept no hours. */
pinery_status pinery_report_chart_needs_hours(const struct pinery_chart_ask *ask, pinery_error *error);

pinery_status pinery_report_chart_months(const struct pinery_chart_ask *ask, pinery_error *error);
pinery_status pinery_report_chart_weeks(const struct pinery_chart_ask *ask, pinery_error *error);
pinery_status pinery_report_chart_duration(const struct pinery_chart_ask *ask, pinery_error *error);
pinery_status pinery_report_chart_humidity(const struct pinery_chart_ask *ask, pinery_error *error);
pinery_status pinery_report_chart_map(const struct pinery_chart_ask *ask, pinery_error *error);
pinery_status pinery_report_chart_day(const struct pinery_chart_ask *ask, pinery_error *error);
pinery_status pinery_report_chart_heat(const struct pinery_chart_ask *ask, pinery_error *error);
pinery_status pinery_report_chart_water(const struct pinery_chart_ask *ask, pinery_error *error);

#endif
