#include "year/slopes.h"

#include <stdlib.h>

/* No key: all slopes have a lower one. */
static const uint32_t none = UINT32_MAX;

bool pinery_year_slopes_grow(struct pinery_year_slopes *slopes) {
    int most = slopes->most ? 2 * slopes->most : 1024;
    double *value = realloc(slopes->value, (size_t)most * sizeof *value);
    if (value)
        slopes->value = value;
    uint32_t *key = value ? realloc(slopes->key, (size_t)most * sizeof *key) : NULL;
    if (!key) {
        slopes->failed = true;
        return false;
    }
    slopes->key = key;
    for (int k = slopes->most; k < most; k++)
        key[k] = none;
    slopes->most = most;
    return true;
}

void pinery_year_slopes_free(struct pinery_year_slopes *slopes) {
    free(slopes->value);
    free(slopes->key);
    *slopes = (struct pinery_year_slopes){.n = 0};
}
