/* Scanning a sentence: words, names, quantities, and saying what was found instead. */
#include "control/parts.h"

#include <stddef.h>
#include <string.h>

#include "base/num.h"

static bool is_space(char c)
{
    return c == ' ' || c == '\t' || c == '\n' || c == '\r';
}

/* The sentence may close with one full stop. */
static bool is_last_stop(const pw_reader *reader, size_t at)
{
    if (at >= reader->length || reader->text[at] != '.') {
        return false;
    }
    for (size_t i = at + 1; i < reader->length; i++) {
        if (!is_space(reader->text[i])) {
            return false;
        }
    }
    return true;
}

static bool is_boundary(const pw_reader *reader, size_t at)
{
    if (at >= reader->length) {
        return true;
    }
    char c = reader->text[at];
    return is_space(c) || c == ',' || c == ':' || is_last_stop(reader, at);
}

static size_t skip_from(const pw_reader *reader, size_t at)
{
    while (at < reader->length && is_space(reader->text[at])) {
        at++;
    }
    return at;
}

void pw_reader_skip(pw_reader *reader)
{
    reader->at = skip_from(reader, reader->at);
}

bool pw_reader_end(pw_reader *reader)
{
    pw_reader_skip(reader);
    return reader->at >= reader->length || is_last_stop(reader, reader->at);
}

size_t pw_reader_name(const pw_reader *reader, size_t at, const char *name)
{
    size_t start = at;
    const char *p = name;
    while (is_space(*p)) {
        p++;
    }
    if (*p == 0) {
        return 0;
    }
    while (*p != 0) {
        if (is_space(*p)) {
            while (is_space(*p)) {
                p++;
            }
            if (*p == 0) {
                break;
            }
            if (at >= reader->length || !is_space(reader->text[at])) {
                return 0;
            }
            at = skip_from(reader, at);
        }
        if (at >= reader->length || pw_lower(reader->text[at]) != pw_lower(*p)) {
            return 0;
        }
        at++;
        p++;
    }
    return is_boundary(reader, at) ? at - start : 0;
}

bool pw_reader_take(pw_reader *reader, const char *phrase)
{
    pw_reader_skip(reader);
    size_t used = pw_reader_name(reader, reader->at, phrase);
    if (used == 0) {
        return false;
    }
    reader->at += used;
    return true;
}

void pw_reader_word(const pw_reader *reader, size_t at, char *out, int32_t out_size)
{
    at = skip_from(reader, at);
    if (at >= reader->length) {
        pw_copy(out, out_size, "");
        return;
    }
    size_t end = at + 1;
    while (!is_boundary(reader, end)) {
        end++;
    }
    char word[PW_WORDS_SIZE];
    size_t length = end - at;
    if (length > sizeof word - 1) {
        length = sizeof word - 1;
    }
    memcpy(word, reader->text + at, length);
    word[length] = 0;
    pw_copy(out, out_size, word);
}

/* Characters, not bytes: a person counts what is seen. */
static int32_t column_of(const char *text, size_t at)
{
    int32_t column = 1;
    for (size_t i = 0; i < at; i++) {
        if (((unsigned char)text[i] & 0xC0u) != 0x80u) {
            column++;
        }
    }
    return column;
}

bool pw_reader_fail(pw_reader *reader, pw_status status, size_t at, const char *found, pw_fact expected, pw_fact hint)
{
    char word[PW_WORDS_SIZE];
    at = skip_from(reader, at);
    if (found == NULL) {
        pw_reader_word(reader, at, word, sizeof word);
        found = word;
    }
    if (reader->status == PW_OK) {
        reader->status = status;
    }
    int32_t before = reader->problems != NULL ? reader->problems->count : 0;
    pw_problem_tell(reader->problems, status, reader->path,
                    found[0] != 0 ? pw_verbatim(found) : pw_fact_of("typed.end"), expected, hint);
    if (reader->problems != NULL && reader->problems->count > before) {
        reader->problems->items[before].column = column_of(reader->text, at);
    }
    return false;
}

