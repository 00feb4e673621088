/* The day book as a paper: what the site did, in words, with totals and the plots of the time simulated. */
#include "base/num.h"
#include "paper/paper.h"
#include "paper/day_parts.h"
#include "paper/say.h"

/* Lines of routine, and of lock outs and warnings that come again and again: more than that nobody reads on paper. */
enum { MOST_ROUTINE = 600, MOST_TELLING = 2000 };

static pw_value volume(double m3)
{
    return pw_quantity(PW_DIM_VOLUME, m3);
}

static pw_value time_of(double seconds)
{
    return pw_quantity(PW_DIM_TIME, seconds);
}

/* Each fault with its size, and which watch noticed first; or that none did. */
static void put_faults(day_pen *p, pw_facts *lead)
{
    const pw_daybook *book = p->book;
    int32_t faults = 0, by = -1;
    for (int32_t i = 0; i < book->entry_count; i++) {
        const pw_entry *entry = &book->entries[i];
        if (entry->kind != PW_ENTRY_FAULT || !(entry->b >= 1.0 && entry->b < (double)PW_FAULT_COUNT)) {
            continue;
        }
        const pw_fault_kind kind = (pw_fault_kind)entry->b;
        const pw_dimension dimension = pw_fault_dimension(kind);
        pw_tell(lead, "day.lead-fault", pw_word(pw_fault_title(kind)),
                dimension != PW_DIM_NONE ? pw_quantity(dimension, entry->a) : pw_named(""));
        faults++;
    }
    for (int32_t s = 0; s < pw_settings_count(p->plant->settings); s++) {
        const int64_t t_ms = book->firings[s].t_ms;
        if (t_ms >= 0 && (by < 0 || t_ms < book->firings[by].t_ms)) {
            by = s;
        }
    }
    if (faults > 0 && by < 0) {
        pw_tell(lead, "day.lead-unnoticed");
    } else if (faults > 0) {
        pw_tell(lead, "day.lead-noticed", pw_count(by + 1), pw_sentence_value(p->arena, p->plant->settings, by));
    }
}

static void put_headline(day_pen *p)
{
    const pw_totals *totals = &p->book->totals;
    const pw_daybook *book = p->book;
    const int32_t pumps = p->plant->site->pump_count;
    pw_facts lead;
    pw_facts_init(&lead, p->arena);
    /* the times of several pumps add up, and may be longer than the time simulated */
    pw_tell(&lead, "day.lead", time_of((double)book->length_ms / 1000.0), pw_count(pumps > 1 ? pumps : 0),
            pw_count(totals->starts), time_of(totals->run_s), volume(totals->pumped_m3));
    put_faults(p, &lead);
    if (book->lock_count > 0) {
        pw_tell(&lead, pumps == 1 ? "day.lead-locked-one" : "day.lead-locked-several", pw_count(book->lock_count),
                pw_truth(book->locked_at_end));
    }
    if (book->ending == PW_END_HUNTING) {
        pw_tell(&lead, "day.lead-hunts");
    }
    const double stands_pa = p->plant->site->limits.highest_pa.v;
    if (totals->pressure_top_pa > stands_pa) {
        pw_tell(&lead, "day.lead-pressure", pw_quantity(PW_DIM_PRESSURE, totals->pressure_top_pa),
                pw_quantity(PW_DIM_PRESSURE, stands_pa));
    }
    if (book->burnt_ms >= 0) {
        pw_tell(&lead, "day.lead-burnt", pw_named(p->plant->site->pumps[book->burnt_pump].name),
                time_of((double)book->burnt_ms / 1000.0));
    }
    pw_document_add(p->document, PW_BLOCK_LEAD, PW_TONE_PLAIN, say_facts(p->arena, p->voice, &lead));
}

/* A winding far above its limit is a motor that burnt out; how hot it became then does not matter. */
static pw_fact winding_fact(day_pen *p)
{
    const pw_daybook *book = p->book;
    if (book->burnt_ms < 0) {
        return pw_fact_of("base.value", pw_quantity(PW_DIM_TEMPERATURE, book->totals.winding_max_c));
    }
    const pw_pump *pump = &p->plant->site->pumps[book->burnt_pump];
    return pw_fact_of("day.winding-burnt", pw_quantity(PW_DIM_TEMPERATURE, pump->motor.winding_limit_c.v),
                      pw_named(pump->name), time_of((double)book->burnt_ms / 1000.0));
}

enum { MOST_TOTALS = 16 };

typedef struct totals_list {
    day_pen *p;
    const char *lines[2 * MOST_TOTALS];
    int32_t count;
} totals_list;

