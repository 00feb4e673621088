/* The choice of a list: which limits, and which of the present watches stay. */
#include <string.h>

#include "base/num.h"
#include "study/advise_inside.h"

static advise_years years_of(const advise_maker *m, const int32_t *pick)
{
    advise_years years = m->tables.kept;
    for (int32_t f = 0; f < m->plan->family_count; f++) {
        for (int32_t w = 0; pick[f] >= 0 && w < ADVISE_WORDS; w++) {
            years.bits[w] |= m->tables.stopped[0][pick[f]].bits[w];
        }
    }
    return years;
}

/* Of one choice, as the search takes it. */
static double price_of(const advise_maker *m, const int32_t *pick)
{
    const pw_advise_options *options = &m->plan->options;
    const advise_years years = years_of(m, pick);
    double stops_a = (double)advise_count_years(&years) / pw_max((double)m->tables.years, 1.0), cost_a = 0.0;
    for (int32_t f = 0; f < m->plan->family_count; f++) {
        cost_a += pick[f] >= 0 ? options->sentence : 0.0;
        stops_a += pick[f] >= 0 ? m->tables.near_a[pick[f]] : 0.0;
    }
    for (int32_t i = 0; i < m->tables.faults; i++) {
        cost_a += m->tables.weight[i] * advise_loss(&m->tables, pick, i);
    }
    return cost_a + options->call_out * stops_a;
}

/* What faults, and the nearness of a false stop, would cost if this limit were the only watch. */
static double alone_a(const advise_maker *m, int32_t limit)
{
    double cost_a = m->plan->options.call_out * m->tables.near_a[limit];
    for (int32_t i = 0; i < m->tables.faults; i++) {
        cost_a += m->tables.weight[i] * m->tables.loss[limit * m->tables.faults + i];
    }
    return cost_a;
}

/* Two limits that differ in their main number alone. */
bool advise_alike(const pw_advise_plan *plan, const pw_limit *a, const pw_limit *b)
{
    const bool by_level = plan->families[a->family].probe_count > 1;
    if (a->family != b->family || a->night != b->night || a->ignore_ms != b->ignore_ms) {
        return false;
    }
    if (a->row > 0) {
        return a->time_ms == b->time_ms && a->count == b->count;
    }
    return a->count > 0 || by_level ? a->time_ms == b->time_ms : true;
}

/* With this limit for its family the choice costs no more than that, and stops no more years than are allowed. */
static bool would_do(const advise_maker *m, const advise_choice *best, int32_t limit, double most_a)
{
    int32_t pick[PW_MAX_FAMILIES];
    memcpy(pick, best->pick, sizeof pick);
    pick[m->plan->limits[limit].family] = limit;
    const advise_years years = years_of(m, pick);
    return advise_count_years(&years) <= m->out->allowed && price_of(m, pick) <= most_a;
}

/* One watch can stand behind another, so that its number matters to the whole no more; it is there for the day on which
 * the other one fails. So one family after the other takes the number that is best alone, and of those alike the
 * loosest that is next to as good, where all together cost no more than one sentence more. */
static void settle_numbers(const advise_maker *m, advise_choice *best)
{
    const double most_a = best->cost_a + m->plan->options.sentence;
    for (int32_t f = 0; f < m->plan->family_count; f++) {
        const pw_family *family = &m->plan->families[f];
        if (best->pick[f] < 0) {
            continue;
        }
        int32_t mine = best->pick[f];
        for (int32_t i = family->first; i < family->first + family->count; i++) {
            mine = alone_a(m, i) < alone_a(m, mine) && would_do(m, best, i, most_a) ? i : mine;
        }
        int32_t loosest = family->first;
        while (loosest < mine && !(advise_alike(m->plan, &m->plan->limits[loosest], &m->plan->limits[mine]) &&
                                   alone_a(m, loosest) <= alone_a(m, mine) + m->plan->options.sentence &&
                                   would_do(m, best, loosest, most_a))) {
            loosest++;
        }
        best->pick[f] = loosest;
    }
    best->cost_a = price_of(m, best->pick);
}

/* No healthy year is stopped by it, and it is as far from that as what is chosen. */
static bool is_calm(const advise_maker *m, const advise_choice *best, int32_t sentence)
{
    const int32_t chosen = best->pick[m->plan->family_of[sentence]];
    const int32_t wanted = chosen >= 0 ? advise_distance(&m->tables, chosen) : 1;
    for (int32_t y = 0; y < m->tables.years; y++) {
        if (m->reaches[m->years[y]].present_ms[sentence] >= 0) {
            return false;
        }
    }
    return advise_present_distance(m, sentence) >= (wanted > 0 ? wanted : 1);
}

/* What stands and leaves a healthy site alone stays, where changing it would earn less than a sentence must: it may
 * guard what no fault here shows. */
static void hold_present(advise_maker *m, advise_choice *best)
{
    for (int32_t i = 0; i < pw_settings_count(m->plan->plant->settings); i++) {
        const int32_t f = m->plan->family_of[i];
        if (f < 0 || !is_calm(m, best, i)) {
            continue;
        }
        const int32_t chosen = best->pick[f];
        const double before_a = price_of(m, best->pick);
        m->out->held[i] = true;
        best->pick[f] = -1;
        advise_fill_stays(m);
        if (price_of(m, best->pick) > before_a) {
            m->out->held[i] = false;
            best->pick[f] = chosen;
            advise_fill_stays(m);
        }
    }
    best->cost_a = price_of(m, best->pick);
}

pw_status advise_choose(advise_maker *m, advise_choice *best)
{
    const pw_status status = advise_search(m->arena, &m->tables, m->out->allowed, -1, best);
    m->out->gap_a = best->gap_a;
    if (status == PW_OK) {
        settle_numbers(m, best);
        hold_present(m, best);
        m->out->slack = advise_whole_distance(m, best->pick);
    }
    return status;
}
