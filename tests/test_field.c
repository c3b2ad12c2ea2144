/* Field lists: defaults, closed ranges that refuse NaN, setting by name, and the texts of the errors. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <limits.h>
#include <string.h>

#include "base/error.h"
#include "base/field.h"

/* Two lists in one, as a person's struct may be. */
#define PART(X)                                                                   \
    X(REAL, emissivity_up, "", 0.9, 0.0, 1.0, "", "emissivity of the upper side") \
    X(REAL, thickness, "mm", 0.1, 0.01, 5.0, "", "thickness")
#define CLOTH(X)                                                 \
    PART(X)                                                      \
    X(INT, layers, "", 1, 1, 3, "", "layers")                    \
    X(BOOL, folded, "", 1, 0, 1, "", "folded by day")            \
    X(CHOICE, side, "", 1, 0, 2, "north|south|both", "the side") \
    X(TEXT, label, "", 0, 0, 0, "", "what a person calls it")    \
    X(REAL, cost, "EUR/m2", NAN, 0.0, INFINITY, "", "(optional) price")

struct cloth {
    int before; /* members outside the list are left alone */
    CLOTH(PINERY_MEMBER)
};

PINERY_FIELDS_DEFINE(cloth_fields, "cloth", struct cloth, CLOTH);

static pinery_error error;

#define assert_refused(call, want)                        \
    do {                                                  \
        pinery_base_ok(&error);                           \
        assert_int_equal(call, PINERY_BAD_INPUT);         \
        assert_int_equal(error.status, PINERY_BAD_INPUT); \
        assert_string_equal(error.text, want);            \
    } while (0)

static void list_as_data(void **state) {
    (void)state;
    assert_int_equal(cloth_fields.n, 7);
    assert_string_equal(cloth_fields.title, "cloth");
    assert_int_equal(cloth_fields.size, sizeof(struct cloth));
    const pinery_field *side = pinery_fields_find(&cloth_fields, "side");
    assert_non_null(side);
    assert_int_equal(side->offset, offsetof(struct cloth, side));
    assert_int_equal(side->kind, PINERY_CHOICE);
    assert_string_equal(pinery_fields_find(&cloth_fields, "cost")->unit, "EUR/m2");
    assert_null(pinery_fields_find(&cloth_fields, "Side"));
}

static void defaults_fit_their_own_ranges(void **state) {
    (void)state;
    struct cloth cloth;
    memset(&cloth, 0x55, sizeof cloth);
    pinery_fields_default(&cloth_fields, &cloth);
    assert_true(cloth.emissivity_up == 0.9 && cloth.thickness == 0.1);
    assert_int_equal(cloth.layers, 1);
    assert_true(cloth.folded);
    assert_int_equal(cloth.side, 1);
    assert_string_equal(cloth.label, "");
    assert_true(isnan(cloth.cost));
    assert_int_equal(cloth.before, 0);
    assert_int_equal(pinery_fields_check(&cloth_fields, &cloth, "", &error), PINERY_OK);
}

static void nan_and_infinity_fail_every_range(void **state) {
    (void)state;
    const double bad[] = {NAN, INFINITY, -INFINITY, -NAN};
    for (int i = 0; i < cloth_fields.n; i++) {
        const pinery_field *field = &cloth_fields.field[i];
        for (size_t k = 0; k < sizeof bad / sizeof bad[0]; k++) {
            struct cloth cloth;
            pinery_fields_default(&cloth_fields, &cloth);
            bool optional = strcmp(field->name, "cost") == 0 && isnan(bad[k]);
            pinery_status want = optional ? PINERY_OK : PINERY_BAD_INPUT;
            assert_int_equal(pinery_fields_set_number(&cloth_fields, &cloth, field->name, bad[k], "", NULL), want);
            if (field->kind == PINERY_REAL) {
                memcpy((char *)&cloth + field->offset, &bad[k], sizeof bad[k]);
                assert_int_equal(pinery_fields_check(&cloth_fields, &cloth, "", NULL), want);
            }
        }
    }
}

