/* Watches on flow, pressure, level, starts and run time that an order may lack. Times and margins without another word:
 * own choices from common practice.
 */
#include "base/num.h"
#include "study/propose_watch.h"

#define STANDS_OUT 1.44 /* as a ratio: room for a fifth on either side of a threshold */
#define BAR_PA     1e5
#define DEAD_S     60.0

/* A time that a person would write: rounded up to 10 s, 1 min, 5 min, half an hour. */
static double plain_time_s(double time_s)
{
    const double step_s = time_s < 120.0 ? 10.0 : time_s < 1800.0 ? 60.0 : time_s < 10800.0 ? 300.0 : 1800.0;
    return step_s * pw_floor(time_s / step_s + 0.999);
}

/* The strictest watch on one run; 0: none. sentence: which. */
static double run_limit_s(const prove_trial *t, int32_t *sentence)
{
    double least_s = 0.0, running_s, window_s;
    *sentence = -1;
    int32_t starts;
    for (int32_t i = 0; i < pw_settings_count(t->plant->settings); i++) {
        if (pw_settings_limit(t->plant->settings, i, &starts, &window_s, &running_s) && running_s > 0.0 &&
            (least_s <= 0.0 || running_s < least_s)) {
            least_s = running_s;
            *sentence = i;
        }
    }
    return least_s;
}

static void say_name(const prove_trial *t, char *out, size_t size, int32_t sensor, const char *before)
{
    if (prove_sensors(t->plant->site, t->plant->site->sensors[sensor].kind) > 1) {
        prove_put(out, size, before);
        prove_put(out, size, t->plant->site->sensors[sensor].name);
    }
}

bool prove_watch_no_flow(const prove_trial *t, prove_proposal *p)
{
    const int32_t sensor = prove_flow_switch(t);
    const pw_site *site = t->plant->site;
    const bool of_pump = sensor >= 0 && site->sensors[sensor].pump >= 0 && site->pump_count > 1;
    const bool seen = t->outcome->dry_s > RATHER_DRY_S || t->outcome->deadhead_s > DEAD_S ||
                      pw_fault_row_of(t->job->fault.kind)->stays_off;
    if (sensor < 0 || !seen || prove_looks(t, PW_TERM_FLOW, false, false, true, sensor)) {
        return false;
    }
    if (of_pump) {
        SAY(sentence, site->pumps[t->pump].name);
        SAY(sentence, ": ");
        SAY(first, site->pumps[t->pump].name);
        SAY(first, ": ");
    }
    p->locks = true;
    SAY(when, "no flow");
    SAY(first, "ignore no flow");
    say_name(t, p->when, sizeof p->when, sensor, " at ");
    say_name(t, p->first, sizeof p->first, sensor, " at ");
    const bool short_dry = site->limits.dry_run_s.v < 40.0;
    SAY(when, short_dry ? " for 3 s" : " for 10 s");
    SAY(first, short_dry ? " for 8 s after start" : " for 15 s after start");
    return true;
}

bool prove_watch_run_limit(const prove_trial *t, prove_proposal *p)
{
    int32_t has;
    const double usual_s = t->usual->longest_run_s, here_s = t->outcome->longest_run_s, has_s = run_limit_s(t, &has);
    if (t->usual->years == 0 || t->usual->seen_briefly || usual_s <= 0.0 || here_s < STANDS_OUT * usual_s) {
        return false;
    }
    /* days that repeat show no run but their own: twice the longest. Else half as long again at least (own choices) */
    const double room_s = (t->usual->random ? 1.5 : 2.0) * usual_s;
    double at_s = plain_time_s(pw_sqrt(usual_s * here_s));
    at_s = pw_max(pw_min(at_s, plain_time_s(2.0 * usual_s)), plain_time_s(room_s));
    if (at_s >= here_s || at_s < 0.95 * room_s || at_s > 3.6e5 || (has_s > 0.0 && has_s <= at_s)) {
        return false;
    }
    p->locks = prove_locks(t);
    if (has >= 0 && p->locks && pw_settings_kind(t->plant->settings, has) == PW_SENTENCE_LOCK) {
        p->instead_of = has + 1;
    }
    SAY(when, "running for ");
    SAY_QUANTITY(when, PW_DIM_TIME, at_s);
    p->at = at_s;
    p->why = pw_fact_of("propose.why-run", pw_quantity(PW_DIM_TIME, usual_s), pw_quantity(PW_DIM_TIME, here_s));
    return true;
}

bool prove_watch_starts_limit(const prove_trial *t, prove_proposal *p)
{
    const double usual = t->usual->most_starts_in_hour, here = t->outcome->most_starts_in_hour;
    const double middle = pw_floor(0.5 * (usual + here) + 0.5);
    const double at = pw_min(middle, pw_floor(t->plant->site->limits.starts_per_hour.v));
    int32_t starts;
    double window_s;
    /* days that repeat show no hour but their own: twice its starts. Never past what the pump may */
    const double room = t->usual->random ? usual + 1.0 : 2.0 * usual;
    if (t->usual->years == 0 || t->usual->seen_briefly || here < A_FIFTH * usual + 2.0 || at < room ||
        pw_settings_starts_limit_h(t->plant->settings, &starts, &window_s) <= at) {
        return false;
    }
    p->locks = true;
    SAY(when, "starts reach ");
    SAY_NUMBER(when, at);
    p->at = at;
    SAY(when, " in 1 h");
    p->why = pw_fact_of("propose.why-starts", pw_number(usual, 6), pw_number(here, 6));
    return true;
}

