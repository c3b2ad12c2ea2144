/* Filling a pinery_error from inside the library. */
#ifndef PINERY_BASE_ERROR_H
#define PINERY_BASE_ERROR_H

#include "pinery/error.h"

/* Fill `error` (NULL: the text is not wanted) and give `status` back, so that a caller can write
 * return pinery_base_fail(error, PINERY_BAD_INPUT, "...", ...); a text too long ends in "...". */
pinery_status pinery_base_fail(pinery_error *error, pinery_status status, const char *format, ...) PINERY_FORMAT(3, 4);

/* Say that all is well. */
pinery_status pinery_base_ok(pinery_error *error);

#endif
