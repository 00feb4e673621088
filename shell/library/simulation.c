/* Simulations: created, advanced, copied, watched. */
#include <stdlib.h>
#include <string.h>

#include "adapt/doorway.h"
#include "base/units.h"
#include "fault/fault.h"
#include "library/inside.h"
#include "say/say.h"
#include "sim/observers.h"
#include "sim/run.h"

/* Room for what a fault of the settings has typed. */
enum { BEFALL_BYTES = 16 << 20 };

static void pass_event_on(pw_observer *self, pw_sim *sim, const pw_event *event)
{
    (void)sim;
    library_watcher *to = (library_watcher *)(void *)self;
    to->lock_outs += event->kind == PW_ENTRY_LOCK;
    if (to->watch) {
        const pumpwright_event told = {
            event->t_ms, pw_entry_id((int32_t)event->kind), event->item, event->sentence, event->a, event->b};
        to->now = event;
        to->watch(to->user, &told);
        to->now = NULL;
    }
}

static bool ready(pumpwright_simulation *simulation)
{
    if (!simulation->sim || !simulation->tally) {
        return false;
    }
    simulation->watcher.observer = (pw_observer){.event = pass_event_on};
    pw_sim_attach(simulation->sim, &simulation->tally->observer);
    pw_sim_attach(simulation->sim, &simulation->watcher.observer);
    return true;
}

/* In a store of this size; PW_MEMORY when that is too small. */
static pw_status create_within(size_t size, const pumpwright_site *site, const pw_sim_options *options,
                               pumpwright_simulation **out, pw_problems *problems)
{
    pw_arena *arena = NULL;
    library_store *store = library_store_new(size, site->store, &arena);
    pumpwright_simulation *simulation = store ? PW_NEW(arena, 1, pumpwright_simulation) : NULL;
    pw_status status = simulation ? pw_sim_create(arena, site->plant, options, &simulation->sim, problems) : PW_MEMORY;
    if (status == PW_OK) {
        simulation->store = store;
        simulation->plant = site->plant;
        simulation->tally = pw_tally_new(arena, simulation->sim);
        status = ready(simulation) ? PW_OK : PW_MEMORY;
    }
    if (status != PW_OK) {
        library_store_release(store);
        return status;
    }
    *out = simulation;
    return PW_OK;
}

pumpwright_simulation *pumpwright_simulation_create(const pumpwright_site *site, uint64_t seed,
                                                    pumpwright_problems **problems)
{
    const pw_sim_options options = {.seed = seed};
    pumpwright_simulation *simulation = NULL;
    pw_problems found = {0};
    pw_status status = PW_MEMORY;
    for (size_t size = PW_DOORWAY_FIRST; status == PW_MEMORY && size <= PW_DOORWAY_MOST; size *= 4) {
        memset(&found, 0, sizeof found);
        status = create_within(size, site, &options, &simulation, &found);
    }
    if (status != PW_OK && found.errors == 0) {
        pw_problem_add(&found, status, "", "", "", "");
    }
    library_tell(&found, NULL, problems);
    return simulation;
}

void pumpwright_simulation_free(pumpwright_simulation *simulation)
{
    library_store_release(simulation ? simulation->store : NULL);
}

pumpwright_simulation *pumpwright_simulation_copy(const pumpwright_simulation *simulation)
{
    enum { ROOM_FOR_TALLY = 1 << 20 };
    pw_arena *arena = NULL;
    const size_t size = sizeof *simulation + pw_sim_size(simulation->sim) + ROOM_FOR_TALLY;
    library_store *store = library_store_new(size, simulation->store, &arena);
    pumpwright_simulation *copy = store ? PW_NEW(arena, 1, pumpwright_simulation) : NULL;
    if (!copy) {
        library_store_release(store);
        return NULL;
    }
    *copy = (pumpwright_simulation){.store = store, .plant = simulation->plant, .broken = simulation->broken};
    copy->sim = pw_sim_copy(simulation->sim, arena);
    copy->tally = pw_tally_copy(simulation->tally, arena);
    copy->watcher.lock_outs = simulation->watcher.lock_outs;
    if (!ready(copy)) {
        library_store_release(store);
        return NULL;
    }
    return copy;
}

