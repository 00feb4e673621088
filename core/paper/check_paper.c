/* What reading a site sheet found, as a paper: problems with their places, then what was understood. */
#include "paper/paper.h"
#include "paper/say.h"
#include "say/problem.h"

/* "At pump.curve[2].head (line 12, column 5): this value ...: found ..., expected .... Hint" */
static const char *problem_words(pw_document *document, const pw_voice *voice, const pw_problem *problem)
{
    const pw_fact place =
        pw_fact_of("paper.check-place", pw_named(problem->path), pw_count(problem->line), pw_count(problem->column));
    const pw_fact status = pw_fact_of(pw_problem_message(problem));
    const pw_fact file = pw_remark_fact(&problem->place), found = pw_remark_fact(&problem->found);
    const pw_fact expected = pw_remark_fact(&problem->expected), hint = pw_remark_fact(&problem->hint);
    return say_fact(document->arena, voice,
                    pw_fact_of("paper.check-problem", pw_nested(&place), pw_nested(&status), pw_nested(&file),
                               pw_nested(&found), pw_nested(&expected), pw_nested(&hint)));
}

static void put_problems(pw_document *document, const pw_voice *voice, const pw_problems *problems, bool warnings)
{
    for (int32_t i = 0; i < problems->count; i++) {
        const pw_problem *problem = &problems->items[i];
        if (problem->warning != warnings) {
            continue;
        }
        pw_document_add(document, PW_BLOCK_NOTE, warnings ? PW_TONE_CAUTION : PW_TONE_BAD,
                        problem_words(document, voice, problem));
    }
}

static void put_headline(pw_document *document, const pw_voice *voice, const pw_problems *problems, bool usable)
{
    const int32_t errors = problems->errors, all = problems->count + problems->lost;
    say_block(document, voice, PW_BLOCK_LEAD, PW_TONE_PLAIN,
              all == 0
                  ? pw_fact_of(usable ? "paper.check-nothing" : "paper.check-not-yet")
                  : pw_fact_of("paper.check-headline", pw_truth(usable), pw_count(errors), pw_count(all - errors)));
    if (problems->lost > 0) {
        say_block(document, voice, PW_BLOCK_WORDS, PW_TONE_PLAIN,
                  pw_fact_of("paper.check-lost", pw_count(problems->lost)));
    }
}

/* "15 in 1 h" is 14 whole runs: the start that reaches the number is the one that is locked out. */
static void put_limits(pw_document *document, const pw_voice *voice, const pw_settings *settings)
{
    for (int32_t i = 0; i < pw_settings_count(settings); i++) {
        int32_t starts = 0;
        double window_s = 0.0;
        double running_s = 0.0;
        if (pw_settings_kind(settings, i) == PW_SENTENCE_LOCK &&
            pw_settings_limit(settings, i, &starts, &window_s, &running_s) && starts > 1) {
            say_block(document, voice, PW_BLOCK_WORDS, PW_TONE_PLAIN,
                      pw_fact_of("paper.check-whole-runs", pw_count(i + 1), pw_count(starts - 1),
                                 pw_quantity(PW_DIM_TIME, window_s), pw_count(starts)));
        }
    }
}

pw_status pw_paper_check(pw_arena *arena, const char *name, const pw_site *site, const pw_settings *settings,
                         const pw_problems *problems, const pw_voice *voice, pw_document **out)
{
    *out = NULL;
    pw_document *document =
        say_new_paper(arena, voice, "paper.check", site != NULL ? site->name : name, site != NULL && site->invented);
    if (document == NULL) {
        return PW_MEMORY;
    }
    put_headline(document, voice, problems, site != NULL && settings != NULL && problems->errors == 0);
    put_problems(document, voice, problems, false);
    put_problems(document, voice, problems, true);
    if (site != NULL) {
        (void)say_invented(document, voice, site);
        say_heading(document, voice, 2, "paper.check-site");
        say_site(document, voice, site);
    }
    if (settings != NULL) {
        say_heading(document, voice, 2, "paper.check-settings");
        say_settings(document, voice, settings);
        put_limits(document, voice, settings);
    }
    if (site != NULL) {
        say_defaults(document, voice, site);
    }
    if (document->failed) {
        return PW_MEMORY;
    }
    *out = document;
    return PW_OK;
}
