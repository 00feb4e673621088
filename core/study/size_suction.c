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
    size_add(w, PW_SIZE_SUCTION, "lift", pw_fact_of("size.lift"), PW_DIM_LENGTH, lift, pw_fact_of("size.lift-how"),
             pw_fact_of("size.levels"));
    size_add(w, PW_SIZE_SUCTION, "suction velocity", pw_fact_of("size.suction-velocity"), PW_DIM_VELOCITY, velocity,
             pw_fact_of("size.through", size_q(w, PW_DIM_FLOW, flow_m3s), size_q(w, PW_DIM_LENGTH, suction->bore_m.v)),
             pw_fact_of("size.definition"));
    size_add(w, PW_SIZE_SUCTION, "suction loss", pw_fact_of("size.suction-loss"), PW_DIM_LENGTH, loss,
             pw_fact_of("size.suction-loss-how", size_q(w, PW_DIM_LENGTH, suction->length_m.v),
                        pw_truth(suction->foot_valve)),
             pw_fact_of("size.suction-loss-source"));
    size_add(w, PW_SIZE_SUCTION, "largest lift", pw_fact_of("size.largest-lift"), PW_DIM_LENGTH, most,
             pw_fact_of("size.largest-lift-how", size_q(w, PW_DIM_PRESSURE, w->air_pa),
                        size_q(w, PW_DIM_PRESSURE, w->water.vapour_pa), size_h(w, required_m), pw_truth(required_known),
                        size_h(w, suction->margin_m.v)),
             pw_fact_of("size.largest-lift-source"));
    size_check(w, "lift", lift > 0.0 ? most / lift - 1.0 : 1e6,
               pw_fact_of("size.check-lift", size_h(w, lift), size_h(w, most)));
    size_check(w, "suction velocity", suction->velocity_ms.v / pw_max(velocity, 1e-9) - 1.0,
               pw_fact_of("size.check-suction-velocity", size_q(w, PW_DIM_VELOCITY, velocity),
                          size_q(w, PW_DIM_VELOCITY, suction->velocity_ms.v)));
    const double prime = pw_bore_area_m2(suction->bore_m.v) * suction->length_m.v;
    size_add(w, PW_SIZE_SUCTION, "prime", pw_fact_of("size.prime"), PW_DIM_VOLUME, prime,
             suction->foot_valve ? pw_fact_of("size.prime-foot-valve") : pw_fact_of("size.prime-self"),
             pw_fact_of("size.prime-source"));
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
    size_add(w, PW_SIZE_SUCTION, "available", pw_fact_of("size.npsh-available"), PW_DIM_LENGTH, available,
             pw_fact_of("size.npsh-available-how", size_q(w, PW_DIM_PRESSURE, w->air_pa),
                        size_q(w, PW_DIM_PRESSURE, w->water.vapour_pa), size_h(w, over), size_h(w, loss)),
             pw_fact_of("size.npsh-source"));
    size_add(w, PW_SIZE_SUCTION, "required", pw_fact_of("size.npsh-required"), PW_DIM_LENGTH, required,
             known >= 0.0 ? pw_fact_of("size.npsh-by-curve") : pw_fact_of("size.npsh-assumed"),
             known >= 0.0 ? pw_fact_of("size.the-sheet") : pw_fact_of("size.no-source"));
    size_add(w, PW_SIZE_SUCTION, "margin", pw_fact_of("size.npsh-margin"), PW_DIM_LENGTH, available - required,
             pw_fact_of("size.npsh-margin-how"), pw_fact_of("size.definition"));
    size_check(w, "NPSH", (available - required - suction->margin_m.v) / pw_max(required + suction->margin_m.v, 0.5),
               pw_fact_of("size.check-npsh", size_h(w, available), size_h(w, required), pw_truth(known >= 0.0),
                          size_h(w, suction->margin_m.v)));
    if (suction->stand == PW_STAND_SURFACE) {
        put_surface(w, flow, required, known >= 0.0);
    }
    return PW_OK;
}