bool pumpwright_simulation_advance(pumpwright_simulation *simulation, int64_t until_ms, pumpwright_problems **problems)
{
    pw_problems found = {0};
    pw_status status = PW_OK;
    if (simulation->broken) {
        status = PW_NO_SOLUTION;
    } else if (until_ms < pw_sim_time_ms(simulation->sim)) {
        status = pw_problem_tell(&found, PW_RANGE, "until", pw_fact_of("input.time-passed"),
                                 pw_fact_of("input.present-or-later"), pw_no_fact());
    } else {
        status = pw_sim_advance(simulation->sim, until_ms, &found);
        simulation->broken = status != PW_OK;
    }
    if (status != PW_OK && found.errors == 0) {
        pw_problem_add(&found, status, "", "", "", "");
    }
    if (status == PW_OK) {
        memset(&found, 0, sizeof found); /* a difficulty that smaller steps got past is none */
    }
    library_tell(&found, NULL, problems);
    return status == PW_OK;
}

/* How severe it is, in SI; as the request "run" reads it. */
static void read_severity(const char *severity, pw_fault *fault, pw_problems *problems)
{
    const pw_dimension dimension = pw_fault_dimension(fault->kind);
    const pw_fact meaning = pw_fact_of(pw_fault_severity_words(fault->kind));
    if (dimension == PW_DIM_NONE) {
        if (severity) {
            pw_problem_tell(problems, PW_CONFLICT, "severity", pw_verbatim(severity), pw_fact_of("door.nothing"),
                            pw_fact_of("door.no-severity"));
        }
    } else if (!severity) {
        pw_problem_tell(problems, PW_MISSING, "severity", pw_fact_of("door.nothing"), meaning, pw_no_fact());
    } else if (pw_quantity_read(severity, dimension, &fault->severity, problems, "severity") == PW_OK &&
               !(fault->severity >= 0 && fault->severity <= pw_fault_most(fault->kind))) {
        pw_problem_tell(problems, PW_RANGE, "severity", pw_verbatim(severity), meaning, pw_no_fact());
    }
}

static void read_fault(const pw_site *site, const char *what, const char *severity, const char *at, pw_fault *fault,
                       pw_problems *problems)
{
    if (pw_fault_take_kind(site, what, "what", fault, problems)) {
        read_severity(severity, fault, problems);
        (void)pw_fault_take_place(site, at, "at", fault, problems);
    }
}

bool pumpwright_simulation_befall(pumpwright_simulation *simulation, const char *what, const char *severity,
                                  const char *at, int64_t onset_ms, pumpwright_problems **problems)
{
    pw_problems found = {0};
    pw_fault fault = {.onset_ms = onset_ms};
    read_fault(simulation->plant->site, what, severity, at, &fault, &found);
    if (found.errors == 0) {
        pw_arena *arena = NULL;
        library_store *store = library_store_new(BEFALL_BYTES, simulation->store, &arena);
        if (!store) {
            pw_problem_add(&found, PW_MEMORY, "", "", "", "");
        } else if (pw_sim_befall(simulation->sim, arena, &fault, &found) != PW_OK) {
            library_store_release(store);
        } else {
            library_store_release(simulation->store); /* the new one holds it */
            simulation->store = store;
        }
    }
    library_tell(&found, NULL, problems);
    return found.errors == 0;
}

int64_t pumpwright_simulation_time_ms(const pumpwright_simulation *simulation)
{
    return pw_sim_time_ms(simulation->sim);
}

bool pumpwright_simulation_hunts(const pumpwright_simulation *simulation)
{
    return simulation->tally->hunts;
}

bool pumpwright_simulation_same(const pumpwright_simulation *a, const pumpwright_simulation *b)
{
    return pw_sim_same(a->sim, b->sim);
}

void pumpwright_simulation_totals(const pumpwright_simulation *simulation, pumpwright_totals *out)
{
    const pw_totals all = pw_tally_totals(simulation->tally, simulation->sim, false);
    *out = (pumpwright_totals){
        .pumped_m3 = all.pumped_m3,
        .wanted_m3 = all.wanted_m3,
        .delivered_m3 = all.delivered_m3,
        .missing_m3 = all.missing_m3,
        .leaked_m3 = all.leaked_m3,
        .spilled_m3 = all.spilled_m3,
        .source_m3 = all.source_m3,
        .stored_m3 = all.stored_change_m3,
        .balance_m3 = all.balance_m3,
        .energy_j = all.energy_j,
        .run_s = all.run_s,
        .dry_s = all.dry_s,
        .deadhead_s = all.deadhead_s,
        .short_s = all.short_s,
        .pressure_min_pa = all.pressure_min_pa,
        .pressure_max_pa = all.pressure_max_pa,
        .winding_max_c = all.winding_max_c,
        .water_max_c = all.water_max_c,
        .starts = all.starts,
        .lock_outs = simulation->watcher.lock_outs,
        .most_starts_in_hour = all.most_starts_in_hour,
    };
}

