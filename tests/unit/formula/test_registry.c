/* The registry of formulas: every row is whole, and docs/water.md and docs/power.md show it. Values of the formulas are
 * checked by tests/cases. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/num.h"
#include "formula/registry.h"
#include "english.h"

static bool filled(const char *text)
{
    return text != NULL && text[0] != '\0';
}

static void inputs_are_whole(const pw_formula *formula)
{
    int32_t count = 0;
    for (const pw_formula_input *in = formula->in; in->need != PW_FORMULA_END; in++) {
        count++;
        assert_true(count <= PW_FORMULA_INPUTS);
        assert_true(filled(in->name) && filled(in->help));
        for (const pw_formula_input *other = formula->in; other < in; other++) {
            assert_string_not_equal(other->name, in->name);
        }
        if (in->need == PW_FORMULA_WORDS || in->need == PW_FORMULA_MAYBE_WORDS) {
            continue;
        }
        assert_true(pw_is_finite(in->low) && pw_is_finite(in->high) && in->low < in->high);
        if (in->need == PW_FORMULA_DEFAULT) { /* 0 may stand for "not given" below the range, where the help says so */
            assert_true((in->value >= in->low || in->value == 0.0) && in->value <= in->high);
        }
        assert_true(in->unit == NULL || in->dimension == PW_DIM_NONE);
        assert_true(filled(english_fact(pw_formula_expects(in))) && filled(pw_formula_unit(in->dimension, in->unit)));
    }
}

static void every_row_is_whole(void **state)
{
    (void)state;
    int32_t count = 0;
    for (; pw_formula_at(count) != NULL; count++) {
        const pw_formula *formula = pw_formula_at(count);
        assert_true(filled(formula->id) && filled(formula->title) && filled(formula->says) && filled(formula->source));
        assert_true(formula->hand == NULL || filled(formula->hand));
        assert_non_null(formula->work);
        assert_true(filled(formula->out[0].name));
        for (const pw_formula_output *out = formula->out; out->name != NULL; out++) {
            assert_true(out - formula->out < PW_FORMULA_OUTPUTS && filled(out->help));
        }
        inputs_are_whole(formula);
        /* its id leads to it and to nothing else, in any spelling */
        assert_ptr_equal(pw_formula_find(formula->id), formula);
        for (int32_t i = 0; i < count; i++) {
            assert_string_not_equal(pw_formula_at(i)->id, formula->id);
        }
    }
    assert_true(count > 90);
    assert_null(pw_formula_at(-1));
    assert_null(pw_formula_table_at(-1));
}

static void names_of_the_trade_are_known(void **state)
{
    (void)state;
    static const char *const pairs[][2] = {{"NPSH", "suction head available"},
                                           {"darcy weisbach", "pipe loss"},
                                           {"JOUKOWSKY", "water hammer"},
                                           {"single-phasing", "one phase gone"}};
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
        const pw_formula *found = pw_formula_find(pairs[i][0]);
        assert_non_null(found);
        assert_string_equal(found->id, pairs[i][1]);
    }
    assert_null(pw_formula_find("no such thing"));
}

/* What the product does not need is told so, and the list may only become shorter. */
static void hand_calculations_are_few(void **state)
{
    (void)state;
    int32_t hand = 0;
    int32_t all = 0;
    for (; pw_formula_at(all) != NULL; all++) {
        hand += pw_formula_at(all)->hand != NULL ? 1 : 0;
    }
    printf("%d formulas, %d of them hand calculations\n", all, hand);
    assert_true(hand <= 31);
}

static char page[1u << 20];

static void page_is_current(const char *name)
{
    static const char begin[] =
        "<!-- the tables from here on are written by tests/unit/formula/test_registry.c -->\n\n";
    static char block[1u << 20];
    char path[512];
    pw_arena arena;
    pw_text text;
    pw_arena_init(&arena, block, sizeof block);
    pw_text_init(&text, &arena);
    pw_formula_reference(&text, name);
    assert_false(text.failed);
    snprintf(path, sizeof path, "docs/%s.md", name);
    FILE *file = fopen(path, "rb");
    assert_non_null(file);
    page[fread(page, 1, sizeof page - 1, file)] = '\0';
    fclose(file);
    char *at = strstr(page, begin);
    assert_non_null(at);
    at += sizeof begin - 1;
    if (getenv("PW_REWRITE") != NULL) {
        file = fopen(path, "wb");
        assert_non_null(file);
        fwrite(page, 1, (size_t)(at - page), file);
        fputs(text.data, file);
        fclose(file);
    } else if (strcmp(at, text.data) != 0) {
        fail_msg("the tables of %s are not those of the program; run this test with PW_REWRITE=1", path);
    }
}

static void pages_are_current(void **state)
{
    (void)state;
    page_is_current("water");
    page_is_current("power");
    for (int32_t t = 0; pw_formula_table_at(t) != NULL; t++) {
        const char *where = pw_formula_table_at(t)->page;
        assert_true(strcmp(where, "water") == 0 || strcmp(where, "power") == 0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_row_is_whole),
        cmocka_unit_test(names_of_the_trade_are_known),
        cmocka_unit_test(hand_calculations_are_few),
        cmocka_unit_test(pages_are_current),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
