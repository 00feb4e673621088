/* Advice: what the passages foretell against simulations in which the sentence really acts; the choice against every
 * combination; and that an outcome does not hang on what was simulated beside it. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "base/num.h"
#include "base/random.h"
#include "sheet.h"
#include "study/advise_inside.h"
#include "study/proposal.h"

static uint8_t block[192 * 1024 * 1024];
static pw_arena arena;
static pw_problems problems;
static pw_advise_plan *plan;
static pw_reach *reaches;

/* A year, and of the faults only what a test asks for. */
static int set_up(void **state)
{
    pw_advise_options options;
    (void)state;
    pw_arena_init(&arena, block, sizeof block);
    pw_plant *plant = test_plant(&arena);
    pw_advise_defaults(&options);
    options.proof.healthy_years = 2;
    options.proof.sweep_count = 6;
    options.proof.horizon_s = 12.0 * 3600.0;
    if (plant == NULL || pw_advise_plan_of(&arena, plant, &options, &plan, &problems) != PW_OK) {
        return -1;
    }
    reaches = pw_reach_new(&arena, plan, plan->jobs->count);
    for (int32_t i = 0; i < plan->jobs->count && reaches != NULL; i++) {
        if (pw_advise_job(&arena, plan, NULL, i, &reaches[i], &problems) != PW_OK) {
            return -1;
        }
    }
    return reaches != NULL ? 0 : -1;
}

/* The settings of the trial without its watches, and one limit that acts. */
static void one_limit(int32_t number, pw_advice *out)
{
    const pw_settings *settings = plan->plant->settings;
    pw_proposal *list = PW_NEW(&arena, 1, pw_proposal);
    pw_plant *plant = NULL;
    memset(out, 0, sizeof *out);
    out->plan = plan;
    out->reaches = reaches;
    for (int32_t i = 0; i < pw_settings_count(settings); i++) {
        if (!pw_settings_is_watch(settings, i)) {
            list->sentences[list->count] = plan->plant->site->sentences[i];
            out->was[list->count] = -1;
            out->family[list->count] = -1;
            list->count++;
        }
    }
    if (plan->limits[number].ignore != NULL) {
        list->sentences[list->count] = plan->limits[number].ignore;
        out->was[list->count] = out->family[list->count] = -1;
        list->count++;
    }
    list->sentences[list->count] = plan->limits[number].sentence;
    out->was[list->count] = -1;
    out->family[list->count] = plan->limits[number].family;
    list->count++;
    assert_int_equal(pw_proposal_plant(&arena, plan->plant, list, &plant, &problems), PW_OK);
    out->advised_plant = plant;
}

static void test_passages_are_those_of_simulations(void **state)
{
    int32_t acted = 0, silent = 0, tried[PW_WATCH_FORMS] = {0};
    pw_random random;
    (void)state;
    pw_random_seed(&random, 7, 1);
    for (int32_t trial = 0; trial < 160; trial++) {
        static pw_advice advice;
        pw_reach_check is;
        const size_t mark = pw_arena_mark(&arena);
        const pw_family *family = &plan->families[trial % plan->family_count];
        int32_t limit, job, tries = 0;
        do { /* each second one is one that is foretold to act, if there is any */
            limit = family->first + (int32_t)(pw_random_unit(&random) * family->count);
            job = 2 + (int32_t)(pw_random_unit(&random) * (plan->jobs->count - 2));
            tries++;
        } while (trial / plan->family_count % 2 == 0 && reaches[job].first_ms[limit] < 0 && tries < 2000);
        one_limit(limit, &advice);
        assert_int_equal(pw_advise_check_job(&arena, &advice, NULL, job, &is, &problems), PW_OK);
        const int64_t foretold = reaches[job].first_ms[limit];
        if (pw_advise_does(plan, job) &&
            ((foretold < 0) != (is.first_ms < 0) || foretold - is.first_ms > 1000 || is.first_ms - foretold > 1000)) {
            print_error("%s, job %d: foretold %lld, is %lld\n", plan->limits[limit].sentence, job, (long long)foretold,
                        (long long)is.first_ms);
            fail();
        }
        acted += is.first_ms >= 0 ? 1 : 0;
        silent += is.first_ms < 0 ? 1 : 0;
        tried[family->form] += is.first_ms >= 0 ? 1 : 0;
        pw_arena_back(&arena, mark);
    }
    assert_true(acted >= 40 && silent >= 40); /* or nothing was tested */
    assert_true(tried[PW_WATCH_STARTS] > 0 && tried[PW_WATCH_STARTS_ROW] > 0 && tried[PW_WATCH_RUN] > 0);
}

