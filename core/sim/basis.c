/* On what a count over simulated years stands. */
#include "base/num.h"
#include "sim/demand.h"

static bool all_habits_known(const pw_habits *h)
{
    return h->daily_m3.given && h->day_cv.given && h->weekend.given && h->season.given && h->away.given &&
           h->long_per_year.given && h->long_m3s.given && h->long_s.given;
}

pw_demand_basis pw_demand_basis_of(const pw_site *site)
{
    pw_demand_basis basis = {.kind = PW_BASIS_REPEATS};
    for (int32_t i = 0; i < site->demand_count; i++) {
        const pw_demand *demand = &site->demands[i];
        const bool home = demand->kind == PW_DEMAND_HOUSEHOLD;
        if (demand->kind == PW_DEMAND_TRACE && demand->trace_count >= 2) {
            const double days = demand->trace_s[demand->trace_count - 1] / 86400.0;
            basis.days = basis.kind == PW_BASIS_TRACE ? pw_min(basis.days, days) : days;
            basis.kind = PW_BASIS_TRACE;
        } else if (basis.kind != PW_BASIS_TRACE && home && !all_habits_known(&demand->habits)) {
            basis.kind = PW_BASIS_HOMES;
        } else if (basis.kind == PW_BASIS_REPEATS && (home || demand->kind == PW_DEMAND_RANDOM)) {
            basis.kind = PW_BASIS_YEARS;
        }
    }
    return basis;
}

bool pw_demand_seen_briefly(const pw_demand_basis *basis)
{
    return basis->kind == PW_BASIS_TRACE && basis->days < PW_SEEN_DAYS;
}

double pw_demand_years_seen(const pw_demand_basis *basis, double years)
{
    return basis->kind == PW_BASIS_REPEATS ? 0.0
           : basis->kind == PW_BASIS_TRACE ? pw_min(years, basis->days / 365.0)
                                           : years;
}
