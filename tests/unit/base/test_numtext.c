/* Numbers as text and back, against the C library's strtod and snprintf, which glibc rounds correctly. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/num.h"
#include "base/random.h"

static double any_double(pw_random *random)
{
    for (;;) {
        uint64_t bits = (uint64_t)pw_random_u32(random) << 32;
        bits |= pw_random_u32(random);
        double x;
        memcpy(&x, &bits, sizeof x);
        if (isfinite(x)) {
            return x;
        }
    }
}

/* The significant digits of a text, without leading and trailing zeros; returns how many. */
static int digits_of(const char *text, char *out)
{
    int count = 0, kept = 0;
    for (const char *at = text; *at && *at != 'e' && count < 39; at++) {
        if (*at >= '0' && *at <= '9' && (count > 0 || *at != '0')) {
            out[count++] = *at;
            kept = *at != '0' ? count : kept;
        }
    }
    out[kept] = '\0';
    return kept;
}

static int significant(const char *text)
{
    char digits[40];
    return digits_of(text, digits);
}

/* Our shortest text reads back, here and by strtod, and no %.{n}e with fewer digits does. */
static void check_shortest(double x)
{
    char text[32], other[64];
    size_t length = pw_num_text(x, text);
    assert_int_equal(length, strlen(text));
    assert_true(length < 32);
    assert_true(strtod(text, NULL) == x);
    double back = 1.0;
    assert_int_equal(pw_num_read(text, length, &back), length);
    assert_true(back == x);
    int digits = significant(text);
    assert_true(digits <= 17);
    if (digits > 1) {
        snprintf(other, sizeof other, "%.*e", digits - 2, x);
        assert_true(strtod(other, NULL) != x);
    }
    /* and of that many digits it is the nearest: the correctly rounded one, when that reads back */
    snprintf(other, sizeof other, "%.*e", digits > 0 ? digits - 1 : 0, x);
    if (strtod(other, NULL) == x) {
        char ours[40], theirs[40];
        digits_of(text, ours);
        digits_of(other, theirs);
        assert_string_equal(ours, theirs);
    }
}

static void random_bits_go_round(void **state)
{
    (void)state;
    pw_random random;
    pw_random_seed(&random, 2, 1);
    for (int i = 0; i < 100000; i++) {
        check_shortest(any_double(&random));
    }
}

static void trade_numbers_go_round(void **state)
{
    (void)state;
    pw_random random;
    pw_random_seed(&random, 2, 2);
    for (int i = 0; i < 50000; i++) {
        double whole = (double)(pw_random_u32(&random) % 1000000);
        check_shortest(whole / 1000.0);
        check_shortest(whole * 0.001);
        check_shortest(whole * 6894.757293168361);
        check_shortest(pw_random_unit(&random) * 1e-3);
    }
}

static void hard_numbers_go_round(void **state)
{
    (void)state;
    double hard[] = {4.9406564584124654e-324,
                     2.2250738585072014e-308,
                     2.2250738585072011e-308,
                     1.7976931348623157e308,
                     9007199254740992.0,
                     9007199254740993.0,
                     9007199254740994.0,
                     1e15,
                     999999999999999.0,
                     1e16,
                     1e22,
                     1e23,
                     1e-5,
                     1e-6,
                     1e-7,
                     9.5367431640625e-07,
                     0.1,
                     0.3,
                     2.0 / 3.0,
                     5e-324,
                     1.5e-323,
                     123456789012345.67,
                     9.999999999999999e22,
                     1e21,
                     123456789012345680.0,
                     2e-323,
                     8.41e21,
                     2.0919495182368195e19,
                     9.2609870317319e18};
    for (size_t i = 0; i < sizeof hard / sizeof hard[0]; i++) {
        check_shortest(hard[i]);
        check_shortest(-hard[i]);
    }
    for (int e = -1074; e <= 1023; e++) { /* powers of two: the gap below is narrower */
        check_shortest(ldexp(1.0, e));
        check_shortest(nextafter(ldexp(1.0, e), 0.0));
        check_shortest(nextafter(ldexp(1.0, e), INFINITY));
    }
}

static void assert_text(double x, const char *want)
{
    char text[32];
    pw_num_text(x, text);
    assert_string_equal(text, want);
}

