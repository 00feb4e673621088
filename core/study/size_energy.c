/* Energy of a simulated year of the site as it is. */
#include "study/size_inside.h"

pw_status size_energy(size_work *w)
{
    pw_sizing *out = w->out;
    const pw_design *design = &w->site->design;
    pw_run_options run = {0};
    bool keep[PW_MAX_SENTENCES];
    pw_daybook *daybook = NULL;
    for (int32_t i = 0; i < pw_settings_count(w->plant->settings); i++) {
        keep[i] = !pw_settings_is_watch(w->plant->settings, i); /* a false stop would shorten the year */
    }
    run.length_ms = w->options->length_ms;
    run.seed = w->options->seed;
    run.keep = keep;
    run.cancelled = w->options->cancelled;
    run.user = w->options->user;
    const pw_status status = pw_run(w->arena, w->plant, &run, &daybook, w->problems);
    if (status != PW_OK) {
        return status;
    }
    const pw_totals *t = &daybook->totals;
    out->has_year = true;
    out->year = *t;
    out->year_ms = daybook->length_ms;
    const double year = (double)daybook->length_ms > 0.0 ? 365.0 * 86400e3 / (double)daybook->length_ms : 0.0;
    const double kwh = t->energy_j / 3.6e6;
    const pw_fact from = pw_fact_of("size.year-how", size_q(w, PW_DIM_TIME, (double)daybook->length_ms * 1e-3));
    size_add(w, PW_SIZE_ENERGY, "pumped", pw_fact_of("size.pumped"), PW_DIM_VOLUME, t->pumped_m3 * year, from,
             pw_fact_of("size.simulation"));
    size_add(w, PW_SIZE_ENERGY, "energy", pw_fact_of("size.year-energy"), PW_DIM_ENERGY, t->energy_j * year, from,
             pw_fact_of("size.simulation"));
    size_add_in(w, PW_SIZE_ENERGY, "energy of a cubic metre", pw_fact_of("size.energy-each", pw_in_us_units()),
                "kWh/m3", t->pumped_m3 > 0.0 ? kwh / t->pumped_m3 : PW_INF, pw_fact_of("size.energy-each-how"),
                pw_fact_of("size.simulation"));
    size_add(w, PW_SIZE_ENERGY, "running", pw_fact_of("size.running"), PW_DIM_TIME, t->run_s * year, from,
             pw_fact_of("size.simulation"));
    size_add_in(w, PW_SIZE_ENERGY, "starts", pw_fact_of("size.starts"), "starts", (double)t->starts * year, from,
                pw_fact_of("size.simulation"));
    size_add(w, PW_SIZE_ENERGY, "most starts", pw_fact_of("size.starts-hour"), PW_DIM_RATE,
             (double)t->most_starts_in_hour, pw_fact_of("size.counted"), pw_fact_of("size.simulation"));
    size_add(w, PW_SIZE_ENERGY, "winding", pw_fact_of("size.warmest"), PW_DIM_TEMPERATURE, t->winding_max_c,
             pw_fact_of("size.replica-at-work"), pw_fact_of("size.simulation"));
    if (design->energy_price.v > 0.0) {
        size_add_in(w, PW_SIZE_ENERGY, "cost", pw_fact_of("size.cost"), size_money(w),
                    kwh * year * design->energy_price.v,
                    pw_fact_of("size.cost-how", size_n(w, kwh * year), size_n(w, design->energy_price.v),
                               pw_named(design->currency)),
                    pw_fact_of("size.cost-source"));
    }
    return PW_OK;
}
