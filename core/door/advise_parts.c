/* The outcomes of advice as they are carried from parts of the work to the whole, and read back: each number with what
 * would be right. */
#include "door/advise_inside.h"

static void put_numbers(door *d, const char *key, const int64_t *values, int32_t count)
{
    pw_json_open(d->answer, key, '[');
    for (int32_t i = 0; i < count; i++) {
        pw_json_int(d->answer, NULL, values[i]);
    }
    pw_json_close(d->answer, ']');
}

static void put_volumes(door *d, const char *key, const double *values, int32_t count)
{
    pw_json_open(d->answer, key, '[');
    for (int32_t i = 0; i < count; i++) {
        pw_json_number(d->answer, NULL, values[i]);
    }
    pw_json_close(d->answer, ']');
}

void door_put_reach(door *d, const pw_advise_plan *plan, const pw_reach *reach)
{
    const int32_t sentences = pw_settings_count(plan->plant->settings);
    pw_json_open(d->answer, NULL, '{');
    pw_json_int(d->answer, "job", reach->job);
    pw_json_int(d->answer, "length_ms", reach->length_ms);
    pw_json_number(d->answer, "lost_m3", reach->end_lost_m3);
    pw_json_int(d->answer, "harm_ms", reach->harm_ms);
    put_numbers(d, "present_ms", reach->present_ms, sentences);
    put_volumes(d, "present_m3", reach->present_m3, sentences);
    put_numbers(d, "first_ms", reach->first_ms, plan->limit_count);
    put_volumes(d, "first_m3", reach->lost_m3, plan->limit_count);
    pw_json_open(d->answer, "slack", '[');
    for (int32_t i = 0; i < plan->limit_count; i++) {
        pw_json_int(d->answer, NULL, reach->slack[i]);
    }
    pw_json_close(d->answer, ']');
    pw_json_close(d->answer, '}');
}

/* A list of `count` numbers within bounds, whole ones where they are asked for; NULL after a problem. */
static const pw_json *numbers_of(door *d, const pw_json *object, const char *path, const char *key, int32_t count,
                                 double low, double high, bool whole)
{
    char where[PW_PATH_SIZE];
    const pw_json *list = pw_json_get(object, key);
    bool fits = list != NULL && list->kind == PW_JSON_ARRAY && list->count == count;
    for (const pw_json *item = fits ? list->first : NULL; item != NULL; item = item->next) {
        fits = fits && item->kind == PW_JSON_NUMBER && item->number >= low && item->number <= high &&
               (!whole || item->number <= pw_floor(item->number));
    }
    if (!fits) {
        pw_problem_tell(d->problems, PW_TYPE, door_path_key(where, path, key), pw_no_fact(),
                        pw_fact_of("door.reach-numbers"), pw_no_fact());
    }
    return fits ? list->first : NULL;
}

static void take_whole(const pw_json *item, int64_t *out)
{
    for (int32_t i = 0; item != NULL; item = item->next, i++) {
        out[i] = (int64_t)item->number;
    }
}

static void take_plain(const pw_json *item, double *out)
{
    for (int32_t i = 0; item != NULL; item = item->next, i++) {
        out[i] = item->number;
    }
}

static const door_key reach_keys[] = {{"job", ""},      {"length_ms", ""}, {"lost_m3", ""},    {"harm_ms", ""},
                                      {"first_ms", ""}, {"first_m3", ""},  {"present_ms", ""}, {"present_m3", ""},
                                      {"slack", ""},    {NULL, NULL}};

