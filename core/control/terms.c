/* Terms at one moment: do they hold, and when does time alone change them? Ages and the ring of starts behind them.
 * The invariants named here stand in step.c.
 */
#include "control/parts.h"

pw_moment pw_moment_now(uint32_t now_ms)
{
    return (pw_moment){.at_ms = now_ms, .long_ago = false};
}

uint32_t pw_moment_age(pw_moment moment_then, uint32_t now_ms)
{
    uint32_t age_ms = now_ms - moment_then.at_ms;
    return moment_then.long_ago || age_ms > PW_LONG_AGO_MS ? PW_LONG_AGO_MS : age_ms;
}

/* Ring of starts */

/* The start that lies `back` starts before the newest (0: the newest itself). */
uint32_t pw_start_before(const pw_pump_control *pump, int32_t back)
{
    int32_t i = pump->newest - back;
    return pump->starts_ms[i >= 0 ? i : i + PW_MAX_STARTS];
}

void pw_start_push(pw_pump_control *pump, uint32_t now_ms)
{
    pump->newest = pump->newest + 1 < PW_MAX_STARTS ? pump->newest + 1 : 0;
    pump->starts_ms[pump->newest] = now_ms;
    pump->start_count += pump->start_count < PW_MAX_STARTS ? 1 : 0;
}

void pw_starts_drop_old(pw_pump_control *pump, uint32_t now_ms)
{
    while (pump->start_count > 0 && now_ms - pw_start_before(pump, pump->start_count - 1) >= PW_LONG_AGO_MS) {
        pump->start_count--;
    }
}

/* Terms. `fresh` asks how the term would stand in the first moment of a run: invariant 6. */

static bool term_holds(const pw_moment_view *m, const pw_term *term, bool fresh)
{
    const pw_pump_control *pump = m->pump;
    bool running = pump->state == PW_PUMP_RUNNING || fresh;
    if (term->needs_run && (!running || fresh)) {
        return false;
    }
    if (term->ignore_ms > 0 && (fresh || pw_moment_age(pump->start, m->now_ms) < term->ignore_ms)) {
        return false;
    }
    if (term->of_pump >= 0) {
        pump = &m->control->pumps[term->of_pump];
        fresh = fresh && term->of_pump == m->number;
        running = pump->state == PW_PUMP_RUNNING || fresh;
    }
    const pw_form_moment at = {m, pump, running, fresh};
    return pw_form_of(term->kind)->holds(&at, term);
}

bool pw_row_holds(const pw_moment_view *m, const pw_row *row, bool fresh)
{
    bool group = true;
    for (int32_t k = 0; k < row->term_count; k++) {
        if (row->terms[k].or_before) {
            if (group) {
                return !row->turned;
            }
            group = true;
        }
        group = group && term_holds(m, &row->terms[k], fresh);
    }
    return group != row->turned;
}

uint8_t pw_row_terms(const pw_moment_view *m, const pw_row *row)
{
    uint8_t held = 0, group = 0;
    bool holds = true;
    for (int32_t k = 0; k < row->term_count; k++) {
        if (row->terms[k].or_before) {
            held |= holds ? group : 0;
            group = 0;
            holds = true;
        }
        group |= (uint8_t)(1u << k);
        holds = holds && term_holds(m, &row->terms[k], false);
    }
    return (uint8_t)(held | (holds ? group : 0));
}

/* Next due */

void pw_sooner(uint32_t *due_ms, uint32_t left_ms)
{
    uint32_t at_least_ms = left_ms > 0 ? left_ms : 1;
    *due_ms = at_least_ms < *due_ms ? at_least_ms : *due_ms;
}

void pw_term_due(const pw_moment_view *m, const pw_term *term, uint32_t *due_ms)
{
    const pw_term_form *form = pw_form_of(term->kind);
    const pw_pump_control *pump = m->pump;
    const uint32_t ran_ms = pw_moment_age(pump->start, m->now_ms);
    if (ran_ms < term->ignore_ms) {
        pw_sooner(due_ms, term->ignore_ms - ran_ms);
    }
    if (term->of_pump >= 0) {
        pump = &m->control->pumps[term->of_pump];
    }
    if (form->due != NULL) {
        const pw_form_moment at = {m, pump, pump->state == PW_PUMP_RUNNING, false};
        form->due(&at, term, due_ms);
    }
}
