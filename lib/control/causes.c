/* Which rule moved what, and on what values.
 *
 * A fixed order moves when a rule changes it, and the rule has left its cause in the memory. A law moves with the air:
 * its cause is the part of it that opens most where the air seen is, or what limits it. Small movements under one cause
 * are not told one by one (the `worth` of an actuator), nor those under changing causes below a fifth of that. */
#include "control/causes.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/smooth.h"

enum { most_moves = 200000, most_reasons = 1000, reason_size = 96 };

struct entry {
    double time_s;
    float from, to, value[2], limit[2];
    short actuator, cause, reason;
};

struct pinery_causes {
    struct entry *entry;
    int n, room;
    long lost;
    char (*reason)[reason_size]; /* the first is empty */
    int reasons;
    bool has[PINERY_N_ACTUATORS], begun;
    double last[PINERY_N_ACTUATORS];
    short last_cause[PINERY_N_ACTUATORS], last_reason[PINERY_N_ACTUATORS];
    pinery_orders offered, base;    /* by the table; when the present reason was given */
    short said[PINERY_N_ACTUATORS]; /* the reason of what a script has changed in this interval */
    short present;                  /* the reason in force */
};

static const double worth[] = {
#define X(key, unit, worth, doc) worth,
    PINERY_ACTUATORS(X)
#undef X
};

pinery_causes *pinery_control_causes_new(const bool has[PINERY_N_ACTUATORS]) {
    pinery_causes *causes = calloc(1, sizeof *causes);
    if (causes != NULL) {
        memcpy(causes->has, has, sizeof causes->has);
        causes->reason = calloc(most_reasons, sizeof *causes->reason);
        causes->reasons = 1;
    }
    if (causes != NULL && causes->reason == NULL) {
        free(causes);
        return NULL;
    }
    return causes;
}

void pinery_control_causes_free(pinery_causes *causes) {
    if (causes != NULL) {
        free(causes->entry);
        free(causes->reason);
        free(causes);
    }
}

/* ---- orders by actuator ---- */

const pinery_law *pinery_control_law_of(const pinery_orders *orders, pinery_actuator actuator) {
    switch (actuator) {
    case PINERY_ACTUATOR_slit_1:
    case PINERY_ACTUATOR_slit_2:
    case PINERY_ACTUATOR_slit_3:
        return &orders->slit[actuator - PINERY_ACTUATOR_slit_1];
    case PINERY_ACTUATOR_vent_lee:
        return &orders->vent_lee;
    case PINERY_ACTUATOR_vent_wind:
        return &orders->vent_wind;
    case PINERY_ACTUATOR_fan_through:
        return &orders->fan_through;
    case PINERY_ACTUATOR_duct:
    case PINERY_ACTUATOR_recovery:
    case PINERY_ACTUATOR_dehumidifier:
    case PINERY_ACTUATOR_desiccant:
        return &orders->drying[actuator - PINERY_ACTUATOR_duct];
    default:
        return NULL;
    }
}

static double fixed(const pinery_orders *orders, pinery_actuator actuator) {
    switch (actuator) {
    case PINERY_ACTUATOR_heating:
        return orders->heating;
    case PINERY_ACTUATOR_ventilation:
        return orders->ventilation;
    case PINERY_ACTUATOR_pipe_least:
        return orders->pipe_least;
    case PINERY_ACTUATOR_pipe_lower:
        return orders->pipe_lower;
    case PINERY_ACTUATOR_pipe_upper:
        return orders->pipe_upper;
    case PINERY_ACTUATOR_lamp_1:
    case PINERY_ACTUATOR_lamp_2:
        return orders->lamp[actuator - PINERY_ACTUATOR_lamp_1];
    case PINERY_ACTUATOR_fan_circulation:
        return orders->fan_circulation;
    case PINERY_ACTUATOR_carbon_target:
        return orders->carbon_target;
    case PINERY_ACTUATOR_cogeneration:
    case PINERY_ACTUATOR_bought_heat:
    case PINERY_ACTUATOR_heat_pump:
    case PINERY_ACTUATOR_electric_boiler:
        return orders->source[actuator - PINERY_ACTUATOR_cogeneration];
    default:
        return orders->cloth[actuator - PINERY_ACTUATOR_cloth_1];
    }
}

