/* The ledger is kept from running totals: a month is the difference of the totals at its two ends, so that nothing is
 * lost between the months and the year. Readings are instants; over an interval a reading counts as the mean of its two
 * ends, and that mean decides whether the interval is in a band.
 *
 * An interval belongs to the month in which its middle lies. The hourly peak is taken over the hours counted from the
 * start, the boiler's running heat being read on a straight line inside an interval that crosses the end of an hour. */
#include "ledger/ledger.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/error.h"
#include "ledger/book.h"
#include "ledger/calendar.h"

#define R(key) PINERY_READING_##key

static const double hour_s = 3600.0;

pinery_status pinery_ledger_create(const struct pinery_ledger_setup *setup, pinery_ledger **out, pinery_error *error) {
    *out = NULL;
    if (!(setup->interval_s > 0.0) || setup->intervals < 1 || !(setup->heating_value > 0.0) ||
        !isfinite(setup->start_s)) {
        return pinery_base_fail(
            error, PINERY_BAD_INPUT,
            "ledger: interval = %.10g s, intervals = %ld, heating value = %.10g J/m3, start = %.10g "
            "s; expected numbers above 0 and a finite start",
            setup->interval_s, setup->intervals, setup->heating_value, setup->start_s);
    }
    double per_hour = hour_s / setup->interval_s;
    if (setup->keep_hours && (per_hour < 0.5 || fabs(per_hour - round(per_hour)) > 1e-9 * per_hour)) {
        return pinery_base_fail(error, PINERY_BAD_INPUT,
                                "ledger: control interval = %.10g s does not divide the hour; an hourly series cannot "
                                "be kept",
                                setup->interval_s);
    }
    pinery_ledger *ledger = calloc(1, sizeof *ledger);
    if (ledger == NULL) {
        return pinery_base_fail(error, PINERY_MEMORY, "ledger: no memory");
    }
    ledger->setup = *setup;
    if (setup->keep_hours) {
        ledger->most_hours = (long)floor((double)setup->intervals / round(per_hour) + 1e-9);
        ledger->kept = calloc((size_t)ledger->most_hours + 1, sizeof *ledger->kept);
        if (ledger->kept == NULL) {
            pinery_ledger_free(ledger);
            return pinery_base_fail(error, PINERY_MEMORY, "ledger: no memory for the hourly series");
        }
    }
    pinery_ledger_histogram_start(&ledger->night, -20.0, 0.01);
    pinery_ledger_histogram_start(&ledger->along, 0.0, 0.01);
    pinery_ledger_histogram_start(&ledger->dew, -10.0, 0.01);
    pinery_ledger_histogram_start(&ledger->dew_air, -10.0, 0.01);
    ledger->peak_hour = ledger->peak_interval = -INFINITY;
    *out = ledger;
    return pinery_base_ok(error);
}

void pinery_ledger_free(pinery_ledger *ledger) {
    if (ledger != NULL) {
        free(ledger->kept);
        free(ledger);
    }
}

/* Time and totals of the last tick. */
static void mark_last(const pinery_ledger *ledger, struct pinery_ledger_mark *mark) {
    const pinery_tick *last = pinery_ledger_last(ledger);
    mark->time_s = last->time_s;
    memcpy(mark->total + PINERY_LEDGER_HEAT, last->heat, sizeof last->heat);
    memcpy(mark->total + PINERY_LEDGER_WATER, last->water, sizeof last->water);
    memcpy(mark->total + PINERY_LEDGER_METER, last->meter, sizeof last->meter);
    memcpy(mark->total + PINERY_LEDGER_READING, ledger->reading_sum, sizeof ledger->reading_sum);
}

/* What all take when there is nothing but the boiler, which then has no meter of its own. */
static double boiler(const pinery_ledger *ledger, const pinery_tick *tick) {
    if (ledger->setup.has_sources) {
        return tick->meter[PINERY_METER_heat_boiler];
    }
    return tick->heat[PINERY_HEADING_heat_lower] + tick->heat[PINERY_HEADING_heat_upper] +
           tick->heat[PINERY_HEADING_duct_coil] + tick->meter[PINERY_METER_heat_regeneration];
}

