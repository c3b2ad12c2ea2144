/* The books of one run by heading. */
#include <math.h>

#include "report/text.h"

/* A heading that moved nothing is left out. */
static void heading(FILE *out, const pinery_ledger *ledger, pinery_heading which, double gross) {
    double heat = 1e-6 * pinery_ledger_heat(ledger, which), water = pinery_ledger_water(ledger, which);
    if (heat == 0.0 && water == 0.0) {
        return;
    }
    fprintf(out, "  %-55s", pinery_heading_name(which)->doc);
    pinery_report_number(out, 10, 1, heat);
    pinery_report_number(out, 8, 1, gross > 0.0 ? 100.0 * heat / gross : NAN);
    if (pinery_heading_has_water(which)) {
        pinery_report_number(out, 10, 2, water);
    }
    fputc('\n', out);
}

static void side(FILE *out, const pinery_ledger *ledger, pinery_side which, const char *title, double gross) {
    double heat = 0.0, water = 0.0;
    fprintf(out, "%s\n", title);
    for (int i = 0; i < PINERY_N_HEADINGS; i++) {
        pinery_heading h = (pinery_heading)i;
        if (pinery_heading_side(h) == which) {
            heading(out, ledger, h, gross);
            heat += 1e-6 * pinery_ledger_heat(ledger, h);
            water += pinery_ledger_water(ledger, h);
        }
    }
    if (which != PINERY_SIDE_WITHIN) {
        fprintf(out, "  %-55s", "together");
        pinery_report_number(out, 10, 1, heat);
        pinery_report_number(out, 8, 1, gross > 0.0 ? 100.0 * heat / gross : NAN);
        pinery_report_number(out, 10, 2, water);
        fputc('\n', out);
    }
}

pinery_status pinery_report_balance(FILE *out, const pinery_report_entry *run, pinery_error *error) {
    const pinery_ledger *ledger = run->ledger;
    double gross = 0.0;
    for (int i = 0; i < PINERY_N_HEADINGS; i++) {
        if (pinery_heading_side((pinery_heading)i) == PINERY_SIDE_IN) {
            gross += 1e-6 * pinery_ledger_heat(ledger, (pinery_heading)i);
        }
    }
    fprintf(out, "%s: where heat and water come from and go to, per m2 of floor\n", run->name);
    pinery_report_source(out, "", run->weather);
    fprintf(out, "  %-55s%10s%8s%10s\n", "", "heat", "of in", "water");
    fprintf(out, "  %-55s%10s%8s%10s\n", "", "MJ", "%", "kg");
    side(out, ledger, PINERY_SIDE_IN, "In", gross);
    side(out, ledger, PINERY_SIDE_OUT, "Out", gross);
    double stored = 1e-6 * pinery_ledger_stored_heat(ledger);
    fprintf(out, "%-57s", "Gained by the house and its ground");
    pinery_report_number(out, 10, 1, stored);
    pinery_report_number(out, 8, 1, gross > 0.0 ? 100.0 * stored / gross : NAN);
    pinery_report_number(out, 10, 2, pinery_ledger_stored_water(ledger));
    fprintf(out, "\n%-57s", "Not accounted for, share of in");
    pinery_report_number(out, 10, -1, pinery_ledger_result(ledger, PINERY_RESULT_closure_heat));
    fprintf(out, "%8s", "");
    pinery_report_number(out, 10, -1, pinery_ledger_result(ledger, PINERY_RESULT_closure_water));
    fputc('\n', out);
    side(out, ledger, PINERY_SIDE_WITHIN, "Within the house", gross);
    return pinery_report_done(out, error);
}