/* One word was read, so it is held against the first word of each phrase. */
static pw_fact did_you_mean(const char *word, const char *const *words, int32_t count)
{
    enum { MOST = 48, SIZE = 24 };
    char firsts[MOST][SIZE];
    const char *pointers[MOST];
    count = count < MOST ? count : MOST;
    for (int32_t i = 0; i < count; i++) {
        int32_t length = 0;
        while (length < SIZE - 1 && words[i][length] != 0 && words[i][length] != ' ') {
            firsts[i][length] = words[i][length];
            length++;
        }
        firsts[i][length] = 0;
        pointers[i] = firsts[i];
    }
    int32_t near = pw_near_match(word, pointers, count);
    return near >= 0 ? pw_fact_of("input.did-you-mean", pw_named(words[near])) : pw_no_fact();
}

bool pw_reader_fail_words(pw_reader *reader, pw_fact expected, const char *const *words)
{
    char word[PW_WORDS_SIZE];
    int32_t count = 0;
    while (words[count] != NULL) {
        count++;
    }
    pw_reader_skip(reader);
    pw_reader_word(reader, reader->at, word, sizeof word);
    return pw_reader_fail(reader, PW_WORD, reader->at, NULL, expected, did_you_mean(word, words, count));
}

/* Quantities: the unit decides what a number is, so "5 m" where a time belongs is told apart from "5 min". */

static pw_fact example_of(pw_dimension dimension)
{
    static const char *const ids[PW_DIM_COUNT] = {
        [PW_DIM_PRESSURE] = "typed.a-pressure",
        [PW_DIM_LENGTH] = "typed.a-level",
        [PW_DIM_TIME] = "typed.a-time",
        [PW_DIM_CURRENT] = "typed.a-current",
        [PW_DIM_TEMPERATURE] = "typed.a-temperature",
        [PW_DIM_VOLTAGE] = "typed.a-voltage",
    };
    return pw_fact_of(ids[dimension]);
}

static bool starts_number(const pw_reader *reader)
{
    char c = reader->at < reader->length ? reader->text[reader->at] : ' ';
    return (c >= '0' && c <= '9') || c == '-' || c == '+' || c == '.';
}

/* Words of a number and the one behind it, for messages. */
static void number_words(const pw_reader *reader, size_t used, char *out, int32_t out_size)
{
    char buffer[PW_WORDS_SIZE];
    if (used == 0) {
        pw_reader_word(reader, reader->at, buffer, sizeof buffer);
    } else {
        size_t length = used < sizeof buffer - 1 ? used : sizeof buffer - 1;
        memcpy(buffer, reader->text + reader->at, length);
        buffer[length] = 0;
    }
    pw_copy(out, out_size, buffer);
}

/* A word that can follow a number in a sentence without being its unit. */
static bool goes_on(const char *word)
{
    static const char *const words[] = {"when",  "after", "in",  "to", "or",   "and",   "with",  "on",   "between",
                                        "times", "of",    "for", "up", "then", "again", "until", "while"};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (strcmp(word, words[i]) == 0) {
            return true;
        }
    }
    return false;
}

/* "1 sekunde": the number is right, the word behind it is no unit. Points at the word; true when it has told so. */
static bool wrong_unit(pw_reader *reader, size_t used, pw_dimension wanted)
{
    char number[PW_WORDS_SIZE];
    char word[PW_WORDS_SIZE];
    char found[PW_WORDS_SIZE];
    size_t at = reader->at + used;
    while (at < reader->length && reader->text[at] == ' ') {
        at++;
    }
    const char first = at < reader->length ? reader->text[at] : ' ';
    if (!((first >= 'a' && first <= 'z') || (first >= 'A' && first <= 'Z'))) {
        return false;
    }
    pw_reader_word(reader, at, word, sizeof word);
    if (goes_on(word)) {
        return false;
    }
    number_words(reader, used, number, sizeof number);
    pw_say(found, number, " ", word, NULL);
    const char *near = pw_unit_near(word, wanted);
    pw_reader_fail(reader, PW_UNIT, at, found, example_of(wanted),
                   near != NULL ? pw_fact_of("input.did-you-mean-unit", pw_named(near))
                                : pw_fact_of("typed.unknown-unit"));
    return true;
}

