#include "year/pattern.h"

#include <stdlib.h>

bool pinery_year_pattern_create(struct pinery_year_pattern *pattern, int n, int all) {
    size_t places = (size_t)(all + 1) * (size_t)(n + 1);
    *pattern = (struct pinery_year_pattern){.n = n, .all = all, .width = n + 1};
    pattern->seen = calloc(places, sizeof *pattern->seen);
    pattern->place = calloc(places, sizeof *pattern->place);
    if (pattern->seen && pattern->place)
        return true;
    pinery_year_pattern_free(pattern);
    return false;
}

void pinery_year_pattern_free(struct pinery_year_pattern *pattern) {
    free(pattern->seen);
    free(pattern->place);
    *pattern = (struct pinery_year_pattern){.n = 0};
}

void pinery_year_pattern_clear(const struct pinery_year_pattern *pattern, double *slope) {
    for (int k = 0; k < pattern->entries; k++)
        slope[pattern->place[k]] = 0.0;
}

void pinery_year_pattern_renew(struct pinery_year_pattern *pattern) {
    if (!pattern->grown)
        return;
    pattern->entries = 0;
    for (int row = 0; row < pattern->all; row++)
        for (int column = 0; column < pattern->n; column++)
            if (pattern->seen[row * pattern->width + column])
                pattern->place[pattern->entries++] = row * pattern->width + column;
    pattern->grown = false;
    pattern->version++;
}
