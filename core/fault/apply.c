/* The rows of the faults, and what each changes in the physical condition. Sources and reasons: docs/faults.md. */
#include "base/num.h"
#include "element/supply.h"
#include "formula/filter.h"
#include "fault/inside.h"
#include "formula/friction.h"
#include "formula/orifice.h"
#include "formula/pump.h"
#include "site/topology.h"

/* ---- leaks ---- */

static int32_t reference_place(const pw_site *site)
{
    for (int32_t i = 0; i < site->sensor_count; i++) {
        if (site->sensors[i].kind == PW_SENSOR_PRESSURE && site->sensors[i].place >= 0) {
            return site->sensors[i].place;
        }
    }
    return fault_usual_leak_place(site);
}

/* Head at the leak's place that its severity is meant at. */
static double leak_head_m(const pw_model *model, int32_t place, double reference_pa)
{
    const pw_site *site = pw_model_site(model);
    int32_t tank = pw_site_tank_at(site, place);
    if (tank >= 0) {
        return pw_max(site->tanks[tank].start_m.v, PW_FAULT_LOWEST_DEPTH_M);
    }
    int32_t reference = reference_place(site);
    double fall_m = reference < 0 ? 0.0 : site->places[reference].level_m.v - site->places[place].level_m.v;
    return pw_max(reference_pa / pw_model_pa_per_m(model) + fall_m, PW_FAULT_LOWEST_HEAD_M);
}

static void add_hole(pw_condition *condition, int32_t place, double area_m2, double opens_pa)
{
    int32_t at = condition->leak_count;
    if (at >= PW_MAX_LEAKS) { /* more holes than the model holds: the last one grows */
        condition->leaks[PW_MAX_LEAKS - 1].area_m2 += area_m2;
        return;
    }
    condition->leaks[at].place = place;
    condition->leaks[at].area_m2 = area_m2;
    condition->leaks[at].opens_pa = opens_pa;
    condition->leak_count++;
}

/* Cd A sqrt(2 g h) = severity. */
static void leak(const pw_fault_with *with, pw_condition *condition)
{
    const double head_m = leak_head_m(with->model, with->at, with->reference_pa);
    add_hole(condition, with->at, pw_orifice_cd_area_m2(with->severity, head_m), 0.0);
}

/* A relief valve is chosen to pass the pump's whole flow: the end of its curve at 10 % over the lifting pressure. */
static void relief(const pw_model *model, int32_t pump, double opens_pa, pw_condition *condition)
{
    const pw_pump *made = &pw_model_site(model)->pumps[pump];
    const double opens = pw_max(opens_pa, 1e3);
    const double most_m3s = pw_affinity_flow_m3s(made->curve[made->point_count - 1].flow_m3s.v, made->speed.v);
    const double head_m = 1.1 * opens / pw_model_pa_per_m(model);
    add_hole(condition, made->to, pw_orifice_cd_area_m2(most_m3s, head_m), opens);
}

/* ---- lines ---- */

/* Of a valve in a line or at a pump's outlet. */
static double *opening(int32_t at, double *of_lines, double *of_pumps)
{
    return at >= PW_MAX_LINES ? &of_pumps[at - PW_MAX_LINES] : &of_lines[at];
}

static void scale(int32_t line, double part, pw_condition *condition)
{
    condition->line_friction[line] /= pw_narrowed_divides(1.0 - pw_min(part, 0.9));
}

/* ---- pumps ---- */

/* Gas in a centrifugal pump: head lost in proportion to the square of the gas share, all of it at 15 % and above.
 * Handbooks give little effect to 2 or 3 %, a fifth of the head lost near 7 % and the flow breaking off at 7 to 15 %
 * for ordinary impellers (from memory); the form is our own. Of what the pump moves, the gas share is not water. */
