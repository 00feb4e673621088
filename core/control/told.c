/* Sentences as facts, for telling them in any language. The sheet's own language is that of put.c; the English words of
 * these facts are the same (tests/unit/say).
 */
#include "control/action.h"

pw_value pw_span_or_none(uint32_t span_ms)
{
    return span_ms > 0 ? pw_duration(span_ms) : pw_named("");
}

pw_fact pw_term_fact(pw_arena *arena, const pw_settings *settings, const pw_term *term)
{
    return pw_form_of(term->kind)->fact(arena, settings, term);
}

pw_fact pw_condition_fact(pw_arena *arena, const pw_settings *settings, const pw_sentence *sentence)
{
    pw_facts terms;
    pw_facts_init(&terms, arena);
    for (int32_t i = 0; i < sentence->term_count; i++) {
        const char *id = i == 0 ? "base.value" : sentence->terms[i].or_before ? "sentence.or" : "sentence.and";
        pw_tell(&terms, id, pw_fact_inside(arena, pw_term_fact(arena, settings, &sentence->terms[i])));
    }
    return pw_fact_of("sentence.condition", pw_list(&terms, PW_JOIN_NOTHING), pw_span_or_none(sentence->time_ms),
                      pw_span_or_none(sentence->within_ms));
}

pw_fact pw_role_fact(int32_t role)
{
    static const char *const ids[PW_MAX_PUMPS] = {"sentence.duty",          "sentence.assist",
                                                  "sentence.second-assist", "sentence.third-assist",
                                                  "sentence.fourth-assist", "sentence.fifth-assist"};
    return pw_fact_of(ids[role]);
}

static pw_fact sentence_fact(pw_arena *arena, const pw_settings *settings, int32_t i, bool locks)
{
    const pw_sentence *sentence = &settings->sentences[i];
    const pw_fact body =
        locks ? pw_fact_of("sentence.lock-out", pw_fact_inside(arena, pw_condition_fact(arena, settings, sentence)))
              : pw_action_of(sentence->kind)->fact(arena, settings, sentence);
    if (sentence->pump < 0 && sentence->role < 0) {
        return body;
    }
    return pw_fact_of("sentence.for", pw_named(sentence->pump >= 0 ? settings->pumps[sentence->pump] : ""),
                      sentence->role >= 0 ? pw_fact_inside(arena, pw_role_fact(sentence->role)) : pw_named(""),
                      pw_fact_inside(arena, body));
}

pw_fact pw_settings_fact(pw_arena *arena, const pw_settings *settings, int32_t sentence)
{
    return sentence_fact(arena, settings, sentence, false);
}

pw_fact pw_settings_lock_fact(pw_arena *arena, const pw_settings *settings, int32_t warning)
{
    return sentence_fact(arena, settings, warning, true);
}

pw_value pw_sentence_value(pw_arena *arena, const pw_settings *settings, int32_t sentence)
{
    return pw_fact_inside(arena, pw_settings_fact(arena, settings, sentence));
}
