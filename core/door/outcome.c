/* Outcomes of a proof's jobs as JSON, and back: every number reads back as the same bits, so that a proof assembled
 * from parts equals one made in one piece. */
#include <string.h>

#include "door/inside.h"

/* name, member, lowest, highest */
#define OUTCOME_NUMBERS(X)                                       \
    X("seconds", seconds, 0.0, 1e12)                             \
    X("lost_m3", lost_m3, 0.0, 1e12)                             \
    X("starts", starts, -1e12, 1e12)                             \
    X("run_s", run_s, -1e12, 1e12)                               \
    X("dry_s", dry_s, -1e12, 1e12)                               \
    X("winding_max_c", winding_max_c, -1e12, 1e12)               \
    X("lost_per_day_m3", lost_per_day_m3, -1e12, 1e12)           \
    X("starts_per_hour", starts_per_hour, -1e12, 1e12)           \
    X("longest_run_s", longest_run_s, -1e12, 1e12)               \
    X("balance_m3", balance_m3, -1e12, 1e12)                     \
    X("most_starts_in_hour", most_starts_in_hour, -1e12, 1e12)   \
    X("usual_starts_in_hour", usual_starts_in_hour, -1e12, 1e12) \
    X("deadhead_s", deadhead_s, -1e12, 1e12)                     \
    X("cavitates_s", cavitates_s, -1e12, 1e12)                   \
    X("short_s", short_s, -1e12, 1e12)                           \
    X("wanted_m3", wanted_m3, -1e12, 1e12)                       \
    X("missing_m3", missing_m3, -1e12, 1e12)                     \
    X("usual_m3", usual_m3, -1e12, 1e12)                         \
    X("usual_lost_m3", usual_lost_m3, -1e12, 1e12)               \
    X("usual_dry_s", usual_dry_s, -1e12, 1e12)                   \
    X("usual_deadhead_s", usual_deadhead_s, -1e12, 1e12)         \
    X("usual_winding_c", usual_winding_c, -1e12, 1e12)           \
    X("usual_water_c", usual_water_c, -1e12, 1e12)               \
    X("behind_m3", behind_m3, -1e12, 1e12)                       \
    X("water_max_c", water_max_c, -1e12, 1e12)                   \
    X("burnt_s", burnt_s, -1e12, 1e12)                           \
    X("pressure_max_pa", pressure_max_pa, -1e12, 1e12)           \
    X("pressure_top_pa", pressure_top_pa, -1e12, 1e12)           \
    X("usual_top_pa", usual_top_pa, -1e12, 1e12)                 \
    X("edge_part", edge_part, 0.0, 1.0)

/* job, ending, caught_by, stopped with unprotected and typed, false_stops, edge, false_by, and 30 numbers: a
 * new member belongs into the list above, or parts and whole would differ. */
_Static_assert(sizeof(pw_outcome) == 6 * 4 + PW_MAX_SENTENCES * 4 + 30 * 8, "write and read the new member too");

static const door_key outcome_keys[] = {{"job", ""},
                                        {"ending", ""},
                                        {"caught_by", ""},
                                        {"stopped", ""},
                                        {"unprotected", ""},
                                        {"typed", ""},
                                        {"edge", ""},
#define PW_X(name, member, low, high) {name, ""},
                                        OUTCOME_NUMBERS(PW_X)
#undef PW_X
                                            {"false_stops", ""},
                                        {"false_by", ""},
                                        {NULL, NULL}};

void door_put_outcome(door *d, const char *key, const pw_plant *plant, const pw_jobs *jobs, const pw_outcome *outcome)
{
    pw_json_open(d->answer, key, '{');
    pw_json_int(d->answer, "job", outcome->job);
    pw_json_int(d->answer, "ending", (int64_t)outcome->ending);
    pw_json_int(d->answer, "caught_by", outcome->caught_by);
    pw_json_bool(d->answer, "stopped", outcome->stopped);
    pw_json_bool(d->answer, "unprotected", outcome->unprotected);
    pw_json_int(d->answer, "typed", outcome->typed);
    pw_json_int(d->answer, "edge", outcome->edge);
#define PW_X(name, member, low, high) pw_json_number(d->answer, name, outcome->member);
    OUTCOME_NUMBERS(PW_X)
#undef PW_X
    if (jobs->jobs[outcome->job].kind == PW_JOB_HEALTHY || jobs->jobs[outcome->job].kind == PW_JOB_MARGIN) {
        pw_json_int(d->answer, "false_stops", outcome->false_stops);
        pw_json_open(d->answer, "false_by", '[');
        for (int32_t i = 0; i < pw_settings_count(plant->settings); i++) {
            pw_json_int(d->answer, NULL, outcome->false_by[i]);
        }
        pw_json_close(d->answer, ']');
    }
    pw_json_close(d->answer, '}');
}

