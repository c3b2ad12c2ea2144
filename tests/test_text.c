/* Text files as lines, lines as fields, fields as numbers. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <float.h>
#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"

static void lines_of(const char *bytes, size_t size, int n, const char *const *want) {
    struct pinery_base_text text;
    pinery_error error;
    assert_int_equal(pinery_base_text_copy("x.csv", bytes, size, &text, &error), PINERY_OK);
    assert_int_equal(text.n, n);
    for (int i = 0; i < n; i++) {
        assert_string_equal(text.line[i], want[i]);
    }
    pinery_base_text_free(&text);
    assert_null(text.data);
}

static void mixed_line_ends(void **state) {
    (void)state;
    static const char *const abc[] = {"a", "b", "c", "", "d"};
    lines_of("a\nb\r\nc\r\rd", 9, 5, abc);
    lines_of("a\nb\r\r\nc\n\nd\r\n", 12, 5, abc);
    lines_of("\xEF\xBB\xBF"
             "a\r\nb",
             7, 2, abc);
    lines_of("", 0, 0, abc);
    static const char *const empty[] = {"", ""};
    lines_of("\n\n", 2, 2, empty);
    lines_of("\r\n\r\n", 4, 2, empty);
}

static void what_is_not_text(void **state) {
    (void)state;
    struct pinery_base_text text;
    pinery_error error;
    assert_int_equal(pinery_base_text_copy("x.csv", "a\nb\0c", 5, &text, &error), PINERY_BAD_FILE);
    assert_string_equal(error.text, "x.csv: line 2: has a zero byte, expected a text file");
    assert_null(text.data);
    assert_int_equal(pinery_base_text_copy("x.csv",
                                           "\xFF\xFE"
                                           "a\0",
                                           4, &text, &error),
                     PINERY_BAD_FILE);
    assert_non_null(strstr(error.text, "UTF-16"));
    assert_int_equal(pinery_base_text_read("/nowhere/at/all.csv", &text, &error), PINERY_IO);
    assert_string_equal(error.text, "/nowhere/at/all.csv: cannot be opened: No such file or directory");
    assert_int_equal(pinery_base_text_read("/", &text, &error), PINERY_IO);
}

static void a_file_longer_than_the_first_buffer(void **state) {
    (void)state;
    char path[] = "/tmp/pinery-test-text-XXXXXX";
    int handle = mkstemp(path);
    assert_true(handle >= 0);
    FILE *file = fdopen(handle, "wb");
    assert_non_null(file);
    for (int i = 0; i < 300000; i++) {
        fprintf(file, "%d%s", i, i % 2 ? "\n" : "\r\n");
    }
    fclose(file);
    struct pinery_base_text text;
    pinery_error error;
    assert_int_equal(pinery_base_text_read(path, &text, &error), PINERY_OK);
    assert_int_equal(text.n, 300000);
    assert_string_equal(text.line[299999], "299999");
    pinery_base_text_free(&text);
    remove(path);
}

/* The rules of RFC 4180 (2005), section 2, with blanks around a field dropped. */
static void splitting(void **state) {
    (void)state;
    char *field[8];
    char plain[] = "a, b ,,d";
    assert_int_equal(pinery_base_split(plain, ',', field, 8), 4);
    assert_string_equal(field[1], "b");
    assert_string_equal(field[2], "");
    assert_string_equal(field[3], "d");
    char quoted[] = "\"a, \"\"b\"\" \";x;\"\"";
    assert_int_equal(pinery_base_split(quoted, ';', field, 8), 3);
    assert_string_equal(field[0], "a, \"b\" ");
    assert_string_equal(field[2], "");
    char trailing[] = "a,b,";
    assert_int_equal(pinery_base_split(trailing, ',', field, 8), 3);
    assert_string_equal(field[2], "");
    char open[] = "a,\"b,c";
    assert_int_equal(pinery_base_split(open, ',', field, 8), -1);
    char many[] = "1,2,3,4,5";
    field[2] = NULL;
    assert_int_equal(pinery_base_split(many, ',', field, 2), 5);
    assert_string_equal(field[1], "2");
    assert_null(field[2]);
    char tabs[] = "a\t\tb";
    assert_int_equal(pinery_base_split(tabs, '\t', field, 8), 3);
    char nothing[] = "";
    assert_int_equal(pinery_base_split(nothing, ',', field, 8), 1);
}

