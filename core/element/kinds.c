/* The kinds of elements: what network, moment and states ask of each, and who answers. A new kind is a row here and a
 * file of its own.
 */
#include "base/num.h"
#include "element/bore.h"
#include "element/model_impl.h"
#include "element/tank.h"
#include "element/valve.h"
#include "formula/friction.h"
#include "formula/pump.h"

/* ---- lines ---- */

static int32_t line_count(const pw_site *site)
{
    return site->line_count;
}

static void line_places(const pw_site *site, int32_t item, int32_t *from, int32_t *to)
{
    *from = site->lines[item].from;
    *to = site->lines[item].to;
}

static void line_now(const pw_model *model, int32_t item, setting *at)
{
    const line_ends *ends = &model->line_ends[item];
    const pw_line *made = &model->site->lines[item];
    at->lines[item] = (pw_line_now){
        .open = at->condition->line_open[item] * made->open.v,
        .friction = at->condition->line_friction[item],
        .one_way = ends->into_tank >= 0, /* nothing flows back out of an inlet above the water */
        .non_return = made->non_return,
        .back = at->condition->line_back[item],
        .wet = ends->out_of_tank >= 0     ? at->tank_wet[ends->out_of_tank]
               : ends->out_of_source >= 0 ? at->source_wet[ends->out_of_source]
                                          : 1.0,
        .pocket_m = at->condition->line_pocket_m[item],
        .float_k = ends->float_k,
        .float_open = ends->float_k > 0.0 ? at->float_open[ends->into_tank] : 1.0,
    };
    const int32_t filter = model->filter_of_line[item];
    if (filter >= 0) {
        const pw_filter *in = &model->site->filters[filter];
        at->lines[item].filter_m = pw_filter_at_m(model, at->condition, filter);
        at->lines[item].filter_m3s = in->at_m3s.v;
        at->lines[item].filter_n = in->exponent.v;
    }
}

static void line_loss(const pw_model *model, const setting *at, const pw_link *link, double flow, double *loss,
                      double *slope)
{
    if (link->first && link->last) {
        pw_line_loss(&model->pipes[link->item], &at->lines[link->item], flow, loss, slope);
        return;
    }
    pw_line_now part = at->lines[link->item];
    part.share = link->share;
    if (!link->first) {
        part.open = 1.0;
        part.wet = 1.0;
        part.non_return = false;
        part.filter_m = 0.0;
    }
    if (!link->last) {
        part.float_k = 0.0;
        part.float_open = 1.0;
        part.one_way = false;
        part.pocket_m = 0.0;
    }
    pw_line_loss(&model->pipes[link->item], &part, flow, loss, slope);
}

static double line_cold(const pw_model *model, int32_t item)
{
    return 0.3 * pw_bore_area_m2(model->pipes[item].bore_m);
}

/* ---- pumps ---- */

/* A blocked intake keeps this much to suck with (own choice). */
#define LEAST_SUCTION_M 0.1
/* Suction is asked about only where it could matter: with less than this many times the NPSH that its last flow takes,
 * and a third more than that flow. */
#define AMPLE     1.25
#define BEYOND_IT 1.3

static int32_t pump_count(const pw_site *site)
{
    return site->pump_count;
}

static void pump_places(const pw_site *site, int32_t item, int32_t *from, int32_t *to)
{
    *from = site->pumps[item].from;
    *to = site->pumps[item].to;
}

/* Head of the water that it draws from, as far as that is given. */
static double water_m(const pw_model *model, int32_t item, const setting *at)
{
    const int32_t store = model->suctions[item].store;
    return store >= 0 ? at->given_head_m[store] : PW_INF;
}

/* NPSH and lift of a pump at a flow, with their slopes. */
static void draw(const pw_model *model, const setting *at, int32_t item, double flow, pw_pump_now *now)
{
    const double water = water_m(model, item, at);
    double lost;
    double rises;
    double intake_m = 0.0;
    double intake_rises = 0.0;
    pw_suction_loss(model, at, item, pw_max(flow, 0.0), &lost, &rises);
    if (now->intake < 1.0 && !pw_valve_shut(now->intake)) {
        pw_add_square(pw_gate_k_s2m5(model->pumps[item].throttle_k, now->intake), pw_max(flow, 0.0), &intake_m,
                      &intake_rises);
    }
    now->available_m = pw_suction_rest_m(model, item, water) - lost - intake_m;
    now->available_slope = -rises - intake_rises;
    now->lift_m = model->suctions[item].pump_m - water + lost;
    now->lift_slope = rises;
}

