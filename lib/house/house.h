/* Making a house ready for the year: what was left open is filled in. */
#ifndef PINERY_HOUSE_HOUSE_H
#define PINERY_HOUSE_HOUSE_H

#include "pinery/house.h"

/* Metres between two wire beds, and from the highest to the gutter, when no height is given. */
#define PINERY_HOUSE_DRIVE_STEP 0.3

/* Give every drive without a height its default (gutter height less 0.3 m per drive, counted from the highest) and
 * every cloth without near-infrared values those of PAR; a permeability of 0 becomes a very small one. The year calls
 * it on its own copy after pinery_house_check. */
void pinery_house_resolve(pinery_house *house);

#endif
