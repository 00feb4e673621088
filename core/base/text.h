/* Text under construction, in an arena. After the memory ran out, further writes are ignored and `failed` stays
 * set: check once at the end. Never prints NaN: see pw_text_number.
 */
#ifndef PW_BASE_TEXT_H
#define PW_BASE_TEXT_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"

typedef struct pw_text {
    pw_arena *arena;
    char *data; /* NUL-terminated */
    size_t length, capacity;
    bool failed;
} pw_text;

void pw_text_init(pw_text *text, pw_arena *arena);
void pw_text_put(pw_text *text, const char *words);
void pw_text_put_all(pw_text *text, va_list pieces); /* each a const char *, NULL after the last */
void pw_text_put_n(pw_text *text, const char *bytes, size_t length);
/* Several pieces in a row; the list ends with NULL: pw_text_puts(&t, "a", name, "b", NULL). */
void pw_text_puts(pw_text *text, ...);
void pw_text_int(pw_text *text, int64_t value);
/* Shortest text that reads back as the same double ("0.1", "1e-9"). */
void pw_text_number(pw_text *text, double value);
/* Fixed number of digits after the point, rounded half to even of the exact value ("12.50"). decimals 0 to 12. */
void pw_text_fixed(pw_text *text, double value, int decimals);
/* significant digits without exponent where sensible and without trailing zeros ("12.5", "0.0032"). digits 1 to 17. */
void pw_text_digits(pw_text *text, double value, int digits);
/* A whole number of the largest unit that divides it: "2 h", "90 min", "5 s", "1500 ms"; nothing is lost. */
void pw_text_span(pw_text *text, uint32_t span_ms);
/* Escaped for HTML text and double-quoted attributes. */
void pw_text_html(pw_text *text, const char *words);

/* A capital letter of ASCII as its small one; anything else as it is. */
static inline char pw_lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

/* Whether `word`, in small letters, stands at the beginning of text, whatever the case there. */
static inline bool pw_begins(const char *text, const char *word)
{
    size_t i = 0;
    while (word[i] != '\0' && pw_lower(text[i]) == word[i]) {
        i++;
    }
    return word[i] == '\0';
}

#endif
