/* The ground that lines cross: their high points, and the lowest pressure that each place can have. */
#include "base/num.h"
#include "element/model_impl.h"

/* ---- high points ---- */

/* The line of heads falls straight: only points that stand over the straight line between their neighbours can come
 * above it before these do. So a knee at the top of a steep fall is one, too. */
#define LEAST_HIGH_M 0.01

/* Height and part of the length of one point along a line: its beginning, the points of its ground, its end. */
static void point_of(const pw_model *model, const pw_line *line, int32_t count, int32_t i, double *part, double *height)
{
    const pw_site *site = model->site;
    if (i == 0 || i == count + 1) {
        *part = i == 0 ? 0.0 : 1.0;
        *height = site->places[i == 0 ? line->from : line->to].level_m.v;
        return;
    }
    const bool over = line->over_m.given;
    *part = (over ? pw_line_over_after_m(line) : line->profile[i - 1].distance_m.v) / line->length_m.v;
    *height = over ? line->over_m.v : line->profile[i - 1].height_m.v;
}

/* Water falls into a tank from its inlet, which may be the highest point of all. */
static double end_m(const pw_model *model, const pw_line *line)
{
    double inlet_m = -PW_INF;
    for (int32_t t = 0; t < model->site->tank_count; t++) {
        inlet_m = model->site->tanks[t].place == line->to ? model->site->tanks[t].inlet_m.v : inlet_m;
    }
    return model->site->places[line->to].level_m.v + pw_max(inlet_m, 0.0);
}

bool pw_ground_highs(pw_model *model)
{
    for (int32_t l = 0; l < model->site->line_count; l++) {
        const pw_line *line = &model->site->lines[l];
        const int32_t count = line->over_m.given ? 1 : line->profile_count;
        for (int32_t i = 1; i <= count; i++) {
            pw_high high = {.line = l};
            double before, before_m, after, after_m;
            point_of(model, line, count, i - 1, &before, &before_m);
            point_of(model, line, count, i + 1, &after, &after_m);
            after_m = i == count ? end_m(model, line) : after_m;
            point_of(model, line, count, i, &high.part, &high.height_m);
            const double chord_m = before_m + (after_m - before_m) * (high.part - before) / (after - before);
            if (high.height_m > chord_m + LEAST_HIGH_M) {
                if (model->high_count == PW_MAX_HIGHS) {
                    return false;
                }
                model->highs[model->high_count] = high;
                model->high_count++;
            }
        }
    }
    return true;
}

/* ---- floors ---- */

/* A tap that is open, or a hole, lets air in as soon as its pressure is no more than that of the air. */
static bool open_at(const setting *at, int32_t place)
{
    for (int32_t i = 0; i < at->taker_count; i++) {
        const taker *who = &at->takers[i];
        if (who->place == place && (who->outlet != NULL || (who->leak->area_m2 > 0.0 && who->leak->opens_pa <= 0.0))) {
            return true;
        }
    }
    return false;
}

void pw_ground_floors(const pw_model *model, setting *at)
{
    const double torn_m = model->torn_pa / model->pa_per_m;
    for (int32_t n = 0; n < model->node_count; n++) {
        const pw_node *node = &model->nodes[n];
        const bool air = node->line >= 0 ? at->condition->line_air[node->line]
                                         : n < model->site->place_count && at->condition->place_air[n];
        at->floor_m[n] = node->level_m + (air ? 0.0 : torn_m) - node->pushed_m;
    }
    for (int32_t i = 0; i < at->taker_count; i++) {
        const int32_t place = at->takers[i].place;
        at->floor_m[place] = open_at(at, place) ? model->nodes[place].level_m : at->floor_m[place];
    }
}
