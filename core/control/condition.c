/* Reading one condition: the names of signals, what is asked of them, "and" and "or". */
#include "control/parts.h"

#include <string.h>

void pw_append(char *out, size_t out_size, const char *words)
{
    size_t length = strlen(out);
    pw_copy(out + length, (int32_t)(out_size - length), words);
}

/* Names. The text up to the next word of the grammar is what the writer took for a name. */

static const char *const after_name[] = {"above", "below", "wet", "dry", "closed", "open", "for", "and", "or", NULL};

static void name_as_written(pw_reader *reader, char *out, size_t out_size)
{
    pw_reader ahead = *reader;
    out[0] = 0;
    while (!pw_reader_end(&ahead)) {
        for (int32_t i = 0; after_name[i] != NULL; i++) {
            if (pw_reader_name(&ahead, ahead.at, after_name[i]) > 0) {
                return;
            }
        }
        char word[PW_WORDS_SIZE];
        pw_reader_word(&ahead, ahead.at, word, sizeof word);
        if (out[0] != 0) {
            pw_append(out, out_size, " ");
        }
        pw_append(out, out_size, word);
        ahead.at += strlen(word);
    }
}

static int32_t choices(const pw_settings *settings, pw_term_kind kind, const char **names)
{
    int32_t count = 0;
    for (int32_t i = 0; i < settings->signal_count; i++) {
        if (settings->signals[i].kind == (pw_signal_kind)kind) {
            names[count++] = settings->signals[i].name;
        }
    }
    return count;
}

const char *pw_list_words(const char *const *names, int32_t count, char *out, size_t out_size)
{
    static const char more[] = ", ...";
    out[0] = 0;
    for (int32_t i = 0; i + 1 < count; i++) {
        /* never cut inside a word; a remark has to hold the last one, too */
        if (strlen(out) + strlen(names[i]) + sizeof more + PW_NAME_SIZE > out_size) {
            pw_append(out, out_size, more);
            break;
        }
        pw_append(out, out_size, i == 0 ? "" : ", ");
        pw_append(out, out_size, names[i]);
    }
    return count > 0 ? names[count - 1] : "";
}

bool pw_reader_fail_name(pw_reader *reader, const char *const *names, int32_t count, const char *id, const char *noun)
{
    char found[PW_WORDS_SIZE];
    char list[PW_WORDS_SIZE];
    name_as_written(reader, found, sizeof found);
    const char *last = pw_list_words(names, count, list, sizeof list);
    return pw_reader_fail(reader, PW_REFERENCE, reader->at, found[0] != 0 ? found : NULL,
                          noun != NULL ? pw_fact_of(id, pw_named(list), pw_named(last), pw_word(noun))
                                       : pw_fact_of(id, pw_named(list), pw_named(last)),
                          pw_near_fact(found, names, count));
}

/* One of these words should stand here: "below or above". */
pw_fact pw_one_of_fact(const char *const *words, char list[PW_WORDS_SIZE])
{
    int32_t count = 0;
    while (words[count] != NULL) {
        count++;
    }
    const char *last = pw_list_words(words, count, list, PW_WORDS_SIZE);
    return pw_fact_of("typed.one-of", pw_named(list), pw_named(last));
}

bool pw_reader_fail_one_of(pw_reader *reader, const char *const *words)
{
    char list[PW_WORDS_SIZE];
    return pw_reader_fail_words(reader, pw_one_of_fact(words, list), words);
}

/* Longest name of a signal of this kind that stands here; -1 none. then: a word of this list must follow, or NULL. */
static int32_t find_signal(pw_reader *reader, pw_term_kind kind, const char *const *then, size_t *used_out)
{
    const pw_settings *settings = reader->settings;
    int32_t best = -1;
    size_t best_used = 0;
    pw_reader_skip(reader);
    for (int32_t i = 0; i < settings->signal_count; i++) {
        if (settings->signals[i].kind != (pw_signal_kind)kind) {
            continue;
        }
        size_t used = pw_reader_name(reader, reader->at, settings->signals[i].name);
        bool follows = then == NULL;
        pw_reader ahead = *reader;
        ahead.at += used;
        pw_reader_skip(&ahead);
        for (int32_t k = 0; then != NULL && then[k] != NULL; k++) {
            follows = follows || pw_reader_name(&ahead, ahead.at, then[k]) > 0;
        }
        if (used > best_used && follows) {
            best = i;
            best_used = used;
        }
    }
    *used_out = best_used;
    return best;
}

/* The pump's own current or winding: every pump this sentence is for must have the signal. */
static bool own_signal(pw_reader *reader, const pw_sentence *sentence, pw_term *term, size_t at)
{
    term->signal = -1;
    for (int32_t pump = 0; pump < reader->settings->pump_count; pump++) {
        if (pw_sentence_for(sentence, pump) && pw_term_signal(reader->settings, term, pump) < 0) {
            const char *id = term->kind == PW_TERM_WINDING ? "typed.measured-winding" : "typed.measured-current";
            return pw_reader_fail(reader, PW_REFERENCE, at, NULL,
                                  pw_fact_of(id, pw_named(reader->settings->pumps[pump])),
                                  pw_fact_of("typed.measures-none"));
        }
    }
    return true;
}

