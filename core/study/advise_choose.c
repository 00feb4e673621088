/* The choice: one limit or none of each family, by branch and bound. Depth is the family; what is left can at best give
 * each fault the least loss that any of its limits gives, and stops no healthy year.
 */
#include <string.h>

#include "base/num.h"
#include "study/advise_inside.h"

enum { MOST_NODES = 400000 };

int32_t advise_count_years(const advise_years *years)
{
    int32_t count = 0;
    for (int32_t i = 0; i < ADVISE_WORDS; i++) {
        for (uint64_t rest = years->bits[i]; rest != 0; rest &= rest - 1) {
            count++;
        }
    }
    return count;
}

static advise_years both(const advise_years *a, const advise_years *b)
{
    advise_years out;
    for (int32_t i = 0; i < ADVISE_WORDS; i++) {
        out.bits[i] = a->bits[i] | b->bits[i];
    }
    return out;
}

static bool within(const advise_years *a, const advise_years *b)
{
    bool all = true;
    for (int32_t i = 0; i < ADVISE_WORDS; i++) {
        all = all && (a->bits[i] & ~b->bits[i]) == 0;
    }
    return all;
}

double advise_loss(const advise_tables *t, const int32_t *pick, int32_t fault)
{
    double loss = t->stays[fault];
    for (int32_t f = 0; f < t->plan->family_count; f++) {
        if (pick[f] >= 0) {
            loss = pw_min(loss, t->loss[pick[f] * t->faults + fault]);
        }
    }
    return loss;
}

/* One search under way. */
typedef struct search {
    const advise_tables *t;
    const advise_years *stopped;
    double near_a[PW_MAX_FAMILIES + 1]; /* of what is chosen up to here */
    int32_t allowed, without, nodes;
    bool cut; /* it ended early */
    int32_t *candidates[PW_MAX_FAMILIES], candidate_count[PW_MAX_FAMILIES];
    double *least[PW_MAX_FAMILIES + 1]; /* of each fault, by any family from here on */
    double *loss[PW_MAX_FAMILIES + 1];  /* as chosen up to here */
    double root_a;
    int32_t pick[PW_MAX_FAMILIES];
    advise_choice *best;
} search;

/* Limit a makes limit b useless: nowhere dearer, and stops no other healthy years. */
static bool dominates(const search *s, int32_t a, int32_t b)
{
    const advise_tables *t = s->t;
    if (!within(&s->stopped[a], &s->stopped[b]) || t->near_a[a] > t->near_a[b]) {
        return false;
    }
    const double *of_a = &t->loss[a * t->faults], *of_b = &t->loss[b * t->faults];
    bool same = within(&s->stopped[b], &s->stopped[a]) && !(t->near_a[a] < t->near_a[b]);
    for (int32_t i = 0; i < t->faults; i++) {
        if (of_a[i] > of_b[i]) {
            return false;
        }
        same = same && !(of_a[i] < of_b[i]);
    }
    return !same || a < b;
}

static bool may(const search *s, int32_t limit)
{
    const advise_years all = both(&s->t->kept, &s->stopped[limit]);
    return advise_count_years(&all) <= s->allowed;
}

static bool gather(pw_arena *arena, search *s)
{
    const pw_advise_plan *plan = s->t->plan;
    for (int32_t f = 0; f < plan->family_count; f++) {
        const pw_family *family = &plan->families[f];
        s->candidates[f] = PW_NEW(arena, family->count, int32_t);
        if (s->candidates[f] == NULL) {
            return false;
        }
        for (int32_t i = family->first; i < family->first + family->count && f != s->without; i++) {
            bool useful = may(s, i);
            for (int32_t k = family->first; k < family->first + family->count && useful; k++) {
                useful = k == i || !may(s, k) || !dominates(s, k, i);
            }
            if (useful) {
                s->candidates[f][s->candidate_count[f]] = i;
                s->candidate_count[f]++;
            }
        }
    }
    return true;
}

