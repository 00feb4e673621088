/* Air in the pipes: it comes in where something is open and the pressure is no more than outside, and goes when what
 * flows carries it away, which takes as long as the pipe behind takes to fill. Two edges with that time between them: a
 * site that stands between full and part-full pipes goes to and fro in minutes, and never for ever within one. */
#include "sim/run_impl.h"

void pw_air_impose(pw_sim *run)
{
    const pw_model *model = run->plant->model;
    for (int32_t n = 0; n < pw_model_spot_count(model); n++) {
        const int32_t i = pw_model_spot_at(model, n);
        pw_spot_put_air(&run->condition, i, run->air[i].there);
    }
}

static void tell(pw_sim *run, air_state *air, int32_t spot, const pw_spot *now)
{
    const air_told was = air->told;
    if (now->torn && !air->there) {
        air->told = AIR_TOLD_TORN;
    } else if (air->there) {
        air->told = AIR_TOLD_AIR;
    } else if (now->siphons) {
        air->told = AIR_TOLD_SIPHON;
    } else if (now->gauge_pa >= 0.0) {
        air->told = AIR_TOLD_NOTHING;
    }
    static const pw_entry_kind kinds[] = {
        [AIR_TOLD_AIR] = PW_ENTRY_AIR_IN, [AIR_TOLD_TORN] = PW_ENTRY_TORN, [AIR_TOLD_SIPHON] = PW_ENTRY_SIPHON};
    if (air->told != was && air->told != AIR_TOLD_NOTHING) {
        pw_sim_tell(run, kinds[air->told], spot, -1, now->gauge_pa, 0.0);
    }
    if (was == AIR_TOLD_AIR && !air->there) {
        pw_sim_tell(run, PW_ENTRY_AIR_OUT, spot, -1, now->gauge_pa, 0.0);
    }
}

static bool settle_one(pw_sim *run, int32_t spot)
{
    const pw_model *model = run->plant->model;
    air_state *air = &run->air[spot];
    pw_spot now;
    pw_model_spot(model, &run->condition, &run->drive, run->now.y, &run->now.moment, spot, &now);
    bool changed = false;
    if (now.enters) {
        air->there = true;
        changed = true;
    } else if (!now.clears) {
        air->clear_ms = INT64_MAX;
    } else if (air->clear_ms == INT64_MAX) {
        air->clear_ms = run->t_ms + (int64_t)(now.clears_s * 1e3);
    } else if (air->clear_ms <= run->t_ms) {
        air->there = false;
        changed = true;
    }
    if (changed) {
        air->clear_ms = INT64_MAX;
        pw_spot_put_air(&run->condition, spot, air->there);
    }
    tell(run, air, spot, &now);
    return changed;
}

bool pw_air_settle(pw_sim *run)
{
    const pw_model *model = run->plant->model;
    bool changed = false;
    for (int32_t n = 0; n < pw_model_spot_count(model); n++) {
        const int32_t i = pw_model_spot_at(model, n);
        const air_state *air = &run->air[i];
        if (air->there || air->told != AIR_TOLD_NOTHING || pw_model_spot_pa(model, &run->now.moment, i) <= 1.0) {
            changed = settle_one(run, i) || changed;
        }
    }
    return changed;
}

/* What stands where the air has just gone or come: known once the flows are solved anew. */
void pw_air_tell(pw_sim *run)
{
    const pw_model *model = run->plant->model;
    for (int32_t n = 0; n < pw_model_spot_count(model); n++) {
        const int32_t i = pw_model_spot_at(model, n);
        pw_spot now;
        if (!run->air[i].there && pw_model_spot_pa(model, &run->now.moment, i) < 0.0) {
            pw_model_spot(model, &run->condition, &run->drive, run->now.y, &run->now.moment, i, &now);
            tell(run, &run->air[i], i, &now);
        }
    }
}

int64_t pw_air_due(const pw_sim *run)
{
    int64_t next = INT64_MAX;
    const pw_model *model = run->plant->model;
    for (int32_t n = 0; n < pw_model_spot_count(model); n++) {
        const int32_t i = pw_model_spot_at(model, n);
        next = run->air[i].clear_ms < next ? run->air[i].clear_ms : next;
    }
    return next;
}

void pw_air_begin(pw_sim *run)
{
    for (int32_t i = 0; i < PW_MAX_SPOTS; i++) {
        run->air[i].clear_ms = INT64_MAX;
    }
}
