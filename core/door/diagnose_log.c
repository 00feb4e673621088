/* "diagnose" with a log: what it shows, what that speaks for, and what to do next. */
#include <string.h>

#include "door/inside.h"
#include "paper/log_paper.h"
#include "study/expect.h"

static const door_key log_keys[] = {{"signals", ""}, {"rows", ""}, {NULL, NULL}};

static pw_log_signal signal_of(door *d, const pw_json *json, int32_t index)
{
    char path[PW_PATH_SIZE], list[PW_PATH_SIZE];
    const char *names[PW_LOG_SIGNALS];
    for (int32_t s = 0; s < PW_LOG_SIGNALS; s++) {
        names[s] = pw_log_signal_id((pw_log_signal)s);
        if (json->kind == PW_JSON_STRING && strcmp(json->string, names[s]) == 0) {
            return (pw_log_signal)s;
        }
    }
    const bool text = json->kind == PW_JSON_STRING;
    pw_problem_tell(d->problems, PW_REFERENCE, door_path_index(path, door_path_key(list, "log", "signals"), index),
                    text ? pw_verbatim(json->string) : pw_fact_of("door.nothing"), pw_fact_of("log.one-of-signals"),
                    text ? pw_near_fact(json->string, names, PW_LOG_SIGNALS) : pw_no_fact());
    return PW_LOG_SIGNALS;
}

static bool read_row(const pw_json *json, const pw_log_signal *signals, int32_t count, pw_log_row *out)
{
    const pw_json *value = json->kind == PW_JSON_ARRAY ? json->first : NULL;
    if (value == NULL || value->kind != PW_JSON_NUMBER || json->count != count + 1) {
        return false;
    }
    out->t_s = value->number;
    for (int32_t s = 0; s < PW_LOG_SIGNALS; s++) {
        out->value[s] = PW_LOG_MISSING;
    }
    value = value->next;
    for (int32_t i = 0; i < count; i++, value = value->next) {
        if (value->kind == PW_JSON_NUMBER) {
            out->value[signals[i]] = value->number;
        } else if (value->kind != PW_JSON_NULL) {
            return false;
        }
    }
    return true;
}

/* The log of the request itself; NULL after problems were added. */
static const pw_record *log_of_request(door *d)
{
    char path[PW_PATH_SIZE], list[PW_PATH_SIZE];
    const pw_json *json = pw_json_get(d->request, "log");
    const pw_json *names = pw_json_get(json, "signals"), *rows = pw_json_get(json, "rows");
    pw_log_signal signals[PW_LOG_SIGNALS];
    bool has[PW_LOG_SIGNALS] = {false};
    int32_t count = 0, index = 0;
    if (names == NULL || rows == NULL || names->kind != PW_JSON_ARRAY || rows->kind != PW_JSON_ARRAY ||
        names->count < 1 || names->count > PW_LOG_SIGNALS || rows->count < 1) {
        pw_problem_tell(d->problems, PW_MISSING, "log", pw_fact_of("door.nothing"), pw_fact_of("log.signals-and-rows"),
                        pw_no_fact());
        return NULL;
    }
    door_check_keys(d, json, "log", log_keys, NULL);
    for (const pw_json *name = names->first; name != NULL; name = name->next) {
        const pw_log_signal signal = signal_of(d, name, count);
        if (signal == PW_LOG_SIGNALS) {
            return NULL;
        }
        has[signal] = true;
        signals[count++] = signal;
    }
    pw_record *log = PW_NEW(d->arena, 1, pw_record);
    if (log == NULL) {
        pw_problem_add(d->problems, PW_MEMORY, "", "", "", "");
        return NULL;
    }
    pw_log_begin(log, has);
    for (const pw_json *json_row = rows->first; json_row != NULL; json_row = json_row->next, index++) {
        pw_log_row row;
        if (!read_row(json_row, signals, count, &row)) {
            pw_problem_tell(d->problems, PW_SYNTAX, door_path_index(path, door_path_key(list, "log", "rows"), index),
                            pw_fact_of("door.nothing"), pw_fact_of("log.row-of", pw_count(count + 1)), pw_no_fact());
            return NULL;
        }
        pw_log_take(log, &row);
    }
    pw_log_end(log);
    return log;
}

const pw_record *door_log(door *d)
{
    return d->log != NULL ? d->log : log_of_request(d);
}

/* ---- the answer ---- */

