/* Pressure vessel: what it gives between cut-out and cut-in, how often the pump starts, and how large it should be. */
#include "study/size_inside.h"
#include "formula/vessel.h"

enum { PARTS = 32, PRESSURES = 5 };

typedef struct cycle {
    double on_pa, off_pa, polytropic, air_pa;
    pw_curve flow; /* of the pump against gauge pressure */
} cycle;

/* Water in a vessel of 1 m3. */
static double water_at(const cycle *c, double precharge_pa, double air, double pressure_pa)
{
    return pw_vessel_water_m3(1.0, precharge_pa, c->polytropic, air, c->air_pa, pressure_pa);
}

/* Time to fill a vessel of 1 m3 from cut-in to cut-out against a draw; Simpson over the pressure. PW_INF: never. */
static double fill_s(const cycle *c, double precharge_pa, double air, double draw_m3s)
{
    double sum = 0.0;
    double last = water_at(c, precharge_pa, air, c->on_pa);
    for (int32_t i = 0; i < PARTS; i++) {
        const double to = c->on_pa + (c->off_pa - c->on_pa) * (i + 1) / PARTS;
        const double mid = c->on_pa + (c->off_pa - c->on_pa) * (i + 0.5) / PARTS;
        const double next = water_at(c, precharge_pa, air, to);
        const double spare = pw_curve_within(&c->flow, mid) - draw_m3s;
        if (!(spare > 0.0)) {
            return PW_INF;
        }
        sum += (next - last) / spare;
        last = next;
    }
    return sum;
}

/* Most starts an hour of a vessel of 1 m3 at any constant draw. */
static double most_starts_h(const cycle *c, double precharge_pa, double air)
{
    const double least = pw_curve_within(&c->flow, c->off_pa);
    const double drawn = water_at(c, precharge_pa, air, c->off_pa) - water_at(c, precharge_pa, air, c->on_pa);
    double most = 0.0;
    if (!(drawn > 0.0)) {
        return PW_INF;
    }
    for (int32_t i = 1; i < 40 && least > 0.0; i++) {
        const double draw = least * i / 40.0;
        const double fill = fill_s(c, precharge_pa, air, draw);
        most = fill < PW_INF ? pw_max(most, 3600.0 / (fill + drawn / draw)) : most;
    }
    return most;
}

static void add_effect(size_work *w, const cycle *c, double volume_m3, const char *words, double precharge_pa,
                       double air)
{
    pw_size_effect *effect = &w->out->effects[w->out->effect_count];
    effect->words = words;
    effect->precharge_pa = precharge_pa;
    effect->air = air;
    effect->drawdown_m3 =
        volume_m3 * (water_at(c, precharge_pa, air, c->off_pa) - water_at(c, precharge_pa, air, c->on_pa));
    const double starts = most_starts_h(c, precharge_pa, air);
    effect->starts_h = starts < PW_INF ? starts / volume_m3 : PW_INF;
    w->out->effect_count++;
}

static void put_effects(size_work *w, const cycle *c, double volume_m3, double precharge_pa)
{
    static const struct {
        const char *words;
        double charge, air;
    } rows[] = {
        {"size.as-it-should", 1.0, 1.0},         {"size.charged-high", 1.2, 1.0},        {"size.charged-low", 0.8, 1.0},
        {"size.charged-half", 0.5, 1.0},         {"size.quarter-lost", 1.0, 0.75},       {"size.half-lost", 1.0, 0.5},
        {"size.three-quarters-lost", 1.0, 0.25}, {"size.nearly-waterlogged", 1.0, 0.05},
    };
    for (int32_t i = 0; i < (int32_t)(sizeof rows / sizeof rows[0]); i++) {
        add_effect(w, c, volume_m3, rows[i].words, precharge_pa * rows[i].charge, rows[i].air);
    }
}

static bool cycle_of(size_work *w, cycle *c, double *volume_m3, double *precharge_pa)
{
    const pw_site *site = w->site;
    double pressure[PRESSURES];
    double flow[PRESSURES];
    *volume_m3 = 0.0;
    *precharge_pa = 0.0;
    c->polytropic = 1.0;
    for (int32_t v = 0; v < site->vessel_count; v++) {
        *volume_m3 += site->vessels[v].volume_m3.v;
        *precharge_pa += site->vessels[v].precharge_pa.v * site->vessels[v].volume_m3.v;
        c->polytropic = site->vessels[v].polytropic.v;
    }
    *precharge_pa /= *volume_m3;
    c->on_pa = w->plant->cut_in_pa;
    c->off_pa = w->plant->cut_out_pa;
    c->air_pa = w->air_pa;
    for (int32_t i = 0; i < PRESSURES; i++) {
        pw_size_duty duty;
        pressure[i] = c->on_pa + (c->off_pa - c->on_pa) * i / (PRESSURES - 1);
        if (size_duty_at(w, SIZE_USUAL, pressure[i], &duty) != PW_OK) {
            return false;
        }
        flow[i] = pw_max(duty.flow_m3s, 0.0);
        w->vessel_flow_m3s[i] = flow[i];
    }
    return pw_curve_build(PRESSURES, pressure, flow, &c->flow);
}

