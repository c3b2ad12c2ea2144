/* Text files as lines, lines as fields, fields as numbers. */
#include "base/text.h"

#include <errno.h>
#include <limits.h>
#include <locale.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/error.h"

/* Where the line that starts at `start` ends, and in *next where the following one starts. */
static char *end_of_line(char *start, char *end, char **next) {
    char *c = start;
    while (c < end && *c != '\n' && *c != '\r') {
        c++;
    }
    *next = c;
    if (c == end) {
        return c;
    }
    char *d = c;
    while (d < end && *d == '\r') {
        d++;
    }
    /* \r\n and \r\r\n are one line end; \r alone is one by itself. */
    *next = *c == '\n' ? c + 1 : d < end && *d == '\n' && d - c <= 2 ? d + 1 : c + 1;
    return c;
}

/* Take over `data` of `size` bytes with room for one more. */
static pinery_status into_lines(const char *name, char *data, size_t size, struct pinery_base_text *text,
                                pinery_error *error) {
    *text = (struct pinery_base_text){.data = data, .size = size};
    data[size] = '\0';
    const unsigned char *byte = (const unsigned char *)data;
    if (size >= 2 && ((byte[0] == 0xFF && byte[1] == 0xFE) || (byte[0] == 0xFE && byte[1] == 0xFF))) {
        return pinery_base_fail(error, PINERY_BAD_FILE, "%s: line 1: text in UTF-16, expected UTF-8 or ASCII", name);
    }
    char *start = data, *end = data + size, *next;
    if (size >= 3 && byte[0] == 0xEF && byte[1] == 0xBB && byte[2] == 0xBF) {
        start += 3;
    }
    size_t n = 0;
    for (char *c = start; c < end; c = next) {
        end_of_line(c, end, &next);
        n++;
    }
    text->line = malloc((n + 1) * sizeof *text->line);
    if (text->line == NULL) {
        return pinery_base_fail(error, PINERY_MEMORY, "%s: no memory for %zu lines", name, n);
    }
    for (char *c = start; c < end; c = next) {
        char *stop = end_of_line(c, end, &next);
        if (memchr(c, '\0', (size_t)(stop - c)) != NULL) {
            return pinery_base_fail(error, PINERY_BAD_FILE, "%s: line %d: has a zero byte, expected a text file", name,
                                    text->n + 1);
        }
        *stop = '\0';
        text->line[text->n++] = c;
    }
    text->line[text->n] = NULL;
    return PINERY_OK;
}

static pinery_status read_all(const char *path, FILE *file, char **data, size_t *size, pinery_error *error) {
    const size_t most = (size_t)1 << 30;
    size_t room = 1 << 20;
    *data = NULL;
    *size = 0;
    for (;;) {
        char *larger = realloc(*data, room + 1);
        if (larger == NULL) {
            return pinery_base_fail(error, PINERY_MEMORY, "%s: no memory for the file", path);
        }
        *data = larger;
        *size += fread(*data + *size, 1, room - *size, file);
        if (ferror(file)) {
            return pinery_base_fail(error, PINERY_IO, "%s: cannot be read: %s", path, strerror(errno));
        }
        if (*size < room) {
            return PINERY_OK;
        }
        if (room >= most) {
            return pinery_base_fail(error, PINERY_BAD_FILE, "%s: larger than 1 GB", path);
        }
        room *= 2;
    }
}

pinery_status pinery_base_text_read(const char *path, struct pinery_base_text *text, pinery_error *error) {
    *text = (struct pinery_base_text){0};
    FILE *file = fopen(path, "rb");
    if (file == NULL) {
        return pinery_base_fail(error, PINERY_IO, "%s: cannot be opened: %s", path, strerror(errno));
    }
    char *data;
    size_t size;
    pinery_status status = read_all(path, file, &data, &size, error);
    fclose(file);
    if (status != PINERY_OK) {
        free(data);
        return status;
    }
    status = into_lines(path, data, size, text, error);
    if (status != PINERY_OK) {
        pinery_base_text_free(text);
    }
    return status;
}

pinery_status pinery_base_text_copy(const char *name, const char *bytes, size_t size, struct pinery_base_text *text,
                                    pinery_error *error) {
    *text = (struct pinery_base_text){0};
    char *data = malloc(size + 1);
    if (data == NULL) {
        return pinery_base_fail(error, PINERY_MEMORY, "%s: no memory for %zu bytes", name, size);
    }
    if (size > 0) {
        memcpy(data, bytes, size);
    }
    pinery_status status = into_lines(name, data, size, text, error);
    if (status != PINERY_OK) {
        pinery_base_text_free(text);
    }
    return status;
}

void pinery_base_text_free(struct pinery_base_text *text) {
    free(text->line);
    free(text->data);
    *text = (struct pinery_base_text){0};
}

static bool blank(char c) {
    return c == ' ' || c == '\t';
}

