/* Keeping the ledger: create it, hand it a tick at the start of the run and after every control interval, finish it. */
#ifndef PINERY_LEDGER_LEDGER_H
#define PINERY_LEDGER_LEDGER_H

#include "pinery/ledger.h"

#define PINERY_LEDGER_DRIVES 3

struct pinery_ledger_setup {
    double start_s;    /* of the run, since 1 January 00:00 of its first year */
    double interval_s; /* control interval */
    long intervals;    /* how many there will be at most */
    bool leap;         /* the year has 366 days; the years after it are taken to be as long */
    bool keep_hours;   /* needs an interval that divides the hour */
    bool has_drive[PINERY_LEDGER_DRIVES];
    bool has_lamp;               /* the first group */
    bool has_fan_through;        /* absent things have NaN for their hours */
    bool has_sources;            /* of heat besides the boiler */
    double heating_value;        /* of the gas, J/m3, on the boiler's basis */
    bool gross;                  /* that basis */
    double most_gas, most_power; /* of the contract, W/m2; 0: no limit */
};

pinery_status pinery_ledger_create(const struct pinery_ledger_setup *setup, pinery_ledger **out, pinery_error *error);
void pinery_ledger_free(pinery_ledger *ledger); /* NULL is fine */

/* The first tick is the state at start_s; the totals of later ones are counted from it. Ticks need not be evenly
 * spaced; one beyond setup.intervals is still counted, but not in the hourly series. */
void pinery_ledger_tick(pinery_ledger *ledger, const pinery_tick *tick);

/* The same in two: where the next tick is to be put, all of it, and taking it. The one before stays where it is until
 * then. */
pinery_tick *pinery_ledger_next(pinery_ledger *ledger);
void pinery_ledger_take(pinery_ledger *ledger);

/* Close the open month, then the results can be asked for. A run that broke off is finished too. */
void pinery_ledger_finish(pinery_ledger *ledger);

#endif
