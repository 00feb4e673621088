/* What the core found in English words, for tests that read it. */
#ifndef PW_TEST_TESTS_TOLD_H
#define PW_TEST_TESTS_TOLD_H

#include "say/say.h"

static const pw_units told_units = {PW_SHOW_KPA, PW_SHOW_LPM, false};
static const pw_voice told_voice = {PW_ENGLISH, &told_units};

static inline const char *told_fact(pw_arena *arena, pw_fact fact)
{
    return pw_say_words(arena, &told_voice, &fact);
}

/* One paragraph. */
static inline const char *told_facts(pw_arena *arena, const pw_facts *facts)
{
    pw_text text;
    pw_text_init(&text, arena);
    pw_say_list(&text, &told_voice, facts, PW_JOIN_SPACE);
    return text.failed ? NULL : text.data;
}

/* One line each. */
static inline const char *told_lines(pw_arena *arena, const pw_facts *facts)
{
    pw_text text;
    pw_text_init(&text, arena);
    pw_say_lines(&text, &told_voice, facts);
    return text.failed ? NULL : text.data;
}

#endif
