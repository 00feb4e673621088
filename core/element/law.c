/* Laws of the links: head lost against flow, for lines and pumps, and what is taken at the places.
 *
 * Every law is continuous with a continuous or one-sided slope that is above zero, so that the network has exactly one
 * solution and Newton finds it. Valves are losses that grow as the square of one over the opening; a non-return valve
 * is a law with a steep second branch.
 */
#include <string.h>

#include "base/num.h"
#include "element/model_impl.h"
#include "formula/friction.h"
#include "formula/orifice.h"

/* Slope of a choked intake, in shut-off heads per largest flow: steep enough to hold the flow. */
#define CHOKED 3000.0
/* A relief valve is full open at this part above the pressure at which it begins to lift (10 %: common practice). */
#define RELIEF_BAND 0.1

static void add_square(double k, double flow, double *loss, double *slope)
{
    *loss += k * flow * pw_abs(flow);
    *slope += 2.0 * k * pw_abs(flow);
}

/* Loss factor of a throttled valve, on top of its open loss: flow coefficient in proportion to opening (linear trim,
 * own choice). */
static double throttle(double open)
{
    return 1.0 / (open * open) - 1.0;
}

/* ---- lines ---- */

static void formula(const pw_model *model, const line_law *law, double flow, double *loss, double *slope)
{
    if (law->hazen) {
        pw_hazen_loss(law->bore_m, law->length_m, law->hazen_c, law->k_sum, flow, loss, slope);
    } else {
        pw_pipe_loss(law->bore_m, law->length_m, law->rough_m, law->k_sum, &model->water, flow, loss, slope);
    }
}

static int64_t table_index(double flow)
{
    int64_t bits;
    memcpy(&bits, &flow, sizeof bits);
    return bits >> (52 - PW_TABLE_OCTAVE_BITS);
}

static double table_flow(int64_t index)
{
    const int64_t bits = index << (52 - PW_TABLE_OCTAVE_BITS);
    double flow;
    memcpy(&flow, &bits, sizeof flow);
    return flow;
}

/* Cubic Hermite through loss and slope at the ends of an interval. */
static void from_table(const law_table *table, double size, double *loss, double *slope)
{
    const int64_t index = table_index(size);
    const int64_t i = index - table->first_bits;
    const double left = table_flow(index);
    const double width = table_flow(index + 1) - left;
    const double t = (size - left) / width;
    const double y0 = table->loss_m[i];
    const double y1 = table->loss_m[i + 1];
    const double s0 = table->slope[i] * width;
    const double s1 = table->slope[i + 1] * width;
    const double c2 = 3.0 * (y1 - y0) - 2.0 * s0 - s1;
    const double c3 = s0 + s1 - 2.0 * (y1 - y0);
    *loss = y0 + t * (s0 + t * (c2 + t * c3));
    *slope = (s0 + t * (2.0 * c2 + t * 3.0 * c3)) / width;
}

/* Laminar flow below the table: Hagen-Poiseuille plus fittings, as the formula has them. */
static void trickle(const line_law *law, double flow, double *loss, double *slope)
{
    const double k = law->k_sum * law->velocity_k;
    const double root = pw_sqrt(flow * flow + law->trickle_m3s * law->trickle_m3s);
    *loss = flow * (law->laminar_s_m2 + k * root);
    *slope = law->laminar_s_m2 + k * (root + flow * flow / root);
}

static void friction_of(const pw_model *model, const line_law *law, double flow, double *loss, double *slope)
{
    const double size = pw_abs(flow);
    if (law->table.count == 0 || size >= law->table.high_m3s || (law->hazen && size < law->table.low_m3s)) {
        formula(model, law, flow, loss, slope);
        return;
    }
    if (size < law->table.low_m3s) {
        trickle(law, flow, loss, slope);
        return;
    }
    from_table(&law->table, size, loss, slope);
    if (flow < 0.0) {
        *loss = -*loss;
    }
}

