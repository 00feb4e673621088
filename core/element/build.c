/* Site to model: number the nodes and links, copy what the laws need, plan the sparse system, make the tables. */
#include "base/num.h"
#include "element/model_impl.h"
#include "formula/atmosphere.h"
#include "formula/fitting.h"
#include "formula/friction.h"
#include "formula/surge.h"
#include "formula/tank.h"
#include "formula/vessel.h"
#include "site/topology.h"

/* Where a curve has no NPSH, and the part of its last flow at which it is looked up: common practice for small pumps,
 * no source. */
#define USUAL_NPSH_M 2.0
#define BEST_PART    0.6

static bool gives_head(const pw_node *at)
{
    return at->source >= 0 || at->vessel >= 0 || at->tank >= 0;
}

/* Open pipe leads from this place to a pressure vessel: the vessel holds the pressure, and what the pipe takes up by
 * stretching is little beside it (a share of its gas: vessel_elastic). A main of its own would only be stiff. */
static bool joins_vessel(const pw_model *model, int32_t place)
{
    static const pw_walk_rules open_pipe = {
        .way = PW_WALK_JOINED, .open_pipe = true, .ends = PW_SOURCES | PW_VESSELS | PW_TANKS};
    pw_reach reach = {0};
    bool joins = false;
    pw_walk(model->site, &open_pipe, place, &reach);
    for (int32_t v = 0; v < model->site->vessel_count; v++) {
        joins = joins || reach.at[model->site->vessels[v].place];
    }
    return joins;
}

static void number_nodes(pw_model *model)
{
    const pw_site *site = model->site;
    model->node_count = site->place_count + site->tank_count;
    for (int32_t n = 0; n < model->node_count; n++) {
        pw_node *at = &model->nodes[n];
        at->level_m = n < site->place_count ? site->places[n].level_m.v : 0.0;
        at->source = -1;
        at->vessel = -1;
        at->tank = -1;
        at->elastic = -1;
    }
    for (int32_t i = 0; i < site->source_count; i++) {
        model->nodes[site->sources[i].place].source = i;
        model->state_of_source[i] = -1;
        if (site->sources[i].kind == PW_SOURCE_BORE) {
            model->state_of_source[i] = model->bore_count;
            model->bore_count++;
        }
    }
    for (int32_t i = 0; i < site->vessel_count; i++) {
        model->nodes[site->vessels[i].place].vessel = i;
    }
    for (int32_t i = 0; i < site->tank_count; i++) {
        pw_node *inlet = &model->nodes[site->place_count + i];
        model->nodes[site->tanks[i].place].tank = i;
        inlet->tank = i;
        inlet->inlet = true;
        inlet->level_m = site->places[site->tanks[i].place].level_m.v + site->tanks[i].inlet_m.v;
    }
    for (int32_t i = 0; i < site->pump_count; i++) {
        pw_node *to = &model->nodes[site->pumps[i].to];
        if (!gives_head(to) && to->elastic < 0 && !joins_vessel(model, site->pumps[i].to)) {
            to->elastic = model->elastic_count;
            model->elastic_place[model->elastic_count] = site->pumps[i].to;
            model->elastic_count++;
        }
    }
    model->state_count = model->bore_count + site->vessel_count + site->tank_count + model->elastic_count;
    for (int32_t n = 0; n < model->node_count; n++) {
        pw_node *at = &model->nodes[n];
        at->unknown = -1;
        if (!gives_head(at) && at->elastic < 0) {
            at->unknown = model->unknown_count;
            model->unknown_count++;
        }
    }
}

