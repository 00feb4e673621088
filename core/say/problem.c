/* Problems in words. */
#include "say/problem.h"

#include <string.h>

const char *pw_problem_message(const pw_problem *problem)
{
    const bool doubt = problem->warning && problem->status == PW_CONFLICT; /* it can be so, hardly as it was meant */
    return doubt ? "input.status-doubt" : pw_status_message(problem->status);
}

void pw_say_remark(pw_text *text, const pw_voice *voice, const pw_remark *remark)
{
    const pw_fact fact = pw_remark_fact(remark);
    pw_say_put(text, voice, &fact);
}

void pw_say_found(pw_text *text, const pw_voice *voice, const pw_problem *problem)
{
    if (problem->place.id != NULL) {
        pw_say_remark(text, voice, &problem->place);
        pw_text_put(text, ": ");
    }
    pw_say_remark(text, voice, &problem->found);
}

/* The first letter of a sentence large, and a stop at its end. */
static void put_sentence(pw_text *text, const pw_voice *voice, const pw_fact *fact)
{
    const size_t before = text->length;
    if (before > 0) {
        pw_text_put(text, " ");
    }
    const pw_fact sentence = pw_fact_of("input.sentence", pw_nested(fact));
    const size_t from = text->length;
    pw_say_put(text, voice, &sentence);
    if (text->failed || text->length == from) {
        return;
    }
    const char last = text->data[text->length - 1];
    if (last != '.' && last != '?' && last != '!') {
        pw_text_put(text, ".");
    }
}

void pw_say_problem(pw_text *text, const pw_voice *voice, const pw_problem *problem)
{
    const pw_fact place = pw_remark_fact(&problem->place);
    const pw_fact found = pw_remark_fact(&problem->found);
    const pw_fact expected = pw_remark_fact(&problem->expected);
    const pw_fact hint = pw_remark_fact(&problem->hint);
    const pw_fact whole = pw_fact_of("input.problem", pw_named(problem->path), pw_word(pw_problem_message(problem)),
                                     pw_nested(&place), pw_nested(&found), pw_nested(&expected));
    put_sentence(text, voice, &whole);
    if (hint.id != NULL) {
        put_sentence(text, voice, &hint);
    }
}
