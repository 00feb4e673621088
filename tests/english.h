/* Problems in English words, for tests: each text lives until eight more were made. */
#ifndef TESTS_ENGLISH_H
#define TESTS_ENGLISH_H

#include <stdint.h>
#include <stdio.h>

#include "say/problem.h"

static inline const char *english_fact(pw_fact fact)
{
    static _Alignas(16) uint8_t blocks[8][8192];
    static int next;
    const pw_units units = pw_units_metric();
    const pw_voice voice = {PW_ENGLISH, &units};
    pw_arena arena;
    pw_text text;
    next = (next + 1) % 8;
    pw_arena_init(&arena, blocks[next], sizeof blocks[next]);
    pw_text_init(&text, &arena);
    pw_say_put(&text, &voice, &fact);
    return text.data;
}

/* What stood there, with its place in another file. */
static inline const char *english_found(const pw_problem *problem)
{
    static char words[4096];
    snprintf(words, sizeof words, "%s%s%s", english_fact(pw_remark_fact(&problem->place)),
             problem->place.id != NULL ? ": " : "", english_fact(pw_remark_fact(&problem->found)));
    return words;
}

static inline const char *english(const pw_remark *remark)
{
    return english_fact(pw_remark_fact(remark));
}

#endif
