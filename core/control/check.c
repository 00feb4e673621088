/* What contradicts itself over several sentences. Errors where the order could not work at all, warnings where it would
 * work but not do what its words promise.
 */
#include "control/action.h"

#include <string.h>

typedef struct check {
    const pw_settings *settings;
    const char *base_path;
    pw_arena *arena;
    pw_problems *problems;
    pw_status *status;
} check;

static void report(const check *c, pw_status status, bool warning, int32_t sentence, const char *expected,
                   const char *hint)
{
    char path[PW_PATH_SIZE];
    size_t mark = pw_arena_mark(c->arena);
    pw_text found;
    pw_text_init(&found, c->arena);
    pw_settings_path(c->base_path, sentence, path);
    pw_settings_put(c->settings, sentence, &found);
    const char *words = found.failed ? "" : found.data;
    if (warning) {
        pw_warning_add(c->problems, status, path, words, expected, hint);
    } else {
        pw_problem_add(c->problems, status, path, words, expected, hint);
        *c->status = *c->status != PW_OK ? *c->status : status;
    }
    pw_arena_back(c->arena, mark);
}

/* A sentence in a message: "must be below that of "stop when ..."". */
static void quote(const check *c, const char *before, int32_t sentence, char *out)
{
    size_t mark = pw_arena_mark(c->arena);
    pw_text text;
    pw_text_init(&text, c->arena);
    pw_text_puts(&text, before, "\"", (const char *)NULL);
    pw_settings_put(c->settings, sentence, &text);
    pw_text_put(&text, "\"");
    pw_copy(out, PW_WORDS_SIZE, text.failed ? before : text.data);
    pw_arena_back(c->arena, mark);
}

static bool is_for(const check *c, int32_t i, uint8_t kind, int32_t pump)
{
    return c->settings->sentences[i].kind == kind && pw_sentence_for(&c->settings->sentences[i], pump);
}

static bool has(const check *c, uint8_t kind, int32_t pump)
{
    for (int32_t i = 0; i < c->settings->count; i++) {
        if (is_for(c, i, kind, pump)) {
            return true;
        }
    }
    return false;
}

/* Sentences with an error of their own count: what they begin with was meant. */
static void check_missing(const check *c, uint8_t kind)
{
    bool start = kind == PW_SENTENCE_START;
    for (int32_t pump = 0; pump < c->settings->pump_count; pump++) {
        if (has(c, kind, pump)) {
            continue;
        }
        char expected[PW_WORDS_SIZE];
        pw_copy(expected, sizeof expected,
                start ? "a sentence \"start when ...\" for " : "a sentence \"stop when ...\" for ");
        size_t length = strlen(expected);
        pw_copy(expected + length, (int32_t)(sizeof expected - length), c->settings->pumps[pump]);
        const char *found = start ? "nothing that starts it" : "nothing that stops it";
        pw_status status = pw_problem_add(c->problems, PW_MISSING, c->base_path, found, expected, NULL);
        *c->status = *c->status != PW_OK ? *c->status : status;
    }
}

/* A term that decides by itself: alone between two "or". */
static bool is_alone(const pw_sentence *sentence, int32_t k)
{
    bool first = k == 0 || sentence->terms[k].or_before;
    bool last = k + 1 == sentence->term_count || sentence->terms[k + 1].or_before;
    return first && last;
}

/* Cut-in against cut-out, for pressures and levels, rising or falling. Each pair is told once, for its first pump. */
static void check_pair(const check *c, int32_t start, int32_t stop, const pw_term *in, const pw_term *out)
{
    char expected[PW_WORDS_SIZE];
    double apart = in->above ? in->threshold - out->threshold : out->threshold - in->threshold;
    if (apart <= 0) {
        quote(c, in->above ? "a threshold above that of " : "a threshold below that of ", stop, expected);
        report(c, PW_CONFLICT, true, start, expected, "the pump would start where it is told to stop");
    } else if (apart < pw_form_of(in->kind)->least_apart * (1 - 1e-9)) {
        quote(c, "at least 1 kPa between this and ", stop, expected);
        report(c, PW_RANGE, false, start, expected, NULL);
    }
}

static void check_start_stop(const check *c, int32_t start, int32_t stop)
{
    const pw_sentence *a = &c->settings->sentences[start];
    const pw_sentence *b = &c->settings->sentences[stop];
    for (int32_t i = 0; i < a->term_count; i++) {
        for (int32_t k = 0; k < b->term_count; k++) {
            const pw_term *in = &a->terms[i];
            const pw_term *out = &b->terms[k];
            bool measured = pw_form_of(in->kind)->starts_and_stops;
            if (measured && in->kind == out->kind && in->signal == out->signal && in->above != out->above &&
                is_alone(a, i) && is_alone(b, k)) {
                check_pair(c, start, stop, in, out);
            }
        }
    }
}

