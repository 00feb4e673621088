/* CSV files of loggers: forms of fields, times and numbers; traces; the two measured sets; and any bytes. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "adapt/csv.h"
#include "adapt/files.h"
#include "adapt/csv_door.h"
#include "base/num.h"
#include "base/random.h"
#include "english.h"

#define LPM (1.0e-3 / 60.0)

static void near(double got, double want, double within)
{
    if (!(pw_abs(got - want) <= within)) {
        fail_msg("got %.17g, expected %.17g within %g", got, want, within);
    }
}

/* ---- rows and fields ---- */

static void fields_and_line_ends(void **unused)
{
    (void)unused;
    static const char text[] = "\xef\xbb\xbf"
                               "a, b ,\"c, \"\"d\"\"\"\r\n\r\"x\ny\" ,1,\n# no\nlast";
    pw_csv csv;
    pw_csv_row row;
    char out[32];
    pw_csv_begin(&csv, text, sizeof text - 1, ',');
    assert_true(pw_csv_next(&csv, &row));
    assert_int_equal(row.count, 3);
    assert_string_equal(pw_csv_text(&row.fields[0], out, sizeof out), "a");
    assert_string_equal(pw_csv_text(&row.fields[1], out, sizeof out), "b");
    assert_string_equal(pw_csv_text(&row.fields[2], out, sizeof out), "c, \"d\"");
    assert_string_equal(pw_csv_text(&row.fields[2], out, 6), "c, \"d");
    assert_true(pw_csv_next(&csv, &row));
    assert_true(row.blank);
    assert_int_equal(row.line, 2);
    assert_true(pw_csv_next(&csv, &row));
    assert_int_equal(row.count, 3);
    assert_int_equal(row.line, 3);
    assert_string_equal(pw_csv_text(&row.fields[0], out, sizeof out), "x\ny");
    assert_int_equal(row.fields[1].line, 4);
    assert_int_equal(row.fields[1].column, 5);
    assert_true(pw_csv_next(&csv, &row));
    assert_true(row.comment);
    assert_int_equal(row.line, 5);
    assert_true(pw_csv_next(&csv, &row));
    assert_string_equal(pw_csv_text(&row.fields[0], out, sizeof out), "last");
    assert_false(row.unclosed);
    assert_false(pw_csv_next(&csv, &row));
}

static void quotes_that_go_wrong(void **unused)
{
    (void)unused;
    static const char text[] = "\"12\"34,5\n\"6\n,7";
    pw_csv csv;
    pw_csv_row row;
    char out[32];
    pw_csv_begin(&csv, text, sizeof text - 1, ',');
    assert_true(pw_csv_next(&csv, &row));
    assert_int_equal(row.count, 2);
    assert_string_equal(pw_csv_text(&row.fields[0], out, sizeof out), "\"12\"34");
    assert_true(pw_csv_next(&csv, &row));
    assert_true(row.unclosed);
    assert_int_equal(row.fields[0].line, 2);
    assert_false(pw_csv_next(&csv, &row));
}

static void many_fields(void **unused)
{
    (void)unused;
    char text[1000];
    memset(text, ';', sizeof text);
    pw_csv csv;
    pw_csv_row row;
    pw_csv_begin(&csv, text, sizeof text, ';');
    assert_true(pw_csv_next(&csv, &row));
    assert_int_equal(row.count, 1001);
    assert_true(row.blank);
    assert_false(pw_csv_next(&csv, &row));
}

static void numbers(void **unused)
{
    (void)unused;
    static const struct {
        const char *text;
        bool comma;
        double value;
    } good[] = {{"12", false, 12},    {"-1.5", false, -1.5}, {"+.5", false, 0.5}, {"5.", false, 5},
                {"2e3", false, 2000}, {"1,5", true, 1.5},    {"007", false, 7},   {"-00.5", false, -0.5},
                {"0", false, 0},      {"1.e2", false, 100},  {",25", true, 0.25}, {"0.15754", true, 0.15754}};
    static const char *const bad[] = {"",      "-",    ".",   "+",   "1,5", "1 2",   "nan", "inf",
                                      "1e999", "0x10", "12L", "--1", "+-1", "1.2.3", "e5"};
    double value;
    for (size_t i = 0; i < sizeof good / sizeof good[0]; i++) {
        assert_true(pw_csv_number(good[i].text, good[i].comma, &value));
        near(value, good[i].value, 0);
    }
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        if (pw_csv_number(bad[i], false, &value)) {
            fail_msg("\"%s\" read as a number", bad[i]);
        }
    }
}

