/* Sizing from front to end. */
#include "study/size.h"

#include <string.h>

#include "study/size_inside.h"
#include "formula/atmosphere.h"

pw_status size_all(size_work *w)
{
    static pw_status (*const parts[])(size_work *) = {size_demand,  size_lines,      size_head,   size_duty,
                                                      size_suction, size_standstill, size_vessel, size_electric};
    w->air_pa = pw_atmosphere_pa(w->site->altitude_m.v);
    pw_status status = size_reach(w);
    const double barometer_m = pw_npsh_available_m(w->air_pa, w->water.vapour_pa, w->water.density_kgm3, 0.0, 0.0);
    if (status == PW_OK && !size_machine_of(&w->site->pumps[w->out->pump], w->pa_per_m, barometer_m, &w->machine)) {
        return pw_problem_tell(w->problems, PW_CONFLICT, "site.pumps", pw_verbatim(w->site->pumps[w->out->pump].name),
                               pw_fact_of("size.curve-with-power"), pw_no_fact());
    }
    if (w->out->kind == PW_SIZE_WITH_VESSEL && !(w->plant->cut_in_pa > 0.0)) {
        status = pw_problem_tell(w->problems, PW_MISSING, "site.settings", pw_fact_of("size.no-cut-in-sentence"),
                                 pw_fact_of("size.cut-in-for-vessel"),
                                 pw_fact_of("input.for-instance", pw_named("start when pressure below 250 kPa")));
    }
    for (int32_t i = 0; i < (int32_t)(sizeof parts / sizeof parts[0]) && status == PW_OK; i++) {
        status = parts[i](w);
    }
    return status == PW_OK && w->failed ? PW_MEMORY : status;
}

pw_status pw_size(pw_arena *arena, const pw_plant *plant, const pw_size_options *options, pw_sizing **out,
                  pw_problems *problems)
{
    *out = NULL;
    size_work *w = PW_NEW(arena, 1, size_work);
    pw_sizing *sizing = PW_NEW(arena, 1, pw_sizing);
    pw_site *site = PW_NEW(arena, 1, pw_site);
    size_draws *draws = PW_NEW(arena, 1, size_draws);
    if (w == NULL || sizing == NULL || site == NULL || draws == NULL) {
        return PW_MEMORY;
    }
    *site = *plant->site;
    w->arena = arena;
    w->plant = plant;
    w->site = site;
    w->options = options;
    w->problems = problems;
    w->out = sizing;
    w->draws = draws;
    w->demand_factor = 1.0;
    sizing->site = plant->site;
    sizing->pump = options->pump;
    sizing->cut_in_pa = plant->cut_in_pa;
    sizing->cut_out_pa = plant->cut_out_pa;
    pw_status status = size_reach(w);
    status = status == PW_OK ? size_draws_of(w, draws) : status;
    status = status == PW_OK ? size_all(w) : status;
    if (status == PW_OK && options->length_ms > 0) {
        status = size_energy(w);
    }
    if (status == PW_OK && options->sense) {
        status = size_sense(w);
    }
    if (status == PW_OK) {
        size_weakest(w);
        *out = sizing;
    }
    return status == PW_OK && w->failed ? PW_MEMORY : status;
}

static bool alike(const pw_pump *a, const pw_pump *b)
{
    pw_pump renamed = *b;
    memcpy(renamed.name, a->name, sizeof renamed.name);
    return memcmp(a, &renamed, sizeof renamed) == 0;
}

pw_status pw_size_each(pw_arena *arena, const pw_plant *plant, const pw_size_options *options, pw_sizings *out,
                       pw_problems *problems)
{
    const pw_site *site = plant->site;
    pw_size_options one = *options;
    pw_status status = PW_OK;
    memset(out, 0, sizeof *out);
    for (int32_t p = 0; p < site->pump_count && status == PW_OK; p++) {
        out->like[p] = -1;
        for (int32_t before = 0; before < p && options->pump < 0; before++) {
            out->like[p] = alike(&site->pumps[p], &site->pumps[before]) ? out->like[before] : out->like[p];
        }
        if (out->like[p] >= 0 || (options->pump >= 0 && options->pump != p)) {
            continue;
        }
        one.pump = p;
        one.length_ms = out->count == 0 ? options->length_ms : 0;
        status = pw_size(arena, plant, &one, &out->of[out->count], problems);
        out->like[p] = out->count;
        out->count++;
    }
    return status;
}
