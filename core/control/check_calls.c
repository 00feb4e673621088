/* What works, but not as its words promise, because of how calls and starts are counted. Warnings all. */
#include "control/action.h"

static bool lasts_without_pump(const pw_term *term)
{
    return (term->kind == PW_TERM_PRESSURE || term->kind == PW_TERM_LEVEL) && !term->above;
}

/* "rest 2 h after stop, then wait for a new call": a low pressure that is reached in the rest stays low until the pump
 * runs, so it never calls anew. */
static bool never_calls_again(const pw_settings *settings, int32_t rest)
{
    const pw_sentence *by = &settings->sentences[rest];
    for (int32_t i = 0; by->new_call && i < settings->count; i++) {
        const pw_sentence *start = &settings->sentences[i];
        for (int32_t k = 0;
             start->kind == PW_SENTENCE_START && (start->pumps & by->pumps) != 0 && k < start->term_count; k++) {
            if (lasts_without_pump(&start->terms[k])) {
                return true;
            }
        }
    }
    return false;
}

/* The count of "starts reach N" that this lock out looks at alone; 0: none. */
static int32_t starts_of(const pw_sentence *lock)
{
    for (int32_t k = 0; lock->kind == PW_SENTENCE_LOCK && k < lock->term_count; k++) {
        const bool alone =
            (k == 0 || lock->terms[k].or_before) && (k + 1 == lock->term_count || lock->terms[k + 1].or_before);
        if (lock->terms[k].kind == PW_TERM_STARTS && alone) {
            return lock->terms[k].count;
        }
    }
    return 0;
}

/* "up to 3 times" begins anew with each run that ends as it should, and a pump that hunts has such runs. Told where the
 * sentence names starts, or no other lock out is there for which the count would hold. */
static bool never_runs_out(const pw_settings *settings, int32_t retry)
{
    const pw_sentence *by = &settings->sentences[retry];
    bool starts = false, others = false;
    for (int32_t i = 0; i < settings->count; i++) {
        const pw_sentence *lock = &settings->sentences[i];
        if (lock->kind != PW_SENTENCE_LOCK || (lock->pumps & by->pumps) == 0) {
            continue;
        }
        starts = starts || starts_of(lock) > 0;
        others = others || starts_of(lock) == 0;
    }
    const bool named = by->term_count > 0 && by->terms[0].kind == PW_TERM_STARTS;
    return by->times > 0 && starts && (named || (by->term_count == 0 && !others));
}

static void tell(const pw_settings *settings, const char *base_path, int32_t i, const char *expected, const char *hint,
                 pw_arena *scratch, pw_problems *problems)
{
    char path[PW_PATH_SIZE];
    pw_text found;
    pw_text_init(&found, scratch);
    pw_settings_put(settings, i, &found);
    pw_settings_path(base_path, i, path);
    pw_warning_tell(problems, PW_CONFLICT, path, pw_verbatim(found.failed ? "" : found.data), pw_fact_of(expected),
                    pw_fact_of(hint));
}

void pw_settings_check_calls(const pw_settings *settings, const char *base_path, pw_arena *scratch,
                             pw_problems *problems)
{
    for (int32_t i = 0; i < settings->count; i++) {
        const pw_sentence *sentence = &settings->sentences[i];
        const size_t mark = pw_arena_mark(scratch);
        if (sentence->kind == PW_SENTENCE_REST && never_calls_again(settings, i)) {
            tell(settings, base_path, i, "control.call-that-ends", "control.call-never-again", scratch, problems);
        }
        if (sentence->kind == PW_SENTENCE_RETRY && never_runs_out(settings, i)) {
            tell(settings, base_path, i, "control.retry-other", "control.retry-never-runs-out", scratch, problems);
        }
        if (starts_of(sentence) == 1) {
            tell(settings, base_path, i, "control.two-starts", "control.one-start-is-none", scratch, problems);
        }
        pw_arena_back(scratch, mark);
    }
}
