/* Reports of finished runs: text for a person, JSON, CSV and NetCDF for a program, figures by gnuplot. Everything is
 * written to a FILE or a path the caller gives. Writing that fails is an error (IO). */
#ifndef PINERY_REPORT_H
#define PINERY_REPORT_H

#include <stdio.h>

#include "pinery/ledger.h"
#include "pinery/money.h"
#include "pinery/run.h"
#include "pinery/study.h"
#include "pinery/weather.h"

#ifdef __cplusplus
extern "C" {
#endif

/* An input that is not the same in a run and in the reference it is compared with, values as text. */
typedef struct pinery_report_difference {
    const char *field, *unit; /* "house.drives[1].edge_gap" */
    const char *reference, *value;
} pinery_report_difference;

/* One finished run as reports take it; nothing is owned. */
typedef struct pinery_report_entry {
    const char *name;
    const pinery_ledger *ledger;
    pinery_cost cost;
    const pinery_weather *weather; /* NULL: say nothing of the weather */
    int differences;               /* from the reference */
    const pinery_report_difference *difference;
} pinery_report_entry;

/* The rows of a comparison, in their order. */
typedef struct pinery_report_row {
    pinery_result result;
    const char *group, *label; /* a label that begins with blanks is part of the row above it */
    int decimals;              /* -1: a power of ten, and no difference is shown */
} pinery_report_row;

PINERY_API const pinery_report_row *pinery_report_rows(int *n);

/* (value - reference) / |reference| in percent: 0 when they are equal; NaN where a percentage means nothing: of
 * degrees, of a percentage, of what prints as nothing. */
PINERY_API double pinery_report_percent(const pinery_report_row *row, double reference, double value);

/* A comparison in plain text, up to 100 columns wide: one row per quantity; for every run but run[reference] its
 * difference from that one, and percent of that one's value. Then what was held equal: the differences in what went in
 * that the entries tell, and for the results of pinery_study_outcomes whether they came out equal. One run alone is
 * listed without differences. */
PINERY_API pinery_status pinery_report_compare(FILE *out, int n, const pinery_report_entry run[], int reference,
                                               pinery_error *error);

/* The months of one run: gas, heat, electricity, light, temperature. */
PINERY_API pinery_status pinery_report_months(FILE *out, const pinery_report_entry *run, pinery_error *error);

/* Heat and water of one run by heading, in, out and within, with what was stored and what is missing. */
PINERY_API pinery_status pinery_report_balance(FILE *out, const pinery_report_entry *run, pinery_error *error);

/* {"pinery": version, "runs": [...]}: for every run its name, every result by its key, totals by heading and meter,
 * months, cost and weather. What a run had nothing to measure is null. */
PINERY_API pinery_status pinery_report_json(FILE *out, int n, const pinery_report_entry run[], pinery_error *error);

/* The hourly series: the hour's start in standard time, means of the readings, totals of the headings and meters, each
 * column headed `name [unit]`. BAD_INPUT when the run did not keep hours. */
PINERY_API pinery_status pinery_report_hours_csv(FILE *out, const pinery_ledger *ledger, pinery_error *error);

/* The same series as NetCDF-4 after the CF Conventions: variables of the same names, but NAME_heat and NAME_water for a
 * heading, their units in the manner of UDUNITS, time in the site's standard time with its offset, cell methods mean
 * and sum. The libraries below hold a state of their own: one call at a time in a program. */
PINERY_API pinery_status pinery_report_hours_netcdf(FILE *out, const pinery_report_entry *run, pinery_error *error);

/* Every result, meter and heading of some runs as CSV: one row a quantity, `kind,name,unit,what it is`, then one column
 * a run, all digits. */
PINERY_API pinery_status pinery_report_csv(FILE *out, int n, const pinery_report_entry run[], pinery_error *error);

/* The site, the months and the remarks of a weather. */
PINERY_API pinery_status pinery_report_weather(FILE *out, const pinery_weather *weather, pinery_error *error);

/* A drawing of the weather year. `path` ends in .svg, .png, .pdf, or .gnuplot for the script that draws it, to be
 * changed by hand; NULL: in letters on `terminal`. With both a path and a terminal it goes to the terminal, and the
 * path only says of what kind it is. */
PINERY_API pinery_status pinery_report_weather_figure(const pinery_weather *weather, const char *path, FILE *terminal,
                                                      pinery_error *error);

/* `days` days of an hourly run from day of the year `first_day` (1: 1 January of the run's first year), hour by hour in
 * panels on one time axis. Where to: as above. BAD_INPUT when the run did not keep hours or the days lie outside it. */
PINERY_API pinery_status pinery_report_figure(const pinery_report_entry *run, double first_day, double days,
                                              const char *path, FILE *terminal, pinery_error *error);

/* X(key, of_one, doc): charts for a page, a talk or a paper, 5 inches wide, without a title. Those of one run show run
 * `one` of the n, at a scale that suits all. */
#define PINERY_CHARTS(X)                                                                      \
    X(months, false, "gas and electricity by month")                                          \
    X(weeks, false, "gas added up by week, and the difference from the reference")            \
    X(duration, false, "hours of the year in which the boiler gives more than so much heat")  \
    X(humidity, false, "hours over a relative humidity, and under a vapour pressure deficit") \
    X(day, false, "the day that is coldest outside, hour by hour")                            \
    X(map, true, "cloth, lamps and humidity, by day and hour of the day")                     \
    X(heat, true, "where the heat comes from and goes to")                                    \
    X(water, true, "where the water comes from and goes to")

typedef enum pinery_chart {
#define X(key, of_one, doc) PINERY_CHART_##key,
    PINERY_CHARTS(X)
#undef X
        PINERY_N_CHARTS
} pinery_chart;

PINERY_API const char *pinery_report_chart_key(pinery_chart chart);
PINERY_API const char *pinery_report_chart_doc(pinery_chart chart);
PINERY_API bool pinery_report_chart_is_of_one(pinery_chart chart);

/* Draw one. `path` and `out` as above, but never in letters; weeks, duration, day and map need the hours. */
PINERY_API pinery_status pinery_report_chart(pinery_chart chart, int n, const pinery_report_entry run[], int reference,
                                             int one, const char *path, FILE *out, pinery_error *error);

/* The first hour, from 0, of the whole day of the run, midnight to midnight, that is coldest outside; -1: there is
 * none. */
PINERY_API int pinery_report_coldest_day(const pinery_ledger *ledger);

/* Numbers of a study as bars that lie one below the other, each with its words: a `total` starts at 0; any other goes
 * from where the sum stood to where it stands with it. The axis starts at 0 unless there are
 * parts and all bars stand far from it. */
typedef struct pinery_report_bar {
    const char *label;
    double from, to;
    int run; /* whose colour it has; -1: that of less or more */
    bool total;
} pinery_report_bar;

PINERY_API pinery_status pinery_report_bars(int n, const pinery_report_bar bar[], const char *axis, int decimals,
                                            const char *path, FILE *out, pinery_error *error);

/* Numbers that are not sure: 2.5, 10, 50, 90 and 97.5 % of the cases lie below at[0 .. 4]. */
typedef struct pinery_report_spread_row {
    const char *label;
    double at[5];
} pinery_report_spread_row;

PINERY_API pinery_status pinery_report_ranges(int n, const pinery_report_spread_row row[], const char *axis,
                                              const char *path, FILE *out, pinery_error *error);

/* Lines through points. */
typedef struct pinery_report_line {
    const char *name;
    int n, run; /* -1: of no run */
    const double *x, *y;
} pinery_report_line;

PINERY_API pinery_status pinery_report_lines(int n, const pinery_report_line line[], const char *x_axis,
                                             const char *y_axis, const char *path, FILE *out, pinery_error *error);

/* "#rrggbb" of run 0, 1, ... in every chart. */
PINERY_API const char *pinery_report_run_colour(int run);

/* Bills side by side, whether they pay, and their carbon dioxide: cases after pinery_money_compare, with what it was
 * given. */
typedef struct pinery_report_money_page {
    const pinery_tariff *tariff;
    int n, reference;
    const pinery_money_case *cases;
    const char *const *name;
    const pinery_invest *invest;
    const int *draws; /* how many savings each probability comes from */
} pinery_report_money_page;

PINERY_API pinery_status pinery_report_money(FILE *out, const pinery_report_money_page *page, pinery_error *error);

/* Something measured, beside what a model made of it before and after its calibration. Times are days of the year, 1
 * for 1 January 00:00, in the middle of what they stand for, and in order. */
typedef struct pinery_report_measured {
    const char *name, *unit;
    int n;
    double step; /* d, that one value stands for */
    const double *day, *measured, *before, *after;
} pinery_report_measured;

/* What the differences are drawn against, a value for every one of each series that has as many. */
typedef struct pinery_report_cause {
    const char *name; /* with its unit */
    int n;
    const double *value;
} pinery_report_cause;

typedef struct pinery_report_match {
    const char *title;
    int series;
    const pinery_report_measured *measured;
    int causes;
    const pinery_report_cause *cause;
    double learn[2], unseen[2], zoom[2]; /* first day, and the day on whose 00:00 it ends */
} pinery_report_match;

#define PINERY_REPORT_SERIES 4
#define PINERY_REPORT_CAUSES 3

/* A drawing of how near a calibrated model comes: each series over all days, by daily means where it is finer; those
 * finer than a day hour by hour over the days of `zoom`; and their differences on the unseen days against each cause,
 * with means of ten classes. `path` ends in .png or .svg. */
PINERY_API pinery_status pinery_report_match_figure(const pinery_report_match *match, const char *path,
                                                    pinery_error *error);
/* Hours over limits of humidity against the capacity of what dries the air. */
#define PINERY_SIZING_LIMITS 4

typedef struct pinery_sizing_point {
    double capacity, hours[PINERY_SIZING_LIMITS];
    double power, gas; /* kWh/m2 of the machines, m3/m2 of the house */
} pinery_sizing_point;

typedef struct pinery_sizing {
    const char *title, *machine, *unit; /* of the capacity */
    const char *place;                  /* "in the crop's air", written without quotes */
    int limits;
    double limit[PINERY_SIZING_LIMITS];   /* % */
    double allowed[PINERY_SIZING_LIMITS]; /* h, NaN: not asked */
    double needed[PINERY_SIZING_LIMITS];  /* capacity, NaN: not asked, or none is enough */
    int points;
    const pinery_sizing_point *point; /* by rising capacity */
} pinery_sizing;

/* The curve, what is allowed and what is needed; below it what that costs. Where to: as for the figures above. */
PINERY_API pinery_status pinery_report_sizing_figure(const pinery_sizing *sizing, const char *path, FILE *terminal,
                                                     pinery_error *error);

#ifdef __cplusplus
}
#endif
#endif