/* ---- times: seconds since 1970 by `date -u -d ... +%s` (GNU coreutils), computed ---- */

static void times_that_read(void **unused)
{
    (void)unused;
    static const struct {
        const char *text;
        pw_csv_order settings;
        double seconds;
    } good[] = {
        {"1550334979", PW_CSV_DAY_FIRST, 1550334979.0},
        {"1550334979250", PW_CSV_DAY_FIRST, 1550334979.25},
        {"12.5", PW_CSV_DAY_FIRST, 12.5},
        {"2019-10-04T13:10:06", PW_CSV_DAY_FIRST, 1570194606.0},
        {"2019-10-04 13:10:06.25Z", PW_CSV_DAY_FIRST, 1570194606.25},
        {"2019-10-04T13:10+02:00", PW_CSV_DAY_FIRST, 1570194600.0}, /* by its own clock */
        {"2019/10/04 13:10", PW_CSV_DAY_FIRST, 1570194600.0},
        {"19-10-4 13:10:06", PW_CSV_DAY_FIRST, 1570194606.0},
        {"04/10/2019 13:10", PW_CSV_DAY_FIRST, 1570194600.0},
        {"10/04/2019 13:10", PW_CSV_MONTH_FIRST, 1570194600.0},
        {"10/4/2019 1:10:06 PM", PW_CSV_MONTH_FIRST, 1570194606.0},
        {"4.10.2019 13:10", PW_CSV_MONTH_FIRST, 1570194600.0},
        {"4/10/19 12:00 am", PW_CSV_DAY_FIRST, 1570147200.0},
        {"04-10-2019 13:10", PW_CSV_DAY_FIRST, 1570194600.0},
        {"2019-10-04", PW_CSV_DAY_FIRST, 1570147200.0},
        {"2019-10-04 24:00", PW_CSV_DAY_FIRST, 1570233600.0},
        {"2000-02-29 00:00:01", PW_CSV_DAY_FIRST, 951782401.0},
        {"1969-12-31 23:59:59", PW_CSV_DAY_FIRST, -1.0},
        {"2100-03-01", PW_CSV_DAY_FIRST, 4107542400.0},
        {"1900-03-01", PW_CSV_DAY_FIRST, -2203891200.0},
        {"4 Oct 2019 13:10", PW_CSV_DAY_FIRST, 1570194600.0},
        {"October 4, 2019 1:10 PM", PW_CSV_MONTH_FIRST, 1570194600.0},
        {"04-Okt-19 13:10", PW_CSV_DAY_FIRST, 1570194600.0},
        {"29. Feb. 2000", PW_CSV_DAY_FIRST, 951782400.0},
    };
    for (size_t i = 0; i < sizeof good / sizeof good[0]; i++) {
        pw_csv_moment moment;
        if (!pw_csv_time(good[i].text, good[i].settings, &moment)) {
            fail_msg("\"%s\" does not read", good[i].text);
        }
        near(moment.seconds, good[i].seconds, 1e-6);
    }
    pw_csv_moment moment;
    assert_true(pw_csv_time("2019-10-04T13:10-0530", PW_CSV_DAY_FIRST, &moment));
    assert_true(moment.zoned);
    near(moment.zone_s, -19800, 0);
}

