/* Names compared without case, spaces, hyphens and the like. Private to this folder. */
#ifndef PW_FORMULA_WORDS_H
#define PW_FORMULA_WORDS_H

#include <stdbool.h>

enum { PW_WORDS_KEY = 64 };

/* Letters (lower case), digits, '.' and '/' of a text; false when it does not fit or text is NULL. "non-return Valve"
 * and "Non return valve" give the same key. */
bool pw_words_key(const char *text, char out[PW_WORDS_KEY]);
/* wanted equals known, or known with an s behind it or behind its first word ("elbows 90"). */
bool pw_words_equal_or_plural(const char *wanted, const char *known);

#endif
