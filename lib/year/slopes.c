#include "year/slopes.h"

#include <stdlib.h>

bool pinery_year_slopes_grow(struct pinery_year_slopes *slopes) {
    int most = slopes->most ? 2 * slopes->most : 1024;
    double *value = realloc(slopes->value, 2 * (size_t)most * sizeof *value);
    if (value)
        slopes->value = value;
    uint32_t *key = value ? realloc(slopes->key, (size_t)most * sizeof *key) : NULL;
    if (!key) {
        slopes->failed = true;
        return false;
    }
    slopes->key = key;
    slopes->most = most;
    return true;
}

void pinery_year_slopes_free(struct pinery_year_slopes *slopes) {
    free(slopes->value);
    free(slopes->key);
    *slopes = (struct pinery_year_slopes){.n = 0};
}
