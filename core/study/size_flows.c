/* Flows of all lines: each case of what is drawn, and the pump at work; and the pressure that serves every case. */
#include "base/num.h"
#include "study/size_inside.h"

/* Outlets under pressure that the sheet's demand draws one after the other (zones of an irrigation) never draw all at
 * once: the n-th case lets one of them have its peak, and the others what is left of what they draw together. false:
 * there is no such case. With nothing that takes turns there is one case: all at their design flows. */
static bool drawn_case(const size_work *w, int32_t n, double *draws)
{
    double sum = 0.0;
    for (int32_t o = 0; o < w->site->outlet_count; o++) {
        draws[o] = w->outlet_m3s[o];
        sum += w->by_demand[o] && w->pressured[o] ? draws[o] : 0.0;
    }
    const double together = w->draws->together_m3s * w->demand_factor;
    if (sum <= 1.001 * together) {
        return n == 0;
    }
    int32_t peak = -1;
    for (int32_t o = 0; o < w->site->outlet_count && n >= 0; o++) {
        if (w->by_demand[o] && w->pressured[o] && draws[o] > 0.0) {
            peak = o;
            n--;
        }
    }
    if (n >= 0) {
        return false;
    }
    const double rest = sum - draws[peak];
    const double part = rest > 0.0 ? pw_clamp((together - draws[peak]) / rest, 0.0, 1.0) : 0.0;
    for (int32_t o = 0; o < w->site->outlet_count; o++) {
        draws[o] *= w->by_demand[o] && w->pressured[o] && o != peak ? part : 1.0;
    }
    return true;
}

/* Pressure at the store, or at the pump, that serves everything that draws in this case. */
static double need_of(size_work *w, const pw_site *site, const pw_moment *at, const double *draws, double held_pa)
{
    bool any = false;
    for (int32_t o = 0; o < site->outlet_count; o++) {
        any = any || (w->pressured[o] && draws[o] > 0.0);
    }
    const double have = w->out->kind == PW_SIZE_DIRECT ? at->place_pa[site->pumps[w->out->pump].to] : held_pa;
    return any && w->out->kind != PW_SIZE_WITH_TANK ? pw_max(have - size_surplus_m(w, at, draws) * w->pa_per_m, 0.0)
                                                    : 0.0;
}

/* One case: first with enough pressure that every outlet gets its flow and tanks full, or they would take what that
 * pressure gives; then as it is in truth, tanks filling too. */
static pw_status solve_case(size_work *w, pw_site *site, const double *draws, pw_moment *out)
{
    const bool direct = w->out->kind == PW_SIZE_DIRECT;
    double start_m[PW_MAX_TANKS];
    for (int32_t t = 0; t < site->tank_count; t++) {
        start_m[t] = site->tanks[t].start_m.v;
        site->tanks[t].start_m.v = pw_max(site->tanks[t].closes_m.v, start_m[t]);
    }
    pw_drive drive = {0};
    double flow_m3s = 0.0; /* of everything under the pump's pressure */
    for (int32_t o = 0; o < site->outlet_count; o++) {
        drive.draw_m3s[o] = draws[o];
        flow_m3s += w->pressured[o] ? draws[o] : 0.0;
    }
    drive.asks[w->out->pump] = direct;
    drive.asks_m3s[w->out->pump] = flow_m3s;
    pw_status status = size_solve(w, site, SIZE_PLENTY_PA, &drive, out);
    const double need = status == PW_OK ? need_of(w, site, out, draws, SIZE_PLENTY_PA) : 0.0;
    const bool by_ground = w->by_ground;
    for (int32_t t = 0; t < site->tank_count; t++) {
        site->tanks[t].start_m.v = start_m[t];
    }
    if (status == PW_OK && !direct) {
        status = size_solve(w, site, pw_max(need, size_low_pa(w)), &drive, out);
    }
    if (status == PW_OK && need >= w->need_pa) {
        w->need_pa = need;
        w->need_by_ground = by_ground;
        for (int32_t o = 0; o < site->outlet_count; o++) {
            w->worst_m3s[o] = w->pressured[o] ? draws[o] : 0.0;
            w->out->worst_m3s[o] = w->worst_m3s[o];
        }
    }
    return status;
}

pw_status size_line_flows(size_work *w, pw_moment *drawn, pw_moment *pumped)
{
    const size_t mark = pw_arena_mark(w->arena);
    double draws[PW_MAX_OUTLETS];
    double most[PW_MAX_LINES] = {0};
    pw_site *site = size_site_of(w, SIZE_HARD);
    if (site == NULL) {
        return PW_MEMORY;
    }
    w->need_pa = 0.0;
    pw_status status = PW_OK;
    const size_t inner = pw_arena_mark(w->arena);
    for (int32_t n = 0; status == PW_OK && drawn_case(w, n, draws); n++) {
        status = solve_case(w, site, draws, drawn);
        for (int32_t l = 0; l < site->line_count; l++) {
            most[l] = pw_max(most[l], pw_abs(drawn->line_m3s[l]));
        }
        pw_arena_back(w->arena, inner);
    }
    for (int32_t l = 0; l < site->line_count; l++) {
        drawn->line_m3s[l] = most[l];
    }
    pw_arena_back(w->arena, mark);
    if (status != PW_OK) {
        return status;
    }
    pw_site *usual = size_site_of(w, SIZE_USUAL);
    if (usual == NULL) {
        return PW_MEMORY;
    }
    pw_drive drive = {0};
    pw_status second = size_solve(w, usual, size_low_pa(w), &drive, pumped);
    for (int32_t l = 0; l < usual->line_count && second == PW_OK; l++) {
        const double still = pw_abs(pumped->line_m3s[l]);
        const bool by_vessel = w->out->kind == PW_SIZE_WITH_VESSEL && w->behind[usual->lines[l].from];
        w->falls[l] = !by_vessel && still > 1e-7 && still > 0.8 * most[l];
    }
    drive.speed[w->out->pump] = 1.0;
    second = second == PW_OK ? size_solve(w, usual, size_low_pa(w), &drive, pumped) : second;
    pw_arena_back(w->arena, mark);
    return second;
}