static void ranges_are_closed(void **state) {
    (void)state;
    struct cloth cloth;
    pinery_fields_default(&cloth_fields, &cloth);
    assert_int_equal(pinery_fields_set_number(&cloth_fields, &cloth, "emissivity_up", 1.0, "", &error), PINERY_OK);
    assert_int_equal(pinery_fields_set_number(&cloth_fields, &cloth, "emissivity_up", 0.0, "", &error), PINERY_OK);
    assert_refused(pinery_fields_set_number(&cloth_fields, &cloth, "emissivity_up", nextafter(1.0, 2.0), "", &error),
                   "cloth: emissivity_up = 1 is outside 0 .. 1");
    assert_true(cloth.emissivity_up == 0.0); /* a refused value is not kept */
}

static void errors_name_place_field_value_and_unit(void **state) {
    (void)state;
    struct cloth cloth;
    pinery_fields_default(&cloth_fields, &cloth);
    assert_refused(pinery_fields_set_number(&cloth_fields, &cloth, "emissivity_up", 1.4, "wall.lua:12", &error),
                   "wall.lua:12: cloth: emissivity_up = 1.4 is outside 0 .. 1");
    assert_refused(pinery_fields_set_number(&cloth_fields, &cloth, "emissivity_up", 1.4, "wall.lua:12: ", &error),
                   "wall.lua:12: cloth: emissivity_up = 1.4 is outside 0 .. 1");
    assert_refused(pinery_fields_set_number(&cloth_fields, &cloth, "thickness", 6.0, NULL, &error),
                   "cloth: thickness = 6 mm is outside 0.01 .. 5 mm");
    cloth.thickness = NAN;
    assert_refused(pinery_fields_check(&cloth_fields, &cloth, "a.lua:3", &error),
                   "a.lua:3: cloth: thickness = nan mm is outside 0.01 .. 5 mm");
    cloth.thickness = 1.0;
    cloth.layers = 7;
    assert_refused(pinery_fields_check(&cloth_fields, &cloth, "", &error), "cloth: layers = 7 is outside 1 .. 3");
    assert_refused(pinery_fields_set_number(&cloth_fields, &cloth, "layers", 1.5, "", &error),
                   "cloth: layers = 1.5 is not a whole number in 1 .. 3");
    assert_refused(pinery_fields_set_number(&cloth_fields, &cloth, "cost", -1.0, "", &error),
                   "cloth: cost = -1 EUR/m2 is outside 0 .. inf EUR/m2");
}

static void unknown_names_list_the_known(void **state) {
    (void)state;
    struct cloth cloth;
    pinery_fields_default(&cloth_fields, &cloth);
    assert_refused(pinery_fields_set_number(&cloth_fields, &cloth, "emisivity_up", 0.5, "w.lua:1", &error),
                   "w.lua:1: cloth: unknown field emisivity_up (did you mean emissivity_up?); known are emissivity_up, "
                   "thickness, layers, folded, side, label, cost");
    assert_refused(pinery_fields_set_text(&cloth_fields, &cloth, "zzz", "x", "", &error),
                   "cloth: unknown field zzz; known are emissivity_up, thickness, layers, folded, side, label, cost");
    assert_refused(pinery_fields_set_text(&cloth_fields, &cloth, "side", "nort", "", &error),
                   "cloth: side = \"nort\" is not one of north, south, both (did you mean north?)");
    assert_refused(pinery_fields_set_number(&cloth_fields, &cloth, "side", 3, "", &error),
                   "cloth: side = 3 is not the index of one of north, south, both");
}

