#include "year/plans.h"

#include <stdlib.h>

bool pinery_year_plans_create(struct pinery_year_plans *plans, const struct pinery_year_layout *at) {
    plans->at = at;
    for (int p = 0; p < PINERY_YEAR_PLANS; p++)
        plans->plan[p].n = -1;
    return pinery_year_pivots_create(&plans->pivots, at->n);
}

void pinery_year_plans_free(struct pinery_year_plans *plans) {
    for (int p = 0; p < PINERY_YEAR_PLANS; p++) {
        struct pinery_year_plan *plan = &plans->plan[p];
        pinery_year_gather_free(&plan->matrix);
        pinery_year_gather_free(&plan->totals);
        pinery_year_gather_free(&plan->pairs);
        free(plan->partner);
        free(plan->key);
        free(plan->by);
    }
    pinery_year_pivots_free(&plans->pivots);
}

struct pinery_year_slope_rows pinery_year_slope_rows(const struct pinery_year_layout *at,
                                                     struct pinery_year_slope slope) {
    switch (slope.of) {
    case PINERY_YEAR_SLOPE_HEAT:
        return (struct pinery_year_slope_rows){at->heat[slope.from], at->heat[slope.to], at->heat_total[slope.heading]};
    case PINERY_YEAR_SLOPE_WATER:
        return (struct pinery_year_slope_rows){at->water[slope.from], at->water[slope.to],
                                               at->water_total[slope.heading]};
    default:
        return slope.row < at->n ? (struct pinery_year_slope_rows){at->sink, slope.row, at->sink}
                                 : (struct pinery_year_slope_rows){at->sink, at->sink, slope.row};
    }
}

/* Pivots for all entries there have been, which may have become more; then no plan holds. False: no memory. */
static bool choose_pivots(struct pinery_year_plans *plans, const struct pinery_year_slopes *slopes) {
    bool *seen = plans->pivots.seen;
    int n = plans->at->n;
    plans->pivots_anew = !plans->pivoted;
    for (int k = 0; k < slopes->n; k++) {
        struct pinery_year_slope slope = pinery_year_slope_of_key(slopes->key[k]);
        struct pinery_year_slope_rows rows = pinery_year_slope_rows(plans->at, slope);
        const int row[2] = {rows.lost, rows.gained};
        for (int i = 0; i < 2; i++)
            if (row[i] < n && !seen[row[i] * n + slope.column])
                plans->pivots_anew = seen[row[i] * n + slope.column] = true;
    }
    if (!plans->pivots_anew)
        return true;
    for (int p = 0; p < PINERY_YEAR_PLANS; p++)
        plans->plan[p].n = -1;
    plans->pivoted = pinery_year_pivots_plan(&plans->pivots);
    return plans->pivoted;
}

static bool make_room(struct pinery_year_plan *plan, int many, int totals) {
    if (!plan->partner)
        plan->partner = malloc((size_t)(totals + 1) * sizeof *plan->partner);
    if (many <= plan->room)
        return plan->partner;
    free(plan->key);
    free(plan->by);
    plan->key = malloc((size_t)many * sizeof *plan->key);
    plan->by = malloc((size_t)many * sizeof *plan->by);
    plan->room = plan->key && plan->by ? many : 0;
    return plan->room > 0 && plan->partner;
}

/* The total of the slope after k when that is by the same variable, else -1. */
static int following(const struct pinery_year_plan *plan, const int *total, int k) {
    return k + 1 < plan->n && plan->by[k] == plan->by[k + 1] ? total[k + 1] : -1;
}

/* Streams write their heat and the water it goes with by one variable after the other. Where another total follows at
 * each slope of one, and nowhere else, both move from `total` to `pair`, at the first of each two. next, alone: for
 * every total. */
static void find_pairs(const struct pinery_year_plan *plan, int totals, int *total, int *pair, int *next, int *alone) {
    enum { UNKNOWN = -2 };
    for (int t = 0; t < totals; t++) {
        next[t] = UNKNOWN;
        alone[t] = false;
    }
    for (int k = 0; k < plan->n; k++)
        if (total[k] >= 0) {
            int then = following(plan, total, k), *of = &next[total[k]];
            *of = *of == UNKNOWN || *of == then ? then : -1;
        }
    for (int k = 0; k < plan->n; k++) {
        int before = k > 0 && total[k] >= 0 ? total[k - 1] : -1;
        bool led = before >= 0 && next[before] == total[k] && following(plan, total, k - 1) == total[k];
        if (total[k] >= 0 && !led)
            alone[total[k]] = true;
    }
    for (int k = 0; k < plan->n; k++) {
        int first = total[k], second = first >= 0 ? next[first] : -1;
        if (second < 0 || alone[second] || !alone[first])
            continue;
        plan->partner[first] = (unsigned short)second;
        pair[k] = first;
        total[k] = total[k + 1] = -1;
    }
}

static bool lay_out(struct pinery_year_plans *plans, const struct pinery_year_slopes *slopes,
                    struct pinery_year_plan *plan) {
    int n = plans->at->n, many = slopes->n, most = slopes->most, totals = plans->at->all - n;
    int *to = malloc((size_t)(4 * most + 2 * totals) * sizeof *to), *total = to + 2 * most, *pair = total + most;
    plan->n = -1;
    bool done = to && make_room(plan, many, totals);
    for (int k = 0; done && k < 4 * most; k++)
        to[k] = -1;
    for (int k = 0; done && k < many; k++) {
        struct pinery_year_slope slope = pinery_year_slope_of_key(slopes->key[k]);
        struct pinery_year_slope_rows rows = pinery_year_slope_rows(plans->at, slope);
        const int *place = plans->pivots.place + slope.column;
        plan->key[k] = slopes->key[k];
        plan->by[k] = (unsigned short)plans->pivots.pivot[slope.column];
        if (rows.lost < n)
            to[k] = place[rows.lost * n];
        if (rows.gained < n)
            to[most + k] = place[rows.gained * n];
        if (rows.total >= n && rows.total < plans->at->all)
            total[k] = rows.total - n;
    }
    if (done) {
        plan->n = many;
        find_pairs(plan, totals, total, pair, pair + most, pair + most + totals);
    }
    done = done && pinery_year_gather_plan(&plan->matrix, plans->pivots.values, 2 * most, to) &&
           pinery_year_gather_plan(&plan->totals, totals, many, total) &&
           pinery_year_gather_plan(&plan->pairs, totals, many, pair);
    free(to);
    plan->n = done ? many : -1;
    plan->most = most;
    return done;
}

static bool is_of(const struct pinery_year_plan *plan, const struct pinery_year_slopes *slopes) {
    return plan->n == slopes->n && plan->most == slopes->most &&
           !memcmp(plan->key, slopes->key, (size_t)slopes->n * sizeof *slopes->key);
}

const struct pinery_year_plan *pinery_year_plans_of(struct pinery_year_plans *plans,
                                                    const struct pinery_year_slopes *slopes) {
    plans->pivots_anew = plans->anew = false;
    if (slopes->failed)
        return NULL;
    if (plans->now && is_of(plans->now, slopes))
        return plans->now;
    plans->anew = true;
    for (int p = 0; p < PINERY_YEAR_PLANS; p++)
        if (is_of(&plans->plan[p], slopes))
            return plans->now = &plans->plan[p];
    plans->now = NULL;
    struct pinery_year_plan *plan = &plans->plan[plans->next];
    if (!choose_pivots(plans, slopes) || !lay_out(plans, slopes, plan))
        return NULL;
    plans->next = (plans->next + 1) % PINERY_YEAR_PLANS;
    return plans->now = plan;
}