static void the_form_is_as_promised(void **state)
{
    (void)state;
    assert_text(0.0, "0");
    assert_text(-0.0, "0");
    assert_text(1.0, "1");
    assert_text(-42.0, "-42");
    assert_text(0.1, "0.1");
    assert_text(-12.5, "-12.5");
    assert_text(1e-9, "1e-9");
    assert_text(1.5e-9, "1.5e-9");
    assert_text(0.000001, "0.000001");
    assert_text(0.00000123, "0.00000123");
    assert_text(999999999999999.0, "999999999999999");
    assert_text(1e15, "1e15");
    assert_text(1.25e300, "1.25e300");
    assert_text(5e-324, "5e-324");
    assert_text(INFINITY, "null");
    assert_text(NAN, "null");
}

static void fixed_agrees_with_printf(void **state)
{
    (void)state;
    pw_random random;
    pw_random_seed(&random, 2, 3);
    char ours[352], theirs[400];
    for (int i = 0; i < 100000; i++) {
        double x =
            i % 4 == 0 ? any_double(&random) : (pw_random_unit(&random) - 0.5) * pow(10.0, (double)(i % 25) - 6.0);
        if (i % 4 == 1) {
            x = (double)((int32_t)pw_random_u32(&random) % 100000) / 64.0; /* many ties */
        }
        int decimals = (int)(pw_random_u32(&random) % 20);
        size_t length = pw_num_fixed(x, decimals, ours);
        assert_int_equal(length, strlen(ours));
        snprintf(theirs, sizeof theirs, "%.*f", decimals, x);
        const char *want = theirs;
        if (theirs[0] == '-' && strspn(theirs, "-0.") == strlen(theirs)) {
            want = theirs + 1; /* we print no minus before nothing */
        }
        assert_string_equal(ours, want);
    }
    pw_num_fixed(0.5, 0, ours);
    assert_string_equal(ours, "0");
    pw_num_fixed(1.5, 0, ours);
    assert_string_equal(ours, "2");
    pw_num_fixed(2.675, 2, ours); /* the double is 2.67499999... */
    assert_string_equal(ours, "2.67");
    pw_num_fixed(-0.001, 2, ours);
    assert_string_equal(ours, "0.00");
    pw_num_fixed(NAN, 2, ours);
    assert_string_equal(ours, "null");
    assert_int_equal(pw_num_fixed(-1.7976931348623157e308, 19, ours), 330);
}

static void digits_agree_with_printf(void **state)
{
    (void)state;
    pw_random random;
    pw_random_seed(&random, 2, 4);
    for (int i = 0; i < 100000; i++) {
        double x = i % 3 == 0 ? any_double(&random) : pw_random_unit(&random) * pow(10.0, (double)(i % 25) - 8.0);
        if (i % 3 == 1) {
            x = (double)(pw_random_u32(&random) % 100000) / 32.0;
        }
        if (x == 0.0) {
            continue;
        }
        int digits = 1 + (int)(pw_random_u32(&random) % 17);
        char ours[40], theirs[64];
        size_t length = pw_num_digits(x, digits, ours);
        assert_int_equal(length, strlen(ours));
        snprintf(theirs, sizeof theirs, "%.*e", digits - 1, x);
        assert_true(strtod(ours, NULL) == strtod(theirs, NULL));
        assert_true(significant(ours) <= digits);
        double size = fabs(strtod(theirs, NULL));
        assert_int_equal(strchr(ours, 'e') != NULL, size < 1e-6 || size >= 1e15);
        if (strchr(ours, '.')) {
            const char *end = strchr(ours, 'e') ? strchr(ours, 'e') : ours + length;
            assert_true(end[-1] != '0' && end[-1] != '.');
        }
    }
    char out[40];
    pw_num_digits(12.5, 3, out);
    assert_string_equal(out, "12.5");
    pw_num_digits(0.0032, 3, out);
    assert_string_equal(out, "0.0032");
    pw_num_digits(9.99, 2, out);
    assert_string_equal(out, "10");
    pw_num_digits(999999.5, 6, out);
    assert_string_equal(out, "1000000");
    pw_num_digits(250.0, 3, out);
    assert_string_equal(out, "250");
    pw_num_digits(0.0, 3, out);
    assert_string_equal(out, "0");
}

