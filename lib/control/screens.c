/* The cloths: when each drive is drawn and opened, which of its cloths is used, and how wide its slit may be.
 *
 * A drive is drawn when any of these rules asks for it: blackout hours; night (dark and cold); a cold dark day; shade.
 * Each rule has hysteresis: it begins at its threshold and ends a band beyond it. Between two moves lies a pause,
 * except for what cannot wait: snow, which parks the cloth whatever else asks for it, and the hours of a blackout.
 * Opening may go in steps with a wait between them. Snow is taken to fall for half an hour after it was last seen.
 *
 * Two cloths on a drive exclude one another: night and blackout use the night cloth, the other rules the day cloth, and
 * the one drawn is parked, all the way, before the other is drawn. */
#include <math.h>

#include "control/rules.h"

static const double snow_hold_s = 1800.0;

bool pinery_control_blackout(const pinery_screen *screen, double day, double hour) {
    if (!isfinite(screen->dark_from) || !isfinite(screen->dark_until) ||
        !pinery_control_between(hour, screen->dark_from, screen->dark_until)) {
        return false;
    }
    bool morning = screen->dark_from > screen->dark_until && hour < screen->dark_until;
    double evening = !morning ? day : day > 1.0 ? day - 1.0 : 365.0;
    return pinery_control_in_season(evening, screen->dark_first_day, screen->dark_last_day);
}

static void update(const pinery_screen *screen, struct pinery_control_screen *is, const pinery_seen *seen) {
    double light = seen->reading[PINERY_READING_outside_global];
    double outside = seen->reading[PINERY_READING_outside];
    double lb = screen->light_band, ob = screen->outside_band;

    if (seen->reading[PINERY_READING_outside_snow] > 0.0) {
        is->snow_s = seen->time_s;
    }
    is->snow = screen->open_in_snow && !pinery_control_waited(seen->time_s, is->snow_s, snow_hold_s);
    is->dark = pinery_control_blackout(screen, seen->day, seen->hour);
    is->night = is->night ? light <= screen->close_below_light + lb && outside <= screen->close_below_outside + ob
                          : light < screen->close_below_light && outside < screen->close_below_outside;
    is->day = is->day ? light <= screen->day_light + lb && outside <= screen->day_outside + ob
                      : light < screen->day_light && outside < screen->day_outside;
    is->shade = pinery_control_switch(is->shade, light, screen->shade_above_light, screen->shade_above_light - lb);
    is->slit_warm =
        pinery_control_switch(is->slit_warm, outside, screen->slit_least_outside + ob, screen->slit_least_outside);
}

/* The rule that asks for the cloth, the strongest first; start: none. */
static pinery_cause asking(const struct pinery_control_screen *is) {
    return is->dark    ? PINERY_CAUSE_blackout
           : is->night ? PINERY_CAUSE_night
           : is->day   ? PINERY_CAUSE_cold_day
           : is->shade ? PINERY_CAUSE_shade
                       : PINERY_CAUSE_start;
}

/* Why it is drawn. */
static struct pinery_control_why drawn(const pinery_screen *screen, pinery_cause cause) {
    switch (cause) {
    case PINERY_CAUSE_blackout:
        return pinery_control_because(cause, screen->dark_from, NAN);
    case PINERY_CAUSE_night:
        return pinery_control_because(cause, screen->close_below_light, screen->close_below_outside);
    case PINERY_CAUSE_cold_day:
        return pinery_control_because(cause, screen->day_light, screen->day_outside);
    default:
        return pinery_control_because(cause, screen->shade_above_light, NAN);
    }
}

/* Why it is opened: what ended the rule that asked last. */
static struct pinery_control_why opened(const pinery_screen *screen, pinery_cause asked, const pinery_seen *seen) {
    if (asked == PINERY_CAUSE_blackout) {
        return pinery_control_because(PINERY_CAUSE_blackout_over, screen->dark_until, NAN);
    }
    if (asked == PINERY_CAUSE_shade) {
        return pinery_control_because(PINERY_CAUSE_weak_sun, screen->shade_above_light - screen->light_band, NAN);
    }
    bool night = asked == PINERY_CAUSE_night;
    double light = (night ? screen->close_below_light : screen->day_light) + screen->light_band;
    double outside = (night ? screen->close_below_outside : screen->day_outside) + screen->outside_band;
    return seen->reading[PINERY_READING_outside_global] > light
               ? pinery_control_because(PINERY_CAUSE_light, light, NAN)
               : pinery_control_because(PINERY_CAUSE_warmth, outside, NAN);
}

