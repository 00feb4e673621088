/* Which words of an order a person swaps: the limits of a start and a stop that belong together. */
#include "fault/fault.h"

#include <string.h>

/* Where `word` stands as a whole in text from `from` on; the text's length when it does not. */
static size_t place_of(const char *text, size_t from, const char *word)
{
    const size_t length = strlen(word);
    for (size_t at = from; text[at] != '\0'; at++) {
        if ((at == 0 || text[at - 1] == ' ') && pw_begins(text + at, word)) {
            const char after = text[at + length];
            if (after == '\0' || after == ' ' || after == '.') {
                return at;
            }
        }
    }
    return from + strlen(text + from);
}

/* How a pair is told in sentences. */
typedef struct pair_words {
    const char *kind, *start, *stop;
    bool quantity; /* what is swapped: the quantities, else the names */
} pair_words;

/* A term in a sentence: the words between its kind and its condition, and what would be exchanged. */
typedef struct term {
    size_t name, name_length;
    pw_fault_words words;
} term;

static size_t before_blanks(const char *text, size_t from, size_t to)
{
    while (to > from && text[to - 1] == ' ') {
        to--;
    }
    return to;
}

/* The first "KIND [name] CONDITION" behind `act`; a quantity follows the condition of pressures and levels. A
 * condition that stands behind its opposite belongs to another term. */
static bool term_of(const char *text, const char *act, const pair_words *words, bool first, term *out)
{
    const char *condition = first ? words->start : words->stop;
    const char *other = first ? words->stop : words->start;
    size_t kind = place_of(text, place_of(text, 0, act), words->kind);
    for (; text[kind] != '\0'; kind = place_of(text, kind + 1, words->kind)) {
        const size_t at = place_of(text, kind, condition);
        if (text[at] == '\0' || place_of(text, kind, other) < at) {
            continue;
        }
        out->name = kind + strlen(words->kind);
        while (text[out->name] == ' ') {
            out->name++;
        }
        out->name_length = before_blanks(text, out->name, at) - out->name;
        out->words = (pw_fault_words){out->name, out->name_length};
        if (words->quantity) {
            double si;
            pw_dimension dimension;
            size_t from = at + strlen(condition);
            while (text[from] == ' ') {
                from++;
            }
            out->words = (pw_fault_words){from, pw_quantity_scan(text + from, &si, &dimension)};
        }
        return out->words.length > 0;
    }
    return false;
}

/* A name may be left out where there is one sensor of the kind. */
static bool same_sensor(const char *a, const term *in_a, const char *b, const term *in_b)
{
    const bool bare = in_a->name_length == 0 || in_b->name_length == 0;
    return bare ||
           (in_a->name_length == in_b->name_length && strncmp(a + in_a->name, b + in_b->name, in_a->name_length) == 0);
}

/* A quantity belongs to the two limits of one sensor, a probe's name to one of two. */
static bool find_pair(const pw_site *site, const pair_words *words, pw_fault_swap *out)
{
    for (int32_t i = 0; i < site->sentence_count; i++) {
        term in, off;
        if (!term_of(site->sentences[i], "start when", words, true, &in)) {
            continue;
        }
        for (int32_t k = 0; k < site->sentence_count; k++) {
            if (term_of(site->sentences[k], "stop when", words, false, &off) &&
                same_sensor(site->sentences[i], &in, site->sentences[k], &off) == words->quantity) {
                *out = (pw_fault_swap){i, k, in.words, off.words};
                return true;
            }
        }
    }
    return false;
}

bool pw_fault_swap_find(const pw_site *site, pw_fault_swap *out)
{
    static const pair_words pairs[] = {{"pressure", "below", "above", true},
                                       {"level", "below", "above", true},
                                       {"level", "above", "below", true},
                                       {"probe", "dry", "wet", false},
                                       {"probe", "wet", "dry", false}};
    for (size_t p = 0; p < sizeof pairs / sizeof pairs[0]; p++) {
        if (find_pair(site, &pairs[p], out)) {
            return true;
        }
    }
    return false;
}
