/* Where every unknown of a house stands in the vector that is integrated. */
#ifndef PINERY_YEAR_LAYOUT_H
#define PINERY_YEAR_LAYOUT_H

#include "year/model.h"

void pinery_year_layout_make(const struct pinery_year_model *model, struct pinery_year_layout *at);
const char *pinery_year_node_name(int node);

#endif
