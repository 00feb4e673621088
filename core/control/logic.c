/* What can be written as a program, and what is refused. */
#include "control/logic_parts.h"

/* ---- what can be written ---- */

/* Of a term: signals, the clock, retries, what pumps do, and starts in one window. */
static bool can_write_term(const pw_term *term)
{
    const bool of_pump = term->kind == PW_TERM_RUNNING || term->kind == PW_TERM_STOPPED || term->kind == PW_TERM_LOCKED;
    return pw_form_of(term->kind)->signal || of_pump || term->kind == PW_TERM_CLOCK || term->kind == PW_TERM_RETRIES ||
           (term->kind == PW_TERM_STARTS && term->in_a_row == 1);
}

/* Not: parts of a window, several windows in a row, lock outs that outlast a power cut. */
static bool can_write(const pw_sentence *sentence)
{
    bool good = sentence->kind != PW_SENTENCE_KEEP_LOCKS && sentence->within_ms == 0;
    for (int32_t k = 0; k < sentence->term_count; k++) {
        good = good && can_write_term(&sentence->terms[k]);
    }
    return good;
}

static pw_status refuse_others(const pw_settings *settings, int32_t first, int32_t last, const char *base_path,
                               pw_arena *arena, pw_problems *problems)
{
    pw_status status = PW_OK;
    for (int32_t i = 0; i < settings->count; i++) {
        bool ours = false;
        for (int32_t n = first; n <= last; n++) {
            ours = ours || pw_sentence_for(&settings->sentences[i], n);
        }
        if (ours && !can_write(&settings->sentences[i])) {
            char path[PW_PATH_SIZE];
            pw_text words;
            pw_text_init(&words, arena);
            pw_settings_put(settings, i, &words);
            pw_settings_path(base_path, i, path);
            status = pw_problem_tell(problems, PW_UNSUPPORTED, path, pw_verbatim(words.failed ? "" : words.data),
                                     pw_fact_of("control.writable"), pw_fact_of("control.writable-not"));
        }
    }
    return status;
}

bool pw_logic_together(const pw_table *table)
{
    return table->coupled && table->pump_count > 1;
}

pw_status pw_logic_put(pw_arena *arena, const pw_settings *settings, const pw_table *table, int32_t pump,
                       pw_logic_language language, const char *base_path, pw_text *out, pw_problems *problems)
{
    const bool together = pw_logic_together(table);
    const int32_t first = together ? 0 : pump, last = together ? table->pump_count - 1 : pump;
    const pw_status status = refuse_others(settings, first, last, base_path, arena, problems);
    if (status != PW_OK) {
        return status;
    }
    pw_text name;
    pw_text_init(&name, arena);
    logic_put_name(&name, together ? "pumps" : settings->pumps[pump]);
    if (name.failed) {
        return PW_MEMORY;
    }
    logic_pen pen = {settings, table, out, language == PW_LOGIC_ST, first, last, 0, name.data};
    logic_put_program(&pen);
    return out->failed ? PW_MEMORY : PW_OK;
}
