/* "order": sentences, printed back as they are understood. */
#include <string.h>

#include "door/inside.h"

/* The site's sentences replaced by those of the request. */
static void take_sentences(door *d, const pw_json *list, pw_site *site)
{
    char path[PW_PATH_SIZE];
    if (list->count < 1 || list->count > PW_MAX_SENTENCES) {
        pw_problem_tell(d->problems, list->count < 1 ? PW_MISSING : PW_LIMIT, "sentences", pw_no_fact(),
                        pw_fact_of("door.sentence-count", pw_count(PW_MAX_SENTENCES)), pw_no_fact());
        return;
    }
    site->sentence_count = 0;
    for (const pw_json *item = list->first; item; item = item->next) {
        if (item->kind != PW_JSON_STRING) {
            door_path_index(path, "sentences", site->sentence_count);
            door_wrong_type(d, item, path, pw_fact_of("door.sentence-text"));
        }
        site->sentences[site->sentence_count] = item->kind == PW_JSON_STRING ? item->string : "";
        site->sentence_count++;
    }
}

/* The plant speaks of site.settings[i]; the sentences came as sentences[i]. */
static void rename_paths(pw_problems *problems)
{
    static const char from[] = "site.settings[", to[] = "sentences[";
    for (int32_t i = 0; i < problems->count; i++) {
        char *path = problems->items[i].path;
        if (strncmp(path, from, sizeof from - 1) == 0) {
            char rest[PW_PATH_SIZE];
            pw_copy(rest, PW_PATH_SIZE, path + sizeof from - 1);
            pw_copy(path, PW_PATH_SIZE, to);
            pw_copy(path + sizeof to - 1, PW_PATH_SIZE - (int32_t)sizeof to + 1, rest);
        }
    }
}

pw_status door_settings(door *d)
{
    const pw_json *list = door_list(d, "sentences");
    pw_site *site = door_site(d);
    if (site && list) {
        take_sentences(d, list, site);
    }
    if (!site || door_problem(d) != PW_OK) {
        return door_problem(d);
    }
    pw_plant *plant;
    pw_status status = pw_plant_build(d->arena, site, false, &plant, d->problems);
    if (list) {
        rename_paths(d->problems);
    }
    if (status != PW_OK) {
        return status;
    }
    pw_json_string(d->answer, "name", site->name);
    door_put_settings(d, "sentences", plant->settings);
    return PW_OK;
}
