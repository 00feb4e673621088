/* What an advice says beside its list: what each watch is the first to see, what would close what stays blind, and why
 * the rest stays as it is. */
#include "base/num.h"
#include "study/advise_inside.h"

/* ---- the first to see ---- */

static bool is_fault(const pw_advice *advice, int32_t job)
{
    return advice->plan->jobs->jobs[job].kind != PW_JOB_HEALTHY && pw_advise_does(advice->plan, job);
}

/* Is it this family's limit that sees this fault first? */
static bool is_first(const pw_advice *advice, int32_t family, int32_t job)
{
    const pw_reach *reach = &advice->reaches[job];
    const int64_t first_ms = pw_advise_foretold_ms(advice, job);
    for (int32_t f = 0; first_ms >= 0 && f < family; f++) {
        const int32_t limit = advice->chosen[f].limit;
        if (limit >= 0 && reach->first_ms[limit] == first_ms) {
            return false;
        }
    }
    const int32_t limit = advice->chosen[family].limit;
    return first_ms >= 0 && limit >= 0 && reach->first_ms[limit] == first_ms;
}

enum { MOST_KINDS = 5 };

/* The kinds of fault that it sees first, most of them first seen; how many it names not. */
static int32_t name_kinds(const pw_advice *advice, int32_t family, pw_facts *out)
{
    int32_t first[PW_FAULT_COUNT] = {0}, tried[PW_FAULT_COUNT] = {0}, left = 0;
    for (int32_t i = 0; i < advice->plan->jobs->count; i++) {
        const pw_job *job = &advice->plan->jobs->jobs[i];
        if (job->kind == PW_JOB_FAULT && is_fault(advice, i)) {
            tried[job->fault.kind]++;
            first[job->fault.kind] += is_first(advice, family, i) ? 1 : 0;
        }
    }
    for (int32_t named = 0;; named++) {
        int32_t most = 0;
        for (int32_t k = 0; k < PW_FAULT_COUNT; k++) {
            most = first[k] > first[most] ? k : most;
        }
        if (first[most] == 0) {
            return left;
        }
        if (named < MOST_KINDS) {
            pw_tell(out, "advise.kind", pw_word(pw_fault_title((pw_fault_kind)most)), pw_count(first[most]),
                    pw_count(tried[most]));
        } else {
            left++;
        }
        first[most] = 0;
    }
}

pw_fact pw_advise_sees(pw_arena *arena, const pw_advice *advice, int32_t family)
{
    pw_facts all;
    pw_facts_init(&all, arena);
    double least = PW_INF, largest = 0.0;
    const int32_t left = name_kinds(advice, family, &all);
    for (int32_t i = 0; i < advice->plan->jobs->count; i++) {
        const pw_job *job = &advice->plan->jobs->jobs[i];
        if (job->kind == PW_JOB_SWEEP && is_first(advice, family, i)) {
            least = pw_min(least, job->fault.severity);
            largest = pw_max(largest, job->fault.severity);
        }
    }
    if (left > 0) {
        pw_tell(&all, "advise.kinds-more", pw_count(left));
    }
    if (largest > 0.0) {
        pw_tell(&all, "advise.leaks", pw_quantity(PW_DIM_FLOW, least), pw_quantity(PW_DIM_FLOW, largest));
    }
    return all.count > 0 ? pw_fact_of("advise.sees-first", pw_list(&all, PW_JOIN_AND))
                         : pw_fact_of("advise.stands-behind");
}

/* ---- what would close what stays blind ---- */

static const struct {
    const char *id;
    pw_signal_kind signal;
    uint32_t by; /* bit for each pw_fault_seen_by */
} extras[PW_EXTRAS] = {
    [PW_EXTRA_TEST] = {"test", PW_SIGNAL_PRESSURE, 0},
    [PW_EXTRA_FLOW] = {"flow", PW_SIGNAL_FLOW, 1u << PW_BY_NO_FLOW},
    [PW_EXTRA_CURRENT] = {"current", PW_SIGNAL_CURRENT,
                          1u << PW_BY_LOW_CURRENT | 1u << PW_BY_HIGH_CURRENT | 1u << PW_BY_CURRENT_AT_REST},
    [PW_EXTRA_PRESSURE] = {"pressure", PW_SIGNAL_PRESSURE, 1u << PW_BY_HIGH_PRESSURE},
    [PW_EXTRA_LEVEL] = {"level", PW_SIGNAL_LEVEL, 1u << PW_BY_TANK_HIGH | 1u << PW_BY_TANK_LOW},
    [PW_EXTRA_WINDING] = {"winding", PW_SIGNAL_WINDING, 1u << PW_BY_HOT_WINDING},
    [PW_EXTRA_SUPPLY] = {"supply", PW_SIGNAL_SUPPLY, 1u << PW_BY_LOW_SUPPLY | 1u << PW_BY_LOST_PHASE},
};

const char *pw_extra_id(pw_extra extra)
{
    return extras[extra].id;
}