static void test_healthy_years_likewise(void **state)
{
    (void)state;
    for (int32_t f = 0; f < plan->family_count; f++) {
        const pw_family *family = &plan->families[f];
        const int32_t limits[2] = {family->first, family->first + family->count - 1};
        for (int32_t i = 0; i < 2; i++) {
            static pw_advice advice;
            pw_reach_check is;
            const size_t mark = pw_arena_mark(&arena);
            one_limit(limits[i], &advice);
            assert_int_equal(pw_advise_check_job(&arena, &advice, NULL, 1, &is, &problems), PW_OK);
            assert_int_equal(is.first_ms >= 0, reaches[1].slack[limits[i]] == 0);
            assert_int_equal(is.first_ms >= 0, reaches[1].first_ms[limits[i]] >= 0);
            pw_arena_back(&arena, mark);
        }
    }
}

/* A stricter limit never acts later: of one form, all else alike. */
static void test_stricter_is_sooner(void **state)
{
    (void)state;
    for (int32_t i = 0; i + 1 < plan->limit_count; i++) {
        const pw_limit *a = &plan->limits[i], *b = &plan->limits[i + 1];
        const bool run = plan->families[a->family].form == PW_WATCH_RUN;
        for (int32_t job = 0; run && a->family == b->family && job < plan->jobs->count; job++) {
            const int64_t first = reaches[job].first_ms[i], next = reaches[job].first_ms[i + 1];
            assert_true(first < 0 || (next >= 0 && next <= first));
            assert_true(reaches[job].slack[i] >= reaches[job].slack[i + 1]);
        }
    }
}

static void test_shared_beginnings_change_nothing(void **state)
{
    pw_advise_starts *starts = NULL;
    (void)state;
    const size_t mark = pw_arena_mark(&arena);
    assert_int_equal(pw_advise_prepare(&arena, plan, NULL, 0, 1, &starts, &problems), PW_OK);
    pw_reach *one = pw_reach_new(&arena, plan, 1);
    for (int32_t job = 2; job < plan->jobs->count; job += 9) {
        assert_int_equal(pw_advise_job(&arena, plan, starts, job, one, &problems), PW_OK);
        if (pw_advise_does(plan, job)) {
            const size_t count = (size_t)plan->limit_count;
            assert_true(one->length_ms == reaches[job].length_ms && one->harm_ms == reaches[job].harm_ms);
            assert_memory_equal(&one->end_lost_m3, &reaches[job].end_lost_m3, sizeof(double));
            assert_memory_equal(one->first_ms, reaches[job].first_ms, count * sizeof(int64_t));
            assert_memory_equal(one->lost_m3, reaches[job].lost_m3, count * sizeof(double));
        }
    }
    pw_arena_back(&arena, mark);
}

/* ---- by hand ---- */

#define MINUTE ((int64_t)60000)

/* One pump that starts at these minutes, each run so long. */
static void runs_at(advise_seen *seen, const pw_advise_plan *of, const int32_t *minutes, int32_t count,
                    int32_t length_min)
{
    static advise_span spans[16];
    memset(seen, 0, sizeof *seen);
    seen->plan = of;
    for (int32_t i = 0; i < count; i++) {
        spans[i] = (advise_span){.from_ms = minutes[i] * MINUTE,
                                 .to_ms = (minutes[i] + length_min) * MINUTE,
                                 .run_ms = minutes[i] * MINUTE,
                                 .by_stop = true};
    }
    seen->spans[0][0] = (advise_spans){count, 16, spans};
}