static void times_that_do_not(void **unused)
{
    (void)unused;
    static const char *const bad[] = {"",
                                      "noon",
                                      "Oct",
                                      "4 Oct",
                                      "31 Apr 2019",
                                      "4 Ock 2019",
                                      "Oct 4 Oct 2019",
                                      "4 Oct 201",
                                      "2019-13-04",
                                      "2019-02-29",
                                      "2100-02-29 00:00",
                                      "31/04/2019",
                                      "2019-10-04 25",
                                      "2019-10-04 24:01",
                                      "2019-10-04 13:60",
                                      "2019-10-04 13:10:61",
                                      "2019-10",
                                      "2019-10-04x",
                                      "2019-10/04",
                                      "2019-10-04 13:10 XM",
                                      "2019-10-04 13:10+25:00",
                                      "123-1-1",
                                      "1899-12-31",
                                      "2200-01-01",
                                      "2019-10-04 0:10 PM",
                                      "1e20",
                                      "20191-1-1",
                                      "2019-10-04 13:10 5"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        pw_csv_moment moment;
        if (pw_csv_time(bad[i], PW_CSV_DAY_FIRST, &moment)) {
            fail_msg("\"%s\" read as a time", bad[i]);
        }
    }
}

/* Each day of three centuries follows the one before. */
static void days_follow_each_other(void **unused)
{
    (void)unused;
    double before = -2208988800.0 - 86400.0; /* 1900-01-01 (RFC 868, from memory) less a day */
    int64_t days = 0;
    for (int32_t year = 1900; year <= 2199; year++) {
        for (int32_t month = 1; month <= 12; month++) {
            for (int32_t day = 1; day <= 31; day++) {
                char text[32];
                pw_csv_moment moment;
                snprintf(text, sizeof text, "%d-%d-%d", (int)year, (int)month, (int)day);
                if (pw_csv_time(text, PW_CSV_DAY_FIRST, &moment)) {
                    near(moment.seconds, before + 86400.0, 0);
                    before = moment.seconds;
                    days++;
                }
            }
        }
    }
    assert_int_equal(days, 300 * 365 + 73); /* leap years: 75 less 1900 and 2100 */
}

/* ---- traces ---- */

static pw_problems problems;

static pw_status read_text(const char *text, const char *time, const char *flow, const char *unit, double step_s,
                           pw_csv_trace *out)
{
    pw_csv_ask ask = {.time = time, .flow = flow, .unit = unit, .step_s = step_s};
    memset(&problems, 0, sizeof problems);
    return pw_csv_trace_read("meter.csv", text, strlen(text), &ask, out, &problems);
}

static void flows_hold_until_the_next_row(void **unused)
{
    (void)unused;
    pw_csv_trace t;
    assert_int_equal(read_text("t,q\n0,6\n60,6\n120,0\n180,3\n", "t", "q", "L/min", 0, &t), PW_OK);
    assert_int_equal(t.count, 4);
    near(t.times_s[0], 0, 0);
    near(t.times_s[1], 120, 0);
    near(t.times_s[2], 180, 0);
    near(t.times_s[3], 240, 0); /* the last row holds for the usual step */
    near(t.flows_m3s[0], 6 * LPM, 1e-15);
    near(t.flows_m3s[1], 0, 0);
    near(t.flows_m3s[2], 3 * LPM, 1e-15);
    near(t.flows_m3s[3], 0, 0);
    near(t.volume_m3, 15e-3, 1e-12);
    assert_false(t.dated);
    assert_int_equal(problems.count, 0);
    pw_csv_trace_free(&t);
}

/* A row without a value is passed over; at the end of the file as in its middle the flow before it goes on. */
static void a_last_row_without_a_value_counts_as_time(void **unused)
{
    (void)unused;
    static const char *const last[] = {"180,\n", "180\n", "180,-1\n", "180,x\n", "180,\n# end\nend,\n99999999999,\n"};
    for (size_t i = 0; i < sizeof last / sizeof last[0]; i++) {
        char text[128];
        pw_csv_trace t;
        snprintf(text, sizeof text, "t,q\n0,6\n60,6\n120,3\n%s", last[i]);
        assert_int_equal(read_text(text, "t", "q", "L/min", 0, &t), PW_OK);
        near(t.times_s[t.count - 1], 240, 0);
        near(t.volume_m3, 12e-3 + 6e-3, 1e-12);
        pw_csv_trace_free(&t);
        snprintf(text, sizeof text, "t,q\n0,6\n60,6\n120,3\n%s", last[i]);
        assert_int_equal(read_text(text, "t", "q", "mL", 60, &t),
                         PW_OK); /* amounts: nothing in a step that is missing */
        near(t.times_s[t.count - 1], 240, 0);
        near(t.volume_m3, 15e-6, 1e-15);
        pw_csv_trace_free(&t);
    }
    pw_csv_trace t;
    assert_int_equal(read_text("t,q\n-180,6\n-120,6\n", "t", "q", "L/min", 0, &t), PW_OK);
    near(t.times_s[t.count - 1], 120, 0);
    pw_csv_trace_free(&t);
}

