/* Loggers' files: how they are understood, and that any bytes are safe. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "adapt/log_file.h"
#include "base/random.h"

typedef struct text {
    const char *at;
    size_t left, piece;
} text;

static int64_t read_text(void *user, char *out, size_t most)
{
    text *t = (text *)user;
    size_t n = t->left < most ? t->left : most;
    n = n < t->piece ? n : t->piece;
    memcpy(out, t->at, n);
    t->at += n;
    t->left -= n;
    return (int64_t)n;
}

typedef struct got {
    pw_log_plan plan;
    pw_log_lines lines;
    int rows;
    pw_log_row row[16];
    pw_problems problems;
    bool opened;
} got;

static got *read_all(const char *bytes, size_t length, size_t piece, const pw_log_ask *ask)
{
    static const pw_log_ask none = {0};
    got *g = calloc(1, sizeof *g);
    text t = {bytes, length, piece};
    const pw_log_source source = {.read = read_text, .user = &t};
    assert_non_null(g);
    pw_log_file *file = pw_log_open("x.csv", &source, ask ? ask : &none, &g->problems);
    if (file != NULL) {
        pw_log_row row;
        g->opened = true;
        g->plan = *pw_log_plan_of(file);
        while (pw_log_file_next(file, &row)) {
            if (g->rows < 16) {
                g->row[g->rows] = row;
            }
            g->rows++;
        }
        g->lines = pw_log_lines_of(file);
        pw_log_close(file);
    }
    return g;
}

static got *of(const char *words, const pw_log_ask *ask)
{
    return read_all(words, strlen(words), 7, ask);
}

static void near(double value, double expected)
{
    if (!(value - expected < 1e-6 * (1.0 + expected) && expected - value < 1e-6 * (1.0 + expected))) {
        fail_msg("%.9g instead of %.9g", value, expected);
    }
}

static void test_plain(void **state)
{
    (void)state;
    got *g =
        of("time,pressure (kPa),pump running,flow (L/min)\n2024-03-01 10:00:00,250,1,30\n2024-03-01 10:00:01,251,0,\n",
           NULL);
    assert_true(g->opened);
    assert_int_equal(g->rows, 2);
    assert_int_equal(g->plan.count, 3);
    near(g->row[0].value[PW_LOG_PRESSURE], 250e3);
    near(g->row[0].value[PW_LOG_FLOW], 5e-4);
    near(g->row[1].t_s - g->row[0].t_s, 1.0);
    assert_true(g->row[1].value[PW_LOG_RUNNING] == 0.0);
    assert_true(g->row[1].value[PW_LOG_FLOW] - g->row[1].value[PW_LOG_FLOW] != 0.0); /* missing */
    free(g);
}

/* Titles before, a byte order mark, German headings, decimal commas, day first, quotes, carriage returns. */
static void test_german(void **state)
{
    (void)state;
    got *g = of("\xef\xbb\xbfPumpwerk Nord\r\n\r\n\"Zeit\";\"Druck [bar]\";\"Strom (A)\"\r\n"
                "13.02.2024 23:59:59;\"2,5\";6,25\r\n14.02.2024 00:00:01;2,6;-0,5\r\n",
                NULL);
    assert_true(g->opened);
    assert_int_equal(g->plan.separator, ';');
    assert_true(g->plan.decimal_comma);
    assert_int_equal(g->rows, 2);
    near(g->row[0].value[PW_LOG_PRESSURE], 250e3);
    near(g->row[0].value[PW_LOG_CURRENT], 6.25);
    near(g->row[1].t_s - g->row[0].t_s, 2.0);
    free(g);
}

/* A date and a clock apart, month first (told by the 25th), psi, and rows that are no rows. */
static void test_american(void **state)
{
    (void)state;
    got *g = of("Date\tTime\tPSI\n5/25/2024\t1:00:00 PM\t40\n# note\nrubbish\t\t\n5/25/2024\t1:00:30 PM\t41\n", NULL);
    assert_true(g->opened);
    assert_true(g->plan.month_first);
    assert_int_equal(g->rows, 2);
    near(g->row[1].t_s - g->row[0].t_s, 30.0);
    near(g->row[0].value[PW_LOG_PRESSURE], 40 * 6894.757293);
    assert_int_equal(g->lines.bad_time, 1);
    assert_int_equal(g->lines.empty, 1);
    assert_int_equal(g->lines.first_bad_line, 4);
    free(g);
}

