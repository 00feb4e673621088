/* What the controller tells: at moments that were asked for, and when it locks out. */
#include "sim/observers.h"
#include "sim/run_impl.h"

#include <string.h>

static void tell(pw_teller *teller, const pw_sim *run, int32_t pump, bool at_lock)
{
    const pw_settings *settings = run->settings_in_force != NULL ? run->settings_in_force : run->plant->settings;
    const int32_t asked = (teller->asked_count - teller->asked_done) * run->plant->site->pump_count;
    if (teller->count >= PW_MAX_STATES_TOLD - (at_lock ? asked : 0)) { /* those asked for keep their room */
        teller->lost++;
        return;
    }
    pw_facts facts;
    pw_facts_init(&facts, teller->arena);
    pw_control_tell(settings, &run->plant->facts, run->table, run->control, pump, (uint32_t)run->t_ms, &facts);
    if (run->pumps[pump].burnt) {
        pw_tell(&facts, "day.in-truth-burnt");
    }
    if (facts.failed) {
        teller->lost++;
        return;
    }
    teller->told[teller->count] = (pw_told){run->t_ms, (int16_t)pump, at_lock, facts};
    teller->count++;
}

static int64_t due_ms(const pw_teller *teller)
{
    return teller->asked_done < teller->asked_count ? teller->asked_ms[teller->asked_done] : INT64_MAX;
}

static void tell_all(pw_teller *teller, const pw_sim *run)
{
    for (int32_t p = 0; p < run->plant->site->pump_count; p++) {
        tell(teller, run, p, false);
    }
    teller->asked_done++;
}

static void event(pw_observer *self, pw_sim *run, const pw_event *event)
{
    pw_teller *teller = (pw_teller *)(void *)self;
    if (teller->at_locks && event->kind == PW_ENTRY_LOCK) {
        tell(teller, run, event->item, true);
    }
}

/* Lets a copy run to the moment, where it stops when all is taken that is due there. */
typedef struct visitor {
    pw_observer observer;
    int64_t t_ms;
} visitor;

static void arrive(pw_observer *self, pw_sim *run, pw_at when)
{
    visitor *v = (visitor *)(void *)self;
    v->observer.stop = when == PW_AT_ROUND_END && run->t_ms >= v->t_ms;
}

/* A copy is brought to the moment and its controller stepped there, as a person finds it who stands before it. */
static pw_status visit(pw_teller *teller, const pw_sim *run, int64_t t_ms)
{
    pw_sim *copy = pw_sim_copy_into(run, teller->copy);
    visitor there = {.observer = {.at = arrive}, .t_ms = t_ms};
    copy->options.cancelled = NULL;
    pw_sim_attach(copy, &there.observer);
    pw_status status = pw_sim_advance(copy, t_ms, NULL);
    if (status == PW_OK) {
        status = pw_sim_advance(copy, t_ms + 1, NULL); /* stops once that moment is taken */
    }
    if (status == PW_OK) {
        tell_all(teller, copy);
    }
    return status;
}

/* Before time goes on: what is asked for now, and before the next moment at which anything is due. */
static void at(pw_observer *self, pw_sim *run, pw_at when)
{
    pw_teller *teller = (pw_teller *)(void *)self;
    if (when != PW_AT_ROUND_END) {
        return;
    }
    while (due_ms(teller) <= run->t_ms) {
        tell_all(teller, run);
    }
    const int64_t next_ms = pw_sim_next_due(run, teller->until_ms);
    while (due_ms(teller) < next_ms) {
        if (visit(teller, run, due_ms(teller)) != PW_OK) {
            return; /* the simulation itself will meet what went wrong */
        }
    }
}

pw_status pw_teller_begin(pw_teller *teller, pw_arena *arena, const pw_sim *run, const int64_t *asked_ms,
                          int32_t asked_count, int64_t until_ms, bool at_locks)
{
    memset(teller, 0, sizeof *teller);
    teller->observer = (pw_observer){.event = event, .at = at};
    teller->arena = arena;
    teller->asked_ms = asked_ms;
    teller->asked_count = asked_count;
    teller->until_ms = until_ms;
    teller->at_locks = at_locks;
    if (asked_count == 0 && !at_locks) {
        return PW_OK;
    }
    teller->told = PW_NEW(arena, PW_MAX_STATES_TOLD, pw_told);
    teller->copy = asked_count > 0 ? pw_alloc(arena, 1, pw_sim_size(run)) : NULL;
    return teller->told != NULL && (teller->copy != NULL || asked_count == 0) ? PW_OK : PW_MEMORY;
}