static void test_passages_by_hand(void **state)
{
    static pw_advise_plan of;
    static pw_limit limits[1];
    static advise_seen seen;
    (void)state;
    of.plant = plan->plant;
    of.limits = limits;
    const int32_t starts[] = {0, 10, 20, 60, 80};
    runs_at(&seen, &of, starts, 5, 4);
    limits[0] = (pw_limit){.probe = -1, .night = -1, .count = 3, .time_ms = (uint32_t)(20 * MINUTE)};
    assert_int_equal(advise_first_ms(&seen, 0, 0, 0, 1000 * MINUTE), -1); /* the third is just as old as the window */
    limits[0].time_ms++;
    assert_int_equal(advise_first_ms(&seen, 0, 0, 0, 1000 * MINUTE), 20 * MINUTE);
    assert_int_equal(advise_first_ms(&seen, 0, 0, 21 * MINUTE, 1000 * MINUTE), -1);
    limits[0].time_ms = (uint32_t)(61 * MINUTE);
    assert_int_equal(advise_first_ms(&seen, 0, 0, 21 * MINUTE, 1000 * MINUTE), 60 * MINUTE);
    seen.spans[0][0].at[2].anew = true; /* the supply was away: 20, 60 and 80 are left */
    assert_int_equal(advise_first_ms(&seen, 0, 0, 0, 1000 * MINUTE), 80 * MINUTE);
    seen.spans[0][0].at[2].anew = false;
    assert_int_equal(advise_first_ms(&seen, 0, 3, 0, 1000 * MINUTE), 0); /* twice as strict: one start */
    /* between 01:00 and 04:00, with three starts within 75 min that began at 00:10: from 01:00 on */
    limits[0] = (pw_limit){.probe = -1, .night = 0, .count = 3, .time_ms = (uint32_t)(75 * MINUTE)};
    assert_int_equal(advise_first_ms(&seen, 0, 0, 0, 1000 * MINUTE), 60 * MINUTE);
    limits[0].count = 2;
    limits[0].time_ms = (uint32_t)(21 * MINUTE);
    assert_int_equal(advise_first_ms(&seen, 0, 0, 0, 1000 * MINUTE), 80 * MINUTE);
    /* a run of 4 min: a lock out goes before a stop */
    limits[0] = (pw_limit){.probe = -1, .night = -1, .time_ms = (uint32_t)(4 * MINUTE)};
    assert_int_equal(advise_first_ms(&seen, 0, 0, 0, 1000 * MINUTE), 4 * MINUTE);
    limits[0].time_ms++;
    assert_int_equal(advise_first_ms(&seen, 0, 0, 0, 1000 * MINUTE), -1);
    assert_int_equal(advise_first_ms(&seen, 0, 1, 0, 1000 * MINUTE) >= 0, true);
    /* what is ignored after the start does not count, and what ends by itself at the very moment does not act */
    limits[0] = (pw_limit){.probe = -1, .night = -1, .time_ms = (uint32_t)MINUTE, .ignore_ms = (uint32_t)(3 * MINUTE)};
    assert_int_equal(advise_first_ms(&seen, 0, 0, 0, 1000 * MINUTE), 4 * MINUTE);
    for (int32_t i = 0; i < 5; i++) {
        seen.spans[0][0].at[i].by_stop = false;
    }
    assert_int_equal(advise_first_ms(&seen, 0, 0, 0, 1000 * MINUTE), -1);
}

