/* Runs side by side, against a reference. */
#include <math.h>
#include <string.h>

#include "base/error.h"
#include "report/held.h"
#include "report/text.h"

enum { label_width = 28, unit_width = 7, value_width = 9, change_width = 9, percent_width = 7, at_a_time = 2 };

/* What a table shows: the reference and some of the other runs. */
struct shown {
    const pinery_report_entry *run;
    int reference, n;
    int other[at_a_time];
};

/* A row is left out where nobody has anything to measure, a part ("  lamps") also where all have none of it. */
static bool is_shown(const pinery_report_row *r, const struct shown *s) {
    bool part = r->label[0] == ' ', shown = false;
    for (int i = -1; i < s->n; i++) {
        double value = pinery_ledger_result(s->run[i < 0 ? s->reference : s->other[i]].ledger, r->result);
        shown = shown || (!isnan(value) && !(part && value == 0.0));
    }
    return shown;
}

static void row(FILE *out, const pinery_report_row *r, const struct shown *s) {
    double first = pinery_ledger_result(s->run[s->reference].ledger, r->result);
    fprintf(out, "  %-*s%-*s", label_width, r->label, unit_width, pinery_result_name(r->result)->unit);
    pinery_report_number(out, value_width, r->decimals, first);
    for (int i = 0; i < s->n; i++) {
        double value = pinery_ledger_result(s->run[s->other[i]].ledger, r->result);
        pinery_report_number(out, value_width, r->decimals, value);
        if (r->decimals >= 0) {
            pinery_report_change(out, change_width, r->decimals, value - first);
            pinery_report_change(out, percent_width, 1, pinery_report_percent(r, first, value));
        } else if (i + 1 < s->n) {
            fprintf(out, "%*s", change_width + percent_width, "");
        }
    }
    fputc('\n', out);
}

static void table(FILE *out, const struct shown *s) {
    char a[16], b[16];
    pinery_report_letter(s->reference, a);
    fprintf(out, "\n%*s%*s", 2 + label_width + unit_width, "", value_width, a);
    for (int i = 0; i < s->n; i++) {
        char change[40], of[24];
        snprintf(change, sizeof change, "%s-%s", pinery_report_letter(s->other[i], b), a);
        snprintf(of, sizeof of, "%% of %s", a);
        fprintf(out, "%*s%*s%*s", value_width, b, change_width, change, percent_width, of);
    }
    fputc('\n', out);
    int n;
    const pinery_report_row *r = pinery_report_rows(&n);
    for (int i = 0; i < n; i++) {
        if (i == 0 || strcmp(r[i].group, r[i - 1].group) != 0) {
            fprintf(out, "%s\n", r[i].group);
        }
        if (is_shown(&r[i], s)) {
            row(out, &r[i], s);
        }
    }
}

static void heading(FILE *out, int n, const pinery_report_entry run[], int reference) {
    fputs(n > 1 ? "Runs compared, per m2 of floor\n" : "Run, per m2 of floor\n", out);
    for (int i = 0; i < n; i++) {
        char a[16];
        double days = (pinery_ledger_end_s(run[i].ledger) - pinery_ledger_start_s(run[i].ledger)) / 86400.0;
        fprintf(out, "  %-3s%s: %.4g days, run in %.2f s%s\n", pinery_report_letter(i, a), run[i].name, days,
                run[i].cost.wall_s, n > 1 && i == reference ? "; the reference" : "");
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
}

pinery_status pinery_report_compare(FILE *out, int n, const pinery_report_entry run[], int reference,
                                    pinery_error *error) {
    if (n < 1) {
        return pinery_base_fail(error, PINERY_BAD_INPUT, "report: %d runs to compare, expected 1 or more", n);
    }
    if (reference < 0 || reference >= n) {
        return pinery_base_fail(error, PINERY_BAD_INPUT, "report: reference = %d is not one of the runs 0 .. %d",
                                reference, n - 1);
    }
    heading(out, n, run, reference);
    struct shown shown = {.run = run, .reference = reference};
    for (int i = 0; i < n; i++) {
        if (i != reference) {
            shown.other[shown.n++] = i;
        }
        if (shown.n == at_a_time || (i == n - 1 && (shown.n > 0 || n == 1))) {
            table(out, &shown);
            shown.n = 0;
        }
    }
    if (n > 1) {
        pinery_report_held(out, n, run, reference);
    }
    fputc('\n', out);
    pinery_report_cautions(out);
    return pinery_report_done(out, error);
}
