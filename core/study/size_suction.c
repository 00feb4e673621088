/* Suction: what NPSH there is, what is required, and how high a pump may stand. */
#include "study/size_inside.h"
#include "formula/atmosphere.h"
#include "formula/friction.h"

/* Losses of the suction pipe of a surface pump: straight pipe, strainer, foot valve, one elbow. */
static double suction_loss_m(const size_work *w, double flow_m3s)
{
    const pw_suction *suction = &w->site->design.suction;
    double loss = 0.0;
    if (suction->stand == PW_STAND_SURFACE) {
        const double k = 0.5 + 3.0 + 0.6 + (suction->foot_valve ? 8.0 : 0.0);
        pw_pipe_loss(suction->bore_m.v, suction->length_m.v, 0.05e-3, k, &w->water, flow_m3s, &loss, NULL);
    }
    return loss;
}

/* Height of the water over the pump's intake (submerged) or eye (surface) in the hard case at a flow. */
static double over_m(const size_work *w, double flow_m3s)
{
    const pw_suction *suction = &w->site->design.suction;
    if (w->source < 0) {
        return 0.0;
    }
    const pw_source *source = &w->site->sources[w->source];
    const double depth = size_water_depth_m(w, SIZE_HARD) + pw_min(size_drawdown_m(w, flow_m3s), 1e3);
    if (source->kind != PW_SOURCE_MAINS && suction->stand == PW_STAND_SUBMERGED) {
        return source->intake_m.v - depth;
    }
    return -depth - suction->height_m.v;
}

static void put_grid(size_work *w, double flow_m3s)
{
    static const double temperatures[PW_SIZE_TEMPERATURES] = {5, 15, 25, 35, 45, 60};
    static const double altitudes[PW_SIZE_ALTITUDES] = {0, 1000, 2000, 3000};
    const double over = over_m(w, flow_m3s);
    const double loss = suction_loss_m(w, flow_m3s);
    for (int32_t t = 0; t < PW_SIZE_TEMPERATURES; t++) {
        pw_water water;
        pw_water_at(temperatures[t], &water);
        w->out->temperatures_c[t] = temperatures[t];
        for (int32_t a = 0; a < PW_SIZE_ALTITUDES; a++) {
            w->out->altitudes_m[a] = altitudes[a];
            w->out->npsh_m[t][a] =
                pw_npsh_available_m(pw_atmosphere_pa(altitudes[a]), water.vapour_pa, water.density_kgm3, over, loss);
        }
    }
}

static void put_surface(size_work *w, double flow_m3s, double required_m, bool required_known)
{
    const pw_suction *suction = &w->site->design.suction;
    const double loss = suction_loss_m(w, flow_m3s);
    const double velocity = flow_m3s / pw_bore_area_m2(suction->bore_m.v);
    const double lift = -over_m(w, flow_m3s);
    const double most =
        pw_largest_lift_m(w->air_pa, w->water.vapour_pa, w->water.density_kgm3, required_m, suction->margin_m.v, loss);
    size_add(w, PW_SIZE_SUCTION, "lift", "Suction lift at the lowest water", PW_DIM_LENGTH, lift,
             "from the water, drawn down, up to the pump", "levels of the sheet");
    size_add(
        w, PW_SIZE_SUCTION, "suction velocity", "Velocity in the suction pipe", PW_DIM_VELOCITY, velocity,
        size_say(w, size_q(w, PW_DIM_FLOW, flow_m3s), " through ", size_q(w, PW_DIM_LENGTH, suction->bore_m.v), NULL),
        "definition");
    size_add(w, PW_SIZE_SUCTION, "suction loss", "Head lost in the suction pipe", PW_DIM_LENGTH, loss,
             size_say(w, size_q(w, PW_DIM_LENGTH, suction->length_m.v), " of pipe, entry 0.5, strainer 3, elbow 0.6",
                      suction->foot_valve ? ", foot valve 8" : "", NULL),
             "Darcy-Weisbach; K of strainer and foot valve common practice");
    size_add(w, PW_SIZE_SUCTION, "largest lift", "Largest lift that still works", PW_DIM_LENGTH, most,
             size_say(w, "(air ", size_q(w, PW_DIM_PRESSURE, w->air_pa), " - vapour ",
                      size_q(w, PW_DIM_PRESSURE, w->water.vapour_pa), ") / (rho g) - ", size_h(w, required_m),
                      required_known ? " required - " : " assumed as required - ", size_h(w, suction->margin_m.v),
                      " margin - the losses", NULL),
             "energy balance; ISO 2533 for the air, IAPWS for the vapour");
    size_check(w, "lift", lift > 0.0 ? most / lift - 1.0 : 1e6,
               size_say(w, "The pump lifts ", size_h(w, lift), " by suction; ", size_h(w, most),
                        " is the most that works here.", NULL));
    size_check(w, "suction velocity", suction->velocity_ms.v / pw_max(velocity, 1e-9) - 1.0,
               size_say(w, "The suction pipe carries ", size_q(w, PW_DIM_VELOCITY, velocity), "; ",
                        size_q(w, PW_DIM_VELOCITY, suction->velocity_ms.v), " is the limit.", NULL));
    const double prime = pw_bore_area_m2(suction->bore_m.v) * suction->length_m.v;
    size_add(w, PW_SIZE_SUCTION, "prime", "Water that primes the suction pipe", PW_DIM_VOLUME, prime,
             suction->foot_valve
                 ? "fill it once through the plug; a leaking foot valve loses it again"
                 : "without a foot valve the pump must be self-priming and lift this air out at each start",
             "bore and length of the sheet");
}

pw_status size_suction(size_work *w)
{
    const pw_suction *suction = &w->site->design.suction;
    const double flow = w->most_flow_m3s;
    const double known = size_machine_npsh_m(&w->machine, flow);
    const double required = known >= 0.0 ? known : suction->unknown_npsh_m.v;
    const double over = over_m(w, flow);
    const double loss = suction_loss_m(w, flow);
    const double available = pw_npsh_available_m(w->air_pa, w->water.vapour_pa, w->water.density_kgm3, over, loss);
    w->out->npsh_required_m = known;
    put_grid(w, flow);
    size_add(w, PW_SIZE_SUCTION, "available", "NPSH available at the duty with most flow", PW_DIM_LENGTH, available,
             size_say(w, "(air ", size_q(w, PW_DIM_PRESSURE, w->air_pa), " - vapour ",
                      size_q(w, PW_DIM_PRESSURE, w->water.vapour_pa), ") / (rho g) + ", size_h(w, over),
                      " of water over the intake - ", size_h(w, loss), " lost", NULL),
             "definition of NPSH; lowest water");
    size_add(w, PW_SIZE_SUCTION, "required", "NPSH required", PW_DIM_LENGTH, required,
             known >= 0.0 ? "the pump's curve at that flow" : "the pump's curve does not say: assumed",
             known >= 0.0 ? "the sheet" : "common practice, no source");
    size_add(w, PW_SIZE_SUCTION, "margin", "NPSH left over", PW_DIM_LENGTH, available - required,
             "available less required", "definition");
    size_check(w, "NPSH", (available - required - suction->margin_m.v) / pw_max(required + suction->margin_m.v, 0.5),
               size_say(w, "The pump has ", size_h(w, available), " of NPSH and needs ", size_h(w, required),
                        known >= 0.0 ? "" : " (assumed)", " and a margin of ", size_h(w, suction->margin_m.v), ".",
                        NULL));
    if (suction->stand == PW_STAND_SURFACE) {
        put_surface(w, flow, required, known >= 0.0);
    }
    return PW_OK;
}
