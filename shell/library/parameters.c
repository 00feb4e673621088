/* Numbers of a site by their path. */
#include <stdlib.h>
#include <string.h>

#include "adapt/doorway.h"
#include "library/inside.h"
#include "say/say.h"
#include "sim/numbers.h"

_Static_assert(PUMPWRIGHT_PATH_SIZE == (int)PW_PATH_SIZE, "paths fit");
enum { MOST_CHANGES = 256, SCRATCH_BYTES = 1 << 20 };

static const char *what_of(pw_language language, const pw_param *param)
{
    const pw_voice voice = {language, NULL};
    return param->form == PW_PARAM_SENTENCE ? pw_say_word(&voice, param->help) : pw_say_row(&voice, param->help);
}

static void put_out(const pw_param *param, pumpwright_parameter *out)
{
    static const char *const origins[] = {"given", "pipe", "default", "left out"};
    memset(out, 0, sizeof *out);
    pw_copy(out->path, PUMPWRIGHT_PATH_SIZE, param->path);
    out->origin = origins[param->origin];
    out->unit = pw_door_si(param->dimension);
    out->what = what_of(PW_ENGLISH, param);
    out->reason = param->reason;
    out->value = param->si;
    out->low = param->low;
    out->high = param->high;
    out->whole = param->whole;
}

int32_t pumpwright_site_parameter_count(const pumpwright_site *site)
{
    return site->param_count;
}

bool pumpwright_site_parameter_at(const pumpwright_site *site, int32_t index, pumpwright_parameter *out)
{
    bool there = index >= 0 && index < site->param_count;
    if (there) {
        put_out(&site->params[index], out);
    } else {
        *out = (pumpwright_parameter){.origin = "", .unit = "", .what = "", .reason = ""};
    }
    return there;
}

bool pumpwright_site_parameter(const pumpwright_site *site, const char *path, pumpwright_parameter *out,
                               pumpwright_problems **problems)
{
    pw_arena arena;
    pw_param param;
    pw_problems found = {0};
    void *block = malloc(SCRATCH_BYTES);
    pw_arena_init(&arena, block, block ? SCRATCH_BYTES : 0);
    pw_status status = pw_number_find(&arena, site->site, path, "", &param, &found);
    if (status == PW_OK) {
        put_out(&param, out);
    } else if (found.errors == 0) {
        pw_problem_add(&found, status, "", "", "", "");
    }
    library_tell(&found, NULL, problems);
    free(block);
    return status == PW_OK;
}

bool pumpwright_site_parameter_words(const pumpwright_site *site, const char *path, const char *language,
                                     const char **what, const char **reason)
{
    pw_arena arena;
    pw_param param;
    pw_voice voice = {PW_ENGLISH, NULL};
    void *block = malloc(SCRATCH_BYTES);
    pw_arena_init(&arena, block, block ? SCRATCH_BYTES : 0);
    const bool there = language && pw_language_read(language, &voice.language) &&
                       pw_number_find(&arena, site->site, path, "", &param, NULL) == PW_OK;
    *what = there ? what_of(voice.language, &param) : "";
    *reason = there ? pw_say_row(&voice, param.reason) : "";
    free(block);
    return there;
}

/* Paths to numbers; false after problems were added. */
static bool find_all(pw_arena *arena, const pw_site *site, const pumpwright_change *changes, int32_t count,
                     pw_param *params, pw_param_change *out, pw_problems *problems)
{
    for (int32_t i = 0; i < count; i++) {
        if (pw_number_find(arena, site, changes[i].path, "", &params[i], problems) != PW_OK) {
            continue;
        }
        out[i] = (pw_param_change){&params[i], changes[i].value};
        for (int32_t k = 0; k < i; k++) {
            if (strcmp(params[k].path, params[i].path) == 0) {
                pw_problem_tell(problems, PW_DUPLICATE, changes[i].path, pw_verbatim(params[i].path),
                                pw_fact_of("input.each-number-once"), pw_no_fact());
            }
        }
    }
    return problems->errors == 0;
}

static pw_status change_within(pw_arena *arena, const pumpwright_site *from, const pumpwright_change *changes,
                               int32_t count, pumpwright_site **out, pw_problems *problems)
{
    pw_param *params = PW_NEW(arena, count, pw_param);
    pw_param_change *wanted = PW_NEW(arena, count, pw_param_change);
    *out = PW_NEW(arena, 1, pumpwright_site);
    pw_site *site = NULL;
    if (!params || !wanted || !*out) {
        return PW_MEMORY;
    }
    if (!find_all(arena, from->site, changes, count, params, wanted, problems)) {
        return problems->items[0].status;
    }
    pw_status status = pw_site_change(arena, from->site, wanted, count, "", &site, problems);
    return status == PW_OK ? library_site_ready(arena, site, *out, problems) : status;
}

pumpwright_site *pumpwright_site_with(const pumpwright_site *site, const pumpwright_change *changes, int32_t count,
                                      pumpwright_problems **problems)
{
    pumpwright_site *changed = NULL;
    pw_problems found = {0};
    pw_status status = count >= 0 && count <= MOST_CHANGES ? PW_MEMORY : PW_LIMIT;
    for (size_t size = PW_DOORWAY_FIRST; status == PW_MEMORY && size <= PW_DOORWAY_MOST; size *= 4) {
        pw_arena *arena = NULL;
        library_store *store = library_store_new(size, site->store, &arena);
        if (!store) {
            break;
        }
        memset(&found, 0, sizeof found);
        status = change_within(arena, site, changes, count, &changed, &found);
        if (status == PW_OK) {
            changed->store = store;
        } else {
            library_store_release(store);
        }
    }
    if (status != PW_OK && found.errors == 0) {
        pw_problem_add(&found, status, "", "", "", "");
    }
    library_tell(&found, NULL, problems);
    return status == PW_OK ? changed : NULL;
}
