/* Sentences back in words, in the one canonical form: reading them again gives the same sentence. */
#include "control/parts.h"

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

static void put_retry(const pw_settings *settings, const pw_sentence *sentence, pw_text *text)
{
    pw_text_put(text, sentence->times > 0 ? "retry after " : "release by itself after ");
    for (int32_t i = 0; i < sentence->wait_count; i++) {
        pw_text_put(text, i > 0 ? ", then " : "");
        pw_text_span(text, sentence->waits_ms[i]);
    }
    if (sentence->times > 0) {
        pw_text_put(text, " up to ");
        pw_text_int(text, sentence->times);
        pw_text_put(text, sentence->times == 1 ? " time" : " times");
    }
    if (sentence->term_count > 0) {
        pw_text_put(text, " when locked out by ");
        pw_term_put(settings, &sentence->terms[0], text);
    }
}

static void put_timed(const char *before, uint32_t time_ms, const char *after, pw_text *text)
{
    pw_text_put(text, before);
    pw_text_span(text, time_ms);
    pw_text_put(text, after);
}

static void put_sharing(const pw_settings *settings, const pw_sentence *sentence, pw_text *text)
{
    pw_text_put(text, "share the work between ");
    for (int32_t i = 0; i < sentence->member_count; i++) {
        pw_text_put(text, i == 0 ? "" : i + 1 == sentence->member_count ? " and " : ", ");
        pw_text_put(text, settings->pumps[sentence->members[i]]);
    }
    if (sentence->every_stop) {
        pw_text_put(text, " and change over at every stop");
    } else if (sentence->time_ms > 0) {
        put_timed(" and change over every ", sentence->time_ms, "", text);
    }
}

void pw_settings_put(const pw_settings *settings, int32_t i, pw_text *text)
{
    const pw_sentence *sentence = &settings->sentences[i];
    if (sentence->pump >= 0) {
        pw_text_puts(text, settings->pumps[sentence->pump], ": ", (const char *)NULL);
    }
    if (sentence->role >= 0) {
        pw_text_puts(text, pw_role_name(sentence->role), ": ", (const char *)NULL);
    }
    switch (sentence->kind) {
    case PW_SENTENCE_START: pw_text_put(text, "start when "); break;
    case PW_SENTENCE_STOP: pw_text_put(text, "stop when "); break;
    case PW_SENTENCE_LOCK: pw_text_put(text, "lock out when "); break;
    case PW_SENTENCE_WARN:
        pw_text_put(text, sentence->relay >= 0 ? "warn by relay " : "warn when ");
        if (sentence->relay >= 0) {
            pw_text_puts(text, settings->relays[sentence->relay], " when ", (const char *)NULL);
        }
        break;
    case PW_SENTENCE_ONLY: pw_text_put(text, "run only while "); break;
    case PW_SENTENCE_SHARE: put_sharing(settings, sentence, text); return;
    case PW_SENTENCE_APART: put_timed("start pumps at least ", sentence->time_ms, " apart", text); return;
    case PW_SENTENCE_POWER_ON: put_timed("wait ", sentence->time_ms, " after power on", text); return;
    case PW_SENTENCE_KEEP_LOCKS: pw_text_put(text, "keep lock outs over a power cut"); return;
    case PW_SENTENCE_HOLD_ON: pw_text_put(text, "keep running while "); break;
    case PW_SENTENCE_IGNORE:
        pw_text_put(text, "ignore ");
        pw_term_put(settings, &sentence->terms[0], text);
        put_timed(" for ", sentence->time_ms, " after start", text);
        return;
    case PW_SENTENCE_REST:
        put_timed("rest ", sentence->time_ms,
                  sentence->new_call ? " after stop, then wait for a new call" : " after stop", text);
        return;
    case PW_SENTENCE_LEAST_RUN: put_timed("run at least ", sentence->time_ms, "", text); return;
    case PW_SENTENCE_RUN_ON: put_timed("run on ", sentence->time_ms, " after stop condition", text); return;
    default: put_retry(settings, sentence, text); return;
    }
    pw_condition_put(settings, sentence, text);
}
