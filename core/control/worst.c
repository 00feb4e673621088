/* The questions, one search each. */
#include "control/worst.h"

#include "base/num.h"
#include "control/worst_inside.h"

#include <string.h>

enum { SEARCH_BYTES = 24 << 20 };

/* What a question may use. */
typedef struct means {
    pw_arena *arena;
    int32_t ways;
} means;

/* One question; scratch stays in the arena. NULL: no memory. */
static worst_search *search(const means *by, const worst_model *m)
{
    worst_search *q = PW_NEW(by->arena, 1, worst_search);
    if (q == NULL) {
        return NULL;
    }
    q->m = m;
    q->arena = by->arena;
    q->bytes = SEARCH_BYTES;
    q->most_ways = by->ways;
    return q;
}

/* The longest of what is measured. */
static pw_status longest_of(const means *by, const worst_model *m, pw_worst_answer *out)
{
    const size_t mark = pw_arena_mark(by->arena);
    out->end = PW_WORST_TOO_LARGE;
    if (m->too_large) {
        return PW_OK;
    }
    worst_search *q = search(by, m);
    if (q == NULL || !worst_search_run(q, NULL, NULL)) {
        return PW_MEMORY;
    }
    out->zones = q->count;
    const bool endless = q->most >= WORST_INF;
    out->end = endless ? PW_WORST_UNLIMITED : q->too_large ? PW_WORST_TOO_LARGE : PW_WORST_BOUND;
    out->value = q->most > 0 && !endless ? q->most : 0;
    out->reached = q->most <= 0 || (out->end != PW_WORST_TOO_LARGE && worst_show(q, out));
    out->shown = !out->reached ? 0 : endless ? PW_LONGEST_MS : out->value;
    pw_arena_back(by->arena, mark);
    return PW_OK;
}

/* ---- starts ---- */

/* Limits of starts that hold whatever else does; a release begins them anew. */
static int32_t limits_of(const worst_model *m, worst_limit limits[WORST_LIMITS])
{
    const pw_set *most = &m->table->set[PW_SENTENCE_AT_MOST];
    int32_t count = 0;
    if (most->there) {
        limits[count++] = (worst_limit){most->times, most->ms};
    }
    for (int32_t i = 0; i < m->table->row_count; i++) {
        const pw_row *row = &m->table->rows[i];
        for (int32_t k = 0; k < row->term_count && count < WORST_LIMITS; k++) {
            if (worst_limits_starts(row, k)) {
                limits[count++] = (worst_limit){row->terms[k].count - 1, row->terms[k].time_ms};
            }
        }
    }
    return count;
}

/* moments[i]: the earliest of start i + 1 after the first, without a release: no two can follow each other sooner than
 * span_ms says, and the limits hold (longest paths of differences). */
static void without_release(const worst_search *q, const worst_limit *limits, int32_t limit_count, int64_t *moments)
{
    int64_t span[PW_WORST_STARTS + 2];
    span[PW_WORST_STARTS + 1] = q->span_ms[PW_WORST_STARTS + 1];
    for (int32_t k = PW_WORST_STARTS; k > 0; k--) { /* more starts do not take less time */
        span[k] = q->span_ms[k] < span[k + 1] ? q->span_ms[k] : span[k + 1];
    }
    for (int32_t i = 0; i <= PW_WORST_STARTS; i++) {
        moments[i] = 0;
        for (int32_t j = 0; j < i; j++) {
            const int64_t at_ms = moments[j] + span[i - j + 1];
            moments[i] = at_ms > moments[i] ? at_ms : moments[i];
        }
        for (int32_t l = 0; l < limit_count; l++) {
            const int64_t at_ms = limits[l].count == 0   ? WORST_INF
                                  : limits[l].count <= i ? moments[i - limits[l].count] + limits[l].window_ms
                                                         : 0;
            moments[i] = at_ms > moments[i] ? at_ms : moments[i];
        }
        moments[i] = moments[i] < WORST_INF ? moments[i] : WORST_INF;
    }
}

