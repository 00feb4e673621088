/* The worst that settings allow (core/control/worst.h). The mirrored step against the real one; the bounds against
 * every
 * sequence of inputs there is, for settings of milliseconds, and against long random driving of the real step; and the
 * worst of settings that can be reckoned by hand (own derivation, in each case beside it).
 */
#include "control/worst_inside.h"
#include "kit.h"
#include "kit_random.h"
#include "walked.h"

enum { MOST_SENTENCES = 12 };
static char sentence_text[MOST_SENTENCES][1024];
static const char *sentence_list[MOST_SENTENCES + 1];
static uint8_t big_block[96u << 20];
static worst_model model;
static pw_control control;

static void say_one(maker *m, int32_t *count, pw_sentence_kind kind, const char *unit)
{
    m->at = sentence_text[*count];
    m->end = m->at + 1000;
    say_sentence(m, kind);
    for (char *at = strstr(sentence_text[*count], " ms"); at != NULL; at = strstr(at + 1, " ms")) {
        memmove(at + strlen(unit), at + 3, strlen(at + 3) + 1);
        memcpy(at, unit, strlen(unit));
    }
    sentence_list[*count] = sentence_text[*count];
    (*count)++;
}

/* Random settings for one pump with times of 1 to 120 of this unit; NULL: refused. */
static pw_settings *random_settings(pw_arena *arena, maker *m, const char *unit)
{
    static const pw_sentence_kind others[] = {
        PW_SENTENCE_REST,     PW_SENTENCE_LEAST_RUN, PW_SENTENCE_RUN_ON, PW_SENTENCE_HOLD_ON, PW_SENTENCE_RETRY,
        PW_SENTENCE_POWER_ON, PW_SENTENCE_ONLY,      PW_SENTENCE_LOCK,   PW_SENTENCE_LOCK,    PW_SENTENCE_STOP};
    pw_settings *settings = NULL;
    int32_t count = 0;
    m->short_times = m->plain = true;
    say_one(m, &count, PW_SENTENCE_START, unit);
    say_one(m, &count, PW_SENTENCE_STOP, unit);
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
        if (pick(m, 3) == 0) {
            say_one(m, &count, others[i], unit);
        }
    }
    memset(&kit_problems, 0, sizeof kit_problems);
    pw_settings_read(arena, sentence_list, count, plain_signals, PLAIN_SIGNALS, plain_pumps, 1, "settings", &settings,
                     &kit_problems);
    return settings;
}

static void set_signals(const double *inputs, double *in)
{
    for (int32_t i = 0; i < model.input_count; i++) {
        in[model.inputs[i].signal] = inputs[i];
    }
}

/* ---- the mirrored step ---- */

/* A zone of one point: everything the step asks has one answer. */
static void check_moment(const worst_way *w, int64_t *events)
{
    const pw_pump_control *real = &control.pumps[0];
    assert_false(w->failed);
    assert_int_equal(w->decided, 0);
    assert_int_equal(w->s.state, real->state);
    assert_int_equal(w->s.has_stopped, real->has_stopped);
    assert_int_equal(w->s.stop_wanted, real->stop_wanted);
    assert_true(w->s.stale == real->stale);
    assert_int_equal(w->s.retry, real->state == PW_PUMP_LOCKED ? real->retry : -1);
    if (real->retries < model.most_retries) {
        assert_int_equal(w->s.retries, real->retries);
    }
    events[real->state]++;
}

/* So long may the inputs stay as they are at most; the zone becomes one point again, so much later. */
static uint32_t pass(worst_way *w, maker *m)
{
    const int32_t n = model.clocks;
    const int32_t clock = w->s.state == PW_PUMP_RUNNING ? CLOCK_RUN : CLOCK_STOP;
    const int64_t age_ms = w->d[clock * n];
    worst_pass(w);
    const int64_t most_ms = w->d[clock * n] < WORST_INF ? w->d[clock * n] - age_ms : 60;
    assert_true(most_ms >= 1);
    const int64_t wait_ms = 1 + pick(m, (uint32_t)(most_ms < 60 ? most_ms : 60));
    assert_true(zone_and(w->d, n, clock, CLOCK_ZERO, age_ms + wait_ms));
    assert_true(zone_and(w->d, n, CLOCK_ZERO, clock, -(age_ms + wait_ms)));
    return (uint32_t)wait_ms;
}

