/* Observers that record: samples, first passages, residuals. Each lies in a store of its own on top of the
 * simulation's, so either may be freed first. */
#include <stdlib.h>
#include <string.h>

#include "base/num.h"
#include "library/inside.h"
#include "sim/observers.h"

enum { MOST_OBSERVED = 64, ROOM = 1 << 16 };

/* What every handle begins with. */
typedef struct attached {
    library_store *store;
    pw_sim *sim;
    pw_observer *observer;
} attached;

/* Memory of size bytes on top of the simulation's; NULL, told of, without. */
static void *handle_new(const pumpwright_simulation *simulation, size_t size, pw_arena **arena, attached *out,
                        pw_problems *problems)
{
    library_store *store = library_store_new(size + ROOM, simulation->store, arena);
    void *handle = store ? pw_alloc(*arena, size, 1) : NULL;
    if (!handle) {
        library_store_release(store);
        pw_problem_add(problems, PW_MEMORY, "", "", "", "");
        return NULL;
    }
    *out = (attached){.store = store, .sim = simulation->sim};
    return handle;
}

static void attach(attached *to, pw_observer *observer)
{
    to->observer = observer;
    pw_sim_attach(to->sim, observer);
}

/* The handle that `of` is the beginning of lies in its store and goes with it. */
static void take_off(attached *of)
{
    pw_sim_detach(of->sim, of->observer);
    library_store_release(of->store);
}

static bool watched_of(const pumpwright_simulation *simulation, const pumpwright_observed *what, pw_watched *out,
                       pw_problems *problems)
{
    const bool there = library_watched(simulation, what->quantity, what->name, out);
    if (!there) {
        pw_problem_tell(problems, PW_REFERENCE, "what", pw_verbatim(what->name), pw_fact_of("input.observe-what"),
                        pw_no_fact());
    }
    return there;
}

static bool count_fits(const char *path, int32_t count, int32_t most, pw_problems *problems)
{
    if (count < 1 || count > most) {
        pw_problem_tell(problems, PW_LIMIT, path, pw_fact_of("input.observe-count", pw_count(count)),
                        pw_fact_of("input.observe-at-most", pw_count(most)), pw_no_fact());
    }
    return count >= 1 && count <= most;
}

static bool all_finite(const char *path, const double *values, int32_t count, pw_problems *problems)
{
    for (int32_t i = 0; i < count; i++) {
        if (!pw_is_finite(values[i])) {
            pw_problem_tell(problems, PW_RANGE, path, pw_fact_of("input.no-finite-number"),
                            pw_fact_of("input.observe-finite"), pw_no_fact());
            return false;
        }
    }
    return true;
}

/* ---- samples ---- */

struct pumpwright_samples {
    attached to;
    pw_observer observer;
    int64_t every_ms, due_ms, count, capacity, lost;
    int32_t columns;
    pw_watched what[MOST_OBSERVED];
    int64_t *t_ms;
    double *rows;
};

static pumpwright_samples *samples_of(pw_observer *observer)
{
    return (pumpwright_samples *)(void *)((char *)observer - offsetof(pumpwright_samples, observer));
}

static bool make_room(pumpwright_samples *samples)
{
    if (samples->count < samples->capacity) {
        return true;
    }
    const int64_t larger = samples->capacity == 0 ? 1024 : 2 * samples->capacity;
    int64_t *t_ms = realloc(samples->t_ms, (size_t)larger * sizeof *t_ms);
    samples->t_ms = t_ms ? t_ms : samples->t_ms;
    double *rows = t_ms ? realloc(samples->rows, (size_t)(larger * samples->columns) * sizeof *rows) : NULL;
    samples->rows = rows ? rows : samples->rows;
    samples->capacity = rows ? larger : samples->capacity;
    return rows != NULL;
}

static void take(void *user, const pw_sim *sim)
{
    pumpwright_samples *samples = user;
    if (!make_room(samples)) {
        samples->lost++;
        return;
    }
    samples->t_ms[samples->count] = pw_sim_time_ms(sim);
    for (int32_t i = 0; i < samples->columns; i++) {
        samples->rows[samples->count * samples->columns + i] = pw_sim_value(sim, samples->what[i]);
    }
    samples->count++;
}

