#include "study/size_choose.h"

#include <string.h>

#include "study/size_inside.h"
#include "formula/atmosphere.h"
#include "formula/vessel.h"
#include "study/verdict.h"

enum { POINTS = 20 };
#define YEARS_OF_LIFE 10.0

/* What the site asks, worked out once for all pumps. */
typedef struct question {
    const pw_site *site;
    pw_curve usual[PW_CHOICE_DUTIES]; /* from the lower to the upper pressure */
    double weight[PW_CHOICE_DUTIES];  /* of the water pumped there; sums to 1 */
    pw_curve hard_low, hard_high;
    int32_t usual_count;
    double design_m3s, source_most_m3s, pa_per_m, air_pa, rating_pa, lift_m, casing_m, yearly_m3;
    double npsh_without_drawdown_m; /* available with nothing pumped, lowest water; falls by the drawdown */
    double margin_m;
    bool with_vessel;
    double vessel_m3; /* drawdown of the vessel that is there */
    const size_work *work;
} question;

static pw_status curve_of(size_work *w, size_case which, double pressure_pa, double most_m3s, pw_curve *out)
{
    pw_size_curve points = {0};
    const pw_status status = size_system_curve(w, which, pressure_pa, most_m3s, POINTS, &points);
    for (int32_t i = 1; i < points.count && which == SIZE_HARD; i++) {
        /* what a siphon gives back has to be come to first, over the high point */
        points.head_m[i] = pw_max(points.head_m[i], points.head_m[i - 1]);
    }
    if (status == PW_OK && (points.count < 2 || !pw_curve_build(points.count, points.flow_m3s, points.head_m, out))) {
        return PW_NO_SOLUTION;
    }
    return status;
}

/* Water pumped between two pressures of the vessel, as a share of its drawdown. */
static void weights(const size_work *w, question *q, double low, double high)
{
    const pw_site *site = w->site;
    double sum = 0.0;
    for (int32_t i = 0; i < q->usual_count; i++) {
        q->weight[i] = 1.0 / q->usual_count;
    }
    if (!q->with_vessel || site->vessel_count == 0) {
        return;
    }
    const pw_vessel *v = &site->vessels[0];
    for (int32_t i = 0; i < q->usual_count; i++) {
        const double from = low + (high - low) * i / q->usual_count;
        const double to = low + (high - low) * (i + 1) / q->usual_count;
        q->weight[i] = pw_vessel_water_m3(1.0, v->precharge_pa.v, v->polytropic.v, 1.0, w->air_pa, to) -
                       pw_vessel_water_m3(1.0, v->precharge_pa.v, v->polytropic.v, 1.0, w->air_pa, from);
        sum += q->weight[i];
    }
    for (int32_t i = 0; i < q->usual_count; i++) {
        q->weight[i] = sum > 0.0 ? q->weight[i] / sum : 1.0 / q->usual_count;
    }
}

static pw_status ask(size_work *w, double most_m3s, question *q)
{
    const pw_site *site = w->site;
    const pw_sizing *sizing = w->out;
    const double low = size_low_pa(w);
    const double high = size_high_pa(w);
    q->site = site;
    q->work = w;
    q->with_vessel = sizing->kind == PW_SIZE_WITH_VESSEL;
    q->usual_count = q->with_vessel ? PW_CHOICE_DUTIES : 1;
    pw_status status = PW_OK;
    for (int32_t i = 0; i < q->usual_count && status == PW_OK; i++) {
        status = curve_of(w, SIZE_USUAL, low + (high - low) * (i + 0.5) / q->usual_count, most_m3s, &q->usual[i]);
    }
    weights(w, q, low, high);
    status = status == PW_OK ? curve_of(w, SIZE_HARD, low, most_m3s, &q->hard_low) : status;
    status = status == PW_OK ? curve_of(w, SIZE_HARD, high, most_m3s, &q->hard_high) : status;
    if (status != PW_OK) {
        return status;
    }
    q->design_m3s = sizing->design_flow_m3s;
    q->pa_per_m = w->pa_per_m;
    q->air_pa = w->air_pa;
    q->rating_pa = site->limits.highest_pa.v;
    q->margin_m = site->design.suction.margin_m.v;
    q->yearly_m3 = sizing->has_year && sizing->year_ms > 0
                       ? sizing->year.pumped_m3 * 365.0 * 86400e3 / (double)sizing->year_ms
                       : 365.0 * sizing->daily_m3;
    const pw_pump *pump = &site->pumps[sizing->pump];
    const bool sourced = w->source >= 0;
    const double source_level =
        sourced ? site->places[site->sources[w->source].place].level_m.v : site->places[pump->from].level_m.v;
    q->lift_m = site->places[pump->to].level_m.v - source_level + size_water_depth_m(w, SIZE_EASY);
    const bool deep = sourced && site->sources[w->source].kind != PW_SOURCE_MAINS;
    const bool bore = sourced && site->sources[w->source].kind == PW_SOURCE_BORE;
    q->casing_m = bore ? site->sources[w->source].bore_m.v : 0.0;
    const pw_size_line *available = pw_size_find(sizing, PW_SIZE_SUCTION, "available");
    q->npsh_without_drawdown_m =
        (available != NULL ? available->value : 0.0) + (deep ? pw_min(size_drawdown_m(w, w->most_flow_m3s), 1e3) : 0.0);
    q->source_most_m3s = q->hard_low.x[q->hard_low.n - 1];
    const pw_size_line *drawdown = pw_size_find(sizing, PW_SIZE_VESSEL, "drawdown");
    q->vessel_m3 = drawdown != NULL ? drawdown->value : 0.0;
    return status;
}

