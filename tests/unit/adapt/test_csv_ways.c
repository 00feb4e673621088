/* Files of other forms: registers, draws with begin and end, steps stamped at their end, several homes in one file,
 * blanks between the fields, clocks of a zone. What was read is told, and what looks otherwise than asked for. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "adapt/csv.h"
#include "base/num.h"
#include "english.h"

static pw_problems problems;

static void near(double got, double want, double within)
{
    if (!(pw_abs(got - want) <= within)) {
        fail_msg("got %.17g, expected %.17g within %g", got, want, within);
    }
}

static pw_status read_ways(const char *text, const pw_csv_ask *ask, pw_csv_trace *out)
{
    memset(&problems, 0, sizeof problems);
    return pw_csv_trace_read("meter.csv", text, strlen(text), ask, out, &problems);
}

/* A register: differences, over a gap too; begun anew at 0; a step back that is no new beginning counts as nothing. */
static void registers(void **unused)
{
    (void)unused;
    static const char text[] = "t,m\n0,100\n10,101\n20,101\n60,105\n70,2\n80,3\n90,2.5\n100,4.5\n";
    const pw_csv_ask ask = {.time = "t", .flow = "m", .unit = "1 L", .values = "register"};
    pw_csv_trace t;
    assert_int_equal(read_ways(text, &ask, &t), PW_OK);
    assert_int_equal(t.taken, PW_CSV_REGISTER);
    near(t.volume_m3, 10e-3, 1e-12); /* 1 + 0 + 4 + 2 + 1 + 0 + 2 */
    assert_int_equal(t.resets, 2);
    near(t.times_s[t.count - 1], 100, 0);
    near(t.flows_m3s[0], 1e-4, 1e-15);
    near(t.flows_m3s[2], 1e-4, 1e-15); /* 4 L in 40 s */
    near(t.peak_m3s, 2e-4, 1e-15);
    assert_int_equal(problems.count, 1); /* the steps back */
    pw_csv_trace_free(&t);
    const pw_csv_ask flow = {.time = "t", .flow = "m", .unit = "1 L/s", .values = "register"};
    assert_int_equal(read_ways(text, &flow, &t), PW_SYNTAX); /* a flow is no reading */
}

/* Lengths by the clock, and days as spreadsheets count them: 45047.25 is 1 May 2023, 06:00. */
static void lengths_and_days_of_sheets(void **unused)
{
    (void)unused;
    const pw_csv_ask ask = {.time = "t", .flow = "l", .unit = "1 L", .lasts = "d", .time_unit = "d"};
    pw_csv_trace t;
    assert_int_equal(read_ways("t,d,l\n45047.25,0:01:40,10\n45047.5,50,10\n", &ask, &t), PW_OK);
    assert_true(t.dated);
    assert_false(t.epoch);
    assert_int_equal(t.first_weekday, 0);
    near(t.flows_m3s[1], 1e-4, 1e-9);
    near(t.times_s[1], 21600, 0.01);
    near(t.times_s[2] - t.times_s[1], 100, 0.01);
    near(t.flows_m3s[3], 2e-4, 1e-9);
    pw_csv_trace_free(&t);
    assert_int_equal(read_ways("t,d,l\n1.25,0:01:40,10\n1.5,50,10\n", &ask, &t), PW_OK);
    assert_false(t.dated); /* days since a start */
    pw_csv_trace_free(&t);
    double length;
    assert_true(pw_csv_clock_length("100:00:00.5", &length));
    near(length, 360000.5, 1e-9);
    assert_false(pw_csv_clock_length("07:30", &length) || pw_csv_clock_length("0:60:00", &length) ||
                 pw_csv_clock_length("0:07:30 h", &length));
}

/* A jump that no use explains, among enough steps to know what is usual. */
static void a_meter_is_misread(void **unused)
{
    (void)unused;
    static char text[20000];
    size_t at = (size_t)snprintf(text, sizeof text, "t,m\n");
    double reading = 500.0;
    for (int32_t i = 0; i <= 400; i++) {
        reading += i == 250 ? 30000.0 : 1.0 + i % 3;
        at += (size_t)snprintf(text + at, sizeof text - at, "%d,%.0f\n", (int)i * 60, reading);
    }
    const pw_csv_ask ask = {.time = "t", .flow = "m", .unit = "1 L", .values = "register"};
    pw_csv_trace t;
    assert_int_equal(read_ways(text, &ask, &t), PW_OK);
    assert_int_equal(t.jumps, 1);
    assert_true(t.volume_m3 < 0.81 && t.volume_m3 > 0.79);
    pw_csv_trace_free(&t);
    const pw_csv_ask amounts = {.time = "t", .flow = "m", .unit = "1 L"};
    assert_int_equal(read_ways(text, &amounts, &t), PW_OK);
    assert_int_equal(problems.count, 1); /* amounts that never fall */
    assert_non_null(strstr(english_found(&problems.items[0]), "never fall"));
    pw_csv_trace_free(&t);
}

