/* The day book: states and totals. Entries are in entries.c, samples in samples.c. */
#include "base/num.h"
#include "sim/run_impl.h"

double pw_book_pressure(const run_state *run)
{
    const pw_site *site = run->plant->site;
    for (int32_t s = 0; s < site->sensor_count; s++) {
        if (site->sensors[s].kind == PW_SENSOR_PRESSURE) {
            return run->now.moment.place_pa[site->sensors[s].place];
        }
    }
    return run->now.moment.place_pa[site->pumps[0].to];
}

/* What a shut valve lets through in the equations is no water. */
double pw_book_pumped(const run_state *run, int32_t pump, double from_m3)
{
    const double pumped_m3 = run->now.y[pw_pumped_at(run, pump)] - from_m3;
    return pw_abs(pumped_m3) < 1e-7 ? 0.0 : pumped_m3;
}

void pw_book_state(run_state *run, int32_t pump, bool at_lock)
{
    pw_daybook *book = run->book;
    const pw_settings *settings = run->settings_in_force != NULL ? run->settings_in_force : run->plant->settings;
    pw_text words;
    const int32_t asked = (run->options->state_count - run->states_told) * run->plant->site->pump_count;
    if (book->told_count >= PW_MAX_STATES_TOLD - (at_lock ? asked : 0)) { /* those asked for keep their room */
        book->told_lost++;
        return;
    }
    pw_text_init(&words, run->arena);
    const pw_units metric = pw_units_metric();
    const pw_units *units = run->options->units != NULL ? run->options->units : &metric;
    pw_control_words(settings, &run->plant->facts, run->table, run->control, pump, (uint32_t)run->t_ms, units, &words);
    if (run->pumps[pump].burnt) {
        pw_text_puts(&words, "In truth its motor has burnt out and does not turn, whatever its controller tells.\n",
                     (const char *)NULL);
    }
    if (words.failed) {
        book->told_lost++;
        return;
    }
    pw_told *told = &book->told[book->told_count];
    told->t_ms = run->t_ms;
    told->pump = (int16_t)pump;
    told->at_lock = at_lock;
    told->words = words.data;
    book->told_count++;
}

static void keep_warmest(pw_totals *totals, double winding_c, double water_c)
{
    totals->water_max_c = pw_max(totals->water_max_c, water_c);
    totals->winding_max_c = pw_max(totals->winding_max_c, winding_c);
}

/* The highest pressure anywhere. In front of a valve that is partly shut the pump's own head stands, not the place's.
 */
static double top_pa(const run_state *run)
{
    const pw_moment *m = &run->now.moment;
    double most = -PW_INF;
    for (int32_t n = 0; n < run->plant->site->place_count; n++) {
        most = pw_max(most, m->place_pa[n]);
    }
    for (int32_t p = 0; p < run->thermals; p++) {
        if (run->drive.run[p] && run->condition.pump_open[p] < 1.0) {
            const double inside_m = pw_model_inside_m(run->plant->model, &run->condition, p, m->pump_m3s[p]);
            const double more_pa =
                (m->pump_wet[p] * inside_m - m->pump_head_m[p]) * pw_model_pa_per_m(run->plant->model);
            most = pw_max(most, m->place_pa[run->plant->site->pumps[p].to] + more_pa);
        }
    }
    return most;
}

static void keep_pressures(pw_totals *totals, double pressure_pa, double highest_pa)
{
    totals->pressure_max_pa = pw_max(totals->pressure_max_pa, pressure_pa);
    totals->pressure_min_pa = pw_min(totals->pressure_min_pa, pressure_pa);
    totals->pressure_top_pa = pw_max(totals->pressure_top_pa, highest_pa);
}

void pw_book_settled(run_state *run)
{
    const double pressure = pw_book_pressure(run), top = top_pa(run);
    keep_pressures(&run->tally, pressure, top);
    keep_pressures(&run->since, pressure, top);
}

/* Extremes are looked at after each event and where steps end: pressures between them lie between. */
void pw_book_pass(run_state *run, int64_t from_ms, int64_t to_ms)
{
    const pw_site *site = run->plant->site;
    const double dt_s = (double)(to_ms - from_ms) * 1e-3;
    pw_totals *tally = &run->tally;
    bool shortage = false;
    double winding = site->water_c.v;
    for (int32_t p = 0; p < site->pump_count; p++) {
        pw_pump_totals *each = &run->each[p];
        const double hot = pw_winding_c(&run->thermal[p], run->now.y[run->storages + p], site->water_c.v,
                                        site->pumps[p].motor.winding_rise_k.v);
        winding = pw_max(winding, hot);
        each->winding_max_c = pw_max(each->winding_max_c, hot);
        if (run->drive.run[p]) {
            const double dry_s = run->dry[p] ? dt_s : 0.0;
            const double dead_s = run->dead[p] && !run->dry[p] ? dt_s : 0.0;
            const double lasts = (double)(to_ms - run->run_from_ms[p]) * 1e-3;
            tally->run_s += dt_s;
            tally->dry_s += dry_s;
            tally->deadhead_s += dead_s;
            each->run_s += dt_s;
            each->dry_s += dry_s;
            each->deadhead_s += dead_s;
            each->longest_run_s = pw_max(each->longest_run_s, lasts);
            tally->longest_run_s = pw_max(tally->longest_run_s, lasts);
            run->since.longest_run_s = pw_max(run->since.longest_run_s, lasts);
        }
    }
    for (int32_t o = 0; o < site->outlet_count; o++) {
        tally->wanted_m3 += run->drive.draw_m3s[o] * dt_s;
        shortage = shortage || run->shortage[o];
    }
    tally->short_s += shortage ? dt_s : 0.0;
    tally->segments++;
    pw_warmth_pass(run, dt_s);
    const double water = pw_warmth_most_c(run);
    keep_warmest(tally, winding, water);
    keep_warmest(&run->since, winding, water);
    pw_book_settled(run);
    for (int32_t p = 0; p < site->pump_count; p++) {
        run->each[p].water_max_c = pw_max(run->each[p].water_max_c, run->warmth[p].water_c);
    }
}