/* Could what it draws through limit it? */
static bool is_tight(const pw_model *model, const setting *at, int32_t item, const pw_pump_now *now)
{
    const pw_pump_law *law = &model->pumps[item];
    pw_pump_now most = *now;
    if (law->lift_count > 0) {
        return true;
    }
    const double flow = BEYOND_IT * pw_affinity_flow_m3s(law->most_m3s, now->speed);
    draw(model, at, item, flow, &most);
    const double needs_m = pw_pump_npsh_m(law, flow);
    const double needs = needs_m < 0.0 ? now->assumed_m : pw_max(needs_m, pw_affinity_head_m(needs_m, now->speed));
    return most.available_m < AMPLE * needs;
}

static void pump_now(const pw_model *model, int32_t item, setting *at)
{
    const pump_feed *feed = &model->feeds[item];
    pw_pump_now *now = &at->pumps[item];
    double wet = pw_feeds_wet(feed, at);
    const double speed = at->drive->speed[item];
    const double water = water_m(model, item, at);
    if (speed > 0.0 && water < PW_INF && model->pumps[item].lift_count == 0) {
        wet *= pw_suction_wet(model, item, water);
    }
    *now = pw_pump_now_of(at->condition, item, speed, wet, feed->falls);
    now->asks = at->drive->asks[item];
    now->asks_m3s = at->drive->asks_m3s[item];
    now->assumed_m = model->suctions[item].assumed_m;
    now->suction_m = water < PW_INF ? pw_max(pw_suction_rest_m(model, item, water), LEAST_SUCTION_M) : 10.0;
    now->tight = speed > 0.0 && water < PW_INF && is_tight(model, at, item, now);
}

static void pump_loss(const pw_model *model, const setting *at, const pw_link *link, double flow, double *loss,
                      double *slope)
{
    const int32_t item = link->item;
    const pw_pump_now *now = &at->pumps[item];
    double lost;
    double rises;
    if (now->tight) {
        pw_pump_now drawing = *now;
        draw(model, at, item, flow, &drawing);
        pw_pump_loss(&model->pumps[item], &drawing, flow, loss, slope);
    } else {
        pw_pump_loss(&model->pumps[item], now, flow, loss, slope);
    }
    if (model->suctions[item].own_pipe && !now->asks) {
        pw_suction_pipe(model, item, flow, &lost, &rises);
        *loss += lost;
        *slope += rises;
    }
}

static double pump_cold(const pw_model *model, int32_t item)
{
    return 0.5 * model->pumps[item].most_m3s;
}

const link_kind pw_link_kinds[LINK_KINDS] = {
    [LINK_LINE] = {line_count, line_places, line_now, line_loss, line_cold},
    [LINK_PUMP] = {pump_count, pump_places, pump_now, pump_loss, pump_cold},
};

/* ---- bores ---- */

static int32_t bore_count(const pw_model *model)
{
    return model->bore_count;
}

static const pw_source *bore(const pw_model *model, int32_t item)
{
    return &model->site->sources[model->source_of_bore[item]];
}

static int32_t bore_node(const pw_model *model, int32_t item)
{
    return bore(model, item)->place;
}

static double bore_head(const pw_model *model, int32_t item, double volume_m3, setting *at)
{
    const int32_t source = model->source_of_bore[item];
    return pw_source_head_m(bore(model, item), at->condition, source, model->nodes[bore_node(model, item)].level_m,
                            model->pa_per_m, volume_m3, &at->source_wet[source]);
}

static double bore_start(const pw_model *model, const pw_condition *healthy, int32_t item, double vessel_pa)
{
    (void)vessel_pa;
    return pw_max(pw_bore_rest_m3(bore(model, item), healthy, model->source_of_bore[item]), 0.0);
}

static double bore_scale(const pw_model *model, int32_t item)
{
    const pw_source *source = bore(model, item);
    return pw_max(pw_bore_area_m2(source->bore_m.v) * (source->intake_m.v - source->standing_m.v), 1e-3);
}

static double bore_gains(const pw_model *model, const pw_condition *condition, int32_t item, double volume_m3,
                         pw_moment *told)
{
    const int32_t source = model->source_of_bore[item];
    told->source_m3s[source] = pw_bore_gives_m3s(bore(model, item), condition, source, volume_m3);
    return told->source_m3s[source];
}

/* ---- vessels ---- */

static int32_t vessel_count(const pw_model *model)
{
    return model->site->vessel_count;
}

