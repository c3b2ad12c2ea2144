/* Drawing with gnuplot, which is a program of its own. It reads its script from a nameless temporary file and writes
 * what it draws to another: no shell is involved and no path or name of the caller stands on a command line. */
#ifndef PINERY_REPORT_PLOT_H
#define PINERY_REPORT_PLOT_H

#include <stdbool.h>
#include <stdio.h>

#include "pinery/error.h"

struct pinery_report_plot {
    FILE *script;       /* write gnuplot commands and data here */
    const char *target; /* path of the figure, whose ending says its kind; NULL: in letters */
    FILE *terminal;     /* where it goes instead of the path, or NULL */
    double enlarge;     /* set before plot_begin: pixels of a PNG for one of width and height; 0: 1 */
    bool as_script;     /* the ending is .gnuplot: the script itself is the figure */
};

/* Colours that stay apart for people who see colours differently; our own choice by lightness and hue. Use by name. */
#define PINERY_INK "#1d1d2b"
#define PINERY_BLUE "#1f5fa8"
#define PINERY_SKY "#6fb7e0"
#define PINERY_ORANGE "#e07b1a"
#define PINERY_RED "#a8243c"
#define PINERY_GREEN "#2f7d5b"
#define PINERY_GOLD "#d9b31c"
#define PINERY_GREY "#8a8d95"

/* Begin a figure of that size in pixels, 96 to the inch in a PDF, drawn in letters when `target` is NULL; `lines` is
 * its height then. The drawing goes to `terminal` where one is given, else to `target`, which ends in .svg, .png, .pdf,
 * or .gnuplot for the script itself. The script already sets terminal, fonts and our styles. */
pinery_status pinery_report_plot_begin(struct pinery_report_plot *plot, int width, int height, int lines,
                                       const char *target, FILE *terminal, pinery_error *error);

/* Run gnuplot and pass the drawing on; on failure the error holds what gnuplot said. The script is
 * gone in either case. */
pinery_status pinery_report_plot_end(struct pinery_report_plot *plot, pinery_error *error);

/* A text in quotes that gnuplot takes literally, whatever is in it. */
void pinery_report_plot_text(FILE *script, const char *text);

#endif
