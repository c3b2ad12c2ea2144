#include "report/held.h"

#include <math.h>
#include <string.h>

#include "report/text.h"

enum { label_width = 28, unit_width = 7, most_inputs = 24 };

/* What went in and differs; of a long list the first rows and how many there are more. */
static void inputs(FILE *out, int n, const pinery_report_entry run[], int reference) {
    char a[16], b[16];
    fprintf(out, "\nWhat went in and is not as in %s\n", pinery_report_letter(reference, a));
    for (int i = 0; i < n; i++) {
        if (i == reference) {
            continue;
        }
        const char *letter = pinery_report_letter(i, b);
        if (run[i].differences == 0) {
            fprintf(out, "  %-3snothing\n", letter);
        }
        for (int j = 0; j < run[i].differences && j < most_inputs; j++) {
            const pinery_report_difference *d = &run[i].difference[j];
            fprintf(out, "  %-3s%s: %.40s instead of %.40s%s%s\n", j == 0 ? letter : "", d->field, d->value,
                    d->reference, d->unit[0] != '\0' ? " " : "", d->unit);
        }
        if (run[i].differences > most_inputs) {
            fprintf(out, "  %-3sand %d more\n", "", run[i].differences - most_inputs);
        }
    }
}

static const pinery_report_row *row_of(pinery_result result) {
    int n;
    const pinery_report_row *row = pinery_report_rows(&n);
    for (int i = 0; i < n; i++) {
        if (row[i].result == result) {
            return &row[i];
        }
    }
    return NULL;
}

static double hours(const pinery_ledger *ledger) {
    return (pinery_ledger_end_s(ledger) - pinery_ledger_start_s(ledger)) / 3600.0;
}

/* One run against the reference: first what is not equal, then the rest in one line. */
static void outcomes(FILE *out, const pinery_report_entry *run, const pinery_report_entry *reference, int place) {
    char letter[16];
    int n, column = 0, unequal = 0;
    const pinery_study_outcome *outcome = pinery_study_outcomes(&n);
    fprintf(out, "  %-3snot equal:", pinery_report_letter(place, letter));
    for (int i = 0; i < n; i++) {
        double first = pinery_ledger_result(reference->ledger, outcome[i].result);
        double value = pinery_ledger_result(run->ledger, outcome[i].result);
        if (pinery_study_held(&outcome[i], first, value, hours(run->ledger))) {
            continue;
        }
        const pinery_report_row *row = row_of(outcome[i].result);
        fprintf(out, "%s%-*s%-*s", unequal++ > 0 ? "                 " : "  ", label_width, row->label, unit_width,
                pinery_result_name(row->result)->unit);
        pinery_report_change(out, 9, row->decimals + 1, value - first);
        fputs(", equal within", out);
        pinery_report_number(out, 9, row->decimals + 1,
                             pinery_study_tolerance(&outcome[i], isnan(first) ? 0.0 : first, hours(run->ledger)));
        fputc('\n', out);
    }
    fputs(unequal > 0 ? "     equal:" : "  nothing\n     equal:", out);
    for (int i = 0; i < n; i++) {
        double first = pinery_ledger_result(reference->ledger, outcome[i].result);
        double value = pinery_ledger_result(run->ledger, outcome[i].result);
        if (isnan(first) || !pinery_study_held(&outcome[i], first, value, hours(run->ledger))) {
            continue;
        }
        const char *label = row_of(outcome[i].result)->label;
        int length = (int)strlen(label) + 2;
        if (column + length > 80) {
            fputs(";\n           ", out);
            column = 0;
        }
        fprintf(out, "%s%s", column > 0 ? "; " : " ", label);
        column += length;
    }
    fputs(column > 0 ? "\n" : " nothing\n", out);
}

void pinery_report_held(FILE *out, int n, const pinery_report_entry run[], int reference) {
    char a[16];
    inputs(out, n, run, reference);
    fprintf(out, "What should be as in %s, so that the difference is one of energy alone\n",
            pinery_report_letter(reference, a));
    for (int i = 0; i < n; i++) {
        if (i != reference) {
            outcomes(out, &run[i], &run[reference], i);
        }
    }
}
