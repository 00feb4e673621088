/* Where air stands in pipes, and whether it stays there. */
#include "base/num.h"
#include "element/model_impl.h"
#include "element/valve.h"
#include "formula/friction.h"
#include "formula/surge.h"
#include "site/topology.h"

/* Pressures nearer to that of the air, or of vapour, than this count as the same. */
#define SAME_PA    1.0
#define FILLED_PA  500.0 /* water stands some centimetres over the place */
#define SIPHON_PA  1000.0
#define LEAST_S    10.0 /* air takes this long to go, however short the pipe (own choice) */
#define MOST_S     3600.0
#define AIR_CLIMBS 0.5 /* of the clearing velocity: slower, and air climbs up the pipe from its open end (own choice) */
#define FLOAT_OPEN 0.01

typedef struct looking {
    const pw_model *model;
    const pw_condition *condition;
    const pw_drive *drive;
    const double *state;
    const pw_moment *moment;
    bool seen[PW_MAX_NODES];
} looking;

static int32_t first_high(const pw_model *model, int32_t line)
{
    for (int32_t h = 0; h < model->high_count; h++) {
        if (model->highs[h].line == line) {
            return h;
        }
    }
    return -1;
}

static bool spot_exists(const pw_model *model, int32_t spot)
{
    return spot < PW_MAX_PLACES ? spot < model->site->place_count && model->nodes[spot].unknown >= 0
                                : first_high(model, spot - PW_MAX_PLACES) >= 0;
}

bool pw_spot_has_air(const pw_condition *condition, int32_t spot)
{
    return spot < PW_MAX_PLACES ? condition->place_air[spot] : condition->line_air[spot - PW_MAX_PLACES];
}

void pw_spot_put_air(pw_condition *condition, int32_t spot, bool air)
{
    if (spot < PW_MAX_PLACES) {
        condition->place_air[spot] = air;
    } else {
        condition->line_air[spot - PW_MAX_PLACES] = air;
    }
}

const char *pw_spot_name(const pw_site *site, int32_t spot)
{
    return spot < PW_MAX_PLACES ? site->places[spot].name : site->lines[spot - PW_MAX_PLACES].name;
}

int32_t pw_spot_place(const pw_site *site, int32_t spot)
{
    return spot < PW_MAX_PLACES ? spot : site->lines[spot - PW_MAX_PLACES].from;
}

void pw_spots_find(pw_model *model)
{
    model->spot_count = 0;
    for (int32_t i = 0; i < PW_MAX_SPOTS; i++) {
        if (spot_exists(model, i)) {
            model->spots[model->spot_count] = (int16_t)i;
            model->spot_count++;
        }
    }
}

int32_t pw_model_spot_count(const pw_model *model)
{
    return model->spot_count;
}

int32_t pw_model_spot_at(const pw_model *model, int32_t index)
{
    return model->spots[index];
}

/* The node of a spot; of several high points the one with the lowest pressure. */
static int32_t node_of(const pw_model *model, const pw_moment *moment, int32_t spot)
{
    if (spot < PW_MAX_PLACES) {
        return spot;
    }
    int32_t lowest = first_high(model, spot - PW_MAX_PLACES);
    for (int32_t h = lowest; h < model->high_count && model->highs[h].line == spot - PW_MAX_PLACES; h++) {
        lowest = moment->high_pa[h] < moment->high_pa[lowest] ? h : lowest;
    }
    return pw_high_node(model, lowest);
}

static double pressure_pa(const pw_model *model, const pw_moment *moment, int32_t node)
{
    return model->nodes[node].line >= 0 ? moment->high_pa[node - pw_high_node(model, 0)] : moment->place_pa[node];
}

double pw_model_spot_pa(const pw_model *model, const pw_moment *moment, int32_t spot)
{
    return pressure_pa(model, moment, node_of(model, moment, spot));
}

/* Something is open to the air at this place: a tap, or a hole. */
static bool open_at(const looking *k, int32_t place)
{
    for (int32_t o = 0; o < k->model->site->outlet_count; o++) {
        if (k->model->site->outlets[o].place == place && k->drive->draw_m3s[o] > 0.0) {
            return true;
        }
    }
    for (int32_t l = 0; l < k->condition->leak_count; l++) {
        const pw_leak *leak = &k->condition->leaks[l];
        if (leak->place == place && leak->area_m2 > 0.0 && leak->opens_pa <= 0.0) {
            return true;
        }
    }
    return false;
}

static bool open_end(const looking *k, int32_t node)
{
    const pw_model *model = k->model;
    if (model->nodes[node].inlet) {
        const int32_t tank = model->nodes[node].tank;
        const double depth_m = pw_model_tank_m(model, tank, k->state[model->first_state[STORE_TANK] + tank]);
        return pw_float_open(&model->site->tanks[tank], k->condition, tank, depth_m) > FLOAT_OPEN;
    }
    return node < model->site->place_count && k->moment->place_pa[node] < FILLED_PA && open_at(k, node);
}

/* Does a pipe lead down from here to an end that is open to the air? */
static bool open_below(looking *k, int32_t node)
{
    const pw_model *model = k->model;
    k->seen[node] = true;
    for (int32_t l = 0; l < model->link_count; l++) {
        const pw_link *link = &model->links[l];
        const bool ends_here = link->from == node || link->to == node;
        if (link->kind != LINK_LINE || !ends_here ||
            pw_valve_shut(k->condition->line_open[link->item] * model->site->lines[link->item].open.v)) {
            continue;
        }
        const int32_t there = link->from == node ? link->to : link->from;
        const bool lower = model->nodes[there].level_m < model->nodes[node].level_m;
        if (lower && !k->seen[there] &&
            (open_end(k, there) || (model->nodes[there].unknown >= 0 && open_below(k, there)))) {
            return true;
        }
    }
    return false;
}

