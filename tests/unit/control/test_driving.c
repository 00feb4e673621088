/* Random driving: random orders with times of milliseconds, random inputs, a person who releases now and then.
 * Three controllers see the same: one steps only when a threshold of pw_table_crossings is crossed or next_due_ms is
 * up; one steps each millisecond; the plain twin (oracle.h) is looked at each millisecond. All must agree at every
 * millisecond, and the invariants of core/control/step.c must hold. The clock wraps in the middle of a third of the
 * runs.
 */
#include "kit.h"

#include "kit_random.h"

#include "oracle.h"

enum { ORDERS = 3000, LENGTH_MS = 2000, MOST_SENTENCES = 20 };

static char sentence_text[MOST_SENTENCES][1024];
static const char *sentence_list[MOST_SENTENCES + 1];
static pw_control quick, slow;
static oracle plain_twin;

/* How often each event was seen over all runs: a test that never locks out proves nothing about lock outs. */
static int64_t seen[PW_CONTROL_RETRIED + 1];

static void add(maker *m, int32_t *count, pw_sentence_kind kind)
{
    m->at = sentence_text[*count];
    m->end = m->at + 1000;
    say_sentence(m, kind);
    sentence_list[*count] = sentence_text[*count];
    (*count)++;
}

/* An ignore sentence for a sensor term that another sentence uses. */
static void add_ignore(maker *m, int32_t *count, const pw_settings *settings)
{
    for (int32_t i = 0; i < settings->count; i++) {
        const pw_sentence *s = &settings->sentences[i];
        if (s->kind != PW_SENTENCE_STOP && s->kind != PW_SENTENCE_LOCK && s->kind != PW_SENTENCE_WARN) {
            continue;
        }
        const pw_term *term = &s->terms[pick(m, s->term_count)];
        if (term->kind <= PW_TERM_PHASES && pick(m, 3) == 0 && *count < MOST_SENTENCES) {
            static uint8_t block[4096];
            pw_arena arena;
            pw_text text;
            pw_arena_init(&arena, block, sizeof block);
            pw_text_init(&text, &arena);
            pw_term_put(settings, term, &text);
            snprintf(sentence_text[*count], 1024, "ignore %s for %u ms after start", text.data, 1 + pick(m, 150));
            sentence_list[*count] = sentence_text[*count];
            (*count)++;
            return;
        }
    }
}

static pw_settings *random_settings(pw_arena *arena, maker *m, int32_t pumps)
{
    pw_settings *settings = NULL;
    int32_t count = 0;
    m->short_times = true;
    m->plain = pumps == 1;
    add(m, &count, PW_SENTENCE_START);
    add(m, &count, PW_SENTENCE_STOP);
    for (uint32_t i = pick(m, 3); i > 0; i--) {
        add(m, &count, pick(m, 2) ? PW_SENTENCE_START : PW_SENTENCE_STOP);
    }
    for (uint32_t i = pick(m, 3) * pick(m, 2); i > 0; i--) {
        add(m, &count, PW_SENTENCE_LOCK);
    }
    for (uint32_t i = pick(m, 3); i > 0; i--) {
        add(m, &count, PW_SENTENCE_WARN);
    }
    static const pw_sentence_kind others[] = {PW_SENTENCE_REST,     PW_SENTENCE_LEAST_RUN, PW_SENTENCE_RUN_ON,
                                              PW_SENTENCE_HOLD_ON,  PW_SENTENCE_RETRY,     PW_SENTENCE_RETRY,
                                              PW_SENTENCE_POWER_ON, PW_SENTENCE_KEEP_LOCKS};
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
        if (pick(m, 3) == 0) {
            add(m, &count, others[i]);
        }
    }
    if (pick(m, 6) == 0) {
        add(m, &count, PW_SENTENCE_ONLY);
    }
    if (pumps == 2 && pick(m, 3) == 0) {
        add(m, &count, PW_SENTENCE_APART);
    }
    if (pumps == 2 && pick(m, 2) == 0) {
        add(m, &count, PW_SENTENCE_SHARE);
        static const char *const whose[] = {"duty: ", "assist: ", "bore pump: "};
        for (int32_t i = count - 2; i >= 0; i--) { /* some of the others are for a role */
            const char *who = whose[pick(m, 3)];
            if (pick(m, 2) && strncmp(sentence_text[i], "start pumps", 11) != 0) {
                memmove(sentence_text[i] + strlen(who), sentence_text[i], strlen(sentence_text[i]) + 1);
                memcpy(sentence_text[i], who, strlen(who));
            }
        }
        add(m, &count, PW_SENTENCE_START);
        add(m, &count, PW_SENTENCE_STOP);
    }
    const pw_signal *signals = pumps == 1 ? plain_signals : bench_signals;
    int32_t signal_count = pumps == 1 ? PLAIN_SIGNALS : BENCH_SIGNALS;
    const char *const *names = pumps == 1 ? plain_pumps : bench_pumps;
    pw_settings_read(arena, sentence_list, count, signals, signal_count, names, pumps, "settings", &settings,
                     &kit_problems);
    if (settings != NULL && pick(m, 2)) {
        add_ignore(m, &count, settings);
        pw_settings_read(arena, sentence_list, count, signals, signal_count, names, pumps, "settings", &settings,
                         &kit_problems);
    }
    return settings; /* NULL: refused, for instance a differential of zero */
}