bool prove_watch_high_pressure(const prove_trial *t, prove_proposal *p)
{
    const pw_site *site = t->plant->site;
    const double usual_pa = t->usual->pressure_max_pa, here_pa = t->outcome->pressure_max_pa;
    int32_t sensor = 0;
    while (sensor < site->sensor_count && site->sensors[sensor].kind != PW_SENSOR_PRESSURE) {
        sensor++;
    }
    if (sensor == site->sensor_count || sensor == t->sensor || sensor == t->other || t->usual->years == 0 ||
        here_pa < usual_pa + 0.4 * BAR_PA) {
        return false;
    }
    const double at_pa = pw_min(1e4 * pw_floor(0.5 * (usual_pa + here_pa) / 1e4 + 0.5), site->limits.highest_pa.v);
    if (at_pa >= pw_min(here_pa, site->sensors[sensor].high_pa.v) || at_pa <= usual_pa ||
        t->plant->facts.pumps[t->pump].signal_at[sensor] != PW_AT_DELIVERY ||
        prove_looks(t, PW_TERM_PRESSURE, true, false, false, -1)) {
        return false;
    }
    p->locks = prove_locks(t);
    SAY(when, "pressure");
    say_name(t, p->when, sizeof p->when, sensor, " at ");
    SAY(when, " above ");
    SAY_QUANTITY(when, PW_DIM_PRESSURE, at_pa);
    p->at = at_pa;
    SAY(when, " for 5 s");
    p->why = pw_fact_of("propose.why-pressure", pw_quantity(PW_DIM_PRESSURE, usual_pa),
                        pw_quantity(PW_DIM_PRESSURE, here_pa));
    return true;
}

/* Four times the usual gap between two starts, a day at least. */
bool prove_watch_standing(const prove_trial *t, prove_proposal *p)
{
    const double gap_s = t->usual->starts_per_day > 0.0 ? 86400.0 / t->usual->starts_per_day : PW_INF;
    const double at_s = 3600.0 * pw_floor(pw_max(86400.0, 4.0 * gap_s) / 3600.0 + 0.999);
    if (t->usual->years == 0 || t->outcome->starts > 0.0 || t->outcome->run_s > 0.0 || at_s > 3.6e5 ||
        at_s >= t->outcome->seconds || prove_looks(t, PW_TERM_STOPPED, false, true, false, -1)) {
        return false;
    }
    SAY(when, "stopped for ");
    SAY_NUMBER(when, at_s / 3600.0);
    SAY(when, " h");
    p->why = pw_fact_of("propose.why-standing");
    return true;
}

/* A level sensor or probe in the trial's tank that is not the one that fails, and that no watch looks at so. */
static bool tank_level(const prove_trial *t, prove_proposal *p, bool high)
{
    const pw_site *site = t->plant->site;
    if (t->tank < 0) {
        return false;
    }
    const pw_tank *tank = &site->tanks[t->tank];
    for (int32_t i = 0; i < site->sensor_count; i++) {
        const pw_sensor *sensor = &site->sensors[i];
        if (sensor->place != tank->place || i == t->sensor || i == t->other || sensor->kind != PW_SENSOR_LEVEL) {
            continue;
        }
        double last_m = high ? 0.0 : tank->depth_m.v;
        pw_look look;
        for (int32_t s = 0; s < pw_settings_count(t->plant->settings); s++) {
            const bool acts = high == (pw_settings_kind(t->plant->settings, s) == PW_SENTENCE_STOP);
            for (int32_t k = 0; acts && pw_settings_look(t->plant->settings, s, k, &look); k++) {
                if (look.kind == PW_TERM_LEVEL && look.signal == i && look.above == high) {
                    last_m = high ? pw_max(last_m, look.threshold) : pw_min(last_m, look.threshold);
                }
            }
        }
        if (prove_looks(t, PW_TERM_LEVEL, high, false, false, i)) {
            return false;
        }
        p->locks = high && prove_locks(t);
        SAY(when, "level");
        say_name(t, p->when, sizeof p->when, i, " of ");
        SAY(when, high ? " above " : " below ");
        SAY_QUANTITY(when, PW_DIM_LENGTH,
                     0.01 * pw_floor(100.0 * (high ? 0.5 * (last_m + tank->depth_m.v) : 0.5 * last_m)));
        SAY(when, " for 1 min");
        return true;
    }
    return false;
}

bool prove_watch_tank_high(const prove_trial *t, prove_proposal *p)
{
    return prove_spills(t) && tank_level(t, p, true);
}

bool prove_watch_tank_low(const prove_trial *t, prove_proposal *p)
{
    return prove_misses_water(t->outcome) && tank_level(t, p, false);
}