static void stamps_at_the_end(void **unused)
{
    (void)unused;
    static const char text[] = "t;q\n60;6\n120;0\n180;12\n600;6\n";
    const pw_csv_ask ask = {.time = "t", .flow = "q", .unit = "1 L", .stamp = "end"};
    pw_csv_trace t;
    assert_int_equal(read_ways(text, &ask, &t), PW_OK);
    near(t.volume_m3, 24e-3, 1e-12);
    near(t.times_s[0], 0, 0);
    near(t.flows_m3s[0], 1e-4, 1e-15);
    near(t.times_s[1], 60, 0);
    near(t.flows_m3s[1], 0, 0);
    near(t.times_s[2], 120, 0);
    near(t.flows_m3s[2], 2e-4, 1e-15);
    near(t.times_s[3], 180, 0); /* nothing until 540 */
    near(t.times_s[4], 540, 0);
    near(t.times_s[5], 600, 0);
    assert_int_equal(t.count, 6);
    pw_csv_trace_free(&t);
}

/* Draws may overlap and stand in any order; one that ends in its own second lasts a second. */
static void draws_of_a_table(void **unused)
{
    (void)unused;
    static const char text[] = "b,e,l\n100,200,10\n0,50,5\n150,250,20\n300,300,1\n";
    pw_csv_ask ask = {.time = "b", .flow = "l", .unit = "1 L", .end = "e"};
    pw_csv_trace t;
    assert_int_equal(read_ways(text, &ask, &t), PW_OK);
    assert_int_equal(t.taken, PW_CSV_DRAW);
    near(t.volume_m3, 36e-3, 1e-12);
    near(t.peak_m3s, 1e-3, 1e-12); /* the last, of a second */
    double sum = 0;
    for (int32_t i = 0; i + 1 < t.count; i++) {
        sum += t.flows_m3s[i] * (t.times_s[i + 1] - t.times_s[i]);
        if (t.times_s[i] == 150) {
            near(t.flows_m3s[i], 3e-4, 1e-15);
        }
    }
    near(sum, 36e-3, 1e-12);
    pw_csv_trace_free(&t);
    static const char lengths[] = "b,d,f\n0,1.5,6\n600,2,3\n";
    const pw_csv_ask minutes = {.time = "b", .flow = "f", .unit = "1 L/min", .lasts = "d", .lasts_unit = "min"};
    assert_int_equal(read_ways(lengths, &minutes, &t), PW_OK);
    near(t.volume_m3, 15e-3, 1e-12);
    pw_csv_trace_free(&t);
    ask.end = "f";
    assert_int_equal(read_ways(text, &ask, &t), PW_REFERENCE);
}

/* Several homes in one file: one is taken; without a choice the file is refused, with what to do. */
static void one_of_several(void **unused)
{
    (void)unused;
    static const char text[] = "home,t,q\nA,0,1\nA,10,2\nA,20,0\nB,0,5\nB,10,6\nB,20,0\nC,0,1\nC,10,1\nC,15,3\n";
    pw_csv_ask ask = {.time = "t", .flow = "q", .unit = "L/s", .column = "home", .only = "B"};
    pw_csv_trace t;
    assert_int_equal(read_ways(text, &ask, &t), PW_OK);
    assert_int_equal(t.rows, 3);
    assert_int_equal(t.skipped[PW_CSV_OTHER], 6);
    near(t.volume_m3, 0.11, 1e-12);
    assert_int_equal(problems.count, 0);
    pw_csv_trace_free(&t);
    ask.column = ask.only = NULL;
    assert_int_equal(read_ways(text, &ask, &t), PW_SYNTAX);
    assert_non_null(strstr(english_found(&problems.items[0]), "6 of 9 rows"));
    assert_non_null(strstr(english(&problems.items[0].hint), "only: A01"));
    ask.column = "house";
    ask.only = "B";
    assert_int_equal(read_ways(text, &ask, &t), PW_REFERENCE);
}