static void walk(const pw_table *table, maker *m, uint32_t epoch, int64_t *events)
{
    int64_t d[MOST_CLOCKS * MOST_CLOCKS];
    double in[PW_MAX_SIGNALS];
    pw_outputs out;
    worst_way w = {.m = &model, .d = d};
    uint32_t now_ms = epoch;
    int64_t choice = 0;
    worst_begin(&model, &w.s, d);
    worst_still(&model, in);
    pw_control_begin(table, &control, epoch);
    for (int32_t i = 0; i < 400; i++) {
        choice = pick(m, 3) ? pick(m, (uint32_t)model.choices) : choice;
        worst_choose(&model, choice, w.inputs);
        set_signals(w.inputs, in);
        pw_control_step(table, &control, in, now_ms, &out);
        w.due = 0;
        w.decided = 0;
        worst_step(&w);
        check_moment(&w, events);
        const uint32_t wait_ms = pass(&w, m);
        for (uint32_t k = 1; k < wait_ms; k++) { /* nothing happens meanwhile */
            const uint8_t state = control.pumps[0].state;
            pw_control_step(table, &control, in, now_ms + k, &out);
            assert_int_equal(control.pumps[0].state, state);
        }
        now_ms += wait_ms;
    }
}

static bool all_signals(void)
{
    for (int32_t i = 0; i < model.input_count; i++) {
        if (model.inputs[i].signal < 0) {
            return false;
        }
    }
    return true;
}

static void mirrored(void **state)
{
    (void)state;
    maker m = {.plain = true};
    pw_random_seed(&m.random, 7, 1);
    int64_t events[3] = {0};
    int32_t walked = 0;
    for (int32_t i = 0; walked < (WALKED ? 40 : 400); i++) {
        pw_arena arena = kit_arena();
        pw_table *table = NULL;
        pw_settings *settings = random_settings(&arena, &m, " ms");
        if (settings == NULL || pw_table_build(&arena, settings, NULL, &table, &kit_problems) != PW_OK ||
            !worst_model_build(&model, settings, table, 0, MEASURE_MIRROR, NULL, -1) || !all_signals()) {
            continue;
        }
        walk(table, &m, i % 3 ? UINT32_MAX - 700 : 0, events);
        walked++;
    }
    print_message("moments stopped %lld, running %lld, locked out %lld\n", (long long)events[0], (long long)events[1],
                  (long long)events[2]);
    for (int32_t i = 0; i < 3; i++) {
        assert_true(events[i] > walked * 20);
    }
}

/* ---- what is found ---- */

static pw_worst found;
static pw_table *table_of;

static void look_at(pw_settings *settings)
{
    static pw_arena arena;
    pw_arena_init(&arena, big_block, sizeof big_block);
    table_of = NULL;
    assert_int_equal(pw_table_build(&arena, settings, NULL, &table_of, &kit_problems), PW_OK);
    assert_int_equal(pw_worst_of(&arena, settings, table_of, NULL, 0, PW_WORST_WAYS, &found), PW_OK);
}

static void look_at_list(const char *const *sentences)
{
    pw_arena arena = kit_arena();
    look_at(kit_plain(&arena, sentences));
}

static void is(const pw_worst_answer *answer, pw_worst_end end, int64_t value)
{
    assert_int_equal(answer->end, end);
    assert_int_equal(answer->value, value);
    assert_true(answer->reached);
}

#define SAID(...) look_at_list((const char *const[]){__VA_ARGS__, NULL})
#define DAILY     "start when pressure below 250 kPa for 1 s", "stop when pressure above 400 kPa"

