/* The water in the rising pipes of a main, by how high it stands in them. */
#include <string.h>

#include "base/num.h"
#include "element/elastic.h"
#include "formula/friction.h"
#include "site/topology.h"

#define FLAT_M 0.05 /* a level pipe empties over this height (own choice: about a bore) */

/* A pipe that rises evenly. */
typedef struct rise {
    double low_m, high_m, m3;
} rise;

typedef struct rises {
    int32_t count;
    rise each[PW_MAX_LINES * (PW_MAX_PROFILE + 1)];
} rises;

static void add_rise(rises *r, double low_m, double high_m, double m3)
{
    r->each[r->count] = (rise){low_m, pw_max(high_m, low_m + FLAT_M), m3};
    r->count++;
}

/* Height of the end at which water enters the line's far place: a tank's inlet stands over its floor. */
static double far_m(const pw_site *site, const pw_line *line, int32_t far)
{
    const int32_t tank = far == line->to ? pw_site_tank_at(site, far) : -1;
    return site->places[far].level_m.v + (tank >= 0 ? site->tanks[tank].inlet_m.v : 0.0);
}

/* The points of a line seen from one of its ends: that end, its ground, the other end. */
static int32_t points_of(const pw_site *site, const pw_line *line, bool along, double *part, double *height_m)
{
    const int32_t between = line->over_m.given ? 1 : line->profile_count;
    const int32_t near = along ? line->from : line->to, far = along ? line->to : line->from;
    part[0] = 0.0;
    height_m[0] = site->places[near].level_m.v;
    for (int32_t i = 0; i < between; i++) {
        const int32_t k = along ? i : between - 1 - i;
        const double at_m = line->over_m.given ? pw_line_over_after_m(line) : line->profile[k].distance_m.v;
        part[i + 1] = along ? at_m / line->length_m.v : 1.0 - at_m / line->length_m.v;
        height_m[i + 1] = line->over_m.given ? line->over_m.v : line->profile[k].height_m.v;
    }
    part[between + 1] = 1.0;
    height_m[between + 1] = far_m(site, line, far);
    return between + 2;
}

/* From its near end up to its highest point; what dips on the way there keeps its water. */
static void add_line(const pw_site *site, const pw_line *line, bool along, rises *out)
{
    double part[PW_MAX_PROFILE + 2];
    double height_m[PW_MAX_PROFILE + 2];
    const int32_t count = points_of(site, line, along, part, height_m);
    const double whole_m3 = pw_bore_area_m2(line->bore_m.v) * line->length_m.v;
    double reached_m = height_m[0];
    for (int32_t i = 1; i < count; i++) {
        if (height_m[i] >= reached_m) {
            const double climb_m = height_m[i] - height_m[i - 1];
            const double over = climb_m > 0.0 ? (height_m[i] - reached_m) / climb_m : 1.0;
            add_rise(out, reached_m, height_m[i], whole_m3 * (part[i] - part[i - 1]) * over);
            reached_m = height_m[i];
        }
    }
}

static double over_m3(const rises *r, double height_m)
{
    double sum = 0.0;
    for (int32_t i = 0; i < r->count; i++) {
        const rise *one = &r->each[i];
        sum += one->m3 * pw_clamp((one->high_m - height_m) / (one->high_m - one->low_m), 0.0, 1.0);
    }
    return sum;
}

void pw_column_of(const pw_site *site, int32_t place, double pa_per_m, pw_column *out)
{
    static const pw_walk_rules open_pipe = {.way = PW_WALK_JOINED, .open_pipe = true, .barred = PW_TANKS | PW_SOURCES};
    const double foot_m = site->places[place].level_m.v;
    int32_t turn[PW_MAX_PLACES]; /* in which a place is reached; tanks after all */
    rises r = {0};
    pw_reach reach = {0};
    bool open = false;
    double top_m = foot_m;
    pw_walk(site, &open_pipe, place, &reach);
    for (int32_t p = 0; p < PW_MAX_PLACES; p++) {
        turn[p] = PW_MAX_PLACES;
    }
    for (int32_t i = 0; i < reach.count; i++) {
        turn[reach.order[i]] = i;
    }
    for (int32_t l = 0; l < site->line_count; l++) {
        const pw_line *line = &site->lines[l];
        const bool fills = reach.at[line->from] && pw_site_tank_at(site, line->to) >= 0;
        const bool within = reach.at[line->from] && reach.at[line->to];
        if ((fills || within) && !line->non_return && line->open.v > 0.0) {
            open = open || fills;
            add_line(site, line, turn[line->from] <= turn[line->to], &r);
        }
    }
    memset(out, 0, sizeof *out);
    for (int32_t i = 0; i < r.count; i++) {
        top_m = pw_max(top_m, r.each[i].high_m);
    }
    if (!open || top_m <= foot_m) {
        return;
    }
    for (int32_t p = 0; p < site->place_count; p++) {
        out->at_place[p] = reach.at[p];
    }
    for (int32_t l = 0; l < site->line_count; l++) {
        out->in_line[l] = reach.at[site->lines[l].from];
    }
    out->top_pa = (top_m - foot_m) * pa_per_m;
    for (int32_t i = 0; i < PW_COLUMN_PARTS; i++) {
        out->out_m3[i] = over_m3(&r, foot_m + (top_m - foot_m) * (double)i / PW_COLUMN_PARTS);
    }
}
