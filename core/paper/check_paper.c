/* What reading a site sheet found, as a paper: problems with their places, then what was understood. */
#include "paper/paper.h"
#include "paper/say.h"
#include "say/problem.h"

/* "pump.curve[2].head (line 12, column 5): this value ...: found ..., expected .... Hint" */
static const char *problem_words(pw_document *document, const pw_voice *voice, const pw_problem *problem)
{
    pw_text text;
    pw_text_init(&text, document->arena);
    pw_text_put(&text, problem->path[0] != '\0' ? problem->path : "the sheet");
    if (problem->line > 0) {
        pw_text_put(&text, ", line ");
        pw_text_int(&text, problem->line);
    }
    if (problem->column > 0) {
        pw_text_put(&text, ", column ");
        pw_text_int(&text, problem->column);
    }
    pw_text_puts(&text, ": ", pw_say_word(voice, pw_status_message(problem->status)), NULL);
    if (problem->found.id != NULL)
        pw_text_put(&text, "; found ");
    pw_say_found(&text, voice, problem);
    if (problem->expected.id != NULL)
        pw_text_put(&text, "; expected ");
    pw_say_remark(&text, voice, &problem->expected);
    pw_text_put(&text, ".");
    if (problem->hint.id != NULL)
        pw_text_put(&text, " ");
    pw_say_remark(&text, voice, &problem->hint);
    return say_done(&text);
}

static void put_problems(pw_document *document, const pw_voice *voice, const pw_problems *problems, bool warnings)
{
    for (int32_t i = 0; i < problems->count; i++) {
        const pw_problem *problem = &problems->items[i];
        if (problem->warning != warnings)
            continue;
        pw_document_add(document, PW_BLOCK_NOTE, warnings ? PW_TONE_CAUTION : PW_TONE_BAD,
                        problem_words(document, voice, problem));
    }
}

static void put_headline(pw_document *document, const pw_problems *problems, bool usable)
{
    int32_t errors = problems->errors, all = problems->count + problems->lost;
    pw_text text;
    pw_text_init(&text, document->arena);
    pw_text_put(&text, usable ? "This sheet can be used" : "This sheet cannot be used yet");
    if (all == 0) {
        pw_text_put(&text, ": nothing is wrong with it.");
    } else {
        pw_text_put(&text, ": ");
        pw_text_int(&text, errors);
        pw_text_put(&text, errors == 1 ? " thing to put right, " : " things to put right, ");
        pw_text_int(&text, all - errors);
        pw_text_put(&text, all - errors == 1 ? " to look at." : " to look at.");
    }
    pw_document_add(document, PW_BLOCK_LEAD, PW_TONE_PLAIN, say_done(&text));
    if (problems->lost == 0)
        return;
    pw_text more;
    pw_text_init(&more, document->arena);
    pw_text_int(&more, problems->lost);
    pw_text_put(&more, " further problems are not shown: put these right first.");
    pw_document_add(document, PW_BLOCK_WORDS, PW_TONE_PLAIN, say_done(&more));
}

pw_status pw_paper_check(pw_arena *arena, const char *name, const pw_site *site, const pw_settings *settings,
                         const pw_problems *problems, const pw_voice *voice, pw_document **out)
{
    *out = NULL;
    bool invented = site != NULL && site->invented;
    pw_document *document =
        pw_document_new(arena, "Check", site != NULL ? site->name : name, invented ? "INVENTED" : "");
    if (document == NULL)
        return PW_MEMORY;
    put_headline(document, problems, site != NULL && settings != NULL && problems->errors == 0);
    put_problems(document, voice, problems, false);
    put_problems(document, voice, problems, true);
    if (site != NULL) {
        (void)say_invented(document, voice, site);
        pw_document_heading(document, 2, "The site as it was understood");
        say_site(document, voice, site);
    }
    if (settings != NULL) {
        pw_document_heading(document, 2, "The order as it was understood");
        say_settings(document, voice, settings);
    }
    if (site != NULL)
        say_defaults(document, voice, site);
    if (document->failed)
        return PW_MEMORY;
    *out = document;
    return PW_OK;
}