/* Blanks between the fields; date and clock in two of them, with one heading or two; a quoted decimal comma. */
static void other_ways_to_write(void **unused)
{
    (void)unused;
    static const char *const texts[] = {
        "time flow\n2020-01-01 00:01  1\n2020-01-01 00:02 \t 3 \n2020-01-01 00:03 0\n",
        "date time flow\n2020-01-01 00:01 1\n2020-01-01 00:02 3\n2020-01-01 00:03 0\n",
        "# x\ndate,clock,flow\n1/1/2020,00:01,1\n1/1/2020,0:02,3\n1/1/2020,0:03:00,0\n",
        "t,flow\n2020-01-01 00:01,\"1,0\"\n2020-01-01 00:02,\"3,0\"\n2020-01-01 00:03,\"0\"\n"};
    static const char *const headings[] = {"time", "date", "date", "t"};
    for (int32_t i = 0; i < 4; i++) {
        const pw_csv_ask ask = {.time = headings[i], .flow = "flow", .unit = "L/s"};
        pw_csv_trace t;
        assert_int_equal(read_ways(texts[i], &ask, &t), PW_OK);
        assert_int_equal(t.rows, 3);
        near(t.times_s[1], 60, 0);
        near(t.volume_m3, 0.24, 1e-12);
        assert_int_equal(t.first_weekday, 2); /* a Wednesday */
        pw_csv_trace_free(&t);
    }
}

/* 2020-01-01 23:30 of UTC is the second half hour of the next day where clocks go an hour ahead. */
static void a_zone_for_counted_seconds(void **unused)
{
    (void)unused;
    static const char text[] = "t,q\n1577921400,1\n1577921460,0\n";
    pw_csv_ask ask = {.time = "t", .flow = "q", .unit = "L/s"};
    pw_csv_trace t;
    assert_int_equal(read_ways(text, &ask, &t), PW_OK);
    assert_true(t.epoch);
    near(t.times_s[1], 84600, 0);
    pw_csv_trace_free(&t);
    ask.zone = "+01:00";
    assert_int_equal(read_ways(text, &ask, &t), PW_OK);
    assert_false(t.epoch);
    near(t.times_s[1], 1800, 0);
    assert_int_equal(t.first_weekday, 3);
    pw_csv_trace_free(&t);
    ask.zone = "Rome";
    assert_int_equal(read_ways(text, &ask, &t), PW_SYNTAX);
    const pw_csv_ask days = {.time = "t", .flow = "q", .unit = "L/s", .time_unit = "d"};
    assert_int_equal(read_ways("t,q\n0,1\n0.5,2\n1,0\n", &days, &t), PW_OK);
    near(t.times_s[1], 43200, 0);
    pw_csv_trace_free(&t);
}

/* An hourly step hides peaks; a gap is told; what was read is said in words. */
static void what_was_read(void **unused)
{
    (void)unused;
    static char text[4000];
    size_t at = (size_t)snprintf(text, sizeof text, "t,q,stop\n");
    for (int32_t i = 0; i < 30; i++) {
        at +=
            (size_t)snprintf(text + at, sizeof text - at, "%d,%d,0\n", (int)(i + (i > 20 ? 9 : 0)) * 3600, i % 4 == 0);
    }
    const pw_csv_ask ask = {.time = "t", .flow = "q", .unit = "100 L"};
    pw_csv_trace t;
    assert_int_equal(read_ways(text, &ask, &t), PW_OK);
    assert_int_equal(problems.count, 3);
    assert_non_null(strstr(english_found(&problems.items[0]), "`stop`"));
    assert_non_null(strstr(english_found(&problems.items[1]), "step of 1 h"));
    assert_non_null(strstr(english_found(&problems.items[2]), "longest 10 h"));
    const pw_fact echo = pw_csv_echo(&t), more = pw_csv_echo_more(&t);
    const pw_remark first = pw_remark_of(&echo), rest = pw_remark_of(&more);
    assert_non_null(strstr(english(&first), "30 rows read as amounts drawn after their time, 0 passed over"));
    assert_non_null(strstr(english(&rest), "longest gap 10 h"));
    near(t.peak_m3s, 0.1 / 3600, 1e-15);
    pw_csv_trace_free(&t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(registers),           cmocka_unit_test(lengths_and_days_of_sheets),
        cmocka_unit_test(a_meter_is_misread),  cmocka_unit_test(stamps_at_the_end),
        cmocka_unit_test(draws_of_a_table),    cmocka_unit_test(one_of_several),
        cmocka_unit_test(other_ways_to_write), cmocka_unit_test(a_zone_for_counted_seconds),
        cmocka_unit_test(what_was_read),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
