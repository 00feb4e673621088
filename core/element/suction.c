/* Suction: where each pump's eye stands, the way from its store, and NPSH at a flow. */
#include "element/suction.h"

#include "base/num.h"
#include "element/model_impl.h"
#include "element/valve.h"
#include "formula/bore.h"
#include "formula/pump.h"
#include "site/topology.h"

/* Wall of a suction pipe of which the sheet only says the bore: plastic or new steel (common practice). */
#define SUCTION_ROUGH_M 0.05e-3
/* What a deep well's or dam's pump stands over its own place is the sheet's; beside the intake a pipe bends twice. */
#define PIPE_BESIDE_M 2.0
bool pw_suction_own_pipe(const pw_site *site, int32_t pump)
{
    const pw_pump *made = &site->pumps[pump];
    const int32_t source = pw_site_source_at(site, made->from);
    if (source < 0) {
        return false;
    }
    if (made->suction_height_m.given || made->suction_bore_m.given || made->suction_length_m.given) {
        return true;
    }
    if (made->from == site->pumps[0].from) {
        return site->design.suction.stand == PW_STAND_SURFACE;
    }
    return pw_pump_stands_over(made, &site->sources[source]);
}

/* Height of the eye over the place that it draws from. */
static double height_m(const pw_site *site, int32_t pump, bool own_pipe)
{
    const pw_pump *made = &site->pumps[pump];
    const pw_field *stated = &site->design.suction.height_m;
    if (made->suction_height_m.given) {
        return made->suction_height_m.v;
    }
    if (!own_pipe) {
        return 0.0;
    }
    if (stated->given || pump == 0) {
        return stated->v;
    }
    return pw_site_tank_at(site, made->to) < 0 ? site->places[made->to].level_m.v - site->places[made->from].level_m.v
                                               : 0.0;
}

static void pipe_of(const pw_model *model, int32_t pump, double over_place_m, pw_suction_law *out)
{
    const pw_site *site = model->site;
    const pw_pump *made = &site->pumps[pump];
    const pw_suction *design = &site->design.suction;
    const double depth_m = site->sources[pw_site_source_at(site, made->from)].intake_m.v;
    pw_line line = {.friction = PW_FRICTION_DARCY};
    line.bore_m = made->suction_bore_m.given ? made->suction_bore_m : design->bore_m;
    if (!made->suction_bore_m.given && !design->bore_m.given && pump > 0) {
        line.bore_m.v = pw_usual_suction_bore_m(model->pumps[pump].most_m3s);
    }
    line.length_m = design->length_m;
    if (made->suction_length_m.given) {
        line.length_m = made->suction_length_m;
    } else if (!design->length_m.given && (pump > 0 || made->suction_height_m.given)) {
        line.length_m.v = pw_max(depth_m + over_place_m, 0.0) + PIPE_BESIDE_M;
    }
    line.rough_m.v = SUCTION_ROUGH_M;
    line.extra_k.v = PW_SUCTION_ENTRY_K + PW_SUCTION_ELBOW_K + (design->strainer ? PW_SUCTION_STRAINER_K : 0.0) +
                     (design->foot_valve ? PW_SUCTION_FOOT_VALVE_K : 0.0);
    pw_pipe_of(&line, &model->water, &out->pipe);
    out->bore_m = line.bore_m.v;
}

/* Up the lines from the pump to where the head is given. */
static void follow(const pw_model *model, int32_t pump, pw_suction_law *out)
{
    bool given[PW_MAX_PLACES];
    pw_lead lead;
    for (int32_t n = 0; n < model->site->place_count; n++) {
        given[n] = model->nodes[n].unknown < 0;
    }
    out->store =
        pw_lead_up(model->site, model->site->pumps[pump].from, given, &lead) && lead.line_count <= PW_MAX_SUCTION_LINES
            ? lead.place
            : -1;
    out->line_count = 0;
    for (int32_t i = 0; i < lead.line_count && i < PW_MAX_SUCTION_LINES; i++) {
        out->lines[i] = lead.lines[i];
        out->ways[i] = lead.along[i] ? 1.0 : -1.0;
        out->line_count++;
    }
}

