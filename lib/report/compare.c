/* Runs side by side, against the first. */
#include <math.h>
#include <string.h>

#include "base/error.h"
#include "report/text.h"

struct row {
    pinery_result result;
    const char *label;
    int decimals; /* -1: a power of ten, and no difference is shown */
};

struct group {
    const char *title;
    int n;
    const struct row *row;
};

#define ROW(key, label, decimals) \
    { PINERY_RESULT_##key, label, decimals }

static const struct row energy[] = {
    ROW(gas_m3_per_m2, "gas", 2),
    ROW(gas_MJ_per_m2, "heat in the gas", 1),
    ROW(heat_MJ_per_m2, "heat from the boiler", 1),
    ROW(electricity_kWh_per_m2, "electricity, all", 2),
    ROW(electricity_lamps_kWh_per_m2, "  lamps", 2),
    ROW(electricity_fan_through_kWh_per_m2, "  through-cloth fans", 2),
    ROW(electricity_fan_circulation_kWh_per_m2, "  circulation fans", 2),
    ROW(electricity_pumps_kWh_per_m2, "  pumps", 2),
    ROW(peak_hour_W_per_m2, "boiler peak, one hour", 1),
    ROW(peak_interval_W_per_m2, "boiler peak, two intervals", 1),
    ROW(pipe_mean_degC, "lower pipes when over 25", 1),
};
static const struct row light[] = {
    ROW(light_mol_per_m2, "light at the crop", 0),
    ROW(light_lamps_mol_per_m2, "  from lamps", 0),
    ROW(lamp_hours, "lamps, full-load hours", 0),
};
static const struct row climate[] = {
    ROW(mean_air_degC, "air, mean", 2),
    ROW(lower_minus_upper_K, "lower less upper air, night", 2),
    ROW(lower_minus_upper_coldest_K, "  its lowest 5 %", 2),
    ROW(end_to_end_mean_K, "end to end, cloth drawn", 2),
    ROW(end_to_end_p95_K, "  its highest 5 %", 2),
    ROW(roof_minus_outside_K, "roof less outside, drawn", 2),
};
static const struct row humidity[] = {
    ROW(mean_humidity_pct, "relative humidity, mean", 1),
    ROW(hours_humidity_over_85, "over 85 %", 0),
    ROW(hours_humidity_over_90, "over 90 %", 0),
    ROW(hours_humidity_over_95, "over 95 %", 0),
    ROW(longest_humidity_over_90_h, "over 90 %, longest run", 1),
    ROW(hours_colder_2_over_90, "over 90 %, place 2 K colder", 0),
    ROW(hours_colder_2_over_100, "dew in a place 2 K colder", 0),
    ROW(hours_deficit_under_1_5, "deficit under 1.5 g/m3", 0),
    ROW(hours_vapour_deficit_under_200, "vapour deficit under 200 Pa", 0),
    ROW(hours_vapour_deficit_over_1400, "vapour deficit over 1400 Pa", 0),
    ROW(hours_dew_margin_under_1, "leaf < 1 K above dew point", 0),
    ROW(hours_crop_wet, "leaves wet", 0),
    ROW(transpiration_kg_per_m2, "transpiration", 1),
    ROW(condensation_cover_kg_per_m2, "condensed on the cover", 1),
    ROW(condensation_cloths_kg_per_m2, "condensed on the cloths", 1),
};
static const struct row equipment[] = {
    ROW(screen_1_hours, "lowest drive drawn", 0),
    ROW(screen_2_hours, "second drive drawn", 0),
    ROW(screen_3_hours, "third drive drawn", 0),
    ROW(slit_hours, "slit in a drawn cloth", 0),
    ROW(vent_hours, "vents open", 0),
    ROW(fan_through_hours, "through-cloth fans, full", 0),
    ROW(snow_hours_shut, "snow on a drawn cloth", 0),
};
static const struct row books[] = {
    ROW(closure_heat, "heat not accounted for", -1),
    ROW(closure_water, "water not accounted for", -1),
};

#define GROUP(title, rows) \
    { title, (int)(sizeof rows / sizeof rows[0]), rows }
static const struct group groups[] = {
    GROUP("Energy", energy),     GROUP("Light", light),         GROUP("Temperature", climate),
    GROUP("Humidity", humidity), GROUP("Equipment", equipment), GROUP("Books (share of what went in)", books),
};

enum { label_width = 28, unit_width = 7, value_width = 9, change_width = 9, percent_width = 7, at_a_time = 2 };

/* "A" .. "Z", then "27" and so on. */
static const char *letter(int i, char text[16]) {
    if (i < 26) {
        text[0] = (char)('A' + i);
        text[1] = '\0';
    } else {
        snprintf(text, 16, "%d", i + 1);
    }
    return text;
}

/* NaN where a percentage means nothing: of degrees, of a percentage, of what prints as nothing. */
static double percent(const struct row *r, double value, double first) {
    const char *unit = pinery_result_name(r->result)->unit;
    if (strcmp(unit, "degC") == 0 || strcmp(unit, "K") == 0 || strcmp(unit, "%") == 0) {
        return NAN;
    }
    if (value == first) {
        return 0.0;
    }
    return fabs(first) < 0.5 * pow(10.0, -r->decimals) ? NAN : 100.0 * (value - first) / fabs(first);
}

/* A row is left out where nobody has anything to measure, a part ("  lamps") also where all have none of it. */
static bool is_shown(const struct row *r, const pinery_report_entry run[], int from, int to) {
    bool part = r->label[0] == ' ', shown = false;
    for (int i = from - 1; i < to; i++) {
        double value = pinery_ledger_result(run[i < from ? 0 : i].ledger, r->result);
        shown = shown || (!isnan(value) && !(part && value == 0.0));
    }
    return shown;
}

static void row(FILE *out, const struct row *r, const pinery_report_entry run[], int from, int to) {
    if (!is_shown(r, run, from, to)) {
        return;
    }
    double first = pinery_ledger_result(run[0].ledger, r->result);
    fprintf(out, "  %-*s%-*s", label_width, r->label, unit_width, pinery_result_name(r->result)->unit);
    pinery_report_number(out, value_width, r->decimals, first);
    for (int i = from; i < to; i++) {
        double value = pinery_ledger_result(run[i].ledger, r->result);
        pinery_report_number(out, value_width, r->decimals, value);
        if (r->decimals >= 0) {
            pinery_report_change(out, change_width, r->decimals, value - first);
            pinery_report_change(out, percent_width, 1, percent(r, value, first));
        } else if (i + 1 < to) {
            fprintf(out, "%*s", change_width + percent_width, "");
        }
    }
    fputc('\n', out);
}

static void table(FILE *out, const pinery_report_entry run[], int from, int to) {
    char a[16], b[16];
    fprintf(out, "\n%*s%*s", 2 + label_width + unit_width, "", value_width, letter(0, a));
    for (int i = from; i < to; i++) {
        char change[40];
        snprintf(change, sizeof change, "%s-%s", letter(i, b), letter(0, a));
        fprintf(out, "%*s%*s%*s", value_width, b, change_width, change, percent_width, "%");
    }
    fputc('\n', out);
    for (size_t g = 0; g < sizeof groups / sizeof groups[0]; g++) {
        fprintf(out, "%s\n", groups[g].title);
        for (int i = 0; i < groups[g].n; i++) {
            row(out, &groups[g].row[i], run, from, to);
        }
    }
}

pinery_status pinery_report_compare(FILE *out, int n, const pinery_report_entry run[], pinery_error *error) {
    if (n < 1) {
        return pinery_base_fail(error, PINERY_BAD_INPUT, "report: %d runs to compare, expected 1 or more", n);
    }
    fputs(n > 1 ? "Runs compared, per m2 of floor\n" : "Run, per m2 of floor\n", out);
    for (int i = 0; i < n; i++) {
        char a[16];
        double days = (pinery_ledger_end_s(run[i].ledger) - pinery_ledger_start_s(run[i].ledger)) / 86400.0;
        fprintf(out, "  %-3s%s: %.4g days, run in %.2f s\n", letter(i, a), run[i].name, days, run[i].cost.wall_s);
        if (i == 0 || run[i].weather != run[i - 1].weather) {
            pinery_report_source(out, "     ", run[i].weather);
        }
        double value = pinery_ledger_heating_value(run[i].ledger);
        bool gross = pinery_ledger_gross(run[i].ledger);
        if (i == 0 || value != pinery_ledger_heating_value(run[i - 1].ledger) ||
            gross != pinery_ledger_gross(run[i - 1].ledger)) {
            fprintf(out, "     a m3 of gas is %.4g MJ, %s value\n", value / 1e6, gross ? "gross" : "net");
        }
    }
    for (int from = 1; from < n || from == 1; from += at_a_time) {
        table(out, run, from, from + at_a_time < n ? from + at_a_time : n);
    }
    fputc('\n', out);
    pinery_report_cautions(out);
    return pinery_report_done(out, error);
}