/* The most starts in an hour of blocks, between which the settings release a lock out. */
static int32_t most_starts(const int64_t *moments, int64_t release_ms)
{
    int64_t ends[PW_WORST_STARTS + 2];
    int32_t most = 0;
    for (int32_t starts = 1; starts <= PW_WORST_STARTS + 1; starts++) {
        ends[starts] = moments[starts - 1];
        for (int32_t last = 1; last < starts; last++) {
            const int64_t at_ms = ends[starts - last] + release_ms + moments[last - 1];
            ends[starts] = at_ms < ends[starts] ? at_ms : ends[starts];
        }
        most = ends[starts] < PW_WORST_HOUR_MS ? starts : most;
    }
    return most;
}

/* With a release between two starts at least its wait lies between them, and the rest behind the stop; WORST_INF:
 * there is
 * no release. */
static int64_t release_of(const worst_model *m)
{
    int64_t wait_ms = WORST_INF;
    for (int32_t i = 0; i < m->table->retry_count; i++) {
        for (int32_t k = 0; k < m->table->retries[i].wait_count; k++) {
            wait_ms = m->table->retries[i].waits_ms[k] < wait_ms ? m->table->retries[i].waits_ms[k] : wait_ms;
        }
    }
    const int64_t rest_ms = m->table->set[PW_SENTENCE_REST].ms;
    return wait_ms > rest_ms ? wait_ms : rest_ms;
}

/* The bound where it holds (`bounds`), and a day book that comes as near as it can. */
static pw_status count_starts(const means *by, const worst_model *m, bool bounds, pw_worst_answer *out)
{
    const size_t mark = pw_arena_mark(by->arena);
    worst_limit limits[WORST_LIMITS];
    int64_t moments[PW_WORST_STARTS + 2];
    worst_search *q = m->too_large ? NULL : search(by, m);
    if (m->too_large) {
        return PW_OK;
    }
    if (q == NULL || !worst_search_run(q, NULL, NULL)) {
        return PW_MEMORY;
    }
    out->zones += q->count;
    out->cut = out->cut || (bounds && q->too_large && q->most <= PW_WORST_STARTS);
    if (!q->too_large || q->most > PW_WORST_STARTS) {
        const int32_t limit_count = limits_of(m, limits);
        q->span_ms[1] = q->started ? 0 : WORST_INF;
        without_release(q, limits, limit_count, moments);
        if (bounds) {
            out->value = most_starts(moments, release_of(m));
            out->end = out->value > PW_WORST_STARTS ? PW_WORST_UNLIMITED : PW_WORST_BOUND;
        }
        for (int32_t starts = (int32_t)out->value; starts > 1 && out->shown == 0; starts--) {
            const size_t before = pw_arena_mark(by->arena);
            memset(&out->book, 0, sizeof out->book);
            out->shown = worst_show_starts(q, starts, limits, limit_count, out) ? starts : 0;
            pw_arena_back(by->arena, before);
        }
    }
    pw_arena_back(by->arena, mark);
    return PW_OK;
}

static pw_status starts_of(const means *by, worst_model *m, pw_worst_answer *out)
{
    out->end = PW_WORST_TOO_LARGE;
    pw_status status = count_starts(by, m, true, out);
    if (status == PW_OK && out->end != PW_WORST_TOO_LARGE && out->shown == 0 && out->value > 1) {
        (void)worst_model_build(m, m->settings, m->whole, m->pump, MEASURE_LOCKED, NULL, -1);
        status = count_starts(by, m, m->table->retry_count == 0, out);
    }
    out->reached = out->end != PW_WORST_TOO_LARGE && (out->shown == out->value || out->value <= 1);
    if (out->shown == 0) {
        memset(&out->book, 0, sizeof out->book);
    }
    return status;
}

/* ---- dry ---- */

/* "no flow", "probe low dry", a current or a level below: in a stop or a lock out; turned round in "run only while". */
static bool says_dry(const pw_row *row, const pw_term *term)
{
    const bool low = term->kind == PW_TERM_FLOW || term->kind == PW_TERM_PROBE || term->kind == PW_TERM_CURRENT ||
                     term->kind == PW_TERM_LEVEL;
    return low && (row->kind == PW_SENTENCE_STOP || row->kind == PW_SENTENCE_LOCK) && term->above == row->turned;
}

