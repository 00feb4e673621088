/* Sources: density Kell 1975; viscosity Kestin, Sokolov and Wakeham 1978; air pressure ISO 2533; Darcy and Weisbach
 * with Colebrook and White 1939 by repeated insertion; Hazen and Williams in SI; fittings Darby 2001 (3K), Hooper 1981
 * (2K) with the constants of the core's table; affinity; a motor with 0.36 of its losses and 0.8 of its reactive power
 * constant (best at three quarters of the load); copper by IEC 60228 and 60909; polytropic gas; Torricelli; outlets
 * by the square root (Wagner, Shamir
 * and Marks 1988); broad weir 1.7 b h^1.5; a bore in proportion to its drawdown. All from memory.
 *
 * Only what is plain is held against them: nothing half dry, half open, between laminar and turbulent, under suction or
 * at the end of a table. A pump's curve between two points of the sheet has no law: its head must lie between theirs.
 */
#include "plain_laws.h"

#include <math.h>
#include <stdio.h>

#include "formula/cable.h"
#include "formula/fitting.h"

#define GRAVITY 9.80665
#define PI      3.14159265358979323846

double plain_density_kgm3(double t)
{
    const double above =
        999.83952 +
        t * (16.945176 + t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 + t * -280.54253e-12))));
    return above / (1.0 + 16.879850e-3 * t);
}

static double viscosity_pas(double t)
{
    const double d = 20.0 - t;
    return 1.002e-3 * pow(10.0, d / (t + 96.0) * (1.2364 - 1.37e-3 * d + 5.7e-6 * d * d));
}

static double air_pa(double altitude_m)
{
    return 101325.0 * pow(1.0 - 2.25577e-5 * altitude_m, 5.25588);
}

/* ---- motors ---- */

double plain_heat(const pw_motor *motor, double heat, double current_a, bool running, double h_s)
{
    const double ratio = current_a / (motor->service_factor.v * motor->full_load_a.v);
    const double tau = running ? motor->heat_time_s.v : motor->cool_time_s.v;
    return ratio * ratio + (heat - ratio * ratio) * exp(-h_s / tau);
}

double plain_winding_c(const plain *p, const pw_motor *motor, double heat)
{
    return p->site->water_c.v + motor->winding_rise_k.v * heat * motor->service_factor.v * motor->service_factor.v;
}

double plain_start_heat(const pw_motor *motor)
{
    return plain_heat(motor, 0.0, motor->locked_rotor_a.v, true, motor->start_time_s.v);
}

double plain_start_s(const pw_motor *motor, double v)
{
    const double spare = 1.5 * v * v - 0.3;
    return spare > 1e-6 ? motor->start_time_s.v * 1.2 / spare : INFINITY;
}

/* The cable of a pump's motor: its own, or for the first pump that of the design; ohm of one conductor. */
static bool cable_of(const plain *p, int32_t i, double *ohm, double *reactance)
{
    const pw_pump *pump = &p->site->pumps[i];
    const pw_supply_cable *design = &p->site->design.cable;
    const bool own = pump->cable_m.given && pump->cable_mm2.given;
    if (!own && (i > 0 || !design->section_mm2.given)) {
        return false;
    }
    const double cold = pw_cable_ohm_m(own ? pump->cable_mm2.v : design->section_mm2.v);
    const double length = own ? pump->cable_m.v : design->length_m.v;
    *ohm = length * cold * (234.5 + design->conductor_c.v) / (234.5 + 20.0);
    *reactance = pump->motor.phases == 0 ? 0.0 : length * 0.08e-3;
    return cold > 0.0 && length > 0.0;
}

double plain_start_part(const plain *p, int32_t i)
{
    const pw_motor *motor = &p->site->pumps[i].motor;
    const double there_and_back = motor->phases == 3 ? 1.0 : 2.0, root = motor->phases == 3 ? sqrt(3.0) : 1.0;
    double ohm, reactance;
    if (!cable_of(p, i, &ohm, &reactance) || !(motor->locked_rotor_a.v > 0.0)) {
        return 1.0;
    }
    const pw_motor_data *data = pw_model_motor(p->plant->model, i);
    const double z = motor->voltage_v.v / root / motor->locked_rotor_a.v;
    const double cosine = pw_motor_start_factor(data->phases, data->power_w); /* a table, like that of the copper */
    return z / hypot(z * cosine + there_and_back * ohm, z * sqrt(1.0 - cosine * cosine) + there_and_back * reactance);
}

/* Input and current of a motor that turns, for a shaft power and a voltage. Its full-load current says its power
 * factor, where that is possible. */
