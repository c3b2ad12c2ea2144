#include "year/dense.h"

#include <math.h>

#include "year/wide.h"

static void swap(double *a, double *b) {
    double keep = *a;
    *a = *b;
    *b = keep;
}

bool pinery_year_dense_solve(int n, double *a, double *x) {
    for (int k = 0; k < n; k++) {
        int best = k;
        for (int i = k + 1; i < n; i++)
            if (fabs(a[i * n + k]) > fabs(a[best * n + k]))
                best = i;
        if (!(fabs(a[best * n + k]) > 0.0))
            return false;
        for (int j = k; j < n && best != k; j++)
            swap(&a[k * n + j], &a[best * n + j]);
        swap(&x[k], &x[best]);
        for (int i = k + 1; i < n; i++) {
            double share = a[i * n + k] / a[k * n + k];
            for (int j = k + 1; j < n && share != 0.0; j++)
                a[i * n + j] -= share * a[k * n + j];
            x[i] -= share * x[k];
        }
    }
    for (int i = n - 1; i >= 0; i--) {
        for (int j = i + 1; j < n; j++)
            x[i] -= a[i * n + j] * x[j];
        x[i] /= a[i * n + i];
    }
    return true;
}

/* What is left of a row, BLOCKS times 4 values, less its share of the pivot's. Where BLOCKS is written as a number,
 * the pivot's row stays in registers. */
#define ROWS(BLOCKS)                                               \
    for (int j = 0; j < 4 * (BLOCKS); j++)                         \
        top[j] *= inverse[k];                                      \
    for (int i = k + 1; i < n; i++) {                              \
        double *row = a + i * stride + begin;                      \
        const double share = lower[i * n + k] = a[i * stride + k]; \
        PINERY_YEAR_EACH                                           \
        for (int j = 0; j < 4 * (BLOCKS); j++)                     \
            row[j] -= share * top[j];                              \
    }                                                              \
    break

/* Rows are taken from the last multiple of 4 before what is left of them, for what stands there is not read again. */
PINERY_YEAR_WIDE static bool factor(int n, int stride, double *restrict a, const double *restrict least,
                                    double *restrict lower, double *restrict inverse) {
    for (int k = 0; k < n; k++) {
        int begin = (k + 1) / 4 * 4, blocks = (stride - begin) / 4;
        double *top = a + k * stride + begin, pivot = a[k * stride + k];
        if (!(fabs(pivot) > least[k]))
            return false;
        inverse[k] = 1.0 / pivot;
        switch (blocks) {
        case 0:
            break;
        case 1:
            ROWS(1);
        case 2:
            ROWS(2);
        case 3:
            ROWS(3);
        case 4:
            ROWS(4);
        default:
            ROWS(blocks);
        }
    }
    return true;
}

bool pinery_year_dense_factor(int n, int stride, double *a, const double *least, double *lower, double *inverse) {
    return factor(n, stride, a, least, lower, inverse);
}

void pinery_year_dense_substitute(int n, int stride, const double *a, const double *lower, const double *inverse,
                                  double *x) {
    for (int k = 0; k < n; k++) {
        double value = x[k];
        PINERY_YEAR_UNROLL
        for (int j = 0; j < k; j++)
            value -= lower[k * n + j] * x[j];
        x[k] = value * inverse[k];
    }
    for (int k = n - 1; k >= 0; k--) {
        double value = x[k];
        PINERY_YEAR_UNROLL
        for (int j = n - 1; j > k; j--)
            value -= a[k * stride + j] * x[j];
        x[k] = value;
    }
}
