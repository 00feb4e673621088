/* What was before: a power cut, a release. */
#include "control/teller.h"

enum { TOLD_MS = 3600000 }; /* a power cut is told for so long after it at least: our own choice */

/* How long ago; no value: just now. */
static pw_value ago(const pw_state_teller *t, pw_moment then)
{
    return pw_moment_age(then, t->now_ms) == 0 ? pw_named("") : pw_tell_age(t, then);
}

/* Told for an hour at least, and until the pump has started again. */
void pw_tell_supply(const pw_state_teller *t)
{
    const bool fresh = pw_moment_age(t->control->power, t->now_ms) < TOLD_MS;
    if (!t->control->was_cut || !(t->pump->waits_since_cut || fresh)) {
        return;
    }
    if (t->control->cut_ms > 0) {
        pw_tell(t->out, "control.supply-was-away", pw_tell_age_ms(t, t->control->cut_ms), ago(t, t->control->power));
    } else {
        pw_tell(t->out, "control.supply-away-unknown", ago(t, t->control->power));
    }
    if (t->pump->over_cut == PW_CUT_LOCK_KEPT) {
        pw_tell(t->out, "control.lock-kept");
    } else if (t->pump->over_cut == PW_CUT_LOCK_FORGOTTEN) {
        pw_tell(t->out, "control.lock-forgotten");
    }
}

void pw_tell_release(const pw_state_teller *t)
{
    const pw_pump_control *pump = t->pump;
    if (pump->unlocked == PW_UNLOCKED_NOT) {
        return;
    }
    const int16_t index = t->table->retry_of[pump->locked_by];
    const bool by_retry = pump->unlocked == PW_UNLOCKED_BY_SETTINGS && index >= 0;
    const pw_retry *retry = by_retry ? &t->table->retries[index] : NULL;
    /* a power cut may have forgotten the number */
    const bool numbered = by_retry && retry->times > 0 && pump->retries > 0;
    const bool stood = pump->locked_by != pump->stopped_by; /* it stood when it was locked out */
    pw_tell(t->out,
            pump->unlocked == PW_UNLOCKED_BY_PERSON ? "control.released-by-person" : "control.released-by-itself",
            ago(t, pump->unlock), pw_tell_sentence(t, by_retry ? retry->sentence : -1),
            pw_count(numbered ? pump->retries : 0), pw_count(numbered ? retry->times : 0),
            stood ? pw_tell_sentence(t, pump->locked_by) : pw_named(""));
}

static bool has_lock_out(const pw_state_teller *t)
{
    for (int32_t i = 0; i < t->table->row_count; i++) {
        if (t->table->rows[i].kind == PW_SENTENCE_LOCK) {
            return true;
        }
    }
    return false;
}

static void put_before_the_cut(const pw_state_teller *t)
{
    const bool keeps = t->table->set[PW_SENTENCE_KEEP_LOCKS].there;
    switch (t->pump->state) {
    case PW_PUMP_RUNNING:
        pw_tell(t->out, "control.ran-before",
                t->table->set[PW_SENTENCE_REST].ms > 0 ? pw_tell_span(t->table->set[PW_SENTENCE_REST].ms)
                                                       : pw_named(""));
        break;
    case PW_PUMP_LOCKED:
        pw_tell(t->out, keeps ? "control.locked-before-kept" : "control.locked-before-forgotten",
                pw_tell_sentence(t, t->pump->locked_by));
        break;
    default: pw_tell(t->out, "control.stopped-before"); break;
    }
}

void pw_tell_lost(const pw_state_teller *t)
{
    const uint32_t away_ms = pw_moment_age(pw_moment_now(t->control->lost_ms), t->now_ms);
    pw_tell(t->out, "control.no-power", pw_named(t->settings->pumps[t->number]),
            away_ms == 0 ? pw_named("") : pw_tell_age_ms(t, away_ms));
    put_before_the_cut(t);
    if (has_lock_out(t)) {
        pw_tell(t->out, "control.locks-over-cut", pw_truth(t->table->set[PW_SENTENCE_KEEP_LOCKS].there));
    }
    pw_tell(t->out, "control.counters-kept");
}
