/* From a strategy and what is seen to orders, once every control interval.
 *
 * Knows no physics and no equipment. An order keeps its value to the last bit until a rule changes it, because the
 * integration restarts when an order changes: whatever follows the weather gradually moves in steps. */
#ifndef PINERY_CONTROL_ORDERS_H
#define PINERY_CONTROL_ORDERS_H

#include "pinery/causes.h"
#include "pinery/seen.h"
#include "pinery/strategy.h"

/* Why an order is as it is, and the thresholds that counted. */
struct pinery_control_why {
    pinery_cause cause;
    double limit[2]; /* NaN: none */
};

/* A rule that is on or off, and when that last changed. */
struct pinery_control_screen {
    bool night, day, shade; /* which rules want the cloth drawn */
    bool snow, dark;        /* snow falls; blackout hours */
    bool slit_warm;         /* warm enough outside for a humidity slit */
    bool exchanging;        /* parked so that the other cloth of the drive can be drawn */
    int which;              /* cloth in use, 0 or 1 */
    double cloth;           /* share drawn that was ordered */
    double moved_s;         /* time of the last move ordered; -infinity: none yet */
    double snow_s;          /* last time snow was falling */
    pinery_cause asked;     /* which rule asked last */
    struct pinery_control_why why;
};

struct pinery_control_lighting {
    bool lit;
    bool bright, warm; /* the sun, the heat of the house forbids it */
    double switched_s; /* time of the last switching; -infinity: none yet */
    double turned_s;   /* since when the sun says otherwise than `bright`; infinity: it does not */
    pinery_cause off;  /* which rule keeps it off */
};

struct pinery_control_vents {
    bool storm, rain, frost;
    double rain_s;    /* last time rain was falling */
    double lee, wind; /* widest openings lately */
};

struct pinery_control_supply {
    bool running, full; /* the engine; the tank */
    bool cold;          /* too cold for the heat pump */
    double switched_s;  /* start or stop of the engine; -infinity: none yet */
};

struct pinery_control_dosing {
    bool light, open, full; /* enough light; vents open; tank full */
};

/* What the rules remember from one interval to the next. */
struct pinery_control_memory {
    bool started;
    double time_s;               /* of the last call */
    double raise;                /* K, of the set-points by light, in steps */
    double heating, ventilation; /* degC, on their way to the present period's */
    double pipe_least;           /* degC, in steps */
    struct pinery_control_screen screen[PINERY_DRIVES];
    struct pinery_control_lighting lighting[PINERY_LAMPS];
    struct pinery_control_vents vents;
    int period;                                          /* at work, from 1; 0: none yet */
    struct pinery_control_why why[PINERY_N_ACTUATORS];   /* of a fixed order its last move, of a law its least */
    struct pinery_control_why limit[PINERY_N_ACTUATORS]; /* of a law its `high` */
    struct pinery_control_supply supply;
    struct pinery_control_dosing dosing;
    bool vented[PINERY_DRYERS]; /* the vents are open too wide for it */
};

/* Forget everything; the first orders then jump to where the strategy wants to be. */
void pinery_control_start(const pinery_strategy *strategy, struct pinery_control_memory *memory);

/* The orders for the interval that begins now. The strategy must have passed pinery_strategy_check. Every byte of
 * *orders is set, so two orders can be compared with memcmp. */
void pinery_control_orders(const pinery_strategy *strategy, struct pinery_control_memory *memory,
                           const pinery_seen *seen, pinery_orders *orders);

/* The value of a fixed order, or what a law asks where the air seen is. */
double pinery_control_ordered(const pinery_orders *orders, pinery_actuator actuator, const pinery_seen *seen);

/* The law of an actuator, or NULL when its order is fixed. */
const pinery_law *pinery_control_law_of(const pinery_orders *orders, pinery_actuator actuator);

/* Whether orders make sense: numbers, in their ranges. The error names the order and its value. */
pinery_status pinery_control_orders_check(const pinery_orders *orders, pinery_error *error);

/* The position a law asks at this temperature and relative humidity, 0 .. 1, with its slopes; smooth. */
double pinery_control_law(const pinery_law *law, double T_degC, double humidity_0_1, double *slope_T, double *slope_H);

#endif
