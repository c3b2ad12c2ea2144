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

static double heat(const pinery_ledger *ledger, pinery_heading heading) {
    return 1e-6 * pinery_ledger_heat(ledger, heading);
}

#define H(key) heat(ledger, PINERY_HEADING_##key)
#define W(key) pinery_ledger_water(ledger, PINERY_HEADING_##key)

/* Every heading that is in or out is in exactly one band; a test adds them up. */
static struct pinery_flow heat_flow(const pinery_ledger *ledger) {
    struct pinery_flow flow = {.least = 0.5};
    pinery_report_flow_add(&flow, true, "sun", "sun", SUN, H(sun_cover) + H(sun_cloths) + H(sun_canopy) + H(sun_floor));
    pinery_report_flow_add(&flow, true, "lamps", "lamps", LAMP, H(lamp_body) + H(lamp_light));
    pinery_report_flow_add(&flow, true, "lower pipes", "lower pipes", PIPE, H(heat_lower));
    pinery_report_flow_add(&flow, true, "upper pipes", "upper pipes", PIPE, H(heat_upper));
    pinery_report_flow_add(&flow, true, "fans", "fans", SOLID, H(fan_heat));
    pinery_report_flow_add(&flow, true, "water to the roots", "water to the roots", WET, H(water_supply));
    pinery_report_flow_add(&flow, false, "cover to the sky", "sky to the cover", SKY, H(cover_sky));
    pinery_report_flow_add(&flow, false, "inside to the sky", "sky to the inside", SKY, H(through_sky) + H(cloths_sky));
    pinery_report_flow_add(&flow, false, "wind on the cover", "air on the cover", AIR, H(cover_wind));
    pinery_report_flow_add(&flow, false, "gables and sides", "gables and sides", AIR, H(wall_out));
    pinery_report_flow_add(&flow, false, "air through vents", "air through vents", WET, H(vents));
    pinery_report_flow_add(&flow, false, "leaks", "leaks", WET, H(leakage));
    pinery_report_flow_add(&flow, false, "ground", "ground", SOLID, H(ground) + H(slab_edge));
    pinery_report_flow_add(&flow, false, "water that runs off", "water that runs off", WET, H(run_off) + H(drain));
    pinery_report_flow_add(&flow, false, "kept by the house", "given by the house", SOLID,
                           1e-6 * pinery_ledger_stored_heat(ledger));
    return flow;
}

static struct pinery_flow water_flow(const pinery_ledger *ledger) {
    struct pinery_flow flow = {.least = 0.5};
    pinery_report_flow_add(&flow, true, "taken up by roots", "taken up by roots", WET, W(water_supply));
    pinery_report_flow_add(&flow, false, "air through vents", "air through vents", AIR, W(vents));
    pinery_report_flow_add(&flow, false, "leaks", "leaks", AIR, W(leakage));
    pinery_report_flow_add(&flow, false, "into the gutters", "into the gutters", SKY, W(run_off));
    pinery_report_flow_add(&flow, false, "into the drains", "into the drains", SKY, W(drain));
    pinery_report_flow_add(&flow, false, "kept by the house", "given by the house", SOLID,
                           pinery_ledger_stored_water(ledger));
    return flow;
}

/* One run's picture at the scale that suits all of them, so that two pictures can be laid side by side. */
static pinery_status draw(const struct pinery_chart_ask *ask, struct pinery_flow of(const pinery_ledger *ledger),
                          int height, const char *unit, int decimals, pinery_error *error) {
    struct pinery_report_plot plot;
    pinery_status status = pinery_report_chart_begin(&plot, ask, height, error);
    if (status != PINERY_OK) {
        return status;
    }
    double scale = INFINITY;
    for (int i = 0; i < ask->n; i++) {
        struct pinery_flow flow = of(ask->run[i].ledger);
        scale = fmin(scale, pinery_report_flow_scale(&flow, height - 8.0));
    }
    struct pinery_flow flow = of(ask->run[ask->one].ledger);
    pinery_report_flow_place(&flow, scale, height);
    pinery_report_flow_draw(plot.script, &flow, PINERY_CHART_WIDTH, height, unit, decimals);
    return pinery_report_plot_end(&plot, error);
}

pinery_status pinery_report_chart_heat(const struct pinery_chart_ask *ask, pinery_error *error) {
    return draw(ask, heat_flow, 400, "MJ/m²", 0, error);
}

pinery_status pinery_report_chart_water(const struct pinery_chart_ask *ask, pinery_error *error) {
    return draw(ask, water_flow, 230, "kg/m²", 0, error);
}