static bool refuse(pw_judged *out, pw_refusal why, double have, double need)
{
    out->refusal = why;
    out->have = have;
    out->need = need;
    return false;
}

static bool make_machine(const question *q, const pw_candidate *candidate, pw_pump *pump, size_machine *m)
{
    if (candidate->point_count < 3 || candidate->point_count > PW_MAX_CURVE) {
        return false;
    }
    pump->point_count = candidate->point_count;
    memcpy(pump->curve, candidate->curve, (size_t)candidate->point_count * sizeof pump->curve[0]);
    pump->speed.v = 1.0;
    pump->motor = candidate->motor;
    return size_machine_of(pump, q->pa_per_m, q->air_pa / q->pa_per_m, m);
}

/* Things that need no flow: supply, diameter, shut-off. */
static bool fits_at_rest(const question *q, const pw_candidate *candidate, const size_machine *m, pw_judged *out)
{
    const pw_site *site = q->site;
    if (candidate->motor.phases != site->supply_phases) {
        return refuse(out, PW_REFUSED_SUPPLY, (double)site->supply_phases, (double)candidate->motor.phases);
    }
    if (pw_abs(candidate->motor.voltage_v.v / site->supply_v.v - 1.0) > 0.101) {
        return refuse(out, PW_REFUSED_SUPPLY, site->supply_v.v, candidate->motor.voltage_v.v);
    }
    if (q->casing_m > 0.0 && candidate->diameter_m > q->casing_m - 0.005) {
        return refuse(out, PW_REFUSED_DIAMETER, candidate->diameter_m, q->casing_m - 0.005);
    }
    const double shut_off = size_machine_head(m, 0.0);
    const double least = 1.02 * pw_curve_at(&q->hard_high, 0.0, NULL); /* 2 % over, so that it comes to a stop */
    if (shut_off < least) {
        return refuse(out, PW_REFUSED_HEAD, shut_off, least);
    }
    const double shut_pa = (shut_off - q->lift_m) * q->pa_per_m;
    if (shut_pa > q->rating_pa) {
        return refuse(out, PW_REFUSED_PRESSURE, shut_pa, q->rating_pa);
    }
    return true;
}

/* Flow at the lower pressure in the hard case; most flow over all duties. */
static bool fits_at_work(const question *q, const pw_candidate *candidate, const size_machine *m, pw_judged *out)
{
    const double most = size_machine_meet(m, &q->usual[0]);
    out->hard_flow_m3s = size_machine_meet(m, &q->hard_low);
    if (out->hard_flow_m3s < q->design_m3s) {
        return refuse(out, PW_REFUSED_FLOW, out->hard_flow_m3s, q->design_m3s);
    }
    if (most >= m->most_m3s * (1.0 - 1e-9)) {
        return refuse(out, PW_REFUSED_RUN_OUT, most, m->most_m3s);
    }
    if (out->hard_flow_m3s >= q->source_most_m3s * (1.0 - 1e-9) && q->casing_m > 0.0) {
        return refuse(out, PW_REFUSED_SOURCE, q->source_most_m3s,
                      pw_curve_inverse(&m->head, q->hard_low.y[q->hard_low.n - 1]));
    }
    const double required = size_machine_npsh_m(m, most);
    const double drawdown = q->casing_m > 0.0 ? pw_min(size_drawdown_m(q->work, most), 1e3) : 0.0;
    const double available = q->npsh_without_drawdown_m - drawdown;
    const pw_npsh_verdict suction = pw_npsh_judge(available, required, q->margin_m);
    if (suction == PW_NPSH_SHORT || suction == PW_NPSH_CLOSE) {
        return refuse(out, PW_REFUSED_NPSH, available, required + q->margin_m);
    }
    double shaft = 0.0;
    for (int32_t i = 0; i < q->usual_count; i++) {
        shaft = pw_max(shaft, size_machine_shaft_w(m, size_machine_meet(m, &q->usual[i])));
    }
    if (shaft > candidate->motor.power_w.v * 1.0001) {
        return refuse(out, PW_REFUSED_MOTOR, shaft, candidate->motor.power_w.v);
    }
    return true;
}

