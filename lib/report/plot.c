#include "report/plot.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/error.h"

static bool ends_in(const char *text, const char *end) {
    size_t n = strlen(text), m = strlen(end);
    return n > m && strcmp(text + n - m, end) == 0;
}

/* In single quotes gnuplot expands nothing; a quote is doubled. Line ends and other control characters become blanks.
 */
void pinery_report_plot_text(FILE *script, const char *text) {
    fputc('\'', script);
    for (const char *c = text; *c != '\0'; c++) {
        if (*c == '\'') {
            fputs("''", script);
        } else {
            fputc((unsigned char)*c < ' ' || *c == 127 ? ' ' : *c, script);
        }
    }
    fputc('\'', script);
}

static const char *inside(const struct pinery_report_plot *plot, const char *name, char path[48]) {
    snprintf(path, 48, "%s/%s", plot->folder, name);
    return path;
}

pinery_status pinery_report_plot_begin(struct pinery_report_plot *plot, int width, int height, int lines,
                                       const char *target, FILE *terminal, pinery_error *error) {
    memset(plot, 0, sizeof *plot);
    plot->target = target;
    plot->terminal = terminal;
    bool png = target != NULL && ends_in(target, ".png"), svg = target != NULL && ends_in(target, ".svg");
    if (target != NULL && !png && !svg) {
        return pinery_base_fail(error, PINERY_BAD_INPUT, "figure: %.200s does not end in .png or .svg", target);
    }
    if (target == NULL && terminal == NULL) {
        return pinery_base_fail(error, PINERY_BAD_INPUT, "figure: neither a path nor a terminal is given");
    }
    strcpy(plot->folder, "/tmp/pinery-XXXXXX");
    if (mkdtemp(plot->folder) == NULL) {
        return pinery_base_fail(error, PINERY_IO, "figure: no temporary folder in /tmp: %s", strerror(errno));
    }
    char path[48];
    plot->script = fopen(inside(plot, "script", path), "w");
    if (plot->script == NULL) {
        pinery_status status = pinery_base_fail(error, PINERY_IO, "figure: %s: %s", path, strerror(errno));
        rmdir(plot->folder);
        return status;
    }
    if (png) {
        fprintf(plot->script, "set terminal pngcairo noenhanced size %d,%d background '#ffffff' font 'Sans,11'\n",
                width, height);
    } else if (svg) {
        fprintf(plot->script,
                "set terminal svg noenhanced dynamic size %d,%d background '#ffffff' font 'sans-serif,12'\n", width,
                height);
    } else {
        fprintf(plot->script, "set terminal dumb noenhanced size 100,%d mono\n", lines);
    }
    fprintf(
        plot->script,
        "set encoding utf8\nset datafile missing 'NaN'\nset tics nomirror out textcolor '%s'\nset border 3 lc '%s'\n"
        "set style line 100 lc '#d9dbe0' lw 0.6\n",
        PINERY_INK, PINERY_GREY);
    return PINERY_OK;
}

/* Everything gnuplot drew, in memory. */
static char *read_all(FILE *pipe, size_t *size) {
    size_t room = 1 << 16;
    char *text = malloc(room);
    *size = 0;
    while (text != NULL) {
        size_t got = fread(text + *size, 1, room - *size, pipe);
        *size += got;
        if (got == 0) {
            return text;
        }
        if (*size == room) {
            room *= 2;
            char *more = realloc(text, room);
            if (more == NULL) {
                free(text);
            }
            text = more;
        }
    }
    return NULL;
}

/* The first lines of what gnuplot complained of. */
static void complaint(const char *path, char *text, size_t size) {
    FILE *file = fopen(path, "r");
    size_t got = file == NULL ? 0 : fread(text, 1, size - 1, file);
    text[got] = '\0';
    for (char *c = text; *c != '\0'; c++) {
        *c = *c == '\n' || *c == '\t' ? ' ' : *c;
    }
    if (file != NULL) {
        fclose(file);
    }
}

static pinery_status deliver(const struct pinery_report_plot *plot, const char *drawing, size_t size,
                             pinery_error *error) {
    FILE *out = plot->target != NULL ? fopen(plot->target, "wb") : plot->terminal;
    if (out == NULL) {
        return pinery_base_fail(error, PINERY_IO, "figure: %.200s cannot be opened to write: %s", plot->target,
                                strerror(errno));
    }
    bool well = fwrite(drawing, 1, size, out) == size && fflush(out) == 0;
    if (plot->target != NULL && fclose(out) != 0) {
        well = false;
    }
    return well ? pinery_base_ok(error)
                : pinery_base_fail(error, PINERY_IO, "figure: cannot be written: %s", strerror(errno));
}

pinery_status pinery_report_plot_end(struct pinery_report_plot *plot, pinery_error *error) {
    char command[160], script[48], said[48], words[400] = "";
    char *drawing = NULL;
    size_t size = 0;
    pinery_status status = PINERY_OK;
    inside(plot, "script", script);
    inside(plot, "said", said);
    snprintf(command, sizeof command, "gnuplot -d %s 2>%s", script, said); /* both names are ours */

    bool written = fflush(plot->script) == 0 && !ferror(plot->script);
    if (fclose(plot->script) != 0 || !written) {
        status = pinery_base_fail(error, PINERY_IO, "figure: the temporary file %s cannot be written", script);
        goto out;
    }
    FILE *pipe = popen(command, "r");
    if (pipe == NULL) {
        status = pinery_base_fail(error, PINERY_IO, "figure: gnuplot cannot be started: %s", strerror(errno));
        goto out;
    }
    drawing = read_all(pipe, &size);
    int code = pclose(pipe);
    complaint(said, words, sizeof words);
    if (code != -1 && WIFEXITED(code) && WEXITSTATUS(code) == 127) {
        status = pinery_base_fail(error, PINERY_IO, "figure: gnuplot is not found; figures need it on the PATH");
    } else if (code != 0 || size == 0 || drawing == NULL) {
        status = pinery_base_fail(error, PINERY_IO, "figure: gnuplot failed: %s", words);
    } else {
        status = deliver(plot, drawing, size, error);
    }
out:
    free(drawing);
    unlink(script);
    unlink(said);
    rmdir(plot->folder);
    return status;
}
