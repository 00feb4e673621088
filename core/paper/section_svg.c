/* The site from the side: heights to scale, sideways in the order in which the water walks. A plain drawing of our own:
 * a circle with a triangle is a pump, a box with a round top a pressure vessel, an open box a tank, an arrow down an
 * outlet. Places carry their number; names stand beside them where there is room, and always in the table below. */
#include <string.h>

#include "base/num.h"
#include "paper/handover_parts.h"
#include "paper/plot_sheet.h"
#include "site/topology.h"

#define AXIS_PX       64.0
#define TOP_PX        30.0
#define FIELD_PX      330.0
#define SMALL_PX      250.0
#define BELOW_PX      24.0
#define MARK_PX       11.0
#define DEEPER_M      1.0 /* a casing goes on below its intake */
#define TANK_PX       52.0
#define LEAST_TANK_PX 30.0
#define VESSEL_PX     36.0
#define BRANCH_PX     20.0

typedef struct section {
    sheet s;
    const pw_site *site;
    const pw_voice *voice;
    double x[PW_MAX_PLACES];
    pw_axis axis;
} section;

static double y_of(const section *d, double level_m)
{
    return plot_y(&d->s, pw_unit_value(d->voice->units, PW_DIM_LENGTH, level_m));
}

static double place_y(const section *d, int32_t place)
{
    return y_of(d, d->site->places[place].level_m.v);
}

static void put_columns(section *d)
{
    const pw_site *site = d->site;
    const pw_walk_rules rules = {.way = PW_WALK_JOINED, .through_pumps = true};
    pw_reach reach = {0};
    for (int32_t i = 0; i < site->source_count; i++) {
        pw_walk(site, &rules, site->sources[i].place, &reach);
    }
    for (int32_t i = 0; i < site->place_count; i++) {
        pw_walk(site, &rules, i, &reach);
    }
    const double step = (d->s.right - d->s.left) / (double)(reach.count > 0 ? reach.count : 1);
    for (int32_t i = 0; i < reach.count; i++) {
        d->x[reach.order[i]] = d->s.left + step * ((double)i + 0.5);
    }
}

static void reach_level(pw_axis *axis, double level_m)
{
    axis->low = pw_min(axis->low, level_m);
    axis->high = pw_max(axis->high, level_m);
}

static void set_axis(section *d)
{
    const pw_site *site = d->site;
    pw_axis axis = {"", pw_unit_name(d->voice->units, PW_DIM_LENGTH), PW_AXIS_LINEAR, site->places[0].level_m.v,
                    site->places[0].level_m.v};
    for (int32_t i = 0; i < site->place_count; i++) {
        reach_level(&axis, site->places[i].level_m.v);
    }
    for (int32_t i = 0; i < site->tank_count; i++) {
        reach_level(&axis, site->places[site->tanks[i].place].level_m.v + site->tanks[i].depth_m.v);
    }
    for (int32_t i = 0; i < site->source_count; i++) {
        const pw_source *source = &site->sources[i];
        const double level_m = site->places[source->place].level_m.v;
        if (source->kind != PW_SOURCE_MAINS) {
            reach_level(&axis, level_m - source->standing_m.v);
            reach_level(&axis, level_m - source->intake_m.v - DEEPER_M);
        }
    }
    for (int32_t i = 0; i < site->line_count; i++) {
        if (site->lines[i].over_m.given) {
            reach_level(&axis, site->lines[i].over_m.v);
        }
    }
    const double room = pw_max(0.06 * (axis.high - axis.low), 0.5);
    d->axis = axis;
    d->axis.low = pw_unit_value(d->voice->units, PW_DIM_LENGTH, axis.low - room);
    d->axis.high = pw_unit_value(d->voice->units, PW_DIM_LENGTH, axis.high + room);
}

static void put_box(section *d, const char *class, double x, double y, double width, double height)
{
    pw_text *out = d->s.out;
    pw_text_puts(out, "<rect class=\"", class, "\"", NULL);
    plot_attribute(out, "x", x);
    plot_attribute(out, "y", y);
    plot_attribute(out, "width", width);
    plot_attribute(out, "height", height);
    pw_text_put(out, "/>");
}

/* "M10 20", "L10 20" */
static void put_step(section *d, char letter, double x, double y)
{
    const char begin[2] = {letter, '\0'};
    pw_text_put(d->s.out, begin);
    plot_px(d->s.out, x);
    pw_text_put(d->s.out, " ");
    plot_px(d->s.out, y);
}

static void begin_path(section *d, const char *class)
{
    pw_text_puts(d->s.out, "<path class=\"", class, "\" d=\"", NULL);
}

static void end_path(section *d)
{
    pw_text_put(d->s.out, "\"/>");
}

