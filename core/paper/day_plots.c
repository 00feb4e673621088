/* The plots of a day: strips under each other over the same time, in the paper and as one picture. */
#include "base/num.h"
#include "paper/day_parts.h"
#include "paper/paper.h"
#include "paper/plot.h"
#include "paper/say.h"

static pw_level level_of(day_pen *p, double shown, const char *id, double pa)
{
    return (pw_level){shown, say_fact(p->arena, p->voice, pw_fact_of(id, pw_quantity(PW_DIM_PRESSURE, pa)))};
}

/* title: id */
static pw_axis axis_of(const day_pen *p, const char *title, pw_dimension dimension, double low, double high)
{
    return (pw_axis){pw_say_word(p->voice, title), pw_unit_name(p->units, dimension), PW_AXIS_LINEAR, low, high};
}

static void put_pressure(day_pen *p)
{
    day_curve c = day_make_curve(p, DAY_PRESSURE, PW_DIM_PRESSURE);
    if (c.x == NULL) {
        return;
    }
    const pw_totals *totals = &p->book->totals;
    double in = pw_unit_value(p->units, PW_DIM_PRESSURE, p->plant->cut_in_pa);
    double out = pw_unit_value(p->units, PW_DIM_PRESSURE, p->plant->cut_out_pa);
    bool has = p->plant->cut_out_pa > p->plant->cut_in_pa && p->plant->cut_in_pa > 0.0;
    const char *words = say_fact(p->arena, p->voice,
                                 pw_fact_of("day.plot-pressure", pw_quantity(PW_DIM_PRESSURE, totals->pressure_min_pa),
                                            pw_quantity(PW_DIM_PRESSURE, totals->pressure_max_pa)));
    /* A surge of milliseconds falls between the samples: it gets a line of its own. */
    const double most = pw_unit_value(p->units, PW_DIM_PRESSURE, totals->pressure_max_pa);
    const double high = has ? pw_max(c.high, out) : c.high;
    const bool surge = most > 1.05 * high;
    pw_plot *plot = day_new_strip(
        p, pw_say_word(p->voice, "day.pressure"), words,
        axis_of(p, "day.axis-pressure", PW_DIM_PRESSURE, has ? pw_min(c.low, in) : c.low, surge ? most : high), 1);
    pw_level *levels = PW_NEW(p->arena, 3, pw_level);
    pw_series *series = PW_NEW(p->arena, 1, pw_series);
    if (plot == NULL || levels == NULL || series == NULL) {
        p->document->failed = true;
        return;
    }
    series[0] = day_line(p, &c, pw_say_word(p->voice, "day.axis-pressure"), 0, false);
    if (has) {
        levels[0] = level_of(p, out, "day.cut-out", p->plant->cut_out_pa);
        levels[1] = level_of(p, in, "day.cut-in", p->plant->cut_in_pa);
        plot->level_count = 2;
    }
    if (surge) {
        levels[plot->level_count] = level_of(p, most, "day.for-moments", totals->pressure_max_pa);
        plot->level_count++;
    }
    plot->levels = levels;
    for (int32_t i = 0; i < plot->level_count; i++) {
        p->document->failed = p->document->failed || levels[i].words == NULL;
    }
    day_put_strip(p, plot, series);
}

static void put_flow(day_pen *p)
{
    const bool several = p->plant->site->pump_count > 1;
    day_curve pump = day_make_curve(p, DAY_PUMPED, PW_DIM_FLOW), draw = day_make_curve(p, DAY_DRAWN, PW_DIM_FLOW);
    pw_series *series = PW_NEW(p->arena, 2, pw_series);
    if (pump.x == NULL || draw.x == NULL || series == NULL) {
        p->document->failed = true;
        return;
    }
    const char *words =
        say_fact(p->arena, p->voice,
                 pw_fact_of("day.plot-flow", pw_truth(several), pw_quantity(PW_DIM_VOLUME, p->book->totals.pumped_m3),
                            pw_quantity(PW_DIM_VOLUME, p->book->totals.delivered_m3)));
    const double high = pw_max(pump.high, draw.high);
    const double low = pump.low < -0.01 * high ? pump.low : 0.0; /* water that flows back through a pump */
    pw_plot *plot = day_new_strip(p, pw_say_word(p->voice, "day.flow-title"), words,
                                  axis_of(p, "day.axis-flow", PW_DIM_FLOW, low, high), 2);
    if (plot == NULL) {
        return;
    }
    series[0] = day_line(p, &pump, pw_say_word(p->voice, several ? "day.pumps-together" : "day.one-pump"), 0, true);
    series[1] = day_line(p, &draw, pw_say_word(p->voice, "day.drawn"), 1, true);
    day_put_strip(p, plot, series);
}

