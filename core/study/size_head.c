/* Levels and lengths to the design head, and the curves of the system. */
#include "study/size_inside.h"
#include "formula/bore.h"

/* From the water at rest to the store. */
static double lift_m(const size_work *w, size_case which)
{
    const pw_site *site = w->site;
    const int32_t from = site->pumps[w->out->pump].from;
    const double source_m =
        w->source >= 0 ? site->places[site->sources[w->source].place].level_m.v : site->places[from].level_m.v;
    return w->store_level_m - source_m + size_water_depth_m(w, which);
}

static void put_levels(size_work *w)
{
    const pw_site *site = w->site;
    const double depth = size_water_depth_m(w, SIZE_USUAL);
    const double low = size_water_depth_m(w, SIZE_HARD);
    const double lift = lift_m(w, SIZE_USUAL);
    size_add(w, PW_SIZE_HEAD, "static lift", pw_fact_of("size.static-lift"), PW_DIM_LENGTH, lift,
             pw_fact_of("size.static-lift-how", pw_named(w->store_name), size_h(w, w->store_level_m),
                        size_h(w, w->store_level_m - lift)),
             pw_fact_of("size.levels"));
    size_add(w, PW_SIZE_HEAD, "season", pw_fact_of("size.season"), PW_DIM_LENGTH, low - depth,
             pw_fact_of("size.season-how"), pw_fact_of("size.season-source"));
    size_add(w, PW_SIZE_HEAD, "drawdown", pw_fact_of("size.drawdown-design"), PW_DIM_LENGTH,
             size_drawdown_m(w, w->out->design_flow_m3s),
             w->source >= 0 && site->sources[w->source].kind == PW_SOURCE_BORE
                 ? pw_fact_of("size.drawdown-design-how", size_q(w, PW_DIM_FLOW, w->out->design_flow_m3s),
                              size_q(w, PW_DIM_SPECIFIC_CAPACITY, site->sources[w->source].capacity_m2s.v),
                              size_q(w, PW_DIM_FLOW, site->sources[w->source].yield_m3s.v))
                 : pw_fact_of("size.no-bore"),
             pw_fact_of("size.docs-bores"));
}

static void put_need(size_work *w)
{
    const pw_sizing *out = w->out;
    if (out->kind == PW_SIZE_WITH_TANK) {
        return;
    }
    size_add(w, PW_SIZE_HEAD, "needed pressure",
             w->out->kind == PW_SIZE_WITH_VESSEL ? pw_fact_of("size.need-at-vessel") : pw_fact_of("size.need-at-pump"),
             PW_DIM_PRESSURE, w->need_pa,
             w->need_by_ground ? pw_fact_of("size.need-over-ground") : pw_fact_of("size.need-how"),
             pw_fact_of("size.docs-network"));
    if (w->plant->cut_in_pa > 0.0) {
        size_add(w, PW_SIZE_HEAD, "cut-in", pw_fact_of("size.cut-in"), PW_DIM_PRESSURE, w->plant->cut_in_pa,
                 w->plant->cut_in_pa >= w->need_pa ? pw_fact_of("size.cut-in-above") : pw_fact_of("size.cut-in-below"),
                 pw_fact_of("size.the-settings"));
        size_check(w, "cut-in", (w->plant->cut_in_pa - w->need_pa) / pw_max(w->need_pa, 1e4),
                   pw_fact_of(w->need_by_ground ? "size.check-cut-in-ground" : "size.check-cut-in",
                              size_q(w, PW_DIM_PRESSURE, w->plant->cut_in_pa), size_q(w, PW_DIM_PRESSURE, w->need_pa)));
    }
}

enum { FILL_PARTS = 8 }; /* flows up to the design flow at which the way over a high point is looked at */
#define LEAST_RISE_M 0.05

/* Head that the network asks for, and where air stood in it. */
typedef struct asked {
    size_case which;
    double flow_m3s, pressure_pa, head_m, summit_m;
    int32_t summit; /* -1: none */
} asked;

