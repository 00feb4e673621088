/* The search: every way of every step from the beginning on, by zones, breadth first. A zone that lies within another
 * of
 * the same state is covered by it: what it can do the other can. */
#include "control/worst_inside.h"

#include "base/num.h"

#include <string.h>

static uint32_t hash_of(const worst_state *s)
{
    uint64_t hash = 1469598103934665603u; /* FNV-1a */
    uint8_t bytes[sizeof *s];
    memcpy(bytes, s, sizeof *s);
    for (size_t i = 0; i < sizeof bytes; i++) {
        hash = (hash ^ bytes[i]) * 1099511628211u;
    }
    return (uint32_t)(hash >> 20) % WORST_HASH;
}

/* Is there one that can all that this can? Marks those that this one covers. */
static bool is_covered(worst_search *q, const worst_state *s, const int64_t *d, uint32_t hash)
{
    const int32_t n = q->m->clocks;
    for (int32_t i = q->heads[hash]; i >= 0; i = q->nodes[i].next) {
        const worst_node *other = &q->nodes[i];
        q->compared++;
        if (!other->covered && memcmp(&other->s, s, sizeof *s) == 0 && zone_within(d, other->d, n)) {
            return true;
        }
    }
    for (int32_t i = q->heads[hash]; i >= 0; i = q->nodes[i].next) {
        worst_node *other = &q->nodes[i];
        if (!other->covered && memcmp(&other->s, s, sizeof *s) == 0 && zone_within(other->d, d, n)) {
            other->covered = true;
        }
    }
    return false;
}

/* What is measured, in a node that was kept. */
static void weigh(worst_search *q, int32_t number)
{
    const worst_node *node = &q->nodes[number];
    const worst_model *m = q->m;
    int64_t value = -1;
    if (m->measure == MEASURE_RUN && node->s.state == PW_PUMP_RUNNING) {
        value = node->d[CLOCK_RUN * m->clocks];
    } else if (m->measure == MEASURE_DRY && node->s.dry) {
        value = node->d[CLOCK_MEASURE * m->clocks];
    }
    if (value > q->most) {
        q->most = value;
        q->where = number;
    }
    q->started = q->started || node->s.state == PW_PUMP_RUNNING;
    q->stale |= node->s.stale;
}

/* How soon so many starts can have followed each other. */
static void note_span(worst_search *q, const worst_way *w, int32_t node)
{
    const int16_t k = w->s.counted;
    if (w->span_ms >= 0 && k <= PW_WORST_STARTS + 1 && w->span_ms < q->span_ms[k]) {
        q->span_ms[k] = w->span_ms;
        q->span_node[k] = node;
        q->most = k > q->most ? k : q->most;
    }
}

static void add(worst_search *q, const worst_way *w, int32_t parent, int64_t choice)
{
    const int32_t n = q->m->clocks;
    const size_t size = (size_t)n * (size_t)n * sizeof *w->d;
    const uint32_t hash = hash_of(&w->s);
    zone_widen(w->d, n, q->m->low, q->m->high);
    if (is_covered(q, &w->s, w->d, hash)) {
        return;
    }
    int64_t *d = q->count < WORST_NODES && size <= q->bytes ? PW_NEW(q->arena, n * n, int64_t) : NULL;
    if (d == NULL || q->compared > WORST_COMPARED * q->most_ways) {
        q->too_large = true;
        return;
    }
    q->bytes -= size;
    memcpy(d, w->d, size);
    q->nodes[q->count] = (worst_node){.s = w->s,
                                      .parent = parent,
                                      .next = q->heads[hash],
                                      .choice = choice,
                                      .bits = w->bits,
                                      .decided = w->decided,
                                      .begins = w->begins,
                                      .d = d};
    q->heads[hash] = q->count;
    q->count++;
    note_span(q, w, q->count - 1);
    weigh(q, q->count - 1);
}

static bool is_over(const worst_search *q)
{
    const bool many = worst_counts(q->m) && q->most > PW_WORST_STARTS;
    const bool endless = !worst_counts(q->m) && q->most >= WORST_INF;
    return q->too_large || many || endless || (q->to_start && q->started);
}

static bool is_allowed(const worst_search *q, const double *inputs)
{
    for (int32_t i = 0; q->lowest != NULL && i < q->m->input_count; i++) {
        if (q->lowest[i] != PW_INF && inputs[i] != q->lowest[i]) {
            return false;
        }
    }
    return true;
}

/* Every way of the step with these inputs. */
static void try_choice(worst_search *q, int32_t number, int64_t choice, bool begins)
{
    const worst_model *m = q->m;
    const size_t size = (size_t)m->clocks * (size_t)m->clocks * sizeof q->scratch[0];
    worst_way w = {.m = m, .begins = begins};
    worst_choose(m, choice, w.inputs);
    if (!is_allowed(q, w.inputs)) {
        return;
    }
    do {
        w.s = q->nodes[number].s;
        w.d = q->scratch;
        w.due = 0;
        w.dead = false;
        memcpy(w.d, q->nodes[number].d, size);
        worst_step(&w);
        q->way_by = w.way_by >= 0 ? w.way_by : q->way_by;
        if (!w.dead) {
            worst_pass(&w);
            add(q, &w, number, choice);
        }
        q->ways++;
        q->too_large = q->too_large || w.failed || q->ways > q->most_ways;
        while (w.decided > 0 && (w.bits >> (w.decided - 1) & 1u) == 0) {
            w.decided--;
        }
        if (w.decided > 0) {
            w.bits &= ~((uint64_t)1 << (w.decided - 1));
        }
    } while (w.decided > 0 && !is_over(q));
}

bool worst_search_run(worst_search *q, const worst_state *from, const int64_t *zone)
{
    const worst_model *m = q->m;
    const int32_t cells = m->clocks * m->clocks;
    q->nodes = PW_NEW(q->arena, WORST_NODES, worst_node);
    q->scratch = PW_NEW(q->arena, cells, int64_t);
    int64_t *first = PW_NEW(q->arena, cells, int64_t);
    if (first == NULL || q->nodes == NULL || q->scratch == NULL) {
        return false;
    }
    memset(q->heads, -1, sizeof q->heads);
    for (int32_t k = 0; k < PW_WORST_STARTS + 2; k++) {
        q->span_ms[k] = WORST_INF;
        q->span_node[k] = -1;
    }
    q->most = -1;
    q->where = -1;
    q->way_by = -1;
    worst_state s;
    if (from == NULL) {
        worst_begin(m, &s, first);
    } else {
        s = *from;
        memcpy(first, zone, (size_t)cells * sizeof *first);
    }
    q->nodes[0] = (worst_node){.s = s, .parent = -1, .next = -1, .d = first};
    q->count = 1;
    for (int32_t at = 0; at < q->count && !is_over(q); at++) {
        for (int64_t choice = 0; choice < m->choices && !q->nodes[at].covered && !is_over(q); choice++) {
            try_choice(q, at, choice, false);
            if (worst_counts(m) && q->nodes[at].s.counted == 0 && q->nodes[at].s.state == PW_PUMP_STOPPED) {
                try_choice(q, at, choice, true);
            }
        }
    }
    return true;
}

bool worst_seen_before(const worst_search *q, int32_t node)
{
    const worst_state *s = &q->nodes[node].s;
    for (int32_t i = q->heads[hash_of(s)]; i >= 0; i = q->nodes[i].next) {
        if (i < node && memcmp(&q->nodes[i].s, s, sizeof *s) == 0) {
            return true;
        }
    }
    return false;
}
