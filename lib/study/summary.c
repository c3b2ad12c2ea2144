/* Numbers that come out of draws: their median, intervals, and how far the median may be off.
 *
 * Quantiles are between the two order statistics they fall between, linear (the GNU Scientific Library's). The error of
 * the median is that of the bootstrap, by its exact limit rather than by drawing again (Maritz and Jarrett 1978, JASA
 * 73:194): the chance that the median of a sample drawn from the sample is the k-th value is a difference of incomplete
 * beta functions. It takes the draws as independent; evenly spread ones (Sobol, Latin hypercube) do better. */
#include "pinery/study.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_statistics_double.h>

#include "base/error.h"

static int by_size(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static double median_error(size_t n, const double sorted[]) {
    double mean = 0.0, square = 0.0, before = 0.0, m = 0.5 * ((double)n + 1.0);
    for (size_t k = 0; k < n; k++) {
        double upto = k + 1 < n ? gsl_cdf_beta_P((double)(k + 1) / (double)n, m, m) : 1.0;
        double x = sorted[k] - sorted[n / 2]; /* of about its own spread, so that nothing is lost in the difference */
        mean += (upto - before) * x;
        square += (upto - before) * x * x;
        before = upto;
    }
    return sqrt(fmax(square - mean * mean, 0.0));
}

pinery_status pinery_study_summarise(int n, const double value[], pinery_study_summary *summary, pinery_error *error) {
    double nothing = NAN;
    *summary = (pinery_study_summary){0, nothing, nothing, nothing, nothing, nothing, nothing, nothing, nothing};
    double *x = malloc((size_t)(n > 0 ? n : 1) * sizeof *x);
    if (!x) {
        return pinery_base_fail(error, PINERY_MEMORY, "summary: no memory for %d values", n);
    }
    size_t known = 0, below = 0;
    for (int i = 0; i < n; i++) {
        if (isfinite(value[i])) {
            below += value[i] < 0.0;
            x[known++] = value[i];
        }
    }
    if (known > 0) {
        qsort(x, known, sizeof *x, by_size);
        summary->n = (int)known;
        summary->mean = gsl_stats_mean(x, 1, known);
        summary->median = gsl_stats_median_from_sorted_data(x, 1, known);
        summary->low80 = gsl_stats_quantile_from_sorted_data(x, 1, known, 0.10);
        summary->high80 = gsl_stats_quantile_from_sorted_data(x, 1, known, 0.90);
        summary->low95 = gsl_stats_quantile_from_sorted_data(x, 1, known, 0.025);
        summary->high95 = gsl_stats_quantile_from_sorted_data(x, 1, known, 0.975);
        summary->median_error = median_error(known, x);
        summary->below_zero = (double)below / (double)known;
    }
    free(x);
    return pinery_base_ok(error);
}
