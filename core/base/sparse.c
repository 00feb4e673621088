#include "base/sparse.h"

/* The pattern while planning: a dense table of who touches whom. n is small and this happens once per site. */
static bool *pattern_of(pw_arena *arena, int32_t n, int32_t edge_count, const int32_t *a, const int32_t *b)
{
    bool *touches = PW_NEW(arena, (size_t)n * (size_t)n, bool);
    if (touches == NULL) {
        return NULL;
    }
    for (int32_t e = 0; e < edge_count; e++) {
        if (a[e] != b[e]) {
            touches[a[e] * n + b[e]] = true;
            touches[b[e] * n + a[e]] = true;
        }
    }
    return touches;
}

static int32_t least_degree(const bool *touches, const bool *done, int32_t n)
{
    int32_t best = -1;
    int32_t best_degree = 0;
    for (int32_t i = 0; i < n; i++) {
        if (done[i]) {
            continue;
        }
        int32_t degree = 0;
        for (int32_t j = 0; j < n; j++) {
            degree += (!done[j] && touches[i * n + j]) ? 1 : 0;
        }
        if (best < 0 || degree < best_degree) { /* ties: the lower number, so that the plan is always the same */
            best = i;
            best_degree = degree;
        }
    }
    return best;
}

/* Eliminate in minimum-degree order, adding the fill to `touches`. Returns the number of entries of L. */
static int32_t eliminate(bool *touches, bool *done, int32_t *settings, int32_t *rank, int32_t n)
{
    int32_t entries = 0;
    for (int32_t k = 0; k < n; k++) {
        const int32_t pivot = least_degree(touches, done, n);
        settings[k] = pivot;
        rank[pivot] = k;
        done[pivot] = true;
        for (int32_t i = 0; i < n; i++) {
            if (done[i] || !touches[pivot * n + i]) {
                continue;
            }
            entries++;
            for (int32_t j = 0; j < n; j++) {
                if (j != i && !done[j] && touches[pivot * n + j]) {
                    touches[i * n + j] = true;
                }
            }
        }
    }
    return entries;
}

static void fill_columns(pw_sparse *plan, const bool *touches)
{
    const int32_t n = plan->n;
    int32_t at = 0;
    for (int32_t k = 0; k < n; k++) {
        plan->column[k] = at;
        for (int32_t r = k + 1; r < n; r++) {
            if (touches[plan->settings[k] * n + plan->settings[r]]) {
                plan->row[at] = r;
                at++;
            }
        }
    }
    plan->column[n] = at;
}

static int32_t find_entry(const pw_sparse *plan, int32_t column, int32_t row)
{
    for (int32_t e = plan->column[column]; e < plan->column[column + 1]; e++) {
        if (plan->row[e] == row) {
            return e;
        }
    }
    return -1;
}

static void fill_targets(pw_sparse *plan)
{
    int32_t at = 0;
    for (int32_t k = 0; k < plan->n; k++) {
        plan->target_start[k] = at;
        for (int32_t i = plan->column[k]; i < plan->column[k + 1]; i++) {
            for (int32_t j = plan->column[k]; j < i; j++) {
                plan->target[at] = find_entry(plan, plan->row[j], plan->row[i]);
                at++;
            }
        }
    }
    plan->target_start[plan->n] = at;
}

static int32_t pair_count(const pw_sparse *plan)
{
    int32_t pairs = 0;
    for (int32_t k = 0; k < plan->n; k++) {
        const int32_t rows = plan->column[k + 1] - plan->column[k];
        pairs += rows * (rows - 1) / 2;
    }
    return pairs;
}

pw_status pw_sparse_plan(pw_arena *arena, int32_t n, int32_t edge_count, const int32_t *a, const int32_t *b,
                         pw_sparse **out)
{
    *out = NULL;
    if (n < 0 || n > 4096 || edge_count < 0) {
        return PW_LIMIT;
    }
    pw_sparse *plan = PW_NEW(arena, 1, pw_sparse);
    int32_t *settings = PW_NEW(arena, n + 1, int32_t);
    int32_t *rank = PW_NEW(arena, n + 1, int32_t);
    bool *done = PW_NEW(arena, n + 1, bool);
    bool *touches = pattern_of(arena, n, edge_count, a, b);
    if (plan == NULL || settings == NULL || rank == NULL || done == NULL || (touches == NULL && n > 0)) {
        return PW_MEMORY;
    }
    plan->n = n;
    plan->settings = settings;
    plan->entry_count = eliminate(touches, done, settings, rank, n);
    plan->column = PW_NEW(arena, n + 1, int32_t);
    plan->row = PW_NEW(arena, plan->entry_count + 1, int32_t);
    plan->target_start = PW_NEW(arena, n + 1, int32_t);
    plan->edge_entry = PW_NEW(arena, edge_count + 1, int32_t);
    if (plan->column == NULL || plan->row == NULL || plan->target_start == NULL || plan->edge_entry == NULL) {
        return PW_MEMORY;
    }
    fill_columns(plan, touches);
    plan->target = PW_NEW(arena, pair_count(plan) + 1, int32_t);
    if (plan->target == NULL) {
        return PW_MEMORY;
    }
    fill_targets(plan);
    for (int32_t e = 0; e < edge_count; e++) {
        const int32_t low = rank[a[e]] < rank[b[e]] ? rank[a[e]] : rank[b[e]];
        const int32_t high = rank[a[e]] < rank[b[e]] ? rank[b[e]] : rank[a[e]];
        plan->edge_entry[e] = low == high ? -1 : find_entry(plan, low, high);
    }
    *out = plan;
    return PW_OK;
}

bool pw_sparse_solve(const pw_sparse *plan, double *excess, double *entries, double *rhs, double *work, int32_t *bad)
{
    const int32_t n = plan->n;
    for (int32_t k = 0; k < n; k++) {
        const int32_t first = plan->column[k];
        const int32_t end = plan->column[k + 1];
        const double more = excess[plan->settings[k]];
        double pivot = more;
        for (int32_t i = first; i < end; i++) {
            pivot -= entries[i];
        }
        if (!(pivot > 0.0)) { /* negated so that a NaN leaves too */
            *bad = plan->settings[k];
            return false;
        }
        const double reciprocal = 1.0 / pivot;
        int32_t pair = plan->target_start[k];
        for (int32_t i = first; i < end; i++) {
            const double scaled = entries[i] * reciprocal;
            for (int32_t j = first; j < i; j++) {
                /* entries[j] is still unscaled in this column for j > i only; here j < i, so undo with the pivot */
                entries[plan->target[pair]] -= scaled * (entries[j] * pivot);
                pair++;
            }
            excess[plan->settings[plan->row[i]]] -= scaled * more;
            entries[i] = scaled;
        }
        excess[plan->settings[k]] = pivot;
    }
    for (int32_t k = 0; k < n; k++) {
        work[k] = rhs[plan->settings[k]];
    }
    for (int32_t k = 0; k < n; k++) {
        for (int32_t e = plan->column[k]; e < plan->column[k + 1]; e++) {
            work[plan->row[e]] -= entries[e] * work[k];
        }
    }
    for (int32_t k = n - 1; k >= 0; k--) {
        double sum = work[k] / excess[plan->settings[k]];
        for (int32_t e = plan->column[k]; e < plan->column[k + 1]; e++) {
            sum -= entries[e] * work[plan->row[e]];
        }
        work[k] = sum;
    }
    for (int32_t k = 0; k < n; k++) {
        rhs[plan->settings[k]] = work[k];
    }
    return true;
}
