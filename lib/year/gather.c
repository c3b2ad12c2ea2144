#include "year/gather.h"

#include <stdlib.h>
#include <string.h>

#include "year/wide.h"

/* ---- laying out ---- */

static bool make_room(struct pinery_year_gather *gather, int places, int numbers) {
    if (places > gather->room_places || numbers > gather->room_from) {
        pinery_year_gather_free(gather);
        size_t one = (size_t)places + 1, most = (size_t)numbers + 1;
        gather->each = malloc(2 * one * sizeof *gather->each);
        gather->to = malloc((one + most) * sizeof *gather->to);
        if (!gather->each || !gather->to) {
            pinery_year_gather_free(gather);
            return false;
        }
        gather->room_places = places;
        gather->room_from = numbers;
    }
    gather->many = gather->each + gather->room_places + 1;
    gather->from = gather->to + gather->room_places + 1;
    return true;
}

void pinery_year_gather_free(struct pinery_year_gather *gather) {
    free(gather->each);
    free(gather->to);
    *gather = (struct pinery_year_gather){.places = 0};
}

/* Numbers of every place, and the most of them. */
static int count(int places, int numbers, const int *to, int *has) {
    int most = 0;
    memset(has, 0, (size_t)places * sizeof *has);
    for (int k = 0; k < numbers; k++)
        if (to[k] >= 0 && ++has[to[k]] > most)
            most = has[to[k]];
    return most;
}

bool pinery_year_gather_plan(struct pinery_year_gather *gather, int places, int numbers, const int *to) {
    int *has = malloc((2 * (size_t)(places + numbers) + 2) * sizeof *has);
    if (!has || !make_room(gather, places, numbers)) {
        free(has);
        return false;
    }
    int *next = has + places, *kind = next + places; /* where a place's numbers go on; where the places of a kind do */
    int most = count(places, numbers, to, has), begin = 0;
    memset(kind, 0, ((size_t)most + 1) * sizeof *kind);
    for (int p = 0; p < places; p++)
        kind[has[p]]++;
    gather->places = places;
    gather->kinds = 0;
    for (int each = 1; each <= most; each++) {
        int many = kind[each];
        kind[each] = begin;
        begin += many;
        if (!many)
            continue;
        gather->each[gather->kinds] = each;
        gather->many[gather->kinds++] = many;
    }
    for (int p = 0; p < places; p++)
        if (has[p])
            gather->to[kind[has[p]]++] = (unsigned short)p;
    for (int q = 0, numbers_before = 0; q < begin; q++) {
        next[gather->to[q]] = numbers_before;
        numbers_before += has[gather->to[q]];
    }
    for (int k = 0; k < numbers; k++)
        if (to[k] >= 0)
            gather->from[next[to[k]]++] = (unsigned short)k;
    free(has);
    return true;
}

/* ---- summing ---- */

/* Places of one kind, EACH numbers at least 1. Where it is written as a number there is no loop over it. */
#define SUM(EACH, TYPE, TERM, PUT)                   \
    PINERY_YEAR_UNROLL                               \
    for (int q = 0; q < many; q++, from += (EACH)) { \
        int k = from[0];                             \
        TYPE sum = TERM;                             \
        PINERY_YEAR_UNROLL                           \
        for (int i = 1; i < (EACH); i++) {           \
            k = from[i];                             \
            sum += TERM;                             \
        }                                            \
        const int place = *to++;                     \
        PUT;                                         \
    }                                                \
    break

#define SUMS(TYPE, TERM, PUT)                                     \
    const unsigned short *to = gather->to, *from = gather->from;  \
    for (int kind = 0; kind < gather->kinds; kind++) {            \
        int each = gather->each[kind], many = gather->many[kind]; \
        switch (each) {                                           \
        case 1:                                                   \
            SUM(1, TYPE, TERM, PUT);                              \
        case 2:                                                   \
            SUM(2, TYPE, TERM, PUT);                              \
        case 3:                                                   \
            SUM(3, TYPE, TERM, PUT);                              \
        case 4:                                                   \
            SUM(4, TYPE, TERM, PUT);                              \
        default:                                                  \
            SUM(each, TYPE, TERM, PUT);                           \
        }                                                         \
    }

void pinery_year_gather(const struct pinery_year_gather *gather, const double *in, double *out) {
    memset(out, 0, (size_t)gather->places * sizeof *out);
    SUMS(double, in[k], out[place] = sum)
}

void pinery_year_gather_products(const struct pinery_year_gather *gather, const double *in, const double *times,
                                 const unsigned short *by, double *out) {
    SUMS(double, in[k] * times[by[k]], out[place] = sum)
}

typedef double pair __attribute__((vector_size(2 * sizeof(double)), aligned(sizeof(double)), may_alias));

PINERY_YEAR_WIDE static void pairs(const struct pinery_year_gather *gather, const double *in, const double *times,
                                   const unsigned short *by, const unsigned short *partner, double *out) {
    SUMS(pair, *(const pair *)(in + k) * times[by[k]], (out[place] = sum[0], out[partner[place]] = sum[1]))
}

void pinery_year_gather_pairs(const struct pinery_year_gather *gather, const double *in, const double *times,
                              const unsigned short *by, const unsigned short *partner, double *out) {
    pairs(gather, in, times, by, partner, out);
}