/* Electricity drawn, less what an engine makes, of the totals of meters. */
static double power_drawn(const double *meter) {
    double sum = -meter[PINERY_METER_electricity_made];
#define X(key, unit, doc) sum += meter[PINERY_METER_##key];
    PINERY_POWERS(X)
#undef X
    return sum;
}

/* From the first tick, which is the last one too. */
static void start(pinery_ledger *ledger) {
    const pinery_tick *tick = pinery_ledger_last(ledger);
    mark_last(ledger, &ledger->first);
    ledger->hour = ledger->month = ledger->first;
    ledger->first_stored[0] = tick->stored_heat;
    ledger->first_stored[1] = tick->stored_water;
    ledger->present_month = pinery_ledger_date(tick->time_s, ledger->setup.leap).month;
    ledger->month_end_s = pinery_ledger_month_end_s(tick->time_s, ledger->setup.leap);
    ledger->boiler[0] = ledger->hour_boiler = boiler(ledger, tick);
    ledger->boiler_s[0] = ledger->boiler_s[1] = tick->time_s;
    ledger->hour_end_s = tick->time_s + hour_s;
    ledger->gas_over.begin = tick->meter[PINERY_METER_gas];
    ledger->power_over.begin = power_drawn(tick->meter);
}

/* What was added since `open` into the span; the next one is open from now on. */
static void close_span(const pinery_ledger *ledger, struct pinery_ledger_mark *open, struct pinery_ledger_span *into) {
    struct pinery_ledger_mark now;
    mark_last(ledger, &now);
    for (int i = 0; i < PINERY_LEDGER_TOTALS; i++) {
        into->total[i] += now.total[i] - open->total[i];
    }
    into->seconds += now.time_s - open->time_s;
    *open = now;
}

static void close_month(pinery_ledger *ledger) {
    close_span(ledger, &ledger->month, &ledger->months[ledger->present_month]);
}

/* A value on the edge of two bins counts in the lower one, as "over 85" leaves out 85. */
static void spread(double bin[PINERY_LEDGER_SPREAD_BINS], double value, double width, double dt) {
    const int last = PINERY_LEDGER_SPREAD_BINS - 1;
    double place = value / width;
    int whole = place > 0.0 ? place < last ? (int)place : last : 0; /* also of what is not a number */
    bin[whole > 0 && whole == place ? whole - 1 : whole] += dt;
}

static void spell(struct pinery_ledger_spell *spell, bool so, double dt) {
    if (!so) {
        spell->now = 0.0;
        return;
    }
    spell->all += dt;
    spell->now += dt;
    spell->longest = spell->now > spell->longest ? spell->now : spell->longest;
}

/* Over as many limits as it is or lately was; mostly over none. */
static void damp(struct pinery_ledger_spell over[PINERY_LEDGER_LIMITS], int *over_now, double humidity, double dt) {
    int now = (humidity > 85.0) + (humidity > 90.0) + (humidity > 95.0) + (humidity > 100.0);
    for (int i = 0; i < now || i < *over_now; i++) {
        spell(&over[i], i < now, dt);
    }
    *over_now = now;
}

static void exposure(pinery_ledger *ledger, const double *r, bool drawn, double dt) {
    double moist = r[R(humidity_lower)] > r[R(humidity_upper)] ? r[R(humidity_lower)] : r[R(humidity_upper)];
    const double humidity[PINERY_LEDGER_PLACES] = {moist,
                                                   r[R(humidity_sensor)],
                                                   r[R(humidity_colder_1)],
                                                   r[R(humidity_colder_2)],
                                                   r[R(humidity_colder_3)],
                                                   drawn ? moist : 0.0};
    for (int place = 0; place < PINERY_LEDGER_PLACES; place++) {
        damp(ledger->damp[place], &ledger->damp_now[place], humidity[place], dt);
    }
    bool night = r[R(outside_global)] < 1.0;
    spread(ledger->spread[PINERY_SPREAD_humidity][night], moist, pinery_spread_width(PINERY_SPREAD_humidity), dt);
    spread(ledger->spread[PINERY_SPREAD_vapour_deficit][night], r[R(vapour_deficit)],
           pinery_spread_width(PINERY_SPREAD_vapour_deficit), dt);
    spell(&ledger->wet, r[R(crop_wetness)] > 0.001, dt);
    ledger->band[PINERY_LEDGER_DEW_1] += r[R(dew_margin)] < 1.0 ? dt : 0.0;
    ledger->band[PINERY_LEDGER_DEW_0] += r[R(dew_margin)] < 0.0 ? dt : 0.0;
    pinery_ledger_histogram_add(&ledger->dew, r[R(dew_margin)], dt);
    pinery_ledger_histogram_add(&ledger->dew_air, r[R(dew_margin_air)], dt);
}

