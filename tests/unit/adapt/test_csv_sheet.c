/* Measured traces put into a site sheet. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "adapt/csv_sheet.h"
#include "adapt/sheet.h"
#include "base/num.h"
#include "english.h"

#define SHEET PW_SOURCE_DIR "/data/measured/sheet.yaml" /* need not exist: only its folder counts */

static uint8_t block[8 * 1024 * 1024];
static pw_arena arena;
static pw_problems problems;

static const pw_json *read_json(const char *text)
{
    const pw_json *json = NULL;
    assert_int_equal(pw_json_read(&arena, text, strlen(text), &json, &problems), PW_OK);
    return json;
}

static int begin(void **unused)
{
    (void)unused;
    pw_arena_init(&arena, block, sizeof block);
    memset(&problems, 0, sizeof problems);
    return 0;
}

static const pw_json *fill(const char *site, const char *sheet_path, pw_status want)
{
    pw_text out;
    const pw_json *json = read_json(site);
    assert_true(pw_csv_sheet_needs(json));
    assert_int_equal(pw_csv_sheet_fill(&arena, json, sheet_path, &out, &problems), want);
    assert_false(out.failed);
    return read_json(out.data);
}

static void files_are_read(void **unused)
{
    (void)unused;
    const pw_json *site = fill(
        "{\"site\": \"A\", \"demand\": [{\"outlet\": \"x\", \"flow\": \"1 L/min\"}, {\"outlet\": \"taps\", \"trace\": "
        "{\"file\": \"house_pulses/two_days.csv\", \"time\": \"Time\", \"flow\": \"Pulses\", \"unit\": \"0.15754 L\", "
        "\"step\": \"4 s\"}}, {\"outlet\": \"flat\", \"trace\": {\"file\": \"apartment_week/week.csv\", "
        "\"time\": \"s\", \"flow\": \"ml\", \"unit\": \"mL\", \"step\": \"1 s\"}}], \"note\": null, \"settings\": "
        "[\"x\"]}",
        SHEET, PW_OK);
    assert_int_equal(problems.count, 2); /* what was read of each */
    assert_true(problems.items[0].status == PW_OK && problems.items[1].status == PW_OK && problems.errors == 0);
    assert_non_null(strstr(english_found(&problems.items[0]), "rows read as amounts"));
    assert_int_equal(site->count, 4);
    const pw_json *demands = pw_json_get(site, "demand");
    assert_int_equal(demands->count, 3);
    assert_null(pw_json_get(pw_json_at(demands, 0), "times"));
    static const double litres[3] = {0, 1299.23238, 920.869}, end_s[3] = {0, 172800, 604800};
    for (int32_t i = 1; i < 3; i++) {
        const pw_json *demand = pw_json_at(demands, i);
        assert_non_null(pw_json_get(demand, "trace"));
        const pw_json *times = pw_json_get(demand, "times"), *flows = pw_json_get(demand, "flows");
        assert_int_equal(times->count, flows->count);
        double sum = 0.0;
        const pw_json *f = flows->first;
        const pw_json *t = times->first;
        assert_true(t->number == 0.0);
        for (; t->next != NULL; t = t->next) {
            assert_true(t->next->number > t->number);
            sum += f->number * (t->next->number - t->number);
            f = f->next;
        }
        assert_true(t->number == end_s[i]);
        assert_true(pw_abs(sum - litres[i]) < 1e-3);
    }
    assert_false(pw_csv_sheet_needs(site)); /* filled now */
}

static void refused(const char *trace, const char *path, pw_status status, const char *words)
{
    begin(NULL);
    char text[1000] = "{\"demand\": [{\"trace\": ";
    strcat(strcat(text, trace), "}]}");
    const pw_json *site = fill(text, SHEET, status);
    assert_null(pw_json_get(pw_json_at(pw_json_get(site, "demand"), 0), "times"));
    assert_int_equal(problems.errors, 1);
    assert_string_equal(problems.items[0].path, path);
    if (strstr(english_found(&problems.items[0]), words) == NULL) {
        fail_msg("found: %s", english_found(&problems.items[0]));
    }
}

