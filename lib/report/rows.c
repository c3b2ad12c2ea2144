/* The rows of a comparison. */
#include <math.h>
#include <string.h>

#include "pinery/report.h"

#define ENERGY "Energy"
#define WATER "Water"
#define LIGHT "Light"
#define TEMPERATURE "Temperature"
#define HUMIDITY "Humidity"
#define EQUIPMENT "Equipment"
#define BOOKS "Books (share of what went in)"

#define ROW(group, key, label, decimals) \
    { PINERY_RESULT_##key, group, label, decimals }

static const pinery_report_row rows[] = {
    ROW(ENERGY, gas_m3_per_m2, "gas", 2),
    ROW(ENERGY, gas_MJ_per_m2, "heat in the gas", 1),
    ROW(ENERGY, heat_MJ_per_m2, "heat from the boiler", 1),
    ROW(ENERGY, electricity_kWh_per_m2, "electricity, all", 2),
    ROW(ENERGY, electricity_lamps_kWh_per_m2, "  lamps", 2),
    ROW(ENERGY, electricity_fan_through_kWh_per_m2, "  through-cloth fans", 2),
    ROW(ENERGY, electricity_fan_circulation_kWh_per_m2, "  circulation fans", 2),
    ROW(ENERGY, electricity_pumps_kWh_per_m2, "  pumps", 2),
    ROW(ENERGY, peak_hour_W_per_m2, "boiler peak, one hour", 1),
    ROW(ENERGY, peak_interval_W_per_m2, "boiler peak, two intervals", 1),
    ROW(ENERGY, pipe_mean_degC, "lower pipes when over 25", 1),
    ROW(WATER, water_kg_per_m2, "taken up by the roots", 1),
    ROW(LIGHT, light_mol_per_m2, "light at the crop", 0),
    ROW(LIGHT, light_lamps_mol_per_m2, "  from lamps", 0),
    ROW(LIGHT, lamp_hours, "lamps, full-load hours", 0),
    ROW(TEMPERATURE, mean_air_degC, "air, mean", 2),
    ROW(TEMPERATURE, lower_minus_upper_K, "lower less upper air, night", 2),
    ROW(TEMPERATURE, lower_minus_upper_coldest_K, "  its lowest 5 %", 2),
    ROW(TEMPERATURE, end_to_end_mean_K, "end to end, cloth drawn", 2),
    ROW(TEMPERATURE, end_to_end_p95_K, "  its highest 5 %", 2),
    ROW(TEMPERATURE, roof_minus_outside_K, "roof less outside, drawn", 2),
    ROW(HUMIDITY, mean_humidity_pct, "relative humidity, mean", 1),
    ROW(HUMIDITY, hours_humidity_over_85, "humidity over 85 %", 0),
    ROW(HUMIDITY, hours_humidity_over_90, "humidity over 90 %", 0),
    ROW(HUMIDITY, hours_humidity_over_95, "humidity over 95 %", 0),
    ROW(HUMIDITY, longest_humidity_over_90_h, "over 90 %, longest run", 1),
    ROW(HUMIDITY, hours_colder_2_over_90, "over 90 %, place 2 K colder", 0),
    ROW(HUMIDITY, hours_colder_2_over_100, "dew in a place 2 K colder", 0),
    ROW(HUMIDITY, hours_deficit_under_1_5, "deficit under 1.5 g/m3", 0),
    ROW(HUMIDITY, hours_vapour_deficit_under_200, "vapour deficit under 200 Pa", 0),
    ROW(HUMIDITY, hours_vapour_deficit_over_1400, "vapour deficit over 1400 Pa", 0),
    ROW(HUMIDITY, hours_dew_margin_under_1, "leaf < 1 K above dew point", 0),
    ROW(HUMIDITY, hours_crop_wet, "leaves wet", 0),
    ROW(HUMIDITY, transpiration_kg_per_m2, "transpiration", 1),
    ROW(HUMIDITY, condensation_cover_kg_per_m2, "condensed on the cover", 1),
    ROW(HUMIDITY, condensation_cloths_kg_per_m2, "condensed on the cloths", 1),
    ROW(EQUIPMENT, screen_1_hours, "lowest drive drawn", 0),
    ROW(EQUIPMENT, screen_2_hours, "second drive drawn", 0),
    ROW(EQUIPMENT, screen_3_hours, "third drive drawn", 0),
    ROW(EQUIPMENT, slit_hours, "slit in a drawn cloth", 0),
    ROW(EQUIPMENT, vent_hours, "vents open", 0),
    ROW(EQUIPMENT, fan_through_hours, "through-cloth fans, full", 0),
    ROW(EQUIPMENT, snow_hours_shut, "snow on a drawn cloth", 0),
    ROW(BOOKS, closure_heat, "heat not accounted for", -1),
    ROW(BOOKS, closure_water, "water not accounted for", -1),
};

const pinery_report_row *pinery_report_rows(int *n) {
    *n = (int)(sizeof rows / sizeof rows[0]);
    return rows;
}

double pinery_report_percent(const pinery_report_row *row, double reference, double value) {
    const char *unit = pinery_result_name(row->result)->unit;
    if (row->decimals < 0 || strcmp(unit, "degC") == 0 || strcmp(unit, "K") == 0 || strcmp(unit, "%") == 0) {
        return NAN;
    }
    if (value == reference) {
        return 0.0;
    }
    return fabs(reference) < 0.5 * pow(10.0, -row->decimals) ? NAN : 100.0 * (value - reference) / fabs(reference);
}
