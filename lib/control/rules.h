/* The rules by concern, in the order pinery_control_orders() takes them, and the small tools they share. */
#ifndef PINERY_CONTROL_RULES_H
#define PINERY_CONTROL_RULES_H

#include <math.h>

#include "control/orders.h"

void pinery_control_setpoints(const pinery_strategy *strategy, struct pinery_control_memory *memory,
                              const pinery_seen *seen, pinery_orders *orders);
void pinery_control_heating(const pinery_strategy *strategy, struct pinery_control_memory *memory,
                            const pinery_seen *seen, pinery_orders *orders);
void pinery_control_screens(const pinery_strategy *strategy, struct pinery_control_memory *memory,
                            const pinery_seen *seen, pinery_orders *orders);
void pinery_control_lamps(const pinery_strategy *strategy, struct pinery_control_memory *memory,
                          const pinery_seen *seen, pinery_orders *orders);
void pinery_control_vents(const pinery_strategy *strategy, struct pinery_control_memory *memory,
                          const pinery_seen *seen, pinery_orders *orders);
void pinery_control_fans(const pinery_strategy *strategy, struct pinery_control_memory *memory, const pinery_seen *seen,
                         pinery_orders *orders);
void pinery_control_supply(const pinery_strategy *strategy, struct pinery_control_memory *memory,
                           const pinery_seen *seen, pinery_orders *orders);
void pinery_control_dosing(const pinery_strategy *strategy, struct pinery_control_memory *memory,
                           const pinery_seen *seen, pinery_orders *orders);
void pinery_control_drying(const pinery_strategy *strategy, struct pinery_control_memory *memory,
                           const pinery_seen *seen, pinery_orders *orders);

/* What is remembered of a rule that moved something. */
static inline struct pinery_control_why pinery_control_because(pinery_cause cause, double first, double second) {
    return (struct pinery_control_why){.cause = cause, .limit = {first, second}};
}

/* Whether the clock is in from .. until, over midnight when until is earlier; never when they are equal. Hours within
 * 1e-6 h (4 ms) of a boundary count as on it, since the clock is a sum of intervals. */
static inline bool pinery_control_between(double hour, double from, double until) {
    double h = hour + 1e-6;
    h -= h >= 24.0 ? 24.0 : 0.0;
    return from <= until ? h >= from && h < until : h >= from || h < until;
}

/* Whether a day of the year is in first .. last, over the New Year when last is smaller. */
static inline bool pinery_control_in_season(double day, int first, int last) {
    return first <= last ? day >= first && day <= last : day >= first || day <= last;
}

/* Whether the hours of a blackout are now, in its season: what began in the evening belongs to that evening's day. */
bool pinery_control_blackout(const pinery_screen *screen, double day, double hour);

/* A switch with hysteresis: goes on beyond `on`, off again beyond `off`, stays between; on > off means it goes on when
 * value > on and off when value < off, on < off the reverse. */
static inline bool pinery_control_switch(bool is, double value, double on, double off) {
    if (on >= off) {
        return is ? value >= off : value > on;
    }
    return is ? value <= off : value < on;
}

/* Whether enough time has passed since `then_s`, with half a second of grace for rounding. */
static inline bool pinery_control_waited(double now_s, double then_s, double wait_s) {
    return now_s - then_s >= wait_s - 0.5;
}

/* `held` follows `wanted` in whole steps of `step`, and only once they differ by a step, so that a value that trembles
 * about a boundary changes nothing. The ends 0 and `most` are reached exactly. */
double pinery_control_step(double held, double wanted, double step, double most);

/* The gain with which a law goes from `low` to `most`: 1 - (1 - low)(1 - gain) = most. 0 when `low` is already there.
 */
static inline double pinery_control_gain(double low, double most) {
    return most > low ? 1.0 - (1.0 - most) / (1.0 - low) : 0.0;
}

/* Whether any cloth is ordered at least half drawn. */
bool pinery_control_any_drawn(const pinery_orders *orders);

#endif
