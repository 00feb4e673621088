/* Say: facts into words, in a language and in units. The only folder of the core that holds prose.
 *
 * Each area has a catalogue in each language (en_prove.c, de_prove.c): rows of id and template, sorted. A new area
 * is two files and its name in catalogue.h; tools/words.py sorts and wraps rows. A template is plain text with places
 * for the fact's values:
 *   {0}           the value 0
 *   {^0}          the same, its first letter a capital one
 *   {0:one|many}  the first wording when value 0 is 1, else the second
 *   {0?yes|no}    the first wording when value 0 is there, true, and not 0 or ""; else the second, which may be missing
 * Wordings may hold places themselves. German cases and genders get ids of their own.
 * Both languages use the same values; tools/tidy checks that, that rows are sorted, that each id of the sources has its
 * row and each row its use.
 */
#ifndef PW_SAY_SAY_H
#define PW_SAY_SAY_H

#include "base/fact.h"
#include "base/units.h"

typedef enum pw_language { PW_ENGLISH, PW_GERMAN, PW_LANGUAGE_COUNT } pw_language;

typedef struct pw_voice {
    pw_language language;
    const pw_units *units;
} pw_voice;

/* "en" or "de"; false: it is neither, *out is untouched. */
bool pw_language_read(const char *text, pw_language *out);
const char *pw_language_id(pw_language language);

/* A fact with no id says nothing. An id that no catalogue holds is told in brackets, so that it is seen. */
void pw_say_put(pw_text *text, const pw_voice *voice, const pw_fact *fact);
/* Several facts, joined. */
void pw_say_list(pw_text *text, const pw_voice *voice, const pw_facts *list, pw_join join);
/* One line each, with its line break. */
void pw_say_lines(pw_text *text, const pw_voice *voice, const pw_facts *list);
/* The same as a text of its own in the arena; NULL when that is used up. */
const char *pw_say_words(pw_arena *arena, const pw_voice *voice, const pw_fact *fact);
/* Words without values: titles, headings, names of columns. Never NULL. */
const char *pw_say_word(const pw_voice *voice, const char *id);
/* A text that stands in a row of a table in English (help of a key, reason of a default, a formula's title), in the
 * language asked for; itself where that has no other words for it, as for a formula. */
const char *pw_say_row(const pw_voice *voice, const char *text);

/* Values by themselves. A German number has a decimal comma. */
void pw_say_amount(pw_text *text, const pw_voice *voice, pw_dimension dimension, double si);
void pw_say_number(pw_text *text, const pw_voice *voice, double value, int32_t digits);

#endif
