/* What the site asks of its pump: head for a flow, in an easy, a usual and a hard case.
 *
 * The network of core/element is asked which head a flow through the pump takes (pw_drive.asks). Bores stand at rest in
 * that, and their drawdown is added in closed form, so that no point depends on how a bore settles.
 */
#include <string.h>

#include "site/topology.h"
#include "study/size_inside.h"
#include "formula/tables.h"
#include "formula/bore.h"

static int32_t source_of(const pw_site *site, const pw_reach *before)
{
    for (int32_t s = 0; s < site->source_count; s++) {
        if (before->at[site->sources[s].place]) {
            return s;
        }
    }
    return -1;
}

static void lift_to(size_work *w, int32_t place, double above_m)
{
    w->store_level_m = w->site->places[place].level_m.v + above_m;
    w->store_name = w->site->places[place].name;
}

pw_status size_reach(size_work *w)
{
    const pw_site *site = w->site;
    const pw_pump *pump = &site->pumps[w->out->pump];
    static const pw_walk_rules one_water = {.way = PW_WALK_JOINED, .ends = PW_TANKS};
    pw_reach before = {0};
    pw_reach behind = {0};
    bool tank = false;
    pw_walk(site, &one_water, pump->from, &before);
    w->source = source_of(site, &before);
    pw_walk(site, &one_water, pump->to, &behind);
    bool *seen = behind.at;
    w->out->kind = PW_SIZE_DIRECT;
    lift_to(w, pump->to, 0.0);
    for (int32_t t = 0; t < site->tank_count; t++) {
        if (seen[site->tanks[t].place] && !tank) {
            lift_to(w, site->tanks[t].place, site->tanks[t].inlet_m.v);
        }
        tank = tank || seen[site->tanks[t].place];
        seen[site->tanks[t].place] = false; /* reached, but what hangs on it is not under the pump's pressure */
    }
    memcpy(w->behind, seen, sizeof w->behind);
    if (tank) {
        w->out->kind = PW_SIZE_WITH_TANK;
    }
    for (int32_t v = 0; v < site->vessel_count; v++) {
        if (seen[site->vessels[v].place] && w->out->kind != PW_SIZE_WITH_VESSEL) {
            w->out->kind = PW_SIZE_WITH_VESSEL;
            lift_to(w, site->vessels[v].place, 0.0);
        }
    }
    for (int32_t o = 0; o < site->outlet_count; o++) {
        w->pressured[o] = seen[site->outlets[o].place];
    }
    pw_water_at(site->water_c.v, &w->water);
    w->pa_per_m = pw_pa_per_m(w->water.density_kgm3);
    return PW_OK;
}

/* Water in a tank as size_site_of lets it stand: with a float valve open. */
static double tank_water_m(const pw_tank *tank)
{
    return tank->float_valve ? pw_max(tank->closes_m.v - 1.2 * tank->band_m.v, 0.0) : tank->start_m.v;
}

pw_site *size_site_of(size_work *w, size_case which)
{
    pw_site *copy = PW_NEW(w->arena, 1, pw_site);
    if (copy == NULL) {
        w->failed = true;
        return NULL;
    }
    memcpy(copy, w->site, sizeof *copy);
    for (int32_t t = 0; t < copy->tank_count; t++) { /* a float valve stands open: what flows then is the most */
        copy->tanks[t].start_m.v = tank_water_m(&copy->tanks[t]);
    }
    if (which != SIZE_HARD) {
        return copy;
    }
    for (int32_t l = 0; l < copy->line_count; l++) {
        pw_line *line = &copy->lines[l];
        const pw_design *design = &copy->design;
        line->rough_m.v = design->aged_rough_m.v > 0.0 ? pw_max(design->aged_rough_m.v, line->rough_m.v)
                                                       : pw_aged_rough_m(line->pipe, line->rough_m.v);
        line->hazen_c.v *= 0.85; /* common practice, no source */
    }
    for (int32_t s = 0; s < copy->source_count; s++) {
        pw_source *source = &copy->sources[s];
        source->pressure_pa.v *= copy->design.mains_low.v;
        if (source->kind != PW_SOURCE_MAINS) {
            source->standing_m.v = pw_covered_depth_m(source->standing_m.v + copy->design.season_m.v,
                                                      source->standing_m.v, source->intake_m.v);
        }
    }
    return copy;
}

