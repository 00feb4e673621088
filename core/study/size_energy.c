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
    const char *from = size_say(w, "simulation of ", size_q(w, PW_DIM_TIME, (double)daybook->length_ms * 1e-3),
                                ", watches left out, brought to 365 days", NULL);
    size_add(w, PW_SIZE_ENERGY, "pumped", "Pumped in a year", PW_DIM_VOLUME, t->pumped_m3 * year, from,
             "the simulation");
    size_add(w, PW_SIZE_ENERGY, "energy", "Energy in a year", PW_DIM_ENERGY, t->energy_j * year, from,
             "the simulation");
    size_add_in(w, PW_SIZE_ENERGY, "energy of a cubic metre",
                w->options->units.us ? "Energy for each 1,000 gal" : "Energy for each m3", "kWh/m3",
                t->pumped_m3 > 0.0 ? kwh / t->pumped_m3 : PW_INF, "energy over water pumped, starts included",
                "the simulation");
    size_add(w, PW_SIZE_ENERGY, "running", "Running time in a year", PW_DIM_TIME, t->run_s * year, from,
             "the simulation");
    size_add_in(w, PW_SIZE_ENERGY, "starts", "Starts in a year", "starts", (double)t->starts * year, from,
                "the simulation");
    size_add(w, PW_SIZE_ENERGY, "most starts", "Most starts in one hour of it", PW_DIM_RATE,
             (double)t->most_starts_in_hour, "counted", "the simulation");
    size_add(w, PW_SIZE_ENERGY, "winding", "Warmest winding of the year", PW_DIM_TEMPERATURE, t->winding_max_c,
             "thermal replica at work", "the simulation");
    if (design->energy_price.v > 0.0) {
        size_add_in(w, PW_SIZE_ENERGY, "cost", "Cost of the energy in a year", size_money(w),
                    kwh * year * design->energy_price.v,
                    size_say(w, size_n(w, kwh * year), " kWh x ", size_n(w, design->energy_price.v), " ", size_money(w),
                             " per kWh", NULL),
                    "the sheet's price");
    }
    return PW_OK;
}