static void failures_say_where(void **unused)
{
    (void)unused;
    refused("{\"file\": \"none.csv\", \"time\": \"a\", \"flow\": \"b\", \"unit\": \"L\"}", "demand[0].trace.file",
            PW_REFERENCE, "none.csv: ");
    refused("{\"file\": \"apartment_week/week.csv\", \"time\": \"s\", \"flow\": \"mls\", \"unit\": \"mL\"}",
            "demand[0].trace", PW_REFERENCE, "apartment_week/week.csv, line 3, column 1: mls");
    refused("{\"file\": \"apartment_week/week.csv\", \"time\": \"s\", \"flow\": \"ml\", \"unit\": \"kPa\"}",
            "demand[0].trace", PW_UNIT, "kPa");
    refused(
        "{\"file\": \"apartment_week/week.csv\", \"time\": \"s\", \"flow\": \"ml\", \"unit\": \"mL\", \"step\": \"1\"}",
        "demand[0].trace.step", PW_UNIT, "1");
    refused("{\"file\": \"apartment_week/week.csv\", \"time\": \"s\", \"flow\": \"ml\", \"unit\": \"mL\", \"step\": "
            "\"2 d\"}",
            "demand[0].trace.step", PW_RANGE, "2 d");
    refused("{\"file\": \"apartment_week/SOURCE.md\", \"time\": \"s\", \"flow\": \"ml\", \"unit\": \"mL\"}",
            "demand[0].trace", PW_REFERENCE, "SOURCE.md");
    refused("{\"file\": \"apartment_week\", \"time\": \"s\", \"flow\": \"ml\", \"unit\": \"mL\"}",
            "demand[0].trace.file", PW_REFERENCE, "apartment_week");
}

/* What is not formed as a trace stays as it is; the core's reader speaks about it. */
static void other_forms_are_left_alone(void **unused)
{
    (void)unused;
    static const char filled[] =
        "{\"demand\": [{\"trace\": {\"file\": \"x\", \"time\": \"a\", \"flow\": \"b\", \"unit\": \"L\"}, "
        "\"times\": [0, 1], \"flows\": [1, 0]}]}";
    static const char *const sites[] = {
        "[1, 2]", "{\"demand\": 3}", "{\"demand\": [4, {\"trace\": 5}, {\"trace\": {\"file\": \"x\"}}]}", filled, "{}",
        "7"};
    for (size_t i = 0; i < sizeof sites / sizeof sites[0]; i++) {
        pw_text out, same;
        pw_json_writer writer;
        begin(NULL);
        const pw_json *json = read_json(sites[i]);
        assert_false(pw_csv_sheet_needs(json));
        assert_int_equal(pw_csv_sheet_fill(&arena, json, NULL, &out, &problems), PW_OK);
        pw_text_init(&same, &arena);
        pw_json_writer_init(&writer, &same, 0);
        pw_json_value(&writer, NULL, json);
        assert_string_equal(out.data, same.data);
        assert_int_equal(problems.count, 0);
    }
}

static void small_memory_is_reported(void **unused)
{
    (void)unused;
    const pw_json *json = read_json(
        "{\"demand\": [{\"trace\": {\"file\": \"apartment_week/week.csv\", \"time\": \"s\", \"flow\": \"ml\", "
        "\"unit\": \"mL\", \"step\": \"1 s\"}}]}");
    static uint8_t small[20000];
    pw_arena little;
    pw_text out;
    pw_arena_init(&little, small, sizeof small);
    assert_int_equal(pw_csv_sheet_fill(&little, json, SHEET, &out, &problems), PW_MEMORY);
    assert_int_equal(problems.errors, 1);
}

/* A sheet with a trace that is not there, a unit that is none, a place that is not named and a misspelt sentence: each
 * is told, and the trace's own once. */
static void a_trace_hides_no_other_slip(void **unused)
{
    (void)unused;
    static const char sheet[] = "site: T\n"
                                "places: [{name: a, level: 0 m}, {name: h, level: 2 kg}]\n"
                                "sources: [{name: m, at: a, kind: mains, pressure: 400 kPa}]\n"
                                "outlets: [{name: taps, at: hall}]\n"
                                "demand:\n"
                                "  - {outlet: taps, trace: {file: none.csv, time: t, flow: q, unit: L}}\n"
                                "settings: [start when presure below 300 kPa]\n";
    static const struct {
        const char *path;
        int32_t line;
    } want[] = {
        {"demand[0].trace.file", 6}, {"places[1].level", 2}, {"outlets[0].at", 4}, {"settings[0]", 7}, {"pumps", 1}};
    pw_sheet loaded;
    assert_int_equal(pw_sheet_take(sheet, sizeof sheet - 1, "t.yaml", &loaded, &problems), PW_SHEET_NOT_UNDERSTOOD);
    assert_int_equal(problems.errors, 5);
    for (size_t w = 0; w < sizeof want / sizeof want[0]; w++) {
        int32_t seen = 0;
        for (int32_t i = 0; i < problems.count; i++) {
            seen += strcmp(problems.items[i].path, want[w].path) == 0 && problems.items[i].line == want[w].line;
        }
        if (seen != 1) {
            fail_msg("%s told %d times", want[w].path, (int)seen);
        }
    }
    pw_sheet_free(&loaded);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(a_trace_hides_no_other_slip, begin),
        cmocka_unit_test_setup(files_are_read, begin),
        cmocka_unit_test_setup(failures_say_where, begin),
        cmocka_unit_test_setup(other_forms_are_left_alone, begin),
        cmocka_unit_test_setup(small_memory_is_reported, begin),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