static void line_loss(const pw_model *model, const setting *at, int32_t line, double flow, double *loss, double *slope)
{
    const line_law *law = &model->lines[line];
    const pw_line *made = &model->site->lines[line];
    const double open = at->condition->line_open[line] * made->open.v;
    const double wet = law->out_of_tank >= 0     ? at->tank_wet[law->out_of_tank]
                       : law->out_of_source >= 0 ? at->source_wet[law->out_of_source]
                                                 : 1.0;
    const double passing = law->into_tank >= 0 && law->float_k > 0.0 ? at->float_open[law->into_tank] : 1.0;
    const double back = at->condition->line_back[line];
    const bool inlet = law->into_tank >= 0; /* nothing flows back out of an inlet above the water */
    const bool one_way = inlet || (made->non_return && back <= 0.0);
    if (open < 1e-6 || (wet < 1e-6 && flow > 0.0) || passing < 1e-6 || (one_way && flow < 0.0)) {
        *loss = PW_CLOSED_S_M2 * flow;
        *slope = PW_CLOSED_S_M2;
        return;
    }
    friction_of(model, law, flow, loss, slope);
    const double rougher = at->condition->line_friction[line];
    if (rougher != 1.0) {
        *loss *= rougher;
        *slope *= rougher;
    }
    if (flow < 0.0 && made->non_return) {
        add_square(law->velocity_k / (back * back), flow, loss, slope);
    }
    if (open < 1.0) {
        add_square(law->velocity_k * throttle(open), flow, loss, slope);
    }
    if (wet < 1.0 && flow > 0.0) {
        add_square(law->velocity_k * throttle(wet), flow, loss, slope);
    }
    if (law->float_k > 0.0) {
        add_square(law->float_k / (passing * passing), flow, loss, slope);
    }
    *slope = pw_max(*slope, 1e-3);
}

/* ---- pumps ---- */

/* What a fault makes of the curve: all heads times pump_head, all flows times pump_flow, at another speed. */
static void running(const setting *at, const pump_law *law, int32_t pump, double flow, double *loss, double *slope)
{
    double head_slope;
    const pw_condition *condition = at->condition;
    const double part = condition->pump_flow[pump];
    const double share = at->pump_wet[pump] * condition->pump_head[pump];
    const double speed = law->speed * condition->pump_speed[pump] * at->drive->speed[pump];
    const double head = pw_pump_head(&law->head, speed, flow / part, &head_slope);
    *loss = -share * head;
    *slope = pw_max(-share * head_slope / part, 1e-3);
}

/* A blocked intake loses head as the square of one over its free area, like a valve. What air and water above it push
 * through is all that can pass: there the pump cavitates, and its flow no longer follows the head. */
static void suck(const setting *at, const pump_law *law, int32_t pump, double flow, double *loss, double *slope)
{
    const double k = law->throttle_k * throttle(at->condition->pump_intake[pump]);
    const double most = pw_sqrt(at->suction_m[pump] / k);
    add_square(k, flow, loss, slope);
    if (flow > most) {
        const double steep = CHOKED * law->zero_head_m / law->most_m3s;
        *loss += steep * (flow - most);
        *slope += steep;
    }
}

static bool turns(const setting *at, int32_t pump)
{
    return at->drive->speed[pump] > 0.0 && !at->condition->stalled[pump] && !at->condition->pump_empty[pump];
}

/* Head of the pump against a shut valve in its present condition. */
static double against_wall_m(const setting *at, const pump_law *law, int32_t pump)
{
    const double speed = at->condition->pump_speed[pump] * at->drive->speed[pump];
    return pw_affinity_head_m(at->pump_wet[pump] * law->zero_head_m * at->condition->pump_head[pump], speed);
}