static double random_value(maker *m, pw_signal_kind kind)
{
    switch (kind) {
    case PW_SIGNAL_PRESSURE: return 150e3 + 50e3 * pick(m, 7); /* also exactly on a threshold */
    case PW_SIGNAL_LEVEL: return 0.5 * (1 + pick(m, 4));
    case PW_SIGNAL_CURRENT: return pick(m, 6);
    case PW_SIGNAL_WINDING: return 95 + 5 * pick(m, 5);
    case PW_SIGNAL_SUPPLY: return 170 + 10 * pick(m, 6);
    default: return pick(m, 2);
    }
}

static uint64_t crossing_bits(const pw_table *table, const double *in)
{
    static pw_crossing all[64];
    int32_t count = pw_table_crossings(table, all, 64);
    assert_true(count <= 64);
    uint64_t bits = 0;
    for (int32_t i = 0; i < count; i++) {
        bool holds = all[i].above ? in[all[i].signal] > all[i].threshold : in[all[i].signal] < all[i].threshold;
        bits |= holds ? (uint64_t)1 << i : 0;
    }
    return bits;
}

static void show(int64_t t, const char *who, const pw_outputs *a)
{
    printf("%lld ms, %s: run %d locked %d by %d warned %llx due %u\n", (long long)t, who, a->run[0], a->locked[0],
           a->locked_by[0], (unsigned long long)a->warned, a->next_due_ms);
    for (int32_t i = 0; i < a->event_count; i++) {
        printf("  event %d pump %d sentence %d\n", a->events[i].kind, a->events[i].pump, a->events[i].sentence);
    }
}

static bool same(const pw_outputs *a, const pw_outputs *b, bool with_events, int32_t pumps)
{
    for (int32_t p = 0; p < pumps; p++) {
        if (a->run[p] != b->run[p] || a->locked[p] != b->locked[p] || a->locked_by[p] != b->locked_by[p]) {
            return false;
        }
    }
    if (a->warned != b->warned || a->relays != b->relays || (with_events && a->event_count != b->event_count)) {
        return false;
    }
    for (int32_t i = 0; with_events && i < a->event_count; i++) {
        if (a->events[i].kind != b->events[i].kind || a->events[i].sentence != b->events[i].sentence ||
            a->events[i].pump != b->events[i].pump) {
            return false;
        }
    }
    return true;
}

typedef struct watchful {
    int64_t stopped_at, started_at;
    bool runs, stop_by_lock;
} watchful;

static uint32_t told(const pw_outputs *out, pw_control_event_kind kind)
{
    uint32_t count = 0;
    for (int32_t i = 0; i < out->event_count; i++) {
        count += out->events[i].kind == kind;
    }
    return count;
}