/* A name left out: right when there is just one signal of the kind. */
bool pw_reader_only_signal(pw_reader *reader, const pw_sentence *sentence, pw_term *term, size_t at)
{
    if (pw_form_of(term->kind)->own) {
        return own_signal(reader, sentence, term, at);
    }
    const char *names[PW_MAX_SIGNALS];
    int32_t count = choices(reader->settings, (pw_term_kind)term->kind, names);
    const char *noun = pw_term_noun((pw_term_kind)term->kind);
    if (count == 0) {
        return pw_reader_fail(reader, PW_REFERENCE, at, NULL, pw_fact_of("typed.among-sensors", pw_word(noun)),
                              pw_fact_of("typed.has-none"));
    }
    if (count > 1) {
        char list[PW_WORDS_SIZE];
        const char *last = pw_list_words(names, count, list, sizeof list);
        return pw_reader_fail(reader, PW_MISSING, reader->at, NULL,
                              pw_fact_of("typed.name-of-the", pw_named(list), pw_named(last), pw_word(noun)),
                              pw_fact_of("typed.more-than-one"));
    }
    for (int32_t i = 0; i < reader->settings->signal_count; i++) {
        if (reader->settings->signals[i].kind == (pw_signal_kind)term->kind) {
            term->signal = (int16_t)i;
        }
    }
    return true;
}

/* [at NAME] or [of NAME]; for probes and contacts the bare name. at: the word that asks for the signal. */
bool pw_reader_signal(pw_reader *reader, const pw_sentence *sentence, pw_term *term, const char *const *then, size_t at)
{
    bool bare = pw_form_of(term->kind)->bare;
    bool named = pw_reader_take(reader, "at") || pw_reader_take(reader, "of");
    size_t used = 0;
    int32_t signal = bare || named ? find_signal(reader, (pw_term_kind)term->kind, then, &used) : -1;
    if (signal >= 0) {
        term->signal = (int16_t)signal;
        reader->at += used;
        return true;
    }
    pw_reader_skip(reader);
    bool state_next = false;
    for (int32_t k = 0; bare && then[k] != NULL; k++) {
        state_next = state_next || pw_reader_name(reader, reader->at, then[k]) > 0;
    }
    if (named || (bare && !state_next)) {
        const char *names[PW_MAX_SIGNALS];
        int32_t count = choices(reader->settings, (pw_term_kind)term->kind, names);
        if (find_signal(reader, (pw_term_kind)term->kind, NULL, &used) >= 0) {
            reader->at += used;
            return pw_reader_fail_one_of(reader, then);
        }
        if (count > 0) {
            return pw_reader_fail_name(reader, names, count, "typed.name-of-a", pw_term_noun((pw_term_kind)term->kind));
        }
    }
    return pw_reader_only_signal(reader, sentence, term, at);
}

/* Conditions */

/* "bore pump is running": the name of a pump before "is"; false and nothing read when there is none. */
static bool take_other_pump(pw_reader *reader, pw_term *term)
{
    for (int32_t i = 0; i < reader->settings->pump_count; i++) {
        pw_reader ahead = *reader;
        if (pw_reader_take(&ahead, reader->settings->pumps[i]) && pw_reader_take(&ahead, "is")) {
            term->of_pump = (int8_t)i;
            reader->at = ahead.at;
            return true;
        }
    }
    return false;
}

enum { MOST_WORDS = 2 * PW_TERM_COUNT + 1 };

/* The words that conditions begin with; of_pump: those that stand behind the name of a pump and "is". */
static int32_t first_words(bool of_pump, const char **words)
{
    int32_t count = 0;
    for (int32_t kind = 0; kind < PW_TERM_COUNT; kind++) {
        const pw_term_form *form = pw_form_of((uint8_t)kind);
        if (of_pump && !form->of_pump) {
            continue;
        }
        words[count++] = form->words;
        if (form->words_not != NULL) {
            words[count++] = form->words_not;
        }
    }
    words[count] = NULL;
    return count;
}

static bool fail_condition(pw_reader *reader, bool of_pump)
{
    const char *words[MOST_WORDS];
    char list[PW_WORDS_SIZE] = "";
    const int32_t count = first_words(of_pump, words);
    if (of_pump) {
        return pw_reader_fail_one_of(reader, words);
    }
    for (int32_t i = 0; i < count; i++) {
        pw_append(list, sizeof list, words[i]);
        pw_append(list, sizeof list, ", ");
    }
    return pw_reader_fail_words(reader, pw_fact_of("typed.a-condition", pw_named(list)), words);
}

bool pw_reader_term(pw_reader *reader, pw_sentence *sentence, pw_term *term)
{
    pw_reader_skip(reader);
    size_t at = reader->at;
    term->signal = -1;
    term->of_pump = -1;
    term->in_a_row = 1;
    const bool other = take_other_pump(reader, term);
    for (int32_t kind = 0; kind < PW_TERM_COUNT; kind++) {
        const pw_term_form *form = pw_form_of((uint8_t)kind);
        if (other && !form->of_pump) {
            continue;
        }
        const bool turned = form->words_not != NULL && pw_reader_take(reader, form->words_not);
        if (turned || pw_reader_take(reader, form->words)) {
            term->kind = (uint8_t)kind;
            term->above = form->words_not != NULL && !turned;
            return form->read(reader, sentence, term, at);
        }
    }
    return fail_condition(reader, other);
}

bool pw_reader_condition(pw_reader *reader, pw_sentence *sentence)
{
    bool or_before = true;
    for (;;) {
        if (sentence->term_count == PW_MAX_TERMS) {
            return pw_reader_fail(reader, PW_LIMIT, reader->at, NULL, pw_fact_of("typed.most-conditions"),
                                  pw_fact_of("typed.split"));
        }
        pw_term *term = &sentence->terms[sentence->term_count];
        if (!pw_reader_term(reader, sentence, term)) {
            return false;
        }
        term->or_before = or_before && sentence->term_count > 0;
        sentence->term_count++;
        if (pw_reader_take(reader, "and")) {
            or_before = false;
        } else if (pw_reader_take(reader, "or")) {
            or_before = true;
        } else {
            return true;
        }
    }
}