static void numbers_that_are(void **state) {
    (void)state;
    static const struct {
        const char *text;
        double want;
    } row[] = {
        {"0", 0.0},
        {"-0.00", -0.0},
        {" 12.5\t", 12.5},
        {"+3", 3.0},
        {".5", 0.5},
        {"5.", 5.0},
        {"1e3", 1000.0},
        {"1.5E-3", 0.0015},
        {"00012", 12.0},
        {"0.1", 0.1},
        {"239.489721995759", 239.489721995759},
        {"3.50826380498622", 3.50826380498622},
        {"123456789012345678901234567890", 123456789012345678901234567890.0},
        {"1000000000000000000000000", 1e24},
        {"0.00000000000000000000000000001", 1e-29},
        {"9007199254740993", 9007199254740993.0},
        {"1.7976931348623157e308", DBL_MAX},
        {"2.2250738585072014e-308", DBL_MIN},
        {"1e-400", 0.0},
        {"0e999999999999", 0.0},
    };
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
        double got = NAN;
        assert_true(pinery_base_number(row[i].text, &got));
        assert_true(got == row[i].want && signbit(got) == signbit(row[i].want)); /* the compiler's own reading */
    }
}

static void numbers_that_are_not(void **state) {
    (void)state;
    static const char *const row[] = {"",    " ",     ".",   "-",      "+.",    "1.2.3", "1,2",      "12a",
                                      "1e",  "1e+",   "nan", "NaN",    "inf",   "-inf",  "0x10",     "1 2",
                                      "--1", "1e999", "1d5", "01.Jan", "1_000", "1\n",   "Infinity", "\xC2\xA0 5"};
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
        double got = 77.0;
        assert_false(pinery_base_number(row[i], &got));
        assert_true(got == 77.0);
    }
    double got = 77.0;
    assert_true(pinery_base_number_comma("1,25", &got) && got == 1.25);
    assert_true(pinery_base_number_comma("-7", &got) && got == -7.0);
    assert_false(pinery_base_number_comma("1.25", &got));
    assert_false(pinery_base_number_comma("1.000,5", &got));
    int whole = 5;
    assert_true(pinery_base_whole("-12", &whole) && whole == -12);
    assert_true(pinery_base_whole("3.0", &whole) && whole == 3);
    assert_false(pinery_base_whole("3.5", &whole));
    assert_false(pinery_base_whole("3000000000", &whole));
    assert_int_equal(whole, 3);
}

/* Shortest and longest renderings of random doubles are read back to the last bit. */
static void numbers_there_and_back(void **state) {
    (void)state;
    uint64_t seed = 88172645463325252ULL;
    for (int i = 0; i < 20000; i++) {
        seed ^= seed << 13;
        seed ^= seed >> 7;
        seed ^= seed << 17;
        double want;
        memcpy(&want, &seed, sizeof want);
        if (!isfinite(want)) {
            continue;
        }
        double got;
        char text[64];
        snprintf(text, sizeof text, "%.17g", want);
        assert_true(pinery_base_number(text, &got) && got == want);
        double small = (double)((int64_t)(seed % 2000000) - 1000000) / 1000.0;
        snprintf(text, sizeof text, "%.3f", small);
        assert_true(pinery_base_number(text, &got) && got == small);
    }
}

static void the_locale_does_not_matter(void **state) {
    (void)state;
    static const char *const names[] = {"de_DE.UTF-8", "de_DE", "fr_FR.UTF-8", "nl_NL.UTF-8"};
    size_t i = 0;
    while (i < 4 && setlocale(LC_NUMERIC, names[i]) == NULL) {
        i++;
    }
    if (i == 4) {
        print_message("skipped: no locale with a decimal comma is installed\n");
        return;
    }
    double got = 0.0;
    bool short_read = pinery_base_number("12.5", &got) && got == 12.5;
    bool long_read = pinery_base_number("1.7976931348623157e308", &got) && got == DBL_MAX;
    setlocale(LC_NUMERIC, "C");
    assert_true(short_read && long_read);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(mixed_line_ends),
        cmocka_unit_test(what_is_not_text),
        cmocka_unit_test(splitting),
        cmocka_unit_test(a_file_longer_than_the_first_buffer),
        cmocka_unit_test(numbers_that_are),
        cmocka_unit_test(numbers_that_are_not),
        cmocka_unit_test(numbers_there_and_back),
        cmocka_unit_test(the_locale_does_not_matter),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
