/* The day book as a paper: what the site did, in words, with totals and the plots of the time simulated. */
#include "base/num.h"
#include "paper/paper.h"
#include "paper/day_parts.h"
#include "paper/say.h"

/* Lines of routine, and of lock outs and warnings that come again and again: more than that nobody reads on paper. */
enum { MOST_ROUTINE = 600, MOST_TELLING = 2000 };

static void put_headline(day_pen *p)
{
    const pw_totals *totals = &p->book->totals;
    pw_text text;
    pw_text_init(&text, p->arena);
    const int32_t pumps = p->plant->site->pump_count;
    pw_text_puts(&text, "In ", day_words(p, PW_DIM_TIME, (double)p->book->length_ms / 1000.0), " the ", NULL);
    if (pumps > 1) { /* their times add up, and may be longer than the time simulated */
        pw_text_int(&text, pumps);
        pw_text_put(&text, " pumps together started ");
    } else {
        pw_text_put(&text, "pump started ");
    }
    pw_text_int(&text, totals->starts);
    pw_text_puts(&text, totals->starts == 1 ? " time, ran " : " times, ran ", day_words(p, PW_DIM_TIME, totals->run_s),
                 " and pumped ", day_words(p, PW_DIM_VOLUME, totals->pumped_m3), ".", NULL);
    if (p->book->lock_count > 0) {
        const bool once = p->book->lock_count == 1;
        pw_text_put(&text, pumps == 1 ? " It was locked out " : once ? " There was " : " There were ");
        pw_text_int(&text, p->book->lock_count);
        pw_text_put(&text, pumps == 1 ? (once ? " time" : " times") : (once ? " lock out" : " lock outs"));
        pw_text_put(&text, !p->book->locked_at_end ? "."
                           : pumps > 1             ? ", and a pump was still locked out at the end."
                                                   : " and was still locked out at the end.");
    }
    if (p->book->ending == PW_END_HUNTING)
        pw_text_put(&text, " It began to hunt, more than 1,800 starts in an hour; the time ends there.");
    const double stands_pa = p->plant->site->limits.highest_pa.v;
    if (totals->pressure_top_pa > stands_pa)
        pw_text_puts(&text, " The pressure rose to ", day_words(p, PW_DIM_PRESSURE, totals->pressure_top_pa),
                     ", and the weakest part stands ", day_words(p, PW_DIM_PRESSURE, stands_pa), ".", NULL);
    if (p->book->burnt_ms >= 0)
        pw_text_puts(&text, " The motor of ", p->plant->site->pumps[p->book->burnt_pump].name, " burnt out after ",
                     day_words(p, PW_DIM_TIME, (double)p->book->burnt_ms / 1000.0), " and does not turn again.", NULL);
    pw_document_add(p->document, PW_BLOCK_LEAD, PW_TONE_PLAIN, say_done(&text));
}

/* A winding far above its limit is a motor that burnt out; how hot it became then does not matter. */
static const char *winding_words(day_pen *p)
{
    const pw_daybook *book = p->book;
    if (book->burnt_ms < 0)
        return day_words(p, PW_DIM_TEMPERATURE, book->totals.winding_max_c);
    const pw_pump *pump = &p->plant->site->pumps[book->burnt_pump];
    return say(p->arena, "over ", day_words(p, PW_DIM_TEMPERATURE, pump->motor.winding_limit_c.v), ": the motor of ",
               pump->name, " burnt out after ", day_words(p, PW_DIM_TIME, (double)book->burnt_ms / 1000.0), NULL);
}

static void put_totals(day_pen *p)
{
    const pw_totals *totals = &p->book->totals;
    const char *lines[] = {"Delivered",
                           day_words(p, PW_DIM_VOLUME, totals->delivered_m3),
                           "Wanted",
                           day_words(p, PW_DIM_VOLUME, totals->wanted_m3),
                           "Missing",
                           day_words(p, PW_DIM_VOLUME, totals->missing_m3),
                           "Too little at an outlet",
                           day_words(p, PW_DIM_TIME, totals->short_s),
                           "Leaked",
                           day_words(p, PW_DIM_VOLUME, totals->leaked_m3),
                           "Spilled",
                           day_words(p, PW_DIM_VOLUME, totals->spilled_m3),
                           "From the source",
                           day_words(p, PW_DIM_VOLUME, totals->source_m3),
                           "Most starts in an hour",
                           say_count(p->arena, (double)totals->most_starts_in_hour),
                           "Longest run",
                           day_words(p, PW_DIM_TIME, totals->longest_run_s),
                           "Ran dry",
                           day_words(p, PW_DIM_TIME, totals->dry_s),
                           "Ran against a shut valve",
                           day_words(p, PW_DIM_TIME, totals->deadhead_s),
                           "Hottest winding",
                           winding_words(p),
                           "Hottest water in a pump",
                           day_words(p, PW_DIM_TEMPERATURE, totals->water_max_c),
                           "Pressure",
                           say(p->arena, day_words(p, PW_DIM_PRESSURE, totals->pressure_min_pa), " to ",
                               day_words(p, PW_DIM_PRESSURE, totals->pressure_max_pa), NULL),
                           "Highest anywhere",
                           day_words(p, PW_DIM_PRESSURE, totals->pressure_top_pa),
                           "Energy",
                           day_words(p, PW_DIM_ENERGY, totals->energy_j)};
    pw_document_lines(p->document, PW_BLOCK_FACTS, lines, (int32_t)(sizeof lines / sizeof lines[0]));
}