static void motor_draws(const pw_motor *motor, double shaft_w, double volts, double *input_w, double *current_a)
{
    const double root = motor->phases == 3 ? sqrt(3.0) : 1.0;
    const double rated = motor->power_w.v / motor->efficiency.v;
    const double apparent = root * motor->voltage_v.v * motor->full_load_a.v;
    const double v = volts / motor->voltage_v.v, load = shaft_w / motor->power_w.v / v;
    double reactive = sqrt(fmax(apparent * apparent - rated * rated, 0.0));
    double scale = 1.0;
    if (motor->phases == 0) { /* direct current: what the name plate says over what its power takes */
        reactive = 0.0;
        scale = apparent / rated;
    }
    *input_w = shaft_w + (rated - motor->power_w.v) * (0.36 * v * v + 0.64 * load * load);
    reactive *= 0.8 * v * v + 0.2 * load * load;
    *current_a = scale * sqrt(*input_w * *input_w + reactive * reactive) / (root * volts);
}

/* ---- keeping score ---- */

static void held(plain *p, const char *what, double got, double expected, double relative, double absolute)
{
    const double off = fabs(got - expected);
    p->out->law_checks++;
    if (!(off <= relative * fabs(expected) + absolute)) {
        if (p->out->law_breaches == 0) {
            snprintf(p->out->law, sizeof p->out->law, "%s: %.8g, by its own law %.8g", what, got, expected);
        }
        p->out->law_breaches++;
    }
}

static void between(plain *p, const char *what, double got, double a, double b)
{
    const double low = fmin(a, b), high = fmax(a, b), slack = 1e-3 * fmax(fabs(low), fabs(high)) + 1e-9;
    held(p, what, got, fmin(fmax(got, low - slack), high + slack), 1e-9, 1e-12);
}

/* ---- elements ---- */

static double head_at(const plain *p, int32_t place, double weight)
{
    return p->site->places[place].level_m.v + p->moment.place_pa[place] / weight;
}

static int32_t tank_of(const plain *p, int32_t place)
{
    for (int32_t t = 0; t < p->site->tank_count; t++) {
        if (p->site->tanks[t].place == place) {
            return t;
        }
    }
    return -1;
}

static int32_t source_of(const plain *p, int32_t place)
{
    for (int32_t s = 0; s < p->site->source_count; s++) {
        if (p->site->sources[s].place == place) {
            return s;
        }
    }
    return -1;
}

static double colebrook(double reynolds, double roughness)
{
    double x = 7.0;
    for (int32_t i = 0; i < 100; i++) {
        x = -2.0 * log10(roughness / 3.7 + 2.51 * x / reynolds);
    }
    return 1.0 / (x * x);
}

static double fittings_k(const pw_line *line)
{
    const double inches = line->bore_m.v / 0.0254;
    double sum = line->extra_k.v;
    for (int32_t f = 0; f < line->fitting_count; f++) {
        const pw_fitting_kind *row = pw_fitting_row(line->fittings[f].kind);
        const double size = row->method == PW_FITTING_3K   ? 1.0 + row->kd / pow(inches, 0.3)
                            : row->method == PW_FITTING_2K ? 1.0 + 1.0 / inches
                                                           : 1.0;
        sum += line->fittings[f].count * row->ki * size;
    }
    return sum;
}

/* An open line whose ends are both full of water under pressure. */
static void line_law(plain *p, int32_t l, double weight)
{
    const pw_line *line = &p->site->lines[l];
    const pw_condition *c = &p->condition;
    const double flow = p->moment.line_m3s[l], d = line->bore_m.v;
    const double velocity = flow / (0.25 * PI * d * d);
    const int32_t into = tank_of(p, line->to), out_of = tank_of(p, line->from);
    const bool plain_line = c->line_open[l] * line->open.v == 1.0 && source_of(p, line->from) < 0 && out_of < 0 &&
                            source_of(p, line->to) < 0 && (into < 0 || !p->site->tanks[into].float_valve);
    if (!plain_line || flow < 1e-6 || p->moment.place_pa[line->from] < 0.0 || p->moment.place_pa[line->to] < 0.0) {
        return;
    }
    const double to_m =
        into >= 0 ? p->site->places[line->to].level_m.v + p->site->tanks[into].inlet_m.v : head_at(p, line->to, weight);
    const double reynolds = velocity * d * weight / GRAVITY / viscosity_pas(p->site->water_c.v);
    const double square = velocity * velocity / (2.0 * GRAVITY);
    double loss = fittings_k(line) * square;
    if (line->friction == PW_FRICTION_HAZEN && velocity > 0.02) {
        loss += 10.67 * line->length_m.v * pow(flow / line->hazen_c.v, 1.852) / pow(d, 4.8704);
    } else if (line->friction != PW_FRICTION_HAZEN && (reynolds < 2200.0 || reynolds > 4100.0)) {
        const double f = reynolds < 2200.0 ? 64.0 / reynolds : colebrook(reynolds, line->rough_m.v / d);
        loss += f * fmax(line->length_m.v, 1e-3) / d * square;
    } else {
        return;
    }
    held(p, "head lost in a line", head_at(p, line->from, weight) - to_m, loss * c->line_friction[l], 4e-3, 2e-3);
}

