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

/* Rows are taken from the last multiple of 4 before what is left of them, for what stands there is not read again. */
PINERY_YEAR_WIDE static bool eliminate_rows(int n, int stride, double *a, const double *least, double *inverse) {
    for (int k = 0; k < n; k++) {
        int begin = (k + 1) / 4 * 4, blocks = (stride - begin) / 4;
        const double *top = a + k * stride + begin;
        double pivot = a[k * stride + k];
        if (!(fabs(pivot) > least[k]))
            return false;
        inverse[k] = 1.0 / pivot;
        for (int i = k + 1; i < n; i++) {
            double *row = a + i * stride + begin, share = a[i * stride + k] * inverse[k];
            PINERY_YEAR_EACH
            for (int j = 0; j < 4 * blocks; j++)
                row[j] -= share * top[j];
        }
    }
    return true;
}

bool pinery_year_dense_solve_rows(int n, int stride, double *a, const double *least, double *x) {
    if (!eliminate_rows(n, stride, a, least, x))
        return false;
    for (int k = n - 1; k >= 0; k--) {
        double value = x[k] *= a[k * stride + n];
        for (int i = 0; i < k; i++)
            a[i * stride + n] -= a[i * stride + k] * value;
    }
    return true;
}
