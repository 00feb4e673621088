/* Samples: the site at moments, for plots and tables. */
#include "base/num.h"
#include "sim/run_impl.h"

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

int32_t pw_column_count(const pw_plant *plant, bool places)
{
    return pw_column_bore(plant->site, pw_model_bore_count(plant->model)) + (places ? plant->site->place_count : 0);
}

float pw_sample_value(const pw_daybook *book, int32_t sample, int32_t column)
{
    return book->rows[(int64_t)sample * book->column_count + column];
}

pw_status pw_book_columns(run_state *run)
{
    pw_daybook *book = run->book;
    const pw_site *site = run->plant->site;
    const int32_t capacity = run->options->sample_ms > 0 ? run->options->sample_capacity + 1 : 1;
    book->first_place = pw_column_bore(site, pw_model_bore_count(run->plant->model));
    book->column_count = pw_column_count(run->plant, run->options->sample_places);
    book->sample_every_ms = run->options->sample_ms;
    book->samples = PW_NEW(run->arena, capacity, pw_sample);
    book->rows = PW_NEW(run->arena, (int64_t)capacity * book->column_count, float);
    return book->samples != NULL && book->rows != NULL ? PW_OK : PW_MEMORY;
}

/* There is no more room: what lies nearer than twice as far apart as now goes, until half of the room is free. So the
 * samples always span the whole time, however long it is. */
static void thin(run_state *run)
{
    pw_daybook *book = run->book;
    const int64_t columns = book->column_count;
    while (book->sample_count > run->options->sample_capacity / 2) {
        int32_t count = 1; /* the first stays */
        book->sample_every_ms *= 2;
        for (int32_t i = 1; i < book->sample_count; i++) {
            if (book->samples[i].t_ms - book->samples[count - 1].t_ms < book->sample_every_ms) {
                continue;
            }
            book->samples[count] = book->samples[i];
            for (int64_t c = 0; c < columns; c++) {
                book->rows[count * columns + c] = book->rows[i * columns + c];
            }
            count++;
        }
        book->samples_lost += book->sample_count - count;
        book->sample_count = count;
    }
}

int64_t pw_book_sample_due(const run_state *run)
{
    const pw_daybook *book = run->book;
    const int64_t last_ms = book->sample_count > 0 ? book->samples[book->sample_count - 1].t_ms : run->t_ms;
    const int64_t due_ms = last_ms + book->sample_every_ms;
    return due_ms > run->t_ms ? due_ms : run->t_ms + book->sample_every_ms;
}

static void fill_row(const run_state *run, float *row)
{
    const pw_site *site = run->plant->site;
    const pw_model *model = run->plant->model;
    const pw_moment *moment = &run->now.moment;
    for (int32_t p = 0; p < site->pump_count; p++) {
        row[pw_column_pump(p, PW_PUMP_RUNS)] = run->drive.run[p] ? 1.0f : 0.0f;
        row[pw_column_pump(p, PW_PUMP_FLOW)] = (float)moment->pump_m3s[p];
        row[pw_column_pump(p, PW_PUMP_CURRENT)] = (float)moment->current_a[p];
        row[pw_column_pump(p, PW_PUMP_WINDING)] = (float)pw_winding_c(
            &run->thermal[p], run->now.y[run->storages + p], site->water_c.v, site->pumps[p].motor.winding_rise_k.v);
        row[pw_column_pump(p, PW_PUMP_WATER)] = (float)run->warmth[p].water_c;
    }
    for (int32_t t = 0; t < site->tank_count; t++) {
        row[pw_column_tank(site, t)] = (float)pw_model_tank_m(model, t, run->now.y[pw_model_tank_state(model, t)]);
    }
    int32_t bore = 0;
    for (int32_t s = 0; s < site->source_count; s++) {
        if (site->sources[s].kind == PW_SOURCE_BORE) {
            row[pw_column_bore(site, bore)] = (float)pw_model_bore_m(model, s, run->now.y[bore]);
            bore++;
        }
    }
    for (int32_t p = 0; run->book->first_place + p < run->book->column_count; p++) {
        row[run->book->first_place + p] = (float)moment->place_pa[p];
    }
}

void pw_book_sample(run_state *run)
{
    pw_daybook *book = run->book;
    if (run->options->sample_ms <= 0) {
        return;
    }
    if (book->sample_count >= run->options->sample_capacity && book->sample_count > 1) {
        thin(run);
    }
    const bool thinned = book->sample_every_ms > run->options->sample_ms && book->sample_count > 0;
    if (book->sample_count >= run->options->sample_capacity ||
        (thinned && run->t_ms - book->samples[book->sample_count - 1].t_ms < book->sample_every_ms)) {
        book->samples_lost++;
        return;
    }
    pw_sample *sample = &book->samples[book->sample_count];
    double drawn = 0.0;
    for (int32_t o = 0; o < run->plant->site->outlet_count; o++) {
        drawn += run->now.moment.outlet_m3s[o];
    }
    sample->t_ms = run->t_ms;
    sample->pressure_pa = (float)pw_book_pressure(run);
    sample->draw_m3s = (float)drawn;
    fill_row(run, book->rows + (int64_t)book->sample_count * book->column_count);
    book->sample_count++;
}
