/* Field lists as data: defaults, range checks and setting by name. */
#include "base/field.h"

#include <ctype.h>
#include <limits.h>
#include <stdio.h>
#include <string.h>

#include "base/error.h"

/* --- lists of names --- */

int pinery_base_choice_count(const char *choices) {
    if (choices[0] == '\0') {
        return 0;
    }
    int n = 1;
    for (const char *c = choices; *c != '\0'; c++) {
        n += *c == '|';
    }
    return n;
}

int pinery_base_choice_index(const char *choices, const char *name) {
    size_t length = strlen(name);
    int i = 0;
    for (const char *c = choices; *c != '\0'; i++) {
        size_t span = strcspn(c, "|");
        if (span == length && strncmp(c, name, span) == 0) {
            return i;
        }
        c += span + (c[span] == '|');
    }
    return -1;
}

bool pinery_base_choice_name(const char *choices, int i, pinery_text name) {
    const char *c = choices;
    for (; i > 0 && *c != '\0'; i--) {
        c += strcspn(c, "|");
        c += *c == '|';
    }
    size_t span = strcspn(c, "|");
    if (i != 0 || span == 0 || span >= PINERY_TEXT_SIZE) {
        return false;
    }
    memcpy(name, c, span);
    name[span] = '\0';
    return true;
}

static int smaller(int a, int b) {
    return a < b ? a : b;
}

int pinery_base_letters_apart(const char *a, const char *b, int limit) {
    enum { LONGEST = 63 };
    size_t n = strlen(b);
    if (n > LONGEST || strlen(a) > LONGEST) {
        return limit;
    }
    int row[LONGEST + 1];
    for (size_t j = 0; j <= n; j++) {
        row[j] = (int)j;
    }
    for (int i = 1; a[i - 1] != '\0'; i++) {
        int diagonal = row[0];
        row[0] = i;
        for (size_t j = 1; j <= n; j++) {
            int differ = tolower((unsigned char)a[i - 1]) != tolower((unsigned char)b[j - 1]);
            int best = smaller(smaller(row[j], row[j - 1]) + 1, diagonal + differ);
            diagonal = row[j];
            row[j] = best;
        }
    }
    return smaller(row[n], limit);
}

bool pinery_base_nearer(const char *name, const char *candidate, int *best) {
    int allowed = 1 + (int)strlen(name) / 4;
    int apart = pinery_base_letters_apart(name, candidate, allowed + 1);
    if (apart > allowed || apart >= *best) {
        return false;
    }
    *best = apart;
    return true;
}

/* --- texts of errors --- */

/* "wall.lua:12: cloth: " from `where` "wall.lua:12" and title "cloth"; `where` may end in ": " already or be NULL. */
static void prefix(char *text, size_t size, const char *where, const char *title) {
    size_t n = where == NULL ? 0 : strlen(where);
    while (n > 0 && (where[n - 1] == ' ' || where[n - 1] == ':')) {
        n--;
    }
    snprintf(text, size, "%.*s%s%s", n > INT_MAX ? 0 : (int)n, where == NULL ? "" : where, n > 0 ? ": " : "", title);
}

static const char *gap(const pinery_field *field) {
    return field->unit[0] != '\0' ? " " : "";
}

static void list_choices(const char *choices, char *text, size_t size) {
    size_t used = 0;
    text[0] = '\0';
    for (const char *c = choices; *c != '\0' && used + 3 < size; c++) {
        if (*c == '|') {
            text[used++] = ',';
            text[used++] = ' ';
        } else {
            text[used++] = *c;
        }
        text[used] = '\0';
    }
}

static pinery_status unknown(const pinery_fields *fields, const char *name, const char *where, pinery_error *error) {
    char at[256], known[768] = "", nearest[96] = "";
    prefix(at, sizeof at, where, fields->title);
    int best = INT_MAX;
    size_t used = 0;
    for (int i = 0; i < fields->n; i++) {
        const char *candidate = fields->field[i].name;
        if (pinery_base_nearer(name, candidate, &best)) {
            snprintf(nearest, sizeof nearest, " (did you mean %s?)", candidate);
        }
        if (used < sizeof known) {
            int length = snprintf(known + used, sizeof known - used, "%s%s", i > 0 ? ", " : "", candidate);
            used += length > 0 ? (size_t)length : 0;
        }
    }
    return pinery_base_fail(error, PINERY_BAD_INPUT, "%s: unknown field %.64s%s; known are %s", at, name, nearest,
                            known);
}

