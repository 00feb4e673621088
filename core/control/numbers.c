/* Numbers of sentences: named by the rows of the forms that read them, and changed in place. */
#include <stddef.h>
#include <string.h>

#include "base/num.h"
#include "control/action.h"

/* The term that a number lies in; NULL: it is the sentence's own. */
static const pw_term *term_of(const pw_sentence *sentence, const pw_number_place *place)
{
    const size_t first = offsetof(pw_sentence, terms);
    return place->offset >= first ? &sentence->terms[(place->offset - first) / sizeof(pw_term)] : NULL;
}

/* The row of the form that read it. */
static const pw_number_form *form_of(const pw_sentence *sentence, const pw_number_place *place)
{
    const pw_term *term = term_of(sentence, place);
    if (term != NULL) {
        const size_t within = (place->offset - offsetof(pw_sentence, terms)) % sizeof(pw_term);
        const pw_number_form *form = pw_form_of(term->kind)->numbers;
        while (form->offset != within) {
            form++;
        }
        return form;
    }
    const pw_number_form *first = pw_action_of(sentence->kind)->numbers;
    for (const pw_number_form *form = first; form->name != NULL; form++) {
        if (form->offset == place->offset) {
            return form;
        }
    }
    return first; /* further times of a list */
}

static const char *name_of(const pw_sentence *sentence, const pw_number_place *place)
{
    const char *name = form_of(sentence, place)->name;
    return name[0] != '\0' ? name : pw_form_of(term_of(sentence, place)->kind)->words;
}

static double value_of(const pw_sentence *sentence, const pw_number_place *place)
{
    const void *at = (const uint8_t *)sentence + place->offset;
    switch (form_of(sentence, place)->type) {
    case PW_NUMBER_TIME: return *(const uint32_t *)at / 1000.0;
    case PW_NUMBER_CLOCK: return *(const uint32_t *)at;
    case PW_NUMBER_COUNT: return *(const int16_t *)at;
    default: return *(const double *)at;
    }
}

int32_t pw_settings_number_count(const pw_settings *settings)
{
    return settings->number_count;
}

void pw_settings_number(const pw_settings *settings, int32_t number, pw_sentence_number *out)
{
    const pw_number_place *place = &settings->numbers[number];
    const pw_sentence *sentence = &settings->sentences[place->sentence];
    const pw_number_form *form = form_of(sentence, place);
    const bool time = form->type == PW_NUMBER_TIME || form->type == PW_NUMBER_CLOCK;
    int32_t before = 0; /* of the same name in this sentence */
    for (int32_t n = number - 1; n >= 0 && settings->numbers[n].sentence == place->sentence; n--) {
        before += strcmp(name_of(sentence, &settings->numbers[n]), name_of(sentence, place)) == 0;
    }
    *out = (pw_sentence_number){.sentence = place->sentence,
                                .what = form->what,
                                .dimension = time ? PW_DIM_TIME
                                             : form->type == PW_NUMBER_COUNT
                                                 ? PW_DIM_NONE
                                                 : pw_form_of(term_of(sentence, place)->kind)->dimension,
                                .clock = form->type == PW_NUMBER_CLOCK,
                                .whole = form->type == PW_NUMBER_CLOCK || form->type == PW_NUMBER_COUNT,
                                .si = value_of(sentence, place),
                                .low = place->low,
                                .high = place->high,
                                .at = place->at,
                                .length = place->length};
    const pw_term *term = term_of(sentence, place);
    const bool threshold = form->type == PW_NUMBER_THRESHOLD;
    out->cut_in = threshold && term == pw_first_pressure(settings, PW_SENTENCE_START);
    out->cut_out = threshold && term == pw_first_pressure(settings, PW_SENTENCE_STOP);
    pw_copy(out->name, PW_NAME_SIZE, name_of(sentence, place));
    if (before > 0) {
        char digits[32];
        pw_num_text(before + 1, digits);
        pw_append(out->name, PW_NAME_SIZE, " ");
        pw_append(out->name, PW_NAME_SIZE, digits);
    }
}

/* ---- changing ---- */

static void put_value(pw_sentence *sentence, const pw_number_place *place, double si)
{
    void *at = (uint8_t *)sentence + place->offset;
    si = pw_clamp(si, place->low, place->high);
    switch (form_of(sentence, place)->type) {
    case PW_NUMBER_TIME: *(uint32_t *)at = (uint32_t)pw_floor(si * 1000.0 + 0.5); break;
    case PW_NUMBER_CLOCK: *(uint32_t *)at = (uint32_t)pw_floor(si + 0.5); break;
    case PW_NUMBER_COUNT: *(int16_t *)at = (int16_t)pw_floor(si + 0.5); break;
    default: *(double *)at = si == 0 ? 0 : si; break; /* no -0 */
    }
}

/* The sentence as its words say it: read again, so that whatever the reader checks is checked. */
static pw_status read_again(pw_arena *arena, pw_settings *settings, int32_t i, const char *base_path,
                            pw_problems *problems)
{
    char path[PW_PATH_SIZE];
    pw_text text;
    bool kind_known;
    const uint8_t pumps = settings->sentences[i].pumps; /* those of a role are known from other sentences */
    pw_settings_path(base_path, i, path);
    pw_text_init(&text, arena);
    pw_settings_put(settings, i, &text);
    if (text.failed) {
        return pw_problem_add(problems, PW_MEMORY, path, NULL, NULL, NULL);
    }
    pw_reader reader = {.settings = settings,
                        .relays = settings,
                        .text = text.data,
                        .length = text.length,
                        .path = path,
                        .problems = problems};
    pw_reader_sentence(&reader, &settings->sentences[i], &kind_known);
    settings->sentences[i].pumps = pumps;
    return reader.status;
}

pw_status pw_settings_with(pw_arena *arena, const pw_settings *settings, int32_t number, double si,
                           const char *base_path, pw_settings **out, pw_problems *problems)
{
    *out = NULL;
    pw_settings *changed = PW_NEW(arena, 1, pw_settings);
    pw_sentence *sentences = PW_NEW(arena, settings->count + 1, pw_sentence);
    if (changed == NULL || sentences == NULL) {
        return pw_problem_add(problems, PW_MEMORY, base_path, NULL, NULL, NULL);
    }
    *changed = *settings;
    changed->sentences = sentences;
    memcpy(sentences, settings->sentences, (size_t)settings->count * sizeof *sentences);
    const pw_number_place *place = &settings->numbers[number];
    put_value(&sentences[place->sentence], place, si);
    pw_status status = read_again(arena, changed, place->sentence, base_path, problems);
    pw_settings_check(changed, true, base_path, status == PW_OK, arena, problems, &status);
    *out = status == PW_OK ? changed : NULL;
    return status;
}