static void put_axis(section *d)
{
    double ticks[MAX_TICKS];
    sheet *s = &d->s;
    const int32_t count = pw_plot_ticks(&d->axis, 7, ticks, MAX_TICKS);
    for (int32_t i = 0; i < count; i++) {
        pw_text words;
        pw_text_init(&words, s->out->arena);
        plot_tick_words(s->plot, &d->axis, ticks[i], plot_tick_step(ticks, count), &words);
        const double y = plot_y(s, ticks[i]);
        plot_line(s->out, "pw-grid", s->left - 6.0, y, s->right, y);
        plot_try_words(s, "pw-tick", "end", s->left - 12.0, y + 5.5, words.failed ? "" : words.data);
    }
    pw_text title;
    pw_text_init(&title, s->out->arena);
    pw_text_puts(&title, pw_say_word(d->voice, "handover.level"), ", ", d->axis.unit, NULL);
    plot_words(s->out, "pw-axis", "start", 0.0, 16.0, title.failed ? "" : title.data);
    plot_take_box(s, (box){0.0, 0.0, 9.4 * (double)paper_columns(title.failed ? "" : title.data), 21.0});
}

/* Level of the pump that hangs in this source; false: none does. */
static bool hangs_in(const pw_site *site, int32_t source, int32_t *pump)
{
    for (int32_t i = 0; i < site->pump_count; i++) {
        if (site->pumps[i].from == site->sources[source].place && site->sources[source].kind == PW_SOURCE_BORE &&
            !site->pumps[i].suction_height_m.given) {
            *pump = i;
            return true;
        }
    }
    return false;
}

static void put_pump(section *d, double x, double y, double to_x, double to_y)
{
    const double far = pw_sqrt((to_x - x) * (to_x - x) + (to_y - y) * (to_y - y));
    const double ax = far > 0.0 ? (to_x - x) / far : 0.0, ay = far > 0.0 ? (to_y - y) / far : -1.0;
    const double r = MARK_PX;
    pw_text_put(d->s.out, "<circle class=\"pw-open pw-c1\" ");
    plot_attribute(d->s.out, "cx", x);
    plot_attribute(d->s.out, "cy", y);
    plot_attribute(d->s.out, "r", r);
    pw_text_put(d->s.out, "/>");
    begin_path(d, "pw-full pw-c1");
    put_step(d, 'M', x + ax * r, y + ay * r);
    put_step(d, 'L', x - ax * 0.6 * r - ay * 0.8 * r, y - ay * 0.6 * r + ax * 0.8 * r);
    put_step(d, 'L', x - ax * 0.6 * r + ay * 0.8 * r, y - ay * 0.6 * r - ax * 0.8 * r);
    pw_text_put(d->s.out, "z");
    end_path(d);
    plot_take_box(&d->s, (box){x - r, y - r, x + r, y + r});
}

static void put_source(section *d, int32_t number)
{
    const pw_site *site = d->site;
    const pw_source *source = &site->sources[number];
    const double x = d->x[source->place], top = place_y(d, source->place);
    if (source->kind == PW_SOURCE_MAINS) {
        return;
    }
    const double level_m = site->places[source->place].level_m.v;
    const double bottom = y_of(d, level_m - source->intake_m.v - DEEPER_M), half = 15.0;
    const double water = y_of(d, level_m - source->standing_m.v), intake = y_of(d, level_m - source->intake_m.v);
    int32_t pump = -1;
    if (water < bottom) {
        put_box(d, "pw-shade", x - half, water, 2.0 * half, bottom - water);
    }
    if (source->kind == PW_SOURCE_BORE) {
        plot_line(d->s.out, "pw-rule", x - half, top, x - half, bottom);
        plot_line(d->s.out, "pw-rule", x + half, top, x + half, bottom);
    }
    plot_line(d->s.out, "pw-level", x - half - 12.0, water, x + half + 12.0, water);
    plot_take_box(&d->s, (box){x - half, top, x + half, bottom});
    if (hangs_in(site, number, &pump)) {
        begin_path(d, "pw-line pw-c0");
        put_step(d, 'M', x, intake);
        put_step(d, 'L', x, top);
        end_path(d);
        put_pump(d, x, intake, x, top);
        plot_try_words(&d->s, "pw-tag", "start", x + half + 8.0, intake + 5.5, site->pumps[pump].name);
    } else {
        plot_line(d->s.out, "pw-rule", x - 6.0, intake, x + 6.0, intake);
    }
    const pw_fact words = pw_fact_of("handover.water-down", pw_head(source->standing_m.v));
    const char *said = pw_say_words(d->s.out->arena, d->voice, &words);
    plot_try_words(&d->s, "pw-tick", "start", x + half + 16.0, water + 5.5, said != NULL ? said : "");
}

