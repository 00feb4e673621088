/* Candidates by shared words, see candidates.h. */
#include "base/candidates.h"

#include <string.h>

#include "base/status.h"
#include "base/text.h"

enum { MOST_PIECES = 12, PIECE_SIZE = 32, OF_WORD = 5, OF_NUMBER = 2, OF_SIGN = 1 };

/* Words and numbers of a text. */
typedef struct pieces {
    int32_t count;
    char of[MOST_PIECES][PIECE_SIZE];
} pieces;

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool is_letter(char c)
{
    const char low = pw_lower(c);
    return low >= 'a' && low <= 'z';
}

/* Words that say nothing of which one. */
static bool says_nothing(const char *word)
{
    static const char *const words[] = {"mm", "pipe", "pipes", "tube",   "of",   "the",
                                        "a",  "in",   "inch",  "inches", "class"};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (strcmp(word, words[i]) == 0) {
            return true;
        }
    }
    return false;
}

static const char *behind_digits(const char *at)
{
    while (is_digit(*at)) {
        at++;
    }
    return at;
}

/* "3/4" seen from its "/", "1-1/2" or "1 1/2" from behind the whole number; NULL: no fraction. */
static const char *behind_fraction(const char *at)
{
    const char *over = *at == '/' ? at : behind_digits(at + (*at == '-' || *at == ' '));
    return over[0] == '/' && is_digit(over[1]) ? behind_digits(over + 1) : NULL;
}

/* A number with its decimals or its fraction, as sizes in inches have: one piece, not two numbers. */
static const char *behind_number(const char *at)
{
    at = behind_digits(at);
    const char *fraction = *at != '\0' ? behind_fraction(at) : NULL;
    if (fraction != NULL) {
        return fraction;
    }
    return *at == '.' && is_digit(at[1]) ? behind_digits(at + 1) : at;
}

static const char *behind_letters(const char *at)
{
    while (is_letter(*at)) {
        at++;
    }
    return at;
}

static void cut(const char *text, pw_present_name present, pieces *out)
{
    out->count = 0;
    while (*text != '\0' && out->count < MOST_PIECES) {
        const bool digits = is_digit(*text);
        if (!digits && !is_letter(*text)) {
            text++;
            continue;
        }
        char *to = out->of[out->count];
        int32_t length = 0;
        const char *end = digits ? behind_number(text) : behind_letters(text);
        for (; text < end; text++) {
            if (length < PIECE_SIZE - 1) {
                to[length] = *text == ' ' ? '-' : pw_lower(*text);
                length++;
            }
        }
        to[length] = '\0';
        if (present != NULL && !digits) {
            pw_copy(to, PIECE_SIZE, present(to));
        }
        out->count += says_nothing(to) ? 0 : 1;
    }
}

static bool fits(const char *typed, const char *name)
{
    const size_t a = strlen(typed), b = strlen(name), least = a < b ? a : b;
    if (is_digit(typed[0]) || is_digit(name[0])) {
        return strcmp(typed, name) == 0;
    }
    const char *one[1] = {name};
    const bool slip = a >= 4 && a <= 5 && a <= b + 1 && b <= a + 1 && pw_near_match(typed, one, 1) >= 0;
    return slip || (least >= 2 && memcmp(typed, name, least) == 0);
}

/* DN, PN and SDR say what a number is. */
static int32_t weight(const char *word)
{
    static const char *const signs[] = {"dn", "pn", "sdr"};
    for (size_t i = 0; i < sizeof signs / sizeof signs[0]; i++) {
        if (strcmp(word, signs[i]) == 0) {
            return OF_SIGN;
        }
    }
    return is_digit(word[0]) ? OF_NUMBER : OF_WORD;
}

/* all: each piece of what was typed is in the name. */
static int32_t score_of(const pieces *typed, const pieces *name, bool *all)
{
    int32_t score = 0;
    *all = typed->count > 0;
    for (int32_t i = 0; i < typed->count; i++) {
        bool found = false;
        for (int32_t k = 0; k < name->count && !found; k++) {
            found = fits(typed->of[i], name->of[k]);
        }
        score += found ? weight(typed->of[i]) : 0;
        *all = *all && found;
    }
    return score;
}

/* The nearest by its letters, -1 none; among equals the one with the longest common beginning. */
static int32_t nearest(const char *typed, int32_t count, pw_name_at name_at)
{
    int32_t found = -1;
    size_t most = 0;
    for (int32_t i = 0; i < count; i++) {
        char room[PW_CANDIDATE_ROOM];
        const char *one[1] = {name_at(i, room)};
        if (pw_near_match(typed, one, 1) < 0) {
            continue;
        }
        size_t same = 0;
        while (typed[same] != '\0' && typed[same] == one[0][same]) {
            same++;
        }
        if (found < 0 || same > most) {
            found = i;
            most = same;
        }
    }
    return found;
}

pw_fact pw_candidates_fact(const char *typed, int32_t count, pw_name_at name_at, pw_present_name present, char *words)
{
    char room[PW_CANDIDATE_ROOM];
    pieces asked, name;
    int32_t best = 0, near_score = -1, last = -1, listed = 0;
    bool all = false, any_all = false;
    const int32_t near = strchr(typed, '/') == NULL ? nearest(typed, count, name_at) : -1; /* 3/4 is no slip for 35 */
    cut(typed, present, &asked);
    for (int32_t i = 0; i < count; i++) {
        cut(name_at(i, room), NULL, &name);
        const int32_t score = score_of(&asked, &name, &all);
        any_all = any_all || all;
        best = score > best ? score : best;
        near_score = i == near ? score : near_score;
    }
    if (near >= 0 && !any_all && near_score >= best) {
        pw_copy(words, PW_WORDS_SIZE, name_at(near, room));
        return pw_fact_of("input.did-you-mean", pw_named(words));
    }
    pw_choices choices = {{0}, 0, 0};
    for (int32_t i = 0; i < count && best > 0; i++) {
        const char *one = name_at(i, room);
        cut(one, NULL, &name);
        if (score_of(&asked, &name, &all) == best) {
            pw_choices_add(&choices, one);
            last = i;
            listed++;
        }
    }
    if (listed == 0) {
        return pw_no_fact();
    }
    if (listed == 1) {
        pw_copy(words, PW_WORDS_SIZE, name_at(last, room));
        return pw_fact_of("input.did-you-mean", pw_named(words));
    }
    pw_copy(words, PW_WORDS_SIZE, choices.names);
    return pw_fact_of("input.candidates", pw_named(words), pw_count(choices.more));
}