static void put_total(totals_list *list, const char *name, pw_fact value)
{
    list->lines[list->count] = pw_say_word(list->p->voice, name);
    list->lines[list->count + 1] = say_fact(list->p->arena, list->p->voice, value);
    list->count += 2;
}

static void put_total_of(totals_list *list, const char *name, pw_dimension dimension, double si)
{
    put_total(list, name, pw_fact_of("base.value", pw_quantity(dimension, si)));
}

static void put_totals(day_pen *p)
{
    const pw_totals *totals = &p->book->totals;
    totals_list list = {.p = p};
    put_total_of(&list, "day.delivered", PW_DIM_VOLUME, totals->delivered_m3);
    put_total_of(&list, "day.wanted", PW_DIM_VOLUME, totals->wanted_m3);
    put_total_of(&list, "day.missing", PW_DIM_VOLUME, totals->missing_m3);
    put_total_of(&list, "day.too-little", PW_DIM_TIME, totals->short_s);
    put_total_of(&list, "day.leaked", PW_DIM_VOLUME, totals->leaked_m3);
    put_total_of(&list, "day.spilled", PW_DIM_VOLUME, totals->spilled_m3);
    put_total_of(&list, "day.from-source", PW_DIM_VOLUME, totals->source_m3);
    put_total(&list, "day.most-starts", pw_fact_of("base.value", pw_count(totals->most_starts_in_hour)));
    put_total_of(&list, "day.longest-run", PW_DIM_TIME, totals->longest_run_s);
    put_total_of(&list, "day.ran-dry", PW_DIM_TIME, totals->dry_s);
    put_total_of(&list, "day.deadhead", PW_DIM_TIME, totals->deadhead_s);
    put_total(&list, "day.hottest-winding", winding_fact(p));
    put_total_of(&list, "day.hottest-water", PW_DIM_TEMPERATURE, totals->water_max_c);
    put_total(&list, "day.pressure",
              pw_fact_of("day.from-to", pw_quantity(PW_DIM_PRESSURE, totals->pressure_min_pa),
                         pw_quantity(PW_DIM_PRESSURE, totals->pressure_max_pa)));
    put_total_of(&list, "day.highest", PW_DIM_PRESSURE, totals->pressure_top_pa);
    put_total_of(&list, "day.energy", PW_DIM_ENERGY, totals->energy_j);
    pw_document_lines(p->document, PW_BLOCK_FACTS, list.lines, list.count);
}

/* Columns with these titles, kept in the arena; NULL without memory. */
static pw_column *columns_of(day_pen *p, const char *const *titles, int32_t count, int32_t first_number)
{
    pw_column *columns = PW_NEW(p->arena, count, pw_column);
    for (int32_t i = 0; columns != NULL && i < count; i++) {
        columns[i] = (pw_column){pw_say_word(p->voice, titles[i]), "", i >= first_number};
    }
    p->document->failed = p->document->failed || columns == NULL;
    return columns;
}

/* What each of several pumps did. */
static void put_pumps(day_pen *p)
{
    static const char *const titles[] = {"day.pump",        "day.starts", "day.most-an-hour", "day.ran",
                                         "day.longest-run", "day.pumped", "day.energy",       "day.hottest-winding"};
    enum { COLUMNS = sizeof titles / sizeof titles[0] };
    const pw_site *site = p->plant->site;
    if (site->pump_count < 2) {
        return;
    }
    const pw_column *columns = columns_of(p, titles, COLUMNS, 1);
    pw_grid *grid = columns == NULL ? NULL
                                    : pw_document_grid(p->document, pw_say_word(p->voice, "day.each-pump"), columns,
                                                       COLUMNS, site->pump_count);
    for (int32_t i = 0; grid != NULL && i < site->pump_count; i++) {
        const pw_pump_totals *each = &p->book->pumps[i];
        const char *cells[COLUMNS] = {site->pumps[i].name,
                                      say_count(p->arena, (double)each->starts),
                                      say_count(p->arena, (double)each->most_starts_in_hour),
                                      day_words(p, PW_DIM_TIME, each->run_s),
                                      day_words(p, PW_DIM_TIME, each->longest_run_s),
                                      day_words(p, PW_DIM_VOLUME, each->pumped_m3),
                                      day_words(p, PW_DIM_ENERGY, each->energy_j),
                                      day_words(p, PW_DIM_TEMPERATURE, each->winding_max_c)};
        for (int32_t c = 0; c < COLUMNS; c++) {
            pw_grid_set(grid, i, c, cells[c], PW_TONE_PLAIN);
        }
    }
}