/* Those due at an event are taken when all has settled, before time goes on. */
static void sample_at(pw_observer *self, pw_sim *sim, pw_at when)
{
    pumpwright_samples *samples = samples_of(self);
    if (when == PW_AT_ROUND_END && samples->due_ms <= pw_sim_time_ms(sim)) {
        take(samples, sim);
        samples->due_ms += samples->every_ms;
    }
}

static void sample_within(pw_observer *self, pw_sim *sim, int64_t h_ms)
{
    pumpwright_samples *samples = samples_of(self);
    const int64_t begin_ms = pw_sim_time_ms(sim);
    while (samples->due_ms < begin_ms + h_ms) {
        samples->lost += pw_sim_look(sim, samples->due_ms - begin_ms, take, samples) ? 0 : 1;
        samples->due_ms += samples->every_ms;
    }
}

static pumpwright_samples *new_samples(pumpwright_simulation *simulation, const pumpwright_observed *what,
                                       int32_t count, int64_t every_ms, pw_problems *problems)
{
    pw_arena *arena = NULL;
    attached to;
    pw_watched watched[MOST_OBSERVED];
    bool fits = count_fits("count", count, MOST_OBSERVED, problems);
    if (every_ms < 1) {
        pw_problem_tell(problems, PW_RANGE, "every_ms", pw_fact_of("input.observe-count", pw_count(every_ms)),
                        pw_fact_of("input.observe-step"), pw_no_fact());
        fits = false;
    }
    for (int32_t i = 0; fits && i < count; i++) {
        fits = watched_of(simulation, &what[i], &watched[i], problems);
    }
    pumpwright_samples *samples =
        fits ? handle_new(simulation, sizeof(pumpwright_samples), &arena, &to, problems) : NULL;
    if (samples) {
        samples->to = to;
        samples->observer = (pw_observer){.at = sample_at, .within = sample_within};
        samples->every_ms = every_ms;
        samples->due_ms = pw_sim_time_ms(to.sim);
        samples->columns = count;
        memcpy(samples->what, watched, (size_t)count * sizeof watched[0]);
        attach(&samples->to, &samples->observer);
    }
    return samples;
}

pumpwright_samples *pumpwright_samples_attach(pumpwright_simulation *simulation, const pumpwright_observed *what,
                                              int32_t count, int64_t every_ms, pumpwright_problems **problems)
{
    pw_problems found = {0};
    pumpwright_samples *samples = new_samples(simulation, what, count, every_ms, &found);
    library_tell(&found, NULL, problems);
    return samples;
}

int64_t pumpwright_samples_count(const pumpwright_samples *samples)
{
    return samples->count;
}

int64_t pumpwright_samples_lost(const pumpwright_samples *samples)
{
    return samples->lost;
}

const double *pumpwright_samples_row(const pumpwright_samples *samples, int64_t index, int64_t *t_ms)
{
    const bool there = index >= 0 && index < samples->count;
    *t_ms = there ? samples->t_ms[index] : 0;
    return there ? samples->rows + index * samples->columns : NULL;
}

void pumpwright_samples_free(pumpwright_samples *samples)
{
    if (samples) {
        free(samples->t_ms);
        free(samples->rows);
        take_off(&samples->to);
    }
}

/* ---- first passages ---- */

struct pumpwright_passages {
    attached to;
    pw_passages inside;
};

pumpwright_passages *pumpwright_passages_attach(pumpwright_simulation *simulation, pumpwright_observed what,
                                                const double *levels, int32_t count, bool stop,
                                                pumpwright_problems **problems)
{
    pw_problems found = {0};
    pw_watched watched;
    pw_arena *arena = NULL;
    attached to;
    const bool fits = count_fits("count", count, PW_MAX_LEVELS, &found) &&
                      all_finite("levels", levels, count, &found) && watched_of(simulation, &what, &watched, &found);
    pumpwright_passages *passages =
        fits ? handle_new(simulation, sizeof(pumpwright_passages), &arena, &to, &found) : NULL;
    if (passages) {
        passages->to = to;
        pw_passages_begin(&passages->inside, to.sim, watched, levels, count);
        passages->inside.stop_at_last = stop;
        attach(&passages->to, &passages->inside.observer);
    }
    library_tell(&found, NULL, problems);
    return passages;
}

