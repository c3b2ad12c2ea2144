/* Which entries of the slope matrix this house ever has. Entries once written belong to it for good, so that clearing
 * the matrix and eliminating walk through lists instead of some thousand zeros. */
#ifndef PINERY_YEAR_PATTERN_H
#define PINERY_YEAR_PATTERN_H

#include <stdbool.h>
#include <stddef.h>

struct pinery_year_pattern {
    int n, all, width;   /* physical unknowns, with totals, columns of a row */
    unsigned char *seen; /* (all + 1) x width: 1 where there is an entry */
    bool grown;          /* since the list was made */
    long version;        /* of the list; 0: none yet */
    int entries;
    int *place; /* of the entries, without what nobody reads */
};

bool pinery_year_pattern_create(struct pinery_year_pattern *pattern, int n, int all); /* false: no memory */
void pinery_year_pattern_free(struct pinery_year_pattern *pattern);

/* The entry at this place of the matrix is there. */
static inline void pinery_year_pattern_see(struct pinery_year_pattern *pattern, size_t place) {
    pattern->grown |= !pattern->seen[place];
    pattern->seen[place] = 1;
}

/* Set all entries to nothing. */
void pinery_year_pattern_clear(const struct pinery_year_pattern *pattern, double *slope);

/* Make the list anew when the pattern has grown. */
void pinery_year_pattern_renew(struct pinery_year_pattern *pattern);

#endif
