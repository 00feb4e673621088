/* "fit": numbers of a sheet calibrated against a log of its site. */
#include "door/inside.h"
#include "paper/fit_paper.h"

static const char *const *read_paths(door *d, int32_t *count)
{
    const pw_json *list = door_list(d, "numbers");
    *count = list != NULL ? list->count : 0;
    const char **out = PW_NEW(d->arena, *count + 1, const char *);
    int32_t i = 0;
    for (const pw_json *one = list != NULL ? list->first : NULL; one != NULL && out != NULL; one = one->next, i++) {
        char where[PW_PATH_SIZE];
        out[i] = one->kind == PW_JSON_STRING ? one->string : "";
        if (one->kind != PW_JSON_STRING) {
            door_wrong_type(d, one, door_path_index(where, "numbers", i), pw_fact_of("door.path-as-text"));
        }
    }
    return out;
}

static void put_unknown(door *d, const pw_fit *fit, const pw_fit_unknown *u)
{
    const pw_fact name = pw_fit_unknown_fact(u);
    pw_json_open(d->answer, NULL, '{');
    door_put_fact(d, "words", &name);
    pw_json_bool(d->answer, "told", u->told);
    pw_json_bool(d->answer, "off", u->off);
    door_put_estimate(d, u->leak ? "leak_m3s" : "factor", &u->factor);
    if (!u->told) {
        const pw_fact why = pw_fit_refusal_fact(d->arena, fit, u);
        door_put_fact(d, "why", &why);
        pw_json_string(d->answer, "measure", u->measure ? pw_log_signal_id(u->signal) : NULL);
    }
    pw_json_open(d->answer, "numbers", '[');
    for (int32_t i = u->from; i < u->from + u->count; i++) {
        const pw_fit_value *value = &fit->values[i];
        pw_text exact;
        pw_text_init(&exact, d->arena);
        pw_param_exact(&exact, &value->param, value->is);
        pw_json_open(d->answer, NULL, '{');
        pw_json_string(d->answer, "path", value->param.path);
        door_put_number(d, "was si", value->param.si);
        door_put_number(d, "si", value->is);
        (void)door_put_text(d, "exact", &exact);
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
    pw_json_close(d->answer, '}');
}

static void put_features(door *d, const char *key, const pw_fit *fit, const pw_log_features *of)
{
    pw_json_open(d->answer, key, '{');
    for (int32_t f = 0; f < PW_LOG_FEATURES; f++) {
        if (fit->seen.known[f] && of->known[f]) {
            door_put_number(d, pw_log_feature_of((pw_log_feature)f)->id, of->value[f]);
        }
    }
    pw_json_close(d->answer, '}');
}

static void put_fit(door *d, const pw_fit *fit)
{
    pw_json_bool(d->answer, "explained", fit->explained);
    door_put_number(d, "misfit before", fit->misfit_before);
    door_put_number(d, "misfit after", fit->misfit_after);
    door_put_number(d, "judged_from_s", fit->since_s);
    pw_json_open(d->answer, "unknowns", '[');
    for (int32_t i = 0; i < fit->unknown_count; i++) {
        put_unknown(d, fit, &fit->unknowns[i]);
    }
    pw_json_close(d->answer, ']');
    put_features(d, "seen", fit, &fit->seen);
    put_features(d, "before", fit, &fit->before);
    put_features(d, "after", fit, &fit->after);
}

pw_status door_fit(door *d)
{
    const door_papers wanted = door_papers_wanted(d, true, false);
    pw_fit_options options = {.cancelled = door_simulating, .user = d};
    options.seed = (uint64_t)door_whole(d, d->request, "", "seed", 0, (int64_t)1 << 53, 1);
    options.paths = read_paths(d, &options.path_count);
    const pw_site *site = door_site(d);
    const pw_record *log = site != NULL && options.paths != NULL ? door_log(d) : NULL;
    if (options.paths == NULL) {
        return PW_MEMORY;
    }
    if (door_problem(d) != PW_OK) {
        return door_problem(d);
    }
    pw_fit *fit = NULL;
    const int32_t told = d->problems->count, lost = d->problems->lost;
    pw_status status = pw_fit_log(d->arena, site, log, &options, &fit, d->problems);
    if (status != PW_OK) {
        return status;
    }
    door_forget_errors(d, told, lost);
    put_fit(d, fit);
    if (!wanted.text && !wanted.html) {
        return PW_OK;
    }
    pw_document *document = NULL;
    status = pw_paper_fit(d->arena, site, fit, &d->voice, &document);
    return status == PW_OK ? door_put_papers(d, &wanted, document) : status;
}
