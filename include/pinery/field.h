/* Field lists: each struct a person fills is described once, and the description makes the struct, its defaults, its
 * range check, the script reader, the reference page and the CSV header.
 *
 * A list is a macro  LIST(X)  of rows  X(kind, name, unit, default, min, max, choices, doc)  where kind is
 *   REAL    double          default, min and max in `unit`
 *   INT     int
 *   BOOL    bool            min 0, max 1
 *   CHOICE  int             index into choices, "a|b|c"; min 0, max the last index
 *   TEXT    char[64]        default is 0 and means the empty text
 * Ranges are closed and written so that NaN fails. A REAL whose doc begins "(optional)" has default NAN (write NAN) and
 * accepts NaN, meaning "not given". The rows become data through PINERY_FIELDS_DEFINE of base/field.h. */
#ifndef PINERY_FIELD_H
#define PINERY_FIELD_H

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

#include "pinery/error.h"

#ifdef __cplusplus
extern "C" {
#endif

#define PINERY_TEXT_SIZE 64

typedef char pinery_text[PINERY_TEXT_SIZE];

typedef enum pinery_kind { PINERY_REAL, PINERY_INT, PINERY_BOOL, PINERY_CHOICE, PINERY_TEXT } pinery_kind;

#define PINERY_TYPE_REAL double
#define PINERY_TYPE_INT int
#define PINERY_TYPE_BOOL bool
#define PINERY_TYPE_CHOICE int
#define PINERY_TYPE_TEXT pinery_text

/* A row of a list as a member of its struct. */
#define PINERY_MEMBER(kind, name, unit, def, min, max, choices, doc) PINERY_TYPE_##kind name;

/* A row of a list as data. */
typedef struct pinery_field {
    pinery_kind kind;
    const char *name;
    const char *unit; /* "" when the number has none */
    double def, min, max;
    const char *choices; /* "a|b|c" for CHOICE, else "" */
    const char *doc;
    size_t offset; /* of the member in its struct */
} pinery_field;

/* A whole list as data. */
typedef struct pinery_fields {
    const char *title; /* what a person calls the struct: "cloth", "house", ... */
    const pinery_field *field;
    int n;
    size_t size; /* of the struct */
} pinery_fields;

/* Fill a struct with the defaults of its list. */
PINERY_API void pinery_fields_default(const pinery_fields *fields, void *record);

/* Check every member against its range; the error names the struct, field, value, unit and range. `where` is put in
 * front of the text: a file and line "wall.lua:12", or "". */
PINERY_API pinery_status pinery_fields_check(const pinery_fields *fields, const void *record, const char *where,
                                             pinery_error *error);

/* The field of that name, or NULL. */
PINERY_API const pinery_field *pinery_fields_find(const pinery_fields *fields, const char *name);

/* Set one number (REAL, INT, BOOL 0/1, CHOICE by index), range checked as above. */
PINERY_API pinery_status pinery_fields_set_number(const pinery_fields *fields, void *record, const char *name,
                                                  double value, const char *where, pinery_error *error);

/* Set a TEXT, or a CHOICE by its name; an unknown choice is an error that lists the known ones. */
PINERY_API pinery_status pinery_fields_set_text(const pinery_fields *fields, void *record, const char *name,
                                                const char *value, const char *where, pinery_error *error);

/* The value of one number (REAL, INT, BOOL, CHOICE index); NaN for TEXT. */
PINERY_API double pinery_field_number(const pinery_field *field, const void *record);

#ifdef __cplusplus
}
#endif
#endif
