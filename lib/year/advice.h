/* What is counted while a strategy is looked at before it is run. */
#ifndef PINERY_YEAR_ADVICE_H
#define PINERY_YEAR_ADVICE_H

#include "pinery/advice.h"

/* Seconds in all, in the present spell, and the sum of the squares of the spells before it. */
struct pinery_year_count {
    double seconds, first_s, spell, squares;
};

enum { PINERY_YEAR_MOST_WARNINGS = PINERY_N_WARNINGS * PINERY_DRIVES };

struct pinery_watch {
    pinery_house house;
    pinery_strategy strategy;
    pinery_options options;                                           /* of the whole run */
    bool scripted, whole_year, has_snow;                              /* has_snow: the weather holds any */
    double from_s, to_s;                                              /* of the whole run */
    double spell_from_s;                                              /* when the present spell has settled */
    double dt, looked_s;                                              /* control interval; time looked at in runs */
    int spells;                                                       /* begun so far */
    struct pinery_year_count count[PINERY_N_WARNINGS][PINERY_DRIVES]; /* by drive, or in the first */
    int n;
    pinery_warning warning[PINERY_YEAR_MOST_WARNINGS];
};

/* The present spell is over. */
void pinery_year_advice_fold(pinery_watch *watch);

/* Write the rule of a warning: the fields that do it, with their values. */
void pinery_year_advice_rule(const pinery_watch *watch, pinery_warning_kind kind, int drive, char *text, size_t size);

#endif