static void a_step_ends_a_row(void **unused)
{
    (void)unused;
    pw_csv_trace t;
    /* mL in that second, seconds without flow left out */
    assert_int_equal(read_text("epoch_s,ml\n10,60\n11,60\n15,120\n", "epoch_s", "ml", "mL", 1, &t), PW_OK);
    assert_int_equal(t.count, 5);
    near(t.times_s[1], 10, 0);
    near(t.flows_m3s[1], 60e-6, 1e-18);
    near(t.times_s[2], 12, 0);
    near(t.flows_m3s[2], 0, 0);
    near(t.times_s[3], 15, 0);
    near(t.flows_m3s[3], 120e-6, 1e-18);
    near(t.times_s[4], 16, 0);
    near(t.volume_m3, 240e-6, 1e-15);
    near(t.silent_s, 3, 0);
    assert_true(t.amounts);
    pw_csv_trace_free(&t);
}

static void pulses_with_titles_quotes_and_midnight(void **unused)
{
    (void)unused;
    static const char text[] = "Site #: 019\r\nMeter Size: 1\"\r\nTime,Record,Pulses\r\n\"19-10-4 13:10:06\",1,2\r\n"
                               "\"19-10-4 13:10:10\",2,0\r\n\"19-10-4 13:10:14\",3,4\r\n";
    pw_csv_trace t;
    assert_int_equal(read_text(text, "time", "PULSES", "0.15754 L", 0, &t), PW_OK);
    assert_int_equal(t.heading_line, 3);
    assert_int_equal(t.title_rows, 2);
    assert_int_equal(t.rows, 3);
    assert_int_equal(t.count, 6);
    near(t.times_s[1], 13 * 3600 + 606, 0);
    near(t.flows_m3s[1], 2 * 0.15754e-3 / 4, 1e-15);
    near(t.times_s[5], 86400, 0); /* the trace lasts whole days, so that it keeps its time of day */
    near(t.flows_m3s[5], 0, 0);
    near(t.padded_s, 86400 - 12, 1e-9);
    near(t.volume_m3, 6 * 0.15754e-3, 1e-15);
    near(t.step_s, 4, 0);
    pw_csv_trace_free(&t);
}

static void semicolons_and_decimal_commas(void **unused)
{
    (void)unused;
    pw_csv_trace t;
    assert_int_equal(
        read_text("Zeit;Fluss\n04.10.2019 00:00;1,5\n04.10.2019 12:00;0\n", "Zeit", "Fluss", "m3/h", 0, &t), PW_OK);
    near(t.flows_m3s[0], 1.5 / 3600, 1e-15);
    near(t.times_s[1], 43200, 0);
    assert_int_equal(t.separator, ';');
    pw_csv_trace_free(&t);
    assert_int_equal(read_text("a\tb\n0\t1\n1\t2\n", "a", "b", "L/s", 0, &t), PW_OK);
    assert_int_equal(t.separator, '\t');
    pw_csv_trace_free(&t);
}

static void columns_by_number(void **unused)
{
    (void)unused;
    pw_csv_trace t;
    assert_int_equal(read_text("logger 7\n0,x,1\n5,x,2\n", "column 1", "column 3", "L/s", 0, &t), PW_OK);
    assert_int_equal(t.rows, 2);
    assert_int_equal(t.heading_line, 0);
    assert_int_equal(t.title_rows, 1);
    near(t.flows_m3s[1], 2e-3, 1e-15);
    pw_csv_trace_free(&t);
    assert_int_equal(read_text("# when,flow\n0,1\n5,2\n", "when", "2", "L/s", 0, &t), PW_OK);
    assert_int_equal(t.rows, 2);
    assert_int_equal(t.heading_line, 1);
    pw_csv_trace_free(&t);
}

