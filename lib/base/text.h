/* Text files as lines, lines as fields, fields as numbers. */
#ifndef PINERY_BASE_TEXT_H
#define PINERY_BASE_TEXT_H

#include <stdbool.h>
#include <stddef.h>

#include "pinery/error.h"

/* A file in memory. Line i (from 0) is line i + 1 of the file, without its line end, and may be changed in place. */
struct pinery_base_text {
    char *data;
    size_t size;
    char **line;
    int n;
};

/* Read a whole file: line ends \n, \r\n, \r\r\n (left by some spreadsheets) or \r, also mixed; a byte order mark is
 * dropped. Refused: what is not text (a zero byte, UTF-16), and files above 1 GB. */
pinery_status pinery_base_text_read(const char *path, struct pinery_base_text *text, pinery_error *error);

/* The same from `size` bytes in memory, which are copied; `name` stands for the path in errors. */
pinery_status pinery_base_text_copy(const char *name, const char *bytes, size_t size, struct pinery_base_text *text,
                                    pinery_error *error);

void pinery_base_text_free(struct pinery_base_text *text);

/* Cut `line` at `separator` in place. Fields are trimmed; a field in double quotes keeps what is inside ("" is one
 * quote). Gives the number of fields in the line, of which the first `most` are in field[]; -1 when a quote is left
 * open. */
int pinery_base_split(char *line, char separator, char **field, int most);

/* Read a decimal number that fills the whole text (blanks around it are fine), whatever the locale. False, and *value
 * left alone, for anything else: empty, trailing junk, nan, inf, hex, overflow. */
bool pinery_base_number(const char *text, double *value);

/* The same with ',' as the decimal mark; '.' is then refused. */
bool pinery_base_number_comma(const char *text, double *value);

/* A whole number in the range of int. */
bool pinery_base_whole(const char *text, int *value);

/* Move `*text` past blanks and cut trailing ones. */
char *pinery_base_trim(char *text);

/* Whether a and b are equal but for case (letters a to z). */
bool pinery_base_same_word(const char *a, const char *b);

#endif
