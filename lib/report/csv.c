/* The hourly series as CSV. */
#include "base/error.h"
#include "ledger/calendar.h"
#include "report/text.h"

static void cell(FILE *out, double value) {
    fputc(',', out);
    if (value == value) {
        fprintf(out, "%.9g", value);
    }
}

static void header(FILE *out) {
    fputs("time [standard time]", out);
    for (int i = 0; i < PINERY_N_READINGS; i++) {
        const pinery_name *name = pinery_reading_name((pinery_reading)i);
        fprintf(out, ",%s [%s]", name->key, name->unit[0] != '\0' ? name->unit : "-");
    }
    for (int i = 0; i < PINERY_N_HEADINGS; i++) {
        fprintf(out, ",%s [J/m2]", pinery_heading_name((pinery_heading)i)->key);
    }
    for (int i = 0; i < PINERY_N_HEADINGS; i++) {
        if (pinery_heading_has_water((pinery_heading)i)) {
            fprintf(out, ",%s_water [kg/m2]", pinery_heading_name((pinery_heading)i)->key);
        }
    }
    for (int i = 0; i < PINERY_N_METERS; i++) {
        const pinery_name *name = pinery_meter_name((pinery_meter)i);
        fprintf(out, ",%s [%s]", name->key, name->unit);
    }
    fputc('\n', out);
}

pinery_status pinery_report_hours_csv(FILE *out, const pinery_ledger *ledger, pinery_error *error) {
    if (pinery_ledger_hours(ledger) == 0) {
        return pinery_base_fail(error, PINERY_BAD_INPUT,
                                "report: this run kept no hours; run it with keep_hours = true for an hour or longer");
    }
    header(out);
    for (int h = 0; h < pinery_ledger_hours(ledger); h++) {
        struct pinery_ledger_date date =
            pinery_ledger_date(pinery_ledger_hour_time_s(ledger, h), pinery_ledger_leap(ledger));
        /* A typical year has no year of its own: the first is year 1. */
        fprintf(out, "%04d-%02d-%02dT%02d:%02d", date.year + 1, date.month + 1, date.day, date.hour, date.minute);
        for (int i = 0; i < PINERY_N_READINGS; i++) {
            cell(out, pinery_ledger_hour_reading(ledger, h, (pinery_reading)i));
        }
        for (int i = 0; i < PINERY_N_HEADINGS; i++) {
            cell(out, pinery_ledger_hour_heat(ledger, h, (pinery_heading)i));
        }
        for (int i = 0; i < PINERY_N_HEADINGS; i++) {
            if (pinery_heading_has_water((pinery_heading)i)) {
                cell(out, pinery_ledger_hour_water(ledger, h, (pinery_heading)i));
            }
        }
        for (int i = 0; i < PINERY_N_METERS; i++) {
            cell(out, pinery_ledger_hour_meter(ledger, h, (pinery_meter)i));
        }
        fputc('\n', out);
    }
    return pinery_report_done(out, error);
}