double pinery_control_ordered(const pinery_orders *orders, pinery_actuator actuator, const pinery_seen *seen) {
    const pinery_law *law = pinery_control_law_of(orders, actuator);
    double by_T, by_H;
    return law == NULL ? fixed(orders, actuator)
                       : pinery_control_law(law, seen->reading[PINERY_READING_air_seen],
                                            0.01 * seen->reading[PINERY_READING_humidity_sensor], &by_T, &by_H);
}

static bool equal(double a, double b) {
    return a == b || (isnan(a) && isnan(b));
}

static bool same(const pinery_orders *a, const pinery_orders *b, pinery_actuator actuator) {
    const pinery_law *law = pinery_control_law_of(a, actuator);
    return law == NULL ? equal(fixed(a, actuator), fixed(b, actuator))
                       : memcmp(law, pinery_control_law_of(b, actuator), sizeof *law) == 0;
}

/* ---- what a script says ---- */

static short reason_of(pinery_causes *causes, const char *text) {
    char cut[reason_size];
    size_t n = strlen(text) < sizeof cut ? strlen(text) : sizeof cut - 1;
    memcpy(cut, text, n);
    cut[n] = '\0';
    for (int i = 0; i < causes->reasons; i++) {
        if (strcmp(causes->reason[i], cut) == 0) {
            return (short)i;
        }
    }
    if (causes->reasons == most_reasons) { /* the last one stands for all that follow */
        return most_reasons - 1;
    }
    memcpy(causes->reason[causes->reasons], cut, n + 1);
    return (short)causes->reasons++;
}

void pinery_control_causes_offer(pinery_causes *causes, const pinery_orders *orders) {
    causes->offered = causes->base = *orders;
    memset(causes->said, 0, sizeof causes->said);
    causes->present = 0;
}

/* What has changed since the present reason was given is changed for it. */
static void attribute(pinery_causes *causes, const pinery_orders *orders) {
    for (int a = 0; a < PINERY_N_ACTUATORS; a++) {
        if (!same(&causes->base, orders, (pinery_actuator)a)) {
            causes->said[a] = causes->present;
        }
    }
    causes->base = *orders;
}

void pinery_control_causes_because(pinery_causes *causes, const pinery_orders *orders, const char *text) {
    attribute(causes, orders);
    causes->present = reason_of(causes, text);
}

/* ---- noting ---- */

/* Why a law asks what it asks. */
static struct pinery_control_why law_why(const pinery_law *law, double p, const struct pinery_control_memory *memory,
                                         pinery_actuator actuator, const pinery_seen *seen) {
    double slope, by_T = 0.0, by_H = 0.0;
    if (law->by_temperature > 0.0) {
        double width = law->temperature_full - law->temperature_start;
        by_T = (seen->reading[PINERY_READING_air_seen] - law->temperature_start) / width;
        by_T = law->by_temperature * pinery_base_ramp(by_T, &slope);
    }
    if (law->by_humidity > 0.0) {
        double width = law->humidity_full - law->humidity_start;
        by_H = (0.01 * seen->reading[PINERY_READING_humidity_sensor] - law->humidity_start) / width;
        by_H = law->by_humidity * pinery_base_ramp(by_H, &slope);
    }
    double free_p = 1.0 - (1.0 - law->low) * (1.0 - by_T) * (1.0 - by_H);
    if (free_p > p + 0.005) {
        return memory->limit[actuator];
    }
    if (p < 0.005 || (law->low >= by_T && law->low >= by_H)) {
        return memory->why[actuator];
    }
    return by_T >= by_H ? (struct pinery_control_why){PINERY_CAUSE_temperature, {law->temperature_start, NAN}}
                        : (struct pinery_control_why){PINERY_CAUSE_humidity, {100.0 * law->humidity_start, NAN}};
}

