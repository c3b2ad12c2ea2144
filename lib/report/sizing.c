/* Hours over limits of humidity against capacity, with what is allowed and what is needed; below it power and gas. */
#include <math.h>
#include <string.h>

#include "base/error.h"
#include "report/plot.h"
#include "report/text.h"

static const char *const colour[PINERY_SIZING_LIMITS] = {PINERY_SKY, PINERY_BLUE, PINERY_RED, PINERY_INK};
static const int mark[PINERY_SIZING_LIMITS] = {7, 5, 9, 13}; /* filled circle, square, triangles */

/* A text with one word in it, quoted. */
static void text(FILE *script, const char *format, const char *word) {
    char whole[300];
    const char *gap = strstr(format, "%s");
    snprintf(whole, sizeof whole, "%.*s%s%s", (int)(gap - format), format, word, gap + 2);
    pinery_report_plot_text(script, whole);
}

static void data(FILE *script, const pinery_sizing *sizing) {
    fputs("$points << PINERY_END\n", script);
    for (int i = 0; i < sizing->points; i++) {
        const pinery_sizing_point *point = &sizing->point[i];
        fprintf(script, "%.8g %.8g %.8g", point->capacity, point->power, point->gas);
        for (int limit = 0; limit < sizing->limits; limit++) {
            fprintf(script, " %.8g", point->hours[limit]);
        }
        fputc('\n', script);
    }
    fputs("PINERY_END\n", script);
}

/* Of limit i, where the capacity is a point of the curve. */
static double hours_at(const pinery_sizing *sizing, double capacity, int i) {
    for (int k = 0; k < sizing->points; k++) {
        if (sizing->point[k].capacity == capacity) {
            return sizing->point[k].hours[i];
        }
    }
    return NAN;
}

/* What is allowed as a line across, what is needed as a line down from it. */
static void marks(FILE *script, const pinery_sizing *sizing) {
    for (int i = 0; i < sizing->limits; i++) {
        if (isfinite(sizing->allowed[i])) {
            fprintf(script,
                    "set arrow %d from graph 0, first %.8g to graph 1, first %.8g nohead lc '%s' lw 1 dt (8,5)\n",
                    10 + i, sizing->allowed[i], sizing->allowed[i], colour[i]);
        }
        double x = sizing->needed[i], y = hours_at(sizing, x, i);
        if (x > 0.0 && isfinite(y)) {
            fprintf(script,
                    "set arrow %d from first %.8g, first %.8g to first %.8g, graph 0 lc '%s' lw 1.6 head filled\n"
                    "set label %d ",
                    20 + i, x, y, x, colour[i], 20 + i);
            char number[32];
            snprintf(number, sizeof number, "%g", x);
            text(script, "%s at least", number);
            fprintf(script, " at first %.8g, first %.8g left offset 0.4,0.7 textcolor '%s'\n", x, y, colour[i]);
        }
    }
}

static void curves(FILE *script, const pinery_sizing *sizing) {
    for (int i = 0; i < sizing->limits; i++) {
        fprintf(script, "%s$points using 1:%d with linespoints lw 2 pt %d ps 0.7 lc '%s' title 'over %g %%'",
                i == 0 ? "plot " : ", ", 4 + i, mark[i], colour[i], sizing->limit[i]);
    }
    fputc('\n', script);
}

static pinery_status check(const pinery_sizing *sizing, pinery_error *error) {
    if (sizing->points < 2 || sizing->limits < 1 || sizing->limits > PINERY_SIZING_LIMITS) {
        return pinery_base_fail(error, PINERY_BAD_INPUT,
                                "figure: %d points and %d limits, expected 2 points or more and 1 to %d limits",
                                sizing->points, sizing->limits, PINERY_SIZING_LIMITS);
    }
    for (int i = 1; i < sizing->points; i++) {
        if (!(sizing->point[i].capacity > sizing->point[i - 1].capacity)) {
            return pinery_base_fail(error, PINERY_BAD_INPUT,
                                    "figure: capacity %g follows %g, expected rising capacities",
                                    sizing->point[i].capacity, sizing->point[i - 1].capacity);
        }
    }
    return PINERY_OK;
}

pinery_status pinery_report_sizing_figure(const pinery_sizing *sizing, const char *path, FILE *terminal,
                                          pinery_error *error) {
    struct pinery_report_plot plot = {0};
    pinery_status status = check(sizing, error);
    status = status ? status : pinery_report_plot_begin(&plot, 900, 760, 50, path, terminal, error);
    if (status != PINERY_OK) {
        return status;
    }
    FILE *script = plot.script;
    data(script, sizing);
    fprintf(script, "set xrange [0:%.8g]\nset yrange [0:*]\n", sizing->point[sizing->points - 1].capacity);
    if (path == NULL) {
        fputs("set title ", script);
        pinery_report_plot_text(script, sizing->title);
        fputs("\nset key outside right top\nset ylabel 'h'\nset xlabel ", script);
        pinery_report_plot_text(script, sizing->unit);
        fputc('\n', script);
        for (int i = 0; i < sizing->limits; i++) {
            fprintf(script, "%s$points using 1:%d with lines title 'over %g %%'", i == 0 ? "plot " : ", ", 4 + i,
                    sizing->limit[i]);
        }
        fputc('\n', script);
        return pinery_report_plot_end(&plot, error);
    }
    fputs("set lmargin at screen 0.09\nset rmargin at screen 0.90\nset grid x y ls 100\nset multiplot\n"
          "set key top right Left reverse samplen 2 spacing 1.2\nset label 1 ",
          script);
    pinery_report_plot_text(script, sizing->title);
    fprintf(script, " at screen 0.09, screen 0.97 left font ',14' textcolor '%s'\nset label 2 ", PINERY_INK);
    text(script, "hours over a relative humidity %s; dashed: what is allowed", sizing->place);
    fprintf(script,
            " at graph 0, graph 1 left offset 0,0.7 textcolor '%s'\n"
            "set bmargin at screen 0.40\nset tmargin at screen 0.90\nset format x ''\n",
            PINERY_INK);
    marks(script, sizing);
    curves(script, sizing);
    fputs("unset arrow\nunset label\nunset key\nset bmargin at screen 0.09\nset tmargin at screen 0.32\n"
          "set format x '%g'\nset label 2 ",
          script);
    text(script, "power of the %s, kWh/m2 (left)", sizing->machine);
    fprintf(script,
            " at graph 0, graph 1 left offset 0,0.7 textcolor '%s'\nset label 3 'gas of the house, m3/m2 (right)' at "
            "graph 1, graph 1 right offset 0,0.7 textcolor '%s'\nset xlabel ",
            PINERY_GREEN, PINERY_ORANGE);
    text(script, "capacity, %s", sizing->unit);
    fprintf(script,
            " textcolor '%s'\nset y2range [*:*]\nset y2tics nomirror out textcolor '%s'\nset ytics textcolor '%s'\n"
            "set border 11 lc '%s'\n"
            "plot $points using 1:2 with linespoints lw 2 pt 5 ps 0.6 lc '%s', $points using 1:3 axes x1y2 with "
            "linespoints lw 2 pt 7 ps 0.6 lc '%s'\nunset multiplot\n",
            PINERY_INK, PINERY_ORANGE, PINERY_GREEN, PINERY_GREY, PINERY_GREEN, PINERY_ORANGE);
    return pinery_report_plot_end(&plot, error);
}
