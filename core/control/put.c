/* Sentences back in words, in the one canonical form: reading them again gives the same sentence. */
#include "control/action.h"

const char *pw_term_noun(pw_term_kind kind)
{
    return pw_form_of(kind)->noun;
}

bool pw_one_of_kind(const pw_settings *settings, uint8_t kind)
{
    int32_t count = 0;
    for (int32_t i = 0; i < settings->signal_count; i++) {
        count += settings->signals[i].kind == (pw_signal_kind)kind;
    }
    return count == 1;
}

void pw_put_name(const pw_settings *settings, const pw_term *term, pw_text *text)
{
    const pw_term_form *form = pw_form_of(term->kind);
    if (term->signal >= 0 && (form->own || form->bare || !pw_one_of_kind(settings, term->kind))) {
        pw_text_puts(text, form->before_name, settings->signals[term->signal].name, (const char *)NULL);
    }
}

void pw_term_put(const pw_settings *settings, const pw_term *term, pw_text *text)
{
    pw_form_of(term->kind)->put(settings, term, text);
}

void pw_condition_put(const pw_settings *settings, const pw_sentence *sentence, pw_text *text)
{
    for (int32_t i = 0; i < sentence->term_count; i++) {
        if (i > 0) {
            pw_text_put(text, sentence->terms[i].or_before ? " or " : " and ");
        }
        pw_term_put(settings, &sentence->terms[i], text);
    }
    if (sentence->time_ms > 0) {
        pw_text_put(text, " for ");
        pw_text_span(text, sentence->time_ms);
    }
    if (sentence->within_ms > 0) {
        pw_text_put(text, " in ");
        pw_text_span(text, sentence->within_ms);
    }
}

static void put_sentence(const pw_settings *settings, const pw_sentence *sentence, pw_text *text)
{
    if (sentence->pump >= 0) {
        pw_text_puts(text, settings->pumps[sentence->pump], ": ", (const char *)NULL);
    }
    if (sentence->role >= 0) {
        pw_text_puts(text, pw_role_name(sentence->role), ": ", (const char *)NULL);
    }
    pw_action_of(sentence->kind)->put(settings, sentence, text);
}

void pw_settings_put(const pw_settings *settings, int32_t i, pw_text *text)
{
    put_sentence(settings, &settings->sentences[i], text);
}

void pw_settings_put_lock(const pw_settings *settings, int32_t warning, pw_text *text)
{
    pw_sentence lock = settings->sentences[warning];
    lock.kind = PW_SENTENCE_LOCK;
    put_sentence(settings, &lock, text);
}
