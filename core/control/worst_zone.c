/* Zones: sets of clock values as bounds on differences, in whole milliseconds. Bounds that are whole have whole
 * corners,
 * so nothing is lost or added for clocks that count in milliseconds. */
#include "control/worst_inside.h"

#include <string.h>

void zone_zero(int64_t *d, int32_t n)
{
    memset(d, 0, (size_t)n * (size_t)n * sizeof *d);
}

bool zone_and(int64_t *d, int32_t n, int32_t i, int32_t j, int64_t most)
{
    if (most >= d[i * n + j]) {
        return true;
    }
    if (d[j * n + i] + most < 0) {
        return false;
    }
    for (int32_t a = 0; a < n; a++) {
        const int64_t to_i = d[a * n + i];
        if (to_i >= WORST_INF) {
            continue;
        }
        for (int32_t b = 0; b < n; b++) {
            const int64_t on = d[j * n + b];
            if (on < WORST_INF && to_i + most + on < d[a * n + b]) {
                d[a * n + b] = to_i + most + on;
            }
        }
    }
    return true;
}

void zone_copy_clock(int64_t *d, int32_t n, int32_t to, int32_t from)
{
    for (int32_t i = 0; i < n; i++) {
        d[to * n + i] = d[from * n + i];
        d[i * n + to] = d[i * n + from];
    }
    d[to * n + to] = 0;
    d[to * n + from] = 0;
    d[from * n + to] = 0;
}

void zone_reset(int64_t *d, int32_t n, int32_t x)
{
    zone_copy_clock(d, n, x, CLOCK_ZERO);
}

void zone_free(int64_t *d, int32_t n, int32_t x)
{
    for (int32_t i = 0; i < n; i++) {
        d[x * n + i] = WORST_INF;
        d[i * n + x] = d[i * n + CLOCK_ZERO];
    }
    d[x * n + x] = 0;
}

void zone_pass(int64_t *d, int32_t n, bool longer)
{
    for (int32_t i = 1; i < n; i++) {
        d[i * n] = longer || d[i * n] >= WORST_INF ? WORST_INF : d[i * n] + 1;
        d[i] -= 1;
    }
}

bool zone_within(const int64_t *inner, const int64_t *outer, int32_t n)
{
    for (int32_t i = 0; i < n * n; i++) {
        if (inner[i] > outer[i]) {
            return false;
        }
    }
    return true;
}

static void close_all(int64_t *d, int32_t n)
{
    for (int32_t k = 0; k < n; k++) {
        for (int32_t i = 0; i < n; i++) {
            const int64_t first = d[i * n + k];
            for (int32_t j = 0; first < WORST_INF && j < n; j++) {
                if (d[k * n + j] < WORST_INF && first + d[k * n + j] < d[i * n + j]) {
                    d[i * n + j] = first + d[k * n + j];
                }
            }
        }
    }
}

/* Behrmann and others, the stronger of their abstractions by lower and upper bounds (Extra+LU). */
static int64_t widened(const int64_t *d, int32_t n, int32_t i, int32_t j, const int64_t *low, const int64_t *high)
{
    const int64_t at = d[i * n + j];
    if (i == j || at >= WORST_INF) {
        return at;
    }
    const bool far_j = -d[j] > high[j];
    if (i == 0) {
        return far_j ? -(high[j] + 1) : at;
    }
    return at > low[i] || -d[i] > low[i] || far_j ? WORST_INF : at;
}

void zone_widen(int64_t *d, int32_t n, const int64_t *low, const int64_t *high)
{
    bool changed = false;
    for (int32_t i = n - 1; i >= 0; i--) { /* the first row last: the others ask it */
        for (int32_t j = 0; j < n; j++) {
            const int64_t wide = widened(d, n, i, j, low, high);
            changed = changed || wide != d[i * n + j];
            d[i * n + j] = wide;
        }
    }
    if (changed) {
        close_all(d, n);
    }
}
