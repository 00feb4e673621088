/* Counters into flows, and flow that never ends.
 *
 * A counter that steps back began anew when it could have counted that much since; otherwise it was misread. A step
 * far larger than any before is a jump; when the next reading takes it back, the jump never was. */
#include <string.h>

#include "study/log_inside.h"

#define JUMP_TIMES 20.0
#define JUMP_STEPS 100 /* too few to know */
#define MOST_RATE  1.0 /* m3/s, starts/s, s/s */
/* A leak smaller than what the meter counts shows an hour without flow now and then. */
#define JOIN_S      (6.0 * 3600.0)
#define JOIN_PART   0.1
#define JOIN_MOST_S (3.0 * 86400.0)
/* How often a leak begins, by day, where nobody knows anything else (own choice, no source). */
#define LEAK_BEGINS_A_DAY (1.0 / 300.0)
/* Hours of use follow each other: so much of what independent hours would say is believed (own choice). */
#define HOURS_APART 0.5
/* In any home a whole day passes without an empty hour as often as this, by guests, work or forgetting (own choice). */
#define BUSY_DAY         0.02
#define LONGEST_UNSEEN_S (6.0 * 3600.0)

/* What was counted since the reading before; missing: nobody knows. */
static double counted(pw_record *log, pw_log_counter *c, double value, double t_s)
{
    const double over_s = t_s - c->last_s;
    double step = value - c->last;
    const double most = (c->steps > JUMP_STEPS && c->top > 0.0 ? JUMP_TIMES * c->top : MOST_RATE) * over_s;
    if (c->leapt && value >= c->leapt_from && value - c->leapt_from <= 2.0 * most) {
        log->bad.back += step < 0.0 ? 1 : 0;
        step = value - c->leapt_from; /* the one misread between never was */
        c->leapt = false;
    } else if (step < 0.0) {
        const bool anew = value <= most && value < 0.5 * c->last;
        *(anew ? &log->bad.resets : &log->bad.back) += 1;
        step = anew && !c->leapt ? value : PW_LOG_MISSING;
        c->leapt = !anew;
        c->leapt_from = c->last;
        return step;
    }
    c->leapt = false;
    if (pw_log_there(step) && step > most) {
        log->bad.jumps++;
        c->leapt = true;
        c->leapt_from = c->last;
        step = PW_LOG_MISSING;
    }
    if (pw_log_there(step)) {
        c->top = pw_max(c->top, step / over_s);
        c->steps++;
    }
    return step;
}

static double since_before(pw_record *log, pw_log_signal signal, const pw_log_row *row, double *over_s)
{
    pw_log_counter *c = &log->counter[signal];
    const double value = row->value[signal];
    if (!log->has[signal] || !pw_log_there(value)) {
        return PW_LOG_MISSING;
    }
    *over_s = row->t_s - c->last_s;
    const double step = c->any && *over_s > 0.0 ? counted(log, c, value, row->t_s) : PW_LOG_MISSING;
    c->any = true;
    c->last = value;
    c->last_s = row->t_s;
    return step;
}

void pw_log_counters_take(pw_record *log, pw_log_row *row, bool gap)
{
    double over_s = 0.0, ran_over_s = 0.0, starts_over_s = 0.0;
    if (!log->counts) {
        return;
    }
    const double volume = since_before(log, PW_LOG_VOLUME, row, &over_s);
    const double ran = since_before(log, PW_LOG_RAN, row, &ran_over_s);
    const double starts = since_before(log, PW_LOG_STARTS, row, &starts_over_s);
    (void)gap;
    if (log->has[PW_LOG_VOLUME] && !log->has[PW_LOG_FLOW]) {
        row->value[PW_LOG_FLOW] = pw_log_there(volume) ? volume / over_s : PW_LOG_MISSING;
    }
    if (pw_log_there(starts)) {
        pw_log_now(log)->starts += starts;
        log->hour_starts += starts;
    }
    if (pw_log_there(ran)) {
        pw_log_now(log)->on_s += ran;
        if (pw_log_there(volume) && ran > 0.0) {
            pw_log_note(log, PW_LOG_FLOW_ON, volume / ran);
        }
        if (pw_log_there(starts) && starts > 0.0 && ran > 0.0) {
            pw_log_note(log, PW_LOG_RUN, ran / starts);
        }
    }
}

/* ---- flow that never ends ---- */

static void keep(pw_log_meter *meter, const pw_log_standing *found)
{
    pw_log_standing *last = meter->count > 0 ? &meter->list[meter->count - 1] : NULL;
    const double join_s = last != NULL ? pw_clamp(JOIN_PART * (last->end_s - last->begin_s), JOIN_S, JOIN_MOST_S) : 0.0;
    if (last != NULL && found->begin_s - last->end_s < join_s) {
        last->end_s = found->end_s;
        last->ended = found->ended;
        last->low_m3s = pw_min(last->low_m3s, found->low_m3s);
        last->high_m3s = pw_max(last->high_m3s, found->high_m3s);
        const double part = (found->end_s - found->begin_s) / (found->end_s - last->begin_s);
        last->size_m3s += part * (found->size_m3s - last->size_m3s);
        last->usual_m3s += part * (found->usual_m3s - last->usual_m3s);
        return;
    }
    if (meter->count < PW_LOG_MOST_STANDING) {
        meter->list[meter->count] = *found;
        meter->count++;
        return;
    }
    int32_t least = 0;
    for (int32_t i = 1; i < meter->count; i++) {
        const pw_log_standing *a = &meter->list[i], *b = &meter->list[least];
        least = a->size_m3s * (a->end_s - a->begin_s) < b->size_m3s * (b->end_s - b->begin_s) ? i : least;
    }
    memmove(&meter->list[least], &meter->list[least + 1], (size_t)(meter->count - 1 - least) * sizeof meter->list[0]);
    meter->list[meter->count - 1] = *found;
}

