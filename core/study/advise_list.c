/* The list to type: what stays, what was chosen in its place or beside it, and nothing that has lost its use. */
#include <string.h>

#include "study/advise_inside.h"
#include "study/proposal.h"

static const char *canonical(advise_maker *m, const pw_settings *settings, int32_t sentence)
{
    pw_text text;
    pw_text_init(&text, m->arena);
    pw_settings_put(settings, sentence, &text);
    return text.failed ? NULL : text.data;
}

static void type(advise_maker *m, const char *words, int32_t was, int32_t family, bool differs)
{
    pw_advice *out = m->out;
    if (out->count < PW_MAX_SENTENCES && words != NULL) {
        out->sentences[out->count] = words;
        out->was[out->count] = (int16_t)was;
        out->family[out->count] = (int16_t)family;
        out->differs[out->count] = differs;
        out->count++;
    }
}

static void type_chosen(advise_maker *m, int32_t family, int32_t was)
{
    const pw_limit *limit = &m->plan->limits[m->out->chosen[family].limit];
    if (limit->ignore != NULL) {
        type(m, limit->ignore, -1, -1, true);
    }
    type(m, limit->sentence, was, family, true);
}

/* Present sentences in their places, the first of each family with its chosen limit, then what is new. */
static void make_list(advise_maker *m)
{
    const pw_settings *settings = m->plan->plant->settings;
    bool typed[PW_MAX_FAMILIES] = {false};
    for (int32_t i = 0; i < pw_settings_count(settings); i++) {
        const int32_t family = m->plan->family_of[i];
        if (m->plan->dropped[i]) {
            m->out->changes = true;
        } else if (family < 0 || m->out->keeps || m->out->held[i]) {
            type(m, canonical(m, settings, i), i, -1, false);
        } else if (!typed[family] && m->out->chosen[family].limit >= 0) {
            typed[family] = true;
            type_chosen(m, family, i);
        } else {
            m->out->changes = true; /* it goes */
        }
    }
    for (int32_t f = 0; f < m->plan->family_count; f++) {
        if (!typed[f] && m->out->chosen[f].limit >= 0) {
            type_chosen(m, f, -1);
        }
    }
}

/* Does some other sentence look at the very condition that this "ignore" is about? */
static bool is_used(const pw_settings *settings, int32_t ignore)
{
    pw_look mine, other;
    (void)pw_settings_look(settings, ignore, 0, &mine);
    for (int32_t i = 0; i < pw_settings_count(settings); i++) {
        for (int32_t k = 0; i != ignore && pw_settings_kind(settings, i) != PW_SENTENCE_IGNORE &&
                            pw_settings_look(settings, i, k, &other);
             k++) {
            const bool same = !(other.threshold < mine.threshold) && !(other.threshold > mine.threshold);
            if (other.kind == mine.kind && other.above == mine.above && other.signal == mine.signal && same) {
                return true;
            }
        }
    }
    return false;
}

/* What was ignored for a watch that has gone, goes with it. true: something went. */
static bool drop_orphans(advise_maker *m, const pw_settings *settings)
{
    pw_advice *out = m->out;
    const pw_settings *before = m->plan->plant->settings;
    int32_t count = 0;
    for (int32_t i = 0; i < out->count; i++) {
        const bool goes = out->was[i] >= 0 && pw_settings_kind(settings, i) == PW_SENTENCE_IGNORE &&
                          is_used(before, out->was[i]) && !is_used(settings, i);
        if (!goes) {
            out->sentences[count] = out->sentences[i];
            out->was[count] = out->was[i];
            out->family[count] = out->family[i];
            count++;
        }
    }
    const bool any = count < out->count;
    out->changes = out->changes || any;
    out->count = count;
    return any;
}

static pw_status plant_of_list(advise_maker *m, pw_plant **plant, pw_problems *problems)
{
    pw_proposal *list = PW_NEW(m->arena, 1, pw_proposal);
    if (list == NULL) {
        return PW_MEMORY;
    }
    list->count = m->out->count;
    memcpy(list->sentences, m->out->sentences, sizeof list->sentences);
    return pw_proposal_plant(m->arena, m->plan->plant, list, plant, problems);
}

/* In the words of its own reader; the same as before is no change. */
static pw_status settle_list(advise_maker *m, pw_problems *problems)
{
    pw_advice *out = m->out;
    pw_plant *plant = NULL;
    pw_status status = plant_of_list(m, &plant, problems);
    if (status == PW_OK && drop_orphans(m, plant->settings)) {
        status = plant_of_list(m, &plant, problems);
    }
    if (status != PW_OK) {
        return status;
    }
    out->advised_plant = plant;
    for (int32_t i = 0; i < out->count; i++) {
        const char *words = canonical(m, plant->settings, i);
        const char *before = out->was[i] >= 0 ? canonical(m, m->plan->plant->settings, out->was[i]) : "";
        if (words == NULL || before == NULL) {
            return PW_MEMORY;
        }
        out->sentences[i] = words;
        out->differs[i] = strcmp(words, before) != 0;
        out->changes = out->changes || out->differs[i];
    }
    return PW_OK;
}

pw_status advise_make_list(advise_maker *m, pw_problems *problems)
{
    make_list(m);
    return settle_list(m, problems);
}
