/* Samples: the site at moments, for plots and tables. */
#include "sim/observers.h"
#include "sim/run.h"

#include <string.h>

int32_t pw_column_pump(int32_t pump, pw_pump_column column)
{
    return pump * PW_PUMP_COLUMNS + (int32_t)column;
}

int32_t pw_column_tank(const pw_site *site, int32_t tank)
{
    return site->pump_count * PW_PUMP_COLUMNS + tank;
}

int32_t pw_column_bore(const pw_site *site, int32_t bore)
{
    return pw_column_tank(site, site->tank_count) + bore;
}

int32_t pw_column_count(const pw_plant *plant, bool places, bool flows)
{
    const pw_site *site = plant->site;
    return pw_column_bore(site, pw_model_bore_count(plant->model)) + (places ? site->place_count : 0) +
           (flows ? site->line_count + site->outlet_count : 0);
}

float pw_sample_value(const pw_daybook *book, int32_t sample, int32_t column)
{
    return book->rows[(int64_t)sample * book->column_count + column];
}

/* There is no more room: what lies nearer than twice as far apart as now goes, until half of the room is free. So the
 * samples always span the whole time, however long it is. */
static void thin(pw_samples *out)
{
    const int64_t columns = out->column_count;
    while (out->count > out->capacity / 2) {
        int32_t count = 1; /* the first stays */
        out->every_ms *= 2;
        for (int32_t i = 1; i < out->count; i++) {
            if (out->samples[i].t_ms - out->samples[count - 1].t_ms < out->every_ms) {
                continue;
            }
            out->samples[count] = out->samples[i];
            for (int64_t c = 0; c < columns; c++) {
                out->rows[count * columns + c] = out->rows[i * columns + c];
            }
            count++;
        }
        out->lost += out->count - count;
        out->count = count;
    }
}

static int64_t due_after(const pw_samples *out, int64_t t_ms)
{
    const int64_t last_ms = out->count > 0 ? out->samples[out->count - 1].t_ms : t_ms;
    const int64_t due_ms = last_ms + out->every_ms;
    return due_ms > t_ms ? due_ms : t_ms + out->every_ms;
}

static void fill_row(const pw_samples *out, const pw_sim *sim, float *row)
{
    const pw_site *site = pw_sim_plant(sim)->site;
    const pw_moment *moment = pw_sim_moment(sim);
    for (int32_t p = 0; p < site->pump_count; p++) {
        row[pw_column_pump(p, PW_PUMP_RUNS)] = (float)pw_sim_value(sim, (pw_watched){PW_OF_RUNNING, p});
        row[pw_column_pump(p, PW_PUMP_FLOW)] = (float)moment->pump_m3s[p];
        row[pw_column_pump(p, PW_PUMP_CURRENT)] = (float)moment->current_a[p];
        row[pw_column_pump(p, PW_PUMP_WINDING)] = (float)pw_sim_winding_c(sim, p);
        row[pw_column_pump(p, PW_PUMP_WATER)] = (float)pw_sim_water_c(sim, p);
    }
    for (int32_t t = 0; t < site->tank_count; t++) {
        row[pw_column_tank(site, t)] = (float)pw_sim_tank_m(sim, t);
    }
    int32_t bore = 0;
    for (int32_t s = 0; s < site->source_count; s++) {
        if (site->sources[s].kind == PW_SOURCE_BORE) {
            row[pw_column_bore(site, bore)] = (float)pw_sim_bore_m(sim, s);
            bore++;
        }
    }
    for (int32_t p = 0; out->first_place + p < out->first_line; p++) {
        row[out->first_place + p] = (float)moment->place_pa[p];
    }
    const int32_t first_outlet = out->first_line + site->line_count;
    for (int32_t c = out->first_line; c < out->column_count; c++) {
        row[c] =
            (float)(c < first_outlet ? moment->line_m3s[c - out->first_line] : moment->outlet_m3s[c - first_outlet]);
    }
}

static void take(void *user, const pw_sim *sim)
{
    pw_samples *out = user;
    const int64_t t_ms = pw_sim_time_ms(sim);
    const pw_site *site = pw_sim_plant(sim)->site;
    if (out->count >= out->capacity && out->count > 1) {
        thin(out);
    }
    const bool thinned = out->every_ms > out->asked_ms && out->count > 0;
    if (out->count >= out->capacity || (thinned && t_ms - out->samples[out->count - 1].t_ms < out->every_ms)) {
        out->lost++;
        return;
    }
    pw_sample *sample = &out->samples[out->count];
    double drawn = 0.0;
    for (int32_t o = 0; o < site->outlet_count; o++) {
        drawn += pw_sim_moment(sim)->outlet_m3s[o];
    }
    sample->t_ms = t_ms;
    sample->pressure_pa = (float)pw_sim_pressure(sim);
    sample->draw_m3s = (float)drawn;
    fill_row(out, sim, out->rows + (int64_t)out->count * out->column_count);
    out->count++;
}

/* As it was when pumps switch and as it is after: a sharp edge. */
static void at(pw_observer *self, pw_sim *sim, pw_at when)
{
    pw_samples *out = (pw_samples *)(void *)self;
    const int64_t t_ms = pw_sim_time_ms(sim);
    if (when == PW_AT_STEPPED && out->due_ms <= t_ms) {
        take(out, sim);
        out->due_ms = due_after(out, t_ms);
    } else if (when == PW_AT_SWITCHING || when == PW_AT_SWITCHED) {
        take(out, sim);
    }
}

static void within(pw_observer *self, pw_sim *sim, int64_t h_ms)
{
    pw_samples *out = (pw_samples *)(void *)self;
    const int64_t begin_ms = pw_sim_time_ms(sim);
    while (out->due_ms < begin_ms + h_ms) {
        const int64_t t_ms = out->due_ms;
        (void)pw_sim_look(sim, t_ms - begin_ms, take, out);
        out->due_ms = due_after(out, t_ms);
    }
}

pw_status pw_samples_begin(pw_samples *out, pw_arena *arena, const pw_sim *sim, int64_t asked_ms, int32_t capacity,
                           bool places, bool flows)
{
    const pw_plant *plant = pw_sim_plant(sim);
    memset(out, 0, sizeof *out);
    if (asked_ms > 0) {
        out->observer = (pw_observer){.at = at, .within = within};
    }
    const int32_t rows = asked_ms > 0 ? capacity + 1 : 1;
    out->first_place = pw_column_bore(plant->site, pw_model_bore_count(plant->model));
    out->first_line = pw_column_count(plant, places, false);
    out->column_count = pw_column_count(plant, places, flows);
    out->asked_ms = asked_ms;
    out->every_ms = asked_ms;
    out->due_ms = pw_sim_time_ms(sim);
    out->capacity = capacity;
    out->samples = PW_NEW(arena, rows, pw_sample);
    out->rows = PW_NEW(arena, (int64_t)rows * out->column_count, float);
    return out->samples != NULL && out->rows != NULL ? PW_OK : PW_MEMORY;
}