static void day_and_month(void **unused)
{
    (void)unused;
    pw_csv_trace t;
    assert_int_equal(read_text("t,q\n10/12/2019,1\n10/13/2019,2\n", "t", "q", "L/s", 0, &t), PW_OK);
    assert_int_equal(t.rows, 2); /* the second row shows that the month comes first */
    near(t.times_s[1], 86400, 0);
    assert_int_equal(problems.count, 0);
    pw_csv_trace_free(&t);
    assert_int_equal(read_text("t,q\n01/02/2019,1\n02/02/2019,2\n", "t", "q", "L/s", 0, &t), PW_OK);
    near(t.times_s[1], 86400, 0);
    assert_true(t.guessed_settings);
    assert_int_equal(problems.count, 1);
    assert_true(problems.items[0].warning);
    pw_csv_trace_free(&t);
    /* both ways fit: days that follow each other are no first days of months */
    assert_int_equal(read_text("t,q\n05/01/2019,1\n05/02/2019,2\n05/03/2019,2\n", "t", "q", "L/s", 0, &t), PW_OK);
    near(t.times_s[1], 86400, 0);
    assert_true(t.guessed_settings);
    assert_int_equal(problems.count, 1);
    pw_csv_trace_free(&t);
}

static void a_zone_that_changes(void **unused)
{
    (void)unused;
    pw_csv_trace t;
    assert_int_equal(
        read_text("t,q\n2019-10-27T02:59:00+02:00,1\n2019-10-27T02:00:00+01:00,2\n2019-10-27T02:01:00+01:00,0\n", "t",
                  "q", "L/s", 0, &t),
        PW_OK);
    assert_int_equal(t.rows, 3);
    near(t.times_s[1], 2 * 3600 + 59 * 60, 0);
    near(t.times_s[2], 3 * 3600, 0);
    near(t.times_s[3], 3 * 3600 + 60, 0);
    pw_csv_trace_free(&t);
}

static void every_skipped_row_is_counted(void **unused)
{
    (void)unused;
    static const char text[] = "t,q\n"
                               "0,1\n"
                               "\n"
                               "# note\n"
                               "5\n"
                               "soon,1\n"
                               "10,much\n"
                               "11,-1\n"
                               "12,1001\n"
                               "20,2\n"
                               "19,2\n"
                               "20,5\n"
                               "30,\n"
                               "40,0\n41,0\n42,0\n43,0\n44,0\n45,0\n";
    pw_csv_trace t;
    assert_int_equal(read_text(text, "t", "q", "L/s", 0, &t), PW_OK);
    static const int64_t want[PW_CSV_SKIP_COUNT] = {1, 0, 1, 1, 1, 2, 1, 1, 1, 1};
    static const int32_t line[PW_CSV_SKIP_COUNT] = {3, 0, 4, 5, 6, 7, 8, 9, 11, 12};
    int64_t all = t.rows;
    for (int32_t i = 0; i < PW_CSV_SKIP_COUNT; i++) {
        assert_int_equal(t.skipped[i], want[i]);
        assert_int_equal(t.skipped_line[i], line[i]);
        all += t.skipped[i];
    }
    assert_int_equal(all, 18);
    assert_int_equal(t.skipped_column[PW_CSV_VALUE], 4);
    near(t.flows_m3s[1], 5e-3, 1e-15); /* of two flows at one time the later */
    assert_int_equal(problems.errors, 0);
    assert_int_equal(problems.count, 7);
    assert_string_equal(problems.items[0].path, "meter.csv");
    assert_int_equal(problems.items[0].line, 5);
    pw_csv_trace_free(&t);
    assert_int_equal(read_text("t,q\n0,1\n0,2\n1,4\n", "t", "q", "1 L", 0, &t), PW_OK);
    near(t.flows_m3s[0], 3e-3, 1e-15); /* amounts at one time are summed */
    near(t.volume_m3, 7e-3, 1e-15);
    pw_csv_trace_free(&t);
}