static bool sees(const pw_fault_row *row, uint32_t by)
{
    const int32_t count = (int32_t)(sizeof row->seen_by / sizeof row->seen_by[0]);
    for (int32_t i = 0; i < count && row->seen_by[i] != PW_BY_NONE; i++) {
        if ((by >> row->seen_by[i] & 1u) != 0) {
            return true;
        }
    }
    return false;
}

static bool has(const pw_plant *plant, pw_signal_kind kind)
{
    for (int32_t s = 0; s < plant->signal_count; s++) {
        if (plant->signals[s].kind == kind) {
            return true;
        }
    }
    return false;
}

/* What one fault of a kind costs a year less if it is seen after this part of the time for which it goes on unseen. */
static double spared_a(const pw_advice *advice, int32_t job, int32_t alike, double seen_after)
{
    const pw_advise_options *options = &advice->plan->options;
    const pw_reach *reach = &advice->reaches[job];
    const double water = options->water_per_m3 * reach->end_lost_m3 * (1.0 - seen_after);
    const double pump = reach->harm_ms > 0 ? options->pump : 0.0;
    return (water + pump + options->call_out) / (options->fault_years * (double)alike);
}

double pw_advise_extra_a(const pw_advice *advice, pw_extra extra)
{
    const pw_advise_plan *plan = advice->plan;
    int32_t of_kind[PW_FAULT_COUNT + 1] = {0};
    double sum_a = 0.0;
    if (extra != PW_EXTRA_TEST && has(plan->plant, extras[extra].signal)) {
        return -1.0;
    }
    for (int32_t i = 0; i < plan->jobs->count; i++) {
        const pw_job *job = &plan->jobs->jobs[i];
        of_kind[job->kind == PW_JOB_SWEEP ? PW_FAULT_COUNT : job->fault.kind] += is_fault(advice, i) ? 1 : 0;
    }
    for (int32_t i = 0; i < plan->jobs->count; i++) {
        const pw_job *job = &plan->jobs->jobs[i];
        if (!is_fault(advice, i) || pw_advise_foretold_ms(advice, i) >= 0) {
            continue;
        }
        const pw_fault_row *row = pw_fault_row_of(job->fault.kind);
        const bool tested = extra == PW_EXTRA_TEST && row->hole;
        if (tested || sees(row, extras[extra].by)) {
            const int32_t alike = of_kind[job->kind == PW_JOB_SWEEP ? PW_FAULT_COUNT : job->fault.kind];
            sum_a += spared_a(advice, i, alike, tested ? 86400.0 / plan->options.unseen_s : 0.0);
        }
    }
    return sum_a;
}

/* ---- why the rest stays ---- */

/* Fewer starts of a pump in an hour than any healthy year had, by the limits that were tried; 0: not known. */
static int32_t fewer_than(const pw_advice *advice)
{
    const pw_advise_plan *plan = advice->plan;
    int32_t fewest = 0;
    for (int32_t i = 0; i < plan->limit_count; i++) {
        const pw_limit *limit = &plan->limits[i];
        bool acts = limit->count == 0 || limit->row > 0 || limit->night >= 0 || limit->time_ms != 3600000u;
        for (int32_t k = 0; k < plan->jobs->count && !acts; k++) {
            acts = plan->jobs->jobs[k].kind == PW_JOB_HEALTHY && advice->reaches[k].first_ms[i] >= 0;
        }
        fewest = !acts && (fewest == 0 || limit->count < fewest) ? limit->count : fewest;
    }
    return fewest;
}

static bool holds_kind(const pw_advice *advice, pw_sentence_kind a, pw_sentence_kind b)
{
    const pw_settings *settings = advice->plan->plant->settings;
    for (int32_t i = 0; i < pw_settings_count(settings); i++) {
        const pw_sentence_kind kind = pw_settings_kind(settings, i);
        if (kind == a || kind == b) {
            return true;
        }
    }
    return false;
}

void pw_advise_left(pw_arena *arena, const pw_advice *advice, pw_facts *out)
{
    const pw_limits_of_site *limits = &advice->plan->plant->site->limits;
    const int32_t fewer = fewer_than(advice);
    pw_facts_init(out, arena);
    pw_tell(out, "advise.left-start");
    if (fewer > 0) {
        pw_tell(out, "advise.left-starts", pw_count(fewer), pw_number(limits->starts_per_hour.v, 3),
                pw_truth((double)fewer <= limits->starts_per_hour.v));
    }
    if (holds_kind(advice, PW_SENTENCE_REST, PW_SENTENCE_LEAST_RUN)) {
        pw_tell(out, "advise.left-rest");
    }
    if (holds_kind(advice, PW_SENTENCE_AT_MOST, PW_SENTENCE_AT_MOST)) {
        pw_tell(out, "advise.left-at-most");
    }
    if (holds_kind(advice, PW_SENTENCE_ONLY, PW_SENTENCE_ONLY)) {
        pw_tell(out, "advise.left-window");
    }
    pw_tell(out, "advise.left-retry", pw_truth(holds_kind(advice, PW_SENTENCE_RETRY, PW_SENTENCE_RETRY)));
}