static void by_hand(void **state)
{
    (void)state;
    /* a start each 40 s of rest, the 1 s of the start condition within it, and 1 ms of running: 3600 / 40.001 */
    SAID(DAILY, "rest 40 s after stop");
    is(&found.starts, PW_WORST_BOUND, 90);
    is(&found.run, PW_WORST_UNLIMITED, 0);
    is(&found.stuck, PW_WORST_BOUND, 0);
    /* the fifteenth start of an hour is locked out before it runs */
    SAID(DAILY, "stop when no flow for 10 s", "ignore no flow for 15 s after start", "rest 10 s after stop",
         "lock out when starts reach 15 in 1 h", "lock out when running for 90 min");
    is(&found.starts, PW_WORST_BOUND, 14);
    is(&found.run, PW_WORST_BOUND, 90 * MIN);
    assert_int_equal(found.sense_count, 1);
    is(&found.senses[0].longest, PW_WORST_BOUND, 25 * S);
    assert_int_equal(found.waits_person, 1u << 5 | 1u << 6);
    /* the run-on is added, the least run is not: 30 s behind the 2 min */
    SAID(DAILY, "stop when running for 2 min", "run on 30 s after stop condition", "run at least 1 min");
    is(&found.run, PW_WORST_BOUND, 150 * S);
    /* a rest that waits for a new call, with a start on pressure */
    SAID(DAILY, "rest 10 s after stop, then wait for a new call", "start at most 6 times in 1 h");
    is(&found.starts, PW_WORST_BOUND, 6);
    assert_int_equal(found.stuck.value, 1);
    assert_int_equal(found.stuck_by, 2);
    assert_true(found.stuck.reached);
    /* the same with a start by contact: who opens and closes it again calls anew */
    SAID("start when contact closed", "stop when contact open", "rest 10 s after stop, then wait for a new call");
    is(&found.stuck, PW_WORST_BOUND, 0);
    /* what only the pump raises keeps it from starting */
    SAID(DAILY, "run only while pressure above 100 kPa");
    assert_true(found.stuck.value > 0);
    assert_int_equal(found.stuck_by, 2);
    assert_true(found.stuck.reached);
    /* a switch that chatters keeps its timer from ever being due: the dry run has its limit, the run has none */
    SAID(DAILY, "lock out when no flow for 10 s");
    is(&found.run, PW_WORST_UNLIMITED, 0);
    is(&found.senses[0].longest, PW_WORST_BOUND, 10 * S);
    /* "keep running while" overrules the stop for as long as it likes */
    SAID(DAILY, "stop when probe low dry for 5 s", "keep running while flow");
    is(&found.senses[0].longest, PW_WORST_UNLIMITED, 0);
}

/* ---- every sequence of inputs ---- */

enum { DEPTH = 7 };
static pw_control levels[DEPTH + 1];
static int64_t longest_ms, dry_ms;

static void every(int32_t depth, int64_t ran_ms, int64_t ran_dry_ms)
{
    double in[PW_MAX_SIGNALS];
    longest_ms = ran_ms > longest_ms ? ran_ms : longest_ms;
    dry_ms = ran_dry_ms > dry_ms ? ran_dry_ms : dry_ms;
    for (int64_t choice = 0; depth < DEPTH && choice < model.choices; choice++) {
        double inputs[MOST_INPUTS];
        pw_outputs out;
        memcpy(&levels[depth + 1], &levels[depth], sizeof levels[0]);
        worst_still(&model, in);
        worst_choose(&model, choice, inputs);
        set_signals(inputs, in);
        pw_control_step(table_of, &levels[depth + 1], in, (uint32_t)depth, &out);
        const bool dry = out.run[0] && in[P_FLOW] < 0.5;
        every(depth + 1, out.run[0] ? ran_ms + 1 : 0, dry ? ran_dry_ms + 1 : 0);
    }
}

static void every_sequence(void **state)
{
    (void)state;
    static const char *const all[][7] = {
        {"start when pressure below 250 kPa", "stop when no flow for 2 ms", "lock out when running for 4 ms",
         "rest 1 ms after stop"},
        {"start when pressure below 250 kPa", "stop when no flow for 1 ms", "ignore no flow for 2 ms after start",
         "stop when running for 4 ms"},
        {"start when pressure below 250 kPa for 1 ms", "stop when running for 1 ms", "lock out when no flow for 3 ms",
         "run on 2 ms after stop condition", "retry after 1 ms up to 1 time"},
        {"start when pressure below 250 kPa", "stop when running for 1 ms", "lock out when no flow for 2 ms",
         "run at least 3 ms", "release by itself after 1 ms"},
        {"start when pressure below 250 kPa", "stop when pressure above 400 kPa or running for 3 ms",
         "stop when no flow for 2 ms", "keep running while flow", "lock out when running for 5 ms"},
    };
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        pw_arena arena = kit_arena();
        pw_settings *settings = kit_plain(&arena, all[i]);
        look_at(settings);
        assert_true(worst_model_build(&model, settings, table_of, 0, MEASURE_MIRROR, NULL, -1));
        pw_control_begin(table_of, &levels[0], 0);
        longest_ms = dry_ms = 0;
        every(0, 0, 0);
        is(&found.run, PW_WORST_BOUND, longest_ms);
        assert_true(found.sense_count == 1);
        is(&found.senses[0].longest, PW_WORST_BOUND, dry_ms);
    }
}