/* An empty house has no crop to stand in damp or dry air. */
static const double empty = 0.005;

static void bands(pinery_ledger *ledger, const double *r, double dt) {
    double *band = ledger->band;
    bool crop = !(r[R(leaf_area)] < empty);
    band[PINERY_LEDGER_DEFICIT] += crop && r[R(humidity_deficit)] < 1.5 ? dt : 0.0;
    band[PINERY_LEDGER_VPD_LOW] += crop && r[R(vapour_deficit)] < 200.0 ? dt : 0.0;
    band[PINERY_LEDGER_VPD_HIGH] += crop && r[R(vapour_deficit)] > 1400.0 ? dt : 0.0;
    band[PINERY_LEDGER_ALONG] += r[R(end_to_end)] > 1.5 ? dt : 0.0;
    band[PINERY_LEDGER_VERTICAL] += fabs(r[R(air_lower)] - r[R(air_upper)]) > 1.5 ? dt : 0.0;
    band[PINERY_LEDGER_VENT] += r[R(vent_lee)] > 0.01 || r[R(vent_wind)] > 0.01 ? dt : 0.0;

    bool drawn = false, slit = false;
    for (int i = 0; i < PINERY_LEDGER_DRIVES; i++) {
        double cloth = r[R(cloth_1) + i];
        band[PINERY_LEDGER_SCREEN_1 + i] += cloth > 0.95 ? dt : 0.0;
        drawn = drawn || cloth > 0.5;
        slit = slit || (cloth > 0.5 && r[R(slit_1) + i] > 0.005);
    }
    if (crop) {
        exposure(ledger, r, drawn, dt);
    }
    band[PINERY_LEDGER_SLIT] += slit ? dt : 0.0;
    if (drawn) {
        band[PINERY_LEDGER_DRAWN] += dt;
        band[PINERY_LEDGER_SNOW] += r[R(outside_snow)] > 0.0 ? dt : 0.0;
        ledger->roof_sum += (r[R(air_roof)] - r[R(outside)]) * dt;
        ledger->along_sum += r[R(end_to_end)] * dt;
        pinery_ledger_histogram_add(&ledger->along, r[R(end_to_end)], dt);
    }
    if (r[R(outside_global)] < 1.0) {
        double difference = r[R(air_lower)] - r[R(air_upper)];
        band[PINERY_LEDGER_NIGHT] += dt;
        ledger->night_sum += difference * dt;
        pinery_ledger_histogram_add(&ledger->night, difference, dt);
    }
    if (r[R(pipe_lower)] > 25.0) {
        band[PINERY_LEDGER_PIPE] += dt;
        ledger->pipe_sum += r[R(pipe_lower)] * dt;
    }
}

/* What goes over the contract in the hour that ends at this share of the interval. Less than 0.3 % is the
 * integration's, whose steps reach over the ends of hours; meters are no better. */
static void over_contract(struct pinery_ledger_over *over, double most, double before, double now, double share) {
    double at_end = share >= 1.0 - 1e-9 ? now : before + share * (now - before), drawn = at_end - over->begin;
    bool more = most > 0.0 && drawn > 1.003 * most * hour_s;
    over->seconds += more ? hour_s : 0.0;
    over->amount += more ? drawn - most * hour_s : 0.0;
    over->begin = at_end;
}

static void contract_hour(pinery_ledger *ledger, const pinery_tick *tick, double share) {
    const double *before = pinery_ledger_last(ledger)->meter, *now = tick->meter;
    over_contract(&ledger->gas_over, ledger->setup.most_gas, before[PINERY_METER_gas], now[PINERY_METER_gas], share);
    over_contract(&ledger->power_over, ledger->setup.most_power, power_drawn(before), power_drawn(now), share);
}

