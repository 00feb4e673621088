/* What advice says of its sentences, as facts. */
#include "base/num.h"
#include "study/advise_inside.h"

double pw_advise_slack(int32_t slack)
{
    return advise_slacks[slack < PW_SLACKS ? slack : PW_SLACKS - 1];
}

/* Its main number: a count, a level or a time. */
static pw_value main_number(const pw_advice *advice, const pw_limit *limit)
{
    if (limit->row > 0) {
        return pw_count(limit->row);
    }
    if (limit->count > 0) {
        return pw_count(limit->count);
    }
    switch (advice->plan->families[limit->family].form) {
    case PW_WATCH_LOW_CURRENT:
    case PW_WATCH_HIGH_CURRENT: return pw_quantity(PW_DIM_CURRENT, limit->level);
    case PW_WATCH_LOW_PRESSURE:
    case PW_WATCH_HIGH_PRESSURE: return pw_quantity(PW_DIM_PRESSURE, limit->level);
    default: return pw_duration(limit->time_ms);
    }
}

pw_fact pw_advise_why(const pw_advice *advice, int32_t family)
{
    switch (advice->plan->families[family].form) {
    case PW_WATCH_STARTS: return pw_fact_of("advise.why-starts");
    case PW_WATCH_STARTS_NIGHT: return pw_fact_of("advise.why-starts-night");
    case PW_WATCH_STARTS_ROW: return pw_fact_of("advise.why-starts-row");
    case PW_WATCH_RUN: return pw_fact_of("advise.why-run");
    case PW_WATCH_RUN_NIGHT: return pw_fact_of("advise.why-run-night");
    case PW_WATCH_NO_FLOW: return pw_fact_of("advise.why-no-flow");
    case PW_WATCH_LOW_CURRENT: return pw_fact_of("advise.why-low-current");
    case PW_WATCH_LOW_PRESSURE: return pw_fact_of("advise.why-low-pressure");
    case PW_WATCH_HIGH_PRESSURE: return pw_fact_of("advise.why-high-pressure");
    case PW_WATCH_HIGH_CURRENT: return pw_fact_of("advise.why-high-current");
    case PW_WATCH_FORMS: break;
    }
    return pw_no_fact();
}

pw_fact pw_advise_to_stop(const pw_advice *advice, int32_t family)
{
    const int32_t limit = advice->chosen[family].stops_from;
    return limit < 0 ? pw_fact_of("advise.no-stop")
                     : pw_fact_of("advise.stops-from", main_number(advice, &advice->plan->limits[limit]));
}

pw_fact pw_advise_to_miss(const pw_advice *advice, int32_t family)
{
    const int32_t limit = advice->chosen[family].misses_from;
    return limit < 0 ? pw_fact_of("advise.no-miss")
                     : pw_fact_of("advise.misses-from", main_number(advice, &advice->plan->limits[limit]));
}

pw_fact pw_advise_stops(pw_arena *arena, const pw_advice *advice, int32_t stopped, double upper_a)
{
    static const char *const of[] = {
        [PW_BASIS_YEARS] = "advise.of-years",
        [PW_BASIS_HOMES] = "advise.of-homes",
        [PW_BASIS_TRACE] = "advise.of-trace",
        [PW_BASIS_REPEATS] = "advise.of-repeats",
    };
    const pw_fact basis = pw_fact_of(of[advice->basis.kind], pw_count(advice->years), pw_number(advice->basis.days, 3));
    if (!(upper_a < PW_INF)) {
        return pw_fact_of("advise.stops-no-bound", pw_count(stopped), pw_fact_inside(arena, basis));
    }
    return pw_fact_of("advise.stops", pw_count(stopped), pw_fact_inside(arena, basis), pw_number(upper_a, 2),
                      pw_number(100.0 * advice->plan->options.proof.confidence, 3));
}