/* Head and power of the sheet's curve at the points around a flow; false beyond its last point. */
static bool around(const pw_pump *pump, double flow, int32_t *i)
{
    for (*i = 0; *i + 1 < pump->point_count; (*i)++) {
        if (flow >= pump->curve[*i].flow_m3s.v && flow <= pump->curve[*i + 1].flow_m3s.v) {
            return true;
        }
    }
    return false;
}

/* Shaft power at a point of the sheet: stated, or what the water gets over the efficiency; 0 where there is neither. */
static double power_at(const pw_curve_point *point, double weight)
{
    const double water_w = weight * point->flow_m3s.v * point->head_m.v;
    return point->power_w.given ? point->power_w.v
                                : (point->efficiency.v > 0.011 ? water_w / point->efficiency.v : 0.0);
}

/* The same at the far end of its cable: what it draws there costs the voltage that it gets, and warms the copper. */
static void motor_on_cable(const plain *p, int32_t i, double shaft_w, double volts, double *input_w, double *current_a)
{
    const pw_motor *motor = &p->site->pumps[i].motor;
    const double root = motor->phases == 3 ? sqrt(3.0) : 1.0, times = motor->phases == 3 ? sqrt(3.0) : 2.0;
    const double wires = motor->phases == 3 ? 3.0 : 2.0;
    double ohm, reactance, there_v = volts;
    motor_draws(motor, shaft_w, volts, input_w, current_a);
    if (!cable_of(p, i, &ohm, &reactance)) {
        return;
    }
    for (int32_t round = 0; round < 50; round++) {
        const double cosine = motor->phases == 0 ? 1.0 : fmin(*input_w / (root * there_v * *current_a), 1.0);
        there_v = volts - times * *current_a * (ohm * cosine + reactance * sqrt(1.0 - cosine * cosine));
        motor_draws(motor, shaft_w, there_v, input_w, current_a);
    }
    *input_w += wires * *current_a * *current_a * ohm;
}

static void pump_law(plain *p, int32_t i, double weight)
{
    const pw_pump *pump = &p->site->pumps[i];
    const pw_condition *c = &p->condition;
    const pw_moment *m = &p->moment;
    const bool turns = p->drive.speed[i] > 0.0 && !p->stuck[i] && p->up_ms[i] == INT64_MAX && !p->empty[i];
    int32_t at = 0;
    if (!turns || !(c->supply > 0.0)) {
        return;
    }
    double input_w, current_a;
    motor_on_cable(p, i, m->shaft_w[i], p->site->supply_v.v * c->supply, &input_w, &current_a);
    held(p, "input of a motor", m->input_w[i], input_w, 1e-6, 1e-6);
    held(p, "current of a motor", m->current_a[i], current_a * c->pump_amps[i], 1e-6, 1e-6);
    const double speed = pump->speed.v * c->pump_speed[i], flow = m->pump_m3s[i] / speed / c->pump_flow[i];
    if (m->pump_wet[i] < 1.0 || c->pump_open[i] < 1.0 || c->pump_intake[i] < 1.0 || flow < 1e-6 ||
        !around(pump, flow, &at)) {
        return;
    }
    const double part = speed * speed * c->pump_head[i];
    const double lifts = head_at(p, pump->to, weight) - head_at(p, pump->from, weight);
    if (tank_of(p, pump->to) < 0 && m->place_pa[pump->to] > 0.0) {
        between(p, "head of a pump", source_of(p, pump->from) < 0 ? lifts : m->pump_head_m[i],
                part * pump->curve[at].head_m.v, part * pump->curve[at + 1].head_m.v);
    }
    const double left_w = power_at(&pump->curve[at], weight), right_w = power_at(&pump->curve[at + 1], weight);
    if (left_w > 0.0 && right_w > 0.0) {
        const double cube = speed * speed * speed * c->pump_load[i];
        between(p, "power of a pump", m->shaft_w[i], cube * left_w, cube * right_w);
    }
}

