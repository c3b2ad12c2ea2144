/* The span of a run, and its totals and means by month and hour, read from what the ledger kept. */
#include <math.h>

#include "ledger/book.h"

static const double hour_s = 3600.0;

double pinery_ledger_start_s(const pinery_ledger *ledger) {
    return ledger->first.time_s;
}

double pinery_ledger_end_s(const pinery_ledger *ledger) {
    return pinery_ledger_last(ledger)->time_s;
}

bool pinery_ledger_leap(const pinery_ledger *ledger) {
    return ledger->setup.leap;
}

double pinery_ledger_heating_value(const pinery_ledger *ledger) {
    return ledger->setup.heating_value;
}

bool pinery_ledger_gross(const pinery_ledger *ledger) {
    return ledger->setup.gross;
}

static const struct pinery_ledger_span *month_of(const pinery_ledger *ledger, int month) {
    return month >= 0 && month < 12 && ledger->months[month].seconds > 0.0 ? &ledger->months[month] : NULL;
}

static double month_total(const pinery_ledger *ledger, int month, int i) {
    const struct pinery_ledger_span *span = month_of(ledger, month);
    return span == NULL ? NAN : span->total[i];
}

double pinery_ledger_month_hours(const pinery_ledger *ledger, int month) {
    const struct pinery_ledger_span *span = month_of(ledger, month);
    return span == NULL ? 0.0 : span->seconds / hour_s;
}

double pinery_ledger_month_heat(const pinery_ledger *ledger, int month, pinery_heading heading) {
    return month_total(ledger, month, PINERY_LEDGER_HEAT + (int)heading);
}

double pinery_ledger_month_water(const pinery_ledger *ledger, int month, pinery_heading heading) {
    return month_total(ledger, month, PINERY_LEDGER_WATER + (int)heading);
}

double pinery_ledger_month_meter(const pinery_ledger *ledger, int month, pinery_meter meter) {
    return month_total(ledger, month, PINERY_LEDGER_METER + (int)meter);
}

double pinery_ledger_month_reading(const pinery_ledger *ledger, int month, pinery_reading reading) {
    const struct pinery_ledger_span *span = month_of(ledger, month);
    return span == NULL ? NAN : span->total[PINERY_LEDGER_READING + (int)reading] / span->seconds;
}

/* --- hours --- */

int pinery_ledger_hours(const pinery_ledger *ledger) {
    return (int)ledger->hours;
}

static const struct pinery_ledger_span *hour_of(const pinery_ledger *ledger, int hour) {
    return hour >= 0 && hour < ledger->hours ? &ledger->kept[hour] : NULL;
}

static double hour_total(const pinery_ledger *ledger, int hour, int i) {
    const struct pinery_ledger_span *span = hour_of(ledger, hour);
    return span == NULL ? NAN : span->total[i];
}

double pinery_ledger_hour_time_s(const pinery_ledger *ledger, int hour) {
    return hour_of(ledger, hour) == NULL ? NAN : ledger->first.time_s + hour * hour_s;
}

double pinery_ledger_hour_reading(const pinery_ledger *ledger, int hour, pinery_reading reading) {
    const struct pinery_ledger_span *span = hour_of(ledger, hour);
    return span == NULL ? NAN : span->total[PINERY_LEDGER_READING + (int)reading] / span->seconds;
}

double pinery_ledger_hour_heat(const pinery_ledger *ledger, int hour, pinery_heading heading) {
    return hour_total(ledger, hour, PINERY_LEDGER_HEAT + (int)heading);
}

double pinery_ledger_hour_water(const pinery_ledger *ledger, int hour, pinery_heading heading) {
    return hour_total(ledger, hour, PINERY_LEDGER_WATER + (int)heading);
}

double pinery_ledger_hour_meter(const pinery_ledger *ledger, int hour, pinery_meter meter) {
    return hour_total(ledger, hour, PINERY_LEDGER_METER + (int)meter);
}

/* --- how readings are spread --- */

static const double spread_width[PINERY_N_SPREADS] = {
#define X(key, unit, width, doc) width,
    PINERY_SPREADS(X)
#undef X
};

double pinery_spread_width(pinery_spread spread) {
    return spread_width[spread];
}

int pinery_ledger_spread_bins(void) {
    return PINERY_LEDGER_SPREAD_BINS;
}

double pinery_ledger_spread_hours(const pinery_ledger *ledger, pinery_spread spread, bool night, int bin) {
    return bin >= 0 && bin < PINERY_LEDGER_SPREAD_BINS ? ledger->spread[spread][night][bin] / hour_s : 0.0;
}
