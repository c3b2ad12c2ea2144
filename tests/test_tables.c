/* Holds the library against the tables of published values in tests/tables. A row is
 *
 *     function | in1 in2 ... | want | rel tol | abs tol | source
 *
 * and passes when |got - want| <= rel |want| + abs. Anything that is no such row, blank or a comment (#) fails. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "check.h"
#include "tables.h"

#define MOST_INPUTS 16
#define FOLDER PINERY_SOURCE_DIR "/tests/tables"

static const struct table_function *find(const char *name) {
#define X(list) list,
    const struct table_function *lists[] = {TABLE_LISTS(X)};
#undef X
    for (size_t i = 0; i < sizeof lists / sizeof *lists; i++)
        for (const struct table_function *f = lists[i]; f && f->name; f++)
            if (strcmp(f->name, name) == 0)
                return f;
    return NULL;
}

/* Check one row, which is cut up. Empty text when it passes, else what is wrong. */
static void check_row(char *row, char *fault, size_t size) {
    char *field[7];
    double in[MOST_INPUTS], want, rel, abs_;
    fault[0] = '\0';
    if (pinery_base_split(row, '|', field, 7) != 6) {
        snprintf(fault, size, "want 6 fields divided by |");
        return;
    }
    const struct table_function *function = find(field[0]);
    if (!function) {
        snprintf(fault, size, "no function %s", field[0]);
        return;
    }
    char inputs[256];
    snprintf(inputs, sizeof inputs, "%s", field[1]);
    int n = 0;
    char *rest = NULL;
    for (char *word = strtok_r(field[1], " \t", &rest); word; word = strtok_r(NULL, " \t", &rest), n++)
        if (n >= MOST_INPUTS || !pinery_base_number(word, &in[n])) {
            snprintf(fault, size, "%s: input '%s' is not a number or one too many", field[0], word);
            return;
        }
    if (n != function->n_in) {
        snprintf(fault, size, "%s takes %d inputs, not %d", field[0], function->n_in, n);
        return;
    }
    if (!pinery_base_number(field[2], &want) || !pinery_base_number(field[3], &rel) ||
        !pinery_base_number(field[4], &abs_) || rel < 0 || abs_ < 0) {
        snprintf(fault, size, "%s(%s): want and tolerances must be numbers", field[0], inputs);
        return;
    }
    if (field[5][0] == '\0') {
        snprintf(fault, size, "%s(%s): no source", field[0], inputs);
        return;
    }
    double got = function->call(in);
    if (!check_is_close(got, want, rel, abs_))
        snprintf(fault, size, "%s(%s): got %.9g, want %.9g, off by %.3g, allowed %g relative + %g; %s", field[0],
                 inputs, got, want, got - want, rel, abs_, field[5]);
}

static bool is_table(const char *name) {
    size_t length = strlen(name);
    return length > 4 && strcmp(name + length - 4, ".txt") == 0;
}

static void every_row_holds(void **state) {
    (void)state;
    DIR *folder = opendir(FOLDER);
    assert_non_null(folder);
    int rows = 0, faults = 0, files = 0;
    for (struct dirent *entry = readdir(folder); entry; entry = readdir(folder)) {
        if (!is_table(entry->d_name))
            continue;
        char path[1024], fault[1024];
        snprintf(path, sizeof path, "%s/%s", FOLDER, entry->d_name);
        struct pinery_base_text text;
        pinery_error error;
        if (pinery_base_text_read(path, &text, &error) != PINERY_OK) {
            print_error("%s\n", error.text);
            fail();
        }
        files++;
        for (int i = 0; i < text.n; i++) {
            char *row = pinery_base_trim(text.line[i]);
            if (row[0] == '\0' || row[0] == '#')
                continue;
            rows++;
            check_row(row, fault, sizeof fault);
            if (fault[0]) {
                faults++;
                print_error("%s:%d: %s\n", entry->d_name, i + 1, fault);
            }
        }
        pinery_base_text_free(&text);
    }
    closedir(folder);
    print_message("%d rows in %d tables, %d faults\n", rows, files, faults);
    assert_true(rows > 0);
    assert_int_equal(faults, 0);
}

static void assert_row(const char *row, const char *fault_begins) {
    char copy[256], fault[1024];
    snprintf(copy, sizeof copy, "%s", row);
    check_row(copy, fault, sizeof fault);
    if (fault_begins[0] == '\0')
        assert_string_equal(fault, "");
    else
        assert_int_equal(strncmp(fault, fault_begins, strlen(fault_begins)), 0);
}

static void bad_rows_fail(void **state) {
    (void)state;
    assert_row("saturation_pressure | 20 | 2338.8 | 1e-3 | 0 | here", "");
    assert_row("saturation_pressure | 20 | 2400 | 1e-3 | 0 | here", "saturation_pressure(20): got 2338");
    assert_row("saturation_pressure | 20 | 2338.8 | 1e-3 | 0 | ", "saturation_pressure(20): no source");
    assert_row("saturation_pressure | 20 | 2338.8 | 1e-3 | here", "want 6 fields");
    assert_row("saturation_pressure | 20 | 2338.8 | 1e-3 | 0 | here | there", "want 6 fields");
    assert_row("saturation_pressure | 20 1 | 2338.8 | 1e-3 | 0 | here", "saturation_pressure takes 1 inputs, not 2");
    assert_row("saturation_pressure | warm | 2338.8 | 1e-3 | 0 | here", "saturation_pressure: input 'warm'");
    assert_row("saturation_pressure | 20 | nan | 1e-3 | 0 | here", "saturation_pressure(20): want and tolerances");
    assert_row("saturation_pressure | 20 | 2338.8 | -1 | 0 | here", "saturation_pressure(20): want and tolerances");
    assert_row("no_such | 20 | 2338.8 | 1e-3 | 0 | here", "no function no_such");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bad_rows_fail),
        cmocka_unit_test(every_row_holds),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