/* Water of the main that this node hangs on has run out of it. */
static bool drained(const looking *k, int32_t node)
{
    const pw_model *model = k->model;
    const int32_t line = model->nodes[node].line;
    for (int32_t e = 0; e < model->elastic_count; e++) {
        const pw_column *column = &model->mains[e].column;
        if ((line >= 0 ? column->in_line[line] : column->at_place[node]) &&
            pw_elastic_drained(&model->mains[e], k->state[model->first_state[STORE_MAIN] + e])) {
            return true;
        }
    }
    return false;
}

/* How quick the water leaves a node through lines, beside what clears them of air, and how long they take to fill. */
static double leaving(const looking *k, int32_t node, double *fill_s)
{
    const pw_model *model = k->model;
    double most = 0.0;
    for (int32_t l = 0; l < model->link_count; l++) {
        const pw_link *link = &model->links[l];
        if (link->kind != LINK_LINE || (link->from != node && link->to != node)) {
            continue;
        }
        const double away = link->from == node ? k->moment->line_m3s[link->item] : -k->moment->line_m3s[link->item];
        const pw_pipe *pipe = &model->pipes[link->item];
        const int32_t there = link->from == node ? link->to : link->from;
        const double fall_m = model->nodes[node].level_m - model->nodes[there].level_m;
        const double length_m = pipe->length_m * link->share;
        const double area_m2 = pw_bore_area_m2(pipe->bore_m);
        if (away > 0.0 && fall_m > 0.0) {
            most = pw_max(most, away / area_m2 / pw_air_clearing_ms(pipe->bore_m, fall_m / length_m));
            *fill_s = pw_max(*fill_s, area_m2 * length_m / away);
        }
    }
    return most;
}

static bool high_here(const pw_model *model, int32_t node)
{
    int32_t lines = 0;
    for (int32_t l = 0; l < model->link_count; l++) {
        const pw_link *link = &model->links[l];
        if (link->from != node && link->to != node) {
            continue;
        }
        const int32_t there = link->from == node ? link->to : link->from;
        if (link->kind == LINK_PUMP || model->nodes[there].level_m >= model->nodes[node].level_m) {
            return false;
        }
        lines++;
    }
    return lines >= 2;
}

void pw_model_spot(const pw_model *model, const pw_condition *condition, const pw_drive *drive, const double *state,
                   const pw_moment *moment, int32_t spot, pw_spot *out)
{
    looking k = {model, condition, drive, state, moment, {false}};
    *out = (pw_spot){.exists = spot_exists(model, spot)};
    if (!out->exists) {
        return;
    }
    const int32_t node = node_of(model, moment, spot);
    const bool air = pw_spot_has_air(condition, spot);
    const bool tap = spot < PW_MAX_PLACES && open_at(&k, spot);
    const double pa = pressure_pa(model, moment, node);
    double fill_s = 0.0;
    const double speed = leaving(&k, node, &fill_s);
    const bool below = (air || pa < 0.0) && open_below(&k, node);
    out->gauge_pa = pa;
    out->enters = !air && ((tap && pa <= SAME_PA) || (pa < 0.0 && drained(&k, node)) ||
                           (pa < -SAME_PA && below && speed < AIR_CLIMBS));
    out->clears = air && ((speed >= 1.0 && !(tap && pa <= SAME_PA)) || (pa > FILLED_PA && !below));
    out->clears_s = pw_clamp(fill_s, LEAST_S, MOST_S);
    out->torn = pa < model->torn_pa + SAME_PA && !(model->nodes[node].pushed_m > 0.0);
    out->siphons = !air && !out->torn && pa < -SIPHON_PA && high_here(model, node) && fill_s > 0.0;
}

bool pw_spots_clear(const pw_model *model, pw_condition *condition, const pw_drive *drive, const double *state,
                    const pw_moment *moment)
{
    bool any = false;
    for (int32_t n = 0; n < model->spot_count; n++) {
        const int32_t i = model->spots[n];
        pw_spot spot;
        if (pw_spot_has_air(condition, i)) {
            pw_model_spot(model, condition, drive, state, moment, i, &spot);
            pw_spot_put_air(condition, i, !spot.clears);
            any = any || spot.clears;
        }
    }
    return any;
}

pw_status pw_model_air(const pw_model *model, pw_condition *condition, const pw_drive *drive, const double *state,
                       pw_warm *warm, pw_problems *problems)
{
    pw_moment moment;
    pw_status status = pw_model_moment(model, condition, drive, state, warm, &moment, problems);
    bool any = false;
    for (int32_t n = 0; n < model->spot_count && status == PW_OK;
         n++) { /* under the air's pressure, over an open end */
        const int32_t i = model->spots[n];
        if (pw_model_spot_pa(model, &moment, i) < 0.0) {
            looking k = {model, condition, drive, state, &moment, {false}};
            const bool air = open_below(&k, node_of(model, &moment, i));
            pw_spot_put_air(condition, i, air);
            any = any || air;
        }
    }
    if (any && status == PW_OK) {
        status = pw_model_moment(model, condition, drive, state, warm, &moment, problems);
        if (status == PW_OK) {
            (void)pw_spots_clear(model, condition, drive, state, &moment);
        }
    }
    return status;
}