static void check_read(const char *text)
{
    double ours = -1.0, theirs = strtod(text, NULL);
    size_t used = pw_num_read(text, strlen(text), &ours);
    if (isinf(theirs)) {
        assert_int_equal(used, 0);
        return;
    }
    assert_int_equal(used, strlen(text));
    assert_memory_equal(&ours, &theirs, sizeof ours);
}

static void reading_agrees_with_strtod(void **state)
{
    (void)state;
    pw_random random;
    pw_random_seed(&random, 2, 5);
    char text[1400];
    for (int i = 0; i < 100000; i++) {
        double x = any_double(&random);
        snprintf(text, sizeof text, "%.*e", (int)(pw_random_u32(&random) % 30), x);
        check_read(text);
        snprintf(text, sizeof text, "%.17g", x);
        check_read(text);
        snprintf(text, sizeof text, "%u.%ue%d", pw_random_u32(&random), pw_random_u32(&random),
                 (int)(pw_random_u32(&random) % 700) - 350);
        check_read(text);
    }
    for (int i = 0; i < 3000; i++) { /* exactly half way between two doubles, and a hair to either side */
        double x = fabs(any_double(&random));
        if (i % 3 == 0) {
            x = ldexp(pw_random_unit(&random), -1060 + i % 40);
        }
        if (i % 3 == 1) {
            x = pw_random_unit(&random) * 1e6;
        }
        long double middle = ((long double)x + (long double)nextafter(x, INFINITY)) / 2.0L;
        if (!isfinite((double)middle) || middle == 0.0L) {
            continue;
        }
        snprintf(text, sizeof text, "%.1100Le", middle);
        char *e = strchr(text, 'e');
        char tail[16];
        strcpy(tail, e);
        check_read(text);
        strcpy(e, "1");
        strcpy(e + 1, tail);
        check_read(text);
        e[-1] = '0';
        strcpy(e, tail);
        for (char *at = e - 1; at > text + 2; at--) { /* a hair less */
            if (*at != '0') {
                (*at)--;
                break;
            }
            *at = '9';
        }
        check_read(text);
    }
}

static void reading_keeps_to_the_grammar(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        size_t used;
    } rows[] = {{"", 0},
                {"-", 0},
                {"+1", 0},
                {".5", 0},
                {"01", 1},
                {"1.", 1},
                {"1.5", 3},
                {"1.5e", 3},
                {"1.5e+", 3},
                {"1e5x", 3},
                {"-0", 2},
                {"0e99999999999999999999", 22},
                {"1e-99999999999999999999", 23},
                {"1e999", 0},
                {"1e309", 0},
                /* half way between the largest double and 2^1024 is 1.79769313486231580793728971405303415...e308 */
                {"179769313486231580793728971405303e276", 37},
                {"179769313486231580793728971405304e276", 0},
                {"nan", 0},
                {"inf", 0},
                {"0x10", 1},
                {"12,5", 2},
                {"-1.25E-3 ", 8}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        double value = 7.0;
        assert_int_equal(pw_num_read(rows[i].text, strlen(rows[i].text), &value), rows[i].used);
    }
    double value = 7.0;
    assert_int_equal(pw_num_read("125", 2, &value), 2); /* the length rules, not a NUL */
    assert_true(value == 12.0);
    const char *published[] = {/* boundaries of the double format, IEEE 754: 2^-1074, 2^-1022, largest */
                               "4.9406564584124654417656879286822e-324",
                               "2.4703282292062327208828439643411e-324",
                               "2.4703282292062327e-324",
                               "2.4703282292062328e-324",
                               "2.2250738585072013830902327173324e-308",
                               "2.2250738585072011e-308",
                               "1.7976931348623157081452742373170e308",
                               "1.7976931348623158e308",
                               "1e-400",
                               "9007199254740993",
                               "0.000000000000000000000000000000000000000000000000001e51",
                               "100000000000000000000000000000000000000000000000e-40"};
    for (size_t i = 0; i < sizeof published / sizeof published[0]; i++) {
        check_read(published[i]);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(random_bits_go_round),       cmocka_unit_test(trade_numbers_go_round),
        cmocka_unit_test(hard_numbers_go_round),      cmocka_unit_test(the_form_is_as_promised),
        cmocka_unit_test(fixed_agrees_with_printf),   cmocka_unit_test(digits_agree_with_printf),
        cmocka_unit_test(reading_agrees_with_strtod), cmocka_unit_test(reading_keeps_to_the_grammar),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