static pw_status senses_of(const means *by, worst_model *m, const pw_settings *settings, const pw_table *table,
                           pw_worst *out)
{
    const pw_pump_table *own = &table->pumps[out->pump];
    const pw_term *known[PW_WORST_SENSES];
    for (int32_t i = 0; i < own->row_count; i++) {
        for (int32_t k = 0; k < own->rows[i].term_count && out->sense_count < PW_WORST_SENSES; k++) {
            const pw_term *term = &own->rows[i].terms[k];
            bool fresh = says_dry(&own->rows[i], term);
            pw_term dry = *term;
            dry.above = false;
            for (int32_t e = 0; e < out->sense_count; e++) {
                fresh = fresh && !(known[e]->signal == term->signal && known[e]->threshold == term->threshold);
            }
            if (!fresh) {
                continue;
            }
            pw_worst_sense *sense = &out->senses[out->sense_count];
            known[out->sense_count] = term;
            out->sense_count++;
            sense->sentence = own->rows[i].sentence;
            sense->term = (int16_t)k;
            (void)worst_model_build(m, settings, table, out->pump, MEASURE_DRY, &dry, own->rows[i].sentence);
            const pw_status status = longest_of(by, m, &sense->longest);
            if (status != PW_OK) {
                return status;
            }
        }
    }
    return PW_OK;
}

/* ---- standstills ---- */

/* Can the pump alone raise what this signal reads? Then nothing but the pump takes it from where water called for has
 * brought it. */
static bool only_pump_raises(const worst_model *m, const pw_site_facts *facts, int16_t signal)
{
    const pw_signal_kind kind = m->settings->signals[signal].kind;
    const uint8_t at = facts != NULL ? facts->pumps[m->pump].signal_at[signal] : PW_AT_UNKNOWN;
    if (kind == PW_SIGNAL_PRESSURE) {
        return at != PW_AT_SUCTION;
    }
    if (kind == PW_SIGNAL_LEVEL) {
        return at == PW_AT_TANK_FILLED || at == PW_AT_UNKNOWN;
    }
    return kind == PW_SIGNAL_PROBE && at == PW_AT_TANK_FILLED;
}

/* Inputs with which a pump that was never touched starts, as far as they are not held; the first ones if none do. */
static void calling(const worst_search *q, const double *lowest, double *still)
{
    const worst_model *m = q->m;
    for (int64_t choice = m->choices - 1; choice >= 0; choice--) {
        bool allowed = true;
        worst_way w = {.m = m, .d = q->scratch};
        worst_choose(m, choice, w.inputs);
        for (int32_t i = 0; i < m->input_count; i++) {
            allowed = allowed && (lowest[i] == PW_INF || w.inputs[i] == lowest[i]);
        }
        if (!allowed) {
            continue;
        }
        worst_begin(m, &w.s, w.d);
        for (int32_t clock = 1; clock < m->clocks; clock++) {
            zone_free(w.d, m->clocks, clock);
            (void)zone_and(w.d, m->clocks, CLOCK_ZERO, clock, -(int64_t)PW_LONG_AGO_MS);
        }
        for (int32_t i = 0; i < m->row_count; i++) {
            w.s.holds |= m->rows[i].row->kind == PW_SENTENCE_START ? (uint64_t)1 << m->rows[i].row->sentence : 0;
        }
        worst_step(&w);
        memcpy(still, w.inputs, sizeof w.inputs);
        if (w.started) {
            return;
        }
    }
}

/* The sentence that keeps the pump from starting: the rest that waits for a new call, or a stop in its way. */
static int16_t kept_by(const worst_search *q, int32_t pump)
{
    const pw_settings *settings = q->m->settings;
    for (int32_t i = 0; q->stale != 0 && i < settings->count; i++) {
        const pw_sentence *sentence = &settings->sentences[i];
        if (sentence->kind == PW_SENTENCE_REST && sentence->new_call && pw_sentence_for(sentence, pump)) {
            return (int16_t)i;
        }
    }
    return q->way_by;
}

/* Looks from this standstill for a start; true when there is none. */
static bool is_stuck(worst_search *q, int32_t node, const double *lowest, pw_worst *out, pw_status *status)
{
    const size_t mark = pw_arena_mark(q->arena);
    const means by = {q->arena, q->most_ways};
    worst_search *from = search(&by, q->m);
    if (from == NULL) {
        *status = PW_MEMORY;
        return false;
    }
    from->lowest = lowest;
    from->to_start = true;
    from->ways = q->ways; /* all of them together go so far */
    bool stuck = false;
    if (worst_search_run(from, &q->nodes[node].s, q->nodes[node].d)) {
        out->stuck.end = from->too_large ? PW_WORST_TOO_LARGE : out->stuck.end;
        stuck = !from->started && !from->too_large;
        out->stuck_by = stuck && out->stuck.value == 0 ? kept_by(from, out->pump) : out->stuck_by;
    } else {
        *status = PW_MEMORY;
    }
    q->ways = from->ways;
    pw_arena_back(q->arena, mark);
    return stuck;
}

