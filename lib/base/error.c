/* Status codes and their texts, from the one list in pinery/error.h. */
#include "base/error.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

const char *pinery_status_meaning(pinery_status status) {
    switch (status) {
#define X(code, meaning) \
    case PINERY_##code:  \
        return meaning;
        PINERY_STATUSES(X)
#undef X
    }
    return "unknown status";
}

pinery_status pinery_base_fail(pinery_error *error, pinery_status status, const char *format, ...) {
    if (error == NULL) {
        return status;
    }
    error->status = status;
    va_list arguments;
    va_start(arguments, format);
    int length = vsnprintf(error->text, sizeof error->text, format, arguments);
    va_end(arguments);
    if (length < 0) {
        snprintf(error->text, sizeof error->text, "%s", pinery_status_meaning(status));
    } else if ((size_t)length >= sizeof error->text) {
        memcpy(error->text + sizeof error->text - 4, "...", 4);
    }
    return status;
}

pinery_status pinery_base_ok(pinery_error *error) {
    if (error != NULL) {
        error->status = PINERY_OK;
        error->text[0] = '\0';
    }
    return PINERY_OK;
}