static void refused(const char *text, const char *unit, pw_status status, int32_t line, int32_t column,
                    const char *words)
{
    pw_csv_trace t;
    pw_status got = read_text(text, "time", "flow", unit, 0, &t);
    if (got != status || problems.count != 1 || problems.items[0].line != line || problems.items[0].column != column) {
        fail_msg("\"%s\": %s at %d:%d (%d)", text, pw_status_id(got), problems.items[0].line, problems.items[0].column,
                 problems.count);
    }
    const pw_problem *p = &problems.items[0];
    if (strstr(english(&p->found), words) == NULL && strstr(english(&p->expected), words) == NULL &&
        strstr(english(&p->hint), words) == NULL) {
        fail_msg("\"%s\": found %s expected %s hint %s", text, english(&p->found), english(&p->expected),
                 english(&p->hint));
    }
    assert_null(t.times_s);
}

static void refusals_say_where(void **unused)
{
    (void)unused;
    refused("", "L/s", PW_SYNTAX, 1, 1, "fields");
    refused("title\nTime,Flw\n0,1\n", "L/s", PW_REFERENCE, 2, 1, "did you mean \"Flw\"?");
    refused("Tme;Flow\n0;1\n", "L/s", PW_REFERENCE, 1, 1, "did you mean \"Tme\"?");
    refused("a,b,c\n0,1,2\n", "L/s", PW_REFERENCE, 1, 1, "a, b, c");
    refused("time,flow\n0,1\n1,2\n", "kPa", PW_UNIT, 0, 0, "kPa");
    refused("time,flow\n0,1\n1,2\n", "", PW_UNIT, 0, 0, "unit");
    refused("time,flow\n0,1\n1,2\n", "0 L", PW_UNIT, 0, 0, "0 L");
    refused("time,flow\n", "L/s", PW_MISSING, 2, 1, "no rows");
    refused("time,flow\n0,1\n", "L/s", PW_MISSING, 2, 1, "single row");
    refused("time,flow\n\n0,a\n1,b\n", "L/s", PW_SYNTAX, 3, 3, "value that cannot be read");
    refused("time,flow\nx,1\ny,2\n", "L/s", PW_SYNTAX, 2, 1, "time that cannot be read");
    refused("time,flow\n0,1\n1,\"2\n3,4\n", "L/s", PW_SYNTAX, 3, 3, "quote");
    refused("time,flow\n0,1\n1e9,2\n", "L/s", PW_RANGE, 2, 1, "ten years");
    refused("time,flow\n0,1\n0.5,5000\n1,0\n", "L", PW_RANGE, 0, 0, "unit right");
    refused("\xff\xfet\0i\0", "L/s", PW_SYNTAX, 1, 1, "UTF-16");
}

static void jitter_is_no_gap(void **unused)
{
    (void)unused;
    pw_csv_trace t;
    assert_int_equal(read_text("t,n\n0,4\n4,4\n9,5\n14,5\n18,4\n30,4\n", "t", "n", "L", 4, &t), PW_OK);
    near(t.volume_m3, 26e-3, 1e-15);
    near(t.silent_s, 8, 1e-12);
    pw_csv_trace_free(&t);
}

/* The invariants that the core leans on, and the volume. */
static void check_trace(const pw_csv_trace *t)
{
    double volume = 0.0;
    assert_true(t->count >= 2);
    near(t->times_s[0], 0, 0);
    near(t->flows_m3s[t->count - 1], 0, 0);
    for (int32_t i = 0; i + 1 < t->count; i++) {
        assert_true(t->times_s[i + 1] > t->times_s[i]);
        assert_true(t->flows_m3s[i] >= 0.0 && t->flows_m3s[i] <= PW_CSV_MOST_M3S);
        volume += t->flows_m3s[i] * (t->times_s[i + 1] - t->times_s[i]);
    }
    assert_true(pw_is_finite(volume));
    near(volume, t->volume_m3, 1e-9 * t->volume_m3 + 1e-300);
}