/* Words keep off the straight between two points. */
static void keep_off(section *d, double x1, double y1, double x2, double y2)
{
    enum { PARTS = 8 };
    for (int32_t i = 1; i < PARTS; i++) {
        const double part = (double)i / PARTS, x = x1 + part * (x2 - x1), y = y1 + part * (y2 - y1);
        plot_take_box(&d->s, (box){x - 4.0, y - 3.0, x + 4.0, y + 3.0});
    }
}

static void put_way(section *d, int32_t from, int32_t to, const pw_line *line)
{
    keep_off(d, d->x[from], place_y(d, from), d->x[to], place_y(d, to));
    begin_path(d, "pw-line pw-c0");
    put_step(d, 'M', d->x[from], place_y(d, from));
    if (line != NULL && line->over_m.given) {
        const double part = line->length_m.v > 0.0 ? pw_line_over_after_m(line) / line->length_m.v : 0.5;
        put_step(d, 'L', d->x[from] + part * (d->x[to] - d->x[from]), y_of(d, line->over_m.v));
    }
    const int32_t tank = line != NULL ? pw_site_tank_at(d->site, to) : -1;
    if (tank >= 0) { /* over the top, into the tank */
        const double inlet = pw_min(y_of(d, d->site->places[to].level_m.v + d->site->tanks[tank].inlet_m.v),
                                    place_y(d, to) - LEAST_TANK_PX - 4.0);
        const double side = d->x[to] >= d->x[from] ? -1.0 : 1.0;
        put_step(d, 'L', d->x[to] + side * (0.5 * TANK_PX + 8.0), place_y(d, to));
        put_step(d, 'L', d->x[to] + side * (0.5 * TANK_PX + 8.0), inlet);
        put_step(d, 'L', d->x[to] + side * 8.0, inlet);
    } else {
        put_step(d, 'L', d->x[to], place_y(d, to));
    }
    end_path(d);
}

static void put_ways(section *d)
{
    const pw_site *site = d->site;
    for (int32_t i = 0; i < site->line_count; i++) {
        put_way(d, site->lines[i].from, site->lines[i].to, &site->lines[i]);
    }
    for (int32_t i = 0; i < site->pump_count; i++) {
        const pw_pump *pump = &site->pumps[i];
        const int32_t source = pw_site_source_at(site, pump->from);
        int32_t other = -1;
        put_way(d, pump->from, pump->to, NULL);
        if (source >= 0 && hangs_in(site, source, &other)) {
            continue; /* drawn down in the bore */
        }
        int32_t beside = 0; /* pumps between the same places stand over each other */
        for (int32_t k = 0; k < i; k++) {
            beside += site->pumps[k].from == pump->from && site->pumps[k].to == pump->to ? 1 : 0;
        }
        const double x = 0.5 * (d->x[pump->from] + d->x[pump->to]);
        const double middle = 0.5 * (place_y(d, pump->from) + place_y(d, pump->to));
        const double y = middle - 2.4 * MARK_PX * (double)beside;
        if (beside > 0) {
            begin_path(d, "pw-line pw-c0");
            put_step(d, 'M', x - BRANCH_PX, middle);
            put_step(d, 'L', x - BRANCH_PX, y);
            put_step(d, 'L', x + BRANCH_PX, y);
            put_step(d, 'L', x + BRANCH_PX, middle);
            end_path(d);
        }
        put_pump(d, x, y, x + (d->x[pump->to] - d->x[pump->from]), y + place_y(d, pump->to) - place_y(d, pump->from));
        plot_try_words(&d->s, "pw-tag", "middle", x, y + 2.0 * MARK_PX + 8.0, pump->name);
    }
}

