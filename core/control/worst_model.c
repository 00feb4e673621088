/* From a table to what the search looks at: rows, inputs of which each reading tells another story, clocks and their
 * largest guards.
 *
 * What is left away. Warnings do nothing. A lock out only ends what is looked for, so less of them keeps every bound:
 *  - of the longest run and dry run those that the world can keep away by a signal that nothing but lock outs look at.
 *    Only the first run is looked at: what a later one has from before is the timers of lock outs, which a release may
 *    have set to zero; where there are releases they are zero at the start.
 *  - of the starts all of them; where the day book does not come to what was found, none (MEASURE_LOCKED). Limits of
 *    starts and releases are reckoned with what the search finds (worst.c).
 *  - of standstills those that need a running pump, or a signal that nothing but lock outs look at.
 */
#include "control/worst_inside.h"

#include "base/num.h"

#include <string.h>

static bool is_signal(const pw_term *term)
{
    return pw_form_of(term->kind)->signal;
}

/* May it be as it likes? */
static bool is_free(const worst_model *m, const pw_term *term)
{
    return term->kind == PW_TERM_CLOCK || (term->of_pump >= 0 && term->of_pump != m->pump) ||
           term->kind == PW_TERM_STARTS || (term->kind == PW_TERM_RETRIES && m->measure != MEASURE_MIRROR);
}

/* Conditions on one signal of all sentences that do something. */
typedef struct talk {
    int32_t count;
    const pw_term *terms[PW_MAX_SENTENCES];
} talk;

static void listen(const pw_pump_table *table, int16_t signal, talk *out)
{
    out->count = 0;
    for (int32_t i = 0; i < table->row_count; i++) {
        for (int32_t k = 0; table->rows[i].kind != PW_SENTENCE_WARN && k < table->rows[i].term_count; k++) {
            const pw_term *term = &table->rows[i].terms[k];
            if (is_signal(term) && term->signal == signal && out->count < PW_MAX_SENTENCES) {
                out->terms[out->count++] = term;
            }
        }
    }
}

/* Keeps a reading that tells another story than those kept. */
static int32_t keep_reading(const talk *t, double value, double *out, int32_t kept)
{
    for (int32_t e = 0; e < kept; e++) {
        bool same = true;
        for (int32_t i = 0; same && i < t->count; i++) {
            same = pw_reading_holds(t->terms[i], value) == pw_reading_holds(t->terms[i], out[e]);
        }
        if (same) {
            return kept;
        }
    }
    out[kept < MOST_CELLS ? kept : MOST_CELLS] = value;
    return kept < MOST_CELLS ? kept + 1 : MOST_CELLS + 1;
}

static double next_threshold(const talk *t, double at)
{
    double next = PW_INF;
    for (int32_t i = 0; i < t->count; i++) {
        const double limit = t->terms[i]->threshold;
        next = limit > at && limit < next ? limit : next;
    }
    return next;
}

/* Readings of a signal of which no two tell the same, lowest first: each threshold, and what lies between and around
 * them. More than MOST_CELLS: there are too many. */
static int32_t readings(const pw_pump_table *table, int16_t signal, double out[MOST_CELLS + 1])
{
    talk t;
    listen(table, signal, &t);
    if (t.count == 0) {
        return 0;
    }
    if (pw_form_of(t.terms[0]->kind)->yes_no) {
        return keep_reading(&t, 1.0, out, keep_reading(&t, 0.0, out, 0));
    }
    double at = next_threshold(&t, -PW_INF);
    int32_t kept = keep_reading(&t, at - 0.1 * (at > 1.0 ? at : 1.0), out, 0);
    while (at < PW_INF) {
        const double next = next_threshold(&t, at);
        kept = keep_reading(&t, at, out, kept);
        kept = keep_reading(&t, next < PW_INF ? 0.5 * (at + next) : at + 0.1 * (at > 1.0 ? at : 1.0), out, kept);
        at = next;
    }
    return kept;
}

/* A reading at which no condition on this signal holds, when nothing but lock outs look at it. */
static bool is_safe(const worst_model *m, int16_t signal, double *at)
{
    double values[MOST_CELLS + 1];
    const int32_t count = readings(m->table, signal, values);
    for (int32_t c = 0; c < count; c++) {
        bool none = m->dry == NULL || m->dry->signal != signal;
        for (int32_t i = 0; none && i < m->table->row_count; i++) {
            const pw_row *row = &m->table->rows[i];
            for (int32_t k = 0; row->kind != PW_SENTENCE_WARN && k < row->term_count; k++) {
                const bool mine = is_signal(&row->terms[k]) && row->terms[k].signal == signal;
                none =
                    none && (!mine || (row->kind == PW_SENTENCE_LOCK && !pw_reading_holds(&row->terms[k], values[c])));
            }
        }
        if (none) {
            *at = values[c];
            return true;
        }
    }
    return false;
}