static void read_measured(const char *file, const pw_csv_ask *ask, pw_csv_trace *out)
{
    char path[512];
    size_t length;
    const char *why;
    snprintf(path, sizeof path, "%s/data/measured/%s", PW_SOURCE_DIR, file);
    char *bytes = pw_file_read(path, PW_CSV_MAX_BYTES, &length, &why);
    assert_non_null(bytes);
    memset(&problems, 0, sizeof problems);
    assert_int_equal(pw_csv_trace_read(file, bytes, length, ask, out, &problems), PW_OK);
    assert_int_equal(problems.count, 0);
    free(bytes);
    check_trace(out);
}

/* Volumes: the same files summed by an independent script; see SOURCE.md beside them. */
static void measured_house(void **unused)
{
    (void)unused;
    pw_csv_ask ask = {.time = "Time", .flow = "Pulses", .unit = "0.15754 L", .step_s = 4};
    pw_csv_trace t;
    read_measured("house_pulses/two_days.csv", &ask, &t);
    assert_int_equal(t.title_rows, 3);
    assert_int_equal(t.rows, 2516);
    near(t.volume_m3, 1.2992324, 1e-6); /* 751.15072 + 548.08166 L */
    near(t.times_s[t.count - 1], 2 * 86400.0, 0);
    pw_csv_trace_free(&t);
}

static void measured_apartment(void **unused)
{
    (void)unused;
    pw_csv_ask ask = {.time = "s", .flow = "ml", .unit = "mL", .step_s = 1};
    pw_csv_trace t;
    read_measured("apartment_week/week.csv", &ask, &t);
    near(t.volume_m3, 0.920869, 1e-9);
    near(t.times_s[t.count - 1], 7 * 86400.0, 0);
    pw_csv_trace_free(&t);
}

/* Any bytes: cut, changed and joined pieces of good files. The sanitizer builds make this test worth its name. */
static void any_bytes(void **unused)
{
    (void)unused;
    static const char *const pieces[] = {"time,flow\n",
                                         "0,1\n",
                                         "\"",
                                         "\"\"",
                                         ",",
                                         ";",
                                         "\t",
                                         "\r",
                                         "\n",
                                         "\xef\xbb\xbf",
                                         "1e9,",
                                         "-",
                                         ".",
                                         "#",
                                         "1",
                                         "99999",
                                         "\xff",
                                         "time",
                                         "2019-10-4 1:2:3,5\n",
                                         "4/10/2019,2\n",
                                         "flow",
                                         "5,3\n",
                                         "1e308,1e308\n",
                                         "0.001,1e300\n",
                                         "0.0011,1e300\n"};
    pw_random random;
    pw_random_seed(&random, 4, 4);
    int32_t usable = 0;
    for (int32_t round = 0; round < 20000; round++) {
        char text[600];
        size_t length = 0;
        if (round % 3 != 0) {
            length = (size_t)snprintf(text, sizeof text, "time,flow\n0,1\n");
        }
        int32_t count = (int32_t)(pw_random_u32(&random) % 24);
        for (int32_t i = 0; i < count; i++) {
            const char *piece = pieces[pw_random_u32(&random) % (sizeof pieces / sizeof pieces[0])];
            size_t n = strlen(piece);
            memcpy(text + length, piece, n);
            length += n;
        }
        if (length > 0 && pw_random_u32(&random) % 2) {
            text[pw_random_u32(&random) % length] = (char)pw_random_u32(&random);
        }
        char *exact = malloc(length + 1); /* so that a byte read too far shows */
        memcpy(exact, text, length);
        char *bytes = realloc(exact, length > 0 ? length : 1);
        pw_csv_ask ask = {.time = "time", .flow = round % 2 ? "flow" : "column 2", .unit = round % 5 ? "L/s" : "0.5 L"};
        ask.step_s = round % 7 == 0 ? 2.0 : 0.0;
        pw_csv_trace t;
        memset(&problems, 0, sizeof problems);
        pw_status status = pw_csv_trace_read("any.csv", bytes, length, &ask, &t, &problems);
        if (status == PW_OK) {
            usable++;
            check_trace(&t);
            pw_csv_trace_free(&t);
        } else {
            assert_true(problems.errors >= 1);
            assert_null(t.times_s);
        }
        free(bytes);
    }
    assert_true(usable > 500); /* many are refused for having more odd rows than good ones */
}

