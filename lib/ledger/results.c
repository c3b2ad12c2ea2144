/* The results of a run, and the totals by month and hour, read from what the ledger kept. */
#include <math.h>

#include "ledger/book.h"
#include "ledger/calendar.h"

static const double hour_s = 3600.0, per_MJ = 1e-6, per_kWh = 1.0 / 3.6e6;

static double total(const pinery_ledger *ledger, int i) {
    return ledger->last[i] - ledger->first[i];
}

double pinery_ledger_heat(const pinery_ledger *ledger, pinery_heading heading) {
    return total(ledger, PINERY_LEDGER_HEAT + (int)heading);
}

double pinery_ledger_water(const pinery_ledger *ledger, pinery_heading heading) {
    return total(ledger, PINERY_LEDGER_WATER + (int)heading);
}

double pinery_ledger_meter(const pinery_ledger *ledger, pinery_meter meter) {
    return total(ledger, PINERY_LEDGER_METER + (int)meter);
}

double pinery_ledger_stored_heat(const pinery_ledger *ledger) {
    return ledger->last_stored[0] - ledger->first_stored[0];
}

double pinery_ledger_stored_water(const pinery_ledger *ledger) {
    return ledger->last_stored[1] - ledger->first_stored[1];
}

/* --- closure --- */

/* A sum that keeps what rounding drops (Neumaier 1974). */
struct sum {
    double value, lost;
};

static void add(struct sum *sum, double x) {
    double next = sum->value + x;
    sum->lost += fabs(sum->value) >= fabs(x) ? (sum->value - next) + x : (x - next) + sum->value;
    sum->value = next;
}

/* (gained - in + out) / in, of heat or of water; relative to the larger of in and out when nothing went in; 0 when
 * nothing moved at all. A flow against the direction of its heading counts with its sign. */
static double closure(const pinery_ledger *ledger, int row, double gained) {
    struct sum missing = {0}, in = {0}, out = {0};
    add(&missing, gained);
    for (int i = 0; i < PINERY_N_HEADINGS; i++) {
        pinery_side side = pinery_heading_side((pinery_heading)i);
        double flow = total(ledger, row + i);
        if (side == PINERY_SIDE_IN) {
            add(&missing, -flow);
            add(&in, flow);
        } else if (side == PINERY_SIDE_OUT) {
            add(&missing, flow);
            add(&out, flow);
        }
    }
    double gross = in.value + in.lost;
    if (!(gross > 0.0)) {
        gross = fmax(fabs(gross), fabs(out.value + out.lost));
    }
    double left = missing.value + missing.lost;
    return gross > 0.0 ? left / gross : left == 0.0 ? 0.0 : INFINITY;
}

/* --- results --- */

static double hours(const pinery_ledger *ledger, enum pinery_ledger_band band) {
    return ledger->band[band] / hour_s;
}

static double seconds(const pinery_ledger *ledger) {
    return ledger->last_s - ledger->first_s;
}

static double reading_sum(const pinery_ledger *ledger, pinery_reading reading) {
    double sum = ledger->month.reading[reading]; /* of a month still open */
    for (int i = 0; i < 12; i++) {
        sum += ledger->months[i].reading[reading];
    }
    return sum;
}

double pinery_ledger_mean(const pinery_ledger *ledger, pinery_reading reading) {
    return seconds(ledger) > 0.0 ? reading_sum(ledger, reading) / seconds(ledger) : NAN;
}

/* sum / duration of a band, NaN when there was none. */
static double mean_in(const pinery_ledger *ledger, double sum, enum pinery_ledger_band band) {
    return ledger->band[band] > 0.0 ? sum / ledger->band[band] : NAN;
}

static double if_has(bool has, double value) {
    return has ? value : NAN;
}

static double power(const pinery_ledger *ledger, pinery_meter meter) {
    return pinery_ledger_meter(ledger, meter) * per_kWh;
}

static double light(const pinery_ledger *ledger, pinery_meter meter) {
    return pinery_ledger_meter(ledger, meter);
}

/* The rows of PINERY_EXPOSURE stand place by place, first the hours over each limit, then the longest runs. */
static double damp(const pinery_ledger *ledger, int row) {
    int in_place = row % (2 * PINERY_LEDGER_LIMITS);
    const struct pinery_ledger_spell *spell =
        &ledger->damp[row / (2 * PINERY_LEDGER_LIMITS)][in_place % PINERY_LEDGER_LIMITS];
    return (in_place < PINERY_LEDGER_LIMITS ? spell->all : spell->longest) / hour_s;
}