static pw_status ask(size_work *w, size_case which, double flow_m3s, double pressure_pa, asked *out)
{
    *out = (asked){.which = which, .flow_m3s = flow_m3s, .pressure_pa = pressure_pa};
    const pw_status status = size_system_head(w, which, flow_m3s, pressure_pa, &out->head_m);
    out->summit = w->summit;
    out->summit_m = w->summit_m;
    return status;
}

static double push_m(const size_work *w, const asked *at)
{
    return w->out->kind == PW_SIZE_WITH_VESSEL ? at->pressure_pa / w->pa_per_m : 0.0;
}

/* Air at a high point: water is lifted over that, not only to the store. */
static double over_m(const size_work *w, const asked *at)
{
    return at->summit >= 0 ? pw_max(at->summit_m - w->store_level_m - push_m(w, at), 0.0) : 0.0;
}

/* The most head on the way from rest to the design flow: while a pipe fills behind a high point, water has to be lifted
 * over that in full; once it flows fast enough to carry the air away, a siphon gives some of it back. */
static pw_status fill_head(size_work *w, const asked *running, asked *out)
{
    pw_status status = ask(w, SIZE_HARD, 1e-9, running->pressure_pa, out);
    for (int32_t i = 1; i < FILL_PARTS && status == PW_OK && out->summit >= 0; i++) {
        asked at;
        status = ask(w, SIZE_HARD, running->flow_m3s * i / FILL_PARTS, running->pressure_pa, &at);
        out->head_m = at.head_m < PW_INF ? pw_max(out->head_m, at.head_m) : out->head_m;
    }
    out->head_m = pw_max(out->head_m, running->head_m);
    return status;
}

static pw_value summit_named(size_work *w, int32_t spot)
{
    const pw_value name = pw_named(pw_spot_name(w->site, spot));
    return spot < PW_MAX_PLACES ? name : size_nested(w, pw_fact_of("size.high-point-of", name));
}

/* What a high point asks for, and what the pump can lift with nothing flowing. */
static void put_fill(size_work *w, const asked *running, const asked *fill)
{
    if (fill->summit < 0 || fill->head_m >= PW_INF) {
        return;
    }
    const pw_value name = summit_named(w, fill->summit);
    const pw_value level = size_h(w, fill->summit_m);
    const double shut_off = size_machine_head(&w->machine, 0.0);
    size_add(w, PW_SIZE_HEAD, "fill head", pw_fact_of("size.fill-head", name), PW_DIM_LENGTH, fill->head_m,
             pw_fact_of("size.fill-head-how", name, level), pw_fact_of("size.fill-head-source"));
    if (running->head_m < fill->head_m - LEAST_RISE_M) {
        size_add(w, PW_SIZE_HEAD, "running head", pw_fact_of("size.running-head"), PW_DIM_LENGTH, running->head_m,
                 pw_fact_of("size.running-siphon", size_h(w, fill->head_m - running->head_m)),
                 pw_fact_of("size.docs-network"));
    }
    size_check(w, "high point", shut_off / pw_max(fill->head_m, 1e-3) - 1.0,
               pw_fact_of("size.check-high-point", size_h(w, shut_off), name, level, size_h(w, fill->head_m)));
}

/* "22 m up + 3.78 m of drawdown + 25.5 m for 250 kPa + 0.79 m of friction" */
static pw_fact sum_of(size_work *w, const asked *at)
{
    const char *rest = at->which == SIZE_HARD ? "size.hard-conditions" : "size.usual-conditions";
    const double drawdown_m = size_drawdown_m(w, at->flow_m3s);
    if (w->out->kind == PW_SIZE_DIRECT || at->head_m >= PW_INF || drawdown_m >= PW_INF) {
        return pw_fact_of("size.system-at", size_q(w, PW_DIM_FLOW, at->flow_m3s), pw_word(rest));
    }
    const double up_m = lift_m(w, at->which) + over_m(w, at);
    const double pushed_m = push_m(w, at);
    const double friction_m = at->head_m - up_m - pushed_m - drawdown_m;
    const pw_fact sum =
        pw_fact_of("size.head-sum", size_h(w, up_m), pw_truth(drawdown_m > 0.0), size_h(w, drawdown_m),
                   pw_truth(pushed_m > 0.0), size_h(w, pushed_m), size_q(w, PW_DIM_PRESSURE, at->pressure_pa),
                   size_h(w, friction_m), size_q(w, PW_DIM_FLOW, at->flow_m3s));
    return pw_fact_of("size.with-conditions", size_nested(w, sum), pw_word(rest));
}