/* Sent there by the rule that asks for it, or because none does any more. */
static void move(const pinery_screen *screen, struct pinery_control_screen *is, double cloth, bool wanted,
                 const pinery_seen *seen) {
    is->cloth = cloth;
    is->moved_s = seen->time_s;
    is->why = is->snow  ? pinery_control_because(PINERY_CAUSE_snow, 0.0, NAN)
              : !wanted ? opened(screen, is->asked, seen)
                        : drawn(screen, is->asked);
}

/* One interval of a drive in use; `position` is where its cloth really is. */
static void drive(const pinery_screen *screen, struct pinery_control_screen *is, const pinery_seen *seen,
                  double position) {
    double now_s = seen->time_s;
    bool dark_before = is->dark;
    update(screen, is, seen);
    bool wanted = !is->snow && (is->dark || is->night || is->day || is->shade);
    int which = (is->dark || is->night ? screen->night_cloth : screen->day_cloth) - 1;
    bool at_once = is->snow || is->dark != dark_before;
    bool paused = !at_once && !pinery_control_waited(now_s, is->moved_s, screen->pause);
    is->asked = wanted ? asking(is) : is->asked;

    if (is->snow) {
        is->exchanging = false;
        if (is->cloth > 0.0) {
            move(screen, is, 0.0, wanted, seen);
        }
    } else if (wanted && which != is->which) {
        if (is->cloth > 0.0) {
            if (!paused) {
                move(screen, is, 0.0, wanted, seen);
                is->why.cause = PINERY_CAUSE_exchange;
                is->exchanging = true;
            }
        } else if (position <= 0.01 && (is->exchanging || !paused)) {
            is->which = which;
            is->exchanging = false;
            move(screen, is, screen->drawn, wanted, seen);
        }
    } else if (wanted) {
        if (is->cloth != screen->drawn && (is->exchanging || !paused)) {
            move(screen, is, screen->drawn, wanted, seen);
        }
        is->exchanging = false;
    } else if (is->cloth > 0.0) {
        bool opening = is->cloth < screen->drawn;
        if (opening ? pinery_control_waited(now_s, is->moved_s, screen->open_wait) : !paused) {
            double left = is->cloth - screen->open_step;
            move(screen, is, left < 1e-6 ? 0.0 : left, wanted, seen);
        }
    } else {
        is->exchanging = false;
    }
}

static pinery_law slit(const pinery_screen *screen, const struct pinery_control_screen *is, double ventilation) {
    pinery_law law = {.high = 1.0};
    if (is->cloth <= 0.0) {
        return law;
    }
    if (screen->slit_humidity_max > 0.0 && is->slit_warm) {
        law.by_humidity = screen->slit_humidity_max;
        law.humidity_start = 0.01 * screen->slit_humidity_start;
        law.humidity_full = 0.01 * screen->slit_humidity_full;
    }
    if (screen->slit_temperature_max > 0.0) {
        law.by_temperature = screen->slit_temperature_max;
        law.temperature_start = ventilation + screen->slit_temperature_start;
        law.temperature_full = ventilation + screen->slit_temperature_full;
    }
    return law;
}

void pinery_control_screens(const pinery_strategy *strategy, struct pinery_control_memory *memory,
                            const pinery_seen *seen, pinery_orders *orders) {
    for (int i = 0; i < PINERY_DRIVES; i++) {
        const pinery_screen *screen = &strategy->screen[i];
        struct pinery_control_screen *is = &memory->screen[i];
        if (screen->use) {
            drive(screen, is, seen, seen->reading[PINERY_READING_cloth_1 + i]);
        }
        orders->cloth[i] = is->cloth;
        orders->which[i] = is->which;
        orders->slit[i] = slit(screen, is, orders->ventilation);
        bool cold = screen->slit_humidity_max > 0.0 && !is->slit_warm;
        memory->why[PINERY_ACTUATOR_cloth_1 + i] = is->why;
        memory->why[PINERY_ACTUATOR_slit_1 + i] =
            is->cloth <= 0.0 ? pinery_control_because(PINERY_CAUSE_parked, NAN, NAN)
            : cold           ? pinery_control_because(PINERY_CAUSE_too_cold_outside, screen->slit_least_outside, NAN)
                             : pinery_control_because(PINERY_CAUSE_no_need, NAN, NAN);
    }
}
