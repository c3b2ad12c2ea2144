/* Comparing numbers in double precision; cmocka's own assert_float_equal is single. Include after cmocka.h. */
#ifndef PINERY_TESTS_CHECK_H
#define PINERY_TESTS_CHECK_H

#include <math.h>
#include <stdbool.h>

/* Whether |got - want| <= rel |want| + abs; false for NaN. */
static inline bool check_is_close(double got, double want, double rel, double abs_) {
    return fabs(got - want) <= rel * fabs(want) + abs_;
}

static inline void check_close(double got, double want, double rel, double abs_, const char *what, const char *file,
                               int line) {
    if (check_is_close(got, want, rel, abs_))
        return;
    print_error("%s\n  got %.12g, want %.12g, off by %.3g; allowed %g relative + %g\n", what, got, want, got - want,
                rel, abs_);
    _fail(file, line);
}

static inline void check_between(double got, double low, double high, const char *what, const char *file, int line) {
    if (got >= low && got <= high)
        return;
    print_error("%s\n  got %.12g, want %.12g .. %.12g\n", what, got, low, high);
    _fail(file, line);
}

#define assert_close(got, want, rel, abs_) check_close(got, want, rel, abs_, #got, __FILE__, __LINE__)
#define assert_between(got, low, high) check_between(got, low, high, #got, __FILE__, __LINE__)

#endif