/* The same reader behind JSON, as the page asks it. */
static void read_behind_json(void **unused)
{
    (void)unused;
    static const char good[] = "{\"csv\":\"t,q\\n0,6\\n60,0\\n120,x\\n180,3\\n\",\"file\":\"a.csv\",\"time\":\"t\","
                               "\"flow\":\"q\",\"unit\":\"L/min\"}";
    static const struct {
        const char *request, *words;
    } bad[] = {
        {"{", "\"ok\":false"},
        {"{\"csv\":\"t,q\"}", "csv, time, flow and unit"},
        {"{\"csv\":\"t,q\\n0,1\\n9,2\",\"time\":\"t\",\"flow\":\"q\",\"unit\":\"kPa\"}", "\"status\":\"unit\""},
        {"{\"csv\":\"t,q\\n0,1\\n9,2\",\"time\":\"t\",\"flow\":\"q\",\"unit\":\"L/s\",\"step\":\"2 d\"}", "24 h"}};
    char *answer = pw_csv_door(good, sizeof good - 1);
    assert_non_null(answer);
    assert_non_null(strstr(answer, "{\"ok\":true,\"times\":[0,60,180,"));
    assert_non_null(strstr(answer, "\"flows\":[0.1,0,0.05,"));
    assert_non_null(strstr(answer, "\"path\":\"a.csv\",\"line\":4"));
    free(answer);
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        answer = pw_csv_door(bad[i].request, strlen(bad[i].request));
        assert_non_null(answer);
        assert_non_null(strstr(answer, "{\"ok\":false"));
        assert_non_null(strstr(answer, bad[i].words));
        free(answer);
    }
}

/* A catalogue of pumps as the page asks for it: the list that the door takes, or what is wrong with the table. */
static void a_catalogue_through_its_door(void **unused)
{
    (void)unused;
    static const char good[] =
        "{\"of\":\"pumps\",\"csv\":\"name,flow (L/min),head (m),efficiency (%),motor power (kW)\\n"
        "Heron,0,86,0,1.5\\nHeron,40,74,52\\nHeron,85,24,30\\n\"}";
    static const char bad[] = "{\"of\":\"pumps\",\"csv\":\"colour,taste\\nred,sweet\\n\"}",
                      none[] = "{\"of\":\"pumps\"}";
    char *answer = pw_csv_door(good, sizeof good - 1);
    assert_non_null(answer);
    assert_non_null(strstr(answer, "{\"ok\":true,\"catalogue\":[{\"name\":\"Heron\""));
    assert_non_null(strstr(answer, "40 L/min"));
    free(answer);
    answer = pw_csv_door(bad, sizeof bad - 1);
    assert_non_null(strstr(answer, "{\"ok\":false"));
    free(answer);
    answer = pw_csv_door(none, sizeof none - 1);
    assert_non_null(strstr(answer, "\"status\":\"missing\""));
    free(answer);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_catalogue_through_its_door),
        cmocka_unit_test(fields_and_line_ends),
        cmocka_unit_test(quotes_that_go_wrong),
        cmocka_unit_test(many_fields),
        cmocka_unit_test(numbers),
        cmocka_unit_test(times_that_read),
        cmocka_unit_test(times_that_do_not),
        cmocka_unit_test(days_follow_each_other),
        cmocka_unit_test(flows_hold_until_the_next_row),
        cmocka_unit_test(a_last_row_without_a_value_counts_as_time),
        cmocka_unit_test(a_step_ends_a_row),
        cmocka_unit_test(pulses_with_titles_quotes_and_midnight),
        cmocka_unit_test(semicolons_and_decimal_commas),
        cmocka_unit_test(columns_by_number),
        cmocka_unit_test(day_and_month),
        cmocka_unit_test(a_zone_that_changes),
        cmocka_unit_test(every_skipped_row_is_counted),
        cmocka_unit_test(refusals_say_where),
        cmocka_unit_test(jitter_is_no_gap),
        cmocka_unit_test(measured_house),
        cmocka_unit_test(measured_apartment),
        cmocka_unit_test(any_bytes),
        cmocka_unit_test(read_behind_json),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
