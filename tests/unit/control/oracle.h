/* A slow, plain twin of the step: looks at every millisecond, keeps the whole history in 64-bit time, reads the
 * sentences themselves and no table. Written from docs/settings.md, for one pump on the plain site.
 */
#ifndef ORDER_ORACLE_H
#define ORDER_ORACLE_H

enum { ORACLE_STARTS = 8192, ORACLE_MS = 4096 };

typedef struct oracle {
    const pw_settings *settings;
    int state;                                     /* 0 stopped, 1 running, 2 locked */
    int64_t began, started, stopped, locked, wish; /* moments; -1 never */
    int locked_by, retries;
    bool was_held, person;
    int64_t holds_since[PW_MAX_SENTENCES]; /* -1: does not hold */
    bool warned[PW_MAX_SENTENCES];
    int64_t starts[ORACLE_STARTS];
    int start_count, starts_from; /* starts before starts_from are forgotten */
    const double *in;
    pw_outputs *out;
    int64_t week_ms;           /* at t = 0 */
    int64_t power, parts_from; /* the power came on; windows are cut into parts from here */
    bool stale[PW_MAX_SENTENCES];
    int64_t cleared[PW_MAX_SENTENCES];         /* windows know nothing from before */
    bool raw[PW_MAX_SENTENCES];                /* holds now, of sentences with a window */
    int held[PW_MAX_SENTENCES][ORACLE_MS + 1]; /* ms before t in which it held */
    int64_t ran_ms;
} oracle;

/* "run only while" is a stop sentence turned round. */
static int oracle_kind(const pw_sentence *s)
{
    return s->kind == PW_SENTENCE_ONLY ? PW_SENTENCE_STOP : s->kind;
}

static void oracle_begin(oracle *o, const pw_settings *settings)
{
    memset(o, 0, sizeof *o);
    o->settings = settings;
    o->started = o->stopped = o->locked = o->wish = -1;
    for (int i = 0; i < PW_MAX_SENTENCES; i++) {
        o->holds_since[i] = -1;
    }
}

static void oracle_tell(oracle *o, int kind, int sentence)
{
    o->out->events[o->out->event_count++] =
        (pw_control_event){(pw_control_event_kind)kind, 0, (int16_t)sentence, PW_SENTENCE_COUNT};
}

static bool oracle_ignored(const oracle *o, const pw_term *term, int64_t now, bool fresh)
{
    for (int i = 0; i < o->settings->count; i++) {
        const pw_sentence *s = &o->settings->sentences[i];
        const pw_term *t = &s->terms[0];
        if (s->kind == PW_SENTENCE_IGNORE && t->kind == term->kind && t->above == term->above &&
            t->threshold == term->threshold && (fresh || (o->started >= 0 && now < o->started + s->time_ms))) {
            return true;
        }
    }
    return false;
}

static bool oracle_term(const oracle *o, const pw_sentence *s, const pw_term *term, bool group_says_stopped,
                        int64_t now, bool fresh)
{
    static const int signal_of[] = {P_PRESSURE, P_FLOW,    P_LEVEL,  P_PROBE, P_CONTACT,
                                    P_CURRENT,  P_WINDING, P_SUPPLY, P_PHASES};
    bool runs = o->state == 1 || fresh;
    if (term->kind == PW_TERM_LOCKED) {
        return o->state == 2 && now - o->locked >= term->time_ms;
    }
    if (term->kind == PW_TERM_CLOCK) {
        int64_t ms = (o->week_ms + now) % 604800000;
        bool inside = false;
        for (int day = -1; day < 7; day++) {
            int64_t from = day * INT64_C(86400000) + term->from_s * INT64_C(1000);
            int64_t to = day * INT64_C(86400000) + term->to_s * INT64_C(1000);
            to += to < from ? 86400000 : 0;
            inside = inside || ((term->days >> (day + 7) % 7 & 1) && ms >= from && ms < to);
        }
        return inside == term->above;
    }
    if (term->kind == PW_TERM_RUNNING) {
        return runs && (term->time_ms == 0 || (!fresh && now - o->started >= term->time_ms));
    }
    if (term->kind == PW_TERM_STOPPED) {
        int64_t since = o->stopped >= 0 ? o->stopped : o->began;
        return !runs && now - since >= term->time_ms;
    }
    if (term->kind == PW_TERM_STARTS) {
        for (int k = 0; k < term->in_a_row; k++) {
            int n = 0;
            for (int i = o->starts_from; i < o->start_count; i++) {
                n += o->starts[i] > now - (k + 1) * (int64_t)term->time_ms &&
                     o->starts[i] <= now - k * (int64_t)term->time_ms;
            }
            if (n < term->count) {
                return false;
            }
        }
        return true;
    }
    if (s->kind != PW_SENTENCE_START && s->kind != PW_SENTENCE_ONLY) {
        bool tells_of_running = (term->kind == PW_TERM_FLOW || term->kind == PW_TERM_CURRENT) && !term->above;
        if (tells_of_running && !group_says_stopped && (fresh || o->state != 1)) {
            return false;
        }
        if (oracle_ignored(o, term, now, fresh)) {
            return false;
        }
    }
    double x = o->in[signal_of[term->kind]];
    bool yes_no = term->kind == PW_TERM_FLOW || term->kind == PW_TERM_PROBE || term->kind == PW_TERM_CONTACT ||
                  term->kind == PW_TERM_PHASES;
    return yes_no ? (x != 0) == term->above : term->above ? x > term->threshold : x < term->threshold;
}