/* A pump starts: count it, and look for hunting. */
void pw_book_start(run_state *run, int32_t pump)
{
    pump_starts *own = &run->starts[pump];
    run->tally.starts++;
    own->at_ms[own->count % STARTS_KEPT] = run->t_ms;
    own->count++;
    while (own->at_ms[own->hour_first % STARTS_KEPT] <= run->t_ms - 3600000) {
        own->hour_first++;
    }
    const int64_t in_hour = own->count - own->hour_first;
    run->each[pump].starts++;
    if (in_hour > run->each[pump].most_starts_in_hour) {
        run->each[pump].most_starts_in_hour = (int32_t)in_hour;
    }
    if (in_hour > run->tally.most_starts_in_hour) {
        run->tally.most_starts_in_hour = (int32_t)in_hour;
    }
    const int64_t first = own->hour_first > own->since_first ? own->hour_first : own->since_first;
    if (own->count - first > run->since.most_starts_in_hour) {
        run->since.most_starts_in_hour = (int32_t)(own->count - first);
    }
    run->run_from_ms[pump] = run->t_ms;
    run->run_from_m3[pump] = run->now.y[pw_pumped_at(run, pump)];
    if (in_hour > PW_HUNT_STARTS) {
        pw_book_entry(run, PW_ENTRY_HUNTING, pump, -1, (double)in_hour, 0.0);
        run->book->ending = PW_END_HUNTING;
        run->ended = true;
    }
}

void pw_book_peak(run_state *run, double pressure_pa)
{
    run->tally.pressure_max_pa = pw_max(run->tally.pressure_max_pa, pressure_pa);
    run->since.pressure_max_pa = pw_max(run->since.pressure_max_pa, pressure_pa);
    run->tally.pressure_top_pa = pw_max(run->tally.pressure_top_pa, pressure_pa);
    run->since.pressure_top_pa = pw_max(run->since.pressure_top_pa, pressure_pa);
}

static double total_storage(const run_state *run, const double *y)
{
    double sum = 0.0;
    for (int32_t i = 0; i < run->storages; i++) {
        sum += y[i];
    }
    return sum;
}

/* A drop in a million is the rounding of two sums that should be equal. */
static double missing(const pw_totals *totals)
{
    const double short_of_m3 = totals->wanted_m3 - totals->delivered_m3;
    return short_of_m3 > 1e-6 * totals->wanted_m3 ? short_of_m3 : 0.0;
}

pw_totals pw_book_totals(const run_state *run, bool since_onset)
{
    const double *from = since_onset ? run->y_onset : run->y_start;
    const double *y = run->now.y;
    const int32_t s = run->sums;
    pw_totals out = run->tally;
    out.source_m3 = y[s + SUM_SOURCE] - from[s + SUM_SOURCE];
    out.delivered_m3 = y[s + SUM_DELIVERED] - from[s + SUM_DELIVERED];
    out.leaked_m3 = y[s + SUM_LEAKED] - from[s + SUM_LEAKED];
    out.spilled_m3 = y[s + SUM_SPILLED] - from[s + SUM_SPILLED];
    out.pumped_m3 = 0.0;
    out.energy_j = 0.0;
    for (int32_t p = 0; p < run->thermals; p++) {
        out.pumped_m3 += pw_book_pumped(run, p, from[pw_pumped_at(run, p)]);
        out.energy_j += y[pw_energy_at(run, p)] - from[pw_energy_at(run, p)];
    }
    out.stored_change_m3 = total_storage(run, y) - total_storage(run, from);
    out.balance_m3 = out.source_m3 - out.delivered_m3 - out.leaked_m3 - out.spilled_m3 - out.stored_change_m3;
    out.evaluations = run->book->totals.evaluations;
    out.missing_m3 = missing(&out);
    if (since_onset) {
        const pw_totals *before = &run->tally_onset;
        out.run_s -= before->run_s;
        out.dry_s -= before->dry_s;
        out.deadhead_s -= before->deadhead_s;
        out.short_s -= before->short_s;
        out.wanted_m3 -= before->wanted_m3;
        out.missing_m3 = missing(&out);
        out.starts -= before->starts;
        out.segments -= before->segments;
        out.winding_max_c = run->since.winding_max_c;
        out.water_max_c = run->since.water_max_c;
        out.pressure_max_pa = run->since.pressure_max_pa;
        out.pressure_top_pa = run->since.pressure_top_pa;
        out.pressure_min_pa = run->since.pressure_min_pa;
        out.most_starts_in_hour = run->since.most_starts_in_hour;
        out.longest_run_s = run->since.longest_run_s;
    }
    return out;
}

void pw_book_pumps(const run_state *run)
{
    for (int32_t p = 0; p < run->thermals; p++) {
        pw_pump_totals *out = &run->book->pumps[p];
        *out = run->each[p];
        out->pumped_m3 = pw_book_pumped(run, p, 0.0);
        out->energy_j = run->now.y[pw_energy_at(run, p)];
    }
}
