/* The GNU Scientific Library, which ends the program on an error unless told otherwise. */
#ifndef PINERY_STUDY_GSL_H
#define PINERY_STUDY_GSL_H

#include <gsl/gsl_errno.h>

/* Between these two an error of the library is a value that is returned; whoever uses it as well keeps its handler. */
static inline gsl_error_handler_t *pinery_study_gsl_begin(void) {
    return gsl_set_error_handler_off();
}

static inline void pinery_study_gsl_end(gsl_error_handler_t *before) {
    gsl_set_error_handler(before);
}

#endif