/* Energy over the whole range, each duty by the water that is pumped there. */
static void weigh(const question *q, const pw_candidate *candidate, const size_machine *m, pw_judged *out)
{
    double joule_m3 = 0.0;
    double efficiency = 0.0;
    for (int32_t i = 0; i < q->usual_count; i++) {
        const double flow = size_machine_meet(m, &q->usual[i]);
        double input = 0.0;
        pw_motor_load(&m->motor, size_machine_shaft_w(m, flow), q->site->supply_v.v, &input, NULL, NULL, NULL);
        joule_m3 += q->weight[i] * (flow > 1e-9 ? input / flow : 0.0);
        efficiency += q->weight[i] * size_machine_efficiency(m, flow, q->pa_per_m);
        if (i == q->usual_count / 2) {
            out->flow_m3s = flow;
            out->head_m = size_machine_head(m, flow);
        }
    }
    double best = 0.0;
    const double at = size_machine_best_m3s(m, q->pa_per_m, &best);
    out->part_of_best = at > 0.0 ? out->flow_m3s / at : 0.0;
    out->efficiency = efficiency;
    out->kwh_m3 = joule_m3 / 3.6e6;
    out->kwh_year = out->kwh_m3 * q->yearly_m3;
    const double price = q->site->design.energy_price.v;
    out->cost_year =
        price > 0.0 && candidate->price > 0.0 ? out->kwh_year * price + candidate->price / YEARS_OF_LIFE : PW_INF;
    out->starts_h = q->vessel_m3 > 0.0 ? 3600.0 * pw_cycle_most_hz(q->vessel_m3, out->flow_m3s) : 0.0;
}

/* Merge sort by what the ranking goes by; equal ones keep the order of the catalogue. */
static bool before(const pw_judged *a, const pw_judged *b, bool by_cost)
{
    return by_cost ? a->cost_year <= b->cost_year : a->kwh_year <= b->kwh_year;
}

static void sort(pw_judged *list, pw_judged *scratch, int32_t count, bool by_cost)
{
    for (int32_t width = 1; width < count; width *= 2) {
        for (int32_t from = 0; from < count; from += 2 * width) {
            const int32_t mid = from + width < count ? from + width : count;
            const int32_t end = from + 2 * width < count ? from + 2 * width : count;
            int32_t a = from;
            int32_t b = mid;
            for (int32_t i = from; i < end; i++) {
                const bool left = a < mid && (b >= end || before(&list[a], &list[b], by_cost));
                scratch[i] = left ? list[a] : list[b];
                a += left ? 1 : 0;
                b += left ? 0 : 1;
            }
        }
        memcpy(list, scratch, (size_t)count * sizeof list[0]);
    }
}

static size_work *work_of(pw_arena *arena, const pw_plant *plant, const pw_sizing *sizing, pw_size_options *options,
                          pw_problems *problems)
{
    size_work *w = PW_NEW(arena, 1, size_work);
    pw_site *site = PW_NEW(arena, 1, pw_site);
    pw_sizing *copy = PW_NEW(arena, 1, pw_sizing);
    if (w == NULL || site == NULL || copy == NULL) {
        return NULL;
    }
    *site = *plant->site;
    *copy = *sizing;
    w->arena = arena;
    w->plant = plant;
    w->site = site;
    w->options = options;
    w->problems = problems;
    w->out = copy;
    w->demand_factor = 1.0;
    w->air_pa = pw_atmosphere_pa(site->altitude_m.v);
    if (size_reach(w) != PW_OK) {
        return NULL;
    }
    const pw_size_line *need = pw_size_find(sizing, PW_SIZE_HEAD, "needed pressure");
    w->need_pa = need != NULL ? need->value : 0.0;
    for (int32_t i = 0; i < sizing->duty_count; i++) {
        w->most_flow_m3s = pw_max(w->most_flow_m3s, sizing->duties[i].flow_m3s);
    }
    for (int32_t o = 0; o < site->outlet_count; o++) { /* how a direct system shares its flow */
        w->outlet_m3s[o] = sizing->outlet_m3s[o];
        w->worst_m3s[o] = sizing->worst_m3s[o];
    }
    return w;
}