/* ---- long random driving ---- */

static bool says_dry(const pw_settings *settings, const pw_worst_sense *sense, const double *in)
{
    pw_term term = settings->sentences[sense->sentence].terms[sense->term];
    const int32_t signal = pw_term_signal(settings, &term, 0);
    return pw_form_of(term.kind)->yes_no ? in[signal] < 0.5 : in[signal] < term.threshold;
}

/* Random readings, each kept for a random time, second by second: what comes of it stays within what was found. */
static void drive(pw_settings *settings, maker *m)
{
    enum { SECONDS = 4000 };
    static int64_t started[SECONDS];
    double in[PW_MAX_SIGNALS];
    pw_outputs out = {.next_due_ms = 0};
    int32_t count = 0, first = 0;
    int64_t since = 0, dry_since[PW_WORST_SENSES] = {0};
    pw_control_begin(table_of, &control, 0);
    worst_still(&model, in);
    for (int64_t t = 0; t < SECONDS; t++) {
        const bool ran = out.run[0];
        for (int32_t i = 0; i < model.input_count; i++) {
            const worst_input *input = &model.inputs[i];
            if (input->signal >= 0 && pick(m, 12) == 0) {
                in[input->signal] = input->values[pick(m, (uint32_t)input->count)];
            }
        }
        pw_control_step(table_of, &control, in, (uint32_t)(t * 1000), &out);
        since = out.run[0] && ran ? since : t;
        assert_true(found.run.end != PW_WORST_BOUND || (t - since) * 1000 <= found.run.value);
        if (out.run[0] && !ran) {
            started[count++] = t;
        }
        while (first < count && t - started[first] >= 3600) {
            first++;
        }
        assert_true(found.starts.end != PW_WORST_BOUND || count - first <= found.starts.value);
        for (int32_t k = 0; k < found.sense_count; k++) {
            const pw_worst_sense *sense = &found.senses[k];
            const bool dry = out.run[0] && says_dry(settings, sense, in);
            dry_since[k] = dry ? dry_since[k] : t + 1;
            assert_true(sense->longest.end != PW_WORST_BOUND || (t - dry_since[k]) * 1000 <= sense->longest.value);
        }
    }
}

static void never_more(void **state)
{
    (void)state;
    maker m = {.plain = true};
    pw_random_seed(&m.random, 11, 1);
    int32_t bounds = 0, reached = 0, large = 0, all = WALKED ? 2 : 6;
    for (int32_t i = 0; i < all;) {
        pw_arena arena = kit_arena();
        pw_settings *settings = random_settings(&arena, &m, " s");
        if (settings == NULL) {
            continue;
        }
        look_at(settings);
        if (worst_model_build(&model, settings, table_of, 0, MEASURE_MIRROR, NULL, -1)) {
            drive(settings, &m);
        }
        const pw_worst_answer *answers[] = {&found.starts, &found.run};
        for (int32_t k = 0; k < 2; k++) {
            bounds += answers[k]->end == PW_WORST_BOUND;
            reached += answers[k]->end == PW_WORST_BOUND && answers[k]->reached;
            large += answers[k]->end == PW_WORST_TOO_LARGE;
        }
        i++;
    }
    print_message("%d settings: %d bounds, %d of them reached; %d too large\n", all, bounds, reached, large);
    assert_true(bounds > 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(mirrored), cmocka_unit_test(by_hand),
                                       cmocka_unit_test(every_sequence), cmocka_unit_test(never_more)};
    return cmocka_run_group_tests_name("settings: the worst they allow", tests, NULL, NULL);
}