static void peaks(pinery_ledger *ledger, const pinery_tick *tick) {
    double now = boiler(ledger, tick), before = ledger->boiler[0], before_s = ledger->boiler_s[0];
    while (tick->time_s >= ledger->hour_end_s - 1e-3) {
        double share = (ledger->hour_end_s - before_s) / (tick->time_s - before_s);
        double at_end = share >= 1.0 - 1e-9 ? now : before + share * (now - before);
        double mean = (at_end - ledger->hour_boiler) / hour_s;
        ledger->peak_hour = mean > ledger->peak_hour ? mean : ledger->peak_hour;
        ledger->hour_boiler = at_end;
        contract_hour(ledger, tick, share);
        ledger->hour_end_s += hour_s;
    }
    if (ledger->ticks >= 2) {
        double mean = (now - ledger->boiler[1]) / (tick->time_s - ledger->boiler_s[1]);
        ledger->peak_interval = mean > ledger->peak_interval ? mean : ledger->peak_interval;
    }
    ledger->boiler[1] = before;
    ledger->boiler_s[1] = before_s;
    ledger->boiler[0] = now;
    ledger->boiler_s[0] = tick->time_s;
}

/* Readings over an interval, each the mean of its ends, and their sums. */
static void take_readings(const double *restrict last, const double *restrict now, double dt, double *restrict mean,
                          double *restrict sum) {
    for (int i = 0; i < PINERY_N_READINGS; i++) {
        mean[i] = 0.5 * (last[i] + now[i]);
        sum[i] += mean[i] * dt;
    }
}

static void take_indices(const double *restrict last, const double *restrict now, double dt, double *restrict sum) {
    for (int i = 0; i < PINERY_N_INDICES; i++) {
        sum[i] += 0.5 * (last[i] + now[i]) * dt;
    }
}

/* From the last tick to the next. */
static void interval(pinery_ledger *ledger, const pinery_tick *last, const pinery_tick *tick) {
    double from_s = last->time_s, dt = tick->time_s - from_s, middle_s = from_s + 0.5 * dt;
    if (middle_s >= ledger->month_end_s) {
        close_month(ledger);
        ledger->present_month = pinery_ledger_date(middle_s, ledger->setup.leap).month;
        ledger->month_end_s = pinery_ledger_month_end_s(middle_s, ledger->setup.leap);
    }
    double mean[PINERY_N_READINGS];
    take_readings(last->reading, tick->reading, dt, mean, ledger->reading_sum);
    take_indices(last->index, tick->index, dt, ledger->index_sum);
    bands(ledger, mean, dt);
    double lacked = tick->meter[PINERY_METER_heat_short] - last->meter[PINERY_METER_heat_short];
    ledger->band[PINERY_LEDGER_GAS_SHORT] += lacked >= 1.0 * dt ? dt : 0.0; /* W/m2 */
    peaks(ledger, tick);
}

pinery_tick *pinery_ledger_next(pinery_ledger *ledger) {
    return &ledger->tick[1 - ledger->last];
}

void pinery_ledger_take(pinery_ledger *ledger) {
    const pinery_tick *last = pinery_ledger_last(ledger), *next = pinery_ledger_next(ledger);
    if (ledger->ticks > 0) {
        interval(ledger, last, next);
    }
    ledger->last = 1 - ledger->last;
    if (ledger->ticks == 0) {
        start(ledger);
    }
    ledger->ticks++;
    if (ledger->kept != NULL && next->time_s - ledger->hour.time_s > hour_s - 1e-3 &&
        ledger->hours < ledger->most_hours) {
        close_span(ledger, &ledger->hour, &ledger->kept[ledger->hours++]);
    }
}

void pinery_ledger_tick(pinery_ledger *ledger, const pinery_tick *tick) {
    *pinery_ledger_next(ledger) = *tick;
    pinery_ledger_take(ledger);
}

void pinery_ledger_finish(pinery_ledger *ledger) {
    if (pinery_ledger_last(ledger)->time_s > ledger->month.time_s) {
        close_month(ledger);
    }
}
