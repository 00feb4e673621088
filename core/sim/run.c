/* One whole run with the usual observers. */
#include "base/num.h"
#include "sim/run_impl.h"
#include "sim/run.h"

static pw_status out_of_memory(pw_problems *problems)
{
    return pw_problem_tell(problems, PW_MEMORY, "", pw_no_fact(), pw_fact_of("input.more-memory"), pw_no_fact());
}

static pw_sim_options sim_options(const pw_run_options *options)
{
    return (pw_sim_options){.begin_ms = options->begin_ms,
                            .seed = options->seed,
                            .reference_pa = options->reference_pa,
                            .release_after_ms = options->release_after_ms,
                            .tolerance = options->tolerance,
                            .keep = options->keep,
                            .cancelled = options->cancelled,
                            .user = options->user,
                            .reset_ms = options->reset_ms,
                            .reset_count = options->reset_count};
}

/* The usual ones, in the sequence in which they are told: hunting, which the totals find, stands behind its start. */
typedef struct desk {
    pw_entries entries;
    pw_teller teller;
    pw_samples samples;
    pw_tally *tally;
    pw_firings firings;
} desk;

static pw_status sit_down(desk *d, pw_arena *arena, pw_sim *sim, const pw_run_options *o)
{
    d->tally = pw_tally_new(arena, sim);
    if (d->tally == NULL || pw_entries_begin(&d->entries, arena, o->entry_capacity, o->length_ms) != PW_OK ||
        pw_samples_begin(&d->samples, arena, sim, o->sample_ms, o->sample_capacity, o->sample_places,
                         o->sample_flows) != PW_OK ||
        pw_teller_begin(&d->teller, arena, sim, o->state_ms, o->state_count, o->length_ms, o->tell_locks) != PW_OK) {
        return PW_MEMORY;
    }
    pw_firings_begin(&d->firings, d->tally);
    d->firings.stop_at_lock = o->stop_at_lock;
    d->firings.stop_at_watch = o->stop_at_watch;
    pw_observer *all[] = {&d->entries.observer, &d->tally->observer, &d->firings.observer, &d->teller.observer,
                          &d->samples.observer};
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        pw_sim_attach(sim, all[i]);
    }
    return PW_OK;
}

static void put_typed(const pw_sim *sim, pw_daybook *book)
{
    const pw_retyped *typed = pw_sim_retyped(sim);
    book->typed_refused = typed == NULL || typed->refused;
    if (typed != NULL) {
        book->typed_warned = typed->warned;
        book->typed_about_it = typed->about_it;
    }
}

static void write_up(const desk *d, const pw_sim *sim, pw_daybook *book)
{
    const pw_site *site = pw_sim_plant(sim)->site;
    book->ending = d->tally->hunts      ? PW_END_HUNTING
                   : d->firings.locked  ? PW_END_LOCK
                   : d->firings.watched ? PW_END_WATCH
                                        : PW_END_TIME;
    book->length_ms = pw_sim_time_ms(sim);
    book->entry_count = d->entries.count;
    book->entries_lost = d->entries.lost;
    book->entries = d->entries.entries;
    book->sample_count = d->samples.count;
    book->samples_lost = d->samples.lost;
    book->sample_every_ms = d->samples.every_ms;
    book->samples = d->samples.samples;
    book->column_count = d->samples.column_count;
    book->first_place = d->samples.first_place;
    book->first_line = d->samples.first_line;
    book->rows = d->samples.rows;
    book->totals = pw_tally_totals(d->tally, sim, false);
    pw_tally_pumps(d->tally, sim, book->pumps);
    book->at_fault = d->tally->at_fault;
    book->burnt_ms = d->tally->burnt_ms;
    book->burnt_pump = d->tally->burnt_pump;
    book->lock_count = d->firings.lock_count;
    for (int32_t i = 0; i < PW_MAX_SENTENCES; i++) {
        book->firings[i] = d->firings.first[i];
        book->fired[i] = d->firings.fired[i];
    }
    book->told_count = d->teller.count;
    book->told_lost = d->teller.lost;
    book->told = d->teller.told;
    for (int32_t p = 0; p < site->pump_count; p++) {
        book->locked_at_end = book->locked_at_end || pw_sim_locked(sim, p);
    }
    put_typed(sim, book);
}

pw_status pw_run(pw_arena *arena, const pw_plant *plant, const pw_run_options *options, pw_daybook **out,
                 pw_problems *problems)
{
    *out = NULL;
    const pw_sim_options how = sim_options(options);
    pw_sim *sim = NULL;
    pw_status status = pw_sim_create(arena, plant, &how, &sim, problems);
    for (int32_t i = 0; i < options->fault_count && status == PW_OK; i++) {
        status = pw_sim_befall(sim, arena, &options->faults[i], problems);
    }
    if (status != PW_OK) {
        return status;
    }
    pw_daybook *book = PW_NEW(arena, 1, pw_daybook);
    desk *d = PW_NEW(arena, 1, desk);
    if (book == NULL || d == NULL || sit_down(d, arena, sim, options) != PW_OK) {
        return out_of_memory(problems);
    }
    status = pw_sim_advance(sim, options->length_ms, problems);
    if (status != PW_OK) {
        return status;
    }
    pw_sim_tell(sim, PW_ENTRY_END, -1, -1, 0.0, 0.0);
    write_up(d, sim, book);
    *out = book;
    return PW_OK;
}
