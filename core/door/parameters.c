/* "parameters": the numbers of a site by their path; and "set", with which every request about a site can change some
 * of them first. */
#include <string.h>

#include "door/inside.h"
#include "sim/numbers.h"

enum { MOST_CHANGES = 256 };

/* ---- set ---- */

/* One member of "set": the number that its key leads to, and what it is to be. */
static bool read_change(door *d, const pw_site *site, const pw_json *member, pw_param *param, double *si)
{
    char path[PW_WORDS_SIZE];
    pw_say(path, "set.", member->key, NULL);
    if (pw_number_find(d->arena, site, member->key, "set", param, d->problems) != PW_OK) {
        return false;
    }
    if (member->kind != PW_JSON_STRING && member->kind != PW_JSON_NUMBER) {
        door_wrong_type(d, member, path, pw_fact_of("door.number-as-text"));
        return false;
    }
    return pw_param_read(param, member->string, si, d->problems, path) == PW_OK;
}

static int32_t read_changes(door *d, const pw_site *site, const pw_json *set, pw_param *params,
                            pw_param_change *changes)
{
    int32_t count = 0;
    for (const pw_json *member = set->first; member; member = member->next) {
        pw_param *param = &params[count];
        changes[count].param = param;
        if (!read_change(d, site, member, param, &changes[count].si)) {
            continue;
        }
        count++;
        for (int32_t i = 0; i + 1 < count; i++) { /* once by number and once by name */
            if (strcmp(params[i].path, param->path) == 0) {
                char path[PW_WORDS_SIZE];
                pw_problem_tell(d->problems, PW_DUPLICATE, pw_say(path, "set.", member->key, NULL),
                                pw_verbatim(param->path), pw_fact_of("door.number-once"), pw_no_fact());
            }
        }
    }
    return count;
}

pw_site *door_set(door *d, const pw_site *site, const pw_json *set)
{
    if (set->kind != PW_JSON_OBJECT) {
        door_wrong_type(d, set, "set", pw_fact_of("door.path-object", pw_named("{path: value}")));
        return NULL;
    }
    if (set->count > MOST_CHANGES) {
        pw_problem_tell(d->problems, PW_LIMIT, "set", pw_fact_of("door.more"),
                        pw_fact_of("door.most-changes", pw_count(MOST_CHANGES)), pw_no_fact());
        return NULL;
    }
    pw_param *params = PW_NEW(d->arena, set->count, pw_param);
    pw_param_change *changes = PW_NEW(d->arena, set->count, pw_param_change);
    if (params == NULL || changes == NULL) {
        pw_problem_add(d->problems, PW_MEMORY, "set", "", "", "");
        return NULL;
    }
    const int32_t count = read_changes(d, site, set, params, changes);
    pw_site *out = NULL;
    if (door_problem(d) == PW_OK) {
        pw_site_change(d->arena, site, changes, count, "site", &out, d->problems);
    }
    return out;
}

/* ---- parameters ---- */

static void put_shown(door *d, const char *key, const pw_param *param, double si)
{
    pw_text text;
    pw_text_init(&text, d->arena);
    pw_param_show(&text, param, &d->units, si);
    (void)door_put_text(d, key, &text);
}

static const char *origin_word(pw_origin origin)
{
    static const char *const words[] = {"given", "pipe", "default", "left out"};
    return words[origin];
}

static int32_t characters(const char *text, int32_t bytes)
{
    int32_t count = 0;
    for (int32_t i = 0; i < bytes; i++) {
        count += ((unsigned char)text[i] & 0xC0u) != 0x80u;
    }
    return count;
}

static void put_param(door *d, const pw_site *site, const pw_param *param)
{
    const bool there = param->origin != PW_ORIGIN_NONE;
    const bool sentence = param->form == PW_PARAM_SENTENCE;
    const bool own = sentence ? param->clock || param->dimension == PW_DIM_NONE : param->form != PW_PARAM_QUANTITY;
    pw_text exact;
    pw_text_init(&exact, d->arena);
    pw_param_exact(&exact, param, param->si);
    pw_json_open(d->answer, NULL, '{');
    pw_json_string(d->answer, "path", param->path);
    pw_json_string(d->answer, "origin", origin_word(param->origin));
    if (there) {
        put_shown(d, "value", param, param->si);
        (void)door_put_text(d, "exact", &exact);
        door_put_number(d, "si", param->si);
    } else {
        pw_json_null(d->answer, "value");
        pw_json_null(d->answer, "exact");
        pw_json_null(d->answer, "si");
    }
    pw_json_string(d->answer, "dimension", door_dimension_id(param->dimension));
    pw_json_string(d->answer, "unit", own ? "" : pw_unit_name(&d->units, param->dimension));
    put_shown(d, "least", param, param->low);
    put_shown(d, "most", param, param->high);
    door_put_number(d, "least si", param->low);
    door_put_number(d, "most si", param->high);
    pw_json_bool(d->answer, "whole", param->whole);
    pw_json_string(d->answer, "what",
                   sentence ? pw_say_word(&d->voice, param->help) : pw_say_row(&d->voice, param->help));
    pw_json_string(d->answer, "reason", pw_say_row(&d->voice, param->reason));
    if (sentence) {
        const char *text = site->sentences[param->sentence];
        const char *role = param->cut_in ? "cut-in" : param->cut_out ? "cut-out" : "";
        pw_json_int(d->answer, "sentence", param->sentence);
        pw_json_int(d->answer, "at", characters(text, param->at));
        pw_json_int(d->answer, "length", characters(text + param->at, param->length));
        pw_json_string(d->answer, "role", role);
    }
    pw_json_close(d->answer, '}');
}

/* All numbers of the sentences. */
static void put_settings(door *d, const pw_site *site)
{
    pw_param *list = NULL;
    int32_t count = 0;
    if (pw_numbers_list(d->arena, site, &list, &count) != PW_OK) {
        pw_problem_add(d->problems, PW_MEMORY, "paths", "", "", "");
        return;
    }
    for (int32_t i = 0; i < count; i++) {
        if (list[i].form == PW_PARAM_SENTENCE) {
            put_param(d, site, &list[i]);
        }
    }
}

static void put_wanted(door *d, const pw_site *site, const pw_json *paths)
{
    int32_t index = 0;
    for (const pw_json *path = paths->first; path; path = path->next, index++) {
        char where[PW_PATH_SIZE];
        pw_param param;
        door_path_index(where, "paths", index);
        if (path->kind != PW_JSON_STRING) {
            door_wrong_type(d, path, where, pw_fact_of("door.path-as-text"));
        } else if (strcmp(path->string, "settings") == 0) {
            put_settings(d, site);
        } else if (pw_number_find(d->arena, site, path->string, "site", &param, d->problems) == PW_OK) {
            put_param(d, site, &param);
        }
    }
}

pw_status door_parameters(door *d)
{
    const pw_json *paths = door_list(d, "paths");
    const pw_site *site = door_site(d);
    pw_param *list = NULL;
    int32_t count = 0;
    if (!site || door_problem(d) != PW_OK) {
        return door_problem(d);
    }
    pw_json_string(d->answer, "name", site->name);
    pw_json_open(d->answer, "parameters", '[');
    if (paths) {
        put_wanted(d, site, paths);
    } else if (pw_numbers_list(d->arena, site, &list, &count) != PW_OK) {
        return PW_MEMORY;
    }
    for (int32_t i = 0; i < count; i++) {
        put_param(d, site, &list[i]);
    }
    pw_json_close(d->answer, ']');
    return door_problem(d);
}