static void outlet_law(plain *p, int32_t o, double weight)
{
    const pw_outlet *outlet = &p->site->outlets[o];
    const double wanted = p->drive.draw_m3s[o], need = fmax(outlet->needs_pa.v, 0.05 * weight);
    const double part = p->moment.place_pa[outlet->place] / need;
    if (wanted > 0.0 && part > 0.06) {
        held(p, "flow of an outlet", p->moment.outlet_m3s[o], part >= 1.0 ? wanted : wanted * sqrt(part), 2e-3, 1e-9);
    }
}

static void hole_law(plain *p, int32_t l, double weight)
{
    const pw_leak *leak = &p->condition.leaks[l];
    const double pressure = p->moment.place_pa[leak->place];
    if (pressure < 1e3) {
        return;
    }
    double flow = leak->area_m2 * sqrt(2.0 * pressure / (weight / GRAVITY));
    if (leak->opens_pa > 0.0) { /* a relief valve: full open at 10 % over its pressure, a smooth step to there */
        const double t = fmin(fmax((pressure / leak->opens_pa - 1.0) / 0.1, 0.0), 1.0);
        flow *= t * t * (3.0 - 2.0 * t);
    }
    held(p, "flow of a hole", p->moment.leak_m3s[l], flow, 2e-3, 1e-7);
}

static void vessel_law(plain *p, int32_t v)
{
    const pw_vessel *vessel = &p->site->vessels[v];
    const pw_condition *c = &p->condition;
    const double water = p->y[pw_model_vessel_state(p->plant->model, v)], whole = vessel->volume_m3.v;
    const double air = c->vessel_air[v], outside = air_pa(p->site->altitude_m.v);
    if (air < 0.06 || water < 0.0 || water > 0.85 * whole) {
        return;
    }
    const double charge = vessel->precharge_pa.v + c->vessel_extra_pa[v] + outside;
    const double absolute = charge * pow(air * whole / (whole - water), vessel->polytropic.v);
    held(p, "pressure of a vessel", p->moment.place_pa[vessel->place] + outside, absolute, 1e-4, 1.0);
}

static void tank_law(plain *p, int32_t t, double weight)
{
    const pw_tank *tank = &p->site->tanks[t];
    const double depth = p->y[pw_model_tank_state(p->plant->model, t)] / tank->area_m2.v;
    const double over = fmax(depth - tank->depth_m.v, 0.0);
    held(p, "pressure under a tank", p->moment.place_pa[tank->place], depth * weight, 1e-4, 1.0);
    held(p, "overflow of a tank", p->moment.spill_m3s[t], 1.7 * 0.2 * pow(over, 1.5), 1e-6, 1e-12);
}

static void bore_law(plain *p, int32_t s, double content_m3)
{
    const pw_source *source = &p->site->sources[s];
    const double d = source->bore_m.v, part = p->condition.source_yield[s];
    const double over = content_m3 / (0.25 * PI * d * d);
    const double drawdown = source->intake_m.v - source->standing_m.v - p->condition.source_fall_m[s] - over;
    const double gives = part * source->capacity_m2s.v * drawdown;
    if (part > 0.0 && gives < 0.89 * part * source->yield_m3s.v) {
        held(p, "what a bore gives", p->moment.source_m3s[s], gives, 1e-6, 1e-10);
    }
}

void plain_laws(plain *p)
{
    const double weight = GRAVITY * plain_density_kgm3(p->site->water_c.v);
    int32_t bore = 0;
    for (int32_t l = 0; l < p->site->line_count; l++) {
        line_law(p, l, weight);
    }
    for (int32_t i = 0; i < p->site->pump_count; i++) {
        pump_law(p, i, weight);
    }
    for (int32_t o = 0; o < p->site->outlet_count; o++) {
        outlet_law(p, o, weight);
    }
    for (int32_t l = 0; l < p->condition.leak_count; l++) {
        hole_law(p, l, weight);
    }
    for (int32_t v = 0; v < p->site->vessel_count; v++) {
        vessel_law(p, v);
    }
    for (int32_t t = 0; t < p->site->tank_count; t++) {
        tank_law(p, t, weight);
    }
    for (int32_t s = 0; s < p->site->source_count; s++) {
        if (p->site->sources[s].kind == PW_SOURCE_BORE) {
            bore_law(p, s, p->y[bore]);
            bore++;
        }
    }
}
