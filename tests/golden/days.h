/* What the days share: a site under an order of its own, with its own draws, and what is in the day book. One program
 * for each theme includes it.
 */
#ifndef PW_TESTS_GOLDEN_DAYS_H
#define PW_TESTS_GOLDEN_DAYS_H

#include <math.h>

#include "load.h"

enum { S = 1000, MIN = 60 * S, HOUR = 60 * MIN, DAY = 24 * HOUR, MOST_ENTRIES = 60000 };

static kit k;
static pw_daybook *book;
static const char *const *orders;
static int32_t warned; /* settings that are tried on purpose although a warning belongs to them */

static inline void begin(const char *site)
{
    golden_load(&k, site);
    k.site->demand_count = 0; /* each day has its own draws */
    warned = 0;
}

/* A draw on every day. */
static inline void draw(int32_t outlet, double l_min, int32_t from_ms, int32_t lasts_ms, int32_t every_ms)
{
    pw_demand *d = &k.site->demands[k.site->demand_count];
    memset(d, 0, sizeof *d);
    d->outlet = outlet;
    d->kind = PW_DEMAND_DRAW;
    d->flow_m3s.v = l_min / 60000.0;
    d->duration_s.v = lasts_ms / 1000.0;
    d->at_s.v = from_ms / 1000.0;
    d->every_s.v = every_ms / 1000.0;
    d->until_s.v = 86400.0;
    d->weekdays = 0x7f;
    d->trace_scale.v = 1.0;
    k.site->demand_count++;
}

static inline void run_under(const char *const *settings, int64_t length_ms, const pw_fault *fault)
{
    pw_run_options options = {.length_ms = length_ms, .seed = 1, .entry_capacity = MOST_ENTRIES, .tell_locks = true};
    int32_t count = 0;
    for (; settings[count] != NULL; count++) {
        k.site->sentences[count] = settings[count];
    }
    k.site->sentence_count = count;
    orders = settings;
    if (fault != NULL) {
        options.faults[0] = *fault;
        options.fault_count = 1;
    }
    golden_build_warned(&k, settings[0], warned);
    book = kit_run(&k, &options);
    assert_int_equal(book->entries_lost, 0);
    assert_true(fabs(book->totals.balance_m3) < 1e-9);
}

static inline void end(void)
{
    kit_close(&k);
}

/* ---- what is in the day book ---- */

static inline int32_t count_of(pw_entry_kind kind, int32_t item)
{
    int32_t count = 0;
    for (int32_t i = 0; i < book->entry_count; i++) {
        count += book->entries[i].kind == (int16_t)kind && (item < 0 || book->entries[i].item == item);
    }
    return count;
}

/* The n-th entry (from 0) of a kind for an item (-1 any). */
static inline const pw_entry *entry(pw_entry_kind kind, int32_t item, int32_t n)
{
    for (int32_t i = 0; i < book->entry_count; i++) {
        const pw_entry *e = &book->entries[i];
        if (e->kind == (int16_t)kind && (item < 0 || e->item == item) && n-- == 0) {
            return e;
        }
    }
    fail_msg("no entry \"%s\" number %d in the day of \"%s\"", pw_entry_id(kind), n, orders[0]);
    return NULL;
}

static inline bool within(double value, double low, double high)
{
    if (!(value >= low && value <= high)) {
        print_error("%g is not in %g to %g, in the day of \"%s\"\n", value, low, high, orders[0]);
        return false;
    }
    return true;
}

#define AT(e, low_ms, high_ms) assert_true(within((double)(e)->t_ms, (double)(low_ms), (double)(high_ms)))

#endif
