/* The water inside each pump: what the shaft gives and the water does not carry off as pressure warms it (pw_casing in
 * formula/thermal.h, with the content and the heat loss of that very pump, as sizing takes them). For constant power
 * and flow an exponential; here with the means of both ends of each stretch, so it needs no steps of its own. A pump
 * that takes in air or has lost its prime is not followed: dry running is counted by itself. Above the boiling point at
 * the pump's own pressure the heat makes steam: the temperature stays there, the seals are gone, and a pump that stands
 * over its water has lost it.
 */
#include "base/num.h"
#include "formula/pump.h"
#include "formula/thermal.h"
#include "sim/run_impl.h"

#define COOLED_C 55.0 /* a hot pump counts as cooled below this, so that the day book does not tell of each flicker */

/* Speed now, or that of a pump that has just been switched off: its water is under the pressure that it made. */
static double last_speed(const pw_sim *run, int32_t p)
{
    return run->drive.speed[p] > 0.0 ? run->drive.speed[p] : 1.0;
}

/* What warms and flushes the pump at this moment. */
static void drives(const pw_sim *run, int32_t p, double *heat_w, double *through_m3s)
{
    const pw_moment *m = &run->now.moment;
    const bool water = !run->dry[p] && !run->pumps[p].empty;
    *through_m3s = pw_abs(m->pump_m3s[p]);
    *heat_w = 0.0;
    if (run->drive.speed[p] > 0.0 && water) {
        const bool open = !(run->condition.pump_open[p] < 1.0) && !(run->condition.pump_intake[p] < 1.0);
        const double head_m =
            open ? m->pump_head_m[p]
                 : pw_model_inside_m(run->plant->model, &run->condition, p, run->drive.speed[p], m->pump_m3s[p]);
        const double carried_w = pw_hydraulic_w(pw_model_pa_per_m(run->plant->model), m->pump_m3s[p], head_m);
        *heat_w = pw_max(m->shaft_w[p] - pw_max(carried_w, 0.0), 0.0);
    }
}

void pw_warmth_begin(pw_sim *run)
{
    for (int32_t p = 0; p < run->plant->site->pump_count; p++) {
        run->warmth[p].water_c = run->plant->site->water_c.v;
    }
}

void pw_warmth_mark(pw_sim *run)
{
    for (int32_t p = 0; p < run->plant->site->pump_count; p++) {
        drives(run, p, &run->warmth[p].heat_w, &run->warmth[p].through_m3s);
    }
}

/* Told at the moment itself, which is within the stretch just passed. */
static void tell(pw_sim *run, pw_entry_kind kind, int32_t p, double after_s, double temperature_c)
{
    const int64_t now_ms = run->t_ms;
    run->t_ms += (int64_t)pw_ceil(pw_max(after_s, 0.0) * 1e3);
    pw_sim_tell(run, kind, p, -1, temperature_c, 0.0);
    run->t_ms = now_ms;
}

/* When, within a stretch of dt_s, an exponential from `from` towards `to` at rate k passes `at`. */
static double passes_s(double from, double to, double k, double at, double dt_s)
{
    const bool curved = k * dt_s > 1e-9 && (to - from) * (to - at) > 0.0;
    return curved ? pw_min(pw_settling_time_s(from, to, k, at), dt_s) : dt_s;
}

/* Only what is heated boils: a pump at rest cools behind its shut valves. */
static void boil(pw_sim *run, int32_t p, double heat_w, double before, double settled, double rate, double dt_s)
{
    const pw_model *model = run->plant->model;
    warmth *w = &run->warmth[p];
    if (w->water_c < 90.0) {
        w->boils = false;
    } else if (heat_w > 0.0) {
        const double head_m =
            pw_model_inside_m(model, &run->condition, p, last_speed(run, p), run->now.moment.pump_m3s[p]);
        const double boils_c = pw_model_boiling_c(model, head_m);
        if (w->water_c >= boils_c && !w->boils) {
            w->boils = true;
            run->pumps[p].loses_prime = pw_model_pump_lifts(model, p);
        }
        if (w->water_c >= boils_c && !w->ruined) {
            w->ruined = true; /* seals give way once */
            tell(run, PW_ENTRY_BOILS, p, passes_s(before, settled, rate, boils_c, dt_s), boils_c);
        }
        w->water_c = pw_min(w->water_c, boils_c);
    }
}

/* Towards what the water goes, and at which rate, per second. */
static double settles_c(const pw_sim *run, int32_t p, double heat_w, double through_m3s, double *rate)
{
    const pw_casing casing = pw_model_casing(run->plant->model, p);
    const double holds_m3 = casing.mass_kg / pw_model_water(run->plant->model)->density_kgm3;
    return pw_casing_settles_c(&casing, heat_w, through_m3s / holds_m3, rate);
}

static bool is_cold(const pw_sim *run, int32_t p, double heat_w)
{
    return !(heat_w > 0.0) && pw_abs(run->warmth[p].water_c - run->plant->site->water_c.v) < 1e-6;
}

static void warm(pw_sim *run, int32_t p, double heat_w, double through_m3s, double dt_s)
{
    warmth *w = &run->warmth[p];
    if (is_cold(run, p, heat_w)) {
        w->water_c = run->plant->site->water_c.v;
        return;
    }
    const double before = w->water_c;
    double rate;
    const double settled = settles_c(run, p, heat_w, through_m3s, &rate);
    w->water_c = pw_settling(before, settled, rate, dt_s);
    if (!w->hot && w->water_c >= PW_SCALD_C) {
        w->hot = true;
        tell(run, PW_ENTRY_HOT, p, passes_s(before, settled, rate, PW_SCALD_C, dt_s), PW_SCALD_C);
    }
    boil(run, p, heat_w, before, settled, rate, dt_s);
    if (w->hot && w->water_c < COOLED_C) {
        w->hot = false;
        tell(run, PW_ENTRY_HOT_END, p, passes_s(before, settled, rate, COOLED_C, dt_s), COOLED_C);
    }
}

void pw_warmth_look(pw_sim *run, double dt_s)
{
    for (int32_t p = 0; p < run->plant->site->pump_count; p++) {
        warmth *w = &run->warmth[p];
        double heat_w, through_m3s, rate;
        drives(run, p, &heat_w, &through_m3s);
        heat_w = 0.5 * (heat_w + w->heat_w);
        if (is_cold(run, p, heat_w)) {
            continue;
        }
        const double settled = settles_c(run, p, heat_w, 0.5 * (through_m3s + w->through_m3s), &rate);
        w->water_c = pw_settling(w->water_c, settled, rate, dt_s);
        if (heat_w > 0.0 && w->water_c >= 90.0) {
            const pw_model *model = run->plant->model;
            const double head_m =
                pw_model_inside_m(model, &run->condition, p, last_speed(run, p), run->now.moment.pump_m3s[p]);
            w->water_c = pw_min(w->water_c, pw_model_boiling_c(model, head_m));
        }
    }
}

void pw_warmth_pass(pw_sim *run, double dt_s)
{
    for (int32_t p = 0; p < run->plant->site->pump_count; p++) {
        double heat_w, through_m3s;
        drives(run, p, &heat_w, &through_m3s);
        const warmth *w = &run->warmth[p];
        warm(run, p, 0.5 * (heat_w + w->heat_w), 0.5 * (through_m3s + w->through_m3s), dt_s);
        run->warmth[p].heat_w = heat_w;
        run->warmth[p].through_m3s = through_m3s;
    }
}