static void put_log(door *d, const pw_record *log)
{
    const struct {
        const char *key;
        int64_t count;
    } bad[] = {{"missing", log->bad.missing},
               {"steps back", log->bad.back},
               {"jumps", log->bad.jumps},
               {"counter began anew", log->bad.resets},
               {"stuck", log->bad.stuck},
               {"out of range", log->bad.out_of_range},
               {"time went back", log->bad.time_back},
               {"same time", log->bad.time_same},
               {"gaps", log->bad.gaps}};
    pw_json_open(d->answer, "log", '{');
    pw_json_int(d->answer, "rows", log->rows);
    door_put_number(d, "from_s", log->first_s);
    door_put_number(d, "until_s", log->last_s);
    door_put_number(d, "step_s", log->step_s);
    pw_json_open(d->answer, "bad", '{');
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        pw_json_int(d->answer, bad[i].key, bad[i].count);
    }
    pw_json_close(d->answer, '}');
    pw_json_open(d->answer, "standing", '[');
    for (int32_t i = 0; i < log->meter.count; i++) {
        const pw_log_standing *one = &log->meter.list[i];
        pw_json_open(d->answer, NULL, '{');
        door_put_number(d, "begin_s", one->begin_s);
        door_put_number(d, "end_s", one->end_s);
        pw_json_bool(d->answer, "ended", one->ended);
        door_put_estimate(d, "size_m3s", &(pw_estimate){one->low_m3s, one->size_m3s, one->high_m3s});
        door_put_number(d, "probability", one->probability);
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
    pw_json_close(d->answer, '}');
}

static void put_features(door *d, const pw_log_features *features)
{
    pw_json_open(d->answer, "features", '{');
    for (int32_t f = 0; f < PW_LOG_FEATURES; f++) {
        if (features->known[f]) {
            door_put_number(d, pw_log_feature_of((pw_log_feature)f)->id, features->value[f]);
        }
    }
    pw_json_close(d->answer, '}');
}

/* verdict: "" where nothing was expected */
static void put_reading(door *d, const char *what, pw_dimension dimension, double si, const char *verdict)
{
    pw_json_open(d->answer, NULL, '{');
    pw_json_string(d->answer, "what", what);
    door_put_number(d, "si", si);
    door_put_quantity(d, "value", dimension, si);
    pw_json_string(d->answer, "verdict", verdict);
    pw_json_close(d->answer, '}');
}

/* A reading of commissioning; the log's instruments are taken to err as gauges usually do. */
static void put_judged(door *d, const pw_expect *expect, double si)
{
    const double error = pw_expect_usual_error(expect->dimension, si);
    put_reading(d, expect->what, expect->dimension, si, pw_reading_id(pw_expect_judge(expect, si, error)));
}

/* The leak that the log shows; false: it shows none. */
static bool leak_of(const pw_record *log, const pw_log_verdict *v, double *m3s)
{
    const pw_log_hypothesis *best = &v->hypotheses[0];
    const pw_log_standing *last = log->meter.count > 0 ? &log->meter.list[log->meter.count - 1] : NULL;
    if (last != NULL && !last->ended) {
        *m3s = last->size_m3s;
        return true;
    }
    *m3s = best->severity.best;
    return v->count > 0 && best->fault == PW_FAULT_SLOW_LEAK && best->has_severity && best->probability >= 0.5;
}

/* What the log shows of what is measured on the day of commissioning, by the same names: where there is one pump or one
 * vessel, so that there is no doubt of which. */
static void put_expected(door *d, const pw_site *site, const pw_expects *list, const pw_record *log,
                         const pw_log_verdict *v)
{
    double leak_m3s = 0.0;
    const bool leaks = leak_of(log, v, &leak_m3s);
    for (int32_t i = 0; i < list->count; i++) {
        const pw_expect *expect = &list->items[i];
        const bool start = expect->kind == PW_EXPECT_CUT_IN, stop = expect->kind == PW_EXPECT_CUT_OUT;
        const pw_log_feature feature = start ? PW_FOUND_CUT_IN : PW_FOUND_CUT_OUT;
        if ((start || stop) && site->pump_count == 1 && v->features.known[feature]) {
            put_judged(d, expect, v->features.value[feature]);
        } else if (expect->kind == PW_EXPECT_LEAK && site->vessel_count == 1 && leaks) {
            put_judged(d, expect, leak_m3s);
        }
    }
}

/* Numbers to be kept over the years (the request trend). */
static pw_status put_readings(door *d, const pw_plant *plant, const pw_record *log, const pw_log_verdict *v)
{
    /* What wear, leaks and falling water move slowly (own choice). */
    static const pw_log_feature kept[] = {PW_FOUND_FALL_QUIET, PW_FOUND_FLOW,       PW_FOUND_FLOW_NIGHT,
                                          PW_FOUND_CURRENT,    PW_FOUND_POWER,      PW_FOUND_WATER,
                                          PW_FOUND_SHAKE,      PW_FOUND_STARTS_DAY, PW_FOUND_SHARE};
    pw_expects *list = NULL;
    if (plant != NULL) {
        const pw_status status = pw_expect_list(d->arena, plant, pw_grade_find("2B"), &list, d->problems);
        if (status != PW_OK) {
            return status;
        }
    }
    pw_json_open(d->answer, "readings", '[');
    if (list != NULL) {
        put_expected(d, plant->site, list, log, v);
    }
    for (size_t i = 0; i < sizeof kept / sizeof kept[0]; i++) {
        if (v->features.known[kept[i]]) {
            const pw_log_feature_row *row = pw_log_feature_of(kept[i]);
            put_reading(d, row->id, row->dimension, v->features.value[kept[i]], "");
        }
    }
    pw_json_close(d->answer, ']');
    return PW_OK;
}

