/* The names of actuators and causes, and moves as text. */
#include <errno.h>
#include <math.h>
#include <string.h>

#include "base/error.h"
#include "control/causes.h"

static const pinery_name actuators[] = {
#define X(key, unit, worth, doc) {#key, unit, doc},
    PINERY_ACTUATORS(X)
#undef X
};

static const pinery_name causes_names[] = {
#define X(key, doc, first, second) {#key, "", doc},
    PINERY_CAUSES(X)
#undef X
};

static const char *const looked_at[][2] = {
#define X(key, doc, first, second) {first, second},
    PINERY_CAUSES(X)
#undef X
};

static const struct {
    pinery_name name;
    size_t offset;
} seen_names[] = {
#define X(key, unit, doc) {{#key, unit, doc}, offsetof(pinery_seen, key)},
    PINERY_SEEN(X)
#undef X
#define X(key, unit, doc) {{#key, unit, doc}, offsetof(pinery_seen, reading) + PINERY_READING_##key * sizeof(double)},
        PINERY_READINGS(X)
#undef X
};

const pinery_name *pinery_actuator_name(pinery_actuator actuator) {
    return (int)actuator >= 0 && actuator < PINERY_N_ACTUATORS ? &actuators[actuator] : NULL;
}

const pinery_name *pinery_cause_name(pinery_cause cause) {
    return (int)cause >= 0 && cause < PINERY_N_CAUSES ? &causes_names[cause] : NULL;
}

static int place_of(const char *name) {
    int n = (int)(sizeof seen_names / sizeof seen_names[0]);
    for (int i = 0; i < n; i++) {
        if (strcmp(seen_names[i].name.key, name) == 0) {
            return i;
        }
    }
    return -1;
}

const pinery_name *pinery_cause_value(pinery_cause cause, int i) {
    if ((int)cause < 0 || cause >= PINERY_N_CAUSES || i < 0 || i > 1) {
        return NULL;
    }
    int place = place_of(looked_at[cause][i]);
    return place < 0 ? NULL : &seen_names[place].name;
}

double pinery_control_seen(const pinery_seen *seen, const char *name) {
    double value = NAN;
    int place = place_of(name);
    if (place >= 0) {
        memcpy(&value, (const char *)seen + seen_names[place].offset, sizeof value);
    }
    return value;
}

/* "0.35", or "60 %" where the unit is none; "-" for nothing. */
static void position(FILE *out, double value, const char *unit, int width) {
    char text[32] = "-";
    if (!isnan(value)) {
        snprintf(text, sizeof text, unit[0] != '\0' ? "%.1f" : "%.2f", value);
    }
    fprintf(out, "%*s", width, text);
}

static void line(FILE *out, const pinery_move *move) {
    const pinery_name *actuator = &actuators[move->actuator];
    double second = floor(move->time_s + 0.5);
    int day = (int)floor(second / 86400.0), minute = (int)((second - 86400.0 * day) / 60.0);
    fprintf(out, "%5d %02d:%02d  %-16s", day + 1, minute / 60, minute % 60, actuator->key);
    position(out, move->from, actuator->unit, 6);
    fputs(" ->", out);
    position(out, move->to, actuator->unit, 6);
    fprintf(out, "  %s", causes_names[move->cause].doc);
    for (int i = 0; i < 2; i++) {
        const pinery_name *name = pinery_cause_value(move->cause, i);
        if (name != NULL && !isnan(move->value[i])) {
            fprintf(out, "%s %s %.4g%s%s", i == 0 ? ":" : ",", name->key, move->value[i],
                    name->unit[0] != '\0' ? " " : "", name->unit);
            if (!isnan(move->limit[i])) {
                fprintf(out, " (limit %.4g)", move->limit[i]);
            }
        }
    }
    fprintf(out, "%s%s\n", move->reason[0] != '\0' ? ": " : "", move->reason);
}

pinery_status pinery_causes_text(FILE *out, const pinery_causes *causes, double from_s, double to_s, int most_lines,
                                 pinery_error *error) {
    fputs("  day  time  what              from     to  why\n", out);
    int lines = 0;
    long left_out = 0;
    for (int i = 0; i < pinery_causes_count(causes); i++) {
        pinery_move move = pinery_causes_move(causes, i);
        if (move.time_s < from_s - 1e-3 || move.time_s >= to_s - 1e-3) {
            continue;
        }
        if (most_lines > 0 && lines == most_lines) {
            left_out++;
            continue;
        }
        line(out, &move);
        lines++;
    }
    if (left_out > 0) {
        fprintf(out, "  and %ld more moves\n", left_out);
    }
    if (pinery_causes_lost(causes) > 0) {
        fprintf(out, "  and %ld moves after these, for which there was no room\n", pinery_causes_lost(causes));
    }
    if (fflush(out) != 0 || ferror(out)) {
        return pinery_base_fail(error, PINERY_IO, "causes: cannot be written: %s",
                                errno != 0 ? strerror(errno) : "the file is in error");
    }
    return pinery_base_ok(error);
}
