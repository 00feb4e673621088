/* Conditions of programs, as expressions. They mirror the forms' own code (form_pump.c, form_signal.c, clock.c). */
#include "control/logic_parts.h"

enum { DAY_MS = 86400000, ALL_DAYS = 0x7f };

void logic_put_input_name(logic_pen *p, int32_t signal)
{
    logic_put(p, "in_%d_", signal);
    logic_put_name(p->out, p->settings->signals[signal].name);
}

static bool any_term(const logic_pen *p, bool (*is)(const pw_term *term, int32_t signal), int32_t signal)
{
    for (int32_t n = p->first; n <= p->last; n++) {
        const pw_pump_table *pump = &p->table->pumps[n];
        for (int32_t i = 0; i < pump->row_count; i++) {
            for (int32_t k = 0; k < pump->rows[i].term_count; k++) {
                if (is(&pump->rows[i].terms[k], signal)) {
                    return true;
                }
            }
        }
    }
    return false;
}

static bool is_of_signal(const pw_term *term, int32_t signal)
{
    return pw_form_of(term->kind)->signal && term->signal == signal;
}

static bool is_of_clock(const pw_term *term, int32_t signal)
{
    (void)signal;
    return term->kind == PW_TERM_CLOCK;
}

bool logic_looks_at(const logic_pen *p, int32_t signal)
{
    return any_term(p, is_of_signal, signal);
}

bool logic_looks_at_clock(const logic_pen *p)
{
    return any_term(p, is_of_clock, 0);
}

static void put_signal(logic_pen *p, const pw_term *term)
{
    const bool truth = pw_form_of(term->kind)->yes_no;
    logic_put(p, truth && !term->above ? "$not$in" : "$in");
    logic_put_input_name(p, term->signal);
    if (!truth) {
        logic_put(p, term->above ? " > " : " < ");
        pw_text_number(p->out, term->threshold);
        const bool whole = term->threshold == (double)(int64_t)term->threshold;
        pw_text_put(p->out, whole ? ".0" : "");
    }
}

/* "of the day" or "of the week": from_ms to to_ms; what is always so is left out. */
static void put_span(logic_pen *p, const char *of, uint32_t from_ms, uint32_t to_ms, uint32_t end_ms)
{
    logic_put(p, "(");
    if (from_ms > 0) {
        logic_put(p, of);
        logic_put(p, to_ms < end_ms ? " >= %n$and" : " >= %n", from_ms);
    }
    if (to_ms < end_ms) {
        logic_put(p, of);
        logic_put(p, " < %n", to_ms);
    }
    logic_put(p, from_ms == 0 && to_ms >= end_ms ? "$true)" : ")");
}

static void put_clock(logic_pen *p, const pw_term *term)
{
    const uint32_t from_ms = term->from_s * 1000u, to_ms = term->to_s * 1000u;
    const bool over_midnight = from_ms >= to_ms, all = term->days == ALL_DAYS;
    static const char *const of_day = "($inweek$mod86400000)";
    bool any = false;
    logic_put(p, term->above ? "(" : "$not(");
    if (all && over_midnight) {
        put_span(p, of_day, from_ms, DAY_MS, DAY_MS);
        if (to_ms > 0) {
            logic_put(p, "$or");
            put_span(p, of_day, 0, to_ms, DAY_MS);
        }
    } else if (all) {
        put_span(p, of_day, from_ms, to_ms, DAY_MS);
    }
    for (uint32_t day = 0; day < 7 && !all; day++) {
        const uint32_t at_ms = day * DAY_MS, next_ms = (day + 1) % 7 * DAY_MS;
        if ((term->days >> day & 1u) == 0) {
            continue;
        }
        logic_put(p, any ? "$or" : "");
        put_span(p, "$inweek", at_ms + from_ms, at_ms + (over_midnight ? DAY_MS : to_ms), PW_WEEK_MS);
        if (over_midnight && to_ms > 0) {
            logic_put(p, "$or");
            put_span(p, "$inweek", next_ms, next_ms + to_ms, PW_WEEK_MS);
        }
        any = true;
    }
    logic_put(p, ")");
}

/* What the pump n itself does; fresh: it would have begun to run just now. */
static void put_state(logic_pen *p, const pw_term *term, int32_t n, bool fresh)
{
    static const char *const since[] = {"stop", "start", "lock"};
    const bool running = term->kind == PW_TERM_RUNNING, locked = term->kind == PW_TERM_LOCKED;
    if (fresh && !locked) {
        logic_put(p, running && term->time_ms == 0 ? "$true" : "$false");
        return;
    }
    logic_put(p, running ? "@state[%d]$is1" : locked ? "@state[%d]$is2" : "@state[%d]$isnt1", n);
    if (term->time_ms > 0) {
        logic_put(p, "$and@since_%s_%d$ET >= %t", since[locked ? 2 : running ? 1 : 0], n, term->time_ms);
    }
}

static void put_body(logic_pen *p, int32_t pump, int32_t row, int32_t k, bool fresh)
{
    const pw_term *term = &p->table->pumps[pump].rows[row].terms[k];
    const int32_t n = term->of_pump >= 0 ? term->of_pump : pump;
    if (pw_form_of(term->kind)->signal) {
        put_signal(p, term);
    } else if (term->kind == PW_TERM_STARTS && term->in_a_row > 1) {
        logic_put(p, "@many_%d_%d", pump, logic_series_number(p, pump, term));
    } else if (term->kind == PW_TERM_STARTS) {
        logic_put(p, "@count_%d_%d >= %d", pump, logic_ring_number(p, pump, row, k), term->count);
    } else if (term->kind == PW_TERM_RETRIES) {
        logic_put(p, "@retries_%d >= %d", pump, term->count);
    } else if (term->kind == PW_TERM_CLOCK) {
        put_clock(p, term);
    } else {
        put_state(p, term, n, fresh && n == pump);
    }
}

static void put_term(logic_pen *p, int32_t pump, int32_t row, int32_t k, bool fresh)
{
    const pw_term *term = &p->table->pumps[pump].rows[row].terms[k];
    if (fresh && (term->needs_run || term->ignore_ms > 0)) {
        logic_put(p, "$false");
        return;
    }
    logic_put(p, "(");
    if (term->needs_run) {
        logic_put(p, "@state[%d]$is1$and", pump);
    }
    if (term->ignore_ms > 0) {
        logic_put(p, "($not@started_%d$or@since_start_%d$ET >= %t)$and", pump, pump, term->ignore_ms);
    }
    put_body(p, pump, row, k, fresh);
    logic_put(p, ")");
}

void logic_put_row(logic_pen *p, int32_t pump, int32_t number, bool fresh)
{
    const pw_row *row = &p->table->pumps[pump].rows[number];
    if (row->role >= 0) {
        logic_put(p, "@role$is%d$and", row->role);
    }
    logic_put(p, row->turned ? "$not((" : "((");
    for (int32_t k = 0; k < row->term_count; k++) {
        if (k > 0) {
            logic_put(p, row->terms[k].or_before ? ")$or(" : "$and");
        }
        put_term(p, pump, number, k, fresh);
    }
    logic_put(p, "))");
}