/* Each of the windows that go back from some moment holds a start. */
static void test_rows_of_windows_by_hand(void **state)
{
    static pw_advise_plan of;
    static pw_limit limits[1];
    static advise_seen seen;
    (void)state;
    of.plant = plan->plant;
    of.limits = limits;
    const int32_t even[] = {0, 25, 50, 75, 100, 125};
    runs_at(&seen, &of, even, 6, 4);
    limits[0] = (pw_limit){.probe = -1, .night = -1, .count = 1, .row = 4, .time_ms = (uint32_t)(30 * MINUTE)};
    /* at 75 the windows back to 45, 15, -15 and -45 hold 75 50, 25, 0 and none; 90 min after the first start all do:
     * at 90, back to 60, 30, 0 and -30, they hold 75, 50, 25 and 0 */
    assert_int_equal(advise_first_ms(&seen, 0, 0, 0, 1000 * MINUTE), 90 * MINUTE);
    assert_int_equal(advise_first_ms(&seen, 0, 0, 95 * MINUTE, 1000 * MINUTE), 95 * MINUTE);
    assert_int_equal(advise_first_ms(&seen, 0, 0, 0, 89 * MINUTE), -1);
    assert_int_equal(advise_first_ms(&seen, 0, 3, 0, 1000 * MINUTE), 30 * MINUTE); /* two windows */
    limits[0].count = 2;
    assert_int_equal(advise_first_ms(&seen, 0, 0, 0, 1000 * MINUTE), -1);
    limits[0].count = 1;
    const int32_t pause[] = {0, 25, 50, 115, 140, 165};
    runs_at(&seen, &of, pause, 6, 4); /* an hour and more without a start empties a window wherever it lies */
    assert_int_equal(advise_first_ms(&seen, 0, 0, 0, 1000 * MINUTE), -1);
    runs_at(&seen, &of, even, 6, 4);
    seen.spans[0][0].at[2].anew = true;
    assert_int_equal(advise_first_ms(&seen, 0, 0, 0, 139 * MINUTE), -1);
    assert_int_equal(advise_first_ms(&seen, 0, 0, 0, 1000 * MINUTE), 140 * MINUTE);
}

/* Draws of ten minutes hold no pump here: a limit of nine stands at the edge all the same, one of eleven does not. */
static void test_run_limits_look_at_draws(void **state)
{
    static pw_advise_plan of;
    static pw_limit limits[1];
    static advise_seen seen;
    static advise_span draws[2] = {{.from_ms = 5 * MINUTE, .to_ms = 15 * MINUTE, .run_ms = 5 * MINUTE},
                                   {.from_ms = 90 * MINUTE, .to_ms = 91 * MINUTE, .run_ms = 90 * MINUTE}};
    (void)state;
    of.plant = plan->plant;
    of.limits = limits;
    seen.plan = &of;
    seen.draws = (advise_spans){2, 2, draws};
    limits[0] = (pw_limit){.probe = -1, .night = -1, .time_ms = (uint32_t)(9 * MINUTE)};
    assert_int_equal(advise_drawn_ms(&seen, 0, 0, 1000 * MINUTE), 14 * MINUTE);
    limits[0].time_ms = (uint32_t)(11 * MINUTE);
    assert_int_equal(advise_drawn_ms(&seen, 0, 0, 1000 * MINUTE), -1);
    assert_true(advise_drawn_ms(&seen, 0, 1, 1000 * MINUTE) >= 0); /* 11 min by 1.25 are under ten */
    limits[0].night = 0;                                           /* between 01:00 and 04:00 */
    limits[0].time_ms = (uint32_t)(MINUTE / 2);
    assert_int_equal(advise_drawn_ms(&seen, 0, 0, 1000 * MINUTE), 90 * MINUTE + MINUTE / 2);
}

/* In the test's healthy years: no run lasts a minute, the draw at 06:30 lasts five. */
static void test_a_limit_under_the_longest_draw_is_at_the_edge(void **state)
{
    int32_t under = 0, over = 0;
    (void)state;
    for (int32_t i = 0; i < plan->limit_count; i++) {
        if (plan->families[plan->limits[i].family].form != PW_WATCH_RUN) {
            continue;
        }
        const int64_t time_ms = plan->limits[i].time_ms;
        if (time_ms < 5 * MINUTE && reaches[0].first_ms[i] < 0) {
            assert_int_equal(reaches[0].slack[i], 1);
            under++;
        } else if (time_ms >= 20 * MINUTE) {
            assert_int_equal(reaches[0].slack[i], PW_SLACKS);
            over++;
        }
    }
    assert_true(under > 0 && over > 0);
}

/* ---- the choice ---- */

enum { FAMILIES = 4, EACH = 5, LIMITS = FAMILIES * EACH, FAULTS = 7, YEARS = 6 };