static bool pumps_meet(const check *c, int32_t a, int32_t b)
{
    const pw_sentence *x = &c->settings->sentences[a];
    const pw_sentence *y = &c->settings->sentences[b];
    return (x->pumps & y->pumps) != 0 && (x->role < 0 || y->role < 0 || x->role == y->role);
}

/* Does any sentence of these kinds use this condition? kinds: bit per kind. */
static bool is_used(const check *c, const pw_term *term, const pw_sentence *by, uint32_t kinds)
{
    for (int32_t i = 0; i < c->settings->count; i++) {
        const pw_sentence *sentence = &c->settings->sentences[i];
        if ((kinds >> sentence->kind & 1u) == 0) {
            continue;
        }
        for (int32_t k = 0; k < sentence->term_count; k++) {
            for (int32_t pump = 0; pump < c->settings->pump_count; pump++) {
                if (pw_sentence_for(sentence, pump) && pw_sentence_for(by, pump) &&
                    pw_term_same(c->settings, term, &sentence->terms[k], pump)) {
                    return true;
                }
            }
        }
    }
    return false;
}

/* What serves other sentences needs one: by its very condition when it has one. */
static void check_meant(const check *c, int32_t i)
{
    const pw_sentence *sentence = &c->settings->sentences[i];
    const pw_action *action = pw_action_of(sentence->kind);
    bool meets = false;
    for (int32_t k = 0; k < c->settings->count; k++) {
        meets = meets || ((action->meant_in >> c->settings->sentences[k].kind & 1u) != 0 && pumps_meet(c, i, k));
    }
    if (sentence->term_count > 0) {
        meets = is_used(c, &sentence->terms[0], sentence, action->meant_in);
    }
    if (!meets) {
        report(c, PW_REFERENCE, true, i, action->meant, action->meant_hint);
    }
}

/* "no flow" that stops at once: no pump can have flow in the moment of its start. */
static void check_no_flow(const check *c, int32_t i)
{
    const pw_sentence *sentence = &c->settings->sentences[i];
    bool acts = sentence->kind == PW_SENTENCE_STOP || sentence->kind == PW_SENTENCE_LOCK;
    for (int32_t k = 0; acts && k < sentence->term_count; k++) {
        const pw_term *term = &sentence->terms[k];
        if (term->kind != PW_TERM_FLOW || term->above || !is_alone(sentence, k) || sentence->time_ms > 0) {
            continue;
        }
        for (int32_t pump = 0; pump < c->settings->pump_count; pump++) {
            if (pw_sentence_for(sentence, pump) && pw_term_ignore_ms(c->settings, NULL, term, pump) == 0) {
                report(c, PW_CONFLICT, true, i,
                       "a time (\"for 10 s\"), or a sentence \"ignore no flow for 15 s after start\"",
                       "there is no flow yet in the moment of a start, so the pump would stop at once");
                return;
            }
        }
    }
}

/* Two conditions that never hold at one moment: a value above one threshold and below another that is not higher, or
 * both of wet and dry, open and closed, flow and no flow, running and stopped. */
static bool exclude(const pw_term *a, const pw_term *b)
{
    if (a->signal != b->signal || a->of_pump != b->of_pump || b->kind != pw_form_of(a->kind)->opposite) {
        return false;
    }
    if (a->kind != b->kind) {
        return true;
    }
    const pw_term *above = a->above ? a : b, *below = a->above ? b : a;
    return pw_form_of(a->kind)->signal && a->above != b->above &&
           (pw_form_of(a->kind)->yes_no || above->threshold >= below->threshold);
}

/* "above 300 kPa and below 200 kPa": every group of conditions joined by "and" must be able to hold. */
static void check_contradiction(const check *c, int32_t i)
{
    const pw_sentence *sentence = &c->settings->sentences[i];
    for (int32_t k = 0; k < sentence->term_count; k++) {
        for (int32_t other = k + 1; other < sentence->term_count && !sentence->terms[other].or_before; other++) {
            if (exclude(&sentence->terms[k], &sentence->terms[other])) {
                report(c, PW_CONFLICT, true, i, "conditions that can hold together",
                       "joined by \"and\" they never do; is \"or\" meant?");
                return;
            }
        }
    }
}