/* A zone that changes: the time goes on. */
static void test_zones(void **state)
{
    (void)state;
    got *g = of("time,level (m)\n2024-10-27T02:59:00+02:00,1\n2024-10-27T02:00:00+01:00,2\n", NULL);
    assert_int_equal(g->rows, 2);
    near(g->row[1].t_s - g->row[0].t_s, 60.0);
    free(g);
}

static void test_asked(void **state)
{
    (void)state;
    const pw_log_ask ask = {.count = 3, .columns = {"b=pressure MPa", "t=time min", "Current=-"}, .only = "who=A02"};
    const char *words = "who,t,b,Current\nA01,0,9,1\nA02,0,0.3,1\nA02,2,0.4,1\n";
    got *g = of(words, &ask);
    assert_true(g->opened);
    assert_int_equal(g->plan.count, 1);
    assert_int_equal(g->rows, 2);
    assert_int_equal(g->lines.other, 1);
    near(g->row[1].t_s, 120.0);
    near(g->row[1].value[PW_LOG_PRESSURE], 400e3);
    free(g);
    const pw_log_ask wrong[] = {{.count = 1, .columns = {"c=pressure kPa"}},
                                {.count = 1, .columns = {"b=pressure L/min"}},
                                {.count = 1, .columns = {"b=warmth"}},
                                {.only = "nobody=1"}};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        g = of(words, &wrong[i]);
        assert_false(g->opened);
        assert_int_equal(g->problems.errors, 1);
        free(g);
    }
}

/* Thousands of columns: one of them is of use. */
static void test_wide(void **state)
{
    (void)state;
    enum { COLUMNS = 3000 };
    char *words = calloc(3, COLUMNS * 8);
    char *at = words;
    assert_non_null(words);
    at += sprintf(at, "time");
    for (int i = 1; i < COLUMNS; i++) {
        at += sprintf(at, i == 2900 ? ",current (A)" : ",x%d", i);
    }
    for (int row = 0; row < 2; row++) {
        at += sprintf(at, "\n%d", row);
        for (int i = 1; i < COLUMNS; i++) {
            at += sprintf(at, ",%d", i % 100);
        }
    }
    got *g = read_all(words, (size_t)(at - words), 1000, NULL);
    assert_true(g->opened);
    assert_int_equal(g->plan.count, 1);
    near(g->row[1].value[PW_LOG_CURRENT], 2900 % 100);
    free(g);
    free(words);
}

static void test_refused(void **state)
{
    (void)state;
    static const char *const words[] = {"", "hello\nworld\n", "a,b\n1,2\n3,4\n", "time,pressure\n", "\xff\xfe\x30"};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        got *g = of(words[i], NULL);
        assert_false(g->opened);
        assert_true(g->problems.errors >= 1);
        free(g);
    }
}

/* Bytes of such files thrown about: never a crash, never more rows than lines. */
static void test_any_bytes(void **state)
{
    (void)state;
    static const char alphabet[] = "0123456789.,;:-/\t \n\n\r\"#timepressurflowA\xef\xbb\xbf\0\xff";
    pw_random random;
    pw_random_seed(&random, 8, 1);
    for (int round = 0; round < 3000; round++) {
        char bytes[600];
        size_t n = (size_t)sprintf(bytes, "time;pressure (bar);flow\n2024-01-01 00:00:00;1,5;3\n");
        n = round % 3 ? n : 0;
        const size_t length = n + pw_random_u32(&random) % 400;
        for (; n < length; n++) {
            bytes[n] = alphabet[pw_random_u32(&random) % (sizeof alphabet - 1)];
        }
        for (int k = 0; k < 5 && length > 0; k++) {
            bytes[pw_random_u32(&random) % length] = alphabet[pw_random_u32(&random) % (sizeof alphabet - 1)];
        }
        got *g = read_all(bytes, length, 1 + pw_random_u32(&random) % 50, NULL);
        assert_true(g->rows <= g->lines.read);
        free(g);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_plain),   cmocka_unit_test(test_german),    cmocka_unit_test(test_american),
        cmocka_unit_test(test_zones),   cmocka_unit_test(test_asked),     cmocka_unit_test(test_wide),
        cmocka_unit_test(test_refused), cmocka_unit_test(test_any_bytes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
