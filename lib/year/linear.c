/* Gaussian elimination with row pivoting, row by row so that the inner loops run along memory. Zeros of a pivot column
 * are skipped: the matrix of a house is sparse enough for that to halve the work. */
#include "year/linear.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

struct pinery_year_slopes {
    int n, all, width;
    double value[]; /* (all + 1) x width */
};

struct pinery_year_linear {
    int n, all;
    int *pivot;
    double *lu; /* n x n */
    /* entries of the totals' rows: those of total t stand at begin[t] .. begin[t + 1] */
    int *begin, *column;
    double *entry;
};

struct pinery_year_slopes *pinery_year_linear_slopes_create(int n, int all) {
    size_t entries = (size_t)(all + 1) * (size_t)(n + 1);
    struct pinery_year_slopes *slopes = calloc(1, sizeof *slopes + entries * sizeof(double));
    if (slopes) {
        slopes->n = n;
        slopes->all = all;
        slopes->width = n + 1;
    }
    return slopes;
}

void pinery_year_linear_slopes_free(struct pinery_year_slopes *slopes) {
    free(slopes);
}

void pinery_year_linear_slopes_size(const struct pinery_year_slopes *slopes, int *n, int *all) {
    *n = slopes->n;
    *all = slopes->all;
}

double *pinery_year_linear_slopes(struct pinery_year_slopes *slopes) {
    return slopes->value;
}

void pinery_year_linear_slopes_copy(const struct pinery_year_slopes *from, struct pinery_year_slopes *to) {
    memcpy(to->value, from->value, (size_t)from->all * (size_t)from->width * sizeof(double));
}

void pinery_year_linear_slopes_scale(struct pinery_year_slopes *slopes, double factor) {
    size_t entries = (size_t)slopes->all * (size_t)slopes->width;
    for (size_t i = 0; i < entries; i++)
        slopes->value[i] *= factor;
    for (int i = 0; i < slopes->n; i++)
        slopes->value[(size_t)i * (size_t)slopes->width + (size_t)i] += 1.0;
}

struct pinery_year_linear *pinery_year_linear_create(int n, int all) {
    struct pinery_year_linear *linear = calloc(1, sizeof *linear);
    if (!linear)
        return NULL;
    linear->n = n;
    linear->all = all;
    linear->pivot = malloc((size_t)n * sizeof(int));
    linear->lu = malloc((size_t)n * (size_t)n * sizeof(double));
    size_t most = (size_t)(all - n) * (size_t)n;
    linear->begin = malloc((size_t)(all - n + 1) * sizeof(int));
    linear->column = malloc(most * sizeof(int));
    linear->entry = malloc(most * sizeof(double));
    if (!linear->pivot || !linear->lu || !linear->begin || !linear->column || !linear->entry) {
        pinery_year_linear_free(linear);
        return NULL;
    }
    return linear;
}

void pinery_year_linear_free(struct pinery_year_linear *linear) {
    if (!linear)
        return;
    free(linear->pivot);
    free(linear->begin);
    free(linear->column);
    free(linear->entry);
    free(linear->lu);
    free(linear);
}

static void keep_totals(struct pinery_year_linear *linear, const struct pinery_year_slopes *matrix) {
    int k = 0;
    for (int t = 0; t < linear->all - linear->n; t++) {
        const double *row = matrix->value + (size_t)(linear->n + t) * (size_t)matrix->width;
        linear->begin[t] = k;
        for (int j = 0; j < linear->n; j++)
            if (row[j] != 0.0) {
                linear->column[k] = j;
                linear->entry[k++] = row[j];
            }
    }
    linear->begin[linear->all - linear->n] = k;
}

bool pinery_year_linear_factorize(struct pinery_year_linear *linear, const struct pinery_year_slopes *matrix) {
    int n = linear->n;
    double *lu = linear->lu;
    keep_totals(linear, matrix);
    for (int i = 0; i < n; i++)
        memcpy(lu + (size_t)i * (size_t)n, matrix->value + (size_t)i * (size_t)matrix->width,
               (size_t)n * sizeof(double));
    for (int k = 0; k < n; k++) {
        int best = k;
        for (int i = k + 1; i < n; i++)
            if (fabs(lu[i * n + k]) > fabs(lu[best * n + k]))
                best = i;
        linear->pivot[k] = best;
        if (!(fabs(lu[best * n + k]) > 0.0))
            return false;
        if (best != k)
            for (int j = 0; j < n; j++) {
                double keep = lu[k * n + j];
                lu[k * n + j] = lu[best * n + j];
                lu[best * n + j] = keep;
            }
        const double *restrict row = lu + (size_t)k * (size_t)n;
        double inverse = 1.0 / row[k];
        for (int i = k + 1; i < n; i++) {
            double *restrict target = lu + (size_t)i * (size_t)n;
            if (target[k] == 0.0)
                continue;
            double factor = target[k] *= inverse;
            for (int j = k + 1; j < n; j++)
                target[j] -= factor * row[j];
        }
    }
    return true;
}

void pinery_year_linear_solve(const struct pinery_year_linear *linear, const double *b, double *x) {
    int n = linear->n;
    const double *lu = linear->lu;
    if (x != b)
        memcpy(x, b, (size_t)linear->all * sizeof(double));
    for (int k = 0; k < n; k++) {
        double keep = x[linear->pivot[k]];
        x[linear->pivot[k]] = x[k];
        x[k] = keep;
    }
    for (int i = 1; i < n; i++) {
        double sum = x[i];
        for (int j = 0; j < i; j++)
            sum -= lu[i * n + j] * x[j];
        x[i] = sum;
    }
    for (int i = n - 1; i >= 0; i--) {
        double sum = x[i];
        for (int j = i + 1; j < n; j++)
            sum -= lu[i * n + j] * x[j];
        x[i] = sum / lu[i * n + i];
    }
    for (int t = 0; t < linear->all - n; t++) {
        double sum = 0.0;
        for (int k = linear->begin[t]; k < linear->begin[t + 1]; k++)
            sum += linear->entry[k] * x[linear->column[k]];
        x[n + t] -= sum;
    }
}
