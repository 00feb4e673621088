/* From a path of the search to a day book: the moments of its steps are the shortest that keep every answer of every
 * clock (differences of moments, longest paths), and the real step is driven through them. */
#include "control/worst_inside.h"

#include "base/num.h"

#include <string.h>

enum { MOST_STEPS = 2000 };

/* moments[to] >= moments[from] + ms */
typedef struct after {
    int32_t from, to;
    int64_t ms;
} after;

typedef struct path {
    const worst_search *q;
    int32_t count; /* steps; moment `count` is the end */
    int32_t *nodes;
    int64_t *moments;
    after *after;
    int32_t after_count, after_room;
    int32_t since[MOST_CLOCKS]; /* step that set it to zero last; -1 long ago */
} path;

static bool path_nodes(path *p, int32_t node)
{
    const worst_search *q = p->q;
    for (int32_t i = node; q->nodes[i].parent >= 0; i = q->nodes[i].parent) {
        p->count++;
    }
    p->after_room = (p->count + 2) * 40;
    p->nodes = PW_NEW(q->arena, p->count + 1, int32_t);
    p->moments = PW_NEW(q->arena, p->count + 2, int64_t);
    p->after = PW_NEW(q->arena, p->after_room, after);
    if (p->nodes == NULL || p->moments == NULL || p->after == NULL || p->count > MOST_STEPS) {
        return false;
    }
    int32_t at = p->count;
    for (int32_t i = node; q->nodes[i].parent >= 0; i = q->nodes[i].parent) {
        at--;
        p->nodes[at] = i;
    }
    return true;
}

static bool add_after(path *p, int32_t from, int32_t to, int64_t ms)
{
    if (p->after_count == p->after_room) {
        return false;
    }
    p->after[p->after_count] = (after){from, to, ms};
    p->after_count++;
    return true;
}

static bool add_asked(path *p, int32_t step, const worst_asked *asked)
{
    const int32_t since = p->since[asked->clock];
    switch (asked->deed) {
    case DEED_OLD: return since < 0 || since == step || add_after(p, since, step, asked->ms);
    case DEED_YOUNG: return since < 0 || since == step || add_after(p, step, since, 1 - asked->ms);
    case DEED_UNTIL: return since < 0 || add_after(p, step + 1, since, -asked->ms);
    default: p->since[asked->clock] = step; return true;
    }
}

/* What each step asked of the clocks, as differences of moments. */
static bool path_after(path *p)
{
    const worst_search *q = p->q;
    const worst_model *m = q->m;
    const size_t size = (size_t)m->clocks * (size_t)m->clocks * sizeof q->scratch[0];
    worst_asked asked[MOST_ASKED];
    p->since[CLOCK_RUN] = p->since[CLOCK_LOCK] = -1;
    bool fits = true;
    for (int32_t step = 0; fits && step < p->count; step++) {
        const worst_node *node = &q->nodes[p->nodes[step]];
        worst_way w = {.m = m,
                       .s = q->nodes[node->parent].s,
                       .d = q->scratch,
                       .bits = node->bits,
                       .decided = node->decided,
                       .begins = node->begins,
                       .asked = asked};
        worst_choose(m, node->choice, w.inputs);
        memcpy(w.d, q->nodes[node->parent].d, size);
        worst_step(&w);
        worst_pass(&w);
        fits = w.asked_count < MOST_ASKED && add_after(p, step, step + 1, 1) &&
               (!w.urgent || add_after(p, step + 1, step, -1));
        for (int32_t i = 0; fits && i < w.asked_count; i++) {
            fits = add_asked(p, step, &asked[i]);
        }
    }
    return fits;
}

/* The earliest moments; false: there are none. */
static bool path_moments(path *p)
{
    for (int32_t round = 0; round <= p->count + 2; round++) {
        bool changed = false;
        for (int32_t i = 0; i < p->after_count; i++) {
            const after *a = &p->after[i];
            if (p->moments[a->from] + a->ms > p->moments[a->to]) {
                p->moments[a->to] = p->moments[a->from] + a->ms;
                changed = true;
            }
        }
        if (!changed) {
            return p->moments[0] == 0;
        }
    }
    return false;
}

/* ---- driving the real step ---- */

typedef struct drive {
    const worst_model *m;
    pw_control *control;
    pw_outputs out;
    double in[PW_MAX_SIGNALS];
    int64_t now_ms, due_ms;
    pw_worst_book *book;
    int64_t since_ms; /* of the measuring */
    int64_t ended_ms; /* the first moment behind it at which the pump does not run; -1 none */
    int32_t starts;   /* since then, in an hour */
    bool measures, locked_runs;
} drive;

static pw_worst_line *new_line(pw_worst_book *book)
{
    if (book->count == PW_WORST_EVENTS) {
        book->left_out++;
        return NULL;
    }
    book->count++;
    return &book->lines[book->count - 1];
}

static void step(drive *v)
{
    const int32_t pump = v->m->pump;
    const bool ran = v->out.run[pump];
    pw_control_step(v->m->whole, v->control, v->in, (uint32_t)v->now_ms, &v->out);
    v->due_ms = v->now_ms + v->out.next_due_ms;
    v->locked_runs = v->locked_runs || (v->out.run[pump] && v->out.locked[pump]);
    for (int32_t i = 0; i < v->out.event_count; i++) {
        const pw_control_event *event = &v->out.events[i];
        const bool told = event->kind != PW_CONTROL_WARNED && event->kind != PW_CONTROL_HELD;
        pw_worst_line *line = event->pump == pump && told ? new_line(v->book) : NULL;
        if (line != NULL) {
            *line = (pw_worst_line){.at_ms = v->now_ms, .signal = -1, .event = *event};
        }
    }
    if (!v->measures || v->now_ms < v->since_ms) {
        return;
    }
    v->starts += !ran && v->out.run[pump] && v->now_ms - v->since_ms < PW_WORST_HOUR_MS ? 1 : 0;
    v->ended_ms = v->ended_ms < 0 && !v->out.run[pump] ? v->now_ms : v->ended_ms;
}

