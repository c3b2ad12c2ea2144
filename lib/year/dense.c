#include "year/dense.h"

#include <math.h>

static void swap(double *a, double *b) {
    double keep = *a;
    *a = *b;
    *b = keep;
}

bool pinery_year_dense_factorize(int n, double *lu, int *pivot) {
    for (int k = 0; k < n; k++) {
        int best = k;
        for (int i = k + 1; i < n; i++)
            if (fabs(lu[i * n + k]) > fabs(lu[best * n + k]))
                best = i;
        pivot[k] = best;
        if (!(fabs(lu[best * n + k]) > 0.0))
            return false;
        for (int j = 0; j < n && best != k; j++)
            swap(&lu[k * n + j], &lu[best * n + j]);
        for (int i = k + 1; i < n; i++) {
            double share = lu[i * n + k] /= lu[k * n + k];
            for (int j = k + 1; j < n && share != 0.0; j++)
                lu[i * n + j] -= share * lu[k * n + j];
        }
    }
    return true;
}

void pinery_year_dense_solve(int n, const double *lu, const int *pivot, double *x) {
    for (int k = 0; k < n; k++)
        swap(&x[pivot[k]], &x[k]);
    for (int i = 1; i < n; i++)
        for (int j = 0; j < i; j++)
            x[i] -= lu[i * n + j] * x[j];
    for (int i = n - 1; i >= 0; i--) {
        for (int j = i + 1; j < n; j++)
            x[i] -= lu[i * n + j] * x[j];
        x[i] /= lu[i * n + i];
    }
}
