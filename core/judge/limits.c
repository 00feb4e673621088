/* A limit of starts together with a limit of run time, in closed form: see pw_limits_check. The simulation answers the
 * same question with everything the closed form leaves out (demand, rest, changing flow); the paper shows both next to
 * each other.
 */
#include <assert.h>
#include <string.h>

#include "base/num.h"
#include "judge/inside.h"

double pw_limits_starts_per_hour(const pw_limits_check *check, double leak_m3s)
{
    double q = leak_m3s, full = check->pump_m3s, volume = check->drawdown_m3;
    if (q <= 0.0 || q >= full || volume <= 0.0)
        return 0.0;
    return 3600.0 * q * (full - q) / (full * volume);
}

double pw_limits_run_s(const pw_limits_check *check, double leak_m3s)
{
    double rest_m3s = check->pump_m3s - leak_m3s;
    if (rest_m3s <= check->drawdown_m3 / PW_INF)
        return PW_INF;
    return check->drawdown_m3 / rest_m3s;
}

void pw_limits_solve(pw_limits_check *check)
{
    double full = check->pump_m3s, volume = check->drawdown_m3;
    check->most_starts_per_hour = 0.0;
    check->starts_from_m3s = full;
    check->starts_to_m3s = 0.0;
    check->run_from_m3s = full;
    check->gap = false;
    if (!check->known || full <= 0.0 || volume <= 0.0)
        return;
    check->most_starts_per_hour = 3600.0 * full / (4.0 * volume);
    if (check->has_starts) {
        /* q (Q - q) = Q V s: both roots are real as long as s is within Q / (4 V) */
        double share = check->starts_needed_per_hour / check->most_starts_per_hour;
        if (share <= 1.0) {
            double root = pw_sqrt(1.0 - share);
            check->starts_to_m3s = 0.5 * full * (1.0 + root);
            /* the small root without cancellation: product of the roots over the large one */
            check->starts_from_m3s = 0.25 * full * full * share / check->starts_to_m3s;
        }
    }
    if (check->has_run)
        check->run_from_m3s = pw_max(0.0, full - volume / check->run_s);
    if (check->has_starts && check->has_run) {
        bool sees_none = check->starts_from_m3s > check->starts_to_m3s;
        check->gap = sees_none ? check->run_from_m3s > 0.0 : check->starts_to_m3s < check->run_from_m3s;
    }
}

/* Skips `words` at *at and the space behind it. */
static bool take(const char **at, const char *words)
{
    size_t length = strlen(words);
    if (strncmp(*at, words, length) != 0)
        return false;
    const char *rest = *at + length;
    if (*rest != ' ' && *rest != '\0')
        return false;
    while (*rest == ' ')
        rest++;
    *at = rest;
    return true;
}

static bool take_time(const char **at, double *out_s)
{
    pw_dimension dimension = PW_DIM_NONE;
    size_t length = pw_quantity_scan(*at, out_s, &dimension);
    if (length == 0 || dimension != PW_DIM_TIME)
        return false;
    *at += length;
    return true;
}

/* A sentence in its canonical words is the only thing the order shows of itself; what is looked for here are its two
 * forms
 * "... starts reach N in TIME" and "... running for TIME". A sentence with "and" fires later than either term alone:
 * left out. */
static void read_sentence(const char *words, int32_t sentence, pw_limits_check *check)
{
    if (strstr(words, " and ") != NULL)
        return;
    for (const char *at = words; *at != '\0'; at++) {
        if (at != words && at[-1] != ' ')
            continue;
        const char *p = at;
        double count = 0.0, time_s = 0.0;
        if (!check->has_starts && take(&p, "starts reach")) {
            size_t length = pw_num_read(p, strlen(p), &count);
            p += length;
            while (*p == ' ')
                p++;
            if (length > 0 && take(&p, "in") && take_time(&p, &time_s) && count >= 1.0 && time_s > 0.0) {
                check->has_starts = true;
                check->starts_sentence = sentence;
                check->starts_count = (int32_t)count;
                check->starts_window_s = time_s;
                check->starts_per_hour = 3600.0 * count / time_s;
                check->starts_needed_per_hour = 3600.0 * (count - 1.0) / time_s;
            }
        }
        p = at;
        if (!check->has_run && take(&p, "running for") && take_time(&p, &time_s) && time_s > 0.0) {
            check->has_run = true;
            check->run_sentence = sentence;
            check->run_s = time_s;
        }
    }
}

static double vessels_between(const pw_plant *plant, double sensor_level_m)
{
    const pw_site *site = plant->site;
    pw_condition healthy;
    pw_condition_healthy(plant->model, &healthy);
    double volume_m3 = 0.0;
    for (int32_t i = 0; i < site->vessel_count; i++) {
        double below_pa =
            (sensor_level_m - site->places[site->vessels[i].place].level_m.v) * pw_model_pa_per_m(plant->model);
        double full = pw_model_vessel_m3(plant->model, &healthy, i, plant->cut_out_pa + below_pa);
        double used = pw_model_vessel_m3(plant->model, &healthy, i, plant->cut_in_pa + below_pa);
        volume_m3 += pw_max(0.0, full - used);
    }
    return volume_m3;
}

pw_status judge_limits(pw_arena *arena, const pw_plant *plant, double pump_m3s, pw_limits_check *out)
{
    memset(out, 0, sizeof *out);
    out->starts_sentence = -1;
    out->run_sentence = -1;
    int32_t count = pw_order_count(plant->order);
    for (int32_t i = 0; i < count; i++) {
        if (!pw_order_is_watch(plant->order, i))
            continue;
        size_t mark = pw_arena_mark(arena);
        pw_text words;
        pw_text_init(&words, arena);
        pw_order_put(plant->order, i, &words);
        bool failed = words.failed;
        if (!failed && words.data != NULL)
            read_sentence(words.data, i, out);
        pw_arena_back(arena, mark);
        if (failed)
            return PW_MEMORY;
    }
    const pw_site *site = plant->site;
    double sensor_level_m = 0.0;
    bool has_sensor = false;
    for (int32_t i = 0; i < site->sensor_count && !has_sensor; i++) {
        if (site->sensors[i].kind != PW_SENSOR_PRESSURE)
            continue;
        has_sensor = true;
        sensor_level_m = site->places[site->sensors[i].place].level_m.v;
    }
    out->pump_m3s = pump_m3s;
    if (has_sensor && site->vessel_count > 0 && plant->cut_out_pa > plant->cut_in_pa) {
        out->drawdown_m3 = vessels_between(plant, sensor_level_m);
    }
    out->known = out->drawdown_m3 > 0.0 && pump_m3s > 0.0;
    pw_limits_solve(out);
    return PW_OK;
}
