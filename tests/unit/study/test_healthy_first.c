/* A watch that fires on the healthy site too catches nothing at that hour; at another hour it does. Simulated, not made
 * up: taps at 06:30 each day bring the pressure under 300 kPa, of which a sentence warns; a leak does so at any hour.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "sheet.h"
#include "study/prove.h"

#define LPM (1e-3 / 60.0)

static uint8_t block[64 * 1024 * 1024];

/* Where the warning comes from a leak of 2 L/min that begins at this moment. */
static pw_outcome leak_from(int64_t onset_ms)
{
    static char text[6000];
    pw_arena arena;
    const pw_json *json = NULL;
    pw_site *site = NULL;
    pw_plant *plant = NULL;
    pw_arena_init(&arena, block, sizeof block);
    const char *last = strstr(test_sheet, "warn when pressure below 100 kPa for 10 s");
    assert_non_null(last);
    snprintf(text, sizeof text, "%.*swarn when pressure below 300 kPa\"]}", (int)(last - test_sheet), test_sheet);
    assert_int_equal(pw_json_read(&arena, text, strlen(text), &json, NULL), PW_OK);
    assert_int_equal(pw_site_read(&arena, json, "site", &site, NULL), PW_OK);
    assert_int_equal(pw_plant_build(&arena, site, false, &plant, NULL), PW_OK);
    pw_job job = {.kind = PW_JOB_FAULT,
                  .fault = {.kind = PW_FAULT_SLOW_LEAK, .severity = 2.0 * LPM, .where = -1, .onset_ms = onset_ms}};
    const pw_jobs jobs = {.count = 1, .jobs = &job, .pump_m3s = plant->full_m3s, .reference_pa = plant->reference_pa};
    pw_proof_options options;
    pw_outcome out;
    pw_proof_defaults(&options);
    options.horizon_s = 3600.0 * 3.0;
    assert_int_equal(pw_proof_job(&arena, plant, &options, &jobs, NULL, 0, &out, NULL), PW_OK);
    return out;
}

static void the_hour_decides(void **state)
{
    (void)state;
    (void)test_plant; /* the sheet is built here with another sentence */
    const int64_t day_ms = (int64_t)86400000;
    const pw_outcome noon = leak_from(day_ms + 12 * 3600000);
    assert_int_equal(noon.caught_by, 4);
    assert_true(noon.seconds > 0.0 && noon.seconds < 3600.0);
    const pw_outcome dawn = leak_from(day_ms + 6 * 3600000); /* within an hour of 06:30, whatever warns is usual */
    assert_int_equal(dawn.caught_by, 4);
    assert_true(dawn.seconds > 5400.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(the_hour_decides)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