/* On to this moment, stepping when due; without the step at the moment itself. */
static void go_on(drive *v, int64_t to_ms)
{
    while (v->due_ms < to_ms) {
        v->now_ms = v->due_ms;
        step(v);
    }
    v->now_ms = to_ms;
}

/* Sets the signals, tells what is new, and steps. */
static void read_inputs(drive *v, const double *inputs, bool first)
{
    for (int32_t i = 0; i < v->m->input_count; i++) {
        const int16_t signal = v->m->inputs[i].signal;
        if (signal < 0 || (!first && v->in[signal] == inputs[i])) {
            continue;
        }
        v->in[signal] = inputs[i];
        pw_worst_line *line = new_line(v->book);
        if (line != NULL) {
            *line = (pw_worst_line){.at_ms = v->now_ms, .reading = true, .signal = signal, .value = inputs[i]};
        }
    }
    step(v);
}

static bool drive_begin(drive *v, const worst_search *q, pw_worst_book *book)
{
    memset(v, 0, sizeof *v);
    v->m = q->m;
    v->book = book;
    v->ended_ms = -1;
    v->control = pw_alloc(q->arena, 1, pw_control_size());
    if (v->control == NULL) {
        return false;
    }
    worst_still(q->m, v->in);
    pw_control_begin(q->m->whole, v->control, 0);
    return true;
}

static void drive_path(drive *v, const path *p)
{
    for (int32_t step_at = 0; step_at < p->count; step_at++) {
        double inputs[MOST_INPUTS];
        worst_choose(v->m, p->q->nodes[p->nodes[step_at]].choice, inputs);
        go_on(v, p->moments[step_at]);
        read_inputs(v, inputs, step_at == 0);
    }
}

bool worst_show(const worst_search *q, pw_worst_answer *answer)
{
    path p = {.q = q};
    drive v;
    if (q->where < 0 || !path_nodes(&p, q->where) || !path_after(&p)) {
        return false;
    }
    const int32_t since = p.since[q->m->measure == MEASURE_RUN ? CLOCK_RUN : CLOCK_MEASURE];
    const int64_t long_ms = q->most < WORST_INF ? q->most : PW_LONGEST_MS;
    if (since < 0 || !add_after(&p, since, p.count, long_ms) || !path_moments(&p) ||
        !drive_begin(&v, q, &answer->book)) {
        return false;
    }
    v.measures = true;
    v.since_ms = p.moments[since];
    drive_path(&v, &p);
    go_on(&v, p.moments[p.count]);
    const bool lasted = v.ended_ms < 0 && v.out.run[q->m->pump];
    step(&v);
    return lasted && v.now_ms - v.since_ms == long_ms && !v.locked_runs;
}

/* The steps of a path in which the pump starts, from the one that is chosen on. */
static int32_t path_starts(const path *p, int32_t *steps, int32_t *before)
{
    const worst_search *q = p->q;
    int32_t count = 0;
    *before = 0;
    for (int32_t i = 0; i < p->count; i++) {
        const worst_node *node = &q->nodes[p->nodes[i]];
        const bool starts = node->s.state == PW_PUMP_RUNNING && q->nodes[node->parent].s.state != PW_PUMP_RUNNING;
        if (starts && count < PW_WORST_STARTS + 2) {
            *before += node->s.counted == 0 ? 1 : 0;
            steps[count++] = i;
        }
    }
    return count;
}

bool worst_show_starts(const worst_search *q, int32_t starts, const worst_limit *limits, int32_t limit_count,
                       pw_worst_answer *answer)
{
    path p = {.q = q};
    drive v;
    int32_t steps[PW_WORST_STARTS + 2], before = 0;
    if (q->span_node[starts] < 0 || !path_nodes(&p, q->span_node[starts]) || !path_after(&p)) {
        return false;
    }
    const int32_t count = path_starts(&p, steps, &before);
    bool fits = count == before + starts;
    for (int32_t l = 0; l < limit_count; l++) {
        for (int32_t i = limits[l].count; fits && i < count; i++) {
            fits = add_after(&p, steps[i - limits[l].count], steps[i], limits[l].window_ms);
        }
    }
    if (!fits || !path_moments(&p) || !drive_begin(&v, q, &answer->book)) {
        return false;
    }
    v.measures = true;
    v.since_ms = p.moments[steps[before]];
    drive_path(&v, &p);
    return v.starts >= starts && !v.locked_runs;
}

bool worst_show_stuck(const worst_search *q, int32_t node, const double *still, pw_worst_answer *answer)
{
    path p = {.q = q};
    drive v;
    if (!path_nodes(&p, node) || !path_after(&p) || !path_moments(&p) || !drive_begin(&v, q, &answer->book)) {
        return false;
    }
    drive_path(&v, &p);
    go_on(&v, p.moments[p.count]);
    v.measures = true;
    v.since_ms = v.now_ms;
    read_inputs(&v, still, p.count == 0);
    go_on(&v, v.now_ms + PW_LONGEST_MS);
    step(&v);
    return v.starts == 0 && !v.out.run[q->m->pump];
}