static void put_hypothesis(door *d, const pw_log_hypothesis *h)
{
    const pw_fact name = pw_log_hypothesis_fact(d->arena, h);
    pw_json_open(d->answer, NULL, '{');
    pw_json_string(d->answer, "what", h->more_use ? "more use" : pw_fault_id(h->fault));
    door_put_fact(d, "words", &name);
    door_put_number(d, "probability", h->probability);
    if (h->has_severity) {
        door_put_estimate(d, "severity", &h->severity);
    }
    pw_json_bool(d->answer, "not told from the first", h->twin);
    pw_json_open(d->answer, "evidence", '[');
    for (int32_t i = 0; i < h->evidence_count; i++) {
        const pw_log_evidence *e = &h->evidence[i];
        pw_json_open(d->answer, NULL, '{');
        pw_json_string(d->answer, "feature", pw_log_feature_of(e->feature)->id);
        door_put_number(d, "seen", e->seen);
        door_put_number(d, "foretold", e->foretold);
        door_put_number(d, "otherwise", e->healthy);
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
    pw_json_close(d->answer, '}');
}

void door_put_log_hypotheses(door *d, const pw_log_verdict *verdict)
{
    pw_json_open(d->answer, "hypotheses", '[');
    for (int32_t i = 0; i < verdict->count; i++) {
        put_hypothesis(d, &verdict->hypotheses[i]);
    }
    pw_json_close(d->answer, ']');
}

static void put_next(door *d, const pw_log_verdict *v, const pw_log_next *next)
{
    const pw_fact what = pw_log_next_fact(next);
    pw_json_open(d->answer, NULL, '{');
    door_put_fact(d, "words", &what);
    door_put_number(d, "bits", next->bits);
    pw_json_open(d->answer, "outcomes", '[');
    for (int32_t i = 0; i < v->count; i++) {
        if (next->known[i] && v->hypotheses[i].probability >= PW_LOG_WORTH_TELLING) {
            pw_json_open(d->answer, NULL, '{');
            pw_json_int(d->answer, "hypothesis", i);
            door_put_estimate(d, "outcome", &next->outcome[i]);
            pw_json_close(d->answer, '}');
        }
    }
    pw_json_close(d->answer, ']');
    pw_json_close(d->answer, '}');
}

static pw_status judge(door *d, const pw_site *site, const pw_record *log, pw_log_verdict **out)
{
    const pw_diagnose_options options = {.seed =
                                             (uint64_t)door_whole(d, d->request, "", "seed", 0, (int64_t)1 << 53, 1),
                                         .cancelled = door_simulating,
                                         .user = d};
    if (site == NULL) {
        *out = PW_NEW(d->arena, 1, pw_log_verdict);
        if (*out == NULL) {
            return PW_MEMORY;
        }
        pw_log_judge_alone(log, *out);
        return PW_OK;
    }
    const int32_t told = d->problems->count, lost = d->problems->lost;
    const pw_status status = pw_log_judge(d->arena, site, log, &options, out, d->problems);
    if (status == PW_OK) {
        door_forget_errors(d, told, lost);
    }
    return status;
}

pw_status door_diagnose_log(door *d)
{
    const door_papers wanted = door_papers_wanted(d, true, false);
    const bool has_site = pw_json_get(d->request, "site") != NULL;
    const pw_plant *plant = has_site ? door_plant(d) : NULL;
    const pw_record *log = door_log(d);
    if (door_problem(d) != PW_OK) {
        return door_problem(d);
    }
    pw_log_verdict *v = NULL;
    pw_status status = judge(d, has_site ? plant->site : NULL, log, &v);
    if (status != PW_OK) {
        return status;
    }
    put_log(d, log);
    put_features(d, &v->features);
    status = put_readings(d, plant, log, v);
    if (status != PW_OK) {
        return status;
    }
    pw_json_bool(d->answer, "explained", v->explained);
    door_put_number(d, "judged_from_s", v->since_s);
    door_put_number(d, "judged_until_s", v->until_s);
    door_put_log_hypotheses(d, v);
    pw_json_open(d->answer, "next", '[');
    for (int32_t i = 0; i < v->next_count; i++) {
        put_next(d, v, &v->next[i]);
    }
    pw_json_close(d->answer, ']');
    if (!wanted.text && !wanted.html) {
        return PW_OK;
    }
    pw_document *document = NULL;
    status = pw_paper_log(d->arena, plant, log, v, &d->voice, &document);
    return status == PW_OK ? door_put_papers(d, &wanted, document) : status;
}
