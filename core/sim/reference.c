/* At what pressure the size of a leak is told, and what the pump gives there. */
#include <string.h>

#include "base/num.h"
#include "sim/run_impl.h"
#include "formula/pump.h"
#include "formula/water.h"

/* Flow of the strongest pump and the pressure at its outlet, at rest levels. */
static pw_status flow_at_rest(pw_arena *arena, const pw_plant *plant, double *out_pa, double *out_m3s)
{
    const pw_site *site = plant->site;
    size_t mark = pw_arena_mark(arena);
    pw_moment *moment = PW_NEW(arena, 1, pw_moment);
    pw_condition *healthy = PW_NEW(arena, 1, pw_condition);
    pw_warm *warm = pw_warm_new(arena, plant->model);
    if (moment == NULL || healthy == NULL || warm == NULL) {
        return PW_MEMORY;
    }
    pw_condition_healthy(plant->model, healthy);
    double state[PW_MAX_STATES] = {0};
    double vessel_pa = site->vessel_count > 0 ? site->vessels[0].precharge_pa.v : 0.0;
    pw_model_start(plant->model, vessel_pa, state);
    for (int32_t i = 0; i < site->pump_count; i++) {
        pw_drive drive;
        memset(&drive, 0, sizeof drive);
        drive.speed[i] = 1.0;
        if (pw_model_settle(plant->model, healthy, &drive, state, warm, NULL) != PW_OK ||
            pw_model_moment(plant->model, healthy, &drive, state, warm, moment, NULL) != PW_OK) {
            continue;
        }
        if (moment->pump_m3s[i] <= *out_m3s) {
            continue;
        }
        *out_m3s = moment->pump_m3s[i];
        *out_pa = pw_max(0.0, moment->place_pa[site->pumps[i].to]);
    }
    pw_arena_back(arena, mark);
    return PW_OK;
}

/* Reference pressure: middle of cut-in and cut-out; where the order knows no such pressures, what the pump's outlet
 * shows while it runs. Flow: the pump's duty at that pressure. */
pw_status pw_plant_reference(pw_arena *arena, pw_plant *plant)
{
    const pw_site *site = plant->site;
    double pa = 0.0, flow_m3s = 0.0;
    if (plant->cut_in_pa > 0.0 && plant->cut_out_pa > 0.0) {
        pa = 0.5 * (plant->cut_in_pa + plant->cut_out_pa);
    }
    if (pa > 0.0) {
        for (int32_t i = 0; i < site->pump_count; i++) {
            pw_duty duty;
            size_t mark = pw_arena_mark(arena);
            pw_status status = pw_model_duty(plant->model, arena, i, pa, &duty, NULL);
            pw_arena_back(arena, mark);
            if (status == PW_MEMORY) {
                return status;
            }
            if (status == PW_OK) {
                flow_m3s = pw_max(flow_m3s, duty.flow_m3s);
            }
        }
    }
    if (flow_m3s <= 0.0) {
        double rest_pa = 0.0;
        pw_status status = flow_at_rest(arena, plant, &rest_pa, &flow_m3s);
        if (status != PW_OK) {
            return status;
        }
        if (pa <= 0.0) {
            pa = rest_pa;
        }
    }
    if (flow_m3s <= 0.0) { /* nothing flows at rest (all valves shut): the end of the curve is the most there can be */
        for (int32_t i = 0; i < site->pump_count; i++) {
            const pw_pump *pump = &site->pumps[i];
            flow_m3s =
                pw_max(flow_m3s, pw_affinity_flow_m3s(pump->curve[pump->point_count - 1].flow_m3s.v, pump->speed.v));
        }
    }
    if (pa <= 0.0) {
        pa = 10.0 * pw_pa_per_m(PW_COLD_WATER_KGM3); /* a leak needs some pressure to be measured at: 10 m of water */
    }
    plant->reference_pa = pa;
    plant->full_m3s = flow_m3s;
    return PW_OK;
}
