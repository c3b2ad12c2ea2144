/* Errors: one status code and one text that says where, what and what was expected.
 *
 * Every function that can fail returns a pinery_status and takes a pinery_error to fill (NULL: the text is not wanted).
 * The library never prints, exits or aborts. */
#ifndef PINERY_ERROR_H
#define PINERY_ERROR_H

#if defined(__GNUC__)
#define PINERY_API __attribute__((visibility("default")))
#define PINERY_FORMAT(a, b) __attribute__((format(printf, a, b)))
#else
#define PINERY_API
#define PINERY_FORMAT(a, b)
#endif

#ifdef __cplusplus
extern "C" {
#endif

/* X(code, what it means) */
#define PINERY_STATUSES(X)                                         \
    X(OK, "no error")                                              \
    X(BAD_INPUT, "a number, name or unit given is not acceptable") \
    X(BAD_FILE, "a file cannot be read as what it claims to be")   \
    X(IO, "a file cannot be opened, read or written")              \
    X(MEMORY, "memory ran out")                                    \
    X(SOLVER, "the integration failed")                            \
    X(RANGE, "a time outside the weather was asked for")           \
    X(SCRIPT, "a script failed")

typedef enum pinery_status {
#define X(code, meaning) PINERY_##code,
    PINERY_STATUSES(X)
#undef X
} pinery_status;

typedef struct pinery_error {
    pinery_status status;
    char text[1024]; /* empty when status is PINERY_OK */
} pinery_error;

/* The meaning of a status, a constant text. */
PINERY_API const char *pinery_status_meaning(pinery_status status);

#ifdef __cplusplus
}
#endif
#endif
