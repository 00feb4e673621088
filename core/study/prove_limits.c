/* A limit of starts together with a limit of run time, by the water balance of the vessel: see pw_limits_check. The
 * simulation answers the same question with everything this leaves out (demand, rest, a bore that recovers); the paper
 * shows both next to each other.
 */
#include <assert.h>
#include <string.h>

#include "base/num.h"
#include "formula/orifice.h"
#include "formula/vessel.h"
#include "study/prove_inside.h"

/* Largest leak against which the pump still fills the vessel all the way. */
static double largest_m3s(const pw_limits_check *check)
{
    double least = check->part_count > 0 ? PW_INF : check->pump_m3s;
    for (int32_t i = 0; i < check->part_count; i++) {
        least = pw_min(least, check->part_pump_m3s[i] / check->part_leak[i]);
    }
    return least;
}

double pw_limits_run_s(const pw_limits_check *check, double leak_m3s)
{
    if (check->part_count == 0) {
        return pw_cycle_run_s(check->drawdown_m3, check->pump_m3s, leak_m3s);
    }
    double sum_s = 0.0;
    for (int32_t i = 0; i < check->part_count; i++) {
        double rest_m3s = check->part_pump_m3s[i] - leak_m3s * check->part_leak[i];
        if (rest_m3s <= check->part_m3[i] / PW_INF) {
            return PW_INF;
        }
        sum_s += check->part_m3[i] / rest_m3s;
    }
    return sum_s;
}

double pw_limits_starts_per_hour(const pw_limits_check *check, double leak_m3s)
{
    double q = leak_m3s, full = check->pump_m3s, volume = check->drawdown_m3;
    if (q <= 0.0 || q >= largest_m3s(check) || volume <= 0.0) {
        return 0.0;
    }
    if (check->part_count == 0) {
        return 3600.0 * pw_cycle_starts_hz(volume, full, q);
    }
    double fall_s = 0.0;
    for (int32_t i = 0; i < check->part_count; i++) {
        fall_s += check->part_m3[i] / (q * check->part_leak[i]);
    }
    return 3600.0 / (fall_s + pw_limits_run_s(check, q));
}

/* One part. */
static void solve_closed(pw_limits_check *check, double full)
{
    const double volume = check->drawdown_m3;
    check->most_starts_per_hour = 3600.0 * pw_cycle_most_hz(volume, full);
    if (check->has_starts) {
        (void)pw_cycle_draws(volume, full, check->starts_needed_per_hour / 3600.0, &check->starts_from_m3s,
                             &check->starts_to_m3s);
    }
    if (check->has_run) {
        check->run_from_m3s = pw_cycle_long_run_m3s(volume, full, check->run_s);
    }
}

enum { STEPS = 200 }; /* more than a double has digits for, in thirds of an interval as in halves */

/* Leak between `little`, with too few starts, and `many`, with enough. */
static double edge_m3s(const pw_limits_check *check, double little, double many)
{
    for (int32_t step = 0; step < STEPS; step++) {
        double middle = 0.5 * (little + many);
        if (pw_limits_starts_per_hour(check, middle) >= check->starts_needed_per_hour) {
            many = middle;
        } else {
            little = middle;
        }
    }
    return many;
}

/* A turn is a sum of functions of the leak that bend upwards, so it has one least value: thirds find it. */
static double busiest_m3s(const pw_limits_check *check, double full)
{
    double low = 0.0, high = full;
    for (int32_t step = 0; step < STEPS; step++) {
        double left = low + (high - low) / 3.0, right = high - (high - low) / 3.0;
        if (pw_limits_starts_per_hour(check, left) < pw_limits_starts_per_hour(check, right)) {
            low = left;
        } else {
            high = right;
        }
    }
    return 0.5 * (low + high);
}

static void solve_parts(pw_limits_check *check, double full)
{
    double busiest = busiest_m3s(check, full);
    check->most_starts_per_hour = pw_limits_starts_per_hour(check, busiest);
    if (check->has_starts && check->starts_needed_per_hour <= check->most_starts_per_hour) {
        check->starts_from_m3s = edge_m3s(check, 0.0, busiest);
        check->starts_to_m3s = edge_m3s(check, full, busiest);
    }
    double shorter = 0.0, longer = full;
    for (int32_t step = 0; check->has_run && step < STEPS; step++) {
        double middle = 0.5 * (shorter + longer);
        if (pw_limits_run_s(check, middle) >= check->run_s) {
            longer = middle;
        } else {
            shorter = middle;
        }
    }
    check->run_from_m3s = longer;
}

void pw_limits_solve(pw_limits_check *check)
{
    double full = largest_m3s(check);
    check->most_starts_per_hour = 0.0;
    check->starts_from_m3s = full;
    check->starts_to_m3s = 0.0;
    check->run_from_m3s = full;
    check->gap = false;
    if (!check->known || full <= 0.0 || check->drawdown_m3 <= 0.0) {
        return;
    }
    if (check->part_count > 0) {
        solve_parts(check, full);
    } else {
        solve_closed(check, full);
    }
    if (check->has_starts && check->has_run) {
        bool sees_none = check->starts_from_m3s > check->starts_to_m3s;
        check->gap = sees_none ? check->run_from_m3s > 0.0 : check->starts_to_m3s < check->run_from_m3s;
    }
}