static bool bounds(pw_arena *arena, search *s)
{
    const advise_tables *t = s->t;
    const int32_t families = t->plan->family_count;
    for (int32_t f = families; f >= 0; f--) {
        s->least[f] = PW_NEW(arena, t->faults, double);
        s->loss[f] = PW_NEW(arena, t->faults, double);
        if (s->least[f] == NULL || s->loss[f] == NULL) {
            return false;
        }
        for (int32_t i = 0; i < t->faults; i++) {
            double least = f < families ? s->least[f + 1][i] : PW_INF;
            for (int32_t k = 0; f < families && k < s->candidate_count[f]; k++) {
                least = pw_min(least, t->loss[s->candidates[f][k] * t->faults + i]);
            }
            s->least[f][i] = least;
        }
    }
    memcpy(s->loss[0], t->stays, (size_t)t->faults * sizeof(double));
    return true;
}

static double fixed_cost(const search *s, const advise_years *stopped, int32_t depth, int32_t count)
{
    const pw_advise_options *options = &s->t->plan->options;
    const double stops_a = (double)advise_count_years(stopped) / pw_max((double)s->t->years, 1.0);
    return options->call_out * (stops_a + s->near_a[depth]) + options->sentence * (double)count;
}

static void descend(search *s, int32_t depth, const advise_years *stopped, int32_t count)
{
    const advise_tables *t = s->t;
    double cost_a = fixed_cost(s, stopped, depth, count), bound_a = cost_a;
    for (int32_t i = 0; i < t->faults; i++) {
        cost_a += t->weight[i] * s->loss[depth][i];
        bound_a += t->weight[i] * pw_min(s->loss[depth][i], s->least[depth][i]);
    }
    if (depth == 0) {
        s->root_a = bound_a;
    }
    s->nodes++;
    if (depth == t->plan->family_count) {
        if (!s->best->there || cost_a < s->best->cost_a) {
            s->best->there = true;
            s->best->cost_a = cost_a;
            memcpy(s->best->pick, s->pick, sizeof s->pick);
        }
        return;
    }
    s->cut = s->cut || s->nodes > MOST_NODES;
    if ((s->best->there && bound_a >= s->best->cost_a) || s->cut) {
        return;
    }
    for (int32_t k = 0; k < s->candidate_count[depth]; k++) {
        const int32_t limit = s->candidates[depth][k];
        const advise_years all = both(stopped, &s->stopped[limit]);
        if (advise_count_years(&all) > s->allowed) {
            continue;
        }
        for (int32_t i = 0; i < t->faults; i++) {
            s->loss[depth + 1][i] = pw_min(s->loss[depth][i], t->loss[limit * t->faults + i]);
        }
        s->pick[depth] = limit;
        s->near_a[depth + 1] = s->near_a[depth] + t->near_a[limit];
        descend(s, depth + 1, &all, count + 1);
    }
    memcpy(s->loss[depth + 1], s->loss[depth], (size_t)t->faults * sizeof(double));
    s->pick[depth] = -1;
    s->near_a[depth + 1] = s->near_a[depth];
    descend(s, depth + 1, stopped, count);
}

pw_status advise_search(pw_arena *arena, const advise_tables *tables, int32_t allowed, int32_t without,
                        advise_choice *out)
{
    const size_t mark = pw_arena_mark(arena);
    search *s = PW_NEW(arena, 1, search);
    memset(out, 0, sizeof *out);
    for (int32_t i = 0; i < PW_MAX_FAMILIES; i++) {
        out->pick[i] = -1;
    }
    if (s == NULL) {
        return PW_MEMORY;
    }
    const int32_t kept = advise_count_years(&tables->kept);
    *s = (search){.t = tables,
                  .stopped = tables->stopped[0],
                  .allowed = allowed > kept ? allowed : kept, /* what stays stops those whatever is chosen */
                  .without = without,
                  .best = out};
    memcpy(s->pick, out->pick, sizeof s->pick);
    const bool good = gather(arena, s) && bounds(arena, s);
    if (good) {
        descend(s, 0, &tables->kept, 0);
        out->gap_a = s->cut ? pw_max(out->cost_a - s->root_a, 0.0) : 0.0;
    }
    pw_arena_back(arena, mark);
    return good && out->there ? PW_OK : PW_MEMORY;
}
