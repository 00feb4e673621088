/* Facts into words: templates filled with values. */
#include "say/say.h"

#include <string.h>

#include "base/num.h"
#include "say/catalogue.h"

/* ---- catalogues ---- */

typedef struct area_row {
    const char *name;
    const say_catalogue *in[PW_LANGUAGE_COUNT];
} area_row;

static const area_row areas[] = {
#define SAY_X(area) {#area, {&say_en_##area, &say_de_##area}},
    SAY_AREAS(SAY_X)
#undef SAY_X
};

static const char *const language_ids[PW_LANGUAGE_COUNT] = {[PW_ENGLISH] = "en", [PW_GERMAN] = "de"};

bool pw_language_read(const char *text, pw_language *out)
{
    for (int32_t i = 0; i < PW_LANGUAGE_COUNT; i++) {
        if (strcmp(text, language_ids[i]) == 0) {
            *out = (pw_language)i;
            return true;
        }
    }
    return false;
}

const char *pw_language_id(pw_language language)
{
    return language_ids[language];
}

static const char *row_of(const say_catalogue *catalogue, const char *id)
{
    int32_t low = 0, high = catalogue->count;
    while (low < high) {
        const int32_t middle = low + (high - low) / 2;
        const int32_t order = strcmp(catalogue->rows[middle].id, id);
        if (order == 0) {
            return catalogue->rows[middle].words;
        }
        if (order < 0) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return NULL;
}

static const char *template_of(pw_language language, const char *id)
{
    const char *point = strchr(id, '.');
    const size_t length = point != NULL ? (size_t)(point - id) : 0;
    for (size_t i = 0; i < sizeof areas / sizeof areas[0]; i++) {
        if (strlen(areas[i].name) == length && memcmp(areas[i].name, id, length) == 0) {
            return row_of(areas[i].in[language], id);
        }
    }
    return NULL;
}

const char *pw_say_word(const pw_voice *voice, const char *id)
{
    const char *words = template_of(voice->language, id);
    return words != NULL ? words : id;
}

const char *pw_say_row(const pw_voice *voice, const char *text)
{
    const char *words = NULL;
    if (voice->language == PW_GERMAN) {
        words = row_of(&say_german_rows, text);
        words = words != NULL ? words : row_of(&say_german_help, text);
        words = words != NULL ? words : row_of(&say_german_formulas, text);
        words = words != NULL ? words : row_of(&say_german_inputs, text);
    }
    return words != NULL ? words : text;
}

/* ---- values ---- */

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* The points of numbers written since `from` become commas. */
static void put_commas(pw_text *text, const pw_voice *voice, size_t from)
{
    if (voice->language != PW_GERMAN || text->failed) {
        return;
    }
    for (size_t i = from; i + 1 < text->length; i++) {
        if (text->data[i] == '.' && is_digit(text->data[i + 1])) {
            text->data[i] = ',';
        }
    }
}

/* The sheet writes degC, which no German does. */
static void put_degrees(pw_text *text, const pw_voice *voice, size_t from)
{
    static const char unit[] = "degC";
    const size_t length = sizeof unit - 1;
    if (voice->language == PW_GERMAN && !text->failed && text->length >= from + length &&
        strcmp(text->data + text->length - length, unit) == 0) {
        text->length -= length;
        text->data[text->length] = '\0';
        pw_text_put(text, "\xC2\xB0"
                          "C");
    }
}

/* Units are symbols, the same in every language, but for "per": 15 per hour, 14 L/min per m. */
static void put_unit_words(pw_text *text, const pw_voice *voice, pw_dimension dimension, size_t from)
{
    static const char per[] = "per ", hour[] = "hour";
    const char *at = text->failed ? NULL : strstr(text->data + from, per);
    if (voice->language == PW_ENGLISH || at == NULL ||
        (dimension != PW_DIM_RATE && dimension != PW_DIM_SPECIFIC_CAPACITY)) {
        return;
    }
    char below[16];
    pw_copy(below, sizeof below, at + strlen(per));
    text->length = (size_t)(at - text->data);
    text->data[text->length] = '\0';
    pw_text_puts(text, pw_say_word(voice, "base.per"), " ",
                 strcmp(below, hour) == 0 ? pw_say_word(voice, "base.hour") : below, NULL);
}

void pw_say_amount(pw_text *text, const pw_voice *voice, pw_dimension dimension, double si)
{
    if (!pw_is_finite(si)) {
        pw_text_put(text, pw_say_word(voice, "base.unknown"));
        return;
    }
    const size_t from = text->length;
    pw_quantity_put(text, voice->units, dimension, si);
    put_unit_words(text, voice, dimension, from);
    put_commas(text, voice, from);
}

void pw_say_number(pw_text *text, const pw_voice *voice, double value, int32_t digits)
{
    if (!pw_is_finite(value)) {
        pw_text_put(text, pw_say_word(voice, "base.unknown"));
        return;
    }
    const size_t from = text->length;
    pw_text_digits(text, value, digits);
    put_commas(text, voice, from);
}

static void put_joined(pw_text *text, const pw_voice *voice, const pw_fact *facts, int32_t count, pw_join join)
{
    const char *last = join == PW_JOIN_AND  ? pw_say_word(voice, "base.and")
                       : join == PW_JOIN_OR ? pw_say_word(voice, "base.or")
                                            : ", ";
    if (count < 0) {
        text->failed = true;
    }
    for (int32_t i = 0; i < count; i++) {
        if (i > 0 && join == PW_JOIN_SPACE) {
            pw_text_put(text, " ");
        } else if (i > 0 && join != PW_JOIN_NOTHING) {
            pw_text_put(text, i + 1 < count ? ", " : last);
        }
        pw_say_put(text, voice, &facts[i]);
    }
}

void pw_say_list(pw_text *text, const pw_voice *voice, const pw_facts *list, pw_join join)
{
    put_joined(text, voice, list->items, list->failed ? -1 : list->count, join);
}

static void put_weekday(pw_text *text, const pw_voice *voice, int64_t weekday)
{
    static const char *const ids[7] = {"base.monday", "base.tuesday",  "base.wednesday", "base.thursday",
                                       "base.friday", "base.saturday", "base.sunday"};
    pw_text_put(text, pw_say_word(voice, ids[(weekday % 7 + 7) % 7]));
}

static void put_digits(pw_text *text, int64_t value, int32_t digits, const char *after)
{
    for (int64_t least = 10; digits > 1; digits--, least *= 10) {
        pw_text_put(text, value < least ? "0" : "");
    }
    pw_text_int(text, value);
    pw_text_put(text, after);
}

/* 06:30:00 */
static void put_clock(pw_text *text, int64_t seconds)
{
    put_digits(text, seconds / 3600, 2, ":");
    put_digits(text, seconds / 60 % 60, 2, ":");
    put_digits(text, seconds % 60, 2, "");
}

static void put_value(pw_text *text, const pw_voice *voice, const pw_value *value)
{
    const size_t from = text->length;
    switch ((pw_value_kind)value->kind) {
    case PW_VALUE_QUANTITY: pw_say_amount(text, voice, (pw_dimension)value->dimension, value->si); break;
    case PW_VALUE_HEAD:
        pw_head_put(text, voice->units, value->si);
        put_commas(text, voice, from);
        break;
    case PW_VALUE_EXACT:
        pw_quantity_exact(text, (pw_dimension)value->dimension, value->si);
        put_unit_words(text, voice, (pw_dimension)value->dimension, from);
        put_commas(text, voice, from);
        put_degrees(text, voice, from);
        break;
    case PW_VALUE_SPAN: pw_text_span(text, (uint32_t)value->whole); break;
    case PW_VALUE_COUNT: pw_text_int(text, value->whole); break;
    case PW_VALUE_NUMBER: pw_say_number(text, voice, value->si, value->join); break;
    case PW_VALUE_NAME: pw_text_put(text, value->text); break;
    case PW_VALUE_WORD: pw_text_put(text, pw_say_word(voice, value->text)); break;
    case PW_VALUE_ROW: pw_text_put(text, pw_say_row(voice, value->text)); break;
    case PW_VALUE_FACT:
        text->failed = text->failed || value->facts == NULL;
        if (value->facts != NULL) {
            pw_say_put(text, voice, value->facts);
        }
        break;
    case PW_VALUE_LIST: put_joined(text, voice, value->facts, value->count, (pw_join)value->join); break;
    case PW_VALUE_CLOCK: pw_time_of_day_put(text, (uint32_t)value->whole); break;
    case PW_VALUE_CLOCK_SECONDS: put_clock(text, value->whole); break;
    case PW_VALUE_WEEKDAY: put_weekday(text, voice, value->whole); break;
    case PW_VALUE_TRUTH:
    case PW_VALUE_IN_US_UNITS:
    case PW_VALUE_END: break;
    }
}

/* ---- templates ---- */

static bool is_there(const pw_voice *voice, const pw_value *value)
{
    switch ((pw_value_kind)value->kind) {
    case PW_VALUE_END: return false;
    case PW_VALUE_COUNT:
    case PW_VALUE_TRUTH: return value->whole != 0;
    case PW_VALUE_ROW:
    case PW_VALUE_NAME: return value->text[0] != '\0';
    case PW_VALUE_LIST: return value->count > 0;
    case PW_VALUE_IN_US_UNITS: return voice->units->us;
    case PW_VALUE_FACT: return value->facts == NULL || value->facts->id != NULL;
    default: return true;
    }
}

/* First letter of what was written since `from` as a capital one: ASCII and a-umlaut to u-umlaut (U+00E4 .. U+00FC). */
static void put_capital(pw_text *text, size_t from)
{
    if (text->failed || from >= text->length) {
        return;
    }
    char *at = text->data + from;
    if (*at >= 'a' && *at <= 'z') {
        *at = (char)(*at - 'a' + 'A');
    } else if ((unsigned char)at[0] == 0xC3 && (unsigned char)at[1] >= 0xA0 && (unsigned char)at[1] <= 0xBE) {
        at[1] = (char)((unsigned char)at[1] - 0x20);
    }
}

/* Where the place that begins at `open` ends: its closing brace. */
static size_t closing(const char *words, size_t open, size_t end)
{
    int32_t depth = 0;
    for (size_t i = open; i < end; i++) {
        depth += words[i] == '{' ? 1 : words[i] == '}' ? -1 : 0;
        if (depth == 0) {
            return i;
        }
    }
    return end;
}

/* The bar between two wordings, `end` when there is only one. */
static size_t bar(const char *words, size_t from, size_t end)
{
    int32_t depth = 0;
    for (size_t i = from; i < end; i++) {
        depth += words[i] == '{' ? 1 : words[i] == '}' ? -1 : 0;
        if (depth == 0 && words[i] == '|') {
            return i;
        }
    }
    return end;
}

enum { MOST_NESTING = 3 }; /* of places in wordings; tools/tidy and the unit test see every template */

static void put_template(pw_text *text, const pw_voice *voice, const pw_fact *fact, const char *words, size_t from,
                         size_t end, int32_t depth)
{
    while (from < end && depth <= MOST_NESTING) {
        const char *open = (const char *)memchr(words + from, '{', end - from);
        const size_t at = open != NULL ? (size_t)(open - words) : end;
        pw_text_put_n(text, words + from, at - from);
        if (at == end) {
            return;
        }
        const size_t close = closing(words, at, end);
        const bool capital = words[at + 1] == '^';
        const size_t digit = at + (capital ? 2 : 1);
        const pw_value *value = &fact->values[(words[digit] - '0') & (PW_FACT_VALUES - 1)];
        const char sort = words[digit + 1];
        if (sort == ':' || sort == '?') {
            const bool first =
                sort == ':' ? value->kind == PW_VALUE_COUNT && value->whole == 1 : is_there(voice, value);
            const size_t middle = bar(words, digit + 2, close);
            put_template(text, voice, fact, words,
                         first            ? digit + 2
                         : middle < close ? middle + 1
                                          : close,
                         first ? middle : close, depth + 1);
        } else {
            const size_t written = text->length;
            put_value(text, voice, value);
            if (capital) {
                put_capital(text, written);
            }
        }
        from = close + 1;
    }
}

void say_template_put(pw_text *text, const pw_voice *voice, const pw_fact *fact, const char *words)
{
    put_template(text, voice, fact, words, 0, strlen(words), 0);
}

void pw_say_put(pw_text *text, const pw_voice *voice, const pw_fact *fact)
{
    if (fact->id == NULL) {
        return;
    }
    const char *words = template_of(voice->language, fact->id);
    if (words == NULL) {
        pw_text_puts(text, "[", fact->id, "]", (const char *)NULL);
        return;
    }
    say_template_put(text, voice, fact, words);
}

void pw_say_lines(pw_text *text, const pw_voice *voice, const pw_facts *list)
{
    text->failed = text->failed || list->failed;
    for (int32_t i = 0; i < list->count; i++) {
        pw_say_put(text, voice, &list->items[i]);
        pw_text_put(text, "\n");
    }
}

const char *pw_say_words(pw_arena *arena, const pw_voice *voice, const pw_fact *fact)
{
    pw_text text;
    pw_text_init(&text, arena);
    pw_say_put(&text, voice, fact);
    return text.failed ? NULL : text.data;
}