static void put_stores(section *d)
{
    const pw_site *site = d->site;
    for (int32_t i = 0; i < site->tank_count; i++) {
        const pw_tank *tank = &site->tanks[i];
        const double x = d->x[tank->place], floor = place_y(d, tank->place);
        const double level_m = site->places[tank->place].level_m.v;
        const double top = pw_min(y_of(d, level_m + tank->depth_m.v), floor - LEAST_TANK_PX);
        const double part = tank->depth_m.v > 0.0 ? pw_clamp(tank->start_m.v / tank->depth_m.v, 0.0, 1.0) : 0.0;
        put_box(d, "pw-shade", x - 0.5 * TANK_PX, floor - part * (floor - top), TANK_PX, part * (floor - top));
        begin_path(d, "pw-open pw-c5");
        put_step(d, 'M', x - 0.5 * TANK_PX, top);
        put_step(d, 'L', x - 0.5 * TANK_PX, floor);
        put_step(d, 'L', x + 0.5 * TANK_PX, floor);
        put_step(d, 'L', x + 0.5 * TANK_PX, top);
        end_path(d);
        plot_take_box(&d->s, (box){x - 0.5 * TANK_PX, top, x + 0.5 * TANK_PX, floor});
    }
    for (int32_t i = 0; i < site->vessel_count; i++) {
        const double x = d->x[site->vessels[i].place], foot = place_y(d, site->vessels[i].place) - MARK_PX;
        const double top = foot - VESSEL_PX, half = 0.36 * VESSEL_PX;
        begin_path(d, "pw-open pw-c2");
        put_step(d, 'M', x - half, foot);
        put_step(d, 'L', x - half, top + half);
        pw_text_put(d->s.out, "a13 13 0 0 1 26 0");
        put_step(d, 'L', x - half + 26.0, foot);
        pw_text_put(d->s.out, "z");
        end_path(d);
        plot_take_box(&d->s, (box){x - half, top, x + half, foot});
    }
    for (int32_t i = 0; i < site->outlet_count; i++) {
        const bool tank = pw_site_tank_at(site, site->outlets[i].place) >= 0;
        const double out = tank ? 0.5 * TANK_PX + 12.0 : 24.0;
        const double x = d->x[site->outlets[i].place] + out, y = place_y(d, site->outlets[i].place);
        begin_path(d, "pw-line pw-c4");
        put_step(d, 'M', x - out, y);
        put_step(d, 'L', x, y);
        put_step(d, 'L', x, y + 16.0);
        put_step(d, 'M', x - 5.0, y + 9.0);
        put_step(d, 'L', x, y + 17.0);
        put_step(d, 'L', x + 5.0, y + 9.0);
        end_path(d);
        plot_take_box(&d->s, (box){x - 6.0, y, x + 6.0, y + 18.0});
    }
}

static void put_places(section *d)
{
    static const struct {
        const char *anchor;
        double x, y;
    } tries[] = {{"middle", 0.0, 32.0}, {"middle", 0.0, -18.0}, {"start", 34.0, 5.5},   {"start", 18.0, -12.0},
                 {"end", -18.0, -12.0}, {"middle", 0.0, 50.0},  {"middle", 0.0, -36.0}, {"middle", 0.0, -60.0}};
    for (int32_t i = 0; i < d->site->place_count; i++) {
        const double x = d->x[i], y = place_y(d, i);
        pw_text number;
        pw_text_init(&number, d->s.out->arena);
        pw_text_int(&number, i + 1);
        pw_text_put(d->s.out, "<circle class=\"pw-full pw-c5\"");
        plot_attribute(d->s.out, "cx", x);
        plot_attribute(d->s.out, "cy", y);
        plot_attribute(d->s.out, "r", MARK_PX);
        pw_text_put(d->s.out, "/>");
        plot_words(d->s.out, "pw-on", "middle", x, y + 5.5, number.failed ? "" : number.data);
        plot_take_box(&d->s, (box){x - MARK_PX, y - MARK_PX, x + MARK_PX, y + MARK_PX});
    }
    for (int32_t i = 0; i < d->site->place_count && d->s.width > 500.0; i++) {
        bool placed = false;
        for (size_t k = 0; k < sizeof tries / sizeof tries[0] && !placed; k++) {
            placed = plot_try_words(&d->s, "pw-tag", tries[k].anchor, d->x[i] + tries[k].x, place_y(d, i) + tries[k].y,
                                    d->site->places[i].name);
        }
    }
}

void section_svg(const pw_site *site, const pw_voice *voice, int32_t number, int32_t width, pw_text *out)
{
    section d;
    memset(&d, 0, sizeof d);
    pw_plot plot = {.title = pw_say_word(voice, "handover.section"), .words = "", .voice = voice};
    d.site = site;
    d.voice = voice;
    set_axis(&d);
    plot.y = d.axis;
    d.s.plot = &plot;
    d.s.out = out;
    d.s.number = number;
    d.s.width = (double)width;
    d.s.left = AXIS_PX;
    d.s.right = d.s.width - 8.0;
    d.s.top = TOP_PX;
    d.s.bottom = TOP_PX + (width < 500 ? SMALL_PX : FIELD_PX);
    d.s.height = d.s.bottom + BELOW_PX;
    put_columns(&d);
    pw_text_puts(out, "<svg class=\"", width < 500 ? "pw-narrow" : "pw-wide", "\" viewBox=\"0 0 ", NULL);
    plot_px(out, d.s.width);
    pw_text_put(out, " ");
    plot_px(out, d.s.height);
    pw_text_put(out, "\" role=\"img\"><title>");
    pw_text_html(out, plot.title);
    pw_text_put(out, "</title>");
    put_axis(&d);
    for (int32_t i = 0; i < site->source_count; i++) {
        put_source(&d, i);
    }
    put_ways(&d);
    put_stores(&d);
    put_places(&d);
    pw_text_put(out, "</svg>");
}
