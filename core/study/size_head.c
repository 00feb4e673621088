/* Levels and lengths to the design head, and the curves of the system. */
#include "study/size_inside.h"
#include "formula/bore.h"

static void put_levels(size_work *w)
{
    const pw_site *site = w->site;
    const pw_pump *pump = &site->pumps[w->out->pump];
    const double depth = size_water_depth_m(w, SIZE_USUAL);
    const double low = size_water_depth_m(w, SIZE_HARD);
    const double source_level =
        w->source >= 0 ? site->places[site->sources[w->source].place].level_m.v : site->places[pump->from].level_m.v;
    const double lift = w->store_level_m - source_level + depth;
    size_add(w, PW_SIZE_HEAD, "static lift", pw_fact_of("size.static-lift"), PW_DIM_LENGTH, lift,
             pw_fact_of("size.static-lift-how", pw_named(w->store_name), size_h(w, w->store_level_m),
                        size_h(w, source_level - depth)),
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
             PW_DIM_PRESSURE, w->need_pa, pw_fact_of("size.need-how"), pw_fact_of("size.docs-network"));
    if (w->plant->cut_in_pa > 0.0) {
        size_add(w, PW_SIZE_HEAD, "cut-in", pw_fact_of("size.cut-in"), PW_DIM_PRESSURE, w->plant->cut_in_pa,
                 w->plant->cut_in_pa >= w->need_pa ? pw_fact_of("size.cut-in-above") : pw_fact_of("size.cut-in-below"),
                 pw_fact_of("size.the-settings"));
        size_check(w, "cut-in", (w->plant->cut_in_pa - w->need_pa) / pw_max(w->need_pa, 1e4),
                   pw_fact_of("size.check-cut-in", size_q(w, PW_DIM_PRESSURE, w->plant->cut_in_pa),
                              size_q(w, PW_DIM_PRESSURE, w->need_pa)));
    }
}

/* "22 m up + 3.78 m of drawdown + 25.5 m for 250 kPa + 0.79 m of friction" */
static pw_fact sum_of(size_work *w, size_case which, double head_m, double flow_m3s, double pressure_pa)
{
    const char *rest = which == SIZE_HARD ? "size.hard-conditions" : "size.usual-conditions";
    const double drawdown_m = size_drawdown_m(w, flow_m3s);
    if (w->out->kind == PW_SIZE_DIRECT || head_m >= PW_INF || drawdown_m >= PW_INF) {
        return pw_fact_of("size.system-at", size_q(w, PW_DIM_FLOW, flow_m3s), pw_word(rest));
    }
    const pw_site *site = w->site;
    const int32_t from = site->pumps[w->out->pump].from;
    const double source_m =
        w->source >= 0 ? site->places[site->sources[w->source].place].level_m.v : site->places[from].level_m.v;
    const double up_m = w->store_level_m - source_m + size_water_depth_m(w, which);
    const double push_m = w->out->kind == PW_SIZE_WITH_VESSEL ? pressure_pa / w->pa_per_m : 0.0;
    const double friction_m = head_m - up_m - push_m - drawdown_m;
    const pw_fact sum = pw_fact_of("size.head-sum", size_h(w, up_m), pw_truth(drawdown_m > 0.0), size_h(w, drawdown_m),
                                   pw_truth(push_m > 0.0), size_h(w, push_m), size_q(w, PW_DIM_PRESSURE, pressure_pa),
                                   size_h(w, friction_m), size_q(w, PW_DIM_FLOW, flow_m3s));
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
    double usual = 0.0;
    double hard = 0.0;
    double still = 0.0;
    const double flow = out->design_flow_m3s;
    const double pressure = pw_max(size_low_pa(w), out->kind == PW_SIZE_WITH_VESSEL ? w->need_pa : 0.0);
    put_levels(w);
    put_need(w);
    pw_status status = size_system_head(w, SIZE_USUAL, flow, pressure, &usual);
    status = status == PW_OK ? size_system_head(w, SIZE_HARD, flow, pressure, &hard) : status;
    status = status == PW_OK ? size_system_head(w, SIZE_USUAL, 1e-9, pressure, &still) : status;
    if (status != PW_OK) {
        return status;
    }
    const double friction = usual >= PW_INF ? PW_INF : pw_max(usual - still - size_drawdown_m(w, flow), 0.0);
    if (out->kind != PW_SIZE_DIRECT) {
        size_add(w, PW_SIZE_HEAD, "friction", pw_fact_of("size.friction"), PW_DIM_LENGTH, friction,
                 pw_fact_of("size.friction-how"), pw_fact_of("size.darcy"));
    }
    size_add(w, PW_SIZE_HEAD, "usual head", pw_fact_of("size.usual-head"), PW_DIM_LENGTH, usual,
             sum_of(w, SIZE_USUAL, usual, flow, pressure), pw_fact_of("size.docs-network"));
    out->design_head_m = hard;
    size_add(w, PW_SIZE_HEAD, "design head", pw_fact_of("size.design-head"), PW_DIM_LENGTH, hard,
             sum_of(w, SIZE_HARD, hard, flow, pressure), pw_fact_of("size.docs-network"));
    check_source(w);
    return PW_OK;
}
