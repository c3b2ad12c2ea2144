/* The slopes of all flows at one state, as a list in the order in which the flows write them.
 *
 * A slope is by the temperature of a node (which stands for its heat), by its mass of water, or by a position. The list
 * is the same from one state to the next but for its values, unless a flow begins or ends; so what is made of it, sums
 * in certain places, is laid out once (plans.c). With every value goes a key that says what it is the slope of. */
#ifndef PINERY_YEAR_SLOPES_H
#define PINERY_YEAR_SLOPES_H

#include <stdbool.h>
#include <stdint.h>
#include <string.h>

struct pinery_year_slopes {
    int n, most;   /* written, and room for */
    double *value; /* 2 most: behind the room for them, that for whoever wants them with the other sign */
    uint32_t *key;
    bool failed; /* no memory */
};

/* What a slope is of: a flow of heat or of water of a heading, which two nodes and a total follow, or one row alone.
 * The first is no bit of a key, the second one bit more. */
enum pinery_year_slope_of { PINERY_YEAR_SLOPE_HEAT, PINERY_YEAR_SLOPE_WATER, PINERY_YEAR_SLOPE_ROW };

struct pinery_year_slope {
    enum pinery_year_slope_of of;
    int column;            /* of the variable, as unknowns are numbered */
    int heading, from, to; /* of a flow */
    int row;               /* else */
};

static inline uint32_t pinery_year_slope_flow(enum pinery_year_slope_of of, int column, int heading, int from, int to) {
    return (uint32_t)of | (uint32_t)column << 2 | (uint32_t)heading << 11 | (uint32_t)from << 18 | (uint32_t)to << 24;
}

static inline uint32_t pinery_year_slope_row(int column, int row) {
    return PINERY_YEAR_SLOPE_ROW | (uint32_t)column << 2 | (uint32_t)row << 11;
}

static inline struct pinery_year_slope pinery_year_slope_of_key(uint32_t key) {
    struct pinery_year_slope slope = {.of = (enum pinery_year_slope_of)(key & 3), .column = (int)(key >> 2 & 511)};
    if (slope.of == PINERY_YEAR_SLOPE_ROW) {
        slope.row = (int)(key >> 11);
    } else {
        slope.heading = (int)(key >> 11 & 127);
        slope.from = (int)(key >> 18 & 63);
        slope.to = (int)(key >> 24 & 63);
    }
    return slope;
}

bool pinery_year_slopes_grow(struct pinery_year_slopes *slopes); /* false: no memory */
void pinery_year_slopes_free(struct pinery_year_slopes *slopes);

/* Room for `many` more; false: no memory, and then nothing may be put. */
static inline bool pinery_year_slopes_room(struct pinery_year_slopes *slopes, int many) {
    return slopes->n + many <= slopes->most || pinery_year_slopes_grow(slopes);
}

static inline void pinery_year_slopes_add(struct pinery_year_slopes *slopes, uint32_t key, double value) {
    if (!pinery_year_slopes_room(slopes, 1))
        return;
    slopes->value[slopes->n] = value;
    slopes->key[slopes->n++] = key;
}

/* Many whose keys stand ready. */
static inline void pinery_year_slopes_add_many(struct pinery_year_slopes *slopes, int many, const uint32_t *key,
                                               const double *value) {
    if (!pinery_year_slopes_room(slopes, many))
        return;
    memcpy(slopes->value + slopes->n, value, (size_t)many * sizeof *value);
    memcpy(slopes->key + slopes->n, key, (size_t)many * sizeof *key);
    slopes->n += many;
}

/* Slopes of one thing by as many variables, whose keys stand ready. By one that a house does not have, the key is that
 * of a row that nobody reads. */
enum { PINERY_YEAR_SLOPE_SET = 6 };
struct pinery_year_slope_set {
    uint32_t key[PINERY_YEAR_SLOPE_SET];
};

static inline void pinery_year_slopes_add_set(struct pinery_year_slopes *slopes,
                                              const struct pinery_year_slope_set *set,
                                              const double slope[PINERY_YEAR_SLOPE_SET]) {
    pinery_year_slopes_add_many(slopes, PINERY_YEAR_SLOPE_SET, set->key, slope);
}

#endif