static pw_status stuck_of(const means *by, const worst_model *m, const pw_site_facts *facts, pw_worst *out)
{
    double lowest[MOST_INPUTS], still[MOST_INPUTS];
    out->stuck.end = PW_WORST_TOO_LARGE;
    if (m->too_large) {
        return PW_OK;
    }
    worst_search *q = search(by, m);
    if (q == NULL || !worst_search_run(q, NULL, NULL)) {
        return PW_MEMORY;
    }
    out->stuck.zones = q->count;
    out->stuck.end = q->too_large ? PW_WORST_TOO_LARGE : PW_WORST_BOUND;
    for (int32_t i = 0; i < m->input_count; i++) {
        const int16_t signal = m->inputs[i].signal;
        const bool held = signal >= 0 && only_pump_raises(m, facts, signal);
        lowest[i] = held ? m->inputs[i].values[0] : PW_INF;
    }
    pw_status status = PW_OK;
    out->stuck.reached = out->stuck.end == PW_WORST_BOUND; /* none */
    for (int32_t i = 1; i < q->count && status == PW_OK && out->stuck.end == PW_WORST_BOUND; i++) {
        const worst_state *s = &q->nodes[i].s;
        const bool waits = s->state == PW_PUMP_STOPPED || (s->state == PW_PUMP_LOCKED && s->retry >= 0);
        if (!waits || worst_seen_before(q, i) || !is_stuck(q, i, lowest, out, &status)) {
            continue;
        }
        out->stuck.value++;
        if (out->stuck.value == 1) {
            calling(q, lowest, still);
            out->stuck.reached = worst_show_stuck(q, i, still, &out->stuck);
        }
    }
    return status;
}

/* ---- all ---- */

static void persons(const pw_table *table, const worst_model *m, pw_worst *out)
{
    const pw_pump_table *own = &table->pumps[out->pump];
    for (int32_t i = 0; i < own->row_count; i++) {
        const pw_row *row = &own->rows[i];
        const bool waits = row->kind == PW_SENTENCE_LOCK && own->retry_of[row->sentence] < 0;
        out->waits_person |= waits ? (uint64_t)1 << row->sentence : 0;
    }
    out->left_out |= m->left_out;
    for (int32_t i = 0; i < m->settings->count; i++) {
        const pw_sentence *sentence = &m->settings->sentences[i];
        const bool apart = sentence->kind == PW_SENTENCE_APART || sentence->kind == PW_SENTENCE_SHARE;
        out->left_out |= apart && pw_sentence_for(sentence, out->pump) ? (uint64_t)1 << i : 0;
    }
}

pw_status pw_worst_of(pw_arena *arena, const pw_settings *settings, const pw_table *table, const pw_site_facts *facts,
                      int32_t pump, int32_t ways, pw_worst *out)
{
    const size_t mark = pw_arena_mark(arena);
    const means by = {arena, ways};
    memset(out, 0, sizeof *out);
    out->pump = pump;
    out->stuck_by = -1;
    worst_model *m = PW_NEW(arena, 1, worst_model);
    if (m == NULL) {
        return PW_MEMORY;
    }
    (void)worst_model_build(m, settings, table, pump, MEASURE_STARTS, NULL, -1);
    persons(table, m, out);
    pw_status status = starts_of(&by, m, &out->starts);
    if (status == PW_OK) {
        (void)worst_model_build(m, settings, table, pump, MEASURE_RUN, NULL, -1);
        status = longest_of(&by, m, &out->run);
    }
    status = status == PW_OK ? senses_of(&by, m, settings, table, out) : status;
    if (status == PW_OK) {
        (void)worst_model_build(m, settings, table, pump, MEASURE_NOTHING, NULL, -1);
        status = stuck_of(&by, m, facts, out);
    }
    pw_arena_back(arena, mark);
    return status;
}
