/* Suction: what NPSH there is, what is required, and how high a pump may stand. Asked of the model, as a simulation
 * does (pw_model_suction), with the water at its lowest and drawn down. */
#include "study/size_inside.h"
#include "formula/atmosphere.h"
#include "formula/friction.h"

/* A margin is told as a part of no less than this (own choice). */
#define SMALL_NPSH_M 0.5

/* Of the pump in the hard case; the law is the model's. */
static pw_status figure_of(size_work *w, double flow_m3s, pw_suction_figure *out, pw_suction_law *law)
{
    const size_t mark = pw_arena_mark(w->arena);
    pw_site *site = size_site_of(w, SIZE_HARD);
    pw_model *model = NULL;
    pw_condition condition;
    if (site == NULL) {
        return PW_MEMORY;
    }
    const pw_status status = pw_model_build(w->arena, site, true, &model, w->problems);
    if (status == PW_OK) {
        const double below_m = pw_min(size_drawdown_m(w, flow_m3s), 1e3);
        const double water_m = pw_model_water_head_m(model, w->out->pump, below_m);
        *law = *pw_model_suction_law(model, w->out->pump);
        pw_condition_healthy(model, &condition);
        pw_model_suction(model, &condition, w->out->pump, flow_m3s, water_m < PW_INF ? water_m : law->eye_m, out);
    }
    pw_arena_back(w->arena, mark);
    return status;
}

static void put_grid(size_work *w, double over, double loss)
{
    static const double temperatures[PW_SIZE_TEMPERATURES] = {5, 15, 25, 35, 45, 60};
    static const double altitudes[PW_SIZE_ALTITUDES] = {0, 1000, 2000, 3000};
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

static void put_own_pipe(size_work *w, double flow_m3s, const pw_suction_law *law, double loss)
{
    const pw_suction *suction = &w->site->design.suction;
    const double velocity = flow_m3s / pw_bore_area_m2(law->bore_m);
    size_add(w, PW_SIZE_SUCTION, "suction velocity", pw_fact_of("size.suction-velocity"), PW_DIM_VELOCITY, velocity,
             pw_fact_of("size.through", size_q(w, PW_DIM_FLOW, flow_m3s), size_q(w, PW_DIM_LENGTH, law->bore_m)),
             pw_fact_of("size.definition"));
    size_add(
        w, PW_SIZE_SUCTION, "suction loss", pw_fact_of("size.suction-loss"), PW_DIM_LENGTH, loss,
        pw_fact_of("size.suction-loss-how", size_q(w, PW_DIM_LENGTH, law->pipe.length_m), pw_truth(law->foot_valve)),
        pw_fact_of("size.suction-loss-source"));
    size_check(w, "suction velocity", suction->velocity_ms.v / pw_max(velocity, 1e-9) - 1.0,
               pw_fact_of("size.check-suction-velocity", size_q(w, PW_DIM_VELOCITY, velocity),
                          size_q(w, PW_DIM_VELOCITY, suction->velocity_ms.v)));
    const double prime = pw_bore_area_m2(law->bore_m) * law->pipe.length_m;
    size_add(w, PW_SIZE_SUCTION, "prime", pw_fact_of("size.prime"), PW_DIM_VOLUME, prime,
             law->foot_valve ? pw_fact_of("size.prime-foot-valve") : pw_fact_of("size.prime-self"),
             pw_fact_of("size.prime-source"));
}

static void put_surface(size_work *w, double flow_m3s, const pw_suction_law *law, const pw_suction_figure *at)
{
    const pw_suction *suction = &w->site->design.suction;
    const double loss = at->loss_m;
    const double required_m = at->required_m;
    const bool required_known = !at->assumed;
    const double lift = -at->over_m;
    const double most =
        pw_largest_lift_m(w->air_pa, w->water.vapour_pa, w->water.density_kgm3, required_m, suction->margin_m.v, loss);
    size_add(w, PW_SIZE_SUCTION, "lift", pw_fact_of("size.lift"), PW_DIM_LENGTH, lift, pw_fact_of("size.lift-how"),
             pw_fact_of("size.levels"));
    if (law->own_pipe) {
        put_own_pipe(w, flow_m3s, law, loss);
    }
    size_add(w, PW_SIZE_SUCTION, "largest lift", pw_fact_of("size.largest-lift"), PW_DIM_LENGTH, most,
             pw_fact_of("size.largest-lift-how", size_q(w, PW_DIM_PRESSURE, w->air_pa),
                        size_q(w, PW_DIM_PRESSURE, w->water.vapour_pa), size_h(w, required_m), pw_truth(required_known),
                        size_h(w, suction->margin_m.v)),
             pw_fact_of("size.largest-lift-source"));
    size_check(w, "lift", lift > 0.0 ? most / lift - 1.0 : 1e6,
               pw_fact_of("size.check-lift", size_h(w, lift), size_h(w, most)));
}

pw_status size_suction(size_work *w)
{
    const pw_suction *suction = &w->site->design.suction;
    const double flow = w->most_flow_m3s;
    pw_suction_figure at;
    pw_suction_law law;
    const pw_status status = figure_of(w, flow, &at, &law);
    if (status != PW_OK) {
        return status;
    }
    const double known = at.assumed ? -1.0 : at.required_m;
    const double required = at.required_m;
    const double over = at.over_m;
    const double loss = at.loss_m;
    const double available = at.available_m;
    w->out->npsh_required_m = known;
    put_grid(w, over, loss);
    size_add(w, PW_SIZE_SUCTION, "available", pw_fact_of("size.npsh-available"), PW_DIM_LENGTH, available,
             pw_fact_of("size.npsh-available-how", size_q(w, PW_DIM_PRESSURE, w->air_pa),
                        size_q(w, PW_DIM_PRESSURE, w->water.vapour_pa), size_h(w, over), size_h(w, loss)),
             pw_fact_of("size.npsh-source"));
    size_add(w, PW_SIZE_SUCTION, "required", pw_fact_of("size.npsh-required"), PW_DIM_LENGTH, required,
             known >= 0.0 ? pw_fact_of("size.npsh-by-curve") : pw_fact_of("size.npsh-assumed"),
             known >= 0.0 ? pw_fact_of("size.the-sheet") : pw_fact_of("size.no-source"));
    size_add(w, PW_SIZE_SUCTION, "margin", pw_fact_of("size.npsh-margin"), PW_DIM_LENGTH, available - required,
             pw_fact_of("size.npsh-margin-how"), pw_fact_of("size.definition"));
    size_check(w, "NPSH",
               (available - required - suction->margin_m.v) / pw_max(required + suction->margin_m.v, SMALL_NPSH_M),
               pw_fact_of("size.check-npsh", size_h(w, available), size_h(w, required), pw_truth(known >= 0.0),
                          size_h(w, suction->margin_m.v)));
    if (law.own_pipe || law.lifts) {
        put_surface(w, flow, &law, &at);
    }
    return PW_OK;
}
