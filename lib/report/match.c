/* How near a calibrated model comes to what was measured: over all days, over a few hour by hour, and what is left
 * against what may cause it. */
#include <math.h>
#include <stdlib.h>

#include "base/error.h"
#include "ledger/calendar.h"
#include "pinery/report.h"
#include "report/plot.h"

enum { CLASSES = 10 };

static bool by_hours(const pinery_report_measured *m) {
    return m->step < 0.9;
}

/* Blocks all<k>: day, measured, before, after, by the day where the series is finer, with a gap where a day is missing;
 * and fine<k>: the series as it is, on the days of the zoom. */
static void series(FILE *script, const pinery_report_match *match, int k) {
    const pinery_report_measured *m = &match->measured[k];
    fprintf(script, "$all%d << PINERY_END\n", k);
    double last = NAN;
    for (int i = 0; i < m->n;) {
        double day = floor(m->day[i]), sum[3] = {0.0};
        int n = 0;
        for (; i < m->n && floor(m->day[i]) == day; i++, n++) {
            sum[0] += m->measured[i];
            sum[1] += m->before[i];
            sum[2] += m->after[i];
        }
        if (day > last + 1.5)
            fputc('\n', script);
        last = day;
        fprintf(script, "%.8g %.6g %.6g %.6g\n", day + 0.5, sum[0] / n, sum[1] / n, sum[2] / n);
    }
    fprintf(script, "PINERY_END\n$fine%d << PINERY_END\n", k);
    for (int i = 0; i < m->n; i++)
        if (m->day[i] >= match->zoom[0] && m->day[i] < match->zoom[1])
            fprintf(script, "%.8g %.6g %.6g %.6g\n", m->day[i], m->measured[i], m->before[i], m->after[i]);
    fputs("PINERY_END\n", script);
}

static int by_size(const void *a, const void *b) {
    const double *x = a, *y = b;
    return (*x > *y) - (*x < *y);
}

/* Blocks dots<k>_<c>: cause and difference after; and means<k>_<c>: mean cause, before and after in classes of equal
 * number. False: no memory. */
static bool differences(FILE *script, const pinery_report_match *match, int k, int c) {
    const pinery_report_measured *m = &match->measured[k];
    const double *cause = match->cause[c].value;
    double(*row)[3] = malloc((size_t)m->n * sizeof *row);
    if (!row)
        return false;
    int n = 0;
    fprintf(script, "$dots%d_%d << PINERY_END\n", k, c);
    for (int i = 0; i < m->n; i++) {
        if (!(m->day[i] >= match->unseen[0] && m->day[i] < match->unseen[1]) || isnan(cause[i]))
            continue;
        row[n][0] = cause[i];
        row[n][1] = m->before[i] - m->measured[i];
        row[n][2] = m->after[i] - m->measured[i];
        fprintf(script, "%.6g %.6g\n", row[n][0], row[n][2]);
        n++;
    }
    qsort(row, (size_t)n, sizeof *row, by_size);
    fprintf(script, "PINERY_END\n$means%d_%d << PINERY_END\n", k, c);
    for (int class = 0; class < CLASSES && n >= CLASSES; class ++) {
        int from = n * class / CLASSES, to = n * (class + 1) / CLASSES;
        double sum[3] = {0.0};
        for (int i = from; i < to; i++)
            for (int j = 0; j < 3; j++)
                sum[j] += row[i][j] / (to - from);
        fprintf(script, "%.6g %.6g %.6g\n", sum[0], sum[1], sum[2]);
    }
    fputs("PINERY_END\n", script);
    free(row);
    return true;
}

/* Midnights: every day, or enough of them. */
static void dates(FILE *script, double from, double to, bool labels) {
    double every = to - from <= 16.0 ? 1.0 : ceil((to - from) / 12.0);
    fprintf(script, "set xrange [%.10g:%.10g]\nset xtics (", from, to);
    const char *before = "";
    for (double day = ceil(from); day <= to; day += every) {
        struct pinery_ledger_date date = pinery_ledger_date((day - 1.0) * 86400.0, false);
        char text[32] = "";
        if (labels)
            snprintf(text, sizeof text, "%d %s", date.day, pinery_ledger_month_name(date.month));
        fprintf(script, "%s'%s' %.10g", before, text, day);
        before = ", ";
    }
    fputs(")\n", script);
}