/* Head of the water at rest at a store: of a source as stated, of a tank as it starts. */
static bool rests_below(const pw_model *model, const pw_suction_law *law)
{
    const pw_site *site = model->site;
    const pw_node *at = &model->nodes[law->store];
    if (at->source >= 0) {
        const pw_source *source = &site->sources[at->source];
        return source->kind != PW_SOURCE_MAINS && at->level_m - source->standing_m.v < law->pump_m;
    }
    return at->tank >= 0 && at->level_m + site->tanks[at->tank].start_m.v < law->pump_m;
}

/* A jet pump that lifts water from deeper than the air can push it, or has its ejector in the well. */
static bool is_deep(const pw_model *model, int32_t pump)
{
    const pw_pump_law *law = &model->pumps[pump];
    const double barometer_m =
        pw_npsh_available_m(model->atmosphere_pa, model->water.vapour_pa, model->water.density_kgm3, 0.0, 0.0);
    return (law->lift_count > 0 && law->lift_m[law->lift_count - 1] > barometer_m) ||
           model->site->pumps[pump].ejector.pressure_length_m.given;
}

void pw_suction_of(const pw_model *model, int32_t pump, pw_suction_law *out)
{
    const pw_site *site = model->site;
    const pw_pump *made = &site->pumps[pump];
    const pw_node *from = &model->nodes[made->from];
    *out = (pw_suction_law){.store = -1};
    out->own_pipe = pw_suction_own_pipe(site, pump);
    const double over_place_m = height_m(site, pump, out->own_pipe);
    out->eye_m = from->level_m + over_place_m;
    if (from->source >= 0 && !out->own_pipe && site->sources[from->source].kind != PW_SOURCE_MAINS) {
        out->eye_m = from->level_m - site->sources[from->source].intake_m.v;
    }
    out->pump_m = out->eye_m;
    out->foot_valve = out->own_pipe && site->design.suction.foot_valve;
    out->assumed_m = site->design.suction.unknown_npsh_m.v;
    follow(model, pump, out);
    const pw_node *store = out->store >= 0 ? &model->nodes[out->store] : NULL;
    out->deep = is_deep(model, pump) && store != NULL && store->source >= 0;
    if (out->deep) { /* its ejector hangs in the water */
        out->eye_m = store->level_m - site->sources[store->source].intake_m.v;
    }
    if (out->own_pipe) {
        pipe_of(model, pump, over_place_m, out);
    } else if (out->line_count > 0) {
        out->bore_m = site->lines[out->lines[0]].bore_m.v;
    }
    out->lifts = out->store >= 0 && rests_below(model, out);
}

void pw_suction_pushed(pw_model *model)
{
    for (int32_t p = 0; p < model->site->pump_count; p++) {
        const pw_suction_law *law = &model->suctions[p];
        if (!law->deep || law->own_pipe) {
            continue;
        }
        const double up_m = model->pumps[p].lift_m[model->pumps[p].lift_count - 1];
        for (int32_t l = 0; l < model->link_count; l++) {
            const pw_link *link = &model->links[l];
            for (int32_t i = 0; link->kind == LINK_LINE && i < law->line_count; i++) {
                if (link->item == law->lines[i]) {
                    model->nodes[link->from].pushed_m = up_m;
                    model->nodes[link->to].pushed_m = up_m;
                }
            }
        }
    }
}

double pw_suction_rest_m(const pw_model *model, int32_t pump, double water_head_m)
{
    return pw_npsh_available_m(model->atmosphere_pa, model->water.vapour_pa, model->water.density_kgm3,
                               water_head_m - model->suctions[pump].eye_m, 0.0);
}

double pw_suction_wet(const pw_model *model, int32_t pump, double water_head_m)
{
    return pw_intake_wet(pw_suction_rest_m(model, pump, water_head_m), PW_COLUMN_BAND_M, NULL);
}

void pw_suction_pipe(const pw_model *model, int32_t pump, double flow_m3s, double *loss_m, double *slope)
{
    *loss_m = 0.0;
    *slope = 0.0;
    if (model->suctions[pump].own_pipe) {
        pw_pipe_friction(&model->suctions[pump].pipe, flow_m3s, loss_m, slope);
    }
}

