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
    size_add(w, PW_SIZE_HEAD, "static lift", "Static lift, water as stated", PW_DIM_LENGTH, lift,
             size_say(w, w->store_name, " at ", size_h(w, w->store_level_m), ", water at ",
                      size_h(w, source_level - depth), NULL),
             "levels of the sheet");
    size_add(w, PW_SIZE_HEAD, "season", "More static lift at the lowest water", PW_DIM_LENGTH, low - depth,
             "lowest standing level less the stated one, kept above the intake", "the sheet, or its default");
    size_add(w, PW_SIZE_HEAD, "drawdown", "Drawdown at the design flow", PW_DIM_LENGTH,
             size_drawdown_m(w, w->out->design_flow_m3s),
             w->source >= 0 && site->sources[w->source].kind == PW_SOURCE_BORE
                 ? size_say(w, size_q(w, PW_DIM_FLOW, w->out->design_flow_m3s), " / ",
                            size_q(w, PW_DIM_SPECIFIC_CAPACITY, site->sources[w->source].capacity_m2s.v),
                            ", more from nine tenths of the yield on, ",
                            size_q(w, PW_DIM_FLOW, site->sources[w->source].yield_m3s.v), NULL)
                 : "no bore",
             "docs/water.md, Bores");
}

static void put_need(size_work *w)
{
    const pw_sizing *out = w->out;
    if (out->kind == PW_SIZE_WITH_TANK) {
        return;
    }
    size_add(w, PW_SIZE_HEAD, "needed pressure",
             w->out->kind == PW_SIZE_WITH_VESSEL ? "Pressure at the vessel that serves every outlet"
                                                 : "Pressure at the pump that serves every outlet",
             PW_DIM_PRESSURE, w->need_pa,
             "highest over the outlets of: level difference, friction with aged pipes at their design flows, and what "
             "the outlet needs",
             "the network of docs/water.md");
    if (w->plant->cut_in_pa > 0.0) {
        size_add(w, PW_SIZE_HEAD, "cut-in", "Cut-in of the order", PW_DIM_PRESSURE, w->plant->cut_in_pa,
                 w->plant->cut_in_pa >= w->need_pa
                     ? "above what the outlets need: they are served down to the start"
                     : "below what the outlets need: pressure is short before the pump starts",
                 "the order");
        size_check(w, "cut-in", (w->plant->cut_in_pa - w->need_pa) / pw_max(w->need_pa, 1e4),
                   size_say(w, "The pump starts at ", size_q(w, PW_DIM_PRESSURE, w->plant->cut_in_pa),
                            " and the outlets need ", size_q(w, PW_DIM_PRESSURE, w->need_pa),
                            " there at their design flows.", NULL));
    }
}

/* "22 m up + 3.78 m of drawdown + 25.5 m for 250 kPa + 0.79 m of friction" */
static const char *sum_of(size_work *w, size_case which, double head_m, double flow_m3s, double pressure_pa)
{
    const char *rest = which == SIZE_HARD ? ", pipes aged, water at its lowest" : ", pipes new, water as stated";
    const double drawdown_m = size_drawdown_m(w, flow_m3s);
    if (w->out->kind == PW_SIZE_DIRECT || head_m >= PW_INF || drawdown_m >= PW_INF) {
        return size_say(w, "system at ", size_q(w, PW_DIM_FLOW, flow_m3s), rest, NULL);
    }
    const pw_site *site = w->site;
    const int32_t from = site->pumps[w->out->pump].from;
    const double source_m =
        w->source >= 0 ? site->places[site->sources[w->source].place].level_m.v : site->places[from].level_m.v;
    const double up_m = w->store_level_m - source_m + size_water_depth_m(w, which);
    const double push_m = w->out->kind == PW_SIZE_WITH_VESSEL ? pressure_pa / w->pa_per_m : 0.0;
    const double friction_m = head_m - up_m - push_m - drawdown_m;
    return size_say(w, size_h(w, up_m), " up + ", drawdown_m > 0.0 ? size_h(w, drawdown_m) : "",
                    drawdown_m > 0.0 ? " of drawdown + " : "", push_m > 0.0 ? size_h(w, push_m) : "",
                    push_m > 0.0 ? " for " : "", push_m > 0.0 ? size_q(w, PW_DIM_PRESSURE, pressure_pa) : "",
                    push_m > 0.0 ? " + " : "", size_h(w, friction_m), " of friction, at ",
                    size_q(w, PW_DIM_FLOW, flow_m3s), rest, NULL);
}

static void check_source(size_work *w)
{
    if (w->source < 0 || w->site->sources[w->source].kind != PW_SOURCE_BORE) {
        return;
    }
    const pw_source *source = &w->site->sources[w->source];
    const double flow = w->out->design_flow_m3s;
    const double mean = w->out->daily_m3 / w->site->design.pumping_s.v;
    size_check(w, "yield", source->yield_m3s.v / flow - 1.0,
               size_say(w, "The source yields ", size_q(w, PW_DIM_FLOW, source->yield_m3s.v),
                        " and the design flow is ", size_q(w, PW_DIM_FLOW, flow), ".", NULL));
    size_check(w, "daily yield", source->yield_m3s.v / pw_max(mean, 1e-9) - 1.0,
               size_say(w, "The source yields ", size_q(w, PW_DIM_FLOW, source->yield_m3s.v),
                        " and the day's water takes ", size_q(w, PW_DIM_FLOW, mean), " over the pumping time.", NULL));
    const double depth = size_water_depth_m(w, SIZE_HARD);
    const double drawdown = size_drawdown_m(w, flow);
    size_check(w, "drawdown", drawdown > 0.0 ? pw_intake_room_m(source->intake_m.v, depth) / drawdown - 1.0 : 1e6,
               size_say(w, "At the design flow and the lowest water the bore is drawn down by ", size_h(w, drawdown),
                        " of the ", size_h(w, source->intake_m.v - depth), " over the intake.", NULL));
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
        size_add(w, PW_SIZE_HEAD, "friction", "Friction between source and store at the design flow", PW_DIM_LENGTH,
                 friction, "system head at the design flow less that at rest and the drawdown",
                 "Darcy-Weisbach, docs/water.md");
    }
    size_add(w, PW_SIZE_HEAD, "usual head", "Head with new pipes and the stated water level", PW_DIM_LENGTH, usual,
             sum_of(w, SIZE_USUAL, usual, flow, pressure), "the network of docs/water.md");
    out->design_head_m = hard;
    size_add(w, PW_SIZE_HEAD, "design head", "Design head: aged pipes, lowest water", PW_DIM_LENGTH, hard,
             sum_of(w, SIZE_HARD, hard, flow, pressure), "the network of docs/water.md");
    check_source(w);
    return PW_OK;
}
