/* Names out of a long list that share words with what a person typed: "PVC 50", "DN40", "leak".
 */
#ifndef PW_BASE_CANDIDATES_H
#define PW_BASE_CANDIDATES_H

#include <stdbool.h>
#include <stdint.h>

#include "base/fact.h"

enum { PW_CANDIDATE_ROOM = 64 };
/* Name i of the list: in room, or text that outlives the call. */
typedef const char *(*pw_name_at)(int32_t i, char room[PW_CANDIDATE_ROOM]);
/* Another word for what the names say ("poly" for "PE"); the same when there is none. NULL: no word is changed. */
typedef const char *(*pw_present_name)(const char *word);

/* How to put it right: "did you mean X?" for one name, "one of these? X, Y and 7 more" for several that fit as well, or
 * no fact. Words and numbers are told apart at blanks, signs and between letters and digits; letters count more than
 * numbers, and a word fits when one begins with the other (two letters at least) or, of four and five letters, is
 * spelt nearly alike. A name that is spelt nearly so goes before those that merely share a word. The names are kept in
 * words (PW_WORDS_SIZE bytes), which the fact points to. */
pw_fact pw_candidates_fact(const char *typed, int32_t count, pw_name_at name_at, pw_present_name present, char *words);

#endif