/* Part of what a line of the suction carries that is this pump's. */
static double carries(const pw_model *model, const setting *at, int32_t pump, int32_t line)
{
    double most_m3s = 0.0;
    for (int32_t p = 0; p < model->site->pump_count; p++) {
        const pw_suction_law *law = &model->suctions[p];
        bool shares = p == pump;
        for (int32_t i = 0; i < law->line_count && at->drive->speed[p] > 0.0; i++) {
            shares = shares || law->lines[i] == line;
        }
        most_m3s += shares ? model->pumps[p].most_m3s : 0.0;
    }
    return most_m3s / model->pumps[pump].most_m3s;
}

void pw_suction_loss(const pw_model *model, const setting *at, int32_t pump, double flow_m3s, double *loss_m,
                     double *slope)
{
    const pw_suction_law *law = &model->suctions[pump];
    pw_suction_pipe(model, pump, flow_m3s, loss_m, slope);
    for (int32_t i = 0; i < law->line_count; i++) {
        const int32_t l = law->lines[i];
        const double times = carries(model, at, pump, l);
        double lost;
        double rises;
        if (pw_valve_shut(at->lines[l].open) || pw_valve_shut(at->lines[l].wet) ||
            pw_valve_shut(at->lines[l].float_open)) {
            continue; /* nothing passes: the network knows */
        }
        const double way = law->ways[i]; /* 1 along the line, -1 against it */
        pw_line_loss(&model->pipes[l], &at->lines[l], way * times * flow_m3s, &lost, &rises);
        *loss_m += way * lost;
        *slope += times * rises;
    }
}

void pw_model_suction(const pw_model *model, const pw_condition *condition, int32_t pump, double flow_m3s,
                      double water_head_m, pw_suction_figure *out)
{
    const pw_site *site = model->site;
    const pw_suction_law *law = &model->suctions[pump];
    setting at;
    pw_drive drive = {0};
    double slope;
    drive.speed[pump] = 1.0;
    at.condition = condition;
    at.drive = &drive;
    for (int32_t i = 0; i < PW_MAX_TANKS; i++) {
        at.tank_wet[i] = 1.0;
        at.float_open[i] = 1.0;
    }
    for (int32_t s = 0; s < PW_MAX_SOURCES; s++) {
        at.source_wet[s] = 1.0;
    }
    for (int32_t l = 0; l < site->line_count; l++) {
        pw_link_kinds[LINK_LINE].now(model, l, &at);
    }
    pw_suction_loss(model, &at, pump, pw_max(flow_m3s, 0.0), &out->loss_m, &slope);
    const double required_m = pw_pump_npsh_m(&model->pumps[pump], flow_m3s);
    out->over_m = water_head_m - law->eye_m;
    out->column_m = pw_suction_rest_m(model, pump, water_head_m);
    out->available_m = out->column_m - out->loss_m;
    out->assumed = required_m < 0.0;
    out->required_m = out->assumed ? law->assumed_m : required_m;
}

double pw_model_water_head_m(const pw_model *model, int32_t pump, double below_m)
{
    const pw_site *site = model->site;
    const int32_t store = model->suctions[pump].store;
    if (store < 0) {
        return PW_INF;
    }
    const pw_node *at = &model->nodes[store];
    if (at->source >= 0) {
        const pw_source *source = &site->sources[at->source];
        return source->kind == PW_SOURCE_MAINS
                   ? at->level_m + source->pressure_pa.v / model->pa_per_m
                   : at->level_m - pw_min(source->standing_m.v + below_m, source->intake_m.v);
    }
    if (at->tank >= 0) {
        return at->level_m + site->tanks[at->tank].start_m.v;
    }
    return at->vessel >= 0 ? at->level_m + site->vessels[at->vessel].precharge_pa.v / model->pa_per_m : at->level_m;
}

const pw_suction_law *pw_model_suction_law(const pw_model *model, int32_t pump)
{
    return &model->suctions[pump];
}