static void texts_and_choices(void **state) {
    (void)state;
    struct cloth cloth;
    pinery_fields_default(&cloth_fields, &cloth);
    assert_int_equal(pinery_fields_set_text(&cloth_fields, &cloth, "side", "both", "", &error), PINERY_OK);
    assert_int_equal(cloth.side, 2);
    assert_true(pinery_field_number(pinery_fields_find(&cloth_fields, "side"), &cloth) == 2.0);
    assert_true(isnan(pinery_field_number(pinery_fields_find(&cloth_fields, "label"), &cloth)));
    char longest[PINERY_TEXT_SIZE + 1];
    memset(longest, 'a', sizeof longest);
    longest[PINERY_TEXT_SIZE - 1] = '\0';
    assert_int_equal(pinery_fields_set_text(&cloth_fields, &cloth, "label", longest, "", &error), PINERY_OK);
    assert_string_equal(cloth.label, longest);
    longest[PINERY_TEXT_SIZE - 1] = 'a';
    longest[PINERY_TEXT_SIZE] = '\0';
    assert_refused(pinery_fields_set_text(&cloth_fields, &cloth, "label", longest, "", &error),
                   "cloth: label = \"aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa...\" is longer than 63 characters");
    memset(cloth.label, 'b', sizeof cloth.label); /* not ended */
    assert_int_equal(pinery_fields_check(&cloth_fields, &cloth, "", &error), PINERY_BAD_INPUT);
    assert_refused(pinery_fields_set_text(&cloth_fields, &cloth, "thickness", "thin", "", &error),
                   "cloth: thickness = \"thin\" is a text, expected a number in 0.01 .. 5 mm");
    assert_refused(pinery_fields_set_number(&cloth_fields, &cloth, "label", 3, "", &error),
                   "cloth: label = 3 is a number, expected a text");
    assert_refused(pinery_fields_set_text(&cloth_fields, &cloth, "folded", "yes", "", &error),
                   "cloth: folded = \"yes\" is a text, expected true or false");
}

static void long_texts_are_cut_with_dots(void **state) {
    (void)state;
    char text[3000];
    memset(text, 'x', sizeof text);
    text[sizeof text - 1] = '\0';
    assert_int_equal(pinery_base_fail(&error, PINERY_IO, "%s", text), PINERY_IO);
    assert_int_equal(strlen(error.text), sizeof error.text - 1);
    assert_string_equal(error.text + sizeof error.text - 5, "x...");
    assert_int_equal(pinery_base_fail(NULL, PINERY_SOLVER, "x"), PINERY_SOLVER);
}

static void every_status_has_a_meaning(void **state) {
    (void)state;
    assert_string_equal(pinery_status_meaning(PINERY_OK), "no error");
    assert_string_equal(pinery_status_meaning(PINERY_SCRIPT), "a script failed");
    assert_string_equal(pinery_status_meaning((pinery_status)99), "unknown status");
}

static void names_near_and_far(void **state) {
    (void)state;
    /* The classic worked example of edit distance (Wagner and Fischer 1974; Levenshtein 1966): kitten, sitting: 3. */
    assert_int_equal(pinery_base_letters_apart("kitten", "sitting", 99), 3);
    assert_int_equal(pinery_base_letters_apart("", "abc", 99), 3);
    assert_int_equal(pinery_base_letters_apart("ABC", "abc", 99), 0);
    assert_int_equal(pinery_base_choice_count("a|b|c"), 3);
    assert_int_equal(pinery_base_choice_count(""), 0);
    assert_int_equal(pinery_base_choice_index("ab|a|b", "a"), 1);
    assert_int_equal(pinery_base_choice_index("ab|a|b", ""), -1);
    pinery_text name;
    assert_true(pinery_base_choice_name("ab|a|b", 2, name));
    assert_string_equal(name, "b");
    assert_false(pinery_base_choice_name("ab|a|b", 3, name));
    assert_false(pinery_base_choice_name("ab|a|b", -1, name));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(list_as_data),
        cmocka_unit_test(defaults_fit_their_own_ranges),
        cmocka_unit_test(nan_and_infinity_fail_every_range),
        cmocka_unit_test(ranges_are_closed),
        cmocka_unit_test(errors_name_place_field_value_and_unit),
        cmocka_unit_test(unknown_names_list_the_known),
        cmocka_unit_test(texts_and_choices),
        cmocka_unit_test(long_texts_are_cut_with_dots),
        cmocka_unit_test(every_status_has_a_meaning),
        cmocka_unit_test(names_near_and_far),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
