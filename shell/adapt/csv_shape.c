/* From rows of other forms to rows that begin their step: readings of a register, amounts stamped at their end; and
 * from draws with begin and end to steps of flow. */
#include <stdlib.h>
#include <string.h>

#include "adapt/csv_inside.h"
#include "base/num.h"

#define DAY_S        86400.0
#define RESET_PART   0.1   /* a reading under this part of the one before began again at 0 */
#define TYPICAL_PART 0.995 /* quantile of the steps ... */
#define JUMP_TIMES   20.0  /* ... of which no true step is so many times */
#define JUMP_ROWS    200   /* too few to know */
#define JITTER_STEPS 1.5
#define SHORT_DRAW_S 1.0
#define WHOLE_MINUTE 60.0

static int compare_doubles(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* A flow that no step of this register truly had, by what its other steps are. */
static double most_m3s(const pw_csv_reader *r)
{
    double *flows = malloc(sizeof *flows * (size_t)(r->count > 0 ? r->count : 1));
    int64_t count = 0;
    double most = PW_CSV_MOST_M3S;
    for (int64_t i = 0; flows != NULL && i + 1 < r->count; i++) {
        const double m3s = (r->value[i + 1] - r->value[i]) * r->factor / (r->time_s[i + 1] - r->time_s[i]);
        if (m3s > 0.0) {
            flows[count] = m3s;
            count++;
        }
    }
    if (count >= JUMP_ROWS) {
        qsort(flows, (size_t)count, sizeof *flows, compare_doubles);
        most = pw_min(most, JUMP_TIMES * flows[(int64_t)(TYPICAL_PART * (double)(count - 1))]);
    }
    free(flows);
    return most;
}

void pw_csv_register(pw_csv_reader *r)
{
    const double most = most_m3s(r);
    for (int64_t i = 0; i + 1 < r->count; i++) {
        const double before = r->value[i], after = r->value[i + 1], step_s = r->time_s[i + 1] - r->time_s[i];
        double used = after - before;
        if (used < 0.0) {
            r->out->resets++;
            used = after < RESET_PART * before ? after : 0.0;
        }
        if (used * r->factor / step_s > most) {
            r->out->jumps++;
            used = 0.0;
        }
        r->value[i] = used;
    }
    r->has_stop = true;
    r->stop_s = r->time_s[r->count - 1];
    r->count--;
}

void pw_csv_ends_to_begins(pw_csv_reader *r, double usual_s)
{
    r->has_stop = true;
    r->stop_s = r->time_s[r->count - 1];
    double before_s = r->time_s[0] - usual_s;
    for (int64_t i = 0; i < r->count; i++) {
        const double end_s = r->time_s[i];
        r->time_s[i] = end_s - before_s <= JITTER_STEPS * usual_s ? before_s : end_s - usual_s;
        before_s = end_s;
    }
}

/* ---- draws ---- */

typedef struct edge {
    double t_s, change_m3s;
} edge;

static int compare_edges(const void *a, const void *b)
{
    const edge *x = a, *y = b;
    const int by_time = (x->t_s > y->t_s) - (x->t_s < y->t_s);
    return by_time != 0 ? by_time : (x->change_m3s > y->change_m3s) - (x->change_m3s < y->change_m3s);
}

/* A draw that ends in the second or minute in which it begins lasted some part of that. */
static double least_length_s(const pw_csv_reader *r)
{
    bool minutes = r->lasts_at < 0;
    for (int64_t i = 0; i < r->count && minutes; i++) {
        minutes = r->time_s[i] == pw_floor(r->time_s[i] / WHOLE_MINUTE) * WHOLE_MINUTE &&
                  r->end_s[i] == pw_floor(r->end_s[i] / WHOLE_MINUTE) * WHOLE_MINUTE;
    }
    return minutes ? WHOLE_MINUTE : SHORT_DRAW_S;
}

/* Flow between the edges; sums of many draws leave crumbs of rounding, which are no flow. */
static pw_status sweep(pw_csv_reader *r, const edge *edges, int64_t count, double base_s)
{
    pw_csv_trace *out = r->out;
    double flow_m3s = 0.0;
    int32_t open = 0;
    out->times_s[0] = 0.0;
    out->flows_m3s[0] = 0.0;
    out->count = 1;
    for (int64_t i = 0; i < count; i++) {
        flow_m3s += edges[i].change_m3s;
        open += edges[i].change_m3s > 0.0 ? 1 : -1;
        flow_m3s = open == 0 ? 0.0 : pw_max(flow_m3s, 0.0);
        out->peak_m3s = pw_max(out->peak_m3s, flow_m3s);
        const double t_s = pw_floor((edges[i].t_s - base_s) * 1000.0 + 0.5) / 1000.0;
        if (out->times_s[out->count - 1] >= t_s) {
            out->count--; /* the last edge of a moment counts */
        }
        out->times_s[out->count] = t_s;
        out->flows_m3s[out->count] = flow_m3s;
        out->count++;
        if (flow_m3s > PW_CSV_MOST_M3S) {
            return pw_csv_complain(r, PW_RANGE, 0, 0, pw_fact_of("input.csv-flow-high"),
                                   pw_fact_of("input.csv-flow-of-site"), pw_fact_of("input.csv-unit-right"));
        }
    }
    const double length_s = out->times_s[out->count - 1];
    const double whole_s = out->dated ? pw_ceil(length_s / DAY_S - 1e-9) * DAY_S : length_s;
    if (whole_s > length_s) {
        out->times_s[out->count] = whole_s;
        out->flows_m3s[out->count] = 0.0;
        out->count++;
    }
    out->padded_s = whole_s - length_s;
    return PW_OK;
}

pw_status pw_csv_draws(pw_csv_reader *r)
{
    pw_csv_trace *out = r->out;
    edge *edges = calloc(2 * (size_t)r->count + 1, sizeof *edges);
    out->times_s = calloc(2 * (size_t)r->count + 3, sizeof *out->times_s);
    out->flows_m3s = calloc(2 * (size_t)r->count + 3, sizeof *out->flows_m3s);
    if (edges == NULL || out->times_s == NULL || out->flows_m3s == NULL) {
        free(edges);
        return pw_csv_no_memory(r);
    }
    const double least_s = least_length_s(r);
    double first_s = r->time_s[0], last_s = r->time_s[0];
    int64_t count = 0;
    for (int64_t i = 0; i < r->count; i++) {
        const double begin_s = r->time_s[i], end_s = pw_max(r->end_s[i], begin_s + least_s);
        const double m3s = r->value[i] * r->factor / (out->amounts ? end_s - begin_s : 1.0);
        first_s = pw_min(first_s, begin_s);
        last_s = pw_max(last_s, end_s);
        if (m3s > 0.0) {
            out->volume_m3 += m3s * (end_s - begin_s);
            edges[count] = (edge){begin_s, m3s};
            edges[count + 1] = (edge){end_s, -m3s};
            count += 2;
        }
    }
    pw_status status = PW_OK;
    if (last_s - first_s > PW_CSV_MAX_DAYS * DAY_S) {
        status = pw_csv_complain(r, PW_RANGE, r->data_line, 1, pw_fact_of("input.csv-years-apart"),
                                 pw_fact_of("input.csv-shorter"), pw_no_fact());
    } else if (count > PW_CSV_MAX_CHANGES || count == 0) {
        status = pw_csv_complain(r, PW_LIMIT, 0, 0,
                                 count == 0 ? pw_fact_of("input.csv-dry-draws") : pw_fact_of("input.csv-many-draws"),
                                 pw_fact_of("input.csv-draws-at-most", pw_count(PW_CSV_MAX_CHANGES / 2)), pw_no_fact());
    }
    if (status == PW_OK) {
        qsort(edges, (size_t)count, sizeof *edges, compare_edges);
        const double base_s = out->dated ? pw_floor(first_s / DAY_S) * DAY_S : pw_min(first_s, 0.0);
        status = sweep(r, edges, count, base_s);
    }
    free(edges);
    return status;
}
