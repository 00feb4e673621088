/* Numbers of sentences as numbers of the site. */
#include "sim/numbers.h"

#include <string.h>

#include "base/num.h"
#include "sim/plant.h"

static const char list_key[] = "settings[";

static pw_param param_of(const pw_settings *settings, int32_t number)
{
    pw_sentence_number one;
    char digits[32];
    pw_settings_number(settings, number, &one);
    pw_param param = {.form = PW_PARAM_SENTENCE,
                      .origin = PW_ORIGIN_GIVEN,
                      .dimension = one.dimension,
                      .si = one.si,
                      .low = one.low,
                      .high = one.high,
                      .whole = one.whole,
                      .clock = one.clock,
                      .cut_in = one.cut_in,
                      .cut_out = one.cut_out,
                      .help = one.what,
                      .reason = "",
                      .sentence = one.sentence,
                      .at = one.at,
                      .length = one.length};
    pw_num_text(one.sentence, digits);
    char path[PW_WORDS_SIZE];
    pw_copy(param.path, PW_PATH_SIZE, pw_say(path, list_key, digits, "].", one.name, NULL));
    return param;
}

pw_status pw_numbers_list(pw_arena *arena, const pw_site *site, pw_param **out, int32_t *out_count)
{
    pw_param *fields = NULL;
    int32_t count = 0;
    pw_settings *settings = NULL;
    const pw_status listed = pw_params_list(arena, site, &fields, &count);
    if (listed != PW_OK) {
        return listed;
    }
    if (pw_site_settings(arena, site, &settings, NULL) == PW_MEMORY) {
        return PW_MEMORY;
    }
    const int32_t more = settings == NULL ? 0 : pw_settings_number_count(settings);
    *out = PW_NEW(arena, count + more, pw_param);
    *out_count = count + more;
    if (*out == NULL) {
        return PW_MEMORY;
    }
    if (count > 0) {
        memcpy(*out, fields, (size_t)count * sizeof **out);
    }
    for (int32_t n = 0; n < more; n++) {
        (*out)[count + n] = param_of(settings, n);
    }
    return PW_OK;
}

/* "2].pressure": which sentence, and where its number's name begins; -1: neither. */
static int32_t sentence_of(const char *text, const char **name)
{
    int32_t index = 0;
    int32_t digits = 0;
    for (; text[digits] >= '0' && text[digits] <= '9' && digits < 4; digits++) {
        index = index * 10 + (text[digits] - '0');
    }
    *name = text + digits + 1;
    return digits > 0 && text[digits] == ']' ? index : -1;
}

static pw_status wrong(const char *path, pw_fact found, pw_fact expected, pw_problems *problems)
{
    return pw_problem_tell(problems, PW_REFERENCE, path, found, expected, pw_no_fact());
}

/* settings[sentence]NAME; what there is instead is told at `at`. */
static pw_status find_within(const pw_settings *settings, int32_t sentence, const char *name, const char *at,
                             pw_param *out, pw_problems *problems)
{
    pw_choices names = {{0}, 0, 0};
    for (int32_t n = 0; n < pw_settings_number_count(settings); n++) {
        pw_sentence_number one;
        pw_settings_number(settings, n, &one);
        if (one.sentence != sentence) {
            continue;
        }
        if (name[0] == '.' && strcmp(one.name, name + 1) == 0) {
            *out = param_of(settings, n);
            return PW_OK;
        }
        pw_choices_add(&names, one.name);
    }
    const pw_fact found = name[0] == '\0' ? pw_fact_of("sheet.end-of-path") : pw_verbatim(name);
    return wrong(at, found,
                 names.names[0] == '\0' ? pw_fact_of("sheet.no-number-of-sentence") : pw_choices_fact(&names),
                 problems);
}

pw_status pw_number_find(pw_arena *arena, const pw_site *site, const char *path, const char *base_path, pw_param *out,
                         pw_problems *problems)
{
    const size_t length = sizeof list_key - 1;
    if (strncmp(path, list_key, length) != 0) {
        return pw_param_find(arena, site, path, base_path, out, problems);
    }
    char at[PW_WORDS_SIZE];
    char digits[32];
    const bool based = base_path != NULL && base_path[0] != '\0';
    const char *name = "";
    const int32_t sentence = sentence_of(path + length, &name);
    memset(out, 0, sizeof *out);
    if (sentence < 0 || sentence >= site->sentence_count) {
        return wrong(pw_say(at, based ? base_path : "", based ? "." : "", "settings", NULL),
                     pw_verbatim(path + length - 1),
                     site->sentence_count > 0 ? pw_fact_of("sheet.item-number", pw_count(site->sentence_count - 1),
                                                           pw_named(""), pw_count(0))
                                              : pw_fact_of("sheet.empty-list"),
                     problems);
    }
    pw_settings *settings = NULL;
    const pw_status read = pw_site_settings(arena, site, &settings, problems);
    if (read != PW_OK) {
        return read;
    }
    pw_num_text(sentence, digits);
    return find_within(settings, sentence, name,
                       pw_say(at, based ? base_path : "", based ? "." : "", list_key, digits, "]", NULL), out,
                       problems);
}