bool pumpwright_passages_at(const pumpwright_passages *passages, int32_t index, int64_t *t_ms, double *value)
{
    const pw_passages *inside = &passages->inside;
    const bool there = index >= 0 && index < inside->level_count && inside->first_ms[index] >= 0;
    *t_ms = there ? inside->first_ms[index] : -1;
    *value = there ? inside->reached[index] : 0;
    return there;
}

void pumpwright_passages_free(pumpwright_passages *passages)
{
    if (passages) {
        take_off(&passages->to);
    }
}

/* ---- residuals against a log ---- */

struct pumpwright_residuals {
    attached to;
    pw_residuals inside;
    double *each;
};

static bool rises(const int64_t *t_ms, int32_t count, pw_problems *problems)
{
    for (int32_t i = 1; i < count; i++) {
        if (t_ms[i] <= t_ms[i - 1]) {
            pw_problem_tell(problems, PW_RANGE, "t_ms", pw_fact_of("input.observe-falls", pw_count(i)),
                            pw_fact_of("input.observe-rising"), pw_no_fact());
            return false;
        }
    }
    return true;
}

static pumpwright_residuals *new_residuals(pumpwright_simulation *simulation, const pumpwright_observed *what,
                                           const int64_t *t_ms, const double *measured, int32_t count,
                                           pw_problems *problems)
{
    pw_watched watched;
    pw_arena *arena = NULL;
    attached to;
    const size_t series = (size_t)(count > 0 ? count : 0);
    const bool fits = count_fits("count", count, PUMPWRIGHT_LOG_MOST, problems) && rises(t_ms, count, problems) &&
                      all_finite("measured", measured, count, problems) &&
                      watched_of(simulation, what, &watched, problems);
    pumpwright_residuals *residuals =
        fits ? handle_new(simulation, sizeof(pumpwright_residuals) + series * (sizeof *t_ms + 2 * sizeof *measured),
                          &arena, &to, problems)
             : NULL;
    if (residuals) {
        double *values = (double *)(void *)(residuals + 1);
        int64_t *times_ms = (int64_t *)(void *)(values + 2 * series);
        memcpy(values, measured, series * sizeof *values);
        memcpy(times_ms, t_ms, series * sizeof *times_ms);
        residuals->to = to;
        residuals->each = values + series;
        pw_residuals_begin(&residuals->inside, to.sim, watched, times_ms, values, count, residuals->each);
        attach(&residuals->to, &residuals->inside.observer);
    }
    return residuals;
}

pumpwright_residuals *pumpwright_residuals_attach(pumpwright_simulation *simulation, pumpwright_observed what,
                                                  const int64_t *t_ms, const double *measured, int32_t count,
                                                  pumpwright_problems **problems)
{
    pw_problems found = {0};
    pumpwright_residuals *residuals = new_residuals(simulation, &what, t_ms, measured, count, &found);
    library_tell(&found, NULL, problems);
    return residuals;
}

void pumpwright_residuals_sum(const pumpwright_residuals *residuals, pumpwright_deviation *out)
{
    const pw_residuals *inside = &residuals->inside;
    const double n = inside->compared > 0 ? (double)inside->compared : 1.0;
    *out = (pumpwright_deviation){.compared = inside->compared,
                                  .mean = inside->sum / n,
                                  .root_mean_square = pw_sqrt(inside->sum_of_squares / n),
                                  .largest = inside->largest};
}

const double *pumpwright_residuals_each(const pumpwright_residuals *residuals)
{
    return residuals->each;
}

void pumpwright_residuals_free(pumpwright_residuals *residuals)
{
    if (residuals) {
        take_off(&residuals->to);
    }
}
