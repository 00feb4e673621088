/* What the controller tells on a simulated day: over a power cut, of what no sentence looks at, of roles that wait. */
#include "load.h"
#include "told.h"

enum { S = 1000, MIN = 60 * S, HOUR = 60 * MIN };

static kit k;
static pw_daybook *book;

/* A day of a site of examples/, with the order of the sheet when NULL, asked at these moments (rising, ends with -1).
 */
static void day(const char *site, const char *const *settings, const pw_fault *fault, const int64_t *asked)
{
    pw_run_options options = {.length_ms = 24 * HOUR, .seed = 1, .entry_capacity = 20000, .state_ms = asked};
    golden_load(&k, site);
    for (int32_t i = 0; settings != NULL && settings[i] != NULL; i++) {
        k.site->sentences[i] = settings[i];
        k.site->sentence_count = i + 1;
    }
    while (asked[options.state_count] >= 0) {
        options.state_count++;
    }
    if (fault != NULL) {
        options.faults[0] = *fault;
        options.fault_count = 1;
    }
    golden_build(&k, site);
    book = kit_run(&k, &options);
}

static const char *told(int64_t t_ms, int32_t pump)
{
    for (int32_t i = 0; i < book->told_count; i++) {
        if (book->told[i].t_ms == t_ms && book->told[i].pump == pump) {
            return told_lines(&k.arena, &book->told[i].facts);
        }
    }
    fail_msg("nothing told");
    return "";
}

static void says(int64_t t_ms, int32_t pump, const char *part, bool wanted)
{
    if ((strstr(told(t_ms, pump), part) != NULL) != wanted) {
        fail_msg("%s: %s\nin:\n%s", wanted ? "not found" : "found", part, told(t_ms, pump));
    }
}

/* The program closes its contact from 04:30 to 07:50; the supply goes while the pump runs. */
static void a_cut_while_water_is_pumped(void **state)
{
    (void)state;
    static const char *const kept[] = {"start when contact program closed", "stop when contact program open",
                                       "lock out when phase missing for 1 s", "keep lock outs over a power cut", NULL};
    static const pw_fault cut = {.kind = PW_FAULT_SUPPLY_LOST, .severity = 600.0, .where = -1, .onset_ms = 7 * HOUR};
    static const int64_t asked[] = {7 * HOUR + 4 * MIN, 7 * HOUR + 30 * MIN, 8 * HOUR, 9 * HOUR, -1};
    day("irrigation", kept, &cut, asked);
    assert_string_equal(told(asked[0], 0),
                        "pump has had no power for 4 min, and nor has its controller.\n"
                        "It was running then; when the supply comes back it is stopped.\n"
                        "Lock outs, the retries used up and the starts counted for them are kept over the cut.\n"
                        "Its counters are kept, and its clock goes on.\n");
    says(asked[1], 0, "pump has been running for 20 min", true);
    says(asked[1], 0, "The supply was away for 10 min; it came back 20 min ago.\n", true);
    says(asked[1], 0, "\nPressure now ", true); /* no sentence looks at it */
    says(asked[2], 0, "pump has been stopped for 10 min", true);
    says(asked[2], 0, "The supply was away for 10 min; it came back 50 min ago.\n", true);
    says(asked[3], 0, "The supply was away", false);
    kit_close(&k);
}

/* By pressure where there is a sensor, else by what stands in the tank that the pump fills. */
static void readings_that_no_sentence_looks_at(void **state)
{
    (void)state;
    static const char *const by_the_sun[] = {"start when contact sun closed", "stop when contact sun open", NULL};
    static const int64_t asked[] = {12 * HOUR, -1};
    day("transfer", NULL, NULL, asked);
    says(asked[0], 0, "\nPressure now ", true);
    says(asked[0], 1, "\nPressure now ", true);
    kit_close(&k);
    day("tap-stand", by_the_sun, NULL, asked);
    says(asked[0], 0, "\nLevel now ", true);
    says(asked[0], 0, "robe", false); /* of the bore that it takes from */
    kit_close(&k);
}

/* Long after the return the pumps of a house wait for each other: duty goes first, though it is the last of the sheet.
 */
static void after_a_cut_duty_goes_first(void **state)
{
    (void)state;
    static const char *const settings[] = {
        "share the work between booster 3, booster 2 and booster 1 and change over every 90 h",
        "duty: start when pressure at manifold below 420 kPa",
        "assist: start when pressure at manifold below 410 kPa for 1 s",
        "second assist: start when pressure at manifold below 400 kPa for 2 s",
        "stop when pressure at manifold above 550 kPa",
        "wait 20 s after power on",
        "start pumps at least 7 s apart",
        NULL};
    static const pw_fault cut = {.kind = PW_FAULT_SUPPLY_LOST, .severity = 5400.0, .where = -1, .onset_ms = 6 * HOUR};
    static const int64_t asked[] = {7 * HOUR + 30 * MIN + 22 * S, -1};
    day("flats", settings, &cut, asked);
    says(asked[0], 2, "booster 3 (duty) has been running for 2 s", true);
    says(asked[0], 1, "It waits for another 5 s, because another pump has just started.\n", true);
    says(asked[0], 0, "booster 1 (second assist) ", true);
    says(asked[0], 0, "It waits for another 5 s, because another pump has just started.\n", true);
    kit_close(&k);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_cut_while_water_is_pumped),
        cmocka_unit_test(readings_that_no_sentence_looks_at),
        cmocka_unit_test(after_a_cut_duty_goes_first),
    };
    return cmocka_run_group_tests_name("golden: states", tests, NULL, NULL);
}
