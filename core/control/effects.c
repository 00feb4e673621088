/* Causes and effects: what a sentence looks at, which pumps it is for, and which sentence ends its lock out. */
#include "control/parts.h"

bool pw_settings_has_condition(const pw_settings *settings, int32_t sentence)
{
    const uint8_t kind = settings->sentences[sentence].kind;
    return kind == PW_SENTENCE_START || kind == PW_SENTENCE_STOP || kind == PW_SENTENCE_LOCK ||
           kind == PW_SENTENCE_WARN || kind == PW_SENTENCE_ONLY || kind == PW_SENTENCE_HOLD_ON;
}

pw_fact pw_settings_condition(pw_arena *arena, const pw_settings *settings, int32_t sentence)
{
    const pw_sentence *read = &settings->sentences[sentence];
    const pw_fact condition = pw_condition_fact(arena, settings, read);
    if (read->role < 0) {
        return condition;
    }
    return pw_fact_of("sentence.for", pw_named(""), pw_fact_inside(arena, pw_role_fact(read->role)),
                      pw_fact_inside(arena, condition));
}

bool pw_settings_is_for(const pw_settings *settings, int32_t sentence, int32_t pump)
{
    return pw_sentence_for(&settings->sentences[sentence], pump);
}

/* As build.c gives each lock out its retry. */
int32_t pw_settings_released_by(const pw_settings *settings, int32_t sentence, int32_t pump)
{
    int32_t any = -1;
    for (int32_t i = 0; i < settings->count; i++) {
        const pw_sentence *retry = &settings->sentences[i];
        if (retry->kind != PW_SENTENCE_RETRY || !pw_sentence_for(retry, pump)) {
            continue;
        }
        any = any < 0 && retry->term_count == 0 ? i : any;
        for (int32_t k = 0; k < settings->sentences[sentence].term_count && retry->term_count > 0; k++) {
            if (pw_term_same(settings, &retry->terms[0], &settings->sentences[sentence].terms[k], pump)) {
                return i;
            }
        }
    }
    return any;
}

bool pw_settings_number_signal(const pw_settings *settings, int32_t number, int32_t *signal, pw_signal_kind *kind)
{
    const pw_number_place *place = &settings->numbers[number];
    const pw_sentence *sentence = &settings->sentences[place->sentence];
    for (int32_t k = 0; k < sentence->term_count; k++) {
        const size_t begins = offsetof(pw_sentence, terms) + (size_t)k * sizeof(pw_term);
        if (place->offset == begins + offsetof(pw_term, threshold)) {
            *signal = sentence->terms[k].signal;
            *kind = (pw_signal_kind)sentence->terms[k].kind;
            return true;
        }
    }
    return false;
}