static void line_law_of(pw_model *model, int32_t i)
{
    const pw_line *line = &model->site->lines[i];
    line_law *law = &model->lines[i];
    const double area = pw_bore_area_m2(line->bore_m.v);
    law->bore_m = line->bore_m.v;
    law->length_m = line->length_m.v;
    law->rough_m = line->rough_m.v;
    law->hazen_c = line->hazen_c.v;
    law->hazen = line->friction == PW_FRICTION_HAZEN;
    law->k_sum = line->extra_k.v;
    for (int32_t f = 0; f < line->fitting_count; f++) {
        law->k_sum += line->fittings[f].count * pw_fitting_k_turbulent(line->fittings[f].kind, line->bore_m.v);
    }
    law->velocity_k = pw_square_loss_s2m5(1.0, area);
    const pw_node *to = &model->nodes[line->to];
    const pw_node *from = &model->nodes[line->from];
    law->into_tank = to->tank;
    law->out_of_tank = from->tank;
    law->out_of_source = from->source;
    model->links[i].from = line->from;
    model->links[i].to = to->tank >= 0 ? model->site->place_count + to->tank : line->to;
    if (to->tank >= 0 && model->site->tanks[to->tank].float_valve) {
        const double seat = pw_bore_area_m2(model->site->tanks[to->tank].valve_bore_m.v);
        law->float_k = pw_square_loss_s2m5(PW_FLOAT_VALVE_K, seat);
    }
}

static bool build_curves(const pw_pump *pump, double pa_per_m, pump_law *law)
{
    double flow[PW_MAX_CURVE];
    double head[PW_MAX_CURVE];
    double power[PW_MAX_CURVE];
    double efficiency[PW_MAX_CURVE];
    double npsh[PW_MAX_CURVE];
    int32_t powers = 0;
    int32_t npshs = 0;
    for (int32_t i = 0; i < pump->point_count; i++) {
        flow[i] = pump->curve[i].flow_m3s.v;
        head[i] = pump->curve[i].head_m.v;
        power[i] = pump->curve[i].power_w.v;
        efficiency[i] = pump->curve[i].efficiency.v;
        npsh[i] = pump->curve[i].npsh_m.v;
        powers += pump->curve[i].power_w.given ? 1 : 0;
        npshs += pump->curve[i].npsh_m.given ? 1 : 0;
    }
    const bool has_power = powers == pump->point_count;
    return pw_curve_build_head(pump->point_count, flow, head, &law->head) &&
           (has_power ? pw_curve_build(pump->point_count, flow, power, &law->power)
                      : pw_pump_power_curve(pump->point_count, flow, head, efficiency, pa_per_m, &law->power)) &&
           (npshs != pump->point_count || pw_curve_build(pump->point_count, flow, npsh, &law->npsh));
}

static bool pump_law_of(pw_model *model, int32_t i)
{
    const pw_pump *pump = &model->site->pumps[i];
    pump_law *law = &model->pumps[i];
    const int32_t link = model->site->line_count + i;
    if (!build_curves(pump, model->pa_per_m, law)) {
        return false;
    }
    law->speed = pump->speed.v;
    law->zero_head_m = pw_pump_head(&law->head, law->speed, 0.0, NULL);
    law->most_m3s = pw_affinity_flow_m3s(pump->curve[pump->point_count - 1].flow_m3s.v, law->speed);
    law->through_k = law->zero_head_m / (law->most_m3s * law->most_m3s);
    law->throttle_k = 0.01 * law->through_k;
    law->source = model->nodes[pump->from].source;
    law->tank = model->nodes[pump->from].tank;
    if (law->source < 0 && law->tank < 0) {
        pw_feeds_find(model, i, law);
    }
    law->falls = law->tank >= 0 || (law->source >= 0 && model->site->sources[law->source].kind == PW_SOURCE_MAINS);
    law->lifts = law->source >= 0 && model->site->sources[law->source].kind == PW_SOURCE_OPEN &&
                 model->site->sources[law->source].standing_m.v > 0.0;
    law->needs_m = law->npsh.n > 0 ? pw_curve_within(&law->npsh, BEST_PART * law->most_m3s) : USUAL_NPSH_M;
    law->motor.power_w = pump->motor.power_w.v;
    law->motor.voltage_v = pump->motor.voltage_v.v;
    law->motor.phases = pump->motor.phases;
    law->motor.full_load_a = pump->motor.full_load_a.v;
    law->motor.locked_rotor_a = pump->motor.locked_rotor_a.v;
    law->motor.efficiency = pump->motor.efficiency.v;
    law->motor.power_factor = pump->motor.power_factor.v;
    model->links[link].from = pump->from;
    const int32_t tank = model->nodes[pump->to].tank;
    model->links[link].to = tank >= 0 ? model->site->place_count + tank : pump->to;
    return true;
}

