/* The results of a run, read from what the ledger kept. */
#include <math.h>

#include "ledger/book.h"

static const double hour_s = 3600.0, per_MJ = 1e-6, per_kWh = 1.0 / 3.6e6;

static double total(const pinery_ledger *ledger, int i) {
    const pinery_tick *last = pinery_ledger_last(ledger);
    double now = i < PINERY_LEDGER_WATER     ? last->heat[i - PINERY_LEDGER_HEAT]
                 : i < PINERY_LEDGER_METER   ? last->water[i - PINERY_LEDGER_WATER]
                 : i < PINERY_LEDGER_READING ? last->meter[i - PINERY_LEDGER_METER]
                                             : ledger->reading_sum[i - PINERY_LEDGER_READING];
    return now - ledger->first.total[i];
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
    return pinery_ledger_last(ledger)->stored_heat - ledger->first_stored[0];
}

double pinery_ledger_stored_water(const pinery_ledger *ledger) {
    return pinery_ledger_last(ledger)->stored_water - ledger->first_stored[1];
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
    return pinery_ledger_last(ledger)->time_s - ledger->first.time_s;
}

static double reading_sum(const pinery_ledger *ledger, pinery_reading reading) {
    return total(ledger, PINERY_LEDGER_READING + (int)reading);
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

static double all_power(const pinery_ledger *ledger) {
    double sum = 0.0;
#define X(key, unit, doc) sum += power(ledger, PINERY_METER_##key);
    PINERY_POWERS(X)
#undef X
    return sum;
}

/* Into pipes and coils. */
static double heat_used(const pinery_ledger *ledger) {
    return pinery_ledger_heat(ledger, PINERY_HEADING_heat_lower) +
           pinery_ledger_heat(ledger, PINERY_HEADING_heat_upper) + pinery_ledger_heat(ledger, PINERY_HEADING_duct_coil);
}

static double boiler_efficiency(const pinery_ledger *ledger, double gas) {
    double own = gas - pinery_ledger_meter(ledger, PINERY_METER_gas_cogeneration) -
                 pinery_ledger_meter(ledger, PINERY_METER_gas_flue);
    double heat = ledger->setup.has_sources
                      ? pinery_ledger_meter(ledger, PINERY_METER_heat_boiler)
                      : heat_used(ledger) + pinery_ledger_meter(ledger, PINERY_METER_heat_regeneration);
    return if_has(own > 0.0, heat / own);
}

static double light(const pinery_ledger *ledger, pinery_meter meter) {
    return pinery_ledger_meter(ledger, meter);
}

/* What cloths take of the growth index without them, or lamps add to it, in per cent; NaN without a crop in the light.
 */
static double growth_change(const pinery_ledger *ledger, pinery_index without, pinery_index with) {
    double from = ledger->index_sum[without];
    return from > 0.0 ? 100.0 * (ledger->index_sum[with] / from - 1.0) : NAN;
}

/* The rows of PINERY_EXPOSURE stand place by place, first the hours over each limit, then the longest runs. */
static double damp(const pinery_ledger *ledger, int row) {
    int in_place = row % (2 * PINERY_LEDGER_LIMITS);
    const struct pinery_ledger_spell *spell =
        &ledger->damp[row / (2 * PINERY_LEDGER_LIMITS)][in_place % PINERY_LEDGER_LIMITS];
    return (in_place < PINERY_LEDGER_LIMITS ? spell->all : spell->longest) / hour_s;
}

/* Results that are one total in another unit. */
static const struct {
    int row;
    double factor; /* 0: no such result */
} totals[PINERY_N_RESULTS] = {
    [PINERY_RESULT_electricity_lamps_kWh_per_m2] = {PINERY_LEDGER_METER + PINERY_METER_power_lamps, per_kWh},
    [PINERY_RESULT_electricity_fan_through_kWh_per_m2] = {PINERY_LEDGER_METER + PINERY_METER_power_fan_through,
                                                          per_kWh},
    [PINERY_RESULT_electricity_fan_circulation_kWh_per_m2] = {PINERY_LEDGER_METER + PINERY_METER_power_fan_circulation,
                                                              per_kWh},
    [PINERY_RESULT_electricity_pumps_kWh_per_m2] = {PINERY_LEDGER_METER + PINERY_METER_power_pumps, per_kWh},
    [PINERY_RESULT_electricity_duct_kWh_per_m2] = {PINERY_LEDGER_METER + PINERY_METER_power_duct, per_kWh},
    [PINERY_RESULT_electricity_recovery_kWh_per_m2] = {PINERY_LEDGER_METER + PINERY_METER_power_recovery, per_kWh},
    [PINERY_RESULT_electricity_dehumidifier_kWh_per_m2] = {PINERY_LEDGER_METER + PINERY_METER_power_dehumidifier,
                                                           per_kWh},
    [PINERY_RESULT_electricity_desiccant_kWh_per_m2] = {PINERY_LEDGER_METER + PINERY_METER_power_desiccant, per_kWh},
    [PINERY_RESULT_electricity_heat_pump_kWh_per_m2] = {PINERY_LEDGER_METER + PINERY_METER_power_heat_pump, per_kWh},
    [PINERY_RESULT_electricity_electric_boiler_kWh_per_m2] = {PINERY_LEDGER_METER + PINERY_METER_power_electric_boiler,
                                                              per_kWh},
    [PINERY_RESULT_electricity_bought_heat_kWh_per_m2] = {PINERY_LEDGER_METER + PINERY_METER_power_bought_heat,
                                                          per_kWh},
    [PINERY_RESULT_electricity_made_kWh_per_m2] = {PINERY_LEDGER_METER + PINERY_METER_electricity_made, per_kWh},
    [PINERY_RESULT_gas_cogeneration_MJ_per_m2] = {PINERY_LEDGER_METER + PINERY_METER_gas_cogeneration, per_MJ},
    [PINERY_RESULT_heat_cogeneration_MJ_per_m2] = {PINERY_LEDGER_METER + PINERY_METER_heat_cogeneration, per_MJ},
    [PINERY_RESULT_heat_cooled_MJ_per_m2] = {PINERY_LEDGER_METER + PINERY_METER_heat_cooled, per_MJ},
    [PINERY_RESULT_heat_bought_MJ_per_m2] = {PINERY_LEDGER_METER + PINERY_METER_heat_bought, per_MJ},
    [PINERY_RESULT_heat_pump_MJ_per_m2] = {PINERY_LEDGER_METER + PINERY_METER_heat_pump, per_MJ},
    [PINERY_RESULT_gas_flue_MJ_per_m2] = {PINERY_LEDGER_METER + PINERY_METER_gas_flue, per_MJ},
    [PINERY_RESULT_heat_flue_MJ_per_m2] = {PINERY_LEDGER_METER + PINERY_METER_heat_flue, per_MJ},
    [PINERY_RESULT_gas_flue_only_MJ_per_m2] = {PINERY_LEDGER_METER + PINERY_METER_gas_flue_only, per_MJ},
    [PINERY_RESULT_carbon_pure_kg_per_m2] = {PINERY_LEDGER_METER + PINERY_METER_carbon_pure, 1.0},
    [PINERY_RESULT_carbon_dosed_kg_per_m2] = {PINERY_LEDGER_METER + PINERY_METER_carbon_dosed, 1.0},
    [PINERY_RESULT_carbon_taken_kg_per_m2] = {PINERY_LEDGER_METER + PINERY_METER_carbon_taken, 1.0},
    [PINERY_RESULT_carbon_aired_kg_per_m2] = {PINERY_LEDGER_METER + PINERY_METER_carbon_aired, 1.0},
    [PINERY_RESULT_heat_duct_MJ_per_m2] = {PINERY_LEDGER_HEAT + PINERY_HEADING_duct_coil, per_MJ},
    [PINERY_RESULT_heat_desiccant_MJ_per_m2] = {PINERY_LEDGER_METER + PINERY_METER_heat_regeneration, per_MJ},
    [PINERY_RESULT_duct_water_kg_per_m2] = {PINERY_LEDGER_WATER + PINERY_HEADING_duct_push, 1.0},
    [PINERY_RESULT_recovery_water_kg_per_m2] = {PINERY_LEDGER_WATER + PINERY_HEADING_recovery_air, 1.0},
    [PINERY_RESULT_dehumidifier_water_kg_per_m2] = {PINERY_LEDGER_WATER + PINERY_HEADING_dehumidifier_water, 1.0},
    [PINERY_RESULT_desiccant_water_kg_per_m2] = {PINERY_LEDGER_WATER + PINERY_HEADING_desiccant_water, 1.0},
    [PINERY_RESULT_water_kg_per_m2] = {PINERY_LEDGER_WATER + PINERY_HEADING_water_supply, 1.0},
    [PINERY_RESULT_transpiration_kg_per_m2] = {PINERY_LEDGER_WATER + PINERY_HEADING_transpiration, 1.0},
};

/* Hours at full speed or duty: sums of one reading. */
static double full_hours(const pinery_ledger *ledger, pinery_reading reading) {
    return reading_sum(ledger, reading) / hour_s;
}

double pinery_ledger_result(const pinery_ledger *ledger, pinery_result result) {
    const struct pinery_ledger_setup *setup = &ledger->setup;
    bool drives = setup->has_drive[0] || setup->has_drive[1] || setup->has_drive[2];
    double gas = pinery_ledger_meter(ledger, PINERY_METER_gas);
    if (ledger->ticks < 2) {
        return NAN;
    }
    if ((int)result >= 0 && result < PINERY_N_RESULTS && totals[result].factor != 0.0) {
        return total(ledger, totals[result].row) * totals[result].factor;
    }
    switch (result) {
    case PINERY_RESULT_gas_m3_per_m2:
        return gas / setup->heating_value;
    case PINERY_RESULT_gas_MJ_per_m2:
        return gas * per_MJ;
    case PINERY_RESULT_heat_MJ_per_m2:
        return heat_used(ledger) * per_MJ;
    case PINERY_RESULT_electricity_kWh_per_m2:
        return all_power(ledger);
    case PINERY_RESULT_heat_boiler_MJ_per_m2:
        return if_has(setup->has_sources, pinery_ledger_meter(ledger, PINERY_METER_heat_boiler)) * per_MJ;
    case PINERY_RESULT_boiler_efficiency:
        return boiler_efficiency(ledger, gas);
    case PINERY_RESULT_mean_co2_ppm:
        return pinery_ledger_mean(ledger, PINERY_READING_co2);
    case PINERY_RESULT_peak_hour_W_per_m2:
        return if_has(isfinite(ledger->peak_hour), ledger->peak_hour);
    case PINERY_RESULT_peak_interval_W_per_m2:
        return if_has(isfinite(ledger->peak_interval), ledger->peak_interval);
    case PINERY_RESULT_hours_gas_short:
        return if_has(setup->most_gas > 0.0, hours(ledger, PINERY_LEDGER_GAS_SHORT));
    case PINERY_RESULT_heat_short_MJ_per_m2:
        return if_has(setup->most_gas > 0.0, pinery_ledger_meter(ledger, PINERY_METER_heat_short) * per_MJ);
    case PINERY_RESULT_hours_gas_over:
        return if_has(setup->most_gas > 0.0, ledger->gas_over.seconds / hour_s);
    case PINERY_RESULT_gas_over_MJ_per_m2:
        return if_has(setup->most_gas > 0.0, ledger->gas_over.amount * per_MJ);
    case PINERY_RESULT_hours_power_over:
        return if_has(setup->most_power > 0.0, ledger->power_over.seconds / hour_s);
    case PINERY_RESULT_power_over_kWh_per_m2:
        return if_has(setup->most_power > 0.0, ledger->power_over.amount * per_kWh);
    case PINERY_RESULT_light_mol_per_m2:
        return light(ledger, PINERY_METER_light_sun) + light(ledger, PINERY_METER_light_lamps);
    case PINERY_RESULT_light_lamps_mol_per_m2:
        return light(ledger, PINERY_METER_light_lamps);
    case PINERY_RESULT_light_day_mol_per_m2:
        return (light(ledger, PINERY_METER_light_sun) + light(ledger, PINERY_METER_light_lamps)) / seconds(ledger) *
               24.0 * hour_s;
    case PINERY_RESULT_light_lost_parked_mol_per_m2:
        return if_has(drives, ledger->index_sum[PINERY_INDEX_light_parked]);
    case PINERY_RESULT_light_lost_drawn_mol_per_m2:
        return if_has(drives, ledger->index_sum[PINERY_INDEX_light_drawn]);
    case PINERY_RESULT_growth_index:
        return ledger->index_sum[PINERY_INDEX_growth_mid];
    case PINERY_RESULT_growth_index_early:
        return ledger->index_sum[PINERY_INDEX_growth_early];
    case PINERY_RESULT_growth_index_even:
        return ledger->index_sum[PINERY_INDEX_growth_even];
    case PINERY_RESULT_growth_lost_pct:
        return if_has(drives, -growth_change(ledger, PINERY_INDEX_bare_mid, PINERY_INDEX_growth_mid));
    case PINERY_RESULT_growth_lost_early_pct:
        return if_has(drives, -growth_change(ledger, PINERY_INDEX_bare_early, PINERY_INDEX_growth_early));
    case PINERY_RESULT_growth_lost_even_pct:
        return if_has(drives, -growth_change(ledger, PINERY_INDEX_bare_even, PINERY_INDEX_growth_even));
    case PINERY_RESULT_growth_lamps_pct:
        return if_has(setup->has_lamp, growth_change(ledger, PINERY_INDEX_unlit_mid, PINERY_INDEX_growth_mid));
    case PINERY_RESULT_growth_lamps_early_pct:
        return if_has(setup->has_lamp, growth_change(ledger, PINERY_INDEX_unlit_early, PINERY_INDEX_growth_early));
    case PINERY_RESULT_growth_lamps_even_pct:
        return if_has(setup->has_lamp, growth_change(ledger, PINERY_INDEX_unlit_even, PINERY_INDEX_growth_even));
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
    case PINERY_RESULT_cogeneration_hours:
        return full_hours(ledger, PINERY_READING_cogeneration);
    case PINERY_RESULT_duct_hours:
        return full_hours(ledger, PINERY_READING_duct);
    case PINERY_RESULT_recovery_hours:
        return full_hours(ledger, PINERY_READING_recovery);
    case PINERY_RESULT_dehumidifier_hours:
        return full_hours(ledger, PINERY_READING_dehumidifier);
    case PINERY_RESULT_desiccant_hours:
        return full_hours(ledger, PINERY_READING_desiccant);
    default: /* in `totals` */
        break;
    }
    return NAN;
}
