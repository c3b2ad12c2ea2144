/* What came out of some runs as CSV (RFC 4180): one row a quantity, one column a run. */
#include "base/error.h"
#include "report/text.h"

/* A text in quotes where it needs them. */
static void cell(FILE *out, const char *text) {
    bool quoted = false;
    for (const char *c = text; *c != '\0'; c++) {
        quoted = quoted || *c == ',' || *c == '"' || *c == '\n' || *c == '\r';
    }
    fputs(quoted ? "\"" : "", out);
    for (const char *c = text; *c != '\0'; c++) {
        fputs(*c == '"' ? "\"" : "", out);
        fputc(*c, out);
    }
    fputs(quoted ? "\"" : "", out);
}

static void row(FILE *out, const char *kind, const char *key, const char *unit, const char *doc) {
    cell(out, kind);
    fputc(',', out);
    cell(out, key);
    fputc(',', out);
    cell(out, unit[0] != '\0' ? unit : "-");
    fputc(',', out);
    cell(out, doc);
}

/* Empty where a run had nothing to measure; else every digit that counts. */
static void number(FILE *out, double value) {
    fputc(',', out);
    if (value == value) {
        fprintf(out, "%.17g", value);
    }
}

static void headings(FILE *out, int n, const pinery_report_entry run[], bool water) {
    for (int i = 0; i < PINERY_N_HEADINGS; i++) {
        pinery_heading heading = (pinery_heading)i;
        if (water && !pinery_heading_has_water(heading)) {
            continue;
        }
        const pinery_name *name = pinery_heading_name(heading);
        row(out, water ? "water" : "heat", name->key, water ? "kg/m2" : "J/m2", name->doc);
        for (int r = 0; r < n; r++) {
            number(out,
                   water ? pinery_ledger_water(run[r].ledger, heading) : pinery_ledger_heat(run[r].ledger, heading));
        }
        fputc('\n', out);
    }
}

pinery_status pinery_report_csv(FILE *out, int n, const pinery_report_entry run[], pinery_error *error) {
    if (n < 1) {
        return pinery_base_fail(error, PINERY_BAD_INPUT, "report: %d runs, expected 1 or more", n);
    }
    fputs("kind,name,unit,what it is", out);
    for (int r = 0; r < n; r++) {
        fputc(',', out);
        cell(out, run[r].name);
    }
    fputc('\n', out);
    for (int i = 0; i < PINERY_N_RESULTS; i++) {
        const pinery_name *name = pinery_result_name((pinery_result)i);
        row(out, "result", name->key, name->unit, name->doc);
        for (int r = 0; r < n; r++) {
            number(out, pinery_ledger_result(run[r].ledger, (pinery_result)i));
        }
        fputc('\n', out);
    }
    for (int i = 0; i < PINERY_N_METERS; i++) {
        const pinery_name *name = pinery_meter_name((pinery_meter)i);
        row(out, "meter", name->key, name->unit, name->doc);
        for (int r = 0; r < n; r++) {
            number(out, pinery_ledger_meter(run[r].ledger, (pinery_meter)i));
        }
        fputc('\n', out);
    }
    headings(out, n, run, false);
    headings(out, n, run, true);
    return pinery_report_done(out, error);
}
