/* What was before, in words: a power cut, a release. */
#include "control/teller.h"

enum { TOLD_MS = 3600000 }; /* a power cut is told for so long after it at least: our own choice */

static void put_ago(const pw_teller *t, pw_moment then)
{
    if (pw_moment_age(then, t->now_ms) == 0) {
        pw_text_put(t->text, "just now");
    } else {
        pw_tell_age(t, then);
        pw_text_put(t->text, " ago");
    }
}

/* Told for an hour at least, and until the pump has started again. */
void pw_tell_supply(const pw_teller *t)
{
    static const char *const lock_outs[] = {[PW_CUT_NO_LOCK] = "",
                                            [PW_CUT_LOCK_KEPT] = "Its lock out was kept over the cut.\n",
                                            [PW_CUT_LOCK_FORGOTTEN] = "Its lock out was forgotten with the supply.\n"};
    const bool fresh = pw_moment_age(t->control->power, t->now_ms) < TOLD_MS;
    if (!t->control->was_cut || !(t->pump->waits_since_cut || fresh)) {
        return;
    }
    if (t->control->cut_ms > 0) {
        pw_text_put(t->text, "The supply was away for ");
        pw_tell_age_ms(t, t->control->cut_ms);
        pw_text_put(t->text, "; it came back ");
    } else {
        pw_text_put(t->text, "How long the supply was away is not known; it came back ");
    }
    put_ago(t, t->control->power);
    pw_text_put(t->text, ".\n");
    pw_text_put(t->text, lock_outs[t->pump->over_cut]);
}

void pw_tell_release(const pw_teller *t)
{
    const pw_pump_control *pump = t->pump;
    if (pump->unlocked == PW_UNLOCKED_NOT) {
        return;
    }
    pw_text_put(t->text,
                pump->unlocked == PW_UNLOCKED_BY_PERSON ? "A person released it " : "It was released by itself ");
    put_ago(t, pump->unlock);
    const int16_t index = t->table->retry_of[pump->locked_by];
    if (pump->unlocked == PW_UNLOCKED_BY_SETTINGS && index >= 0) {
        const pw_retry *retry = &t->table->retries[index];
        pw_text_put(t->text, ", by \"");
        pw_settings_put(t->settings, retry->sentence, t->text);
        pw_text_put(t->text, "\"");
        if (retry->times > 0 && pump->retries > 0) { /* a power cut may have forgotten the number */
            pw_text_put(t->text, ", retry ");
            pw_text_int(t->text, pump->retries);
            pw_text_put(t->text, " of ");
            pw_text_int(t->text, retry->times);
        }
    }
    if (pump->locked_by != pump->stopped_by) { /* it stood when it was locked out */
        pw_text_put(t->text, "; it had been locked out");
        pw_tell_because(t, pump->locked_by);
        return;
    }
    pw_text_put(t->text, ".\n");
}

static bool has_lock_out(const pw_teller *t)
{
    for (int32_t i = 0; i < t->table->row_count; i++) {
        if (t->table->rows[i].kind == PW_SENTENCE_LOCK) {
            return true;
        }
    }
    return false;
}

static void put_before_the_cut(const pw_teller *t)
{
    const bool keeps = t->table->keeps_locks;
    switch (t->pump->state) {
    case PW_PUMP_RUNNING:
        pw_text_put(t->text, "It was running then; when the supply comes back it is stopped");
        if (t->table->rest_ms > 0) {
            pw_text_put(t->text, " and rests for ");
            pw_tell_span(t, t->table->rest_ms);
        }
        pw_text_put(t->text, ".\n");
        break;
    case PW_PUMP_LOCKED:
        pw_text_put(t->text, keeps ? "It is locked out, and stays so over the cut"
                                   : "It was locked out then, which is forgotten when the supply comes back");
        pw_tell_because(t, t->pump->locked_by);
        break;
    default: pw_text_put(t->text, "It was stopped then.\n"); break;
    }
}

void pw_tell_lost(const pw_teller *t)
{
    const uint32_t away_ms = pw_moment_age(pw_moment_now(t->control->lost_ms), t->now_ms);
    if (away_ms == 0) {
        pw_text_put(t->text, " has just lost its power, and so has its controller.\n");
    } else {
        pw_text_put(t->text, " has had no power for ");
        pw_tell_age_ms(t, away_ms);
        pw_text_put(t->text, ", and nor has its controller.\n");
    }
    put_before_the_cut(t);
    if (has_lock_out(t)) {
        pw_text_puts(t->text, "Lock outs, the retries used up and the starts counted for them are ",
                     t->table->keeps_locks ? "kept over the cut" : "forgotten when the supply comes back", ".\n",
                     (const char *)NULL);
    }
    pw_text_put(t->text, "Its counters are kept, and its clock goes on.\n");
}
