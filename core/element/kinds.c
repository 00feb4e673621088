/* The kinds of elements: what network, moment and states ask of each, and who answers. A new kind is a row here and a
 * file of its own.
 */
#include "base/num.h"
#include "element/bore.h"
#include "element/model_impl.h"
#include "element/tank.h"
#include "element/valve.h"
#include "formula/bore.h"
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

/* A pump that lifts too high gives up over the last metre of suction (own choice); a blocked intake keeps this much to
 * suck with. */
#define SUCTION_BAND_M  1.0
#define LEAST_SUCTION_M 0.1

static int32_t pump_count(const pw_site *site)
{
    return site->pump_count;
}

static void pump_places(const pw_site *site, int32_t item, int32_t *from, int32_t *to)
{
    *from = site->pumps[item].from;
    *to = site->pumps[item].to;
}

/* What a pump can still suck with: air pressure and the water above it, less vapour pressure and what the pump itself
 * needs. */
static double suction_m(const pw_model *model, int32_t item, const setting *at)
{
    const pump_feed *feed = &model->feeds[item];
    const int32_t place = model->site->pumps[item].from;
    double eye_m = model->site->places[place].level_m.v;
    if (feed->source >= 0 && !feed->lifts) {
        eye_m -= model->site->sources[feed->source].intake_m.v; /* it hangs in the water */
    }
    const double over_m = model->nodes[place].unknown < 0 ? at->given_head_m[place] - eye_m : 0.0;
    return pw_npsh_available_m(model->atmosphere_pa, model->water.vapour_pa, model->water.density_kgm3, over_m, 0.0) -
           model->pumps[item].needs_m;
}

/* Suction is worked out only where a fault makes it matter: a blocked intake, or a water level that has fallen under a
 * pump that lifts. */
static void pump_now(const pw_model *model, int32_t item, setting *at)
{
    const pump_feed *feed = &model->feeds[item];
    const bool fallen = feed->lifts && at->condition->source_fall_m[feed->source] > 0.0;
    double left_m = 0.0;
    double wet = pw_feeds_wet(feed, at);
    if (at->condition->pump_intake[item] < 1.0 || fallen) {
        left_m = suction_m(model, item, at);
        wet *= fallen ? pw_intake_wet(left_m, SUCTION_BAND_M, NULL) : 1.0;
    }
    at->pumps[item] = pw_pump_now_of(at->condition, item, at->drive->speed[item], wet, feed->falls);
    at->pumps[item].suction_m = pw_max(left_m, LEAST_SUCTION_M);
    at->pumps[item].asks = at->drive->asks[item];
    at->pumps[item].asks_m3s = at->drive->asks_m3s[item];
}

static void pump_loss(const pw_model *model, const setting *at, const pw_link *link, double flow, double *loss,
                      double *slope)
{
    pw_pump_loss(&model->pumps[link->item], &at->pumps[link->item], flow, loss, slope);
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
    [STORE_BORE] = {bore_count, bore_node, NULL, bore_head, bore_start, bore_scale, bore_gains},
    [STORE_VESSEL] = {vessel_count, vessel_node, NULL, vessel_head, vessel_start, vessel_scale, NULL},
    [STORE_TANK] = {tank_count, tank_node, tank_inlet, tank_head, tank_start, tank_scale, tank_gains},
    [STORE_MAIN] = {main_count, main_node, NULL, main_head, main_start, main_scale, NULL},
};
