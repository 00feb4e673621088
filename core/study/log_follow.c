#include "study/log_follow.h"

#include <string.h>

/* A look needs night and day: what each hypothesis foretells is foretold for a day (own choice). */
#define LEAST_S 86400.0
enum { LEAST_ROWS = 24, NOTHING_NAMED = -1 };

pw_status pw_log_follow_begin(pw_arena *arena, const pw_site *site, const bool has[PW_LOG_SIGNALS],
                              const pw_diagnose_options *options, pw_log_follow **out, pw_problems *problems)
{
    pw_log_follow *w = *out = PW_NEW(arena, 1, pw_log_follow);
    if (w == NULL) {
        return pw_problem_add(problems, PW_MEMORY, "", "", "", "");
    }
    w->arena = arena;
    w->site = site;
    w->options = *options;
    w->problems = problems;
    w->named = w->raised_as = NOTHING_NAMED;
    memcpy(w->has, has, sizeof w->has);
    pw_log_begin(&w->record[0], has);
    return PW_OK;
}

/* ---- a look ---- */

/* What each hypothesis foretells, for a day of a log like this one; simulated once. */
static pw_status fill_bank(pw_log_follow *w)
{
    if (w->bank != NULL || w->status != PW_OK) {
        return w->status;
    }
    pw_log_bank_options asks = pw_log_bank_asks(&w->room, 0, w->options.seed);
    asks.length_s = 86400.0;
    asks.cancelled = w->options.cancelled;
    asks.user = w->options.user;
    w->status = pw_log_bank_fill(w->arena, w->site, &asks, &w->bank, w->problems);
    return w->status;
}

static bool judge(pw_log_follow *w)
{
    pw_log_features seen;
    double apart;
    if (w->site == NULL) {
        pw_log_judge_alone(&w->room, &w->verdict);
        return true;
    }
    if (fill_bank(w) != PW_OK) {
        return false;
    }
    const int32_t from = pw_log_present(&w->room, &apart);
    pw_log_weigh_present(w->bank, &w->room, from, apart, &seen, &w->verdict);
    return true;
}

bool pw_log_follow_look(pw_log_follow *w)
{
    const pw_record *record = &w->record[w->older];
    if (record->rows < LEAST_ROWS) {
        return false;
    }
    w->room = *record;
    pw_log_end(&w->room);
    return w->room.last_s - w->room.first_s >= LEAST_S && judge(w);
}

/* ---- what is told ---- */

static int32_t named_by(const pw_log_hypothesis *h)
{
    return h->more_use ? PW_FAULT_COUNT : (int32_t)h->fault;
}

static pw_log_news conclude(pw_log_follow *w, double t_s)
{
    const pw_log_hypothesis *best = &w->verdict.hypotheses[0];
    const bool wrong = best->fault != PW_FAULT_NONE || best->more_use;
    const int32_t name = wrong && best->probability >= PW_FOLLOW_SURE ? named_by(best) : NOTHING_NAMED;
    w->same = name == w->named ? w->same + 1 : 1;
    w->named = name;
    w->other = w->raised && named_by(best) != w->raised_as ? w->other + 1 : 0;
    if (name != NOTHING_NAMED && w->same >= PW_FOLLOW_LOOKS && !(w->raised && w->raised_as == name)) {
        w->raised = true;
        w->raised_as = name;
        w->raised_s = t_s;
        w->other = 0;
        return PW_FOLLOW_RAISED;
    }
    if (w->raised && w->other >= PW_FOLLOW_LOOKS) {
        w->raised = false;
        w->raised_as = NOTHING_NAMED;
        w->other = 0;
        return PW_FOLLOW_OVER;
    }
    return PW_FOLLOW_NOTHING_NEW;
}

/* ---- rows ---- */

/* The older record gives way when the younger one has become as old as an epoch. */
static void turn_over(pw_log_follow *w, double t_s)
{
    if (t_s - w->younger_s < PW_FOLLOW_EPOCH_S) {
        return;
    }
    w->older = w->two ? 1 - w->older : w->older;
    w->two = true;
    w->younger_s = t_s;
    pw_log_begin(&w->record[1 - w->older], w->has);
}

pw_log_news pw_log_follow_take(pw_log_follow *w, const pw_log_row *row)
{
    if (!(row->t_s - row->t_s == 0.0)) {
        return PW_FOLLOW_NOTHING_NEW;
    }
    if (!w->any) {
        w->any = true;
        w->younger_s = row->t_s;
        w->look_s = row->t_s + LEAST_S;
    }
    turn_over(w, row->t_s);
    pw_log_take(&w->record[w->older], row);
    if (w->two) {
        pw_log_take(&w->record[1 - w->older], row);
    }
    if (row->t_s < w->look_s) {
        return PW_FOLLOW_NOTHING_NEW;
    }
    w->look_s = row->t_s + PW_FOLLOW_LOOK_S;
    return pw_log_follow_look(w) ? conclude(w, row->t_s) : PW_FOLLOW_NOTHING_NEW;
}