static int32_t vessel_node(const pw_model *model, int32_t item)
{
    return model->site->vessels[item].place;
}

static double vessel_head(const pw_model *model, int32_t item, double volume_m3, setting *at)
{
    const double pa = pw_vessel_gauge_pa(&model->vessels[item], at->condition, item, volume_m3);
    return model->nodes[vessel_node(model, item)].level_m + pa / model->pa_per_m;
}

static double vessel_holds(const pw_model *model, int32_t item, double head_m, const setting *at, double *rises_m2)
{
    const double pa = (head_m - model->nodes[vessel_node(model, item)].level_m) * model->pa_per_m;
    const double volume_m3 = pw_vessel_filled_m3(&model->vessels[item], at->condition, item, pa, rises_m2);
    *rises_m2 *= model->pa_per_m;
    return volume_m3;
}

static double vessel_start(const pw_model *model, const pw_condition *healthy, int32_t item, double vessel_pa)
{
    return pw_vessel_holds_m3(&model->vessels[item], healthy, item, vessel_pa);
}

static double vessel_scale(const pw_model *model, int32_t item)
{
    return model->vessels[item].volume_m3;
}

/* ---- tanks ---- */

static int32_t tank_count(const pw_model *model)
{
    return model->site->tank_count;
}

static int32_t tank_node(const pw_model *model, int32_t item)
{
    return model->site->tanks[item].place;
}

static int32_t tank_inlet(const pw_model *model, int32_t item)
{
    return model->site->place_count + item;
}

static double tank_head(const pw_model *model, int32_t item, double volume_m3, setting *at)
{
    const pw_tank *tank = &model->site->tanks[item];
    const double depth_m = pw_tank_water_m(tank, volume_m3);
    at->tank_wet[item] = pw_tank_wet(depth_m);
    at->float_open[item] = pw_float_open(tank, at->condition, item, depth_m);
    return model->nodes[tank->place].level_m + depth_m;
}

static double tank_start(const pw_model *model, const pw_condition *healthy, int32_t item, double vessel_pa)
{
    (void)healthy;
    (void)vessel_pa;
    return model->site->tanks[item].start_m.v * model->site->tanks[item].area_m2.v;
}

static double tank_scale(const pw_model *model, int32_t item)
{
    return model->site->tanks[item].area_m2.v * model->site->tanks[item].depth_m.v;
}

static double tank_gains(const pw_model *model, const pw_condition *condition, int32_t item, double volume_m3,
                         pw_moment *told)
{
    (void)condition;
    told->spill_m3s[item] = pw_tank_spill_m3s(&model->site->tanks[item], volume_m3);
    return -told->spill_m3s[item];
}

/* ---- elastic mains ---- */

static int32_t main_count(const pw_model *model)
{
    return model->elastic_count;
}

static int32_t main_node(const pw_model *model, int32_t item)
{
    return model->elastic_place[item];
}

static double main_head(const pw_model *model, int32_t item, double volume_m3, setting *at)
{
    (void)at;
    return model->nodes[main_node(model, item)].level_m +
           pw_elastic_pa(&model->mains[item], volume_m3) / model->pa_per_m;
}

static double main_holds(const pw_model *model, int32_t item, double head_m, const setting *at, double *rises_m2)
{
    (void)at;
    const double pa = (head_m - model->nodes[main_node(model, item)].level_m) * model->pa_per_m;
    const double volume_m3 = pw_elastic_filled_m3(&model->mains[item], pa, rises_m2);
    *rises_m2 *= model->pa_per_m;
    return volume_m3;
}

static double main_start(const pw_model *model, const pw_condition *healthy, int32_t item, double vessel_pa)
{
    (void)healthy;
    return pw_elastic_m3(&model->mains[item], vessel_pa);
}

static double main_scale(const pw_model *model, int32_t item)
{
    return 1e6 * model->mains[item].give_m3pa + model->mains[item].holds_m3;
}

const store_kind pw_store_kinds[STORE_KINDS] = {
    [STORE_BORE] = {bore_count, bore_node, NULL, bore_head, NULL, bore_start, bore_scale, bore_gains},
    [STORE_VESSEL] = {vessel_count, vessel_node, NULL, vessel_head, vessel_holds, vessel_start, vessel_scale, NULL},
    [STORE_TANK] = {tank_count, tank_node, tank_inlet, tank_head, NULL, tank_start, tank_scale, tank_gains},
    [STORE_MAIN] = {main_count, main_node, NULL, main_head, main_holds, main_start, main_scale, NULL},
};
