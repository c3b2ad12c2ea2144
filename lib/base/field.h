/* Making a field list into data, and the small tools for lists of names. */
#ifndef PINERY_BASE_FIELD_H
#define PINERY_BASE_FIELD_H

#include "pinery/field.h"

/* One row as data. It follows `&((struct x *)0)->`, which PINERY_FIELDS_DEFINE puts before every row, so that the row
 * knows the struct it belongs to; nothing is dereferenced, this is how offsetof is commonly defined. */
/* clang-format off */
#define PINERY_ROW(kind_, name_, unit_, def_, min_, max_, choices_, doc_)                                              \
    name_, .kind = PINERY_##kind_, .name = #name_, .unit = unit_, .def = def_, .min = min_, .max = max_,               \
    .choices = choices_, .doc = doc_},

/* Define the list LIST of `type` as data: PINERY_FIELDS_DEFINE(pinery_cloth_fields, "cloth", struct pinery_cloth, LIST)
 * gives  const pinery_fields pinery_cloth_fields. LIST may be made of smaller lists. */
#define PINERY_FIELDS_DEFINE(variable, title_, type, LIST)                                                             \
    static const pinery_field variable##_rows[] = {LIST({.offset = (size_t)&((type *)0)->PINERY_ROW)};                 \
    const pinery_fields variable = {.title = title_,                                                                   \
                                    .field = variable##_rows,                                                          \
                                    .n = (int)(sizeof variable##_rows / sizeof variable##_rows[0]),                    \
                                    .size = sizeof(type)}
/* clang-format on */

/* How many names "a|b|c" has; 0 for "". */
int pinery_base_choice_count(const char *choices);

/* The place of `name` in "a|b|c", or -1. */
int pinery_base_choice_index(const char *choices, const char *name);

/* Copy name number i of "a|b|c" to `name`; false when there is none. */
bool pinery_base_choice_name(const char *choices, int i, pinery_text name);

/* Letters to insert, delete or replace to get from a to b, at most `limit` (stops counting there), case ignored. */
int pinery_base_letters_apart(const char *a, const char *b, int limit);

/* Whether `candidate` is near enough to `name` to suggest it; pass the best distance so far in *best (start at
 * INT_MAX). */
bool pinery_base_nearer(const char *name, const char *candidate, int *best);

#endif