static void read_reach(door *d, const pw_json *json, const char *path, const pw_advise_plan *plan, pw_reach *list,
                       bool *seen)
{
    const int32_t sentences = pw_settings_count(plan->plant->settings), limits = plan->limit_count;
    if (json->kind != PW_JSON_OBJECT) {
        door_wrong_type(d, json, path, pw_fact_of("door.outcome"));
        return;
    }
    door_check_keys(d, json, path, reach_keys, NULL);
    const int64_t job = door_whole(d, json, path, "job", 0, plan->jobs->count - 1, -1);
    if (job < 0 || seen[job]) {
        pw_problem_tell(d->problems, job < 0 ? PW_MISSING : PW_DUPLICATE, path, pw_no_fact(),
                        pw_fact_of("door.job-number"), pw_no_fact());
        return;
    }
    seen[job] = true;
    pw_reach *reach = &list[job];
    int64_t *slack = PW_NEW(d->arena, limits, int64_t);
    if (slack == NULL) {
        pw_problem_add(d->problems, PW_MEMORY, "", "", "", "");
        return;
    }
    reach->length_ms = door_whole(d, json, path, "length_ms", 0, (int64_t)1 << 53, 0);
    reach->end_lost_m3 = door_plain(d, json, path, "lost_m3", 0.0, 1e12, 0.0);
    reach->harm_ms = door_whole(d, json, path, "harm_ms", -1, (int64_t)1 << 53, -1);
    take_whole(numbers_of(d, json, path, "present_ms", sentences, -1.0, 9e15, true), reach->present_ms);
    take_plain(numbers_of(d, json, path, "present_m3", sentences, 0.0, 1e12, false), reach->present_m3);
    take_whole(numbers_of(d, json, path, "first_ms", limits, -1.0, 9e15, true), reach->first_ms);
    take_plain(numbers_of(d, json, path, "first_m3", limits, 0.0, 1e12, false), reach->lost_m3);
    take_whole(numbers_of(d, json, path, "slack", limits, 0.0, PW_SLACKS, true), slack);
    for (int32_t i = 0; i < limits; i++) {
        reach->slack[i] = (uint8_t)slack[i];
    }
}

pw_reach *door_read_reaches(door *d, const pw_json *list, const pw_advise_plan *plan)
{
    char path[PW_PATH_SIZE];
    pw_reach *out = pw_reach_new(d->arena, plan, plan->jobs->count);
    bool *seen = PW_NEW(d->arena, plan->jobs->count, bool);
    if (out == NULL || seen == NULL) {
        pw_problem_add(d->problems, PW_MEMORY, "", "", "", "");
        return NULL;
    }
    int32_t i = 0;
    for (const pw_json *json = door_one_outcome_each(d, "outcomes", list, plan->jobs) ? list->first : NULL;
         json != NULL; json = json->next, i++) {
        read_reach(d, json, door_path_index(path, "outcomes", i), plan, out, seen);
    }
    return door_problem(d) == PW_OK ? out : NULL;
}

pw_reach_check *door_read_checks(door *d, const pw_json *list, const pw_advise_plan *plan)
{
    pw_reach_check *out = PW_NEW(d->arena, plan->jobs->count, pw_reach_check);
    bool *seen = PW_NEW(d->arena, plan->jobs->count, bool);
    static const door_key keys[] = {{"job", ""}, {"first_ms", ""}, {NULL, NULL}};
    if (out == NULL || seen == NULL) {
        pw_problem_add(d->problems, PW_MEMORY, "", "", "", "");
        return NULL;
    }
    int32_t i = 0;
    for (const pw_json *json = door_one_outcome_each(d, "outcomes again", list, plan->jobs) ? list->first : NULL;
         json != NULL; json = json->next, i++) {
        char path[PW_PATH_SIZE];
        door_path_index(path, "outcomes again", i);
        if (json->kind != PW_JSON_OBJECT) {
            door_wrong_type(d, json, path, pw_fact_of("door.outcome"));
            return NULL;
        }
        door_check_keys(d, json, path, keys, NULL);
        const int64_t job = door_whole(d, json, path, "job", 0, plan->jobs->count - 1, -1);
        if (job < 0 || seen[job]) {
            pw_problem_tell(d->problems, job < 0 ? PW_MISSING : PW_DUPLICATE, path, pw_no_fact(),
                            pw_fact_of("door.job-number"), pw_no_fact());
            return NULL;
        }
        seen[job] = true;
        out[job] = (pw_reach_check){(int32_t)job, door_whole(d, json, path, "first_ms", -1, (int64_t)1 << 53, -1)};
    }
    return door_problem(d) == PW_OK ? out : NULL;
}