double size_water_depth_m(const size_work *w, size_case which)
{
    if (w->source < 0) { /* out of a tank, whose floor the place is; or out of a line */
        const int32_t tank = pw_site_tank_at(w->site, w->site->pumps[w->out->pump].from);
        return tank >= 0 ? -tank_water_m(&w->site->tanks[tank]) : 0.0;
    }
    const pw_source *source = &w->site->sources[w->source];
    const pw_design *design = &w->site->design;
    if (source->kind == PW_SOURCE_MAINS) {
        return -source->pressure_pa.v * (which == SIZE_HARD ? design->mains_low.v : 1.0) / w->pa_per_m;
    }
    if (which != SIZE_HARD) {
        return source->standing_m.v;
    }
    return pw_covered_depth_m(source->standing_m.v + design->season_m.v, source->standing_m.v, source->intake_m.v);
}

double size_drawdown_m(const size_work *w, double flow_m3s)
{
    if (w->source < 0 || w->site->sources[w->source].kind != PW_SOURCE_BORE) {
        return 0.0;
    }
    const pw_source *source = &w->site->sources[w->source];
    return pw_bore_drawdown_m(flow_m3s, source->capacity_m2s.v, source->yield_m3s.v);
}

double size_low_pa(const size_work *w)
{
    return w->plant->cut_in_pa > 0.0 ? w->plant->cut_in_pa : w->need_pa;
}

double size_high_pa(const size_work *w)
{
    return w->plant->cut_out_pa > 0.0 ? w->plant->cut_out_pa : pw_max(size_low_pa(w), w->need_pa);
}

static double least_high_pa(const pw_model *model, const pw_moment *at, int32_t line)
{
    for (int32_t n = 0; n < pw_model_spot_count(model); n++) {
        if (pw_model_spot_at(model, n) == PW_MAX_PLACES + line) {
            return pw_model_spot_pa(model, at, PW_MAX_PLACES + line);
        }
    }
    return PW_INF;
}

/* Least pressure along the lines behind the pump that carry water: at their ends and on the ground between. */
static double least_on_way_pa(const size_work *w, const pw_model *model, const pw_moment *at)
{
    const pw_site *site = w->site;
    double least = PW_INF;
    for (int32_t l = 0; l < site->line_count; l++) {
        const pw_line *line = &site->lines[l];
        if (!w->behind[line->from] || !w->behind[line->to] || pw_abs(at->line_m3s[l]) < 1e-9) {
            continue;
        }
        const double ends_pa = pw_min(at->place_pa[line->from], at->place_pa[line->to]);
        least = pw_min(least, pw_min(ends_pa, least_high_pa(model, at, l)));
    }
    return least;
}

pw_status size_solve(size_work *w, pw_site *site, double pressure_pa, const pw_drive *drive, pw_moment *out)
{
    for (int32_t s = 0; s < site->source_count; s++) {
        if (site->sources[s].kind == PW_SOURCE_BORE) {
            site->sources[s].kind = PW_SOURCE_OPEN;
        }
    }
    /* outlets that take all that is pumped leave the height of the heads open: far over any ground the pipes run full,
     * and size_surplus_m brings them down to where they have to be */
    for (int32_t o = 0; o < site->outlet_count && w->out->kind == PW_SIZE_DIRECT; o++) {
        site->outlets[o].needs_pa.v = w->site->outlets[o].needs_pa.v + SIZE_PLENTY_PA;
    }
    pw_model *model = NULL;
    pw_condition condition;
    double state[PW_MAX_STATES];
    pw_status status = pw_model_build(w->arena, site, true, &model, w->problems);
    if (status != PW_OK) {
        return status;
    }
    pw_warm *warm = pw_warm_new(w->arena, model);
    if (warm == NULL) {
        return PW_MEMORY;
    }
    pw_condition_healthy(model, &condition);
    pw_model_start(model, pressure_pa, state);
    memset(out, 0, sizeof *out);
    status = w->out->kind == PW_SIZE_DIRECT ? pw_model_settle(model, &condition, drive, state, warm, w->problems)
                                            : pw_model_filled(model, &condition, drive, state, warm, w->problems);
    w->summit = pw_model_summit(model, &condition, w->behind, &w->summit_m);
    status = status == PW_OK ? pw_model_moment(model, &condition, drive, state, warm, out, w->problems) : status;
    w->way_pa = status == PW_OK ? least_on_way_pa(w, model, out) : PW_INF;
    return status;
}

