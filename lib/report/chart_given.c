/* Charts of numbers that studies give: bars that lie, so that their words can be read on a phone, and lines. */
#include <math.h>
#include <string.h>

#include "base/error.h"
#include "report/chart.h"

#define LESS "#4a5a78"
#define MORE "#c9a227"

static pinery_status given(int n, const char *path, pinery_error *error) {
    return n >= 1 && path != NULL
               ? PINERY_OK
               : pinery_base_fail(error, PINERY_BAD_INPUT, "chart: %d rows%s", n, path == NULL ? ", and no path" : "");
}

/* The part of the axis to show: from 0, unless there are parts to see and all the bars stand far from it. */
static void range(int n, const pinery_report_bar bar[], double *low, double *high) {
    *low = INFINITY;
    *high = -INFINITY;
    bool parts = false; /* totals alone are shown whole */
    for (int i = 0; i < n; i++) {
        bool total = bar[i].from == 0.0 && n > 1 && bar[i].total;
        *low = fmin(*low, fmin(total ? bar[i].to : bar[i].from, bar[i].to));
        parts = parts || !bar[i].total;
        *high = fmax(*high, fmax(bar[i].from, bar[i].to));
    }
    double span = *high - *low;
    if (parts && *low > 0.0 && *low > 0.6 * *high && span > 0.0) {
        *low -= 0.35 * span;
    } else {
        *low = fmin(*low, 0.0);
    }
    *high = fmax(*high, 0.0);
    span = *high > *low ? *high - *low : 1.0;
    *low -= *low < 0.0 ? 0.28 * span : 0.0;
    *high += *high > 0.0 ? 0.28 * span : 0.0;
    *high = *high > *low ? *high : *low + 1.0;
}

static const char *colour(const pinery_report_bar *bar) {
    return bar->run >= 0 ? pinery_report_chart_colour(bar->run) : bar->to < bar->from ? LESS : MORE;
}

pinery_status pinery_report_bars(int n, const pinery_report_bar bar[], const char *axis, int decimals, const char *path,
                                 FILE *out, pinery_error *error) {
    struct pinery_report_plot plot;
    pinery_status status = given(n, path, error);
    int height = 62 + 26 * n;
    struct pinery_chart_ask ask = {.path = path, .out = out};
    status = status == PINERY_OK ? pinery_report_chart_begin(&plot, &ask, height, error) : status;
    if (status != PINERY_OK) {
        return status;
    }
    double low, high;
    range(n, bar, &low, &high);
    FILE *script = plot.script;
    fputs("$bars << PINERY_END\n", script);
    for (int i = 0; i < n; i++) {
        fprintf(script, "%d %.10g %.10g\n", i + 1, bar[i].from, bar[i].to);
    }
    fprintf(script,
            "PINERY_END\nunset key\nunset grid\nset grid x ls 100\nset border 1\nunset ytics\nset xrange "
            "[%.10g:%.10g]\nset yrange [%d.6:0.4]\nset lmargin at screen 0.42\nset rmargin at screen 0.97\n"
            "set tmargin at screen %.4f\nset bmargin at screen %.4f\nset xtics %s\nset xlabel ",
            low, high, n, 1.0 - 4.0 / height, 56.0 / height, "autofreq");
    pinery_report_chart_text(script, axis, 40);
    fprintf(script, " offset 0,0.4 textcolor '%s'\n", PINERY_INK);
    for (int i = 0; i < n; i++) {
        double change = bar[i].to - bar[i].from,
               end = change < 0.0 && !bar[i].total ? bar[i].to : fmax(bar[i].to, bar[i].from);
        fprintf(script, "set object %d rectangle from %.10g,%.2f to %.10g,%.2f fs solid 1 noborder fc rgb '%s'\n",
                i + 1, fmax(bar[i].from, low), i + 0.66, bar[i].to, i + 1.34, colour(&bar[i]));
        fputs("set label ", script);
        pinery_report_chart_text(script, bar[i].label, 30);
        fprintf(script, " at screen 0.41, first %d right textcolor '%s'\n", i + 1, PINERY_INK);
        bool left = change < 0.0 && !bar[i].total;
        fprintf(script, "set label '%s%.*f' at first %.10g, first %d %s offset %s,0 textcolor '%s'\n",
                bar[i].total || change == 0.0 || fabs(change) < 0.5 * pow(10.0, -decimals) ? ""
                : change < 0.0                                                             ? "−"
                                                                                           : "+",
                decimals, fabs(change), end, i + 1, left ? "right" : "left", left ? "-0.6" : "0.6", PINERY_INK);
        if (i > 0 && !bar[i].total) { /* a thin line from where the bar before ended */
            fprintf(script, "set arrow %d from %.10g,%.2f to %.10g,%.2f nohead lc '%s' lw 0.8\n", i + 1, bar[i].from,
                    i + 0.34, bar[i].from, i + 0.66, PINERY_GREY);
        }
    }
    fputs("plot NaN notitle\n", script);
    return pinery_report_plot_end(&plot, error);
}