static double cost_of(const advise_tables *t, const int32_t *pick, int32_t allowed)
{
    const pw_advise_options *options = &t->plan->options;
    advise_years years = t->kept;
    double cost = 0.0;
    for (int32_t f = 0; f < FAMILIES; f++) {
        for (int32_t w = 0; pick[f] >= 0 && w < ADVISE_WORDS; w++) {
            years.bits[w] |= t->stopped[0][pick[f]].bits[w];
        }
        cost += pick[f] >= 0 ? options->sentence + options->call_out * t->near_a[pick[f]] : 0.0;
    }
    const int32_t stopped = advise_count_years(&years);
    for (int32_t i = 0; i < FAULTS; i++) {
        cost += t->weight[i] * advise_loss(t, pick, i);
    }
    return stopped > allowed ? PW_INF : cost + options->call_out * (double)stopped / YEARS;
}

static void test_choice_is_the_best_of_all(void **state)
{
    static pw_advise_plan small;
    static double loss[LIMITS * FAULTS], stays[FAULTS], weight[FAULTS];
    static advise_years stopped[LIMITS];
    static double near_a[LIMITS];
    pw_random random;
    (void)state;
    pw_random_seed(&random, 3, 1);
    small.family_count = FAMILIES;
    small.limit_count = LIMITS;
    small.options.call_out = 40.0;
    small.options.sentence = 1.0;
    for (int32_t f = 0; f < FAMILIES; f++) {
        small.families[f] = (pw_family){.first = f * EACH, .count = EACH};
    }
    for (int32_t round = 0; round < 60; round++) {
        advise_tables t = {.plan = &small,
                           .faults = FAULTS,
                           .years = YEARS,
                           .weight = weight,
                           .loss = loss,
                           .stays = stays,
                           .near_a = near_a};
        t.stopped[0] = stopped;
        memset(stopped, 0, sizeof stopped);
        for (int32_t i = 0; i < FAULTS; i++) {
            weight[i] = 0.05 + pw_random_unit(&random);
            stays[i] = 100.0;
        }
        for (int32_t i = 0; i < LIMITS * FAULTS; i++) {
            loss[i] = pw_random_unit(&random) < 0.5 ? 100.0 : 100.0 * pw_random_unit(&random);
        }
        for (int32_t i = 0; i < LIMITS; i++) {
            near_a[i] = 0.5 * pw_random_unit(&random);
            for (int32_t y = 0; y < YEARS; y++) {
                stopped[i].bits[0] |= pw_random_unit(&random) < 0.15 ? (uint64_t)1 << y : 0;
            }
        }
        const int32_t allowed = round % 3;
        double best = PW_INF;
        for (int32_t n = 0; n < 6 * 6 * 6 * 6; n++) {
            int32_t pick[PW_MAX_FAMILIES], rest = n;
            for (int32_t f = 0; f < FAMILIES; f++) {
                pick[f] = rest % 6 == 5 ? -1 : f * EACH + rest % 6;
                rest /= 6;
            }
            best = pw_min(best, cost_of(&t, pick, allowed));
        }
        advise_choice chosen;
        assert_int_equal(advise_search(&arena, &t, allowed, -1, &chosen), PW_OK);
        assert_true(!(chosen.gap_a > 0.0));
        assert_float_equal(chosen.cost_a, best, 1e-9);
        assert_float_equal(cost_of(&t, chosen.pick, allowed), best, 1e-9);
    }
}