/* Which of several pumps ran, each in its own row. */
static void put_pumps(day_pen *p)
{
    const pw_site *site = p->plant->site;
    if (site->pump_count < 2) {
        return;
    }
    const char **names = PW_NEW(p->arena, site->pump_count, const char *);
    pw_facts words;
    pw_facts_init(&words, p->arena);
    for (int32_t i = 0; names != NULL && i < site->pump_count; i++) {
        const pw_pump_totals *each = &p->book->pumps[i];
        names[i] = site->pumps[i].name;
        pw_tell(&words, "day.pump-ran", pw_named(names[i]), pw_quantity(PW_DIM_TIME, each->run_s),
                pw_count(each->starts));
    }
    pw_plot *plot = day_new_strip(p, pw_say_word(p->voice, "day.which-pump"), say_facts(p->arena, p->voice, &words),
                                  (pw_axis){"", "", PW_AXIS_LINEAR, 0.0, 1.0}, 0);
    if (plot == NULL || names == NULL) {
        p->document->failed = true;
        return;
    }
    plot->rows = names;
    plot->row_count = site->pump_count;
    day_put_strip(p, plot, NULL);
}

/* One strip with one line. */
static void put_level(day_pen *p, int32_t column, const char *title, const char *words, const char *axis,
                      const char *name, int32_t colour)
{
    day_curve c = day_make_curve(p, column, PW_DIM_LENGTH);
    pw_series *series = PW_NEW(p->arena, 1, pw_series);
    if (c.x == NULL || series == NULL) {
        p->document->failed = true;
        return;
    }
    pw_plot *plot = day_new_strip(p, title, words, axis_of(p, axis, PW_DIM_LENGTH, c.low, c.high), 1);
    if (plot == NULL) {
        return;
    }
    series[0] = day_line(p, &c, name, colour, false);
    day_put_strip(p, plot, series);
}

static void put_levels(day_pen *p)
{
    const pw_site *site = p->plant->site;
    for (int32_t i = 0; i < site->tank_count; i++) {
        const char *name = site->tanks[i].name;
        put_level(
            p, pw_column_tank(site, i), say_fact(p->arena, p->voice, pw_fact_of("day.depth-title", pw_named(name))),
            say_fact(p->arena, p->voice, pw_fact_of("day.depth-words", pw_named(name))), "day.axis-depth", name, 2);
    }
    int32_t bore = 0;
    for (int32_t i = 0; i < site->source_count; i++) {
        const char *name = site->sources[i].name;
        if (site->sources[i].kind != PW_SOURCE_BORE) {
            continue;
        }
        put_level(p, pw_column_bore(site, bore),
                  say_fact(p->arena, p->voice, pw_fact_of("day.over-intake-title", pw_named(name))),
                  say_fact(p->arena, p->voice, pw_fact_of("day.over-intake-words", pw_named(name))), "day.axis-height",
                  name, 3);
        bore++;
    }
}

/* One strip with a line for each pump. */
static void put_temperature(day_pen *p, pw_pump_column column, const char *title, const char *words, const char *one,
                            int32_t colour)
{
    const pw_site *site = p->plant->site;
    pw_series *series = PW_NEW(p->arena, site->pump_count, pw_series);
    double low = PW_INF, high = -PW_INF;
    for (int32_t i = 0; series != NULL && i < site->pump_count; i++) {
        const day_curve c = day_make_curve(p, pw_column_pump(i, column), PW_DIM_TEMPERATURE);
        const bool several = site->pump_count > 1;
        series[i] = day_line(p, &c, several ? site->pumps[i].name : one, several ? i : colour, false);
        low = pw_min(low, c.low);
        high = pw_max(high, c.high);
    }
    if (series == NULL || p->document->failed) {
        p->document->failed = true;
        return;
    }
    pw_plot *plot = day_new_strip(p, title, words, axis_of(p, "day.axis-temperature", PW_DIM_TEMPERATURE, low, high),
                                  site->pump_count);
    if (plot != NULL) {
        day_put_strip(p, plot, series);
    }
}

static void put_temperatures(day_pen *p)
{
    const pw_totals *totals = &p->book->totals;
    const bool several = p->plant->site->pump_count > 1;
    put_temperature(p, PW_PUMP_WINDING, pw_say_word(p->voice, "day.winding-title"),
                    say_fact(p->arena, p->voice,
                             pw_fact_of("day.winding-words", pw_truth(several),
                                        pw_quantity(PW_DIM_TEMPERATURE, totals->winding_max_c))),
                    pw_say_word(p->voice, "day.winding"), 4);
    /* Where it warmed enough to matter: a pump against a shut valve. */
    if (!(totals->water_max_c > p->plant->site->water_c.v + 20.0)) {
        return;
    }
    put_temperature(p, PW_PUMP_WATER, say_fact(p->arena, p->voice, pw_fact_of("day.water-title", pw_truth(several))),
                    say_fact(p->arena, p->voice,
                             pw_fact_of("day.water-words", pw_truth(several),
                                        pw_quantity(PW_DIM_TEMPERATURE, totals->water_max_c))),
                    pw_say_word(p->voice, "day.water"), 1);
}

void day_put_plots(day_pen *p)
{
    put_pressure(p);
    put_flow(p);
    put_pumps(p);
    put_levels(p);
    put_temperatures(p);
}