/* A panel between two heights of the page, with its title above it. */
static void panel(FILE *script, double left, double right, double bottom, double top, const char *title,
                  const char *more, const char *unit) {
    fprintf(script,
            "set lmargin at screen %.4f\nset rmargin at screen %.4f\nset bmargin at screen %.4f\nset tmargin at screen "
            "%.4f\nset label 1 ",
            left, right, bottom, top);
    char text[256];
    snprintf(text, sizeof text, "%s%s%s%s%s", title, unit[0] ? ", " : "", unit, more[0] ? ": " : "", more);
    pinery_report_plot_text(script, text);
    fprintf(script, " at graph 0, graph 1 left offset 0,0.6 textcolor '%s'\n", PINERY_INK);
}

static void curves(FILE *script, const char *block, int k, bool keyed) {
    const char *const title[] = {keyed ? "before calibration" : "", keyed ? "calibrated" : "", keyed ? "measured" : ""};
    fprintf(
        script,
        "plot $%s%d using 1:3 with lines lw 1.2 lc '%s' title '%s', $%s%d using 1:4 with lines lw 1.8 lc '%s' title "
        "'%s', $%s%d using 1:2 with lines lw 1.6 lc '%s' title '%s'\n",
        block, k, PINERY_SKY, title[0], block, k, PINERY_RED, title[1], block, k, PINERY_INK, title[2]);
}

/* The unseen days lie on a tint, and both kinds are named in the first panel. */
static void mark(FILE *script, const pinery_report_match *match, bool named) {
    fprintf(script,
            "set object 1 rectangle from %.10g, graph 0 to %.10g, graph 1 behind fc rgb '#f3ead2' fs solid noborder\n",
            match->unseen[0], match->unseen[1]);
    const double *const span[] = {match->learn, match->unseen};
    const char *const name[] = {"learnt", "unseen"};
    for (int i = 0; i < 2 && named; i++)
        fprintf(script, "set label %d '%s' at %.10g, graph 0.93 left offset 0.5,0 textcolor '%s'\n", 3 + i, name[i],
                span[i][0], PINERY_GREY);
}

static void draw(FILE *script, const pinery_report_match *match) {
    int hourly = 0;
    for (int k = 0; k < match->series; k++)
        hourly += by_hours(&match->measured[k]);
    int rows = match->series + hourly + (match->causes > 0 ? hourly : 0);
    const double above = 0.95, below = 0.05, gap = 0.048;
    double height = (above - below - gap * (rows - 1)) / rows, top = above;
    fputs("set multiplot\nset grid x y ls 100\nset label 2 ", script);
    pinery_report_plot_text(script, match->title);
    fprintf(script, " at screen 0.06, screen 0.985 left font ',14' textcolor '%s'\n", PINERY_INK);
    fputs("set key at screen 0.97, screen 0.98 right top horizontal Right samplen 2 noenhanced\n", script);
    double from = fmin(match->learn[0], match->unseen[0]), to = fmax(match->learn[1], match->unseen[1]);
    for (int k = 0; k < match->series; k++, top -= height + gap) {
        const pinery_report_measured *m = &match->measured[k];
        panel(script, 0.06, 0.97, top - height, top, m->name, by_hours(m) ? "means of a day" : "", m->unit);
        dates(script, from, to, true);
        mark(script, match, k == 0);
        curves(script, "all", k, k == 0);
        fputs("unset label 2\nunset label 3\nunset label 4\n", script);
    }
    fputs("unset object 1\n", script);
    for (int k = 0; k < match->series; k++) {
        if (!by_hours(&match->measured[k]))
            continue;
        panel(script, 0.06, 0.97, top - height, top, match->measured[k].name, "hour by hour", match->measured[k].unit);
        dates(script, match->zoom[0], match->zoom[1], true);
        curves(script, "fine", k, false);
        top -= height + gap;
    }
    for (int k = 0; k < match->series && match->causes > 0; k++) {
        if (!by_hours(&match->measured[k]))
            continue;
        double width = (0.97 - 0.06 - 0.05 * (match->causes - 1)) / match->causes;
        for (int c = 0; c < match->causes; c++) {
            double left = 0.06 + c * (width + 0.05);
            char title[192];
            snprintf(title, sizeof title, "%s, %s, model less measured", match->measured[k].name,
                     match->measured[k].unit);
            panel(script, left, left + width, top - height, top, c == 0 ? title : "", "", "");
            fputs("set xrange [*:*]\nset xtics auto\nset xlabel ", script);
            pinery_report_plot_text(script, match->cause[c].name);
            fprintf(script,
                    " offset 0,0.6 textcolor '%s'\nset arrow 1 from graph 0, first 0 to graph 1, first 0 nohead lc "
                    "'%s'\n",
                    PINERY_INK, PINERY_GREY);
            fprintf(
                script,
                "plot $dots%d_%d using 1:2 with points pt 7 ps 0.25 lc '#d8a3ad' notitle, $means%d_%d using 1:2 with "
                "linespoints pt 7 ps 0.6 lw 1.5 lc '%s' notitle, $means%d_%d using 1:3 with linespoints pt 7 ps 0.6 "
                "lw 2 lc '%s' notitle\nunset xlabel\nunset arrow 1\n",
                k, c, k, c, PINERY_SKY, k, c, PINERY_RED);
        }
        top -= height + gap;
    }
    fputs("unset multiplot\n", script);
}

