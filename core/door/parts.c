/* What requests about the jobs of a proof have in common: their options, parts of the jobs, and going through them. */
#include "base/num.h"
#include "door/inside.h"
#include "study/prove_words.h"

void door_read_proof(door *d, int32_t least_years, int32_t most_years, int32_t most_sweep, pw_proof_options *options)
{
    const pw_json *r = d->request;
    const double onset_s = (double)options->onset_ms / 1000.0;
    options->cancelled = door_stop_asked;
    options->user = d;
    options->healthy_years = (int32_t)door_whole(d, r, "", "years", least_years, most_years, options->healthy_years);
    options->horizon_s = door_quantity(d, r, "", "horizon", PW_DIM_TIME, 60.0, 366.0 * 86400.0, options->horizon_s);
    options->sweep_count = (int32_t)door_whole(d, r, "", "sweep", 0, most_sweep, options->sweep_count);
    options->seed = (uint64_t)door_whole(d, r, "", "seed", 0, (int64_t)1 << 53, (int64_t)options->seed);
    options->onset_ms = door_time_ms(d, r, "", "onset", 0.0, 366.0 * 86400.0, onset_s);
    options->places = (int32_t)door_whole(d, r, "", "places", 1, PW_MAX_PLACES_TRIED, options->places);
    options->onsets = (int32_t)door_whole(d, r, "", "onsets", 1, PW_MAX_ONSETS, options->onsets);
    options->pairs = door_truth(d, r, "", "pairs", options->pairs);
    options->margins = door_truth(d, r, "", "margins", options->margins);
    options->confidence = door_quantity(d, r, "", "confidence", PW_DIM_FRACTION, 0.5, 0.999999, options->confidence);
}

door_part door_read_part(door *d)
{
    door_part out = door_all_jobs();
    const pw_json *list = door_list(d, "part");
    if (!list) {
        return out;
    }
    const pw_json *index = pw_json_at(list, 0), *count = pw_json_at(list, 1);
    bool numbers = list->count == 2 && index->kind == PW_JSON_NUMBER && count->kind == PW_JSON_NUMBER;
    bool fits = numbers && count->number >= 1.0 && count->number <= 10000.0 && index->number >= 0.0 &&
                index->number < count->number && index->number == pw_floor(index->number) &&
                count->number == pw_floor(count->number);
    if (!fits) {
        pw_problem_tell(d->problems, PW_RANGE, "part", pw_fact_of("door.part-list"), pw_fact_of("door.part"),
                        pw_no_fact());
        return out;
    }
    out.given = true;
    out.index = (int32_t)index->number;
    out.count = (int32_t)count->number;
    return out;
}

bool door_one_outcome_each(door *d, const char *key, const pw_json *list, const pw_jobs *jobs)
{
    if (list->count != jobs->count) {
        pw_problem_tell(d->problems, PW_CONFLICT, key, pw_fact_of("door.count", pw_count(list->count)),
                        pw_fact_of("door.count", pw_count(jobs->count)), pw_fact_of("door.one-outcome-each"));
        return false;
    }
    return true;
}

pw_status door_begin_job(door *d, const pw_plant *plant, const pw_jobs *jobs, int32_t job)
{
    if (door_cancelled(d)) {
        return pw_problem_add(d->problems, PW_CANCELLED, "", "", "", "");
    }
    const size_t mark = pw_arena_mark(d->arena);
    const pw_fact words = pw_job_fact(d->arena, plant, &jobs->jobs[job]);
    door_progress(d, (double)job / (double)jobs->count, pw_say_words(d->arena, &d->voice, &words));
    pw_arena_back(d->arena, mark);
    return PW_OK;
}