static bool scan(pw_reader *reader, pw_dimension wanted, double *out, size_t *used_out)
{
    pw_reader_skip(reader);
    if (!starts_number(reader)) {
        return pw_reader_fail(reader, PW_WORD, reader->at, NULL, example_of(wanted), pw_no_fact());
    }
    double value = 0;
    pw_dimension dimension = PW_DIM_NONE;
    size_t used = pw_quantity_scan(reader->text + reader->at, &value, &dimension);
    bool is_zero = used > 0 && dimension == PW_DIM_NONE && value == 0 && wanted != PW_DIM_TEMPERATURE;
    char height[PW_WORDS_SIZE];
    if (used > 0 && used < sizeof height && wanted == PW_DIM_PRESSURE && dimension == PW_DIM_LENGTH) {
        memcpy(height, reader->text + reader->at, used);
        height[used] = 0;
        if (pw_quantity_read(height, wanted, &value, NULL, "") == PW_OK) { /* metres or feet of water */
            dimension = PW_DIM_PRESSURE;
        }
    }
    if (used == 0 || !pw_is_finite(value) || (dimension != wanted && !is_zero)) {
        char found[PW_WORDS_SIZE];
        number_words(reader, used, found, sizeof found);
        bool bare = used == 0 || dimension == PW_DIM_NONE;
        if (used > 0 && bare && wrong_unit(reader, used, wanted)) {
            return false;
        }
        return pw_reader_fail(reader, PW_UNIT, reader->at, found, example_of(wanted),
                              bare ? pw_fact_of("typed.unit-behind") : pw_no_fact());
    }
    *out = value;
    *used_out = used;
    return true;
}

static bool fail_range(pw_reader *reader, size_t used, const char *range)
{
    char found[PW_WORDS_SIZE];
    number_words(reader, used, found, sizeof found);
    return pw_reader_fail(reader, PW_RANGE, reader->at, found, pw_fact_of(range), pw_no_fact());
}

void pw_reader_number(pw_reader *reader, const void *out, size_t at, size_t length, double low, double high)
{
    if (reader->numbers != NULL && reader->number_count < PW_MAX_NUMBERS) {
        const ptrdiff_t offset = (const uint8_t *)out - (const uint8_t *)reader->sentence;
        reader->numbers[reader->number_count] = (pw_number_place){
            .offset = (uint16_t)offset, .at = (int32_t)at, .length = (int32_t)length, .low = low, .high = high};
        reader->number_count++;
    }
}

bool pw_reader_time(pw_reader *reader, uint32_t *out_ms)
{
    double seconds = 0;
    size_t used = 0;
    if (!scan(reader, PW_DIM_TIME, &seconds, &used)) {
        return false;
    }
    double ms = pw_floor(seconds * 1000.0 + 0.5);
    if (!(ms >= (double)PW_SHORTEST_MS && ms <= (double)PW_LONGEST_MS)) {
        return fail_range(reader, used, "typed.time-range");
    }
    *out_ms = (uint32_t)ms;
    pw_reader_number(reader, out_ms, reader->at, used, PW_SHORTEST_MS / 1000.0, PW_LONGEST_MS / 1000.0);
    reader->at += used;
    return true;
}

bool pw_reader_quantity(pw_reader *reader, const pw_term_form *form, double *out)
{
    double value = 0;
    size_t used = 0;
    if (!scan(reader, form->dimension, &value, &used)) {
        return false;
    }
    if (!(value >= form->low && value <= form->high)) {
        return fail_range(reader, used, form->range);
    }
    *out = value == 0 ? 0 : value; /* no -0: it would not print back */
    pw_reader_number(reader, out, reader->at, used, form->low, form->high);
    reader->at += used;
    return true;
}

bool pw_reader_whole(pw_reader *reader, int32_t low, int32_t high, const char *range, int16_t *out)
{
    pw_reader_skip(reader);
    size_t at = reader->at;
    int32_t value = 0;
    while (at < reader->length && reader->text[at] >= '0' && reader->text[at] <= '9') {
        if (value < 100000000) {
            value = value * 10 + (reader->text[at] - '0');
        }
        at++;
    }
    if (at == reader->at || !is_boundary(reader, at)) {
        return pw_reader_fail(reader, PW_WORD, reader->at, NULL, pw_fact_of(range), pw_no_fact());
    }
    if (value < low || value > high) {
        return pw_reader_fail(reader, PW_RANGE, reader->at, NULL, pw_fact_of(range), pw_no_fact());
    }
    *out = (int16_t)value;
    pw_reader_number(reader, out, reader->at, at - reader->at, low, high);
    reader->at = at;
    return true;
}