/* ---- entries ---- */

static pw_tone tone_of(int32_t kind)
{
    switch (kind) {
    case PW_ENTRY_LOCK:
    case PW_ENTRY_BOILS:
    case PW_ENTRY_BURNT:
    case PW_ENTRY_HUNTING: return PW_TONE_BAD;
    case PW_ENTRY_WARN:
    case PW_ENTRY_DRY:
    case PW_ENTRY_CAVITATES:
    case PW_ENTRY_SHORT:
    case PW_ENTRY_AIR_IN:
    case PW_ENTRY_AIR_OUT:
    case PW_ENTRY_TORN:
    case PW_ENTRY_SIPHON:
    case PW_ENTRY_SPILL:
    case PW_ENTRY_HOT:
    case PW_ENTRY_STALL:
    case PW_ENTRY_NO_PRIME:
    case PW_ENTRY_PRIME_LOST:
    case PW_ENTRY_NO_CLOSE:
    case PW_ENTRY_SLAM:
    case PW_ENTRY_FAULT: return PW_TONE_CAUTION;
    case PW_ENTRY_DRAW:
    case PW_ENTRY_DRAW_END:
    case PW_ENTRY_FLOW:
    case PW_ENTRY_NO_FLOW: return PW_TONE_MUTED;
    default: return PW_TONE_PLAIN;
    }
}

static void put_entry(day_pen *p, pw_grid *grid, int32_t row, const pw_entry *entry)
{
    const char *when = say_fact(p->arena, p->voice, pw_entry_when(entry));
    const char *what = say_fact(p->arena, p->voice, pw_entry_fact(p->arena, p->plant, entry));
    p->document->failed = p->document->failed || when == NULL || what == NULL;
    pw_grid_set(grid, row, 0, when, PW_TONE_PLAIN);
    pw_grid_set(grid, row, 1, what, tone_of(entry->kind));
}

/* What of the entries is shown, met in their sequence. */
typedef struct showing {
    pw_sieve sieve;
    int32_t routine, telling; /* shown so far */
    int32_t left;             /* not shown since the last that was, without draws and the like */
    int32_t passing;          /* draws and the like not shown at all */
} showing;

/* The finest sieve that lets no more routine through than there are lines for it. */
static pw_sieve sieve_of(const pw_daybook *book)
{
    pw_sieve sieve;
    int32_t routine = MOST_ROUTINE + 1;
    bool more = true;
    for (pw_sieve_open(&sieve); more && routine > MOST_ROUTINE;) {
        routine = 0;
        for (int32_t i = 0; i < book->entry_count; i++) {
            const pw_entry *entry = &book->entries[i];
            routine += entry->weight <= PW_ENTRY_ROUTINE && pw_sieve_keeps(&sieve, entry) ? 1 : 0;
        }
        more = routine > MOST_ROUTINE && pw_sieve_coarser(&sieve, book->length_ms);
    }
    return sieve;
}

static bool shows(showing *so_far, const pw_entry *entry)
{
    bool shown = entry->weight == PW_ENTRY_NEVER_LEFT;
    so_far->left += entry->left_routine;
    so_far->passing += entry->left_out - entry->left_routine;
    if (entry->weight <= PW_ENTRY_ROUTINE) {
        const bool keeps = pw_sieve_keeps(&so_far->sieve, entry);
        shown = keeps && so_far->routine < MOST_ROUTINE;
        so_far->routine += keeps ? 1 : 0;
    } else if (entry->weight == PW_ENTRY_TELLING) {
        shown = so_far->telling < MOST_TELLING;
        so_far->telling++;
    }
    if (!shown && entry->weight == PW_ENTRY_PASSING) {
        so_far->passing++;
    } else {
        so_far->left += shown ? 0 : 1;
    }
    return shown;
}

/* "... 412 starts, stops and the like are left out ..." */
static void put_gap(day_pen *p, pw_grid *grid, int32_t row, const showing *so_far)
{
    const char *id = so_far->telling > MOST_TELLING ? "day.gap-entries" : "day.gap-starts";
    pw_grid_set(grid, row, 0, "", PW_TONE_PLAIN);
    pw_grid_set(grid, row, 1, say_fact(p->arena, p->voice, pw_fact_of(id, pw_count(so_far->left))), PW_TONE_MUTED);
}

