/* The layout is our own: a thin band still gets the height of its words, and the scale is what is left. */
#include "report/flow.h"

#include <math.h>

#include "report/plot.h"

static const double slot = 30.0, gap = 5.0; /* least height of a band with its words, and between two of them */
static const double words = 128.0, bar = 5.0, house = 14.0;

void pinery_report_flow_add(struct pinery_flow *flow, bool in, const char *label, const char *otherwise,
                            const char *colour, double value) {
    struct pinery_flow_side *side = in == (value > 0.0) ? &flow->in : &flow->out;
    if (value != 0.0 && side->n < PINERY_FLOW_ITEMS) {
        side->item[side->n++] =
            (struct pinery_flow_item){.label = value > 0.0 ? label : otherwise, .colour = colour, .value = fabs(value)};
    }
}

static double height_of(const struct pinery_flow_side *side, double least, double scale) {
    double sum = 0.0;
    for (int i = 0; i < side->n; i++) {
        sum += side->item[i].value < least ? 0.0 : fmax(slot, scale * side->item[i].value) + (i > 0 ? gap : 0.0);
    }
    return sum;
}

double pinery_report_flow_scale(const struct pinery_flow *flow, double height) {
    double low = 0.0, high = 1.0;
    const struct pinery_flow_side *side[2] = {&flow->in, &flow->out};
    for (int s = 0; s < 2; s++) {
        double sum = 0.0;
        for (int i = 0; i < side[s]->n; i++) {
            sum += side[s]->item[i].value;
        }
        high = sum > 0.0 ? fmax(high, height / sum) : high;
    }
    for (int i = 0; i < 60; i++) {
        double middle = 0.5 * (low + high);
        if (fmax(height_of(&flow->in, flow->least, middle), height_of(&flow->out, flow->least, middle)) <= height) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return low;
}

static void place(struct pinery_flow_side *side, double least, double scale, double height) {
    double sum = 0.0;
    for (int i = 0; i < side->n; i++) {
        sum += scale * side->item[i].value;
    }
    double outer = 0.5 * (height - height_of(side, least, scale)), inner = 0.5 * (height - sum);
    for (int i = 0; i < side->n; i++) {
        struct pinery_flow_item *item = &side->item[i];
        item->thick = scale * item->value;
        double room = item->value < least ? -gap : fmax(slot, item->thick);
        item->outer = outer + 0.5 * (room - item->thick);
        item->inner = inner;
        outer += room + gap;
        inner += item->thick;
    }
}

void pinery_report_flow_place(struct pinery_flow *flow, double scale, double height) {
    place(&flow->in, flow->least, scale, height);
    place(&flow->out, flow->least, scale, height);
}

/* Numbers of gnuplot's objects, which must differ. */
static void rectangle(FILE *script, int *number, double x, double y, double width, double height, const char *colour) {
    fprintf(script, "set object %d rectangle from %.3f,%.3f to %.3f,%.3f fs solid 1 noborder fc rgb '%s'\n", ++*number,
            x, y, x + width, y + height, colour);
}

/* A band from x0, y0 to x1, y1 whose middle line is a smooth step. */
static void band(FILE *script, int *number, double x0, double y0, double x1, double y1, double thick,
                 const char *colour) {
    enum { PARTS = 24 };
    fprintf(script, "set object %d polygon from ", ++*number);
    for (int i = 0; i <= 2 * PARTS + 1; i++) {
        bool back = i > PARTS;
        double at = (back ? 2 * PARTS + 1 - i : i) / (double)PARTS, step = at * at * (3.0 - 2.0 * at);
        fprintf(script, "%.3f,%.3f to ", x0 + at * (x1 - x0), y0 + step * (y1 - y0) + (back ? thick : 0.0));
    }
    fprintf(script, "%.3f,%.3f fs transparent solid 0.45 noborder fc rgb '%s'\n", x0, y0, colour);
}

static void side_of(FILE *script, int *number, const struct pinery_flow_side *side, bool in, double least, double width,
                    const char *unit, int decimals) {
    double sum = 0.0;
    for (int i = 0; i < side->n; i++) {
        sum += side->item[i].value;
    }
    double outside = in ? words : width - words, inside = 0.5 * width + (in ? -0.5 : 0.5) * house;
    for (int i = 0; i < side->n; i++) {
        const struct pinery_flow_item *item = &side->item[i];
        if (item->value < least) {
            continue;
        }
        double bar_x = in ? outside - bar : outside, middle = item->outer + 0.5 * item->thick;
        band(script, number, in ? outside : inside, in ? item->outer : item->inner, in ? inside : outside,
             in ? item->inner : item->outer, item->thick, item->colour);
        rectangle(script, number, bar_x, item->outer, bar, fmax(item->thick, 1.0), item->colour);
        double x = in ? bar_x - 5.0 : outside + bar + 5.0;
        const char *align = in ? "right" : "left";
        fprintf(script, "set label '%s' at %.3f,%.3f %s textcolor '%s'\n", item->label, x, middle - 7.0, align,
                PINERY_INK);
        fprintf(script, "set label '%.*f %s, %.*f %%' at %.3f,%.3f %s textcolor '#55585f'\n", decimals, item->value,
                unit, item->value < 0.0995 * sum ? 1 : 0, 100.0 * item->value / sum, x, middle + 7.0, align);
    }
}

static void data(FILE *script, const char *block, const struct pinery_flow_side *side) {
    fprintf(script, "$%s << PINERY_END\n", block);
    for (int i = 0; i < side->n; i++) {
        fprintf(script, "%.9g \"%s\"\n", side->item[i].value, side->item[i].label);
    }
    fputs("PINERY_END\n", script);
}

void pinery_report_flow_draw(FILE *script, const struct pinery_flow *flow, double width, double height,
                             const char *unit, int decimals) {
    int number = 0;
    double top = height, bottom = 0.0;
    data(script, "in", &flow->in);
    data(script, "out", &flow->out);
    fprintf(script,
            "unset border\nunset tics\nunset key\nunset grid\nset margins 0,0,0,0\nset xrange [0:%.6g]\nset yrange "
            "[%.6g:0]\nset lmargin at screen 0\nset rmargin at screen 1\nset tmargin at screen 1\nset bmargin at "
            "screen 0\n",
            width, height);
    side_of(script, &number, &flow->in, true, flow->least, width, unit, decimals);
    side_of(script, &number, &flow->out, false, flow->least, width, unit, decimals);
    for (int s = 0; s < 2; s++) {
        const struct pinery_flow_side *side = s == 0 ? &flow->in : &flow->out;
        for (int i = 0; i < side->n; i++) {
            top = fmin(top, side->item[i].inner);
            bottom = fmax(bottom, side->item[i].inner + side->item[i].thick);
        }
    }
    rectangle(script, &number, 0.5 * (width - house), top, house, fmax(bottom - top, 1.0), PINERY_INK);
    fputs("plot NaN notitle\n", script);
}
