/* "diagnose": what readings on site say has gone wrong, and what to read next. */
#include <string.h>

#include "door/inside.h"
#include "paper/diagnose_paper.h"

static const door_key reading_keys[] = {{"what", ""}, {"pump", ""}, {"starts", ""}, {"ran", ""},
                                        {"over", ""}, {"from", ""}, {"to", ""},     {NULL, NULL}};
static const char *const reading_names[PW_READING_COUNT] = {"counters", "quiet counters", "gauge at rest",
                                                            "gauge with the pump shut off"};

static const double longest_s = 3660.0 * 86400.0;

static int32_t pump_of(door *d, const pw_site *site, const pw_json *json, const char *path)
{
    char where[PW_PATH_SIZE];
    const char *name = door_string(d, json, path, "pump", NULL);
    for (int32_t i = 0; name != NULL && i < site->pump_count; i++) {
        if (strcmp(site->pumps[i].name, name) == 0) {
            return i;
        }
    }
    if (name != NULL) {
        pw_problem_tell(d->problems, PW_REFERENCE, door_path_key(where, path, "pump"), pw_verbatim(name),
                        pw_fact_of("door.pump-name"), pw_no_fact());
    }
    return 0;
}

static pw_reading_kind kind_of(door *d, const pw_json *json, const char *path)
{
    char where[PW_PATH_SIZE];
    const char *what = door_string(d, json, path, "what", NULL);
    for (int32_t i = 0; what != NULL && i < PW_READING_COUNT; i++) {
        if (strcmp(reading_names[i], what) == 0) {
            return (pw_reading_kind)i;
        }
    }
    pw_problem_tell(d->problems, what != NULL ? PW_REFERENCE : PW_MISSING, door_path_key(where, path, "what"),
                    what != NULL ? pw_verbatim(what) : pw_fact_of("door.nothing"), pw_fact_of("diagnose.kinds"),
                    what != NULL ? pw_near_fact(what, reading_names, PW_READING_COUNT) : pw_no_fact());
    return PW_READING_COUNTERS;
}

static void need(door *d, const pw_json *json, const char *path, const char *key)
{
    char where[PW_PATH_SIZE];
    if (pw_json_get(json, key) == NULL) {
        pw_problem_tell(d->problems, PW_MISSING, door_path_key(where, path, key), pw_fact_of("door.nothing"),
                        pw_fact_of("diagnose.needs"), pw_no_fact());
    }
}

static void read_one(door *d, const pw_site *site, const pw_json *json, const char *path, pw_reading *out)
{
    char where[PW_PATH_SIZE];
    memset(out, 0, sizeof *out);
    if (json->kind != PW_JSON_OBJECT) {
        door_wrong_type(d, json, path, pw_fact_of("diagnose.reading"));
        return;
    }
    door_check_keys(d, json, path, reading_keys, NULL);
    out->kind = kind_of(d, json, path);
    need(d, json, path, "over");
    out->over_s = door_quantity(d, json, path, "over", PW_DIM_TIME, 1.0, longest_s, 1.0);
    if (pw_reading_is_gauge(out->kind)) {
        need(d, json, path, "from");
        need(d, json, path, "to");
        out->pump = pump_of(d, site, json, path);
        out->from_pa = door_quantity(d, json, path, "from", PW_DIM_PRESSURE, -100e3, 10e6, 0.0);
        out->to_pa = door_quantity(d, json, path, "to", PW_DIM_PRESSURE, -100e3, 10e6, 0.0);
        if (out->to_pa > out->from_pa) {
            pw_problem_tell(d->problems, PW_CONFLICT, door_path_key(where, path, "to"),
                            pw_fact_of("base.value", pw_quantity(PW_DIM_PRESSURE, out->to_pa)),
                            pw_fact_of("diagnose.falls", pw_quantity(PW_DIM_PRESSURE, out->from_pa)), pw_no_fact());
        }
        return;
    }
    need(d, json, path, "starts");
    need(d, json, path, "ran");
    out->pump = pump_of(d, site, json, path);
    out->starts = door_whole(d, json, path, "starts", 0, 1000000000, 0);
    out->ran_s = door_quantity(d, json, path, "ran", PW_DIM_TIME, 0.0, longest_s, 0.0);
    if (out->ran_s > out->over_s) {
        pw_problem_tell(d->problems, PW_CONFLICT, door_path_key(where, path, "ran"),
                        pw_fact_of("base.value", pw_quantity(PW_DIM_TIME, out->ran_s)),
                        pw_fact_of("diagnose.ran-most", pw_quantity(PW_DIM_TIME, out->over_s)), pw_no_fact());
    }
}

static int32_t read_all(door *d, const pw_site *site, pw_reading *out)
{
    char path[PW_PATH_SIZE];
    const pw_json *list = door_list(d, "readings");
    const int32_t count = list != NULL ? list->count : 0;
    if (count < 1 || count > PW_MAX_READINGS) {
        pw_problem_tell(d->problems, count < 1 ? PW_MISSING : PW_LIMIT, "readings", pw_fact_of("door.nothing"),
                        pw_fact_of("diagnose.readings", pw_count(PW_MAX_READINGS)), pw_no_fact());
        return 0;
    }
    const pw_json *json = list->first;
    for (int32_t i = 0; i < count; i++, json = json->next) {
        read_one(d, site, json, door_path_index(path, "readings", i), &out[i]);
    }
    return count;
}