/* The pump asked for this flow. */
static pw_drive asking(const size_work *w, double flow_m3s)
{
    pw_drive drive = {0};
    drive.asks[w->out->pump] = true;
    drive.asks_m3s[w->out->pump] = flow_m3s;
    return drive;
}

double size_surplus_m(size_work *w, const pw_moment *at, const double *draws)
{
    double least = PW_INF;
    for (int32_t o = 0; o < w->site->outlet_count; o++) {
        if (w->pressured[o] && draws[o] > 0.0) {
            const pw_outlet *outlet = &w->site->outlets[o];
            least = pw_min(least, (at->place_pa[outlet->place] - outlet->needs_pa.v) / w->pa_per_m);
        }
    }
    w->by_ground = least < PW_INF && w->way_pa / w->pa_per_m < least;
    return w->by_ground ? w->way_pa / w->pa_per_m : least < PW_INF ? least : 0.0;
}

/* Every draw in proportion to the worst case, the flow together; alike where nothing says what is drawn. */
static pw_status direct_head(size_work *w, size_case which, double flow_m3s, double *head_m)
{
    pw_drive drive = asking(w, flow_m3s);
    double sum = 0.0;
    int32_t outlets = 0;
    for (int32_t o = 0; o < w->site->outlet_count; o++) {
        sum += w->worst_m3s[o];
        outlets += w->pressured[o] ? 1 : 0;
    }
    if (outlets == 0) { /* nowhere to go */
        *head_m = PW_INF;
        return PW_OK;
    }
    for (int32_t o = 0; o < w->site->outlet_count; o++) {
        const double alike = w->pressured[o] ? 1.0 / outlets : 0.0;
        drive.draw_m3s[o] = (sum > 0.0 ? w->worst_m3s[o] / sum : alike) * flow_m3s;
    }
    pw_site *site = size_site_of(w, which);
    pw_moment *moment = PW_NEW(w->arena, 1, pw_moment);
    if (site == NULL || moment == NULL) {
        return PW_MEMORY;
    }
    const pw_status status = size_solve(w, site, 0.0, &drive, moment);
    *head_m = moment->pump_head_m[w->out->pump] - size_surplus_m(w, moment, drive.draw_m3s);
    return status;
}

static pw_status stored_head(size_work *w, size_case which, double flow_m3s, double pressure_pa, double *head_m)
{
    const pw_drive drive = asking(w, flow_m3s);
    pw_site *site = size_site_of(w, which);
    pw_moment *moment = PW_NEW(w->arena, 1, pw_moment);
    if (site == NULL || moment == NULL) {
        return PW_MEMORY;
    }
    const pw_status status = size_solve(w, site, pressure_pa, &drive, moment);
    *head_m = moment->pump_head_m[w->out->pump];
    return status;
}

pw_status size_system_head(size_work *w, size_case which, double flow_m3s, double pressure_pa, double *head_m)
{
    const double drawdown = size_drawdown_m(w, flow_m3s);
    const double flow = pw_max(flow_m3s, 1e-9);
    const size_t mark = pw_arena_mark(w->arena);
    *head_m = PW_INF;
    if (drawdown >= PW_INF) {
        return PW_OK;
    }
    const pw_status status = w->out->kind == PW_SIZE_DIRECT ? direct_head(w, which, flow, head_m)
                                                            : stored_head(w, which, flow, pressure_pa, head_m);
    pw_arena_back(w->arena, mark);
    if (status == PW_OK) {
        *head_m += drawdown;
    }
    return status;
}

