/* The lists of the headers as tables of names. */
#include "pinery/ledger.h"

#define COUNT(a) ((int)(sizeof(a) / sizeof(a)[0]))

static const pinery_name readings[] = {
#define X(key, unit, doc) {#key, unit, doc},
    PINERY_READINGS(X)
#undef X
};

static const pinery_name meters[] = {
#define X(key, unit, doc) {#key, unit, doc},
    PINERY_METERS(X)
#undef X
};

static const pinery_name results[] = {
#define X(key, unit, doc) {#key, unit, doc},
    PINERY_RESULTS(X)
#undef X
};

static const pinery_name headings[] = {
#define X(key, side, water, doc) {#key, "", doc},
    PINERY_HEADINGS(X)
#undef X
};

static const struct {
    pinery_side side;
    bool water;
} sides[] = {
#define X(key, side, water, doc) {PINERY_SIDE_##side, water},
    PINERY_HEADINGS(X)
#undef X
};

static const pinery_name *name(const pinery_name *table, int count, int i) {
    return i >= 0 && i < count ? &table[i] : NULL;
}

const pinery_name *pinery_reading_name(pinery_reading reading) {
    return name(readings, COUNT(readings), (int)reading);
}

const pinery_name *pinery_meter_name(pinery_meter meter) {
    return name(meters, COUNT(meters), (int)meter);
}

const pinery_name *pinery_result_name(pinery_result result) {
    return name(results, COUNT(results), (int)result);
}

const pinery_name *pinery_heading_name(pinery_heading heading) {
    return name(headings, COUNT(headings), (int)heading);
}

pinery_side pinery_heading_side(pinery_heading heading) {
    return sides[heading].side;
}

bool pinery_heading_has_water(pinery_heading heading) {
    return sides[heading].water;
}
