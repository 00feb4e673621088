/* The list that belongs to a point of the trade-off: present sentences in their places, the first of each family with
 * the limit chosen there, then what is new. */
#include <string.h>

#include "study/advise_inside.h"

static bool add(pw_trade_list *list, const char *words, int32_t was, bool differs)
{
    if (words == NULL || list->count >= PW_MAX_SENTENCES) {
        return false;
    }
    list->sentences[list->count] = words;
    list->was[list->count] = (int16_t)was;
    list->differs[list->count] = differs;
    list->count++;
    return true;
}

static const char *present_words(pw_arena *arena, const pw_settings *settings, int32_t sentence)
{
    pw_text text;
    pw_text_init(&text, arena);
    pw_settings_put(settings, sentence, &text);
    return text.failed ? NULL : text.data;
}

/* The chosen limit, with the sentence that goes before it; before: the present sentence whose place it takes. */
static bool add_limit(pw_trade_list *list, const pw_limit *limit, int32_t was, const char *before)
{
    if (limit->ignore != NULL && !add(list, limit->ignore, -1, true)) {
        return false;
    }
    return add(list, limit->sentence, was, before == NULL || strcmp(before, limit->sentence) != 0);
}

pw_status pw_advise_trade_list(pw_arena *arena, const pw_advice *advice, int32_t point, pw_trade_list *out)
{
    const pw_advise_plan *plan = advice->plan;
    const pw_settings *settings = plan->plant->settings;
    const int32_t *pick = advice->trades[point].pick;
    bool typed[PW_MAX_FAMILIES] = {false}, good = true;
    out->count = 0;
    for (int32_t i = 0; i < pw_settings_count(settings) && good; i++) {
        const int32_t family = plan->family_of[i];
        const char *words = present_words(arena, settings, i);
        if (plan->dropped[i]) {
            continue;
        }
        if (family < 0 || advice->held[i]) {
            good = add(out, words, i, false);
        } else if (!typed[family] && pick[family] >= 0) {
            typed[family] = true;
            good = add_limit(out, &plan->limits[pick[family]], i, words);
        }
    }
    for (int32_t f = 0; f < plan->family_count && good; f++) {
        if (!typed[f] && pick[f] >= 0) {
            good = add_limit(out, &plan->limits[pick[f]], -1, NULL);
        }
    }
    return good ? PW_OK : PW_MEMORY;
}
