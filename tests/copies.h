/* A simulation is copied at many moments; each copy, and a copy of it, goes on to the end like the original, byte for
 * byte: every event, the totals, the whole state. The original goes on after the copies are gone.
 */
#ifndef PW_TESTS_COPIES_H
#define PW_TESTS_COPIES_H

#include "base/random.h"
#include "run_kit.h"
#include "sim/run_impl.h"

enum { MOST_NOTED = 200000 };

/* Everything that is told, each as a number that hangs on all of its bits. */
typedef struct notes {
    pw_observer observer;
    int32_t count;
    uint64_t *noted;
    int64_t passes, stop_after; /* stops within a stretch after so many passes */
} notes;

static inline uint64_t mix(uint64_t a, uint64_t b)
{
    a = (a ^ b) * UINT64_C(0x9e3779b97f4a7c15);
    return a ^ (a >> 29);
}

static inline uint64_t bits_of(double value)
{
    uint64_t bits;
    memcpy(&bits, &value, sizeof bits);
    return bits;
}

static inline void put_note(notes *n, uint64_t what)
{
    assert_true(n->count < MOST_NOTED);
    n->noted[n->count] = what;
    n->count++;
}

static inline void note_event_of(pw_observer *self, pw_sim *sim, const pw_event *event)
{
    uint64_t h = mix((uint64_t)event->t_ms, (uint64_t)event->kind);
    h = mix(mix(h, (uint64_t)(event->item + 1)), (uint64_t)(event->sentence + 1));
    h = mix(mix(h, bits_of(event->a)), bits_of(event->b));
    put_note((notes *)(void *)self, mix(h, bits_of(pw_sim_pressure(sim))));
}

static inline void note_pass(pw_observer *self, pw_sim *sim, int64_t from_ms)
{
    notes *n = (notes *)(void *)self;
    (void)sim, (void)from_ms;
    n->passes++;
    self->stop = n->stop_after > 0 && n->passes >= n->stop_after;
}

static inline void notes_open(notes *n)
{
    memset(n, 0, sizeof *n);
    n->observer = (pw_observer){.event = note_event_of, .passed = note_pass};
    n->noted = malloc(MOST_NOTED * sizeof *n->noted);
    assert_non_null(n->noted);
}

/* What the copies of one test met. */
typedef struct met {
    int32_t copies, running, drawing, locked, surging, under_way;
} met;

static inline bool surges(const pw_sim *sim)
{
    bool any = false;
    for (int32_t p = 0; p < sim->thermals; p++) {
        any = any || sim->pumps[p].surge_due_ms != INT64_MAX;
    }
    return any;
}

static inline bool draws(const pw_sim *sim)
{
    bool any = false;
    for (int32_t o = 0; o < sim->plant->site->outlet_count; o++) {
        any = any || sim->drive.draw_m3s[o] > 0.0;
    }
    return any;
}

/* 1 running, 2 drawing, 4 locked out, 8 surge, 16 within a stretch */
static inline int32_t state_of(const pw_sim *sim)
{
    int32_t state = (draws(sim) ? 2 : 0) | (surges(sim) ? 8 : 0) | (sim->phase == PHASE_UNDER_WAY ? 16 : 0);
    for (int32_t p = 0; p < sim->thermals; p++) {
        state |= pw_sim_value(sim, (pw_watched){PW_OF_RUNNING, p}) > 0.0 ? 1 : 0;
        state |= pw_sim_locked(sim, p) ? 4 : 0;
    }
    return state;
}

static inline void count_met(met *m, int32_t state)
{
    m->copies++;
    m->running += state & 1 ? 1 : 0;
    m->drawing += state & 2 ? 1 : 0;
    m->locked += state & 4 ? 1 : 0;
    m->surging += state & 8 ? 1 : 0;
    m->under_way += state & 16 ? 1 : 0;
}

typedef struct whole {
    pw_sim *sim;
    pw_tally *tally;
    notes notes;
} whole;

static inline void open_whole(whole *w, kit *k, const pw_sim_options *options, const pw_fault *faults,
                              int32_t fault_count)
{
    assert_int_equal(pw_sim_create(&k->arena, k->plant, options, &w->sim, &k->problems), PW_OK);
    for (int32_t i = 0; i < fault_count; i++) {
        assert_int_equal(pw_sim_befall(w->sim, &k->arena, &faults[i], &k->problems), PW_OK);
    }
    w->tally = pw_tally_new(&k->arena, w->sim);
    assert_non_null(w->tally);
    notes_open(&w->notes);
    pw_sim_attach(w->sim, &w->tally->observer);
    pw_sim_attach(w->sim, &w->notes.observer);
}

