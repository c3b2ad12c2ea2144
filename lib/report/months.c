/* The months of one run. */
#include <math.h>

#include "ledger/calendar.h"
#include "report/text.h"

/* What a month or the whole run (month < 0) has in each column. */
struct month {
    double days, gas_MJ, heat_MJ, electricity_kWh, light_mol, lamps_mol, air, outside, humidity, transpiration;
};

static double heat(const pinery_ledger *ledger, int month, pinery_heading heading) {
    return month < 0 ? pinery_ledger_heat(ledger, heading) : pinery_ledger_month_heat(ledger, month, heading);
}

static double meter(const pinery_ledger *ledger, int month, pinery_meter which) {
    return month < 0 ? pinery_ledger_meter(ledger, which) : pinery_ledger_month_meter(ledger, month, which);
}

static double mean(const pinery_ledger *ledger, int month, pinery_reading reading) {
    return month < 0 ? pinery_ledger_mean(ledger, reading) : pinery_ledger_month_reading(ledger, month, reading);
}

static double power(const pinery_ledger *ledger, int month) {
    double sum = 0.0;
#define X(key, unit, doc) sum += meter(ledger, month, PINERY_METER_##key);
    PINERY_POWERS(X)
#undef X
    return sum;
}

static struct month look(const pinery_ledger *l, int m) {
    double seconds = pinery_ledger_end_s(l) - pinery_ledger_start_s(l);
    struct month month = {
        .days = m < 0 ? seconds / 86400.0 : pinery_ledger_month_hours(l, m) / 24.0,
        .gas_MJ = 1e-6 * meter(l, m, PINERY_METER_gas),
        .heat_MJ = 1e-6 * (heat(l, m, PINERY_HEADING_heat_lower) + heat(l, m, PINERY_HEADING_heat_upper) +
                           heat(l, m, PINERY_HEADING_duct_coil)),
        .electricity_kWh = power(l, m) / 3.6e6,
        .lamps_mol = meter(l, m, PINERY_METER_light_lamps),
        .light_mol = meter(l, m, PINERY_METER_light_sun) + meter(l, m, PINERY_METER_light_lamps),
        .air = mean(l, m, PINERY_READING_air_seen),
        .outside = mean(l, m, PINERY_READING_outside),
        .humidity = mean(l, m, PINERY_READING_humidity_upper),
        .transpiration = m < 0 ? pinery_ledger_water(l, PINERY_HEADING_transpiration)
                               : pinery_ledger_month_water(l, m, PINERY_HEADING_transpiration),
    };
    return month;
}

static void line(FILE *out, const char *name, const struct month *m, double gas_m3) {
    fprintf(out, "%-5s", name);
    pinery_report_number(out, 6, 1, m->days);
    pinery_report_number(out, 8, 2, gas_m3);
    pinery_report_number(out, 9, 1, m->heat_MJ);
    pinery_report_number(out, 9, 2, m->electricity_kWh);
    pinery_report_number(out, 8, 0, m->light_mol);
    pinery_report_number(out, 8, 0, m->lamps_mol);
    pinery_report_number(out, 8, 1, m->air);
    pinery_report_number(out, 9, 1, m->outside);
    pinery_report_number(out, 8, 1, m->humidity);
    pinery_report_number(out, 9, 1, m->transpiration);
    fputc('\n', out);
}

pinery_status pinery_report_months(FILE *out, const pinery_report_entry *run, pinery_error *error) {
    const pinery_ledger *ledger = run->ledger;
    struct month all = look(ledger, -1);
    double all_m3 = pinery_ledger_result(ledger, PINERY_RESULT_gas_m3_per_m2);
    double m3_per_MJ = all.gas_MJ != 0.0 ? all_m3 / all.gas_MJ : 0.0;

    fprintf(out, "%s by month, per m2 of floor\n", run->name);
    pinery_report_source(out, "", run->weather);
    fprintf(out, "%-5s%6s%8s%9s%9s%8s%8s%8s%9s%8s%9s\n", "", "days", "gas", "heat", "electr.", "light", "lamps", "air",
            "outside", "humid.", "transp.");
    fprintf(out, "%-5s%6s%8s%9s%9s%8s%8s%8s%9s%8s%9s\n", "", "", "m3", "MJ", "kWh", "mol", "mol", "degC", "degC", "%",
            "kg");
    for (int m = 0; m < 12; m++) {
        if (pinery_ledger_month_hours(ledger, m) > 0.0) {
            struct month month = look(ledger, m);
            line(out, pinery_ledger_month_name(m), &month, month.gas_MJ * m3_per_MJ);
        }
    }
    line(out, "all", &all, all_m3);
    fprintf(out, "not accounted for: heat %.1e, water %.1e of what went in\n",
            pinery_ledger_result(ledger, PINERY_RESULT_closure_heat),
            pinery_ledger_result(ledger, PINERY_RESULT_closure_water));
    return pinery_report_done(out, error);
}