/* What is advised is no dearer than what there is, where that stops no more healthy years than are allowed. */
static void test_advice_is_no_worse_and_at_work_as_foretold(void **state)
{
    pw_advice *advice = NULL;
    (void)state;
    assert_int_equal(pw_advise_assemble(&arena, plan, reaches, &advice, &problems), PW_OK);
    assert_true(advice->advised.stopped <= advice->allowed);
    assert_true(advice->advised.lost_m3_a <= advice->nothing.lost_m3_a);
    assert_true(advice->count >= 2);
    for (int32_t i = 0; i < advice->count; i++) { /* in the words of the reader */
        pw_settings *settings = NULL;
        assert_int_equal(pw_plant_read(&arena, plan->plant, advice->sentences, advice->count, &settings, &problems),
                         PW_OK);
    }
    pw_reach_check *checks = PW_NEW(&arena, plan->jobs->count, pw_reach_check);
    for (int32_t i = 0; i < plan->jobs->count; i++) {
        assert_int_equal(pw_advise_check_job(&arena, advice, NULL, i, &checks[i], &problems), PW_OK);
    }
    pw_advise_checked(advice, checks);
    assert_int_equal(advice->checked_same, advice->checked_jobs);
    assert_int_equal(advice->checked_stops, advice->advised.stopped);
}

/* What is advised, typed, is advised again: nothing is changed for nothing. */
static void test_the_advised_list_stands(void **state)
{
    pw_advice *advice = NULL, *again = NULL;
    pw_advise_plan *typed = NULL;
    (void)state;
    assert_int_equal(pw_advise_assemble(&arena, plan, reaches, &advice, &problems), PW_OK);
    assert_true(advice->changes);
    assert_int_equal(pw_advise_plan_of(&arena, advice->advised_plant, &plan->options, &typed, &problems), PW_OK);
    pw_reach *seen = pw_reach_new(&arena, typed, typed->jobs->count);
    for (int32_t i = 0; i < typed->jobs->count; i++) {
        assert_int_equal(pw_advise_job(&arena, typed, NULL, i, &seen[i], &problems), PW_OK);
    }
    assert_int_equal(pw_advise_assemble(&arena, typed, seen, &again, &problems), PW_OK);
    assert_false(again->changes);
    assert_int_equal(again->count, advice->count);
    for (int32_t i = 0; i < again->count; i++) {
        assert_string_equal(again->sentences[i], advice->sentences[i]);
    }
}

static void test_what_is_kept_stays(void **state)
{
    pw_advise_options options;
    pw_advise_plan *kept = NULL;
    (void)state;
    pw_advise_defaults(&options);
    options.proof.sweep_count = 0;
    options.keep[0] = "lock out when running for";
    options.keep_count = 1;
    options.able = 1u << PW_WATCH_RUN | 1u << PW_WATCH_STARTS;
    assert_int_equal(pw_advise_plan_of(&arena, plan->plant, &options, &kept, &problems), PW_OK);
    assert_int_equal(kept->family_count, 2);
    assert_true(kept->family_of[2] >= 0); /* starts reach 15 in 1 h */
    assert_int_equal(kept->family_of[3], -1);
    assert_true(advise_stays(kept, 3) && !advise_stays(kept, 2));
    options.no_sensor[0] = "pressure";
    options.no_sensor_count = 1;
    assert_int_equal(pw_advise_plan_of(&arena, plan->plant, &options, &kept, &problems), PW_OK);
    assert_true(kept->dropped[4] && !kept->dropped[0]); /* the warning; what starts the pump stays */
}

/* A plan of the test site with two more sentences. */
static pw_advise_plan *plan_with(const char *one, const char *two)
{
    const pw_settings *settings = plan->plant->settings;
    pw_proposal *list = PW_NEW(&arena, 1, pw_proposal);
    pw_advise_plan *out = NULL;
    pw_plant *plant = NULL;
    pw_advise_options options;
    pw_advise_defaults(&options);
    options.proof.sweep_count = 0;
    options.proof.healthy_years = 1;
    for (int32_t i = 0; i < pw_settings_count(settings); i++) {
        list->sentences[list->count] = plan->plant->site->sentences[i];
        list->count++;
    }
    list->sentences[list->count] = one;
    list->sentences[list->count + 1] = two;
    list->count += 2;
    assert_int_equal(pw_proposal_plant(&arena, plan->plant, list, &plant, &problems), PW_OK);
    assert_int_equal(pw_advise_plan_of(&arena, plant, &options, &out, &problems), PW_OK);
    return out;
}