static void read_false_by(door *d, const pw_json *json, const char *path, int32_t sentences, pw_outcome *outcome)
{
    char where[PW_PATH_SIZE];
    const pw_json *list = pw_json_get(json, "false_by");
    door_path_key(where, path, "false_by");
    if (!list || list->kind != PW_JSON_ARRAY || list->count != sentences) {
        pw_problem_tell(d->problems, PW_TYPE, where,
                        pw_fact_of(list ? pw_json_kind_message(list->kind) : "door.nothing"),
                        pw_fact_of("door.sentence-counts"), pw_no_fact());
        return;
    }
    int32_t i = 0;
    for (const pw_json *item = list->first; item; item = item->next) {
        bool fits = item->kind == PW_JSON_NUMBER && item->number >= 0.0 && item->number <= 1e9 &&
                    item->number == pw_floor(item->number);
        if (!fits) {
            pw_problem_tell(d->problems, PW_TYPE, where, pw_fact_of(pw_json_kind_message(item->kind)),
                            pw_fact_of("door.counts"), pw_no_fact());
            return;
        }
        outcome->false_by[i] = (int32_t)item->number;
        i++;
    }
}

static void read_outcome(door *d, const pw_json *json, const char *path, const pw_plant *plant, const pw_jobs *jobs,
                         pw_outcome *list, bool *seen)
{
    char where[PW_PATH_SIZE];
    int32_t sentences = pw_settings_count(plant->settings);
    if (json->kind != PW_JSON_OBJECT) {
        door_wrong_type(d, json, path, pw_fact_of("door.outcome"));
        return;
    }
    door_check_keys(d, json, path, outcome_keys, NULL);
    int64_t job = door_whole(d, json, path, "job", 0, jobs->count - 1, -1);
    if (job < 0 || seen[job]) {
        pw_problem_tell(d->problems, job < 0 ? PW_MISSING : PW_DUPLICATE, door_path_key(where, path, "job"),
                        pw_no_fact(), pw_fact_of("door.job-number"), pw_no_fact());
        return;
    }
    seen[job] = true;
    pw_outcome *outcome = &list[job];
    outcome->job = (int32_t)job;
    outcome->ending = (pw_ending)door_whole(d, json, path, "ending", 0, PW_END_HUNTING, 0);
    outcome->caught_by = (int32_t)door_whole(d, json, path, "caught_by", -1, sentences - 1, -1);
    outcome->stopped = door_truth(d, json, path, "stopped", false);
    outcome->unprotected = door_truth(d, json, path, "unprotected", false);
    outcome->typed = (uint8_t)door_whole(d, json, path, "typed", PW_TYPED_SILENT, PW_TYPED_WARNED, PW_TYPED_SILENT);
#define PW_X(name, member, low, high) outcome->member = door_plain(d, json, path, name, low, high, 0.0);
    OUTCOME_NUMBERS(PW_X)
#undef PW_X
    outcome->edge = (uint32_t)door_whole(d, json, path, "edge", 0, ((int64_t)1 << PW_MOVES) - 1, 0);
    if (jobs->jobs[job].kind == PW_JOB_HEALTHY || jobs->jobs[job].kind == PW_JOB_MARGIN) {
        outcome->false_stops = (int32_t)door_whole(d, json, path, "false_stops", 0, 1000000000, 0);
        read_false_by(d, json, path, sentences, outcome);
    }
}

pw_outcome *door_read_outcomes(door *d, const pw_json *list, const pw_plant *plant, const pw_jobs *jobs)
{
    char path[PW_PATH_SIZE];
    pw_outcome *outcomes = PW_NEW(d->arena, jobs->count, pw_outcome);
    bool *seen = PW_NEW(d->arena, jobs->count, bool);
    if (!outcomes || !seen) {
        pw_problem_add(d->problems, PW_MEMORY, "", "", "", "");
        return NULL;
    }
    int32_t errors = d->problems->errors;
    if (!door_one_outcome_each(d, "outcomes", list, jobs)) {
        return NULL;
    }
    int32_t i = 0;
    for (const pw_json *json = list->first; json; json = json->next) {
        read_outcome(d, json, door_path_index(path, "outcomes", i), plant, jobs, outcomes, seen);
        i++;
    }
    return d->problems->errors == errors ? outcomes : NULL;
}