pw_status size_system_curve(size_work *w, size_case which, double pressure_pa, double most_m3s, int32_t count,
                            pw_size_curve *out)
{
    double most = most_m3s;
    if (w->source >= 0 && w->site->sources[w->source].kind == PW_SOURCE_BORE) {
        /* to where the water only just covers the intake */
        const pw_source *source = &w->site->sources[w->source];
        const double room = pw_intake_room_m(source->intake_m.v, size_water_depth_m(w, which));
        most = pw_min(most,
                      pw_max(pw_bore_inflow_m3s(pw_max(room, 0.0), source->capacity_m2s.v, source->yield_m3s.v, NULL),
                             0.01 * most_m3s));
    }
    out->count = 0;
    for (int32_t i = 0; i < count; i++) {
        const double flow = most * i / (count - 1);
        double head = 0.0;
        const pw_status status = size_system_head(w, which, flow, pressure_pa, &head);
        if (status != PW_OK) {
            return status;
        }
        if (head >= PW_INF) {
            break;
        }
        out->flow_m3s[out->count] = flow;
        out->head_m[out->count] = head;
        out->count++;
    }
    return PW_OK;
}

static void fill_duty(const size_work *w, const pw_duty *duty, pw_size_duty *out)
{
    double factor = 0.0;
    out->flow_m3s = duty->flow_m3s;
    out->head_m = duty->head_m;
    out->efficiency = duty->efficiency;
    out->shaft_w = duty->shaft_w;
    out->npsh_available_m = duty->npsh_available_m;
    out->npsh_required_m = duty->npsh_required_m;
    pw_motor_load(&w->machine.motor, duty->shaft_w, w->site->supply_v.v, &out->input_w, &out->current_a, NULL, &factor);
    out->power_factor = factor;
}

/* Without a storage under pressure the pump meets what the outlets ask: by its curve and the system's. */
static pw_status direct_duty(size_work *w, size_case which, pw_size_duty *out)
{
    pw_size_curve points;
    pw_curve system;
    pw_duty duty = {0};
    const pw_status status = size_system_curve(w, which, 0.0, w->machine.most_m3s, 14, &points);
    if (status != PW_OK) {
        return status;
    }
    if (points.count >= 2 && pw_curve_build(points.count, points.flow_m3s, points.head_m, &system)) {
        duty.flow_m3s = size_machine_meet(&w->machine, &system);
    }
    duty.head_m = size_machine_head(&w->machine, duty.flow_m3s);
    duty.shaft_w = size_machine_shaft_w(&w->machine, duty.flow_m3s);
    duty.efficiency = size_machine_efficiency(&w->machine, duty.flow_m3s, w->pa_per_m);
    duty.npsh_required_m = size_machine_npsh_m(&w->machine, duty.flow_m3s);
    const size_t mark = pw_arena_mark(w->arena);
    pw_site *site = size_site_of(w, which);
    pw_model *model = NULL;
    if (site == NULL || pw_model_build(w->arena, site, true, &model, w->problems) != PW_OK) {
        return PW_MEMORY;
    }
    pw_condition condition;
    pw_suction_figure suction;
    const double below_m = pw_min(size_drawdown_m(w, duty.flow_m3s), 1e3);
    const double water_m = pw_model_water_head_m(model, w->out->pump, below_m);
    pw_condition_healthy(model, &condition);
    pw_model_suction(model, &condition, w->out->pump, duty.flow_m3s,
                     water_m < PW_INF ? water_m : pw_model_suction_law(model, w->out->pump)->eye_m, &suction);
    duty.npsh_available_m = suction.available_m;
    pw_arena_back(w->arena, mark);
    fill_duty(w, &duty, out);
    return PW_OK;
}

pw_status size_duty_at(size_work *w, size_case which, double pressure_pa, pw_size_duty *out)
{
    pw_duty duty;
    pw_model *model = NULL;
    out->pressure_pa = pressure_pa;
    if (w->out->kind == PW_SIZE_DIRECT) {
        return direct_duty(w, which, out);
    }
    const size_t mark = pw_arena_mark(w->arena);
    pw_site *site = size_site_of(w, which);
    if (site == NULL) {
        return PW_MEMORY;
    }
    pw_status status = pw_model_build(w->arena, site, true, &model, w->problems);
    if (status == PW_OK) {
        status = pw_model_duty(model, w->arena, w->out->pump, pressure_pa, &duty, w->problems);
    }
    pw_arena_back(w->arena, mark);
    if (status == PW_OK) {
        fill_duty(w, &duty, out);
    }
    return status;
}