/* The lines of the entries that are shown, with a line for each gap. Without a grid they are only counted. */
static int32_t put_rows(day_pen *p, pw_grid *grid, showing so_far, int32_t *passing)
{
    const pw_daybook *book = p->book;
    int32_t row = 0;
    for (int32_t i = 0; i < book->entry_count; i++) {
        if (!shows(&so_far, &book->entries[i])) {
            continue;
        }
        if (so_far.left > 0) {
            if (grid != NULL) {
                put_gap(p, grid, row, &so_far);
            }
            row++;
        }
        so_far.left = 0;
        if (grid != NULL) {
            put_entry(p, grid, row, &book->entries[i]);
        }
        row++;
    }
    *passing = so_far.passing;
    return row;
}

/* Draws lie between all starts: they are told as left out once, not between all of them. */
static void put_left_out(day_pen *p, int32_t passing)
{
    if (passing > 0) {
        say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_MUTED, pw_fact_of("day.left-out", pw_count(passing)));
    }
}

static void put_entries(day_pen *p)
{
    const pw_daybook *book = p->book;
    say_heading(p->document, p->voice, 2, "day.day-book");
    if (book->entry_count == 0) {
        say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN, pw_fact_of("day.no-entries"));
        return;
    }
    static const char *const titles[] = {"day.when-column", "day.what-column"};
    const pw_column *columns = columns_of(p, titles, 2, 2);
    if (columns == NULL) {
        return;
    }
    const showing all = {.sieve = sieve_of(book)};
    int32_t passing = 0;
    const int32_t rows = put_rows(p, NULL, all, &passing);
    put_left_out(p, passing);
    pw_grid *grid = pw_document_grid(p->document, "", columns, 2, rows);
    if (grid != NULL) {
        (void)put_rows(p, grid, all, &passing);
    }
}

/* "Day 2, 06:30:00: locked out" */
static const char *say_when(day_pen *p, const pw_told *told)
{
    const int64_t second = told->t_ms / 1000;
    return say_fact(p->arena, p->voice,
                    pw_fact_of("day.asked", pw_count(second / 86400 + 1), pw_clock_seconds(second % 86400),
                               pw_truth(told->at_lock)));
}

/* One statement of the controller a line. */
static void put_told(day_pen *p, const pw_told *told)
{
    enum { MOST_LINES = 100 };
    const char *lines[MOST_LINES];
    int32_t count = 0;
    for (; count < told->facts.count && count < MOST_LINES; count++) {
        lines[count] = say_fact(p->arena, p->voice, told->facts.items[count]);
    }
    pw_document_heading(p->document, 3, say_when(p, told));
    pw_document_lines(p->document, PW_BLOCK_LIST, lines, count);
}

static void put_states(day_pen *p)
{
    enum { MOST_LOCKS = 8 };
    int32_t locks = 0, left = p->book->told_lost;
    if (p->book->told_count == 0) {
        return;
    }
    say_heading(p->document, p->voice, 2, "day.tells");
    for (int32_t i = 0; i < p->book->told_count; i++) {
        locks += p->book->told[i].at_lock ? 1 : 0;
        if (p->book->told[i].at_lock && locks > MOST_LOCKS) {
            left++;
        } else {
            put_told(p, &p->book->told[i]);
        }
    }
    if (left > 0) {
        say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_MUTED, pw_fact_of("day.states-left", pw_count(left)));
    }
}

/* A plot of samples that lie far apart does not show every start. */
static void put_thinned(day_pen *p)
{
    if (p->book->samples_lost > 0) {
        say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_MUTED,
                  pw_fact_of("day.thinned", time_of((double)p->book->sample_every_ms / 1000.0)));
    }
}

pw_status pw_paper_day(pw_arena *arena, const pw_plant *plant, const pw_daybook *daybook, const pw_voice *voice,
                       pw_document **out)
{
    *out = NULL;
    const pw_site *site = plant->site;
    pw_document *document = say_new_paper(arena, voice, "day.day-book", site->name, site->invented);
    if (document == NULL) {
        return PW_MEMORY;
    }
    day_pen p = {arena, document, plant, daybook, voice->units, voice};
    put_headline(&p);
    (void)say_invented(document, voice, site);
    say_heading(document, voice, 2, "day.totals");
    put_totals(&p);
    put_pumps(&p);
    if (daybook->sample_count > 1) {
        say_heading(document, voice, 2, "day.over-time");
        put_thinned(&p);
        day_put_plots(&p);
    }
    say_heading(document, voice, 2, "paper.the-settings");
    say_settings(document, voice, plant->settings);
    put_entries(&p);
    put_states(&p);
    if (document->failed) {
        return PW_MEMORY;
    }
    *out = document;
    return PW_OK;
}