/* What pumps have to do with each other: starts apart, and every role at most once. */
static void check_together(const pw_table *table, const watchful *w, const pw_outputs *out, int32_t pumps, int64_t t)
{
    for (int32_t p = 0; pumps == 2 && p < 2; p++) {
        bool starts = w[p].started_at == t;
        assert_true(!starts || w[1 - p].started_at < 0 ||
                    t - w[1 - p].started_at >= (int64_t)table->pumps[p].set[PW_SENTENCE_APART].ms ||
                    w[1 - p].started_at > t);
        int32_t role = pw_control_role(table, &slow, p);
        assert_true(role < 0 || role != pw_control_role(table, &slow, 1 - p));
        assert_true(table->member_count == 0 || out->locked[p] == (role < 0));
    }
}

/* Invariants 1, 3, 4, from the outputs alone. */
static void check_invariants(watchful *w, const pw_pump_table *table, const pw_outputs *out, int32_t pump, int64_t t)
{
    assert_false(out->run[pump] && out->locked[pump]);
    int32_t each[PW_CONTROL_RETRIED + 1] = {0};
    for (int32_t i = 0; i < out->event_count; i++) {
        const pw_control_event *event = &out->events[i];
        if (event->pump != pump) {
            continue;
        }
        each[event->kind] += event->kind != PW_CONTROL_WARNED;
        assert_true(each[event->kind] <= 1);
        seen[event->kind]++;
        if (event->kind == PW_CONTROL_STARTED) {
            assert_true(w->stopped_at < 0 || t - w->stopped_at >= (int64_t)table->set[PW_SENTENCE_REST].ms);
            w->started_at = t;
        }
        w->stop_by_lock = w->stop_by_lock || event->kind == PW_CONTROL_LOCKED;
        if (event->kind == PW_CONTROL_STOPPED) {
            assert_true(w->stop_by_lock || t - w->started_at >= (int64_t)table->set[PW_SENTENCE_LEAST_RUN].ms);
            w->stopped_at = t;
        }
    }
    w->stop_by_lock = false;
    w->runs = out->run[pump];
}

static int64_t quick_steps, slow_steps;

