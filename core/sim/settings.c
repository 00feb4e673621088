/* The order as a person typed it wrongly: the words of the site sheet with their numbers or units changed, read by the
 * same reader as every order. What the reader says to it is what that person would be told.
 */
#include "base/num.h"
#include "sim/run_impl.h"

#include <string.h>

static bool is_letter(char c)
{
    return pw_lower(c) >= 'a' && pw_lower(c) <= 'z';
}

/* The sentence with some words replaced by those of another sentence. */
static const char *with(pw_arena *arena, const char *text, const pw_fault_words *out, const char *other,
                        const pw_fault_words *in)
{
    pw_text words;
    pw_text_init(&words, arena);
    pw_text_put_n(&words, text, out->at);
    pw_text_put_n(&words, other + in->at, in->length);
    pw_text_put(&words, text + out->at + out->length);
    return words.failed ? NULL : words.data;
}

static bool swap(pw_arena *arena, const pw_site *site, const char **sentences)
{
    pw_fault_swap found;
    if (!pw_fault_swap_find(site, &found)) {
        return true;
    }
    const char *start = site->sentences[found.start], *stop = site->sentences[found.stop];
    sentences[found.start] = with(arena, start, &found.in, stop, &found.out);
    sentences[found.stop] = with(arena, stop, &found.out, start, &found.in);
    return sentences[found.start] != NULL && sentences[found.stop] != NULL;
}

/* The sentence with every unit `was` (lower case) behind a number replaced. */
static const char *other_unit(pw_arena *arena, const char *text, const char *was, const char *is)
{
    pw_text words;
    size_t copied = 0;
    pw_text_init(&words, arena);
    for (size_t at = 0; text[at] != '\0'; at++) {
        const bool behind =
            text[at] >= '0' && text[at] <= '9' && !(text[at + 1] >= '0' && text[at + 1] <= '9') && text[at + 1] != '.';
        const size_t unit = at + (text[at + 1] == ' ' ? 2 : 1);
        if (behind && pw_begins(text + unit, was) && !is_letter(text[unit + strlen(was)])) {
            pw_text_put_n(&words, text + copied, unit - copied);
            pw_text_put(&words, is);
            copied = unit + strlen(was);
        }
    }
    pw_text_put(&words, text + copied);
    return words.failed ? NULL : words.data;
}

static bool retype(pw_arena *arena, const pw_site *site, pw_fault_kind kind, const char **sentences)
{
    const pw_fault_row *row = pw_fault_row_of(kind);
    for (int32_t i = 0; i < site->sentence_count; i++) {
        sentences[i] = site->sentences[i];
    }
    if (row->swapped) {
        return swap(arena, site, sentences);
    }
    for (int32_t i = 0; i < site->sentence_count; i++) {
        sentences[i] = other_unit(arena, site->sentences[i], row->unit_was, row->unit_is);
        if (sentences[i] == NULL) {
            return false;
        }
    }
    return true;
}

/* Is the problem one of a sentence that stands otherwise on the sheet? Of others a person thinks nothing while typing.
 */
static bool about_retyped(const pw_site *site, const char *const *sentences, const char *path)
{
    bool about = false;
    for (int32_t i = 0; i < site->sentence_count; i++) {
        char here[PW_PATH_SIZE] = "site.settings[";
        size_t end = strlen(here);
        end += pw_num_text((double)i, here + end);
        here[end] = ']'; /* what follows is zero */
        about = about || (strcmp(site->sentences[i], sentences[i]) != 0 && strcmp(here, path) == 0);
    }
    return about;
}

/* What the reader says to the typed order and not to the one of the sheet; what is about the typed words goes first. */
static void note_words(pw_retyped *out, const pw_site *site, const char *const *sentences, const pw_problems *typed,
                       const pw_problems *before)
{
    for (int32_t i = 0; i < typed->count; i++) {
        const pw_problem *problem = &typed->items[i];
        bool old = false;
        for (int32_t k = 0; k < before->count; k++) {
            old = old ||
                  (strcmp(before->items[k].path, problem->path) == 0 && before->items[k].status == problem->status);
        }
        const bool about = !old && about_retyped(site, sentences, problem->path);
        if (!old && (!out->warned || (about && !out->about_it))) {
            out->warned = true;
            out->about_it = about;
        }
    }
}

pw_status pw_settings_type(pw_arena *arena, pw_sim *run, const pw_fault *fault)
{
    const pw_site *site = run->plant->site;
    const bool here = pw_fault_where(site, fault->kind, fault->where) >= 0;
    if (!here && run->retyped != NULL) {
        return PW_OK;
    }
    const char *sentences[PW_MAX_SENTENCES];
    pw_retyped *out = PW_NEW(arena, 1, pw_retyped);
    pw_problems *said = PW_NEW(arena, 2, pw_problems);
    if (out == NULL || said == NULL || !retype(arena, site, fault->kind, sentences)) {
        return PW_MEMORY;
    }
    run->retyped = out;
    out->refused = true;
    if (!here) {
        return PW_OK;
    }
    pw_settings *settings = NULL;
    pw_table *table = NULL;
    if (pw_plant_read(arena, run->plant, site->sentences, site->sentence_count, &settings, &said[1]) == PW_MEMORY) {
        return PW_MEMORY;
    }
    pw_status status = pw_plant_read(arena, run->plant, sentences, site->sentence_count, &settings, &said[0]);
    note_words(out, site, sentences, &said[0], &said[1]);
    if (status == PW_OK) {
        status = pw_table_build(arena, settings, run->options.keep, &table, &said[0]);
        out->refused = status != PW_OK;
        run->typed_table = table;
        run->typed_settings = settings;
        out->settings = out->refused ? NULL : settings;
    }
    return status == PW_MEMORY ? PW_MEMORY : PW_OK;
}