char *pinery_base_trim(char *text) {
    while (blank(*text)) {
        text++;
    }
    size_t n = strlen(text);
    while (n > 0 && blank(text[n - 1])) {
        n--;
    }
    text[n] = '\0';
    return text;
}

/* The quoted field that starts after the quote at `c`: unpacked in place; gives where it ended, or NULL. */
static char *unquote(char *c) {
    char *write = c;
    for (;;) {
        if (*c == '\0') {
            return NULL;
        }
        if (*c == '"') {
            if (c[1] != '"') {
                *write = '\0';
                return c + 1;
            }
            c++;
        }
        *write++ = *c++;
    }
}

int pinery_base_split(char *line, char separator, char **field, int most) {
    int n = 0;
    for (char *c = line;; n++) {
        while (blank(*c) && *c != separator) {
            c++;
        }
        char *start = c;
        bool quoted = *c == '"';
        if (quoted) {
            start = c + 1;
            c = unquote(c + 1);
            if (c == NULL) {
                return -1;
            }
        }
        while (*c != '\0' && *c != separator) {
            c++;
        }
        bool last = *c == '\0';
        *c = '\0';
        if (n < most) {
            field[n] = quoted ? start : pinery_base_trim(start);
        }
        if (last) {
            return n + 1;
        }
        c++;
    }
}

/* A number cut into the digits and power of ten it is made of. */
struct digits {
    bool negative;
    uint64_t whole; /* the first 19 digits */
    int power;
    bool cut; /* more digits than that were given */
};

/* Cut `text` up; gives where the number ended, or NULL when there is none. */
static const char *scan(const char *text, char mark, struct digits *d) {
    *d = (struct digits){0};
    const char *c = text;
    if (*c == '+' || *c == '-') {
        d->negative = *c == '-';
        c++;
    }
    int seen = 0, used = 0;
    bool fraction = false;
    for (;; c++) {
        if (*c == mark && !fraction) {
            fraction = true;
            continue;
        }
        if (*c < '0' || *c > '9') {
            break;
        }
        seen++;
        if (used < 19) {
            d->whole = d->whole * 10 + (uint64_t)(*c - '0');
            used += d->whole > 0;
            d->power -= fraction;
        } else {
            d->cut = d->cut || *c != '0';
            d->power += !fraction;
        }
    }
    if (seen == 0) {
        return NULL;
    }
    if (*c == 'e' || *c == 'E') {
        c++;
        int sign = *c == '-' ? -1 : 1;
        if (*c == '+' || *c == '-') {
            c++;
        }
        if (*c < '0' || *c > '9') {
            return NULL;
        }
        int exponent = 0;
        for (; *c >= '0' && *c <= '9'; c++) {
            exponent = exponent < 100000 ? exponent * 10 + (*c - '0') : exponent;
        }
        d->power += sign * exponent;
    }
    return c;
}

/* The C library rounds what exact arithmetic cannot; it wants the locale's decimal mark. */
static bool by_library(const char *text, size_t length, char mark, double *value) {
    char copy[512];
    const char *local = localeconv()->decimal_point;
    size_t used = 0;
    for (size_t i = 0; i < length; i++) {
        size_t wanted = text[i] == mark ? strlen(local) : 1;
        if (used + wanted >= sizeof copy) {
            return false;
        }
        memcpy(copy + used, text[i] == mark ? local : &text[i], wanted);
        used += wanted;
    }
    copy[used] = '\0';
    double read = strtod(copy, NULL);
    if (!isfinite(read)) {
        return false;
    }
    *value = read;
    return true;
}

static bool number(const char *text, char mark, double *value) {
    static const double ten[] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8,  1e9,  1e10, 1e11,
                                 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};
    while (blank(*text)) {
        text++;
    }
    struct digits d;
    const char *end = scan(text, mark, &d);
    if (end == NULL) {
        return false;
    }
    size_t length = (size_t)(end - text);
    while (blank(*end)) {
        end++;
    }
    if (*end != '\0') {
        return false;
    }
    /* Both factors exact, so one rounding: the nearest double. */
    if (!d.cut && d.whole <= (uint64_t)1 << 53 && d.power >= -22 && d.power <= 22) {
        double size = d.power < 0 ? (double)d.whole / ten[-d.power] : (double)d.whole * ten[d.power];
        *value = d.negative ? -size : size;
        return true;
    }
    return by_library(text, length, mark, value);
}

bool pinery_base_number(const char *text, double *value) {
    return number(text, '.', value);
}

bool pinery_base_number_comma(const char *text, double *value) {
    return number(text, ',', value);
}

bool pinery_base_whole(const char *text, int *value) {
    double read;
    if (!pinery_base_number(text, &read) || read != floor(read) || read < INT_MIN || read > INT_MAX) {
        return false;
    }
    *value = (int)read;
    return true;
}

static char lower(char c) {
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

bool pinery_base_same_word(const char *a, const char *b) {
    while (*a != '\0' && lower(*a) == lower(*b)) {
        a++;
        b++;
    }
    return *a == '\0' && *b == '\0';
}
