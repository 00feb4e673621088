/* Common to the tests of the order: a bench site, a builder that must succeed, and a driver that steps through time. */
#ifndef ORDER_KIT_H
#define ORDER_KIT_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "control/parts.h"
#include "english.h"

static uint8_t kit_block[16u << 20];
static pw_problems kit_problems;

/* A bench with two pumps and several signals of most kinds. */
static const pw_signal bench_signals[] = {{"shed", PW_SIGNAL_PRESSURE},     {"top house", PW_SIGNAL_PRESSURE},
                                          {"flow switch", PW_SIGNAL_FLOW},  {"header tank", PW_SIGNAL_LEVEL},
                                          {"low", PW_SIGNAL_PROBE},         {"low well", PW_SIGNAL_PROBE},
                                          {"wet", PW_SIGNAL_PROBE},         {"door and hatch", PW_SIGNAL_CONTACT},
                                          {"bore pump", PW_SIGNAL_CURRENT}, {"bore pump", PW_SIGNAL_WINDING},
                                          {"feed pump", PW_SIGNAL_CURRENT}, {"supply", PW_SIGNAL_SUPPLY},
                                          {"phases", PW_SIGNAL_PHASES}};
enum { BENCH_SIGNALS = sizeof bench_signals / sizeof bench_signals[0] };
static const char *const bench_pumps[] = {"bore pump", "feed pump"};

/* A plain site: one pump, one of each kind. */
static const pw_signal plain_signals[] = {
    {"pressure", PW_SIGNAL_PRESSURE}, {"flow switch", PW_SIGNAL_FLOW}, {"tank", PW_SIGNAL_LEVEL},
    {"low", PW_SIGNAL_PROBE},         {"gate", PW_SIGNAL_CONTACT},     {"pump", PW_SIGNAL_CURRENT},
    {"pump", PW_SIGNAL_WINDING},      {"supply", PW_SIGNAL_SUPPLY},    {"phases", PW_SIGNAL_PHASES}};
enum { P_PRESSURE, P_FLOW, P_LEVEL, P_PROBE, P_CONTACT, P_CURRENT, P_WINDING, P_SUPPLY, P_PHASES, PLAIN_SIGNALS };
static const char *const plain_pumps[] = {"pump"};

static inline pw_arena kit_arena(void)
{
    pw_arena arena;
    pw_arena_init(&arena, kit_block, sizeof kit_block);
    memset(&kit_problems, 0, sizeof kit_problems);
    return arena;
}

static inline void kit_show_problems(void)
{
    for (int32_t i = 0; i < kit_problems.count; i++) {
        const pw_problem *p = &kit_problems.items[i];
        printf("  %s %s at %s column %d: found \"%s\", expected \"%s\", hint \"%s\"\n",
               p->warning ? "warning" : "error", pw_status_id(p->status), p->path, p->column, english(&p->found),
               english(&p->expected), english(&p->hint));
    }
}

static inline int32_t kit_count(const char *const *sentences)
{
    int32_t count = 0;
    while (sentences[count] != NULL) {
        count++;
    }
    return count;
}

static inline pw_settings *kit_plain(pw_arena *arena, const char *const *sentences)
{
    pw_settings *settings = NULL;
    pw_status status = pw_settings_read(arena, sentences, kit_count(sentences), plain_signals, PLAIN_SIGNALS,
                                        plain_pumps, 1, "settings", &settings, &kit_problems);
    if (status != PW_OK) {
        kit_show_problems();
    }
    assert_int_equal(status, PW_OK);
    return settings;
}

static inline const char *kit_words(const pw_settings *settings, int32_t sentence)
{
    static uint8_t block[1 << 16];
    pw_arena arena;
    pw_text text;
    pw_arena_init(&arena, block, sizeof block);
    pw_text_init(&text, &arena);
    pw_settings_put(settings, sentence, &text);
    assert_false(text.failed);
    return text.data;
}

/* One controller on the plain site, driven by steps exactly when due. The clock begins at `epoch`, so each timeline can
 * be run over the wrap; all times of a test count from there. */
