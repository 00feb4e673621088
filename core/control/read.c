/* Reading sentences: for which pump, and what it begins with. What follows is read by its row (action.h), by the
 * grammar of docs/settings.md: one function a rule, no recursion. */
#include "control/action.h"

#include <string.h>

enum { MOST_BEGINS = 2 * PW_SENTENCE_COUNT }; /* first words of all forms of action (actions.inc) */

bool pw_reader_finish(pw_reader *reader, const char *before, const char *const *words)
{
    const pw_fact expected = before[0] != 0 ? pw_fact_of("typed.or-end", pw_named(before)) : pw_fact_of("typed.end");
    return pw_reader_end(reader) || pw_reader_fail_words(reader, expected, words);
}

bool pw_reader_need(pw_reader *reader, const char *phrase)
{
    const char *const words[] = {phrase, NULL};
    return pw_reader_take(reader, phrase) || pw_reader_fail_words(reader, pw_verbatim(phrase), words);
}

bool pw_reader_comma(pw_reader *reader)
{
    pw_reader_skip(reader);
    const bool comma = reader->at < reader->length && reader->text[reader->at] == ',';
    reader->at += comma ? 1 : 0;
    return comma;
}

int32_t pw_reader_pump(pw_reader *reader)
{
    int32_t best = -1;
    size_t best_used = 0;
    pw_reader_skip(reader);
    for (int32_t i = 0; i < reader->settings->pump_count; i++) {
        size_t used = pw_reader_name(reader, reader->at, reader->settings->pumps[i]);
        if (used > best_used) {
            best = i;
            best_used = used;
        }
    }
    reader->at += best_used;
    return best;
}

/* "duty:" before a sentence. */
static size_t read_role(const pw_reader *reader, pw_sentence *sentence)
{
    for (int32_t i = 0; i < PW_MAX_PUMPS; i++) {
        pw_reader ahead = *reader;
        if (pw_reader_take(&ahead, pw_role_name(i))) {
            pw_reader_skip(&ahead);
            if (ahead.at < ahead.length && ahead.text[ahead.at] == ':') {
                sentence->role = (int8_t)i;
                return ahead.at + 1;
            }
        }
    }
    return 0;
}

/* "PUMPNAME:" or a role before a sentence. */
static void read_pump(pw_reader *reader, pw_sentence *sentence)
{
    size_t best = 0;
    for (int32_t i = 0; i < reader->settings->pump_count; i++) {
        pw_reader ahead = *reader;
        if (!pw_reader_take(&ahead, reader->settings->pumps[i])) {
            continue;
        }
        pw_reader_skip(&ahead);
        if (ahead.at < ahead.length && ahead.text[ahead.at] == ':' && ahead.at + 1 > best) {
            best = ahead.at + 1;
            sentence->pump = (int8_t)i;
            sentence->pumps = (uint8_t)(1u << i);
        }
    }
    reader->at = best > 0 ? best : read_role(reader, sentence);
}

/* Take one word of a form at `words`; moves both on. */
static bool take_word(pw_reader *reader, const char **words)
{
    char word[16];
    size_t length = 0;
    while ((*words)[length] != 0 && (*words)[length] != ' ') {
        word[length] = (*words)[length];
        length++;
    }
    word[length] = 0;
    if (!pw_reader_take(reader, word)) {
        return false;
    }
    *words += length + ((*words)[length] == ' ' ? 1 : 0);
    return true;
}

/* Text from `from` up to `to`, with one blank before it when something stands in front. */
static void add_piece(const pw_reader *reader, size_t from, size_t to, char *out)
{
    char piece[PW_WORDS_SIZE] = "";
    while (from < to && reader->text[from] == ' ') {
        from++;
    }
    while (to > from && reader->text[to - 1] == ' ') {
        to--;
    }
    const size_t length = to - from < sizeof piece - 1 ? to - from : sizeof piece - 1;
    memcpy(piece, reader->text + from, length);
    pw_append(out, PW_WORDS_SIZE, out[0] != 0 && length > 0 ? " " : "");
    pw_append(out, PW_WORDS_SIZE, piece);
}