static void check_impossible(const check *c, int32_t i)
{
    const pw_sentence *sentence = &c->settings->sentences[i];
    bool while_running = sentence->kind == PW_SENTENCE_STOP || sentence->kind == PW_SENTENCE_HOLD_ON;
    for (int32_t k = 0; k < sentence->term_count; k++) {
        const pw_term *term = &sentence->terms[k];
        if (term->of_pump >= 0 && !(sentence->pumps == 1u << term->of_pump)) {
            continue; /* the state of another pump */
        }
        uint8_t kind = term->kind;
        bool moves = term->above && pw_form_of(kind)->tells_of_running;
        bool gone = kind == PW_TERM_STOPPED || kind == PW_TERM_LOCKED;
        if (gone && while_running) {
            report(c, PW_CONFLICT, true, i, "running", "a pump is stopped already when it is stopped");
        } else if (kind == PW_TERM_RUNNING && sentence->kind == PW_SENTENCE_START) {
            report(c, PW_CONFLICT, true, i, "stopped", "a pump that runs cannot be started");
        } else if (kind == PW_TERM_LOCKED && sentence->kind == PW_SENTENCE_START) {
            report(c, PW_CONFLICT, true, i, "stopped", "a pump that is locked out cannot be started");
        } else if (sentence->kind == PW_SENTENCE_ONLY && is_alone(sentence, k) && (moves || gone) &&
                   sentence->term_count == 1) {
            report(c, PW_CONFLICT, true, i, "what can hold before the start, and goes on",
                   "the pump could never start, or would stop at once");
        }
    }
}

/* Shortest "running for" that stops or locks out this pump by itself; -1 none. */
static int32_t shortest_run(const check *c, int32_t pump, uint32_t *time_ms)
{
    int32_t best = -1;
    for (int32_t i = 0; i < c->settings->count; i++) {
        const pw_sentence *sentence = &c->settings->sentences[i];
        bool acts = (sentence->kind == PW_SENTENCE_STOP || sentence->kind == PW_SENTENCE_LOCK) &&
                    pw_sentence_for(sentence, pump);
        for (int32_t k = 0; acts && k < sentence->term_count; k++) {
            const pw_term *term = &sentence->terms[k];
            uint32_t whole_ms = term->time_ms + sentence->time_ms;
            bool own = term->kind == PW_TERM_RUNNING && term->of_pump < 0 && sentence->within_ms == 0;
            if (own && is_alone(sentence, k) && (best < 0 || whole_ms < *time_ms)) {
                best = i;
                *time_ms = whole_ms;
            }
        }
    }
    return best;
}

/* An ignore window or a least run that outlasts the longest run there can be. */
static void check_too_long(const check *c, int32_t i)
{
    const pw_sentence *sentence = &c->settings->sentences[i];
    if (!pw_action_of(sentence->kind)->within_run) {
        return;
    }
    for (int32_t pump = 0; pump < c->settings->pump_count; pump++) {
        uint32_t longest_ms = 0;
        int32_t by = pw_sentence_for(sentence, pump) ? shortest_run(c, pump, &longest_ms) : -1;
        if (by >= 0 && sentence->time_ms >= longest_ms) {
            char expected[PW_WORDS_SIZE];
            quote(c, "a time shorter than that of ", by, expected);
            report(c, PW_CONFLICT, true, i, expected, "it would last longer than the pump is ever allowed to run");
            return;
        }
    }
}

static uint32_t longest(const check *c, uint8_t kind, int32_t pump)
{
    uint32_t longest_ms = 0;
    for (int32_t i = 0; i < c->settings->count; i++) {
        if (is_for(c, i, kind, pump) && c->settings->sentences[i].time_ms > longest_ms) {
            longest_ms = c->settings->sentences[i].time_ms;
        }
    }
    return longest_ms;
}

/* N starts need N-1 rests and least runs between them: when those fill the window, the limit is never reached. */
static void check_reachable(const check *c, int32_t i)
{
    const pw_sentence *sentence = &c->settings->sentences[i];
    for (int32_t k = 0; k < sentence->term_count; k++) {
        const pw_term *term = &sentence->terms[k];
        for (int32_t pump = 0; term->kind == PW_TERM_STARTS && pump < c->settings->pump_count; pump++) {
            uint64_t cycle_ms = (uint64_t)longest(c, PW_SENTENCE_REST, pump) + longest(c, PW_SENTENCE_LEAST_RUN, pump);
            if (pw_sentence_for(sentence, pump) && cycle_ms * (uint64_t)(term->count - 1) >= term->time_ms) {
                report(c, PW_CONFLICT, true, i, "fewer starts, a longer window, or a shorter rest",
                       "rest and least run alone keep the pump from starting so often, so this never acts");
                return;
            }
        }
    }
}

