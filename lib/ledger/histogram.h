/* Percentiles of a quantity weighted by time, from bins of fixed width: no values are kept. */
#ifndef PINERY_LEDGER_HISTOGRAM_H
#define PINERY_LEDGER_HISTOGRAM_H

#define PINERY_LEDGER_BINS 4000

struct pinery_ledger_histogram {
    double least, width; /* of the first bin; values outside fall in the end bins */
    double total;
    double weight[PINERY_LEDGER_BINS];
};

void pinery_ledger_histogram_start(struct pinery_ledger_histogram *histogram, double least, double width);

void pinery_ledger_histogram_add(struct pinery_ledger_histogram *histogram, double value, double weight);

/* The value that `share` of the weight lies below, to half a bin; NaN when nothing was added. */
double pinery_ledger_histogram_value(const struct pinery_ledger_histogram *histogram, double share);

#endif