pw_status pw_choose(pw_arena *arena, const pw_plant *plant, const pw_sizing *sizing, const pw_candidate *candidates,
                    int32_t count, pw_choice **out, pw_problems *problems)
{
    *out = NULL;
    pw_size_options *options = PW_NEW(arena, 1, pw_size_options);
    pw_choice *choice = PW_NEW(arena, 1, pw_choice);
    question *q = PW_NEW(arena, 1, question);
    pw_pump *pump = PW_NEW(arena, 1, pw_pump);
    pw_judged *judged = PW_NEW(arena, count + 1, pw_judged);
    pw_judged *ranked = PW_NEW(arena, count + 1, pw_judged);
    size_machine *m = PW_NEW(arena, 1, size_machine);
    if (options == NULL || choice == NULL || q == NULL || pump == NULL || judged == NULL || ranked == NULL ||
        m == NULL) {
        return PW_MEMORY;
    }
    options->pump = sizing->pump;
    size_work *w = work_of(arena, plant, sizing, options, problems);
    if (w == NULL) {
        return PW_MEMORY;
    }
    /* system curves reach as far as pumps may work: five times the design flow */
    const pw_status status = ask(w, pw_max(5.0 * sizing->design_flow_m3s, 1e-6), q);
    if (status != PW_OK) {
        return status;
    }
    choice->sizing = sizing;
    choice->candidates = candidates;
    choice->count = count;
    choice->by_cost = count > 0;
    choice->yearly_m3 = q->yearly_m3;
    for (int32_t i = 0; i < count; i++) {
        pw_judged *one = &judged[i];
        one->candidate = i;
        if (!make_machine(q, &candidates[i], pump, m)) {
            refuse(one, PW_REFUSED_CURVE, 0.0, 0.0);
        } else if (fits_at_rest(q, &candidates[i], m, one) && fits_at_work(q, &candidates[i], m, one)) {
            weigh(q, &candidates[i], m, one);
            choice->by_cost = choice->by_cost && one->cost_year < PW_INF;
            ranked[choice->fitting] = *one;
            choice->fitting++;
        }
    }
    int32_t end = choice->fitting;
    for (int32_t i = 0; i < count; i++) {
        if (judged[i].refusal != PW_FITS) {
            ranked[end] = judged[i];
            end++;
        }
    }
    sort(ranked, judged, choice->fitting, choice->by_cost);
    choice->ranked = ranked;
    *out = choice;
    return PW_OK;
}

static const struct {
    const char *id, *message;
    pw_dimension dimension;
} refusals[PW_REFUSAL_COUNT] = {
    {"fits", "size.fits", PW_DIM_NONE},
    {"curve", "size.refused-curve", PW_DIM_NONE},
    {"supply", "size.refused-supply", PW_DIM_NONE},
    {"diameter", "size.refused-diameter", PW_DIM_LENGTH},
    {"head", "size.refused-head", PW_DIM_LENGTH},
    {"flow", "size.refused-flow", PW_DIM_FLOW},
    {"run-out", "size.refused-run-out", PW_DIM_FLOW},
    {"source", "size.refused-source", PW_DIM_FLOW},
    {"NPSH", "size.refused-npsh", PW_DIM_LENGTH},
    {"motor", "size.refused-motor", PW_DIM_POWER},
    {"pressure", "size.refused-pressure", PW_DIM_PRESSURE},
};

const char *pw_refusal_message(pw_refusal refusal)
{
    return refusals[refusal].message;
}

const char *pw_refusal_id(pw_refusal refusal)
{
    return refusals[refusal].id;
}

pw_dimension pw_refusal_dimension(pw_refusal refusal)
{
    return refusals[refusal].dimension;
}