typedef struct kit_bench {
    pw_arena arena;
    pw_settings *settings;
    pw_table *table;
    pw_control *control;
    uint32_t epoch;
    uint64_t t_ms, due_at_ms;
    double in[PLAIN_SIGNALS];
    pw_outputs out;
    /* events since the last kit_clear, in order */
    int32_t event_count;
    pw_control_event events[256];
    uint64_t event_ms[256];
} kit_bench;

static inline void kit_step(kit_bench *b)
{
    pw_control_step(b->table, b->control, b->in, b->epoch + (uint32_t)b->t_ms, &b->out);
    assert_true(b->out.next_due_ms >= 1 && b->out.next_due_ms <= PW_STEP_MS);
    b->due_at_ms = b->t_ms + b->out.next_due_ms;
    for (int32_t i = 0; i < b->out.event_count; i++) {
        assert_true(b->event_count < 256);
        b->events[b->event_count] = b->out.events[i];
        b->event_ms[b->event_count] = b->t_ms;
        b->event_count++;
    }
    for (int32_t p = 0; p < PW_MAX_PUMPS; p++) {
        assert_false(b->out.run[p] && b->out.locked[p]);
    }
}

static inline void kit_begin(kit_bench *b, const char *const *sentences, uint32_t epoch)
{
    memset(b, 0, sizeof *b);
    b->arena = kit_arena();
    b->settings = kit_plain(&b->arena, sentences);
    b->epoch = epoch;
    b->control = pw_alloc(&b->arena, 1, pw_control_size());
    assert_int_equal(pw_table_build(&b->arena, b->settings, NULL, &b->table, &kit_problems), PW_OK);
    pw_control_begin(b->table, b->control, epoch);
    b->in[P_PRESSURE] = 300e3;
    b->in[P_LEVEL] = 1;
    b->in[P_PROBE] = 1;
    b->in[P_WINDING] = 20;
    b->in[P_SUPPLY] = 230;
    b->in[P_PHASES] = 1;
    kit_step(b);
}

/* Go on to t_ms (since the epoch), stepping only when due, then once at t_ms. */
static inline void kit_to(kit_bench *b, uint64_t t_ms)
{
    while (b->due_at_ms < t_ms) {
        b->t_ms = b->due_at_ms;
        kit_step(b);
    }
    b->t_ms = t_ms;
    kit_step(b);
}

/* An input changes at t_ms. */
static inline void kit_set(kit_bench *b, uint64_t t_ms, int32_t signal, double value)
{
    while (b->due_at_ms < t_ms) {
        b->t_ms = b->due_at_ms;
        kit_step(b);
    }
    b->in[signal] = value;
    b->t_ms = t_ms;
    kit_step(b);
}

static inline void kit_clear(kit_bench *b)
{
    b->event_count = 0;
}

/* Pump 0 runs at t_ms but not one millisecond before (or the other way round). */
static inline void kit_turns(kit_bench *b, uint64_t t_ms, bool on)
{
    kit_to(b, t_ms - 1);
    assert_int_equal(b->out.run[0], !on);
    kit_to(b, t_ms);
    assert_int_equal(b->out.run[0], on);
}

static inline void kit_locks(kit_bench *b, uint64_t t_ms, int32_t sentence)
{
    kit_to(b, t_ms - 1);
    assert_false(b->out.locked[0]);
    kit_to(b, t_ms);
    assert_true(b->out.locked[0]);
    assert_false(b->out.run[0]);
    assert_int_equal(b->out.locked_by[0], sentence);
}

static inline int32_t kit_events(const kit_bench *b, pw_control_event_kind kind)
{
    int32_t count = 0;
    for (int32_t i = 0; i < b->event_count; i++) {
        count += b->events[i].kind == kind;
    }
    return count;
}

/* 3 s before the wrap: short timelines go over it at once. 40 min: the long ones do. */
static const uint32_t epochs[] = {0, UINT32_MAX - 2999, UINT32_MAX - 2400000, UINT32_MAX, 0x7ffffff0u};
enum { EPOCHS = sizeof epochs / sizeof epochs[0] };
enum { S = 1000, MIN = 60000, HOUR = 3600000 };

#define FOR_EACH_EPOCH(b, sentences)    \
    for (size_t e = 0; e < EPOCHS; e++) \
        if (kit_begin(&(b), (sentences), epochs[e]), true)

#endif