/* Does the world keep this group away: by a safe signal; by starts that stay few; of standstills by a pump at rest? */
static bool can_avoid(const worst_model *m, const pw_term *term)
{
    double at;
    const bool runs = term->needs_run || (term->kind == PW_TERM_RUNNING && term->of_pump < 0);
    return term->kind == PW_TERM_STARTS || (m->measure == MEASURE_NOTHING && runs) ||
           (is_signal(term) && is_safe(m, term->signal, &at));
}

static bool can_leave(const worst_model *m, const pw_row *row)
{
    bool group = false;
    if (row->kind != PW_SENTENCE_LOCK || m->measure == MEASURE_MIRROR || worst_counts(m)) {
        return row->kind == PW_SENTENCE_LOCK && m->measure == MEASURE_STARTS;
    }
    for (int32_t k = 0; k < row->term_count; k++) {
        if (k > 0 && row->terms[k].or_before) {
            if (!group) {
                return false;
            }
            group = false;
        }
        group = group || can_avoid(m, &row->terms[k]);
    }
    return group;
}

static int8_t add_input(worst_model *m, int16_t signal, int32_t count)
{
    m->too_large = m->too_large || m->input_count == MOST_INPUTS || count > MOST_CELLS;
    if (m->too_large) {
        return 0;
    }
    worst_input *input = &m->inputs[m->input_count];
    input->signal = signal;
    input->count = count;
    for (int32_t i = 0; i < count; i++) {
        input->values[i] = i;
    }
    return (int8_t)m->input_count++;
}

static int8_t signal_input(worst_model *m, int16_t signal)
{
    for (int32_t i = 0; i < m->input_count; i++) {
        if (m->inputs[i].signal == signal) {
            return (int8_t)i;
        }
    }
    double values[MOST_CELLS + 1];
    const int32_t count = readings(m->table, signal, values);
    const int8_t input = add_input(m, signal, count);
    if (!m->too_large) {
        memcpy(m->inputs[input].values, values, (size_t)count * sizeof values[0]);
    }
    return input;
}

static bool same_free(const pw_term *a, const pw_term *b)
{
    return a->kind == b->kind && a->of_pump == b->of_pump && a->time_ms == b->time_ms && a->from_s == b->from_s &&
           a->to_s == b->to_s && a->days == b->days && a->count == b->count && a->in_a_row == b->in_a_row;
}

/* Two terms that ask the same of what is left out of account get the same answer. */
static int8_t free_input(worst_model *m, const pw_term *term)
{
    for (int32_t i = 0; i < m->row_count; i++) {
        for (int32_t k = 0; k < m->rows[i].row->term_count; k++) {
            const pw_term *other = &m->rows[i].row->terms[k];
            if (m->rows[i].inputs[k] >= 0 && !is_signal(other) && other != term && same_free(other, term)) {
                return m->rows[i].inputs[k];
            }
        }
    }
    return add_input(m, -1, 2);
}

bool worst_limits_starts(const pw_row *row, int32_t k)
{
    const pw_term *term = &row->terms[k];
    const bool first = k == 0 || term->or_before;
    const bool last = k + 1 == row->term_count || row->terms[k + 1].or_before;
    return row->kind == PW_SENTENCE_LOCK && term->kind == PW_TERM_STARTS && term->in_a_row == 1 && term->of_pump < 0 &&
           first && last && row->time_ms == 0 && row->share < 0 && row->role < 0;
}

static void add_row(worst_model *m, const pw_row *row)
{
    worst_row *out = &m->rows[m->row_count];
    out->row = row;
    out->share = -1;
    memset(out->inputs, -1, sizeof out->inputs);
    m->row_count++;
    if (row->time_ms > 0) {
        out->timer = (int8_t)m->clocks;
        m->clocks++;
    }
    const uint64_t mask = (uint64_t)1 << row->sentence;
    if (row->share >= 0) {
        out->share = add_input(m, -1, 2);
        m->left_out |= mask;
    }
    for (int32_t k = 0; k < row->term_count; k++) {
        const pw_term *term = &row->terms[k];
        if (is_signal(term)) {
            out->inputs[k] = signal_input(m, term->signal);
        } else if (is_free(m, term)) {
            out->inputs[k] = free_input(m, term);
            m->left_out |= worst_limits_starts(row, k) ? 0 : mask;
        }
    }
}

static void add_role(worst_model *m)
{
    int32_t most = -1;
    for (int32_t i = 0; i < m->row_count; i++) {
        const pw_row *row = m->rows[i].row;
        most = row->role > most ? row->role : most;
        m->left_out |= row->role >= 0 ? (uint64_t)1 << row->sentence : 0;
    }
    m->role_input = most >= 0 ? add_input(m, -1, most + 2) : -1; /* less one: the role; the first one: none */
}

/* Clock is compared with ms. */
static void guard(worst_model *m, int32_t clock, int64_t ms)
{
    m->low[clock] = ms > m->low[clock] ? ms : m->low[clock];
    m->high[clock] = m->low[clock];
}

