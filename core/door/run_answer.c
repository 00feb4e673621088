/* The day book of a run as JSON. */
#include "door/inside.h"

static const char *ending_word(pw_ending ending)
{
    switch (ending) {
    case PW_END_TIME: return "time";
    case PW_END_LOCK: return "lock out";
    case PW_END_WATCH: return "watch";
    case PW_END_HUNTING: return "hunting";
    }
    return "";
}

/* Name of what an entry speaks of; NULL when it speaks of nothing. */
static const char *entry_name(const pw_site *site, const pw_entry *entry)
{
    int32_t item = entry->item;
    if (item < 0) {
        return NULL;
    }
    switch ((pw_entry_kind)entry->kind) {
    case PW_ENTRY_START:
    case PW_ENTRY_STOP:
    case PW_ENTRY_LOCK:
    case PW_ENTRY_WARN:
    case PW_ENTRY_HELD:
    case PW_ENTRY_RELEASE:
    case PW_ENTRY_RETRY:
    case PW_ENTRY_DRY:
    case PW_ENTRY_DRY_END:
    case PW_ENTRY_CAVITATES:
    case PW_ENTRY_CAVITATES_END:
    case PW_ENTRY_STALL:
    case PW_ENTRY_NO_PRIME:
    case PW_ENTRY_PRIME_LOST:
    case PW_ENTRY_NO_CLOSE:
    case PW_ENTRY_SLAM:
    case PW_ENTRY_HOT:
    case PW_ENTRY_BOILS:
    case PW_ENTRY_HOT_END:
    case PW_ENTRY_BURNT:
    case PW_ENTRY_HUNTING: return item < site->pump_count ? site->pumps[item].name : NULL;
    case PW_ENTRY_DRAW:
    case PW_ENTRY_DRAW_END:
    case PW_ENTRY_SHORT:
    case PW_ENTRY_SHORT_END: return item < site->outlet_count ? site->outlets[item].name : NULL;
    case PW_ENTRY_CLEANED: return item < site->filter_count ? site->filters[item].name : NULL;
    case PW_ENTRY_FLOW:
    case PW_ENTRY_NO_FLOW: return item < site->sensor_count ? site->sensors[item].name : NULL;
    case PW_ENTRY_AIR_IN:
    case PW_ENTRY_AIR_OUT:
    case PW_ENTRY_TORN:
    case PW_ENTRY_SIPHON: return pw_spot_name(site, item);
    case PW_ENTRY_SPILL:
    case PW_ENTRY_SPILL_END: return item < site->tank_count ? site->tanks[item].name : NULL;
    case PW_ENTRY_BEGIN:
    case PW_ENTRY_FAULT:
    case PW_ENTRY_FAULT_END:
    case PW_ENTRY_TYPED:
    case PW_ENTRY_RESET:
    case PW_ENTRY_END:
    case PW_ENTRY_COUNT: break;
    }
    return NULL;
}