/* A waterlogged vessel still gives a little with pressure because the pipes stretch: dV/dp = pipe volume / (rho a^2),
 * shared among the vessels, put as the gas fraction with the same give at 4 bar. Wave speed after Korteweg. */
static void elastic_of(pw_model *model)
{
    double give_m3pa = 0.0;
    double held_m3 = 0.0;
    for (int32_t i = 0; i < model->site->line_count; i++) {
        const pw_line *line = &model->site->lines[i];
        const double wave = pw_wave_speed_ms(&model->water, line->bore_m.v, line->wall_m.v, line->modulus_pa.v, 1.0);
        const double volume = pw_bore_area_m2(line->bore_m.v) * line->length_m.v;
        held_m3 += volume;
        give_m3pa += volume / (model->water.density_kgm3 * wave * wave);
    }
    for (int32_t e = 0; e < model->elastic_count; e++) {
        model->elastic_m3pa[e] = pw_max(give_m3pa / model->elastic_count, 1e-9);
        model->elastic_m3[e] = pw_max(held_m3 / model->elastic_count, 1e-3);
    }
    for (int32_t v = 0; v < model->site->vessel_count; v++) {
        const pw_vessel *vessel = &model->site->vessels[v];
        const double absolute = 4e5 + model->atmosphere_pa;
        const double charge = vessel->precharge_pa.v + model->atmosphere_pa;
        const double fraction =
            give_m3pa / model->site->vessel_count * absolute * absolute / (vessel->volume_m3.v * charge);
        model->vessel_elastic[v] = pw_clamp(fraction, PW_VESSEL_LEAST_AIR, 0.05);
    }
}

/* Every place must hang on some given head, or its pressure has no value. */
static bool reached(const pw_model *model, int32_t *lost)
{
    static const pw_walk_rules whatever = {.way = PW_WALK_JOINED, .through_pumps = true};
    pw_reach reach = {0};
    for (int32_t n = 0; n < model->site->place_count; n++) {
        if (model->nodes[n].unknown < 0) {
            pw_walk(model->site, &whatever, n, &reach);
        }
    }
    for (int32_t n = 0; n < model->site->place_count; n++) {
        if (!reach.at[n]) {
            *lost = n;
            return false;
        }
    }
    return true;
}

/* Unknown places that hang together get the lowest number among them as their mark. */
static void mark_clusters(const pw_model *model, int32_t *mark)
{
    bool given[PW_MAX_PLACES] = {false};
    const pw_walk_rules among_unknown = {
        .way = PW_WALK_JOINED, .through_pumps = true, .barred = PW_TANKS, .shut = given};
    pw_reach reach = {0};
    for (int32_t n = 0; n < model->node_count; n++) {
        mark[n] = n;
        if (n < model->site->place_count) {
            given[n] = model->nodes[n].unknown < 0;
        }
    }
    for (int32_t n = 0; n < model->site->place_count; n++) {
        const int32_t before = reach.count;
        if (!given[n]) {
            pw_walk(model->site, &among_unknown, n, &reach);
        }
        for (int32_t i = before; i < reach.count; i++) {
            mark[reach.order[i]] = n;
        }
    }
}

/* The mark of the cluster that a link belongs to; -1: a link between two given heads, a cluster by itself. */
static int32_t mark_of_link(const pw_model *model, const int32_t *mark, int32_t l)
{
    const int32_t a = model->links[l].from;
    const int32_t b = model->links[l].to;
    return model->nodes[a].unknown >= 0 ? mark[a] : model->nodes[b].unknown >= 0 ? mark[b] : -1;
}

static void note_given(const pw_model *model, cluster *c, int32_t n, bool *first)
{
    if (model->nodes[n].unknown < 0) {
        c->given = *first || c->given == n ? n : -1;
        *first = false;
    }
}