/* Beginning where another one stands that has not gone on yet: both share their settings. */
static inline void open_twin(whole *w, kit *k, const whole *from)
{
    w->sim = pw_sim_copy(from->sim, &k->arena);
    w->tally = pw_tally_copy(from->tally, &k->arena);
    assert_non_null(w->sim);
    assert_non_null(w->tally);
    notes_open(&w->notes);
    pw_sim_attach(w->sim, &w->tally->observer);
    pw_sim_attach(w->sim, &w->notes.observer);
}

/* The copy of a copy in memory that was full of something else; the first copy is wiped before the second goes on. */
static inline void copy_goes_on(kit *k, const whole *from, const whole *truth, int64_t end_ms)
{
    const size_t size = pw_sim_size(from->sim), mark = pw_arena_mark(&k->arena);
    void *first = aligned_alloc(16, size), *second = aligned_alloc(16, size);
    assert_non_null(first);
    assert_non_null(second);
    memset(first, 0xa5, size);
    memset(second, 0x5a, size);
    notes heard;
    notes_open(&heard);
    pw_sim *sim = pw_sim_copy_into(from->sim, first);
    assert_true(pw_sim_same(sim, from->sim));
    pw_tally *tally = pw_tally_copy(from->tally, &k->arena);
    pw_sim_attach(sim, &tally->observer);
    pw_sim_attach(sim, &heard.observer);
    for (int i = 0; i < 3; i++) {
        assert_int_equal(pw_sim_next(sim, end_ms, &k->problems), PW_OK);
    }
    pw_sim *again = pw_sim_copy_into(sim, second);
    memset(first, 0xff, size);
    pw_sim_attach(again, &tally->observer);
    pw_sim_attach(again, &heard.observer);
    assert_int_equal(pw_sim_advance(again, end_ms, &k->problems), PW_OK);
    assert_int_equal(from->notes.count + heard.count, truth->notes.count);
    assert_memory_equal(heard.noted, truth->notes.noted + from->notes.count, (size_t)heard.count * sizeof(uint64_t));
    const pw_totals got = pw_tally_totals(tally, again, false),
                    right = pw_tally_totals(truth->tally, truth->sim, false);
    assert_memory_equal(&got, &right, sizeof got);
    assert_true(pw_sim_same(again, truth->sim));
    free(heard.noted);
    free(first);
    free(second);
    pw_arena_back(&k->arena, mark);
}

/* One simulation to end_ms, copied about `wanted` times at random moments, and when something is the case for the first
 * time. */
static inline void copies_go_on(kit *k, const pw_sim_options *options, const pw_fault *faults, int32_t fault_count,
                                int64_t end_ms, int32_t wanted, pw_random *random, met *m)
{
    const size_t mark = pw_arena_mark(&k->arena);
    whole truth, w;
    open_whole(&truth, k, options, faults, fault_count);
    open_twin(&w, k, &truth);
    assert_int_equal(pw_sim_advance(truth.sim, end_ms, &k->problems), PW_OK);
    const int64_t stops_ms = truth.sim->t_ms; /* less than end_ms where it hunts */
    int32_t seen = 0;
    const double often = (double)wanted / (double)(truth.notes.passes + 1);
    while (w.sim->t_ms < stops_ms && !w.tally->hunts) {
        const bool within = pw_random_unit(random) < 0.5;
        w.notes.stop_after = within ? w.notes.passes + 1 + (int64_t)(pw_random_unit(random) * 4.0) : 0;
        assert_int_equal(pw_sim_next(w.sim, end_ms, &k->problems), PW_OK);
        const int32_t state = state_of(w.sim);
        if ((state & ~seen) != 0 || pw_random_unit(random) < often) {
            seen |= state;
            count_met(m, state);
            if (!w.tally->hunts) {
                copy_goes_on(k, &w, &truth, end_ms);
            }
        }
    }
    assert_int_equal(w.notes.count, truth.notes.count);
    assert_memory_equal(w.notes.noted, truth.notes.noted, (size_t)w.notes.count * sizeof(uint64_t));
    assert_true(pw_sim_same(w.sim, truth.sim));
    free(w.notes.noted);
    free(truth.notes.noted);
    pw_arena_back(&k->arena, mark);
}

#endif
