#include "report/plot.h"

#include <errno.h>
#include <spawn.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/error.h"

extern char **environ;

static bool ends_in(const char *text, const char *end) {
    size_t n = strlen(text), m = strlen(end);
    return n >= m && strcmp(text + n - m, end) == 0;
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

/* The endings a target may have, and the terminal of gnuplot for each; .gnuplot is the script itself. */
static bool set_terminal(struct pinery_report_plot *plot, int width, int height, int lines) {
    FILE *script = plot->script;
    const char *target = plot->target;
    if (target == NULL) {
        fprintf(script, "set terminal dumb noenhanced size 100,%d mono\n", lines);
    } else if (ends_in(target, ".png")) {
        double by = plot->enlarge > 0.0 ? plot->enlarge : 1.0;
        fprintf(script,
                "set terminal pngcairo noenhanced size %.0f,%.0f background '#ffffff' font 'Sans,%d' fontscale %.4g "
                "linewidth %.4g\n",
                width * by, height * by, plot->enlarge > 0.0 ? 9 : 11, by, by);
    } else if (ends_in(target, ".pdf")) {
        fprintf(script, "set terminal pdfcairo noenhanced size %.4fin,%.4fin background '#ffffff' font 'Sans,9'\n",
                width / 96.0, height / 96.0);
    } else if (ends_in(target, ".svg") || plot->as_script) {
        fprintf(script, "set terminal svg noenhanced dynamic size %d,%d background '#ffffff' font 'sans-serif,12'\n",
                width, height);
    } else {
        return false;
    }
    return true;
}

pinery_status pinery_report_plot_begin(struct pinery_report_plot *plot, int width, int height, int lines,
                                       const char *target, FILE *terminal, pinery_error *error) {
    plot->target = target;
    plot->terminal = terminal;
    plot->as_script = target != NULL && ends_in(target, ".gnuplot");
    plot->script = NULL;
    if (target == NULL && terminal == NULL) {
        return pinery_base_fail(error, PINERY_BAD_INPUT, "figure: neither a path nor a terminal is given");
    }
    plot->script = tmpfile();
    if (plot->script == NULL) {
        return pinery_base_fail(error, PINERY_IO, "figure: no temporary file: %s", strerror(errno));
    }
    if (!set_terminal(plot, width, height, lines)) {
        fclose(plot->script);
        return pinery_base_fail(error, PINERY_BAD_INPUT, "figure: %.200s does not end in .svg, .png, .pdf or .gnuplot",
                                target);
    }
    fprintf(plot->script,
            "set encoding utf8\nset datafile missing 'NaN'\nset tics nomirror out textcolor '%s'\n"
            "set border 3 lc '%s'\nset style line 100 lc '#d9dbe0' lw 0.6\n",
            PINERY_INK, PINERY_GREY);
    return PINERY_OK;
}

/* The first of what gnuplot complained of, on one line. */
static void complaint(FILE *said, char *text, size_t size) {
    rewind(said);
    size_t got = fread(text, 1, size - 1, said);
    text[got] = '\0';
    for (char *c = text; *c != '\0'; c++) {
        *c = *c == '\n' || *c == '\t' ? ' ' : *c;
    }
}

/* Run gnuplot on the three files; 0, or the fault that kept it from starting, or -1 when it ended badly. */
static int run_gnuplot(FILE *script, FILE *drawing, FILE *said) {
    char name[] = "gnuplot", no_settings[] = "-d";
    char *arguments[] = {name, no_settings, NULL};
    posix_spawn_file_actions_t files;
    pid_t child;
    int fault = posix_spawn_file_actions_init(&files);
    if (fault != 0) {
        return fault;
    }
    fault = posix_spawn_file_actions_adddup2(&files, fileno(script), 0);
    fault = fault != 0 ? fault : posix_spawn_file_actions_adddup2(&files, fileno(drawing), 1);
    fault = fault != 0 ? fault : posix_spawn_file_actions_adddup2(&files, fileno(said), 2);
    fault = fault != 0 ? fault : posix_spawnp(&child, name, &files, NULL, arguments, environ);
    posix_spawn_file_actions_destroy(&files);
    if (fault != 0) {
        return fault;
    }
    int code;
    while (waitpid(child, &code, 0) < 0) {
        if (errno != EINTR) {
            return errno;
        }
    }
    return code == 0 ? 0 : -1;
}

/* Copy the drawing to where it is wanted. */
static pinery_status deliver(const struct pinery_report_plot *plot, FILE *drawing, pinery_error *error) {
    FILE *out = plot->terminal != NULL ? plot->terminal : fopen(plot->target, "wb");
    if (out == NULL) {
        return pinery_base_fail(error, PINERY_IO, "figure: %.200s cannot be opened to write: %s", plot->target,
                                strerror(errno));
    }
    char part[1 << 14];
    size_t got;
    bool well = true;
    while (well && (got = fread(part, 1, sizeof part, drawing)) > 0) {
        well = fwrite(part, 1, got, out) == got;
    }
    well = well && fflush(out) == 0 && !ferror(drawing);
    if (plot->terminal == NULL && fclose(out) != 0) {
        well = false;
    }
    return well ? pinery_base_ok(error)
                : pinery_base_fail(error, PINERY_IO, "figure: cannot be written: %s", strerror(errno));
}

pinery_status pinery_report_plot_end(struct pinery_report_plot *plot, pinery_error *error) {
    FILE *drawing = tmpfile(), *said = tmpfile();
    pinery_status status;
    if (drawing == NULL || said == NULL || fflush(plot->script) != 0 || ferror(plot->script)) {
        status = pinery_base_fail(error, PINERY_IO, "figure: a temporary file cannot be written: %s", strerror(errno));
        goto out;
    }
    rewind(plot->script);
    if (plot->as_script) {
        status = deliver(plot, plot->script, error);
        goto out;
    }
    int fault = run_gnuplot(plot->script, drawing, said);
    if (fault == ENOENT || fault == EACCES) {
        status = pinery_base_fail(error, PINERY_IO, "figure: gnuplot is not found; figures need it on the PATH");
        goto out;
    }
    if (fault > 0) {
        status = pinery_base_fail(error, PINERY_IO, "figure: gnuplot cannot be started: %s", strerror(fault));
        goto out;
    }
    bool drawn = fseek(drawing, 0, SEEK_END) == 0 && ftell(drawing) > 0;
    rewind(drawing);
    if (fault < 0 || !drawn) {
        char words[400];
        complaint(said, words, sizeof words);
        status = pinery_base_fail(error, PINERY_IO, "figure: gnuplot failed: %s", words);
        goto out;
    }
    status = deliver(plot, drawing, error);
out:
    if (drawing != NULL) {
        fclose(drawing);
    }
    if (said != NULL) {
        fclose(said);
    }
    fclose(plot->script);
    return status;
}