double pinery_ledger_result(const pinery_ledger *ledger, pinery_result result) {
    const struct pinery_ledger_setup *setup = &ledger->setup;
    bool drives = setup->has_drive[0] || setup->has_drive[1] || setup->has_drive[2];
    double gas = pinery_ledger_meter(ledger, PINERY_METER_gas);
    if (ledger->ticks < 2) {
        return NAN;
    }
    switch (result) {
    case PINERY_RESULT_gas_m3_per_m2:
        return gas / setup->heating_value;
    case PINERY_RESULT_gas_MJ_per_m2:
        return gas * per_MJ;
    case PINERY_RESULT_heat_MJ_per_m2:
        return (pinery_ledger_heat(ledger, PINERY_HEADING_heat_lower) +
                pinery_ledger_heat(ledger, PINERY_HEADING_heat_upper)) *
               per_MJ;
    case PINERY_RESULT_electricity_kWh_per_m2:
        return power(ledger, PINERY_METER_power_lamps) + power(ledger, PINERY_METER_power_fan_through) +
               power(ledger, PINERY_METER_power_fan_circulation) + power(ledger, PINERY_METER_power_pumps);
    case PINERY_RESULT_electricity_lamps_kWh_per_m2:
        return power(ledger, PINERY_METER_power_lamps);
    case PINERY_RESULT_electricity_fan_through_kWh_per_m2:
        return power(ledger, PINERY_METER_power_fan_through);
    case PINERY_RESULT_electricity_fan_circulation_kWh_per_m2:
        return power(ledger, PINERY_METER_power_fan_circulation);
    case PINERY_RESULT_electricity_pumps_kWh_per_m2:
        return power(ledger, PINERY_METER_power_pumps);
    case PINERY_RESULT_water_kg_per_m2:
        return pinery_ledger_water(ledger, PINERY_HEADING_water_supply);
    case PINERY_RESULT_peak_hour_W_per_m2:
        return if_has(isfinite(ledger->peak_hour), ledger->peak_hour);
    case PINERY_RESULT_peak_interval_W_per_m2:
        return if_has(isfinite(ledger->peak_interval), ledger->peak_interval);
    case PINERY_RESULT_light_mol_per_m2:
        return light(ledger, PINERY_METER_light_sun) + light(ledger, PINERY_METER_light_lamps);
    case PINERY_RESULT_light_lamps_mol_per_m2:
        return light(ledger, PINERY_METER_light_lamps);
    case PINERY_RESULT_light_day_mol_per_m2:
        return (light(ledger, PINERY_METER_light_sun) + light(ledger, PINERY_METER_light_lamps)) / seconds(ledger) *
               24.0 * hour_s;
    case PINERY_RESULT_lamp_hours:
        return if_has(setup->has_lamp, reading_sum(ledger, PINERY_READING_lamp_1) / hour_s);
    case PINERY_RESULT_mean_air_degC:
        return pinery_ledger_mean(ledger, PINERY_READING_air_seen);
    case PINERY_RESULT_mean_humidity_pct:
        return pinery_ledger_mean(ledger, PINERY_READING_humidity_upper);
#define X(key, unit, doc) case PINERY_RESULT_##key:
        PINERY_EXPOSURES(X)
#undef X
        return damp(ledger, (int)result - (int)PINERY_RESULT_hours_humidity_over_85);
    case PINERY_RESULT_hours_deficit_under_1_5:
        return hours(ledger, PINERY_LEDGER_DEFICIT);
    case PINERY_RESULT_hours_vapour_deficit_under_200:
        return hours(ledger, PINERY_LEDGER_VPD_LOW);
    case PINERY_RESULT_hours_vapour_deficit_over_1400:
        return hours(ledger, PINERY_LEDGER_VPD_HIGH);
    case PINERY_RESULT_hours_dew_margin_under_1:
        return hours(ledger, PINERY_LEDGER_DEW_1);
    case PINERY_RESULT_hours_dew_margin_under_0:
        return hours(ledger, PINERY_LEDGER_DEW_0);
    case PINERY_RESULT_dew_margin_p5_K:
        return pinery_ledger_histogram_value(&ledger->dew, 0.05);
    case PINERY_RESULT_dew_margin_air_p5_K:
        return pinery_ledger_histogram_value(&ledger->dew_air, 0.05);
    case PINERY_RESULT_hours_crop_wet:
        return ledger->wet.all / hour_s;
    case PINERY_RESULT_longest_crop_wet_h:
        return ledger->wet.longest / hour_s;
    case PINERY_RESULT_condensation_cover_kg_per_m2:
        return pinery_ledger_water(ledger, PINERY_HEADING_condensation_cover) +
               pinery_ledger_water(ledger, PINERY_HEADING_condensation_walls);
    case PINERY_RESULT_condensation_cloths_kg_per_m2:
        return if_has(drives, pinery_ledger_water(ledger, PINERY_HEADING_condensation_cloths) +
                                  pinery_ledger_water(ledger, PINERY_HEADING_under_cloth));
    case PINERY_RESULT_transpiration_kg_per_m2:
        return pinery_ledger_water(ledger, PINERY_HEADING_transpiration);
    case PINERY_RESULT_screen_1_hours:
        return if_has(setup->has_drive[0], hours(ledger, PINERY_LEDGER_SCREEN_1));
    case PINERY_RESULT_screen_2_hours:
        return if_has(setup->has_drive[1], hours(ledger, PINERY_LEDGER_SCREEN_2));
    case PINERY_RESULT_screen_3_hours:
        return if_has(setup->has_drive[2], hours(ledger, PINERY_LEDGER_SCREEN_3));
    case PINERY_RESULT_slit_hours:
        return if_has(drives, hours(ledger, PINERY_LEDGER_SLIT));
    case PINERY_RESULT_vent_hours:
        return hours(ledger, PINERY_LEDGER_VENT);
    case PINERY_RESULT_fan_through_hours:
        return if_has(setup->has_fan_through, reading_sum(ledger, PINERY_READING_fan_through) / hour_s);
    case PINERY_RESULT_pipe_mean_degC:
        return mean_in(ledger, ledger->pipe_sum, PINERY_LEDGER_PIPE);
    case PINERY_RESULT_lower_minus_upper_K:
        return mean_in(ledger, ledger->night_sum, PINERY_LEDGER_NIGHT);
    case PINERY_RESULT_lower_minus_upper_coldest_K:
        return pinery_ledger_histogram_value(&ledger->night, 0.05);
    case PINERY_RESULT_roof_minus_outside_K:
        return mean_in(ledger, ledger->roof_sum, PINERY_LEDGER_DRAWN);
    case PINERY_RESULT_end_to_end_mean_K:
        return mean_in(ledger, ledger->along_sum, PINERY_LEDGER_DRAWN);
    case PINERY_RESULT_end_to_end_p95_K:
        return pinery_ledger_histogram_value(&ledger->along, 0.95);
    case PINERY_RESULT_hours_end_to_end_over_1_5:
        return hours(ledger, PINERY_LEDGER_ALONG);
    case PINERY_RESULT_hours_vertical_over_1_5:
        return hours(ledger, PINERY_LEDGER_VERTICAL);
    case PINERY_RESULT_snow_hours_shut:
        return hours(ledger, PINERY_LEDGER_SNOW);
    case PINERY_RESULT_closure_heat:
        return closure(ledger, PINERY_LEDGER_HEAT, pinery_ledger_stored_heat(ledger));
    case PINERY_RESULT_closure_water:
        return closure(ledger, PINERY_LEDGER_WATER, pinery_ledger_stored_water(ledger));
    case PINERY_N_RESULTS:
        break;
    }
    return NAN;
}

/* --- span and months --- */

double pinery_ledger_start_s(const pinery_ledger *ledger) {
    return ledger->first_s;
}

double pinery_ledger_end_s(const pinery_ledger *ledger) {
    return ledger->last_s;
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
    return span == NULL ? NAN : span->reading[reading] / span->seconds;
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
    return hour_of(ledger, hour) == NULL ? NAN : ledger->first_s + hour * hour_s;
}

double pinery_ledger_hour_reading(const pinery_ledger *ledger, int hour, pinery_reading reading) {
    const struct pinery_ledger_span *span = hour_of(ledger, hour);
    return span == NULL ? NAN : span->reading[reading] / span->seconds;
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
