/* Text under construction. */
#include "base/text.h"

#include <stdarg.h>
#include <string.h>

#include "base/num.h"

void pw_text_init(pw_text *text, pw_arena *arena)
{
    text->arena = arena;
    text->data = ""; /* never written to: its capacity is 0 */
    text->length = 0;
    text->capacity = 0;
    text->failed = false;
}

/* Room for `more` bytes and the NUL. The last block of the arena grows where it is; any other moves and doubles. */
static bool room_for(pw_text *text, size_t more)
{
    if (text->failed) {
        return false;
    }
    if (more < text->capacity - text->length) {
        return true;
    }
    pw_arena *arena = text->arena;
    if (more > SIZE_MAX / 4 || text->capacity > SIZE_MAX / 4) {
        text->failed = true;
        return false;
    }
    bool last = text->capacity > 0 && (uint8_t *)text->data + text->capacity == arena->base + arena->used;
    size_t least = text->length + more + 1;
    size_t wanted = text->capacity * 2 > least ? text->capacity * 2 : least;
    wanted = (wanted + 63) / 64 * 64;
    if (last) {
        size_t extra = wanted - text->capacity;
        if (!pw_alloc(arena, extra, 1)) {
            extra = (least - text->capacity + 15) / 16 * 16;
            if (!pw_alloc(arena, extra, 1)) {
                text->failed = true;
                return false;
            }
        }
        text->capacity += extra;
        return true;
    }
    char *data = (char *)pw_alloc(arena, wanted, 1);
    if (!data) {
        text->failed = true;
        return false;
    }
    if (text->length > 0) {
        memcpy(data, text->data, text->length);
    }
    text->data = data;
    text->capacity = wanted;
    return true;
}

void pw_text_put_n(pw_text *text, const char *bytes, size_t length)
{
    if (length == 0 || !room_for(text, length)) {
        return;
    }
    memcpy(text->data + text->length, bytes, length);
    text->length += length;
    text->data[text->length] = '\0';
}

void pw_text_put_all(pw_text *text, va_list pieces)
{
    for (const char *piece = va_arg(pieces, const char *); piece != NULL; piece = va_arg(pieces, const char *)) {
        pw_text_put(text, piece);
    }
}

void pw_text_put(pw_text *text, const char *words)
{
    if (words) {
        pw_text_put_n(text, words, strlen(words));
    }
}

void pw_text_puts(pw_text *text, ...)
{
    va_list list;
    va_start(list, text);
    const char *words = va_arg(list, const char *);
    while (words) {
        pw_text_put(text, words);
        words = va_arg(list, const char *);
    }
    va_end(list);
}

void pw_text_int(pw_text *text, int64_t value)
{
    char digits[24];
    size_t at = sizeof digits;
    uint64_t left = value < 0 ? 0 - (uint64_t)value : (uint64_t)value;
    do {
        at--;
        digits[at] = (char)('0' + left % 10);
        left /= 10;
    } while (left > 0);
    if (value < 0) {
        at--;
        digits[at] = '-';
    }
    pw_text_put_n(text, digits + at, sizeof digits - at);
}

void pw_text_number(pw_text *text, double value)
{
    char out[32];
    size_t length = pw_num_text(value, out);
    pw_text_put_n(text, out, length);
}

void pw_text_fixed(pw_text *text, double value, int decimals)
{
    char out[352];
    size_t length = pw_num_fixed(value, decimals, out);
    pw_text_put_n(text, out, length);
}

void pw_text_digits(pw_text *text, double value, int digits)
{
    char out[40];
    size_t length = pw_num_digits(value, digits, out);
    pw_text_put_n(text, out, length);
}

void pw_text_span(pw_text *text, uint32_t span_ms)
{
    static const struct {
        uint32_t ms;
        const char *unit;
    } units[] = {{3600000, " h"}, {60000, " min"}, {1000, " s"}, {1, " ms"}};
    int32_t i = 0;
    while (span_ms % units[i].ms != 0) {
        i++;
    }
    pw_text_int(text, span_ms / units[i].ms);
    pw_text_put(text, units[i].unit);
}

void pw_text_html(pw_text *text, const char *words)
{
    for (const char *at = words; at && *at; at++) {
        switch (*at) {
        case '&': pw_text_put(text, "&amp;"); break;
        case '<': pw_text_put(text, "&lt;"); break;
        case '>': pw_text_put(text, "&gt;"); break;
        case '"': pw_text_put(text, "&quot;"); break;
        case '\'': pw_text_put(text, "&#39;"); break;
        default: pw_text_put_n(text, at, 1); break;
        }
    }
}
