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
    ROW(ENERGY, gas_cogeneration_MJ_per_m2, "  in the engine's", 1),
    ROW(ENERGY, gas_flue_MJ_per_m2, "  in gas for CO2", 1),
    ROW(ENERGY, gas_flue_only_MJ_per_m2, "    whose heat nobody took", 1),
    ROW(ENERGY, heat_MJ_per_m2, "heat into pipes and coils", 1),
    ROW(ENERGY, heat_boiler_MJ_per_m2, "  boiler", 1),
    ROW(ENERGY, heat_cogeneration_MJ_per_m2, "  engine", 1),
    ROW(ENERGY, heat_flue_MJ_per_m2, "  flue gas for CO2", 1),
    ROW(ENERGY, heat_bought_MJ_per_m2, "  bought", 1),
    ROW(ENERGY, heat_pump_MJ_per_m2, "  heat pump", 1),
    ROW(ENERGY, heat_duct_MJ_per_m2, "  into air by duct", 1),
    ROW(ENERGY, heat_desiccant_MJ_per_m2, "  besides, for brine", 1),
    ROW(ENERGY, heat_cooled_MJ_per_m2, "  cooled away", 1),
    ROW(ENERGY, electricity_kWh_per_m2, "electricity, all", 2),
    ROW(ENERGY, electricity_lamps_kWh_per_m2, "  lamps", 2),
    ROW(ENERGY, electricity_fan_through_kWh_per_m2, "  through-cloth fans", 2),
    ROW(ENERGY, electricity_fan_circulation_kWh_per_m2, "  circulation fans", 2),
    ROW(ENERGY, electricity_pumps_kWh_per_m2, "  pumps", 2),
    ROW(ENERGY, electricity_duct_kWh_per_m2, "  outside air by duct", 2),
    ROW(ENERGY, electricity_recovery_kWh_per_m2, "  recovery of heat", 2),
    ROW(ENERGY, electricity_dehumidifier_kWh_per_m2, "  dehumidifiers", 2),
    ROW(ENERGY, electricity_desiccant_kWh_per_m2, "  brine", 2),
    ROW(ENERGY, electricity_heat_pump_kWh_per_m2, "  heat pump", 2),
    ROW(ENERGY, electricity_electric_boiler_kWh_per_m2, "  electric boiler", 2),
    ROW(ENERGY, electricity_bought_heat_kWh_per_m2, "  bringing bought heat", 2),
    ROW(ENERGY, electricity_made_kWh_per_m2, "  made by the engine", 2),
    ROW(ENERGY, peak_hour_W_per_m2, "boiler peak, one hour", 1),
    ROW(ENERGY, peak_interval_W_per_m2, "boiler peak, two intervals", 1),
    ROW(ENERGY, hours_gas_short, "short of gas, by contract", 0),
    ROW(ENERGY, heat_short_MJ_per_m2, "  heat that was short", 1),
    ROW(ENERGY, hours_gas_over, "over the gas contract", 0),
    ROW(ENERGY, gas_over_MJ_per_m2, "  heat in that gas", 1),
    ROW(ENERGY, hours_power_over, "over the power contract", 0),
    ROW(ENERGY, power_over_kWh_per_m2, "  electricity over it", 2),
    ROW(ENERGY, pipe_mean_degC, "lower pipes when over 25", 1),
    ROW(WATER, water_kg_per_m2, "taken up by the roots", 1),
    ROW(LIGHT, light_mol_per_m2, "light at the crop", 0),
    ROW(LIGHT, light_lamps_mol_per_m2, "  from lamps", 0),
    ROW(LIGHT, light_lost_parked_mol_per_m2, "  lost to open cloths", 0),
    ROW(LIGHT, light_lost_drawn_mol_per_m2, "  lost to drawn cloths", 0),
    ROW(LIGHT, growth_index, "growth index, no forecast", 2),
    ROW(LIGHT, growth_index_early, "  if leaves are full early", 2),
    ROW(LIGHT, growth_index_even, "  if by light alone", 2),
    ROW(LIGHT, growth_lost_pct, "  lost to cloths", 1),
    ROW(LIGHT, growth_lost_early_pct, "    if leaves full early", 1),
    ROW(LIGHT, growth_lost_even_pct, "    if by light alone", 1),
    ROW(LIGHT, growth_lamps_pct, "  gained by lamps", 1),
    ROW(LIGHT, growth_lamps_early_pct, "    if leaves full early", 1),
    ROW(LIGHT, growth_lamps_even_pct, "    if by light alone", 1),
    ROW(LIGHT, lamp_hours, "lamps, full-load hours", 0),
    ROW(LIGHT, carbon_dosed_kg_per_m2, "  carbon dioxide dosed", 2),
    ROW(LIGHT, carbon_pure_kg_per_m2, "    pure", 2),
    ROW(LIGHT, carbon_taken_kg_per_m2, "  taken up by the crop", 2),
    ROW(LIGHT, carbon_aired_kg_per_m2, "  lost with the air", 2),
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
    ROW(HUMIDITY, duct_water_kg_per_m2, "  out, by air from a duct", 1),
    ROW(HUMIDITY, recovery_water_kg_per_m2, "  out, through recovery", 1),
    ROW(HUMIDITY, dehumidifier_water_kg_per_m2, "  out, by dehumidifiers", 1),
    ROW(HUMIDITY, desiccant_water_kg_per_m2, "  out, by brine", 1),
    ROW(HUMIDITY, condensation_cover_kg_per_m2, "condensed on the cover", 1),
    ROW(HUMIDITY, condensation_cloths_kg_per_m2, "condensed on the cloths", 1),
    ROW(EQUIPMENT, screen_1_hours, "lowest drive drawn", 0),
    ROW(EQUIPMENT, screen_2_hours, "second drive drawn", 0),
    ROW(EQUIPMENT, screen_3_hours, "third drive drawn", 0),
    ROW(EQUIPMENT, slit_hours, "slit in a drawn cloth", 0),
    ROW(EQUIPMENT, vent_hours, "vents open", 0),
    ROW(EQUIPMENT, fan_through_hours, "through-cloth fans, full", 0),
    ROW(EQUIPMENT, duct_hours, "  air by duct, full", 0),
    ROW(EQUIPMENT, recovery_hours, "  recovery, full", 0),
    ROW(EQUIPMENT, dehumidifier_hours, "  dehumidifiers, full", 0),
    ROW(EQUIPMENT, desiccant_hours, "  brine, full", 0),
    ROW(EQUIPMENT, cogeneration_hours, "  engine, full load", 0),
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
