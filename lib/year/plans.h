/* Where the slopes of a list go: into the packed values of the matrix (pivots.h), taken for what loses by a flow and
 * taken off for what gains, and into the totals. The list is one of a few but for its values, as some are written only
 * while lamps burn, say; so a plan is made once for each, and found again by the keys of its slopes. */
#ifndef PINERY_YEAR_PLANS_H
#define PINERY_YEAR_PLANS_H

#include "year/gather.h"
#include "year/net.h"
#include "year/pivots.h"

/* Of one list. */
struct pinery_year_plan {
    int n;    /* slopes; -1: not laid out */
    int most; /* there was room for, behind which those with the other sign stand */
    uint32_t *key;
    unsigned short *by;                              /* pivot of the variable each is by */
    int room;                                        /* of both */
    struct pinery_year_gather matrix, totals, pairs; /* totals alone, and those that always go with another */
    unsigned short *partner;                         /* of a total */
};

enum { PINERY_YEAR_PLANS = 64 }; /* that are kept: more than a year has */

struct pinery_year_plans {
    const struct pinery_year_layout *at;
    struct pinery_year_pivots pivots; /* for all entries there have been */
    bool pivoted;
    struct pinery_year_plan plan[PINERY_YEAR_PLANS], *now;
    int next;               /* to be given up for another */
    bool pivots_anew, anew; /* by the last list: the matrix has got entries it never had, and so other pivots; the list
                             * is another than the one before */
};

bool pinery_year_plans_create(struct pinery_year_plans *plans,
                              const struct pinery_year_layout *at); /* false: no memory */
void pinery_year_plans_free(struct pinery_year_plans *plans);

/* The plan of the list as it stands, or NULL: no memory. */
const struct pinery_year_plan *pinery_year_plans_of(struct pinery_year_plans *plans,
                                                    const struct pinery_year_slopes *slopes);

/* The rows a slope goes to: what loses, what gains, and the total; `sink` where there is none. */
struct pinery_year_slope_rows {
    int lost, gained, total;
};
struct pinery_year_slope_rows pinery_year_slope_rows(const struct pinery_year_layout *at,
                                                     struct pinery_year_slope slope);

#endif
