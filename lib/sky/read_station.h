/* What the two halves of the reader of the plain CSV share: its table and the times of its rows. */
#ifndef PINERY_SKY_READ_STATION_H
#define PINERY_SKY_READ_STATION_H

#include "sky/read.h"

enum { PINERY_SKY_TABLE_MOST = 64 }; /* columns */

struct pinery_sky_table {
    int header;          /* line from 0 */
    char separator;      /* , ; or tab */
    bool comma;          /* decimal comma */
    bool stamped_at_end; /* the stamp ends the record */
    bool means;          /* all values are means over the record */
    int n_columns;
    int given[PINERY_SKY_TABLE_MOST]; /* what each column is; -1 for the time */
    int time;                         /* the column of the time */
};

/* A row of the file: its line from 0 and the time it is stamped with. */
struct pinery_sky_row {
    int line;
    double time_s; /* since 1 January of year 1 */
};

/* Read the times of n rows, leaving their lines whole; finds raw->step_s. */
pinery_status pinery_sky_table_times(struct pinery_base_text *text, struct pinery_sky_raw *raw,
                                     const struct pinery_sky_table *table, struct pinery_sky_row *row, int n,
                                     pinery_error *error);

/* Make a record for each step from the first row to the last, those without a row missing, and the calendar. */
pinery_status pinery_sky_table_place(struct pinery_sky_raw *raw, const struct pinery_sky_table *table,
                                     const struct pinery_sky_row *row, int n, pinery_error *error);

#endif