pinery_status pinery_report_ranges(int n, const pinery_report_spread_row row[], const char *axis, const char *path,
                                   FILE *out, pinery_error *error) {
    struct pinery_report_plot plot;
    pinery_status status = given(n, path, error);
    int height = 62 + 34 * n;
    struct pinery_chart_ask ask = {.path = path, .out = out};
    status = status == PINERY_OK ? pinery_report_chart_begin(&plot, &ask, height, error) : status;
    if (status != PINERY_OK) {
        return status;
    }
    double low = 0.0, high = 0.0;
    FILE *script = plot.script;
    fputs("$ranges << PINERY_END\n", script);
    for (int i = 0; i < n; i++) {
        const double *q = row[i].at;
        low = fmin(low, q[0]);
        high = fmax(high, q[4]);
        fprintf(script, "%.10g %.10g %.10g %.10g %.10g\n", q[0], q[1], q[2], q[3], q[4]);
    }
    double span = high > low ? high - low : 1.0;
    fprintf(script,
            "PINERY_END\nunset key\nunset grid\nset grid x ls 100\nset border 1\nunset ytics\nset xrange "
            "[%.10g:%.10g]\nset yrange [%d.6:0.4]\nset lmargin at screen 0.33\nset rmargin at screen 0.97\n"
            "set tmargin at screen %.4f\nset bmargin at screen %.4f\nset arrow from 0, graph 0 to 0, graph 1 nohead lc "
            "'%s' lw 1\nset xlabel ",
            low - 0.05 * span, high + 0.05 * span, n, 1.0 - 4.0 / height, 56.0 / height, PINERY_INK);
    pinery_report_chart_text(script, axis, 60);
    fprintf(script, " offset 0,0.4 textcolor '%s'\n", PINERY_INK);
    for (int i = 0; i < n; i++) {
        const double *q = row[i].at, thin = 0.05, thick = 0.2;
        fputs("set label ", script);
        pinery_report_chart_text(script, row[i].label, 24);
        fprintf(script, " at screen 0.32, first %d right textcolor '%s'\n", i + 1, PINERY_INK);
        const double from[] = {q[0], q[1], q[2] - 0.004 * span}, to[] = {q[4], q[3], q[2] + 0.004 * span},
                     half[] = {thin, thick, 0.32};
        const char *const colours[] = {LESS, "#9aa8c4", PINERY_INK};
        for (int k = 0; k < 3; k++) {
            fprintf(script, "set object %d rectangle from %.10g,%.2f to %.10g,%.2f fs solid 1 noborder fc rgb '%s'\n",
                    3 * i + k + 1, from[k], i + 1.0 - half[k], to[k], i + 1.0 + half[k], colours[k]);
        }
    }
    fputs("plot NaN notitle\n", script);
    return pinery_report_plot_end(&plot, error);
}

pinery_status pinery_report_lines(int n, const pinery_report_line line[], const char *x_axis, const char *y_axis,
                                  const char *path, FILE *out, pinery_error *error) {
    enum { HEIGHT = 320 };
    struct pinery_report_plot plot;
    pinery_status status = given(n, path, error);
    struct pinery_chart_ask ask = {.path = path, .out = out};
    status = status == PINERY_OK ? pinery_report_chart_begin(&plot, &ask, HEIGHT, error) : status;
    if (status != PINERY_OK) {
        return status;
    }
    static const char *const neutral[] = {PINERY_INK, MORE, "#8a8d95"};
    FILE *script = plot.script;
    size_t widest = 0;
    for (int i = 0; i < n; i++) {
        widest = strlen(line[i].name) > widest ? strlen(line[i].name) : widest;
        fprintf(script, "$line%d << PINERY_END\n", i + 1);
        for (int k = 0; k < line[i].n; k++) {
            fprintf(script, "%.10g %.10g\n", line[i].x[k], line[i].y[k]);
        }
        fputs("PINERY_END\n", script);
    }
    fputs("set yrange [0:*]\nset xlabel ", script);
    pinery_report_chart_text(script, x_axis, 60);
    fprintf(script,
            " offset 0,0.4 textcolor '%s'\nset bmargin at screen 0.175\nset tmargin at screen %.4f\nset label 1 ",
            PINERY_INK, pinery_report_chart_room(n, widest, HEIGHT));
    pinery_report_chart_text(script, y_axis, 60);
    fprintf(script, " at screen 0.012, graph 1 left offset 0,0.8 textcolor '%s'\n", PINERY_INK);
    for (int i = 0; i < n; i++) {
        fprintf(script, "%s$line%d using 1:2 with lines lw 2 lc '%s'", i > 0 ? ", " : "plot ", i + 1,
                line[i].run >= 0 ? pinery_report_chart_colour(line[i].run) : neutral[i % 3]);
        pinery_report_chart_title(script, line[i].name);
    }
    fputc('\n', script);
    return pinery_report_plot_end(&plot, error);
}
