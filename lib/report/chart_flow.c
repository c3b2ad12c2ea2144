/* Where heat and water come from and go to, as flow pictures. Headings of a kind are one band; all of them together are
 * what the books hold. */
#include <math.h>

#include "report/chart.h"
#include "report/flow.h"

#define SUN "#e0b000"
#define LAMP "#c58a00"
#define PIPE "#a8243c"
#define SKY "#5b6f9a"
#define AIR "#4f9fb8"
#define SOLID "#8a8d95"
#define WET "#2f7d8b"

/* Headings of a kind; what flows against its direction stands on the other side, under `otherwise`. A heading that is
 * in no band has one of its own, so that a new one is never left out. */
enum { MOST_HEADINGS = 5 };
struct band {
    const char *label, *otherwise, *colour;
    int n;
    pinery_heading heading[MOST_HEADINGS];
};

#define H(key) PINERY_HEADING_##key

static const struct band heat_bands[] = {
    {"sun", "sun", SUN, 5, {H(sun_cover), H(sun_cloths), H(sun_structure), H(sun_canopy), H(sun_floor)}},
    {"lamps", "lamps", LAMP, 2, {H(lamp_body), H(lamp_light)}},
    {"lower pipes", "lower pipes", PIPE, 1, {H(heat_lower)}},
    {"upper pipes", "upper pipes", PIPE, 1, {H(heat_upper)}},
    {"fans", "fans", SOLID, 1, {H(fan_heat)}},
    {"water to the roots", "water to the roots", WET, 1, {H(water_supply)}},
    {"cover to the sky", "sky to the cover", SKY, 1, {H(cover_sky)}},
    {"inside to the sky", "sky to the inside", SKY, 2, {H(through_sky), H(cloths_sky)}},
    {"wind on the cover", "air on the cover", AIR, 1, {H(cover_wind)}},
    {"gables and sides", "gables and sides", AIR, 1, {H(wall_out)}},
    {"rooms next door", "rooms next door", AIR, 1, {H(neighbours)}},
    {"air through vents", "air through vents", WET, 1, {H(vents)}},
    {"leaks", "leaks", WET, 1, {H(leakage)}},
    {"ground", "ground", SOLID, 2, {H(ground), H(slab_edge)}},
    {"water that runs off", "water that runs off", WET, 2, {H(run_off), H(drain)}},
};

static const struct band water_bands[] = {
    {"taken up by roots", "taken up by roots", WET, 1, {H(water_supply)}},
    {"air through vents", "air through vents", AIR, 1, {H(vents)}},
    {"leaks", "leaks", AIR, 1, {H(leakage)}},
    {"into the gutters", "into the gutters", SKY, 1, {H(run_off)}},
    {"into the drains", "into the drains", SKY, 1, {H(drain)}},
};

static double of(const pinery_ledger *ledger, bool water, pinery_heading heading) {
    return water ? pinery_ledger_water(ledger, heading) : 1e-6 * pinery_ledger_heat(ledger, heading);
}

static struct pinery_flow flow_of(const pinery_ledger *ledger, bool water) {
    const struct band *band = water ? water_bands : heat_bands;
    int n = water ? (int)(sizeof water_bands / sizeof *water_bands) : (int)(sizeof heat_bands / sizeof *heat_bands);
    struct pinery_flow flow = {.least = 0.5};
    bool drawn[PINERY_N_HEADINGS] = {false};
    for (int i = 0; i < n; i++) {
        double sum = 0.0;
        for (int k = 0; k < band[i].n; k++) {
            sum += of(ledger, water, band[i].heading[k]);
            drawn[band[i].heading[k]] = true;
        }
        pinery_report_flow_add(&flow, pinery_heading_side(band[i].heading[0]) == PINERY_SIDE_IN, band[i].label,
                               band[i].otherwise, band[i].colour, sum);
    }
    for (int i = 0; i < PINERY_N_HEADINGS; i++) {
        pinery_heading heading = (pinery_heading)i;
        pinery_side side = pinery_heading_side(heading);
        if (!drawn[i] && side != PINERY_SIDE_WITHIN && (!water || pinery_heading_has_water(heading))) {
            const char *key = pinery_heading_name(heading)->key;
            pinery_report_flow_add(&flow, side == PINERY_SIDE_IN, key, key, SOLID, of(ledger, water, heading));
        }
    }
    pinery_report_flow_add(&flow, false, "kept by the house", "given by the house", SOLID,
                           water ? pinery_ledger_stored_water(ledger) : 1e-6 * pinery_ledger_stored_heat(ledger));
    return flow;
}

/* One run's picture at the scale that suits all of them, so that two pictures can be laid side by side. */
static pinery_status draw(const struct pinery_chart_ask *ask, bool water, int height, const char *unit, int decimals,
                          pinery_error *error) {
    struct pinery_report_plot plot;
    pinery_status status = pinery_report_chart_begin(&plot, ask, height, error);
    if (status != PINERY_OK) {
        return status;
    }
    double scale = INFINITY;
    for (int i = 0; i < ask->n; i++) {
        struct pinery_flow flow = flow_of(ask->run[i].ledger, water);
        scale = fmin(scale, pinery_report_flow_scale(&flow, height - 8.0));
    }
    struct pinery_flow flow = flow_of(ask->run[ask->one].ledger, water);
    pinery_report_flow_place(&flow, scale, height);
    pinery_report_flow_draw(plot.script, &flow, PINERY_CHART_WIDTH, height, unit, decimals);
    return pinery_report_plot_end(&plot, error);
}

pinery_status pinery_report_chart_heat(const struct pinery_chart_ask *ask, pinery_error *error) {
    return draw(ask, false, 400, "MJ/m²", 0, error);
}

pinery_status pinery_report_chart_water(const struct pinery_chart_ask *ask, pinery_error *error) {
    return draw(ask, true, 230, "kg/m²", 0, error);
}
