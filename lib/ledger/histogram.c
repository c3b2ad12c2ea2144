#include "ledger/histogram.h"

#include <math.h>
#include <string.h>

void pinery_ledger_histogram_start(struct pinery_ledger_histogram *histogram, double least, double width) {
    memset(histogram, 0, sizeof *histogram);
    histogram->least = least;
    histogram->width = width;
}

void pinery_ledger_histogram_add(struct pinery_ledger_histogram *histogram, double value, double weight) {
    double place = (value - histogram->least) / histogram->width;
    if (isnan(place)) {
        return;
    }
    int bin = place < 0.0 ? 0 : place >= PINERY_LEDGER_BINS ? PINERY_LEDGER_BINS - 1 : (int)place;
    histogram->weight[bin] += weight;
    histogram->total += weight;
}

double pinery_ledger_histogram_value(const struct pinery_ledger_histogram *histogram, double share) {
    if (!(histogram->total > 0.0)) {
        return NAN;
    }
    double wanted = share * histogram->total, below = 0.0;
    for (int bin = 0; bin < PINERY_LEDGER_BINS; bin++) {
        below += histogram->weight[bin];
        if (histogram->weight[bin] > 0.0 && below >= wanted) {
            return histogram->least + (bin + 0.5) * histogram->width;
        }
    }
    return histogram->least + PINERY_LEDGER_BINS * histogram->width;
}