/* Whether `value` is what a field of numbers accepts; the text is filled otherwise. */
static pinery_status check_number(const pinery_fields *fields, const pinery_field *field, double value,
                                  const char *where, pinery_error *error) {
    bool optional = field->kind == PINERY_REAL && strncmp(field->doc, "(optional)", 10) == 0;
    if (optional && isnan(value)) {
        return PINERY_OK;
    }
    char at[256];
    if (!(isfinite(value) && value >= field->min && value <= field->max)) {
        prefix(at, sizeof at, where, fields->title);
        if (field->kind == PINERY_CHOICE) {
            char choices[512];
            list_choices(field->choices, choices, sizeof choices);
            return pinery_base_fail(error, PINERY_BAD_INPUT, "%s: %s = %.10g is not the index of one of %s", at,
                                    field->name, value, choices);
        }
        return pinery_base_fail(error, PINERY_BAD_INPUT, "%s: %s = %.10g%s%s is outside %.10g .. %.10g%s%s", at,
                                field->name, value, gap(field), field->unit, field->min, field->max, gap(field),
                                field->unit);
    }
    /* Beyond 2^31 an int cannot hold it, whatever the list's range says. */
    if (field->kind != PINERY_REAL && !(value == floor(value) && value >= INT_MIN && value <= INT_MAX)) {
        prefix(at, sizeof at, where, fields->title);
        return pinery_base_fail(error, PINERY_BAD_INPUT, "%s: %s = %.10g%s%s is not a whole number in %.10g .. %.10g",
                                at, field->name, value, gap(field), field->unit, field->min, field->max);
    }
    return PINERY_OK;
}

static pinery_status check_text(const pinery_fields *fields, const pinery_field *field, const char *text, size_t room,
                                const char *where, pinery_error *error) {
    if (memchr(text, '\0', room) == NULL) {
        char at[256];
        prefix(at, sizeof at, where, fields->title);
        return pinery_base_fail(error, PINERY_BAD_INPUT, "%s: %s = \"%.40s...\" is longer than %d characters", at,
                                field->name, text, PINERY_TEXT_SIZE - 1);
    }
    return PINERY_OK;
}

/* --- members of a record --- */

static void put_number(const pinery_field *field, void *record, double value) {
    void *member = (char *)record + field->offset;
    switch (field->kind) {
    case PINERY_REAL:
        memcpy(member, &value, sizeof value);
        break;
    case PINERY_INT:
    case PINERY_CHOICE: {
        int whole = (int)value;
        memcpy(member, &whole, sizeof whole);
        break;
    }
    case PINERY_BOOL: {
        bool yes = value != 0.0; /* 0 and 1 only pass the check */
        memcpy(member, &yes, sizeof yes);
        break;
    }
    case PINERY_TEXT:
        break;
    }
}

static void put_text(const pinery_field *field, void *record, const char *text) {
    char *member = (char *)record + field->offset;
    memset(member, 0, PINERY_TEXT_SIZE); /* equal texts make equal structs */
    memcpy(member, text, strlen(text));
}

double pinery_field_number(const pinery_field *field, const void *record) {
    const void *member = (const char *)record + field->offset;
    double value = NAN;
    int whole;
    unsigned char byte;
    switch (field->kind) {
    case PINERY_REAL:
        memcpy(&value, member, sizeof value);
        break;
    case PINERY_INT:
    case PINERY_CHOICE:
        memcpy(&whole, member, sizeof whole);
        value = whole;
        break;
    case PINERY_BOOL:
        memcpy(&byte, member, sizeof byte); /* a byte that is neither 0 nor 1 must fail its check, not be undefined */
        value = byte;
        break;
    case PINERY_TEXT:
        break;
    }
    return value;
}