bool library_watched(const pumpwright_simulation *simulation, pumpwright_quantity quantity, const char *name,
                     pw_watched *out)
{
    static const struct {
        pw_quantity_of of;
        pumpwright_list list;
    } rows[] = {
        [PUMPWRIGHT_PRESSURE] = {PW_OF_PLACE_PRESSURE, PUMPWRIGHT_PLACES},
        [PUMPWRIGHT_PUMP_FLOW] = {PW_OF_PUMP_FLOW, PUMPWRIGHT_PUMPS},
        [PUMPWRIGHT_LINE_FLOW] = {PW_OF_LINE_FLOW, PUMPWRIGHT_LINES},
        [PUMPWRIGHT_OUTLET_FLOW] = {PW_OF_OUTLET_FLOW, PUMPWRIGHT_OUTLETS},
        [PUMPWRIGHT_TANK_DEPTH] = {PW_OF_TANK_DEPTH, PUMPWRIGHT_TANKS},
        [PUMPWRIGHT_BORE_WATER] = {PW_OF_BORE_WATER, PUMPWRIGHT_SOURCES},
        [PUMPWRIGHT_CURRENT] = {PW_OF_CURRENT, PUMPWRIGHT_PUMPS},
        [PUMPWRIGHT_POWER] = {PW_OF_POWER, PUMPWRIGHT_PUMPS},
        [PUMPWRIGHT_WINDING] = {PW_OF_WINDING, PUMPWRIGHT_PUMPS},
        [PUMPWRIGHT_WATER] = {PW_OF_WATER, PUMPWRIGHT_PUMPS},
        [PUMPWRIGHT_RUNNING] = {PW_OF_RUNNING, PUMPWRIGHT_PUMPS},
        [PUMPWRIGHT_READING] = {PW_OF_READING, PUMPWRIGHT_SENSORS},
    };
    if ((size_t)quantity >= sizeof rows / sizeof rows[0]) {
        return false;
    }
    const pw_site *site = simulation->plant->site;
    const int32_t item = library_find(site, rows[quantity].list, name);
    if (item < 0 || (quantity == PUMPWRIGHT_BORE_WATER && site->sources[item].kind != PW_SOURCE_BORE)) {
        return false;
    }
    *out = (pw_watched){rows[quantity].of, item};
    return true;
}

bool pumpwright_simulation_value(const pumpwright_simulation *simulation, pumpwright_quantity quantity,
                                 const char *name, double *out)
{
    pw_watched what;
    const bool there = library_watched(simulation, quantity, name, &what);
    *out = there ? pw_sim_value(simulation->sim, what) : 0;
    return there;
}

void pumpwright_simulation_watch(pumpwright_simulation *simulation,
                                 void (*watch)(void *user, const pumpwright_event *event), void *user)
{
    simulation->watcher.watch = watch;
    simulation->watcher.user = user;
}

char *pumpwright_simulation_words(const pumpwright_simulation *simulation, const char *language)
{
    enum { LINE_BYTES = 1 << 16 };
    const pw_event *event = simulation->watcher.now;
    const pw_units units = pw_units_metric();
    pw_voice voice = {PW_ENGLISH, &units};
    char *block = event && language && pw_language_read(language, &voice.language) ? malloc(LINE_BYTES) : NULL;
    if (!block) {
        return NULL;
    }
    pw_arena arena;
    pw_arena_init(&arena, block, LINE_BYTES);
    const pw_entry entry = {.t_ms = event->t_ms,
                            .kind = (int16_t)event->kind,
                            .item = (int16_t)event->item,
                            .sentence = (int16_t)event->sentence,
                            .pressure_pa = pw_sim_pressure(simulation->sim),
                            .a = event->a,
                            .b = event->b,
                            .settings = event->settings};
    const pw_fact line = pw_entry_line(&arena, simulation->plant, &entry);
    const char *words = pw_say_words(&arena, &voice, &line);
    char *out = words ? malloc(strlen(words) + 1) : NULL;
    if (out) {
        memcpy(out, words, strlen(words) + 1);
    }
    free(block);
    return out;
}
