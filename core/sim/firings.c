/* Which watch fired when, and what it had cost by then. */
#include "sim/observers.h"

#include <string.h>

static void fired(pw_firings *firings, const pw_sim *sim, const pw_event *event)
{
    pw_firing *first = &firings->first[event->sentence];
    firings->fired[event->sentence]++;
    if (firings->expected != NULL && firings->expected(firings->user, event->sentence, event->t_ms)) {
        return;
    }
    if (firings->tally->begun && first->t_ms < 0) {
        first->t_ms = event->t_ms;
        first->totals = pw_tally_totals(firings->tally, sim, true);
    }
    if (firings->tally->begun && firings->stop_at_watch) {
        firings->watched = true;
        firings->observer.stop = true;
    }
}

static void event(pw_observer *self, pw_sim *sim, const pw_event *event)
{
    pw_firings *firings = (pw_firings *)(void *)self;
    if (event->kind == PW_ENTRY_LOCK) {
        firings->lock_count++;
        fired(firings, sim, event);
        if (firings->stop_at_lock) {
            firings->locked = true;
            firings->observer.stop = true;
        }
    } else if (event->kind == PW_ENTRY_WARN) {
        fired(firings, sim, event);
    }
}

void pw_firings_begin(pw_firings *firings, const pw_tally *tally)
{
    memset(firings, 0, sizeof *firings);
    firings->observer.event = event;
    firings->tally = tally;
    for (int32_t s = 0; s < PW_MAX_SENTENCES; s++) {
        firings->first[s].t_ms = -1;
    }
}
