/* "advise": the watches chosen anew, in one piece or in parts, and the advice assembled from what they reached. */
#include <string.h>

#include "door/advise_inside.h"
#include "paper/advise_paper.h"
#include "study/advise.h"
#include "study/prove_words.h"

static void wrong(door *d, const char *key, const char *found, const char *expected)
{
    pw_problem_tell(d->problems, PW_RANGE, key, found != NULL ? pw_verbatim(found) : pw_no_fact(), pw_fact_of(expected),
                    pw_no_fact());
}

/* "1 in 2 years", "1 false stop in 90 d": how many, and in how long. */
static void read_at_most(door *d, pw_advise_options *options)
{
    const char *text = door_string(d, d->request, "", "at most", NULL);
    const char *in = text != NULL ? strstr(text, " in ") : NULL;
    double count = 0.0, time_s = 0.0;
    if (text == NULL) {
        return;
    }
    size_t used = pw_num_read(text, strlen(text), &count);
    bool good = used > 0 && in != NULL && count >= 0.0 && count <= 1000.0 && count <= pw_floor(count);
    if (good) {
        const char *time = in + strlen(" in ");
        double years = 1.0;
        used = pw_num_read(time, strlen(time), &years);
        const char *unit = time + used + strspn(time + used, " ");
        if (strcmp(unit, "year") == 0 || strcmp(unit, "years") == 0) {
            time_s = (used > 0 ? years : 1.0) * PW_HEALTHY_YEAR_S;
        } else {
            good = pw_quantity_read(time, PW_DIM_TIME, &time_s, NULL, "at most") == PW_OK;
        }
    }
    if (!good || !(time_s >= 86400.0 && time_s <= 1000.0 * PW_HEALTHY_YEAR_S)) {
        wrong(d, "at most", text, "door.at-most");
        return;
    }
    options->at_most = (int32_t)count;
    options->at_most_s = time_s;
}

static void read_able(door *d, pw_advise_options *options)
{
    const char *names[PW_MAX_KEPT];
    const int32_t count = door_texts(d, "able", PW_MAX_KEPT, names);
    options->able = door_list(d, "able") != NULL ? 0 : options->able;
    for (int32_t i = 0; i < count; i++) {
        bool known = false;
        for (int32_t form = 0; form < PW_WATCH_FORMS; form++) {
            if (strcmp(names[i], pw_watch_form_id((pw_watch_form)form)) == 0) {
                options->able |= 1u << form;
                known = true;
            }
        }
        if (!known) {
            wrong(d, "able", names[i], "door.forms-able");
        }
    }
}

static void read_options(door *d, pw_advise_options *options)
{
    const pw_json *r = d->request;
    pw_advise_defaults(options);
    door_read_proof(d, 1, PW_MAX_ADVISE_YEARS, PW_MAX_SWEEP, &options->proof);
    options->unseen_s = door_quantity(d, r, "", "unseen", PW_DIM_TIME, 3600.0, 366.0 * 86400.0, options->unseen_s);
    options->unseen_s = pw_max(options->unseen_s, options->proof.horizon_s);
    options->uncertain = door_truth(d, r, "", "uncertain", options->uncertain);
    options->water_per_m3 = door_plain(d, r, "", "water price", 0.0, 1e6, options->water_per_m3);
    options->call_out = door_plain(d, r, "", "call-out price", 0.0, 1e9, options->call_out);
    options->pump = door_plain(d, r, "", "pump price", 0.0, 1e9, options->pump);
    options->keep_count = door_texts(d, "keep", PW_MAX_KEPT, options->keep);
    options->no_sensor_count = door_texts(d, "no sensor", PW_MAX_KEPT, options->no_sensor);
    read_able(d, options);
    read_at_most(d, options);
}

/* What is to stay, or is not there, must be something of this site. */
static void check_names(door *d, const pw_plant *plant, const pw_advise_options *options)
{
    for (int32_t i = 0; i < options->keep_count; i++) {
        bool there = false;
        for (int32_t s = 0; s < pw_settings_count(plant->settings); s++) {
            pw_text text;
            pw_text_init(&text, d->arena);
            pw_settings_put(plant->settings, s, &text);
            there = there || (!text.failed && strncmp(text.data, options->keep[i], strlen(options->keep[i])) == 0);
        }
        if (!there) {
            wrong(d, "keep", options->keep[i], "door.keep");
        }
    }
    for (int32_t i = 0; i < options->no_sensor_count; i++) {
        bool there = false;
        for (int32_t s = 0; s < plant->signal_count; s++) {
            there = there || strcmp(plant->signals[s].name, options->no_sensor[i]) == 0;
        }
        if (!there) {
            wrong(d, "no sensor", options->no_sensor[i], "door.no-sensor");
        }
    }
}

/* ---- jobs ---- */