static void gas(int32_t pump, double share, pw_condition *condition)
{
    const double most = 0.15;
    const double part = pw_min(share / most, 1.0);
    const double water = 1.0 - pw_min(share, 0.5);
    condition->pump_head[pump] *= 1.0 - part * part;
    condition->pump_flow[pump] *= water;
    condition->pump_load[pump] *= water * (1.0 - 0.5 * part * part);
}

/* Gas bubbles shake the flow switches that the pump's water passes: from 0.5 changes a second at a trace to 10 at 10 %
 * (common practice; the range is what call-outs report). */
static void bubbles(const pw_site *site, int32_t pump, double share, pw_condition *condition)
{
    for (int32_t s = 0; s < site->sensor_count; s++) {
        if (site->sensors[s].kind == PW_SENSOR_FLOW && (site->sensors[s].pump == pump || site->sensors[s].pump < 0)) {
            condition->chatter_hz[s] = pw_max(condition->chatter_hz[s], pw_clamp(100.0 * share, 0.5, 10.0));
        }
    }
}

/* Part of the passages left: the curve's flows shrink with it, and with them the power that follows the flow; half of
 * the power at no flow stays (own choice). */
static void foul(int32_t pump, double left, pw_condition *condition)
{
    const double part = pw_max(left, 0.01);
    condition->pump_flow[pump] *= part;
    condition->pump_load[pump] *= 0.5 + 0.5 * part;
}

/* Turning the wrong way a radial pump still pumps, with about half its head and a bit more than half its flow
 * (handbooks: 50 to 60 % and 30 to 50 %, from memory; common practice), and takes about as much power at the same flow
 * as the right way round. */
static void backwards(int32_t pump, pw_condition *condition)
{
    condition->pump_head[pump] *= 0.5;
    condition->pump_flow[pump] *= 0.5;
    condition->pump_load[pump] *= 0.7;
}

/* ---- supply ---- */

/* With a phase gone a three-phase motor that turns goes on with more current. */
static void lose_phase(const pw_site *site, pw_condition *condition)
{
    condition->phase_lost = true;
    for (int32_t p = 0; p < site->pump_count; p++) {
        if (site->pumps[p].motor.phases == 3) {
            condition->pump_amps[p] = pw_motor_single_phased_turning();
        }
    }
}

static void sag(const pw_site *site, double part, pw_condition *condition)
{
    for (int32_t p = 0; p < site->pump_count; p++) {
        condition->sag[p] = part;
    }
}

/* ---- the rows ---- */

#define HOUR_S 3600.0
#define DAY_S  86400.0

/* A vessel loses its air in 40 minutes, not in one bang, which no site does; a sensor drifts and a water level falls
 * over ten days (own choices: slow beside every timer of an order, fast enough to be seen within a proof's fortnight).
 */
enum { SOON_PARTS = 40, SOON_PART_MS = 60000, SLOW_PARTS = 120, SLOW_PART_MS = 7200000 };

/* What a row changes, as code. */
#define PW_FAULT(name, code, ...)                                         \
    static void change_##name(const pw_fault_with *with, pw_condition *c) \
    {                                                                     \
        const int32_t at = with->at;                                      \
        const double severity = with->severity, part = with->part;        \
        (void)at, (void)severity, (void)part, (void)c;                    \
        code                                                              \
    }
#include "fault/rows.inc"
#undef PW_FAULT

#define TRIED(...) .tried = {__VA_ARGS__}, .tried_count = (int32_t)(sizeof((double[]){__VA_ARGS__}) / sizeof(double))

static const pw_fault_row rows[PW_FAULT_COUNT] = {
#define PW_FAULT(name, code, ...) [PW_FAULT_##name] = {.change = change_##name, __VA_ARGS__},
#include "fault/rows.inc"
#undef PW_FAULT
};

const pw_fault_row *pw_fault_row_of(pw_fault_kind kind)
{
    return &rows[fault_is_kind(kind) ? kind : PW_FAULT_NONE];
}