static void guards_of_terms(worst_model *m)
{
    for (int32_t i = 0; i < m->row_count; i++) {
        const pw_row *row = m->rows[i].row;
        if (m->rows[i].timer > 0) {
            guard(m, m->rows[i].timer, row->time_ms);
        }
        for (int32_t k = 0; k < row->term_count; k++) {
            const pw_term *term = &row->terms[k];
            guard(m, CLOCK_RUN, term->ignore_ms);
            m->keeps_run = m->keeps_run || (term->ignore_ms > 0 && row->kind == PW_SENTENCE_LOCK && !term->needs_run);
            if (is_signal(term) || is_free(m, term)) {
                continue;
            }
            const int32_t clock = term->kind == PW_TERM_RUNNING   ? CLOCK_RUN
                                  : term->kind == PW_TERM_STOPPED ? CLOCK_STOP
                                                                  : CLOCK_LOCK;
            if (term->kind == PW_TERM_RETRIES) {
                m->most_retries = term->count > m->most_retries ? term->count : m->most_retries;
            } else {
                guard(m, clock, term->time_ms);
            }
        }
    }
}

static void guards_of_times(worst_model *m)
{
    const pw_set *set = m->table->set;
    guard(m, CLOCK_RUN, set[PW_SENTENCE_LEAST_RUN].ms);
    guard(m, CLOCK_WISH, set[PW_SENTENCE_RUN_ON].ms);
    guard(m, CLOCK_POWER, set[PW_SENTENCE_POWER_ON].ms);
    guard(m, CLOCK_STOP, set[PW_SENTENCE_REST].ms);
    guard(m, CLOCK_STOP, m->table->new_call_ms);
    for (int32_t i = 0; i < m->table->retry_count; i++) {
        const pw_retry *retry = &m->table->retries[i];
        const int16_t most = retry->times > retry->wait_count ? retry->times : retry->wait_count;
        m->most_retries = most > m->most_retries ? most : m->most_retries;
        for (int32_t k = 0; k < retry->wait_count; k++) {
            guard(m, CLOCK_LOCK, retry->waits_ms[k]);
        }
    }
}

/* What is measured is compared with every time, so that its bound from above is never forgotten. */
static void guard_measure(worst_model *m)
{
    int64_t sum = 60000;
    for (int32_t i = 1; i < m->clocks && i < MOST_CLOCKS; i++) {
        sum += 4 * m->low[i];
    }
    sum = sum < PW_LONGEST_MS ? sum : PW_LONGEST_MS;
    m->low[CLOCK_RUN] = m->measure == MEASURE_RUN ? sum : m->low[CLOCK_RUN];
    m->low[CLOCK_MEASURE] = m->measure == MEASURE_DRY ? sum : 0;
    m->high[CLOCK_MEASURE] = worst_counts(m) ? PW_WORST_HOUR_MS : 0;
}

bool worst_model_build(worst_model *m, const pw_settings *settings, const pw_table *table, int32_t pump,
                       worst_measure measure, const pw_term *dry, int16_t dry_sentence)
{
    memset(m, 0, sizeof *m);
    m->settings = settings;
    m->whole = table;
    m->table = &table->pumps[pump];
    m->pump = pump;
    m->measure = measure;
    m->dry = dry;
    m->dry_input = -1;
    m->clocks = CLOCK_FIRST;
    for (int32_t i = 0; i < m->table->row_count && m->clocks < MOST_CLOCKS; i++) {
        const pw_row *row = &m->table->rows[i];
        if (row->kind != PW_SENTENCE_WARN && (!can_leave(m, row) || row->sentence == dry_sentence)) {
            add_row(m, row);
        }
    }
    if (dry != NULL) {
        m->dry_input = signal_input(m, dry->signal);
    }
    add_role(m);
    guards_of_terms(m);
    guards_of_times(m);
    m->most_retries = (int16_t)(m->most_retries < PW_MAX_RETRIES ? m->most_retries + 1 : PW_MAX_RETRIES);
    guard_measure(m);
    m->choices = 1;
    for (int32_t i = 0; i < m->input_count; i++) {
        m->choices *= m->inputs[i].count;
        m->too_large = m->too_large || m->choices > 4096;
    }
    m->too_large = m->too_large || m->clocks >= MOST_CLOCKS;
    return !m->too_large;
}

void worst_choose(const worst_model *m, int64_t choice, double *inputs)
{
    for (int32_t i = 0; i < m->input_count; i++) {
        inputs[i] = m->inputs[i].values[choice % m->inputs[i].count];
        choice /= m->inputs[i].count;
    }
}

void worst_still(const worst_model *m, double *inputs)
{
    for (int32_t s = 0; s < m->settings->signal_count; s++) {
        double at = 0.0;
        inputs[s] = is_safe(m, (int16_t)s, &at) ? at : 0.0;
    }
}