static void put_entries(door *d, const pw_plant *plant, const pw_daybook *book)
{
    pw_json_open(d->answer, "entries", '[');
    for (int32_t i = 0; i < book->entry_count; i++) {
        const pw_entry *entry = &book->entries[i];
        const pw_fact words = pw_entry_line(d->arena, plant, entry);
        pw_json_open(d->answer, NULL, '{');
        pw_json_int(d->answer, "t_ms", entry->t_ms);
        pw_json_string(d->answer, "kind", pw_entry_id(entry->kind));
        pw_json_string(d->answer, "name", entry_name(plant->site, entry));
        door_put_count(d, "sentence", entry->sentence);
        door_put_number(d, "pressure_pa", entry->pressure_pa);
        door_put_number(d, "a", entry->a);
        door_put_number(d, "b", entry->b);
        door_put_fact(d, "words", &words);
        if (entry->left_out > 0) {
            pw_json_int(d->answer, "left_out", entry->left_out);
        }
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
    pw_json_int(d->answer, "entries_lost", book->entries_lost);
}

/* A float holds 7 digits: more would be noise. */
static void put_sample(door *d, float value)
{
    char digits[40];
    double rounded = 0.0;
    size_t length = pw_num_digits((double)value, 7, digits);
    if (pw_num_read(digits, length, &rounded) == length && length > 0) {
        pw_json_number(d->answer, NULL, rounded);
    } else {
        pw_json_null(d->answer, NULL);
    }
}

/* One list: a column of the rows; -1: the pressure at the first sensor, -2: what is drawn. */
enum { COLUMN_PRESSURE = -1, COLUMN_DRAWN = -2 };

static void put_column(door *d, const pw_daybook *book, const char *key, int32_t column)
{
    pw_json_open(d->answer, key, '[');
    for (int32_t i = 0; i < book->sample_count; i++) {
        put_sample(d, column == COLUMN_PRESSURE ? book->samples[i].pressure_pa
                      : column == COLUMN_DRAWN  ? book->samples[i].draw_m3s
                                                : pw_sample_value(book, i, column));
    }
    pw_json_close(d->answer, ']');
}

static void put_pump_columns(door *d, const pw_site *site, const pw_daybook *book)
{
    static const char *const keys[PW_PUMP_COLUMNS] = {[PW_PUMP_RUNS] = "running",
                                                      [PW_PUMP_FLOW] = "flow_m3s",
                                                      [PW_PUMP_CURRENT] = "current_a",
                                                      [PW_PUMP_WINDING] = "winding_c",
                                                      [PW_PUMP_WATER] = "water_c"};
    pw_json_open(d->answer, "pumps", '[');
    for (int32_t p = 0; p < site->pump_count; p++) {
        pw_json_open(d->answer, NULL, '{');
        pw_json_string(d->answer, "name", site->pumps[p].name);
        for (int32_t c = 0; c < PW_PUMP_COLUMNS; c++) {
            put_column(d, book, keys[c], pw_column_pump(p, (pw_pump_column)c));
        }
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
}

/* Of all pumps together. */
static void put_pumped(door *d, const pw_site *site, const pw_daybook *book)
{
    pw_json_open(d->answer, "pumps_m3s", '[');
    for (int32_t i = 0; i < book->sample_count; i++) {
        double sum_m3s = 0.0;
        for (int32_t p = 0; p < site->pump_count; p++) {
            sum_m3s += pw_sample_value(book, i, pw_column_pump(p, PW_PUMP_FLOW));
        }
        put_sample(d, (float)sum_m3s);
    }
    pw_json_close(d->answer, ']');
}

static void put_level(door *d, const pw_daybook *book, const char *name, const char *key, int32_t column)
{
    pw_json_open(d->answer, NULL, '{');
    pw_json_string(d->answer, "name", name);
    put_column(d, book, key, column);
    pw_json_close(d->answer, '}');
}

static void put_levels(door *d, const pw_site *site, const pw_daybook *book)
{
    pw_json_open(d->answer, "tanks", '[');
    for (int32_t t = 0; t < site->tank_count; t++) {
        put_level(d, book, site->tanks[t].name, "level_m", pw_column_tank(site, t));
    }
    pw_json_close(d->answer, ']');
    pw_json_open(d->answer, "bores", '[');
    int32_t bore = 0;
    for (int32_t s = 0; s < site->source_count; s++) {
        if (site->sources[s].kind == PW_SOURCE_BORE) {
            put_level(d, book, site->sources[s].name, "over_intake_m", pw_column_bore(site, bore));
            bore++;
        }
    }
    pw_json_close(d->answer, ']');
}

/* One list for each column from `first` to before `end`: things that were asked for, in the sheet's sequence. */
static void put_lists(door *d, const pw_daybook *book, const char *key, int32_t first, int32_t end)
{
    if (first == end) {
        return;
    }
    pw_json_open(d->answer, key, '[');
    for (int32_t c = first; c < end; c++) {
        put_column(d, book, NULL, c);
    }
    pw_json_close(d->answer, ']');
}

static void put_samples(door *d, const pw_site *site, const pw_daybook *book)
{
    pw_json_open(d->answer, "samples", '{');
    pw_json_open(d->answer, "t_ms", '[');
    for (int32_t i = 0; i < book->sample_count; i++) {
        pw_json_int(d->answer, NULL, book->samples[i].t_ms);
    }
    pw_json_close(d->answer, ']');
    put_column(d, book, "pressure_pa", COLUMN_PRESSURE);
    put_column(d, book, "draw_m3s", COLUMN_DRAWN);
    put_pumped(d, site, book);
    put_pump_columns(d, site, book);
    put_levels(d, site, book);
    put_lists(d, book, "places_pa", book->first_place, book->first_line);
    const int32_t first_outlet = book->first_line + site->line_count;
    if (book->first_line < book->column_count) {
        put_lists(d, book, "lines_m3s", book->first_line, first_outlet);
        put_lists(d, book, "outlets_m3s", first_outlet, book->column_count);
    }
    pw_json_close(d->answer, '}');
    pw_json_int(d->answer, "samples_lost", book->samples_lost);
    pw_json_int(d->answer, "samples_every_ms", book->sample_every_ms);
}

/* What each pump did in the whole run. */
static void put_pumps(door *d, const pw_site *site, const pw_daybook *book)
{
    pw_json_open(d->answer, "pumps", '[');
    for (int32_t p = 0; p < site->pump_count; p++) {
        const pw_pump_totals *totals = &book->pumps[p];
        pw_json_open(d->answer, NULL, '{');
        pw_json_string(d->answer, "name", site->pumps[p].name);
        pw_json_int(d->answer, "starts", totals->starts);
        pw_json_int(d->answer, "most_starts_in_hour", totals->most_starts_in_hour);
        door_put_number(d, "run_s", totals->run_s);
        door_put_number(d, "longest_run_s", totals->longest_run_s);
        door_put_number(d, "dry_s", totals->dry_s);
        door_put_number(d, "deadhead_s", totals->deadhead_s);
        door_put_number(d, "pumped_m3", totals->pumped_m3);
        door_put_number(d, "energy_j", totals->energy_j);
        door_put_number(d, "winding_max_c", totals->winding_max_c);
        door_put_number(d, "water_max_c", totals->water_max_c);
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
}

static void put_totals(door *d, const char *key, const pw_totals *totals)
{
    pw_json_open(d->answer, key, '{');
    door_put_number(d, "pumped_m3", totals->pumped_m3);
    door_put_number(d, "delivered_m3", totals->delivered_m3);
    door_put_number(d, "wanted_m3", totals->wanted_m3);
    door_put_number(d, "missing_m3", totals->missing_m3);
    door_put_number(d, "leaked_m3", totals->leaked_m3);
    door_put_number(d, "spilled_m3", totals->spilled_m3);
    door_put_number(d, "source_m3", totals->source_m3);
    door_put_number(d, "stored_change_m3", totals->stored_change_m3);
    door_put_number(d, "balance_m3", totals->balance_m3);
    door_put_number(d, "run_s", totals->run_s);
    door_put_number(d, "dry_s", totals->dry_s);
    door_put_number(d, "deadhead_s", totals->deadhead_s);
    door_put_number(d, "energy_j", totals->energy_j);
    door_put_number(d, "short_s", totals->short_s);
    door_put_number(d, "winding_max_c", totals->winding_max_c);
    door_put_number(d, "water_max_c", totals->water_max_c);
    door_put_number(d, "pressure_max_pa", totals->pressure_max_pa);
    door_put_number(d, "pressure_top_pa", totals->pressure_top_pa);
    door_put_number(d, "pressure_min_pa", totals->pressure_min_pa);
    pw_json_int(d->answer, "starts", totals->starts);
    pw_json_int(d->answer, "most_starts_in_hour", totals->most_starts_in_hour);
    door_put_number(d, "longest_run_s", totals->longest_run_s);
    pw_json_int(d->answer, "segments", totals->segments);
    pw_json_int(d->answer, "evaluations", totals->evaluations);
    pw_json_close(d->answer, '}');
}

/* What the controller told, when it was asked and in every lock out. */
static void put_states(door *d, const pw_plant *plant, const pw_daybook *book)
{
    pw_json_open(d->answer, "states", '[');
    for (int32_t i = 0; i < book->told_count; i++) {
        const pw_told *told = &book->told[i];
        pw_json_open(d->answer, NULL, '{');
        pw_json_int(d->answer, "t_ms", told->t_ms);
        pw_json_string(d->answer, "pump", plant->site->pumps[told->pump].name);
        pw_json_bool(d->answer, "at_lock", told->at_lock);
        pw_text words;
        pw_text_init(&words, d->arena);
        pw_say_lines(&words, &d->voice, &told->facts);
        (void)door_put_text(d, "words", &words);
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
    pw_json_int(d->answer, "states_lost", book->told_lost);
}

/* When each watch fired first after the fault began. */
static void put_firings(door *d, const pw_plant *plant, const pw_daybook *book)
{
    pw_json_open(d->answer, "firings", '[');
    for (int32_t i = 0; i < pw_settings_count(plant->settings); i++) {
        if (pw_settings_is_watch(plant->settings, i) && book->firings[i].t_ms >= 0) {
            pw_json_open(d->answer, NULL, '{');
            pw_json_int(d->answer, "sentence", i);
            pw_json_int(d->answer, "t_ms", book->firings[i].t_ms);
            put_totals(d, "since_onset", &book->firings[i].totals);
            pw_json_close(d->answer, '}');
        }
    }
    pw_json_close(d->answer, ']');
}

void door_put_daybook(door *d, const pw_plant *plant, const pw_run_options *options, const pw_daybook *book)
{
    pw_json_string(d->answer, "name", plant->site->name);
    pw_json_string(d->answer, "ending", ending_word(book->ending));
    pw_json_int(d->answer, "length_ms", book->length_ms);
    pw_json_int(d->answer, "locks", book->lock_count);
    pw_json_bool(d->answer, "locked_at_end", book->locked_at_end);
    door_put_number(d, "burnt_ms", book->burnt_ms >= 0 ? (double)book->burnt_ms : PW_INF);
    pw_json_string(d->answer, "burnt_pump", book->burnt_ms >= 0 ? plant->site->pumps[book->burnt_pump].name : NULL);
    door_put_settings(d, "settings", plant->settings);
    put_totals(d, "totals", &book->totals);
    put_pumps(d, plant->site, book);
    put_firings(d, plant, book);
    put_entries(d, plant, book);
    put_states(d, plant, book);
    if (options->sample_ms > 0) {
        put_samples(d, plant->site, book);
    }
}