static void drive(maker *m, const pw_settings *settings, const pw_table *table, int32_t pumps, uint32_t epoch)
{
    int32_t signal_count = pumps == 1 ? PLAIN_SIGNALS : BENCH_SIGNALS;
    const pw_signal *signals = pumps == 1 ? plain_signals : bench_signals;
    double in[BENCH_SIGNALS];
    pw_outputs a, b, c;
    watchful w[2] = {{.stopped_at = -1, .started_at = -1}, {.stopped_at = -1, .started_at = -1}};
    uint32_t busy = 2 + pick(m, 60);
    int64_t due = 0;
    for (int32_t i = 0; i < signal_count; i++) {
        in[i] = random_value(m, signals[i].kind);
    }
    uint64_t bits = crossing_bits(table, in);
    pw_control_begin(table, &quick, epoch);
    pw_control_begin(table, &slow, epoch);
    oracle_begin(&plain_twin, settings);
    plain_twin.week_ms = (int64_t)pick(m, 7) * 86400000 + (pick(m, 2) ? pick(m, 2000) : 86400000 - 1 - pick(m, 2000));
    pw_control_clock(&quick, epoch, (uint32_t)plain_twin.week_ms);
    pw_control_clock(&slow, epoch, (uint32_t)plain_twin.week_ms);
    uint32_t counted_starts = 0;
    bool cut = false;
    for (int64_t t = 0; t < LENGTH_MS; t++) {
        uint32_t now = epoch + (uint32_t)t;
        bool must = t == due;
        if (pick(m, busy) == 0) {
            int32_t signal = (int32_t)pick(m, (uint32_t)signal_count);
            in[signal] = random_value(m, signals[signal].kind);
            must = must || crossing_bits(table, in) != bits;
            bits = crossing_bits(table, in);
        }
        if (pick(m, 300) == 0) {
            pw_control_release(table, &quick, -1, now);
            pw_control_release(table, &slow, -1, now);
            oracle_release(&plain_twin, t);
            must = true;
        }
        if (cut) {
            pw_control_power(table, &quick, now);
            pw_control_power(table, &slow, now);
            oracle_power(&plain_twin, t);
            for (int32_t p = 0; p < pumps; p++) {
                w[p].stopped_at = w[p].runs ? t : w[p].stopped_at;
            }
            must = true;
        }
        cut = pick(m, 700) == 0;
        must = must || cut; /* counters hold what the last step before a cut knew */
        pw_control_step(table, &slow, in, now, &b);
        slow_steps++;
        if (must) {
            pw_control_step(table, &quick, in, now, &a);
            quick_steps++;
            due = t + a.next_due_ms;
        } else {
            a.event_count = 0;
        }
        if (pumps == 1) {
            oracle_step(&plain_twin, in, t, &c);
        } else {
            c = b;
        }
        bool good = same(&a, &b, true, pumps) && same(&b, &c, true, pumps);
        if (!good) {
            for (int32_t i = 0; i < settings->count; i++) {
                printf("[%d] %s\n", i, kit_words(settings, i));
            }
            show(t, "when due", &a);
            show(t, "each ms", &b);
            show(t, "plain twin", &c);
        }
        assert_true(good);
        for (int32_t p = 0; p < pumps; p++) {
            check_invariants(&w[p], &table->pumps[p], &b, p, t);
        }
        check_together(table, w, &b, pumps, t);
        bool counts = pumps == 1 && b.run[0]; /* not what its limit ended at once */
        counted_starts += counts ? told(&b, PW_CONTROL_STARTED) : 0;
        if (pumps == 1 && pick(m, 100) == 0) {
            uint32_t starts, run_s;
            pw_control_counts(&quick, 0, now + 1, &starts, &run_s);
            assert_int_equal(starts, counted_starts);
            assert_int_equal(run_s, plain_twin.ran_ms / 1000);
        }
    }
}

static void drive_many(int32_t pumps, uint64_t seed)
{
    maker m = {.odd_spacing = false};
    int32_t driven = 0;
    pw_random_seed(&m.random, seed, 3);
    memset(seen, 0, sizeof seen);
    quick_steps = 0;
    slow_steps = 0;
    for (int32_t i = 0; driven < ORDERS; i++) {
        assert_true(i < 3 * ORDERS);
        pw_arena arena = kit_arena();
        pw_table *table = NULL;
        pw_settings *settings = random_settings(&arena, &m, pumps);
        if (settings == NULL) {
            continue;
        }
        assert_int_equal(pw_table_build(&arena, settings, NULL, &table, NULL), PW_OK);
        static const uint32_t begins[] = {0, UINT32_MAX - LENGTH_MS / 2, 0x80000000u - LENGTH_MS / 2};
        drive(&m, settings, table, pumps, begins[driven % 3]);
        driven++;
    }
    printf("%d orders, %lld steps when due, %lld each millisecond; events", driven, (long long)quick_steps,
           (long long)slow_steps);
    for (int32_t k = 0; k <= PW_CONTROL_RETRIED; k++) {
        printf(" %lld", (long long)seen[k]);
    }
    printf("\n");
    assert_true(quick_steps * 4 < slow_steps); /* events really save steps */
    for (int32_t k = 0; k <= PW_CONTROL_RETRIED; k++) {
        assert_true(seen[k] > 1000);
    }
}

static void one_pump_against_the_plain_twin(void **state)
{
    (void)state;
    drive_many(1, 11);
}

static void two_pumps_when_due_and_each_millisecond(void **state)
{
    (void)state;
    drive_many(2, 12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_pump_against_the_plain_twin),
        cmocka_unit_test(two_pumps_when_due_and_each_millisecond),
    };
    return cmocka_run_group_tests_name("settings: random driving", tests, NULL, NULL);
}