static pw_status plan_cluster(pw_arena *arena, pw_model *model, cluster *c)
{
    int32_t a[PW_MAX_LINKS];
    int32_t b[PW_MAX_LINKS];
    int32_t edges = 0;
    bool first = true;
    c->given = -1;
    for (int32_t i = 0; i < c->node_count; i++) {
        model->nodes[model->cluster_nodes[c->first_node + i]].unknown = i;
    }
    for (int32_t i = 0; i < c->link_count; i++) {
        const int32_t l = model->cluster_links[c->first_link + i];
        const int32_t from = model->links[l].from;
        const int32_t to = model->links[l].to;
        note_given(model, c, from, &first);
        note_given(model, c, to, &first);
        c->has_pump = c->has_pump || l >= model->site->line_count;
        if (model->nodes[from].unknown >= 0 && model->nodes[to].unknown >= 0) {
            a[edges] = model->nodes[from].unknown;
            b[edges] = model->nodes[to].unknown;
            edges++;
        }
    }
    return c->node_count > 0 ? pw_sparse_plan(arena, c->node_count, edges, a, b, &c->plan) : PW_OK;
}

static pw_status clusters_of(pw_arena *arena, pw_model *model)
{
    int32_t mark[PW_MAX_NODES];
    int32_t links = 0;
    int32_t nodes = 0;
    mark_clusters(model, mark);
    for (int32_t n = 0; n < model->node_count + model->link_count; n++) {
        const int32_t lone = n - model->node_count; /* after the marks: links between given heads */
        cluster *c = &model->clusters[model->cluster_count];
        c->first_link = links;
        c->first_node = nodes;
        for (int32_t l = 0; l < model->link_count; l++) {
            const int32_t its = mark_of_link(model, mark, l);
            if (lone < 0 ? its == n : its < 0 && l == lone) {
                model->cluster_links[links] = l;
                links++;
            }
        }
        if (links == c->first_link) {
            continue;
        }
        for (int32_t i = 0; i < model->node_count && lone < 0; i++) {
            if (model->nodes[i].unknown >= 0 && mark[i] == n) {
                model->cluster_nodes[nodes] = i;
                nodes++;
            }
        }
        c->link_count = links - c->first_link;
        c->node_count = nodes - c->first_node;
        model->cluster_count++;
    }
    for (int32_t i = 0; i < model->cluster_count; i++) {
        const pw_status status = plan_cluster(arena, model, &model->clusters[i]);
        if (status != PW_OK) {
            return status;
        }
    }
    return PW_OK;
}

static pw_status no_memory(pw_problems *problems)
{
    return pw_problem_add(problems, PW_MEMORY, "", "a site of this size", "more memory for the core", "");
}

pw_status pw_model_build(pw_arena *arena, const pw_site *site, bool exact, pw_model **out, pw_problems *problems)
{
    *out = NULL;
    pw_model *model = PW_NEW(arena, 1, pw_model);
    if (model == NULL) {
        return no_memory(problems);
    }
    model->site = site;
    model->exact = exact;
    (void)pw_water_at(site->water_c.v, &model->water);
    model->atmosphere_pa = pw_atmosphere_pa(site->altitude_m.v);
    model->pa_per_m = pw_pa_per_m(model->water.density_kgm3);
    number_nodes(model);
    model->link_count = site->line_count + site->pump_count;
    for (int32_t i = 0; i < site->line_count; i++) {
        line_law_of(model, i);
    }
    for (int32_t i = 0; i < site->pump_count; i++) {
        if (!pump_law_of(model, i)) {
            return pw_problem_add(
                problems, PW_RANGE, "pumps", site->pumps[i].name,
                "a curve with rising flow, falling head and, at two points or more, an efficiency or a power", "");
        }
    }
    elastic_of(model);
    int32_t lost = 0;
    if (!reached(model, &lost)) {
        return pw_problem_add(problems, PW_CONFLICT, "places", site->places[lost].name,
                              "every place joined by lines or pumps to a source, vessel or tank", "");
    }
    if (clusters_of(arena, model) != PW_OK ||
        (!exact && (pw_law_tables(arena, model) != PW_OK || pw_store_tables(arena, model) != PW_OK))) {
        return no_memory(problems);
    }
    *out = model;
    return PW_OK;
}