static bool same_sentence(const pw_sentence *a, const pw_sentence *b)
{
    return memcmp(a, b, sizeof *a) == 0;
}

static void check_twice(const check *c, int32_t i, int32_t k)
{
    const pw_sentence *a = &c->settings->sentences[i];
    const pw_sentence *b = &c->settings->sentences[k];
    char expected[PW_WORDS_SIZE];
    if (same_sentence(a, b)) {
        quote(c, "each sentence once; the same as ", i, expected);
        report(c, PW_DUPLICATE, true, k, expected, NULL);
    } else if (pw_action_of(a->kind)->one_time && a->kind == b->kind && pumps_meet(c, i, k)) {
        quote(c, "one such time for a pump; besides ", i, expected);
        report(c, PW_DUPLICATE, true, k, expected, "the longer one counts");
    }
}

/* Roles need pumps that share the work, and there is one such sentence at most. */
static void check_team(const check *c, int32_t i, int32_t sharing)
{
    const pw_sentence *sentence = &c->settings->sentences[i];
    bool whole = pw_action_of(sentence->kind)->sets_whole;
    if (sentence->kind == PW_SENTENCE_SHARE && i != sharing) {
        report(c, PW_DUPLICATE, false, i, "one sentence about pumps that share the work", NULL);
    }
    if (whole && (sentence->pump >= 0 || sentence->role >= 0)) {
        report(c, PW_CONFLICT, false, i, "no pump before a sentence that is about several", NULL);
    }
    if (sentence->role < 0) {
        return;
    }
    if (sharing < 0) {
        report(c, PW_MISSING, false, i, "a sentence \"share the work between ... and ...\"",
               "a role belongs to pumps that share the work");
    } else if (sentence->role >= c->settings->sentences[sharing].member_count) {
        report(c, PW_RANGE, false, i, "a role that there are pumps enough for", NULL);
    }
}

static int32_t find_sharing(const check *c)
{
    for (int32_t i = 0; i < c->settings->count; i++) {
        if (c->settings->sentences[i].kind == PW_SENTENCE_SHARE) {
            return i;
        }
    }
    return -1;
}

/* A pump's windows are remembered in a store of fixed size. */
static void check_windows(const check *c)
{
    for (int32_t pump = 0; pump < c->settings->pump_count; pump++) {
        int32_t count = 0;
        for (int32_t i = 0; i < c->settings->count; i++) {
            const pw_sentence *sentence = &c->settings->sentences[i];
            count += sentence->within_ms > 0 && pw_sentence_for(sentence, pump) ? 1 : 0;
            if (count == PW_MAX_SHARES + 1) {
                report(c, PW_LIMIT, false, i, "at most 8 sentences for one pump with a time in a time", NULL);
                return;
            }
        }
    }
}

void pw_settings_check(const pw_settings *settings, bool all_known, const char *base_path, bool all_read,
                       pw_arena *scratch, pw_problems *problems, pw_status *status)
{
    const check c = {
        .settings = settings, .base_path = base_path, .arena = scratch, .problems = problems, .status = status};
    int32_t sharing = find_sharing(&c);
    if (all_known && all_read) { /* else a role may lack its pumps only because that sentence is wrong */
        for (int32_t i = 0; i < settings->count; i++) {
            check_team(&c, i, sharing);
        }
        check_windows(&c);
    }
    if (all_known) {
        check_missing(&c, PW_SENTENCE_START);
        check_missing(&c, PW_SENTENCE_STOP);
    }
    if (!all_read) {
        return; /* the rest would judge half an order */
    }
    for (int32_t i = 0; i < settings->count; i++) {
        uint8_t kind = settings->sentences[i].kind;
        if (pw_action_of(kind)->meant_in != 0) {
            check_meant(&c, i);
        } else {
            check_no_flow(&c, i);
            check_impossible(&c, i);
            check_contradiction(&c, i);
            check_reachable(&c, i);
        }
        check_too_long(&c, i);
        for (int32_t k = 0; k < settings->count; k++) {
            if (kind == PW_SENTENCE_START && settings->sentences[k].kind == PW_SENTENCE_STOP && pumps_meet(&c, i, k)) {
                check_start_stop(&c, i, k);
            }
            if (k > i) {
                check_twice(&c, i, k);
            }
        }
    }
}