static bool oracle_condition(const oracle *o, const pw_sentence *s, int64_t now, bool fresh)
{
    int k = 0;
    while (k < s->term_count) {
        int end = k + 1;
        while (end < s->term_count && !s->terms[end].or_before) {
            end++;
        }
        bool says_stopped = false;
        for (int i = k; i < end; i++) {
            says_stopped = says_stopped || s->terms[i].kind == PW_TERM_STOPPED;
        }
        bool all = true;
        for (int i = k; i < end; i++) {
            all = all && oracle_term(o, s, &s->terms[i], says_stopped, now, fresh);
        }
        if (all) {
            return s->kind != PW_SENTENCE_ONLY;
        }
        k = end;
    }
    return s->kind == PW_SENTENCE_ONLY;
}

static int64_t oracle_longest(const oracle *o, int kind)
{
    int64_t longest = 0;
    for (int i = 0; i < o->settings->count; i++) {
        const pw_sentence *s = &o->settings->sentences[i];
        longest = s->kind == kind && s->time_ms > longest ? s->time_ms : longest;
    }
    return longest;
}

/* Has a condition with a window held long enough in it? Whole parts, and the part that goes on. */
static bool oracle_share(const oracle *o, int i, int64_t now)
{
    const pw_sentence *s = &o->settings->sentences[i];
    int64_t part = (s->within_ms + PW_SHARE_PARTS - 1) / PW_SHARE_PARTS;
    int64_t parts = (s->within_ms + part - 1) / part;
    int64_t from = o->parts_from + (now - o->parts_from) / part * part - parts * part;
    from = from > o->cleared[i] ? from : o->cleared[i];
    return o->held[i][now] - o->held[i][from] >= (int)s->time_ms;
}

static bool oracle_rests_anew(const oracle *o, int64_t now)
{
    for (int i = 0; i < o->settings->count; i++) {
        const pw_sentence *s = &o->settings->sentences[i];
        if (s->kind == PW_SENTENCE_REST && s->new_call && o->stopped >= 0 && now - o->stopped < (int64_t)s->time_ms) {
            return true;
        }
    }
    return false;
}

static bool oracle_stale(oracle *o, int i, bool holds, int64_t now)
{
    o->stale[i] =
        o->settings->sentences[i].kind == PW_SENTENCE_START && holds && (o->stale[i] || oracle_rests_anew(o, now));
    return o->stale[i];
}

static void oracle_look(oracle *o, int64_t now)
{
    for (int i = 0; i < o->settings->count; i++) {
        const pw_sentence *s = &o->settings->sentences[i];
        bool watched = s->kind == PW_SENTENCE_START || s->kind == PW_SENTENCE_LOCK || s->kind == PW_SENTENCE_WARN ||
                       ((oracle_kind(s) == PW_SENTENCE_STOP || s->kind == PW_SENTENCE_HOLD_ON) && o->state == 1);
        bool holds = watched && oracle_condition(o, s, now, false);
        if (s->within_ms > 0) {
            o->raw[i] = holds;
            bool due = oracle_share(o, i, now);
            o->holds_since[i] = !oracle_stale(o, i, due, now) && due ? now : -1;
        } else if (oracle_stale(o, i, holds, now) || !holds) {
            o->holds_since[i] = -1;
        } else if (o->holds_since[i] < 0) {
            o->holds_since[i] = now;
        }
    }
}