static void put_store(size_work *w, const cycle *c, double volume, double precharge)
{
    const double share = pw_vessel_drawdown(precharge, c->on_pa, c->off_pa, c->polytropic, w->air_pa);
    const double boyle = pw_vessel_drawdown(precharge, c->on_pa, c->off_pa, 1.0, w->air_pa);
    size_add(w, PW_SIZE_VESSEL, "volume", pw_fact_of("size.vessel-volume"), PW_DIM_VOLUME, volume,
             pw_fact_of("size.vessel-volume-how"), pw_fact_of("size.the-sheet"));
    size_add(w, PW_SIZE_VESSEL, "drawdown", pw_fact_of("size.vessel-drawdown"), PW_DIM_VOLUME, share * volume,
             pw_fact_of("size.vessel-drawdown-how", size_q(w, PW_DIM_FRACTION, share), size_n(w, c->polytropic),
                        size_q(w, PW_DIM_FRACTION, boyle)),
             pw_fact_of("size.vessel-drawdown-source"));
    const double accepted = pw_vessel_acceptance(precharge, c->off_pa, w->air_pa);
    size_add(w, PW_SIZE_VESSEL, "acceptance", pw_fact_of("size.acceptance"), PW_DIM_VOLUME, accepted * volume,
             pw_fact_of("size.acceptance-how", size_q(w, PW_DIM_FRACTION, accepted)),
             pw_fact_of("size.acceptance-source"));
}

static void put_starts(size_work *w, const cycle *c, double volume, double precharge)
{
    const pw_design *design = &w->site->design;
    const double limit = design->starts_per_hour.v;
    const double now = most_starts_h(c, precharge, 1.0);
    const double right = pw_max(c->on_pa - design->charge_gap_pa.v, 0.0);
    const double need = most_starts_h(c, right, 1.0);
    const double mid_flow = pw_curve_within(&c->flow, 0.5 * (c->on_pa + c->off_pa));
    w->vessel_starts_h = now < PW_INF ? now / volume : PW_INF;
    size_add(w, PW_SIZE_VESSEL, "most starts", pw_fact_of("size.most-starts"), PW_DIM_RATE, w->vessel_starts_h,
             pw_fact_of("size.most-starts-how"), pw_fact_of("size.most-starts-source"));
    const double usable = volume * pw_vessel_drawdown(precharge, c->on_pa, c->off_pa, c->polytropic, w->air_pa);
    size_add(w, PW_SIZE_VESSEL, "most starts, formula", pw_fact_of("size.starts-formula"), PW_DIM_RATE,
             usable > 0.0 ? 3600.0 * pw_cycle_most_hz(usable, mid_flow) : PW_INF,
             pw_fact_of("size.starts-formula-how", size_q(w, PW_DIM_FLOW, mid_flow), size_q(w, PW_DIM_VOLUME, usable)),
             pw_fact_of("size.starts-formula-source"));
    size_add(w, PW_SIZE_VESSEL, "precharge", pw_fact_of("size.precharge"), PW_DIM_PRESSURE, right,
             pw_fact_of("size.precharge-how", size_q(w, PW_DIM_PRESSURE, design->charge_gap_pa.v),
                        size_q(w, PW_DIM_PRESSURE, precharge)),
             pw_fact_of("size.precharge-source"));
    size_add(w, PW_SIZE_VESSEL, "needed volume", pw_fact_of("size.needed-volume"), PW_DIM_VOLUME,
             need < PW_INF ? need / limit : PW_INF, pw_fact_of("size.needed-volume-how", size_n(w, limit)),
             pw_fact_of("size.own-derivation-above"));
    size_check(w, "starts", limit / pw_max(w->vessel_starts_h, 1e-9) - 1.0,
               pw_fact_of("size.check-starts", size_n(w, w->vessel_starts_h), size_n(w, limit)));
    size_check(w, "precharge", (c->on_pa - precharge) / pw_max(c->on_pa, 1.0),
               pw_fact_of("size.check-precharge", size_q(w, PW_DIM_PRESSURE, precharge),
                          size_q(w, PW_DIM_PRESSURE, c->on_pa)));
}

pw_status size_vessel(size_work *w)
{
    cycle c;
    double volume = 0.0;
    double precharge = 0.0;
    const bool cycles = w->plant->cut_in_pa > 0.0 && w->plant->cut_out_pa > w->plant->cut_in_pa;
    if (w->out->kind != PW_SIZE_WITH_VESSEL || !cycles) {
        return PW_OK;
    }
    if (!cycle_of(w, &c, &volume, &precharge)) {
        return PW_NO_SOLUTION;
    }
    put_store(w, &c, volume, precharge);
    put_starts(w, &c, volume, precharge);
    put_effects(w, &c, volume, precharge);
    return PW_OK;
}