/* What each of several pumps did. */
static void put_pumps(day_pen *p)
{
    static const pw_column columns[] = {{"Pump", "", false},  {"Starts", "", true},         {"Most/h", "", true},
                                        {"Ran", "", true},    {"Longest run", "", true},    {"Pumped", "", true},
                                        {"Energy", "", true}, {"Hottest winding", "", true}};
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    const pw_site *site = p->plant->site;
    if (site->pump_count < 2)
        return;
    pw_grid *grid = pw_document_grid(p->document, "What each pump did", columns, COLUMNS, site->pump_count);
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
        for (int32_t c = 0; c < COLUMNS; c++)
            pw_grid_set(grid, i, c, cells[c], PW_TONE_PLAIN);
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
    case PW_ENTRY_SHORT:
    case PW_ENTRY_SPILL:
    case PW_ENTRY_HOT:
    case PW_ENTRY_STALL:
    case PW_ENTRY_NO_PRIME:
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

/* An entry is "day 1  06:12:04  words": its time and its words go to their own columns. */
static void put_entry(day_pen *p, pw_grid *grid, int32_t row, const pw_entry *entry)
{
    pw_text text;
    pw_text_init(&text, p->arena);
    pw_entry_put(p->plant, entry, p->units, &text);
    if (text.failed || text.data == NULL) {
        p->document->failed = true;
        return;
    }
    size_t second = 0;
    int32_t gaps = 0;
    for (size_t i = 0; i + 1 < text.length && gaps < 2; i++) {
        if (text.data[i] != ' ' || text.data[i + 1] != ' ')
            continue;
        gaps++;
        if (gaps == 2)
            second = i;
        i++;
    }
    const char *time = pw_strdup(p->arena, text.data, second);
    if (time == NULL)
        p->document->failed = true;
    pw_grid_set(grid, row, 0, time, PW_TONE_PLAIN);
    pw_grid_set(grid, row, 1, second > 0 ? text.data + second + 2 : text.data, tone_of(entry->kind));
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
    if (!shown && entry->weight == PW_ENTRY_PASSING)
        so_far->passing++;
    else
        so_far->left += shown ? 0 : 1;
    return shown;
}

/* "... 412 starts, stops and the like are left out ..." */
static void put_gap(day_pen *p, pw_grid *grid, int32_t row, const showing *so_far)
{
    pw_text text;
    pw_text_init(&text, p->arena);
    pw_text_put(&text, "... ");
    pw_text_int(&text, so_far->left);
    if (so_far->telling > MOST_TELLING)
        pw_text_put(&text, so_far->left == 1 ? " entry is left out ..." : " entries are left out ...");
    else
        pw_text_put(&text, so_far->left == 1 ? " start or stop is left out ..."
                                             : " starts, stops and the like are left out ...");
    pw_grid_set(grid, row, 0, "", PW_TONE_PLAIN);
    pw_grid_set(grid, row, 1, say_done(&text), PW_TONE_MUTED);
}

/* The lines of the entries that are shown, with a line for each gap. Without a grid they are only counted. */
static int32_t put_rows(day_pen *p, pw_grid *grid, showing so_far, int32_t *passing)
{
    const pw_daybook *book = p->book;
    int32_t row = 0;
    for (int32_t i = 0; i < book->entry_count; i++) {
        if (!shows(&so_far, &book->entries[i]))
            continue;
        if (so_far.left > 0) {
            if (grid != NULL)
                put_gap(p, grid, row, &so_far);
            row++;
        }
        so_far.left = 0;
        if (grid != NULL)
            put_entry(p, grid, row, &book->entries[i]);
        row++;
    }
    *passing = so_far.passing;
    return row;
}

/* Draws lie between all starts: they are told as left out once, not between all of them. */
static void put_left_out(day_pen *p, int32_t passing)
{
    if (passing > 0)
        pw_document_add(p->document, PW_BLOCK_WORDS, PW_TONE_MUTED,
                        say(p->arena, "There is not room for every line: ", say_count(p->arena, (double)passing),
                            " of draws, flow switches and the like are left out, so that starts and stops have theirs.",
                            (const char *)NULL));
}

static void put_entries(day_pen *p)
{
    const pw_daybook *book = p->book;
    pw_document_heading(p->document, 2, "Day book");
    if (book->entry_count == 0) {
        pw_document_add(p->document, PW_BLOCK_WORDS, PW_TONE_PLAIN, "No entries were kept.");
        return;
    }
    static const pw_column columns[2] = {{"When", "", false}, {"What", "", false}};
    const showing all = {.sieve = sieve_of(book)};
    int32_t passing = 0;
    const int32_t rows = put_rows(p, NULL, all, &passing);
    put_left_out(p, passing);
    pw_grid *grid = pw_document_grid(p->document, "", columns, 2, rows);
    if (grid != NULL)
        (void)put_rows(p, grid, all, &passing);
}

/* "day 2 06:30:00, bore pump" */
static const char *say_when(day_pen *p, const pw_told *told)
{
    pw_text text;
    pw_text_init(&text, p->arena);
    const int64_t second = told->t_ms / 1000;
    const int64_t parts[3] = {second / 3600 % 24, second / 60 % 60, second % 60};
    pw_text_put(&text, "Day ");
    pw_text_int(&text, second / 86400 + 1);
    for (int32_t i = 0; i < 3; i++) {
        pw_text_put(&text, i == 0 ? ", " : ":");
        pw_text_put(&text, parts[i] < 10 ? "0" : "");
        pw_text_int(&text, parts[i]);
    }
    pw_text_put(&text, told->at_lock ? ": locked out" : "");
    return say_done(&text);
}

/* One statement of the controller a line. */
static void put_told(day_pen *p, const pw_told *told)
{
    enum { MOST_LINES = 100 };
    const char *lines[MOST_LINES];
    int32_t count = 0;
    size_t from = 0;
    for (size_t i = 0; told->words[i] != 0; i++) {
        if (told->words[i] == '\n' && count < MOST_LINES) {
            lines[count] = pw_strdup(p->arena, told->words + from, i - from);
            p->document->failed = p->document->failed || lines[count] == NULL;
            count++;
            from = i + 1;
        }
    }
    pw_document_heading(p->document, 3, say_when(p, told));
    if (!p->document->failed)
        pw_document_lines(p->document, PW_BLOCK_LIST, lines, count);
}

static void put_states(day_pen *p)
{
    enum { MOST_LOCKS = 8 };
    int32_t locks = 0, left = p->book->told_lost;
    if (p->book->told_count == 0)
        return;
    pw_document_heading(p->document, 2, "What the controller tells");
    for (int32_t i = 0; i < p->book->told_count; i++) {
        locks += p->book->told[i].at_lock ? 1 : 0;
        if (p->book->told[i].at_lock && locks > MOST_LOCKS)
            left++;
        else
            put_told(p, &p->book->told[i]);
    }
    if (left > 0)
        pw_document_add(p->document, PW_BLOCK_WORDS, PW_TONE_MUTED,
                        say(p->arena, say_count(p->arena, left), " further states are not shown.", (const char *)NULL));
}

/* A plot of samples that lie far apart does not show every start. */
static void put_thinned(day_pen *p)
{
    if (p->book->samples_lost > 0)
        pw_document_add(p->document, PW_BLOCK_WORDS, PW_TONE_MUTED,
                        say(p->arena, "The time is too long to keep every sample: they lie ",
                            day_words(p, PW_DIM_TIME, (double)p->book->sample_every_ms / 1000.0),
                            " apart, and what is shorter may not show.", (const char *)NULL));
}

pw_status pw_paper_day(pw_arena *arena, const pw_plant *plant, const pw_daybook *daybook, const pw_units *units,
                       pw_document **out)
{
    *out = NULL;
    const pw_site *site = plant->site;
    pw_document *document = pw_document_new(arena, "Day book", site->name, site->invented ? "INVENTED" : "");
    if (document == NULL)
        return PW_MEMORY;
    day_pen p = {arena, document, plant, daybook, units};
    put_headline(&p);
    (void)say_invented(document, site);
    pw_document_heading(document, 2, "Totals");
    put_totals(&p);
    put_pumps(&p);
    if (daybook->sample_count > 1) {
        pw_document_heading(document, 2, "Over time");
        put_thinned(&p);
        day_put_plots(&p);
    }
    pw_document_heading(document, 2, "The order");
    say_settings(document, plant->settings);
    put_entries(&p);
    put_states(&p);
    if (document->failed)
        return PW_MEMORY;
    *out = document;
    return PW_OK;
}