static bool oracle_is_due(const oracle *o, int i, int64_t now)
{
    const pw_sentence *s = &o->settings->sentences[i];
    return o->holds_since[i] >= 0 && (s->within_ms > 0 || now - o->holds_since[i] >= s->time_ms);
}

static int oracle_due(const oracle *o, int kind, int64_t now)
{
    for (int i = 0; i < o->settings->count; i++) {
        if (oracle_kind(&o->settings->sentences[i]) == kind && oracle_is_due(o, i, now)) {
            return i;
        }
    }
    return -1;
}

static int oracle_wants_stop(oracle *o, int64_t now)
{
    int stop = o->state == 1 && oracle_due(o, PW_SENTENCE_HOLD_ON, now) < 0 ? oracle_due(o, PW_SENTENCE_STOP, now) : -1;
    if (stop < 0) {
        o->wish = -1;
    } else if (o->wish < 0) {
        o->wish = now;
    }
    return stop;
}

static int oracle_wants_start(const oracle *o, int64_t now)
{
    if (o->state != 0) {
        return -1;
    }
    bool stop = false;
    bool hold = false;
    for (int i = 0; i < o->settings->count; i++) {
        const pw_sentence *s = &o->settings->sentences[i];
        bool stops = s->within_ms > 0 ? oracle_is_due(o, i, now) : s->time_ms == 0 && oracle_condition(o, s, now, true);
        stop = stop || (oracle_kind(s) == PW_SENTENCE_STOP && stops);
        hold = hold || (s->kind == PW_SENTENCE_HOLD_ON && oracle_condition(o, s, now, true));
    }
    return stop && !hold ? -1 : oracle_due(o, PW_SENTENCE_START, now);
}

static bool oracle_same_term(const pw_term *a, const pw_term *b)
{
    return a->kind == b->kind && a->above == b->above && a->threshold == b->threshold && a->count == b->count &&
           a->time_ms == b->time_ms && a->of_pump == b->of_pump && a->in_a_row == b->in_a_row && a->days == b->days &&
           a->from_s == b->from_s && a->to_s == b->to_s;
}

/* The retry for a lock out by this sentence: one that names a condition of it before one that names none. */
static const pw_sentence *oracle_retry(const oracle *o, int lock, int *number)
{
    for (int named = 1; named >= 0; named--) {
        for (int i = 0; i < o->settings->count; i++) {
            const pw_sentence *s = &o->settings->sentences[i];
            bool fits = s->kind == PW_SENTENCE_RETRY && s->term_count == named && named == 0;
            for (int k = 0;
                 s->kind == PW_SENTENCE_RETRY && s->term_count == named && k < o->settings->sentences[lock].term_count;
                 k++) {
                fits = fits || oracle_same_term(&s->terms[0], &o->settings->sentences[lock].terms[k]);
            }
            if (fits) {
                *number = i;
                return s;
            }
        }
    }
    return NULL;
}

static void oracle_unlock(oracle *o, int64_t now)
{
    memset(o->stale, 0, sizeof o->stale);
    o->state = 0;
    o->starts_from = o->start_count;
    for (int i = 0; i < o->settings->count; i++) {
        if (o->settings->sentences[i].kind == PW_SENTENCE_LOCK) {
            o->holds_since[i] = -1;
            o->cleared[i] = now;
        }
    }
}

static void oracle_release(oracle *o, int64_t now)
{
    if (o->state == 2) {
        oracle_unlock(o, now);
        o->retries = 0;
        o->person = true;
    }
}

static void oracle_maybe_retry(oracle *o, int64_t now)
{
    int number = -1;
    const pw_sentence *retry = o->state == 2 ? oracle_retry(o, o->locked_by, &number) : NULL;
    if (retry == NULL || (retry->times > 0 && o->retries >= retry->times)) {
        return;
    }
    int last = retry->wait_count - 1;
    if (now - o->locked >= retry->waits_ms[o->retries < last ? o->retries : last]) {
        o->retries++;
        oracle_unlock(o, now);
        oracle_tell(o, PW_CONTROL_RETRIED, number);
    }
}