static void keep(pinery_causes *causes, struct entry entry) {
    if (causes->n == causes->room && causes->room < most_moves) {
        int room = causes->room == 0 ? 1024 : 2 * causes->room;
        room = room < most_moves ? room : most_moves;
        struct entry *longer = realloc(causes->entry, (size_t)room * sizeof *longer);
        causes->entry = longer != NULL ? longer : causes->entry;
        causes->room = longer != NULL ? room : causes->room;
    }
    if (causes->n < causes->room) {
        causes->entry[causes->n++] = entry;
    } else {
        causes->lost++;
    }
}

static bool worth_telling(const pinery_causes *causes, int a, double to, struct pinery_control_why why, short reason) {
    double last = causes->last[a];
    if (equal(to, last)) {
        return false;
    }
    if (isnan(to) != isnan(last)) {
        return true;
    }
    bool other = (short)why.cause != causes->last_cause[a] || reason != causes->last_reason[a];
    return fabs(to - last) >= (other ? 0.2 : 1.0) * worth[a] - 1e-9;
}

static float seen_as(const pinery_seen *seen, pinery_cause cause, int i) {
    const pinery_name *name = pinery_cause_value(cause, i);
    return name == NULL ? NAN : (float)pinery_control_seen(seen, name->key);
}

void pinery_control_causes_note(pinery_causes *causes, const struct pinery_control_memory *memory,
                                const pinery_seen *seen, const pinery_orders *orders) {
    attribute(causes, orders);
    for (int a = 0; a < PINERY_N_ACTUATORS; a++) {
        pinery_actuator actuator = (pinery_actuator)a;
        const pinery_law *law = pinery_control_law_of(orders, actuator);
        double to = pinery_control_ordered(orders, actuator, seen);
        struct pinery_control_why why = memory->why[a];
        short reason = 0;
        if (!same(&causes->offered, orders, actuator)) {
            why = (struct pinery_control_why){PINERY_CAUSE_script, {NAN, NAN}};
            reason = causes->said[a];
        } else if (law != NULL) {
            why = law_why(law, to, memory, actuator, seen);
        }
        if (!causes->has[a] || (causes->begun && !worth_telling(causes, a, to, why, reason))) {
            continue;
        }
        struct entry entry = {.time_s = seen->time_s,
                              .from = (float)(causes->begun ? causes->last[a] : to),
                              .to = (float)to,
                              .value = {seen_as(seen, why.cause, 0), seen_as(seen, why.cause, 1)},
                              .limit = {(float)why.limit[0], (float)why.limit[1]},
                              .actuator = (short)a,
                              .cause = (short)why.cause,
                              .reason = reason};
        keep(causes, entry);
        causes->last[a] = to;
        causes->last_cause[a] = (short)why.cause;
        causes->last_reason[a] = reason;
    }
    causes->begun = true;
}

/* ---- looking ---- */

int pinery_causes_count(const pinery_causes *causes) {
    return causes->n;
}

long pinery_causes_lost(const pinery_causes *causes) {
    return causes->lost;
}

pinery_move pinery_causes_move(const pinery_causes *causes, int i) {
    const struct entry *entry = &causes->entry[i];
    return (pinery_move){.time_s = entry->time_s,
                         .actuator = (pinery_actuator)entry->actuator,
                         .from = entry->from,
                         .to = entry->to,
                         .cause = (pinery_cause)entry->cause,
                         .value = {entry->value[0], entry->value[1]},
                         .limit = {entry->limit[0], entry->limit[1]},
                         .reason = causes->reason[entry->reason]};
}

int pinery_causes_before(const pinery_causes *causes, pinery_actuator actuator, double time_s) {
    int low = 0, high = causes->n; /* the first move after time_s */
    while (low < high) {
        int middle = low + (high - low) / 2;
        if (causes->entry[middle].time_s <= time_s + 1e-3) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    while (--low >= 0 && causes->entry[low].actuator != (short)actuator) {
    }
    return low;
}