static pinery_status check(const pinery_report_match *match, pinery_error *error) {
    const struct {
        const char *name;
        const double *days;
    } spans[] = {{"learn", match->learn}, {"unseen", match->unseen}, {"zoom", match->zoom}};
    if (!(match->series >= 1 && match->series <= PINERY_REPORT_SERIES))
        return pinery_base_fail(error, PINERY_BAD_INPUT, "figure: %d series, expected 1 .. %d", match->series,
                                PINERY_REPORT_SERIES);
    if (!(match->causes >= 0 && match->causes <= PINERY_REPORT_CAUSES))
        return pinery_base_fail(error, PINERY_BAD_INPUT, "figure: %d causes, expected 0 .. %d", match->causes,
                                PINERY_REPORT_CAUSES);
    for (int i = 0; i < 3; i++)
        if (!(isfinite(spans[i].days[0]) && spans[i].days[1] > spans[i].days[0] && spans[i].days[1] < 1e6))
            return pinery_base_fail(error, PINERY_BAD_INPUT, "figure: %s = %.10g .. %.10g, expected days in order",
                                    spans[i].name, spans[i].days[0], spans[i].days[1]);
    for (int k = 0; k < match->series; k++) {
        const pinery_report_measured *m = &match->measured[k];
        bool zoomed = !by_hours(m);
        for (int i = 0; i < m->n; i++)
            zoomed = zoomed || (m->day[i] >= match->zoom[0] && m->day[i] < match->zoom[1]);
        if (m->n < 1 || !zoomed)
            return pinery_base_fail(error, PINERY_BAD_INPUT, "figure: %s has no values on the days to draw", m->name);
        for (int c = 0; c < match->causes; c++)
            if (by_hours(m) && match->cause[c].n != m->n)
                return pinery_base_fail(error, PINERY_BAD_INPUT, "figure: %s has %d values and %s %d, expected as many",
                                        match->cause[c].name, match->cause[c].n, m->name, m->n);
    }
    return PINERY_OK;
}

pinery_status pinery_report_match_figure(const pinery_report_match *match, const char *path, pinery_error *error) {
    struct pinery_report_plot plot = {0};
    pinery_status status = check(match, error);
    if (!status && path == NULL)
        status = pinery_base_fail(error, PINERY_BAD_INPUT, "figure: no path is given");
    if (!status)
        status = pinery_report_plot_begin(&plot, 1300, 1500, 90, path, NULL, error);
    if (status)
        return status;
    bool well = true;
    for (int k = 0; k < match->series; k++) {
        series(plot.script, match, k);
        for (int c = 0; c < match->causes && by_hours(&match->measured[k]); c++)
            well = differences(plot.script, match, k, c) && well;
    }
    draw(plot.script, match);
    status = pinery_report_plot_end(&plot, error);
    return well ? status : pinery_base_fail(error, PINERY_MEMORY, "figure: no memory for the differences");
}