static void finish(pw_log_meter *meter, bool ended)
{
    const double over_s = meter->last_s - meter->begin_s;
    if (meter->on && over_s >= PW_LOG_STANDING_S && meter->hours.count >= 12) {
        const pw_log_standing found = {.begin_s = meter->begin_s,
                                       .end_s = meter->last_s,
                                       .ended = ended,
                                       .low_m3s = pw_sketch_quantile(&meter->hours, 0.01),
                                       .size_m3s = pw_sketch_quantile(&meter->hours, 0.1),
                                       .high_m3s = pw_sketch_quantile(&meter->hours, 0.3),
                                       .usual_m3s = meter->volume_m3 / over_s};
        keep(meter, &found);
    }
    meter->on = false;
}

static void least_of_hour(pw_record *log, double t_s, double flow, double step_s, bool gap)
{
    pw_log_meter *meter = &log->meter;
    if (t_s - meter->hour_s >= 3600.0 || t_s < meter->hour_s) {
        if (meter->hour_covered_s >= 3000.0) {
            const double hours = meter->hour_s / 3600.0;
            const int32_t hour = (int32_t)(hours - 24.0 * pw_floor(hours / 24.0)) % 24;
            pw_log_note(log, PW_LOG_FLOW_LEAST, pw_max(log->hour_low_m3s, 0.0));
            meter->seen[hour] += 1.0;
            meter->empty[hour] += log->hour_low_m3s <= pw_max(4.0 * log->noise[PW_LOG_FLOW], 1e-9) ? 1.0 : 0.0;
        }
        meter->hour_s = 3600.0 * pw_floor(t_s / 3600.0);
        meter->hour_covered_s = 0.0;
        log->hour_low_m3s = flow;
    }
    log->hour_low_m3s = pw_min(log->hour_low_m3s, flow);
    meter->hour_covered_s += gap ? 0.0 : step_s;
}

void pw_log_meter_take(pw_record *log, const pw_log_row *row, double step_s, bool gap)
{
    pw_log_meter *meter = &log->meter;
    const double flow = row->value[PW_LOG_FLOW];
    if (!pw_log_there(flow)) {
        if (row->t_s - meter->last_s > LONGEST_UNSEEN_S) {
            finish(meter, false);
        }
        return;
    }
    least_of_hour(log, row->t_s, flow, step_s, gap);
    const double none = pw_max(4.0 * log->noise[PW_LOG_FLOW], 1e-9);
    if (flow <= none || (gap && row->t_s - meter->last_s > LONGEST_UNSEEN_S)) {
        finish(meter, flow <= none);
        meter->last_s = row->t_s;
        if (flow <= none) {
            return;
        }
    }
    if (!meter->on) {
        meter->on = true;
        meter->begin_s = row->t_s - (gap ? 0.0 : step_s);
        meter->volume_m3 = meter->mean_s = meter->mean_m3 = 0.0;
        memset(&meter->hours, 0, sizeof meter->hours);
    }
    meter->last_s = row->t_s;
    meter->volume_m3 += flow * step_s;
    meter->mean_s += gap ? 0.0 : step_s;
    meter->mean_m3 += gap ? 0.0 : flow * step_s;
    if (meter->mean_s >= 3599.0) {
        pw_sketch_add(&meter->hours, &log->scale[PW_LOG_FLOW_LEAST], meter->mean_m3 / meter->mean_s);
        meter->mean_s = meter->mean_m3 = 0.0;
    }
}

/* Would honest use leave no hour empty for so long? By how often each hour of the day is empty in this home. */
static double is_leak(const pw_log_meter *meter, const pw_log_standing *found)
{
    const double days = (found->end_s - found->begin_s) / 86400.0;
    double log_day = 0.0;
    for (int32_t h = 0; h < 24; h++) {
        log_day += pw_log((meter->seen[h] - meter->empty[h] + 1.0) / (meter->seen[h] + 2.0));
    }
    const double odds =
        LEAK_BEGINS_A_DAY / pw_max(pw_exp(days * pw_max(HOURS_APART * log_day, pw_log(BUSY_DAY))), 1e-12);
    return odds / (1.0 + odds);
}

void pw_log_meter_end(pw_record *log)
{
    pw_log_meter *meter = &log->meter;
    finish(meter, false);
    for (int32_t i = 0; i < meter->count; i++) {
        meter->list[i].probability = is_leak(meter, &meter->list[i]);
    }
}