/* What each job reaches, into out; with an advice its list at work instead, into checks. */
static pw_status do_jobs(door *d, const pw_advise_plan *plan, const pw_advice *advice, door_part which, pw_reach *out,
                         pw_reach_check *checks)
{
    pw_advise_starts *starts = NULL;
    pw_status status = pw_advise_prepare(d->arena, plan, advice, which.index, which.count, &starts, d->problems);
    for (int32_t job = which.index; job < plan->jobs->count && status == PW_OK; job += which.count) {
        const int32_t told = d->problems->count, lost = d->problems->lost;
        status = door_begin_job(d, plan->plant, plan->jobs, job);
        if (status == PW_OK) {
            status = advice != NULL ? pw_advise_check_job(d->arena, advice, starts, job, &checks[job], d->problems)
                                    : pw_advise_job(d->arena, plan, starts, job, &out[job], d->problems);
        }
        if (status == PW_OK) {
            door_forget_errors(d, told, lost);
        }
    }
    return status;
}

/* ---- the answer ---- */

/* What is typed at a point of the trade-off. */
static void put_trade_list(door *d, const pw_trade_list *list)
{
    pw_json_open(d->answer, "settings", '[');
    for (int32_t i = 0; i < list->count; i++) {
        pw_json_open(d->answer, NULL, '{');
        pw_json_string(d->answer, "words", list->sentences[i]);
        door_put_count(d, "was", list->was[i]);
        pw_json_bool(d->answer, "differs", list->differs[i]);
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
}

/* list: NULL for what is no point of the trade-off. */
static void put_trade(door *d, const char *key, const pw_trade *trade, const pw_trade_list *list)
{
    pw_json_open(d->answer, key, '{');
    pw_json_int(d->answer, "years_stopped", trade->stopped);
    door_put_number(d, "lost_m3_a", trade->lost_m3_a);
    door_put_number(d, "cost_a", trade->cost_a);
    pw_json_int(d->answer, "unseen", trade->unseen);
    if (list != NULL) {
        put_trade_list(d, list);
    }
    pw_json_close(d->answer, '}');
}

static void put_list(door *d, const pw_advice *advice)
{
    pw_json_open(d->answer, "settings", '[');
    for (int32_t i = 0; i < advice->count; i++) {
        const int32_t family = advice->family[i];
        pw_json_open(d->answer, NULL, '{');
        pw_json_string(d->answer, "words", advice->sentences[i]);
        door_put_count(d, "was", advice->was[i]);
        pw_json_bool(d->answer, "differs", advice->differs[i]);
        if (family >= 0) {
            const pw_chosen *chosen = &advice->chosen[family];
            const pw_limit *limits = advice->plan->limits;
            const pw_fact why = pw_advise_why(advice, family);
            const pw_fact sees = pw_advise_sees(d->arena, advice, family);
            door_put_fact(d, "why", &why);
            door_put_fact(d, "sees", &sees);
            const int32_t stops = chosen->stops_from, misses = chosen->misses_from;
            pw_json_string(d->answer, "stops_from", stops >= 0 ? limits[stops].sentence : NULL);
            pw_json_string(d->answer, "misses_from", misses >= 0 ? limits[misses].sentence : NULL);
            door_put_number(d, "earns_a", chosen->earns_a);
        }
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
}

static void put_advice(door *d, const pw_advice *advice)
{
    const pw_advise_plan *plan = advice->plan;
    pw_json_string(d->answer, "name", plan->plant->site->name);
    pw_json_bool(d->answer, "invented", plan->plant->site->invented);
    pw_json_int(d->answer, "jobs", plan->jobs->count);
    pw_json_int(d->answer, "limits", plan->limit_count);
    pw_json_bool(d->answer, "changes", advice->changes);
    put_list(d, advice);
    pw_json_int(d->answer, "years", advice->years);
    pw_json_int(d->answer, "faults", advice->faults);
    pw_json_int(d->answer, "sizes", advice->sizes);
    pw_json_int(d->answer, "years_allowed", advice->allowed);
    pw_json_bool(d->answer, "bound_shown", advice->shown);
    door_put_number(d, "upper_a", advice->upper_a);
    door_put_number(d, "present_upper_a", advice->present_upper_a);
    door_put_number(d, "slack", advice->slack > 0 ? pw_advise_slack(advice->slack) : 1.0);
    put_trade(d, "present", &advice->present, NULL);
    put_trade(d, "advised", &advice->advised, NULL);
    put_trade(d, "without", &advice->nothing, NULL);
    pw_json_open(d->answer, "trade_off", '[');
    for (int32_t i = 0; i < advice->trade_count; i++) {
        pw_trade_list *list = PW_NEW(d->arena, 1, pw_trade_list);
        if (list == NULL || pw_advise_trade_list(d->arena, advice, i, list) != PW_OK) {
            pw_problem_add(d->problems, PW_MEMORY, "", "", "", "");
            return;
        }
        put_trade(d, NULL, &advice->trades[i], list);
    }
    pw_json_close(d->answer, ']');
    door_put_number(d, "gap_a", advice->gap_a);
    pw_json_open(d->answer, "blind", '[');
    for (int32_t i = 0; i < advice->band_count; i++) {
        const pw_leak_band *band = &advice->bands[i];
        pw_json_open(d->answer, NULL, '{');
        door_put_number(d, "from_m3s", band->from_m3s);
        door_put_number(d, "to_m3s", band->to_m3s);
        door_put_number(d, "lost_m3d", band->lost_m3d);
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
    pw_json_open(d->answer, "extras", '[');
    for (int32_t i = 0; i < PW_EXTRAS; i++) {
        const double earns_a = pw_advise_extra_a(advice, (pw_extra)i);
        if (earns_a > 0.0) {
            pw_json_open(d->answer, NULL, '{');
            pw_json_string(d->answer, "what", pw_extra_id((pw_extra)i));
            door_put_number(d, "earns_a", earns_a);
            pw_json_close(d->answer, '}');
        }
    }
    pw_json_close(d->answer, ']');
    if (advice->checked) {
        pw_json_open(d->answer, "checked", '{');
        pw_json_int(d->answer, "jobs", advice->checked_jobs);
        pw_json_int(d->answer, "same", advice->checked_same);
        pw_json_int(d->answer, "years_stopped", advice->checked_stops);
        pw_json_close(d->answer, '}');
    }
}

static pw_status answer_part(door *d, const pw_advise_plan *plan, door_part which)
{
    pw_reach *out = pw_reach_new(d->arena, plan, plan->jobs->count);
    const pw_status status = out != NULL ? do_jobs(d, plan, NULL, which, out, NULL) : PW_MEMORY;
    if (status != PW_OK) {
        return status;
    }
    pw_json_int(d->answer, "jobs", plan->jobs->count);
    pw_json_open(d->answer, "outcomes", '[');
    for (int32_t job = which.index; job < plan->jobs->count; job += which.count) {
        door_put_reach(d, plan, &out[job]);
    }
    pw_json_close(d->answer, ']');
    return PW_OK;
}

static pw_status answer_part_again(door *d, const pw_advice *advice, door_part which)
{
    const int32_t count = advice->plan->jobs->count;
    pw_reach_check *out = PW_NEW(d->arena, count, pw_reach_check);
    const pw_status status = out != NULL ? do_jobs(d, advice->plan, advice, which, NULL, out) : PW_MEMORY;
    if (status != PW_OK) {
        return status;
    }
    pw_json_int(d->answer, "jobs", count);
    pw_json_open(d->answer, "outcomes", '[');
    for (int32_t job = which.index; job < count; job += which.count) {
        pw_json_open(d->answer, NULL, '{');
        pw_json_int(d->answer, "job", job);
        pw_json_int(d->answer, "first_ms", out[job].first_ms);
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
    return PW_OK;
}

/* again: from parts; NULL: they are done here. */
static pw_status check(door *d, pw_advice *advice, const pw_json *again)
{
    pw_reach_check *checks = NULL;
    if (again != NULL) {
        checks = door_read_checks(d, again, advice->plan);
    } else {
        checks = PW_NEW(d->arena, advice->plan->jobs->count, pw_reach_check);
        const pw_status status =
            checks != NULL ? do_jobs(d, advice->plan, advice, door_all_jobs(), NULL, checks) : PW_MEMORY;
        if (status != PW_OK) {
            return status;
        }
    }
    if (checks == NULL) {
        return door_problem(d);
    }
    pw_advise_checked(advice, checks);
    return PW_OK;
}

pw_status door_advise(door *d)
{
    pw_advise_options options;
    const door_papers wanted = door_papers_wanted(d, false, false);
    read_options(d, &options);
    const door_part which = door_read_part(d);
    const pw_json *given = door_list(d, "outcomes"), *again = door_list(d, "outcomes again");
    const bool checks = door_truth(d, d->request, "", "check", true);
    const pw_plant *plant = door_plant(d);
    if (plant != NULL) {
        check_names(d, plant, &options);
    }
    if (plant == NULL || door_problem(d) != PW_OK) {
        return door_problem(d);
    }
    pw_advise_plan *plan;
    pw_status status = pw_advise_plan_of(d->arena, plant, &options, &plan, d->problems);
    if (status != PW_OK) {
        return status;
    }
    if (which.given && given == NULL) {
        return answer_part(d, plan, which);
    }
    pw_reach *reaches =
        given != NULL ? door_read_reaches(d, given, plan) : pw_reach_new(d->arena, plan, plan->jobs->count);
    if (reaches == NULL) {
        return given != NULL ? door_problem(d) : PW_MEMORY;
    }
    status = given == NULL ? do_jobs(d, plan, NULL, which, reaches, NULL) : PW_OK;
    pw_advice *advice = NULL;
    status = status == PW_OK ? pw_advise_assemble(d->arena, plan, reaches, &advice, d->problems) : status;
    if (status == PW_OK && which.given) {
        return answer_part_again(d, advice, which);
    }
    if (status == PW_OK && checks) {
        status = check(d, advice, again);
    }
    if (status != PW_OK) {
        return status;
    }
    put_advice(d, advice);
    pw_document *document;
    if (!(wanted.text || wanted.html)) {
        return PW_OK;
    }
    status = pw_paper_advice(d->arena, advice, &d->voice, &document);
    return status == PW_OK ? door_put_papers(d, &wanted, document) : status;
}