static void pump_loss(const pw_model *model, const setting *at, int32_t pump, double flow, double *loss, double *slope)
{
    const pump_law *law = &model->pumps[pump];
    const pw_condition *condition = at->condition;
    const double open = condition->pump_open[pump];
    const double back = condition->pump_back[pump];
    const bool valve = model->site->pumps[pump].non_return;
    const bool runs = turns(at, pump);
    /* A store that is empty gives nothing, however far the water could fall through the pump. */
    const double wet = law->falls ? at->pump_wet[pump] : 1.0;
    if (open < 1e-6 || (wet < 1e-6 && flow > 0.0) || condition->pump_intake[pump] < 1e-6 ||
        (flow < 0.0 && (runs || (valve && back <= 0.0)))) {
        *loss = PW_CLOSED_S_M2 * flow - (runs ? against_wall_m(at, law, pump) : 0.0);
        *slope = PW_CLOSED_S_M2;
        return;
    }
    if (runs) {
        running(at, law, pump, flow, loss, slope);
    } else {
        *loss = 0.0;
        *slope = 0.0;
        add_square(law->through_k, flow, loss, slope);
        const double still = 0.01 * law->through_k * law->most_m3s; /* keeps the slope above zero at rest */
        *loss += still * flow;
        *slope += still;
        if (flow < 0.0 && valve) {
            add_square(law->throttle_k / (back * back), flow, loss, slope);
        }
    }
    if (open < 1.0) {
        add_square(law->throttle_k * throttle(open), flow, loss, slope);
    }
    if (wet < 1.0 && flow > 0.0) {
        add_square(law->throttle_k * throttle(wet), flow, loss, slope);
    }
    if (condition->pump_intake[pump] < 1.0) {
        suck(at, law, pump, flow, loss, slope);
    }
}

void pw_law_link(const pw_model *model, const setting *at, int32_t link, double flow_m3s, double *loss_m, double *slope)
{
    if (link < model->site->line_count) {
        line_loss(model, at, link, flow_m3s, loss_m, slope);
    } else {
        pump_loss(model, at, link - model->site->line_count, flow_m3s, loss_m, slope);
    }
}

/* ---- what is taken at a place ---- */

/* Full flow from the needed head up, its square root below (Wagner, Shamir and Marks, J. Water Resour. Plann. Manage.
 * 114(3), 1988, from memory); under a twentieth of the needed head a parabola takes over, so that the slope stays
 * finite at zero. */
double pw_law_outlet(const pw_model *model, int32_t outlet, double wanted_m3s, double head_m, double *slope)
{
    const pw_outlet *made = &model->site->outlets[outlet];
    const double need = pw_max(made->needs_pa.v / model->pa_per_m, PW_FADE_M);
    const double x = (head_m - model->site->places[made->place].level_m.v) / need;
    *slope = 0.0;
    if (wanted_m3s <= 0.0 || x <= 0.0) {
        return 0.0;
    }
    if (x >= 1.0) {
        return wanted_m3s;
    }
    const double small = 0.05;
    if (x >= small) {
        const double root = pw_sqrt(x);
        *slope = wanted_m3s * 0.5 / (root * need);
        return wanted_m3s * root;
    }
    /* a x + b x^2 with the value and slope of the root at `small` */
    const double root = pw_sqrt(small);
    const double a = 1.5 / root;
    const double b = -0.5 / (small * root);
    *slope = wanted_m3s * (a + 2.0 * b * x) / need;
    return wanted_m3s * x * (a + b * x);
}

double pw_law_leak(const pw_model *model, const pw_leak *leak, double head_m, double *slope)
{
    const double over = head_m - model->site->places[leak->place].level_m.v;
    if (over <= 0.0) { /* a hole below the air's pressure takes in air, no water */
        *slope = 0.0;
        return 0.0;
    }
    const double flow = pw_orifice_m3s(leak->area_m2, over, slope);
    if (leak->opens_pa <= 0.0) {
        return flow;
    }
    const double opens_m = leak->opens_pa / model->pa_per_m;
    const double band = RELIEF_BAND * opens_m;
    const double t = pw_clamp((over - opens_m) / band, 0.0, 1.0);
    const double lift = t * t * (3.0 - 2.0 * t);
    *slope = *slope * lift + flow * 6.0 * t * (1.0 - t) / band;
    return flow * lift;
}