static bool oracle_maybe_lock(oracle *o, int64_t now)
{
    int lock = o->state != 2 ? oracle_due(o, PW_SENTENCE_LOCK, now) : -1;
    if (lock < 0) {
        return false;
    }
    oracle_tell(o, PW_CONTROL_LOCKED, lock);
    if (o->state == 1) {
        oracle_tell(o, PW_CONTROL_STOPPED, lock);
        o->stopped = now;
        o->was_held = false;
    }
    o->state = 2;
    o->locked = now;
    o->locked_by = lock;
    oracle_look(o, now);
    return true;
}

static bool oracle_resting(const oracle *o, int64_t now)
{
    return (o->stopped >= 0 && now - o->stopped < oracle_longest(o, PW_SENTENCE_REST)) ||
           now - o->power < oracle_longest(o, PW_SENTENCE_POWER_ON);
}

static void oracle_power(oracle *o, int64_t now)
{
    bool keeps = false;
    o->power = o->parts_from = now;
    for (int i = 0; i < o->settings->count; i++) {
        keeps = keeps || o->settings->sentences[i].kind == PW_SENTENCE_KEEP_LOCKS;
        o->holds_since[i] = -1;
        o->cleared[i] = now;
        o->stale[i] = o->warned[i] = false;
    }
    o->wish = -1;
    o->was_held = false;
    o->ran_ms -= o->state == 1; /* the counters know nothing of what came after the last step */
    o->stopped = o->state == 1 ? now : o->stopped;
    o->state = o->state == 2 && keeps ? 2 : 0;
    if (!keeps) {
        o->starts_from = o->start_count;
        o->retries = 0;
        o->person = false;
    }
}

static void oracle_move(oracle *o, int64_t now)
{
    int stop = oracle_wants_stop(o, now);
    int start = oracle_wants_start(o, now);
    if (stop >= 0 && now - o->started >= oracle_longest(o, PW_SENTENCE_LEAST_RUN) &&
        now - o->wish >= oracle_longest(o, PW_SENTENCE_RUN_ON)) {
        o->state = 0;
        o->stopped = now;
        o->was_held = false;
        o->retries = 0;
        oracle_tell(o, PW_CONTROL_STOPPED, stop);
    } else if (start >= 0 && !oracle_resting(o, now)) {
        o->state = 1;
        o->started = now;
        o->was_held = false;
        assert_true(o->start_count < ORACLE_STARTS);
        o->starts[o->start_count++] = now;
        oracle_tell(o, PW_CONTROL_STARTED, start);
    } else {
        return;
    }
    oracle_look(o, now);
    oracle_maybe_lock(o, now);
}

static void oracle_step(oracle *o, const double *in, int64_t now, pw_outputs *out)
{
    memset(out, 0, sizeof *out);
    o->in = in;
    o->out = out;
    if (o->person) {
        o->person = false;
        oracle_tell(o, PW_CONTROL_RELEASED, -1);
    }
    oracle_maybe_retry(o, now);
    oracle_look(o, now);
    if (!oracle_maybe_lock(o, now)) {
        oracle_move(o, now);
    }
    oracle_wants_stop(o, now);
    int start = oracle_wants_start(o, now);
    if (start >= 0 && oracle_resting(o, now) && !o->was_held) {
        o->was_held = true;
        oracle_tell(o, PW_CONTROL_HELD, start);
    }
    out->run[0] = o->state == 1;
    out->locked[0] = o->state == 2;
    out->locked_by[0] = (int16_t)(o->state == 2 ? o->locked_by : -1);
    for (int i = 0; i < o->settings->count; i++) {
        const pw_sentence *s = &o->settings->sentences[i];
        bool warns = s->kind == PW_SENTENCE_WARN && oracle_is_due(o, i, now);
        if (warns && !o->warned[i]) {
            oracle_tell(o, PW_CONTROL_WARNED, i);
        }
        o->warned[i] = warns;
        out->warned |= warns ? (uint64_t)1 << i : 0;
        out->relays |= warns && s->relay >= 0 ? 1u << s->relay : 0;
        o->held[i][now + 1] = o->held[i][now] + (s->within_ms > 0 && o->raw[i]);
    }
    o->ran_ms += o->state == 1;
}

#endif