void pinery_fields_default(const pinery_fields *fields, void *record) {
    memset(record, 0, fields->size);
    for (int i = 0; i < fields->n; i++) {
        put_number(&fields->field[i], record, fields->field[i].def);
    }
}

pinery_status pinery_fields_check(const pinery_fields *fields, const void *record, const char *where,
                                  pinery_error *error) {
    for (int i = 0; i < fields->n; i++) {
        const pinery_field *field = &fields->field[i];
        const char *text = (const char *)record + field->offset;
        pinery_status status = field->kind == PINERY_TEXT
                                   ? check_text(fields, field, text, PINERY_TEXT_SIZE, where, error)
                                   : check_number(fields, field, pinery_field_number(field, record), where, error);
        if (status != PINERY_OK) {
            return status;
        }
    }
    return PINERY_OK;
}

const pinery_field *pinery_fields_find(const pinery_fields *fields, const char *name) {
    for (int i = 0; i < fields->n; i++) {
        if (strcmp(fields->field[i].name, name) == 0) {
            return &fields->field[i];
        }
    }
    return NULL;
}

pinery_status pinery_fields_set_number(const pinery_fields *fields, void *record, const char *name, double value,
                                       const char *where, pinery_error *error) {
    const pinery_field *field = pinery_fields_find(fields, name);
    if (field == NULL) {
        return unknown(fields, name, where, error);
    }
    if (field->kind == PINERY_TEXT) {
        char at[256];
        prefix(at, sizeof at, where, fields->title);
        return pinery_base_fail(error, PINERY_BAD_INPUT, "%s: %s = %.10g is a number, expected a text", at, name,
                                value);
    }
    pinery_status status = check_number(fields, field, value, where, error);
    if (status == PINERY_OK) {
        put_number(field, record, value);
    }
    return status;
}

static pinery_status not_a_text(const pinery_fields *fields, const pinery_field *field, const char *value,
                                const char *where, pinery_error *error) {
    char at[256];
    prefix(at, sizeof at, where, fields->title);
    if (field->kind == PINERY_BOOL) {
        return pinery_base_fail(error, PINERY_BAD_INPUT, "%s: %s = \"%.64s\" is a text, expected true or false", at,
                                field->name, value);
    }
    return pinery_base_fail(error, PINERY_BAD_INPUT,
                            "%s: %s = \"%.64s\" is a text, expected a number in %.10g .. %.10g%s%s", at, field->name,
                            value, field->min, field->max, gap(field), field->unit);
}

pinery_status pinery_fields_set_text(const pinery_fields *fields, void *record, const char *name, const char *value,
                                     const char *where, pinery_error *error) {
    const pinery_field *field = pinery_fields_find(fields, name);
    if (field == NULL) {
        return unknown(fields, name, where, error);
    }
    if (field->kind == PINERY_TEXT) {
        size_t length = strlen(value);
        pinery_status status =
            check_text(fields, field, value, length < PINERY_TEXT_SIZE ? length + 1 : PINERY_TEXT_SIZE, where, error);
        if (status == PINERY_OK) {
            put_text(field, record, value);
        }
        return status;
    }
    if (field->kind != PINERY_CHOICE) {
        return not_a_text(fields, field, value, where, error);
    }
    int index = pinery_base_choice_index(field->choices, value);
    if (index >= 0) {
        put_number(field, record, index);
        return PINERY_OK;
    }
    char at[256], choices[512], candidate[PINERY_TEXT_SIZE], nearest[96] = "";
    prefix(at, sizeof at, where, fields->title);
    list_choices(field->choices, choices, sizeof choices);
    int best = INT_MAX;
    for (int i = 0; pinery_base_choice_name(field->choices, i, candidate); i++) {
        if (pinery_base_nearer(value, candidate, &best)) {
            snprintf(nearest, sizeof nearest, " (did you mean %s?)", candidate);
        }
    }
    return pinery_base_fail(error, PINERY_BAD_INPUT, "%s: %s = \"%.64s\" is not one of %s%s", at, name, value, choices,
                            nearest);
}