/* "start lift pump when ...", "stop the pump when ...": a pump stands within the sentence, where none can. How it is
 * typed is told. false: there is none, nothing was told. */
static bool tell_pump_inside(pw_reader *reader, size_t begin, size_t at, const char *const *words)
{
    char typed[PW_WORDS_SIZE] = "";
    char list[PW_WORDS_SIZE];
    pw_reader ahead = *reader;
    ahead.at = at;
    (void)pw_reader_take(&ahead, "the");
    const int32_t pump = pw_reader_pump(&ahead);
    if (pump < 0 && !pw_reader_take(&ahead, "pump")) {
        return false;
    }
    if (pump >= 0) {
        pw_append(typed, sizeof typed, reader->settings->pumps[pump]);
        pw_append(typed, sizeof typed, ":");
    }
    add_piece(reader, begin, at, typed);
    add_piece(reader, ahead.at, reader->length, typed);
    (void)pw_reader_fail(reader, PW_WORD, at, NULL, pw_one_of_fact(words, list),
                         pw_fact_of(pump >= 0 ? "typed.pump-in-front" : "typed.pump-left-out", pw_named(typed)));
    return true;
}

static bool fail_form(pw_reader *reader, pw_sentence *sentence, bool *kind_known)
{
    size_t furthest = reader->at;
    const char *rest[MOST_BEGINS + 1];
    int32_t count = 0;
    for (int32_t i = 0; i < MOST_BEGINS; i++) {
        pw_reader ahead = *reader;
        const char *words = pw_action_of((uint8_t)(i / 2))->begins[i % 2];
        if (words == NULL) {
            continue;
        }
        while (*words != 0 && take_word(&ahead, &words)) {
        }
        if (ahead.at > furthest) {
            furthest = ahead.at;
            count = 0;
        }
        if (ahead.at == furthest) {
            rest[count++] = words;
            sentence->kind = (uint8_t)(i / 2);
        }
    }
    rest[count] = NULL;
    *kind_known = count == 1;
    const char *colon = memchr(reader->text + reader->at, ':', reader->length - reader->at);
    if (furthest == reader->at && colon != NULL && sentence->pump < 0 && sentence->role < 0 &&
        reader->settings->pump_count > 0) {
        const char *names[PW_MAX_PUMPS];
        for (int32_t i = 0; i < reader->settings->pump_count; i++) {
            names[i] = reader->settings->pumps[i];
        }
        pw_reader before = *reader;
        before.length = (size_t)(colon - reader->text);
        bool answer =
            pw_reader_fail_name(&before, names, reader->settings->pump_count, "typed.pump-before-colon", NULL);
        reader->status = before.status;
        return answer;
    }
    const size_t begin = reader->at;
    reader->at = furthest;
    if (sentence->pump < 0 && sentence->role < 0 && tell_pump_inside(reader, begin, furthest, rest)) {
        return false;
    }
    return pw_reader_fail_one_of(reader, rest);
}

bool pw_reader_sentence(pw_reader *reader, pw_sentence *sentence, bool *kind_known)
{
    memset(sentence, 0, sizeof *sentence);
    sentence->pump = -1;
    sentence->role = -1;
    sentence->relay = -1;
    sentence->pumps = (uint8_t)((1u << reader->settings->pump_count) - 1u);
    *kind_known = true;
    read_pump(reader, sentence);
    for (uint8_t kind = 0; kind < PW_SENTENCE_COUNT; kind++) {
        const pw_action *action = pw_action_of(kind);
        for (int32_t begun = 0; action->begins[begun] != NULL; begun++) {
            if (pw_reader_take(reader, action->begins[begun])) {
                sentence->kind = kind;
                return action->read(reader, sentence, begun);
            }
        }
    }
    return fail_form(reader, sentence, kind_known);
}
