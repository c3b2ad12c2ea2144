/* Which chart it is, and what all of them share. The colours of the runs are those of M. Okabe and K. Ito, Color
 * Universal Design (2008), made to be told apart by people who see colours differently; the yellow is left out. */
#include "report/chart.h"

#include <math.h>
#include <string.h>

#include "base/error.h"
#include "ledger/calendar.h"

const char *pinery_report_chart_colour(int run) {
    static const char *const colour[] = {"#0072b2", "#d55e00", "#009e73", "#cc79a7", "#56b4e9", "#e69f00"};
    return colour[run % 6];
}

const char *pinery_report_run_colour(int run) {
    return pinery_report_chart_colour(run < 0 ? 0 : run);
}

pinery_status pinery_report_chart_begin(struct pinery_report_plot *plot, const struct pinery_chart_ask *ask, int height,
                                        pinery_error *error) {
    *plot = (struct pinery_report_plot){.enlarge = 3.0};
    pinery_status status = pinery_report_plot_begin(plot, PINERY_CHART_WIDTH, height, 0, ask->path, ask->out, error);
    if (status == PINERY_OK) {
        fprintf(plot->script,
                "set key at screen 0.5, screen %.4f center top horizontal noenhanced samplen 1.2 width 1\n"
                "set grid y ls 100\nset lmargin at screen 0.115\nset rmargin at screen 0.95\nset style fill solid 1 "
                "noborder\n",
                1.0 - 4.0 / height);
    }
    return status;
}

enum { NAME_LETTERS = 26 };

double pinery_report_chart_room(int n, size_t widest, int height) {
    widest = widest > NAME_LETTERS ? NAME_LETTERS : widest < 4 ? 4 : widest;
    int in_a_row = 400 / (int)(8 * widest + 42); /* as gnuplot lays its key out */
    in_a_row = in_a_row > 0 ? in_a_row : 1;
    return 1.0 - (26.0 + 17.0 * ((n + in_a_row - 1) / in_a_row)) / height;
}

double pinery_report_chart_top(const struct pinery_chart_ask *ask, int height) {
    size_t widest = 0;
    for (int i = 0; i < ask->n; i++) {
        size_t length = strlen(ask->run[i].name);
        widest = length > widest ? length : widest;
    }
    return pinery_report_chart_room(ask->n, widest, height);
}

void pinery_report_chart_text(FILE *script, const char *text, int most) {
    char part[4 * 64 + 8];
    size_t bytes = 0;
    int letters = 0;
    /* A letter is a byte and the bytes 10xxxxxx after it. */
    for (; text[bytes] != '\0' && bytes < sizeof part - 8; bytes++) {
        letters += (text[bytes] & 0xC0) != 0x80;
        if (letters > most) {
            break;
        }
        part[bytes] = text[bytes];
    }
    strcpy(part + bytes, text[bytes] != '\0' ? "…" : "");
    pinery_report_plot_text(script, part);
}

void pinery_report_chart_title(FILE *script, const char *name) {
    fputs(" title ", script);
    pinery_report_chart_text(script, name, NAME_LETTERS);
}

void pinery_report_chart_month_tics(FILE *script, const pinery_ledger *ledger, bool labels) {
    double start = pinery_ledger_start_s(ledger), end = pinery_ledger_end_s(ledger), day = 86400.0;
    bool leap = pinery_ledger_leap(ledger);
    int every = end - start > 400.0 * day ? 3 : 1, letters = end - start > 200.0 * day ? 1 : 3;
    fprintf(script, "set xrange [%.10g:%.10g]\nset xtics (", 1.0 + start / day, 1.0 + end / day);
    const char *before = "";
    int i = 0;
    for (double at = start; at < end; at = pinery_ledger_month_end_s(at, leap), i++) {
        struct pinery_ledger_date date = pinery_ledger_date(at, leap);
        if (i % every != 0 || (i == 0 && date.day > 20)) {
            continue;
        }
        fprintf(script, "%s'%.*s' %.10g", before, labels ? letters : 0, pinery_ledger_month_name(date.month),
                1.0 + at / day);
        before = ", ";
    }
    fputs(")\n", script);
}

void pinery_report_chart_panel(FILE *script, double bottom, double top, const char *label) {
    fprintf(script,
            "set bmargin at screen %.4f\nset tmargin at screen %.4f\n"
            "set label 1 '%s' at screen 0.012, graph 1 left offset 0,0.8 textcolor '%s'\n",
            bottom, top, label, PINERY_INK);
}

double pinery_report_chart_step(double span) {
    double power = pow(10.0, floor(log10(span / 3.0))), times = span / 3.0 / power;
    return power * (times < 1.5 ? 1.0 : times < 3.5 ? 2.0 : times < 7.5 ? 5.0 : 10.0);
}

pinery_status pinery_report_chart_needs_hours(const struct pinery_chart_ask *ask, pinery_error *error) {
    for (int i = 0; i < ask->n; i++) {
        if (pinery_ledger_hours(ask->run[i].ledger) == 0) {
            return pinery_base_fail(error, PINERY_BAD_INPUT,
                                    "chart: run %s kept no hours; run it with keep_hours = true for an hour or longer",
                                    ask->run[i].name);
        }
    }
    return PINERY_OK;
}

static const struct {
    const char *key, *doc;
    bool of_one;
    pinery_status (*draw)(const struct pinery_chart_ask *ask, pinery_error *error);
} charts[PINERY_N_CHARTS] = {
#define X(key, of_one, doc) {#key, doc, of_one, pinery_report_chart_##key},
    PINERY_CHARTS(X)
#undef X
};

const char *pinery_report_chart_key(pinery_chart chart) {
    return charts[chart].key;
}

const char *pinery_report_chart_doc(pinery_chart chart) {
    return charts[chart].doc;
}

bool pinery_report_chart_is_of_one(pinery_chart chart) {
    return charts[chart].of_one;
}

pinery_status pinery_report_chart(pinery_chart chart, int n, const pinery_report_entry run[], int reference, int one,
                                  const char *path, FILE *out, pinery_error *error) {
    if (n < 1 || one < 0 || reference < 0 || reference >= n || one >= n || path == NULL) {
        return pinery_base_fail(error, PINERY_BAD_INPUT, "chart: %d runs, number %d to show%s", n, one + 1,
                                path == NULL ? ", and no path" : "");
    }
    return charts[chart].draw(&(struct pinery_chart_ask){n, reference, one, run, path, out}, error);
}