static bool holds_words(const pw_advice *advice, const char *words)
{
    bool holds = false;
    for (int32_t i = 0; i < advice->count; i++) {
        holds = holds || strcmp(advice->sentences[i], words) == 0;
    }
    return holds;
}

/* Nothing is ever seen, so all watches go; what is ignored for one of them goes with it, what nothing looked at before
 * stays as it was typed. */
static void test_an_ignore_goes_with_its_watch(void **state)
{
    pw_advice *advice = NULL;
    (void)state;
    pw_advise_plan *of =
        plan_with("ignore current below 4 A for 5 s after start", "lock out when current below 4 A for 9 s");
    pw_reach *nothing = pw_reach_new(&arena, of, of->jobs->count);
    assert_int_equal(pw_advise_assemble(&arena, of, nothing, &advice, &problems), PW_OK);
    assert_false(holds_words(advice, "lock out when current below 4 A for 9 s"));
    assert_false(holds_words(advice, "ignore current below 4 A for 5 s after start"));
    of = plan_with("ignore current below 4 A for 5 s after start", "lock out when current below 3 A for 9 s");
    nothing = pw_reach_new(&arena, of, of->jobs->count);
    assert_int_equal(pw_advise_assemble(&arena, of, nothing, &advice, &problems), PW_OK);
    assert_false(holds_words(advice, "lock out when current below 3 A for 9 s"));
    assert_true(holds_words(advice, "ignore current below 4 A for 5 s after start"));
}

/* What is added up within a window is no limit of one stretch: it stays. */
static void test_sums_within_a_window_stay(void **state)
{
    (void)state;
    const pw_advise_plan *of = plan_with("lock out when running for 5 h in 24 h", "lock out when running for 3 h");
    assert_int_equal(of->family_of[5], -1);
    assert_true(of->family_of[6] >= 0);
}

/* A site that has the sensor is not told to buy it; one that lacks it is told what it would spare, at most all that
 * goes unseen. */
static void test_what_would_close_what_stays_blind(void **state)
{
    pw_advice *advice = NULL;
    double all_a = 0.0;
    (void)state;
    assert_int_equal(pw_advise_assemble(&arena, plan, reaches, &advice, &problems), PW_OK);
    assert_true(pw_advise_extra_a(advice, PW_EXTRA_PRESSURE) < 0.0);
    for (int32_t i = 0; i < plan->jobs->count; i++) {
        const bool unseen = plan->jobs->jobs[i].kind != PW_JOB_HEALTHY && pw_advise_foretold_ms(advice, i) < 0;
        const double once =
            plan->options.water_per_m3 * reaches[i].end_lost_m3 + plan->options.pump + plan->options.call_out;
        all_a += pw_advise_does(plan, i) && unseen ? once / plan->options.fault_years : 0.0;
    }
    const double flow_a = pw_advise_extra_a(advice, PW_EXTRA_FLOW), test_a = pw_advise_extra_a(advice, PW_EXTRA_TEST);
    assert_true(flow_a > 0.0 && flow_a < all_a);
    assert_true(test_a >= 0.0 && test_a < all_a);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_passages_are_those_of_simulations),
        cmocka_unit_test(test_healthy_years_likewise),
        cmocka_unit_test(test_stricter_is_sooner),
        cmocka_unit_test(test_shared_beginnings_change_nothing),
        cmocka_unit_test(test_passages_by_hand),
        cmocka_unit_test(test_rows_of_windows_by_hand),
        cmocka_unit_test(test_run_limits_look_at_draws),
        cmocka_unit_test(test_a_limit_under_the_longest_draw_is_at_the_edge),
        cmocka_unit_test(test_choice_is_the_best_of_all),
        cmocka_unit_test(test_advice_is_no_worse_and_at_work_as_foretold),
        cmocka_unit_test(test_the_advised_list_stands),
        cmocka_unit_test(test_what_is_kept_stays),
        cmocka_unit_test(test_an_ignore_goes_with_its_watch),
        cmocka_unit_test(test_sums_within_a_window_stay),
        cmocka_unit_test(test_what_would_close_what_stays_blind),
    };
    return cmocka_run_group_tests(tests, set_up, NULL);
}