double pw_model_table_error(const pw_model *model)
{
    return model->table_error;
}

const pw_site *pw_model_site(const pw_model *model)
{
    return model->site;
}

pw_warm *pw_warm_new(pw_arena *arena, const pw_model *model)
{
    (void)model;
    return PW_NEW(arena, 1, pw_warm);
}

size_t pw_warm_size(void)
{
    return sizeof(pw_warm);
}

void pw_warm_copy(pw_warm *to, const pw_warm *from)
{
    *to = *from;
}

double pw_model_pa_per_m(const pw_model *model)
{
    return model->pa_per_m;
}

bool pw_model_pump_lifts(const pw_model *model, int32_t pump)
{
    return model->pumps[pump].lifts;
}

const pw_motor_data *pw_model_motor(const pw_model *model, int32_t pump)
{
    return &model->pumps[pump].motor;
}

bool pw_model_stalls(const pw_model *model, int32_t pump, double supply)
{
    const pw_motor_data *motor = &model->pumps[pump].motor;
    const double rated = model->site->supply_v.v / motor->voltage_v;
    return !(pw_motor_speed(motor->phases, rated * supply) > 0.0);
}

double pw_model_shut_off_pa(const pw_model *model, int32_t pump)
{
    const pw_site *site = model->site;
    const pump_law *law = &model->pumps[pump];
    const double from_m = site->places[site->pumps[pump].from].level_m.v;
    const double to_m = site->places[site->pumps[pump].to].level_m.v;
    double over_m = 0.0;
    if (law->source >= 0) {
        const pw_source *source = &site->sources[law->source];
        over_m = source->kind == PW_SOURCE_MAINS ? source->pressure_pa.v / model->pa_per_m : -source->standing_m.v;
    }
    return pw_max(law->zero_head_m + from_m + over_m - to_m, 0.0) * model->pa_per_m;
}

void pw_model_surge(const pw_model *model, int32_t pump, double velocity_ms, double *surge_pa, double *half_s)
{
    const pw_site *site = model->site;
    const int32_t to = site->pumps[pump].to;
    const int32_t source = model->pumps[pump].source;
    double wave_ms = pw_wave_speed_ms(&model->water, 0.03, 0.003, 1e9, 1.0); /* a rising pipe of polyethylene */
    double length_m =
        source >= 0 && site->sources[source].kind == PW_SOURCE_BORE ? site->sources[source].intake_m.v : 1.0;
    int32_t here[PW_MAX_LINES];
    const int32_t count = pw_lines_at(site, to, here);
    for (int32_t i = 0; i < count; i++) {
        const pw_line *line = &site->lines[here[i]];
        if (line->length_m.v > length_m) {
            length_m = line->length_m.v;
            wave_ms = pw_wave_speed_ms(&model->water, line->bore_m.v, line->wall_m.v, line->modulus_pa.v, 1.0);
        }
    }
    *surge_pa = pw_joukowsky_pa(model->water.density_kgm3, wave_ms, pw_max(velocity_ms, 0.0));
    *half_s = pw_wave_return_s(length_m, wave_ms);
}

const pw_water *pw_model_water(const pw_model *model)
{
    return &model->water;
}

double pw_model_inside_m(const pw_model *model, const pw_condition *condition, int32_t pump, double speed,
                         double flow_m3s)
{
    const pump_law *law = &model->pumps[pump];
    const double turns = law->speed * condition->pump_speed[pump] * speed;
    const double flow = pw_max(flow_m3s, 0.0) / condition->pump_flow[pump];
    return condition->pump_head[pump] * pw_pump_head(&law->head, turns, flow, NULL);
}

double pw_model_boiling_c(const pw_model *model, double head_m)
{
    return pw_boiling_c(model->atmosphere_pa + pw_max(head_m, 0.0) * model->pa_per_m);
}