double pw_law_taken(const pw_model *model, const setting *at, int32_t node, double head_m, double *slope)
{
    double taken = 0.0;
    double each;
    *slope = 0.0;
    if (node >= model->site->place_count) {
        return 0.0;
    }
    for (int32_t o = 0; o < model->site->outlet_count; o++) {
        if (model->site->outlets[o].place == node && at->drive->draw_m3s[o] > 0.0) {
            taken += pw_law_outlet(model, o, at->drive->draw_m3s[o], head_m, &each);
            *slope += each;
        }
    }
    for (int32_t l = 0; l < at->condition->leak_count; l++) {
        if (at->condition->leaks[l].place == node) {
            taken += pw_law_leak(model, &at->condition->leaks[l], head_m, &each);
            *slope += each;
        }
    }
    return taken;
}

bool pw_law_wanted(const pw_model *model, const setting *at, int32_t node)
{
    for (int32_t o = 0; o < model->site->outlet_count; o++) {
        if (model->site->outlets[o].place == node && at->drive->draw_m3s[o] > 0.0) {
            return true;
        }
    }
    for (int32_t l = 0; l < at->condition->leak_count; l++) {
        if (at->condition->leaks[l].place == node && at->condition->leaks[l].area_m2 > 0.0) {
            return true;
        }
    }
    return false;
}

/* ---- tables ---- */

static double check_table(const pw_model *model, const line_law *law, double worst)
{
    for (int32_t part = 1; part <= 8 && !law->hazen; part++) {
        const double flow = law->table.low_m3s * 0.125 * (double)part * 0.999;
        double exact;
        double slope;
        double quick;
        formula(model, law, flow, &exact, &slope);
        trickle(law, flow, &quick, &slope);
        worst = pw_max(worst, pw_abs(quick - exact) / exact);
    }
    for (int32_t i = 0; i < law->table.count; i++) {
        const double left = table_flow(law->table.first_bits + i);
        const double right = table_flow(law->table.first_bits + i + 1);
        for (int32_t part = 1; part < 4; part++) {
            const double flow = left + (right - left) * (0.25 * (double)part);
            double exact;
            double slope;
            double looked_up;
            formula(model, law, flow, &exact, &slope);
            from_table(&law->table, flow, &looked_up, &slope);
            worst = pw_max(worst, pw_abs(looked_up - exact) / exact);
        }
    }
    return worst;
}

/* From a laminar trickle (Reynolds about 500: below it the formula is a line, and cheap) to about 10 m/s. */
static pw_status one_table(pw_arena *arena, const pw_model *model, line_law *law)
{
    const double area = pw_bore_area_m2(law->bore_m);
    const double kinematic = model->water.viscosity_pas / model->water.density_kgm3;
    const int64_t first = table_index(500.0 * kinematic / law->bore_m * area);
    int64_t last = table_index(10.0 * area);
    if (last > first + ((int64_t)PW_TABLE_OCTAVES << PW_TABLE_OCTAVE_BITS)) {
        last = first + ((int64_t)PW_TABLE_OCTAVES << PW_TABLE_OCTAVE_BITS);
    }
    const int32_t count = (int32_t)(last - first);
    double *loss = PW_NEW(arena, count + 1, double);
    double *slope = PW_NEW(arena, count + 1, double);
    if (loss == NULL || slope == NULL) {
        return PW_MEMORY;
    }
    for (int32_t i = 0; i <= count; i++) {
        formula(model, law, table_flow(first + i), &loss[i], &slope[i]);
    }
    double loss_at_rest;
    pw_pipe_loss(law->bore_m, law->length_m, law->rough_m, 0.0, &model->water, 0.0, &loss_at_rest, &law->laminar_s_m2);
    law->trickle_m3s = 1e-4 * area;
    law->table.first_bits = first;
    law->table.low_m3s = table_flow(first);
    law->table.high_m3s = table_flow(first + count);
    law->table.loss_m = loss;
    law->table.slope = slope;
    law->table.count = count;
    return PW_OK;
}

pw_status pw_law_tables(pw_arena *arena, pw_model *model)
{
    for (int32_t i = 0; i < model->site->line_count; i++) {
        const pw_status status = one_table(arena, model, &model->lines[i]);
        if (status != PW_OK) {
            return status;
        }
        model->table_error = check_table(model, &model->lines[i], model->table_error);
    }
    return PW_OK;
}