static void check_source(size_work *w)
{
    if (w->source < 0 || w->site->sources[w->source].kind != PW_SOURCE_BORE) {
        return;
    }
    const pw_source *source = &w->site->sources[w->source];
    const double flow = w->out->design_flow_m3s;
    const double mean = w->out->daily_m3 / w->site->design.pumping_s.v;
    size_check(
        w, "yield", source->yield_m3s.v / flow - 1.0,
        pw_fact_of("size.check-yield", size_q(w, PW_DIM_FLOW, source->yield_m3s.v), size_q(w, PW_DIM_FLOW, flow)));
    size_check(w, "daily yield", source->yield_m3s.v / pw_max(mean, 1e-9) - 1.0,
               pw_fact_of("size.check-daily-yield", size_q(w, PW_DIM_FLOW, source->yield_m3s.v),
                          size_q(w, PW_DIM_FLOW, mean)));
    const double depth = size_water_depth_m(w, SIZE_HARD);
    const double drawdown = size_drawdown_m(w, flow);
    size_check(w, "drawdown", drawdown > 0.0 ? pw_intake_room_m(source->intake_m.v, depth) / drawdown - 1.0 : 1e6,
               pw_fact_of("size.check-drawdown", size_h(w, drawdown), size_h(w, source->intake_m.v - depth)));
}

pw_status size_head(size_work *w)
{
    pw_sizing *out = w->out;
    asked usual;
    asked hard;
    asked fill;
    const double flow = out->design_flow_m3s;
    const double pressure = pw_max(size_low_pa(w), out->kind == PW_SIZE_WITH_VESSEL ? w->need_pa : 0.0);
    put_levels(w);
    put_need(w);
    pw_status status = ask(w, SIZE_USUAL, flow, pressure, &usual);
    status = status == PW_OK ? ask(w, SIZE_HARD, flow, pressure, &hard) : status;
    status = status == PW_OK ? fill_head(w, &hard, &fill) : status;
    if (status != PW_OK) {
        return status;
    }
    if (out->kind != PW_SIZE_DIRECT) {
        const double rest = lift_m(w, SIZE_USUAL) + push_m(w, &usual) + over_m(w, &usual);
        const double friction =
            usual.head_m >= PW_INF ? PW_INF : pw_max(usual.head_m - rest - size_drawdown_m(w, flow), 0.0);
        size_add(w, PW_SIZE_HEAD, "friction", pw_fact_of("size.friction"), PW_DIM_LENGTH, friction,
                 pw_fact_of("size.friction-how"), pw_fact_of("size.darcy"));
    }
    size_add(w, PW_SIZE_HEAD, "usual head", pw_fact_of("size.usual-head"), PW_DIM_LENGTH, usual.head_m,
             sum_of(w, &usual), pw_fact_of("size.docs-network"));
    put_fill(w, &hard, &fill);
    out->design_head_m = fill.head_m;
    size_add(w, PW_SIZE_HEAD, "design head", pw_fact_of("size.design-head"), PW_DIM_LENGTH, fill.head_m,
             fill.summit >= 0 && fill.head_m > hard.head_m + LEAST_RISE_M ? pw_fact_of("size.fill-is-more")
                                                                          : sum_of(w, &hard),
             pw_fact_of("size.docs-network"));
    check_source(w);
    return PW_OK;
}