/* The first limit of starts and the first of run time. A sentence whose conditions must hold together fires later than
 * either of them alone: left out. */
static void take_limits(const pw_settings *settings, int32_t sentence, pw_limits_check *check)
{
    int32_t starts = 0;
    double window_s = 0.0, running_s = 0.0;
    if (pw_settings_needs_all(settings, sentence) ||
        !pw_settings_limit(settings, sentence, &starts, &window_s, &running_s)) {
        return;
    }
    if (!check->has_starts && starts > 0) {
        check->has_starts = true;
        check->starts_sentence = sentence;
        check->starts_count = starts;
        check->starts_window_s = window_s;
        check->starts_per_hour = 3600.0 * starts / window_s;
        check->starts_needed_per_hour = 3600.0 * (starts - 1.0) / window_s;
    }
    if (!check->has_run && running_s > 0.0) {
        check->has_run = true;
        check->run_sentence = sentence;
        check->run_s = running_s;
    }
}

/* Water that the vessels take up between two pressures at the sensor. */
static double vessels_between(const pw_plant *plant, double sensor_level_m, double low_pa, double high_pa)
{
    const pw_site *site = plant->site;
    pw_condition healthy;
    pw_condition_healthy(plant->model, &healthy);
    double volume_m3 = 0.0;
    for (int32_t i = 0; i < site->vessel_count; i++) {
        double below_pa =
            (sensor_level_m - site->places[site->vessels[i].place].level_m.v) * pw_model_pa_per_m(plant->model);
        double full = pw_model_vessel_m3(plant->model, &healthy, i, high_pa + below_pa);
        double used = pw_model_vessel_m3(plant->model, &healthy, i, low_pa + below_pa);
        volume_m3 += pw_max(0.0, full - used);
    }
    return volume_m3;
}

/* The pump that gives most at this pressure at the first vessel; -1: none gives anything. */
static int32_t strongest(pw_arena *arena, const pw_plant *plant, double vessel_pa)
{
    int32_t best = -1;
    double most_m3s = 0.0;
    for (int32_t p = 0; p < plant->site->pump_count; p++) {
        pw_duty duty;
        if (pw_model_duty(plant->model, arena, p, vessel_pa, &duty, NULL) == PW_OK && duty.flow_m3s > most_m3s) {
            most_m3s = duty.flow_m3s;
            best = p;
        }
    }
    return best;
}

/* The parts: the pump's duty at the middle pressure of each. Without a duty in any of them there are none. */
static void cut_in_parts(pw_arena *arena, const pw_plant *plant, double sensor_level_m, double reference_pa,
                         pw_limits_check *out)
{
    const pw_site *site = plant->site;
    double below_pa =
        (sensor_level_m - site->places[site->vessels[0].place].level_m.v) * pw_model_pa_per_m(plant->model);
    double step_pa = (plant->cut_out_pa - plant->cut_in_pa) / (double)PW_LIMIT_PARTS;
    int32_t pump = strongest(arena, plant, reference_pa);
    for (int32_t i = 0; i < PW_LIMIT_PARTS; i++) {
        pw_duty duty;
        double low_pa = plant->cut_in_pa + step_pa * (double)i;
        double vessel_pa = low_pa + 0.5 * step_pa + below_pa;
        out->part_m3[i] = vessels_between(plant, sensor_level_m, low_pa, low_pa + step_pa);
        if (pump < 0 || !(vessel_pa > 0.0) || !(reference_pa > 0.0) ||
            pw_model_duty(plant->model, arena, pump, vessel_pa, &duty, NULL) != PW_OK || !(duty.flow_m3s > 0.0)) {
            return;
        }
        out->part_pump_m3s[i] = duty.flow_m3s;
        out->part_leak[i] = pw_leak_ratio(reference_pa, vessel_pa, 0.5);
    }
    out->part_count = PW_LIMIT_PARTS;
}

pw_status prove_limits(pw_arena *arena, const pw_plant *plant, double pump_m3s, double reference_pa,
                       pw_limits_check *out)
{
    memset(out, 0, sizeof *out);
    out->starts_sentence = -1;
    out->run_sentence = -1;
    int32_t count = pw_settings_count(plant->settings);
    for (int32_t i = 0; i < count; i++) {
        take_limits(plant->settings, i, out);
    }
    const pw_site *site = plant->site;
    pw_acts_at acts;
    const bool starts = pw_plant_acts_at(plant, PW_SENTENCE_START, -1, &acts);
    const double sensor_level_m = starts ? pw_plant_acts_m(plant, &acts) : 0.0;
    out->pump_m3s = pump_m3s;
    if (starts && site->vessel_count > 0 && plant->cut_out_pa > plant->cut_in_pa) {
        out->drawdown_m3 = vessels_between(plant, sensor_level_m, plant->cut_in_pa, plant->cut_out_pa);
    }
    out->known = out->drawdown_m3 > 0.0 && pump_m3s > 0.0;
    if (out->known) {
        cut_in_parts(arena, plant, sensor_level_m, reference_pa, out);
    }
    pw_limits_solve(out);
    return PW_OK;
}