/* ---- the answer ---- */

static void put_foretold(door *d, const pw_diagnosis *found, const pw_hypothesis *hypothesis)
{
    pw_json_open(d->answer, "foretold", '[');
    for (int32_t r = 0; r < found->reading_count; r++) {
        const bool rest = pw_reading_is_gauge(found->readings[r].kind);
        pw_json_open(d->answer, NULL, '{');
        door_put_estimate(d, rest ? "fall_pa" : "starts", &hypothesis->foretold[r].first);
        if (!rest) {
            door_put_estimate(d, "ran_s", &hypothesis->foretold[r].second);
        }
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
}

static void put_hypothesis(door *d, const pw_diagnosis *found, const pw_hypothesis *hypothesis)
{
    const pw_fact name = pw_hypothesis_fact(d->arena, hypothesis);
    pw_json_open(d->answer, NULL, '{');
    pw_json_string(d->answer, "what", hypothesis->more_use ? "more use" : pw_fault_id(hypothesis->fault));
    door_put_fact(d, "words", &name);
    door_put_number(d, "probability", hypothesis->probability);
    door_put_number(d, "misfit", hypothesis->misfit);
    if (hypothesis->has_severity) {
        door_put_estimate(d, "severity", &hypothesis->severity);
    }
    put_foretold(d, found, hypothesis);
    pw_json_close(d->answer, '}');
}

static void put_next(door *d, const pw_plant *plant, const pw_diagnosis *found, const pw_next_reading *next)
{
    const pw_fact what = pw_next_reading_fact(d->arena, plant, next);
    pw_json_open(d->answer, NULL, '{');
    pw_json_string(d->answer, "what", reading_names[next->reading.kind]);
    door_put_fact(d, "words", &what);
    door_put_number(d, "bits", next->bits);
    pw_json_open(d->answer, "outcomes", '[');
    for (int32_t i = 0; i < found->hypothesis_count; i++) {
        if (next->outcome[i].high > 0.0 || next->outcome[i].low > 0.0) {
            pw_json_open(d->answer, NULL, '{');
            pw_json_int(d->answer, "hypothesis", i);
            door_put_estimate(d, pw_reading_is_gauge(next->reading.kind) ? "fall_pa" : "starts", &next->outcome[i]);
            pw_json_close(d->answer, '}');
        }
    }
    pw_json_close(d->answer, ']');
    pw_json_close(d->answer, '}');
}

static void put_quiet(door *d, const pw_diagnosis *found)
{
    for (int32_t r = 0; r < found->reading_count; r++) {
        const pw_quiet_balance *quiet = &found->quiet[r];
        if (!quiet->known) {
            continue;
        }
        pw_json_open(d->answer, "quiet", '{');
        door_put_number(d, "pumped_m3s", quiet->pumped_m3s);
        door_put_estimate(d, "leak_m3s", &quiet->leak_m3s);
        door_put_estimate(d, "drawdown_m3", &quiet->drawdown_m3);
        door_put_number(d, "sheet_m3", quiet->sheet_m3);
        pw_json_close(d->answer, '}');
        return;
    }
}

pw_status door_diagnose(door *d)
{
    if (d->follow != NULL) {
        return door_begin_follow(d);
    }
    if (d->log != NULL || pw_json_get(d->request, "log") != NULL) {
        return door_diagnose_log(d);
    }
    pw_reading readings[PW_MAX_READINGS];
    pw_diagnose_options options = {.cancelled = door_simulating, .user = d};
    const door_papers wanted = door_papers_wanted(d, true, false);
    options.seed = (uint64_t)door_whole(d, d->request, "", "seed", 0, (int64_t)1 << 53, 1);
    const pw_plant *plant = door_plant(d);
    if (plant == NULL) {
        return door_problem(d);
    }
    const int32_t count = read_all(d, plant->site, readings);
    if (door_problem(d) != PW_OK) {
        return door_problem(d);
    }
    pw_diagnosis *found = NULL;
    const int32_t told = d->problems->count, lost = d->problems->lost;
    pw_status status = pw_diagnose(d->arena, plant->site, readings, count, &options, &found, d->problems);
    if (status != PW_OK) {
        return status;
    }
    door_forget_errors(d, told, lost);
    pw_json_bool(d->answer, "explained", found->explained);
    pw_json_open(d->answer, "hypotheses", '[');
    for (int32_t i = 0; i < found->hypothesis_count; i++) {
        put_hypothesis(d, found, &found->hypotheses[i]);
    }
    pw_json_close(d->answer, ']');
    put_quiet(d, found);
    pw_json_open(d->answer, "next", '[');
    for (int32_t i = 0; i < found->next_count; i++) {
        put_next(d, plant, found, &found->next[i]);
    }
    pw_json_close(d->answer, ']');
    if (!wanted.text && !wanted.html) {
        return PW_OK;
    }
    pw_document *document = NULL;
    status = pw_paper_diagnosis(d->arena, plant, found, &d->voice, &document);
    return status == PW_OK ? door_put_papers(d, &wanted, document) : status;
}
