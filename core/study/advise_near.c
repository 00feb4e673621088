/* How far a limit stands from stopping a healthy site, and what that nearness costs.
 *
 * Years in which nothing was stopped show no rate of nought: of n years without an event the mean rate is 1/(2n)
 * (Poisson with the prior of Jeffreys, 1946; from memory). That is charged to a limit just behind the last thing that
 * a healthy year did. One that could be s times as strict and would still stop no year more is charged 1/s^3 of
 * it: the farther from what a site does, the more seldom it is done (own choice of a tail, steep enough that a limit
 * three times as loose costs next to nothing; nobody has published one for draws of small sites).
 */
#include "base/num.h"
#include "study/advise_inside.h"

/* A record that shows nothing of other weeks still shows one. */
#define LEAST_YEARS_SEEN (7.0 / 365.0)
/* More than one false stop in this time is not feared before it is seen: such a limit is found out at once. */
#define MOST_NEAR_A 0.5

int32_t advise_distance(const advise_tables *tables, int32_t limit)
{
    const int32_t least = advise_count_years(&tables->stopped[0][limit]);
    int32_t distance = 0;
    while (distance + 1 < PW_SLACKS && advise_count_years(&tables->stopped[distance + 1][limit]) <= least) {
        distance++;
    }
    return distance;
}

/* Some limit of its family that acts no later on any fault stands so far off. */
int32_t advise_present_distance(const advise_maker *m, int32_t sentence)
{
    const pw_family *family = &m->plan->families[m->plan->family_of[sentence]];
    int32_t farthest = 0;
    for (int32_t i = family->first; i < family->first + family->count; i++) {
        const int32_t distance = advise_distance(&m->tables, i);
        bool stricter = distance > farthest && advise_count_years(&m->tables.stopped[0][i]) == 0;
        for (int32_t f = 0; stricter && f < m->tables.faults; f++) {
            const pw_reach *reach = &m->reaches[m->tables.jobs[f]];
            const int64_t present_ms = reach->present_ms[sentence];
            stricter = present_ms < 0 || (reach->first_ms[i] >= 0 && reach->first_ms[i] <= present_ms);
        }
        farthest = stricter ? distance : farthest;
    }
    return farthest;
}

int32_t advise_whole_distance(const advise_maker *m, const int32_t *pick)
{
    int32_t least = PW_SLACKS - 1;
    for (int32_t f = 0; f < m->plan->family_count; f++) {
        const int32_t distance = pick[f] >= 0 ? advise_distance(&m->tables, pick[f]) : least;
        least = distance < least ? distance : least;
    }
    return least;
}

double advise_near_a(const advise_maker *m, int32_t distance)
{
    const double seen = pw_demand_years_seen(&m->out->basis, (double)m->tables.years);
    const double s = advise_slacks[distance];
    return pw_min(0.5 / pw_max(seen, LEAST_YEARS_SEEN), MOST_NEAR_A) / (s * s) / s;
}
