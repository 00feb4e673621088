/* The network by the sure way: heads alone, downhill on a convex function.
 *
 * Every law rises, so the sum over links of the integral of flow over head difference plus that of what is taken over
 * head is convex in the heads; its slope is the imbalance of the places, and it has one lowest point: the solution
 * (co-content, Millar 1951, from memory). Newton with a search along its direction, where the slope falls steadily,
 * cannot miss it. Each look costs an inner solution of every link, so this is the fallback of network.c and not the
 * rule; it comes near, and the usual Newton finishes.
 */
#include "base/num.h"
#include "element/model_impl.h"

enum { MOST_ROUNDS = 200, MOST_HALVINGS = 50, FINISH_STEPS = 12 };
#define LONGEST_STEP_M 300.0
#define LAST_STEP_M    1e-9
#define STILL_M3S      1e-10 /* under 10 mL a day */
#define NEAR           1e-6  /* of the largest flow: the usual Newton can finish from here */

typedef struct slope_at {
    double balance[PW_MAX_NODES]; /* in - out - taken: downhill direction */
    double excess[PW_MAX_NODES];
    double most_m3s, worst_m3s;
} slope_at;

/* Flows that belong to the heads, and the imbalance they leave. */
static bool look(const pw_model *model, const setting *at, const cluster *c, pw_warm *warm, slope_at *s, int32_t *steps)
{
    s->most_m3s = 0.0;
    s->worst_m3s = 0.0;
    for (int32_t i = 0; i < c->node_count; i++) {
        const int32_t n = model->cluster_nodes[c->first_node + i];
        s->balance[i] = -pw_taken_m3s(model, at, n, warm->head_m[n], &s->excess[i]);
    }
    for (int32_t i = 0; i < c->link_count; i++) {
        const int32_t l = model->cluster_links[c->first_link + i];
        const int32_t a = model->nodes[model->links[l].from].unknown;
        const int32_t b = model->nodes[model->links[l].to].unknown;
        if (!pw_network_link_finely(model, at, l, warm, steps)) {
            return false;
        }
        s->most_m3s = pw_max(s->most_m3s, pw_abs(warm->flow_m3s[l]));
        if (a >= 0) {
            s->balance[a] -= warm->flow_m3s[l];
        }
        if (b >= 0) {
            s->balance[b] += warm->flow_m3s[l];
        }
        if ((a >= 0) != (b >= 0)) {
            s->excess[a >= 0 ? a : b] += warm->gain[l];
        }
    }
    for (int32_t i = 0; i < c->node_count; i++) {
        s->worst_m3s = pw_max(s->worst_m3s, pw_abs(s->balance[i]));
    }
    return true;
}

/* Newton direction at the heads just looked at; held to LONGEST_STEP_M. */
static bool direction(const pw_model *model, const cluster *c, const pw_warm *warm, const slope_at *s, double *step)
{
    double entries[PW_MAX_LINKS * 4 + PW_MAX_NODES];
    double excess[PW_MAX_NODES];
    double work[PW_MAX_NODES];
    int32_t edge = 0;
    int32_t bad = 0;
    double longest = 0.0;
    for (int32_t i = 0; i < c->plan->entry_count; i++) {
        entries[i] = 0.0;
    }
    for (int32_t i = 0; i < c->link_count; i++) {
        const int32_t l = model->cluster_links[c->first_link + i];
        if (model->nodes[model->links[l].from].unknown >= 0 && model->nodes[model->links[l].to].unknown >= 0) {
            const int32_t entry = c->plan->edge_entry[edge];
            edge++;
            if (entry >= 0) {
                entries[entry] -= warm->gain[l];
            }
        }
    }
    for (int32_t i = 0; i < c->node_count; i++) {
        step[i] = s->balance[i];
        excess[i] = s->excess[i];
    }
    if (!pw_sparse_solve(c->plan, excess, entries, step, work, &bad)) {
        return false;
    }
    for (int32_t i = 0; i < c->node_count; i++) {
        longest = pw_max(longest, pw_abs(step[i]));
    }
    for (int32_t i = 0; i < c->node_count && longest > LONGEST_STEP_M; i++) {
        step[i] *= LONGEST_STEP_M / longest;
    }
    return true;
}

static double along(const cluster *c, const slope_at *s, const double *step)
{
    double sum = 0.0;
    for (int32_t i = 0; i < c->node_count; i++) {
        sum += s->balance[i] * step[i];
    }
    return sum;
}

static void go(const pw_model *model, const cluster *c, const double *from, const double *step, double part,
               pw_warm *warm)
{
    for (int32_t i = 0; i < c->node_count; i++) {
        warm->head_m[model->cluster_nodes[c->first_node + i]] = from[i] + part * step[i];
    }
}

/* Everything is shut and every open tap is dry: what still seems to move is rounding. */
static void stand_still(const pw_model *model, const setting *at, const cluster *c, pw_warm *warm)
{
    for (int32_t i = 0; i < c->link_count; i++) {
        warm->flow_m3s[model->cluster_links[c->first_link + i]] = 0.0;
    }
    for (int32_t i = 0; i < c->node_count; i++) {
        const int32_t n = model->cluster_nodes[c->first_node + i];
        if (pw_taken_wanted(at, n)) {
            warm->head_m[n] = pw_min(warm->head_m[n], model->nodes[n].level_m);
        }
    }
}

/* The usual Newton from here; when it gets lost, everything is as before. */
static bool finish(const pw_model *model, const setting *at, const cluster *c, pw_warm *warm, solution *out)
{
    const pw_warm before = *warm;
    if (pw_network_places(model, at, c, FINISH_STEPS, warm, out)) {
        return true;
    }
    *warm = before;
    return false;
}

/* The tries before may have left anything: begin at the places' own levels. */
static void begin_at_levels(const pw_model *model, const cluster *c, pw_warm *warm)
{
    for (int32_t i = 0; i < c->node_count; i++) {
        const int32_t n = model->cluster_nodes[c->first_node + i];
        warm->head_m[n] = model->nodes[n].level_m;
    }
    for (int32_t i = 0; i < c->link_count; i++) {
        warm->flow_m3s[model->cluster_links[c->first_link + i]] = 0.0;
    }
}

/* The heads are as near as numbers can tell: a wide short pipe makes more of their last digit than the balance allows.
 * So the flows take this last step, too, along their laws' slopes, and balance to rounding. */
static bool last_step(const pw_model *model, const cluster *c, const double *step, pw_warm *warm)
{
    for (int32_t i = 0; i < c->node_count; i++) {
        if (!(pw_abs(step[i]) <= LAST_STEP_M)) {
            return false;
        }
    }
    for (int32_t i = 0; i < c->link_count; i++) {
        const int32_t l = model->cluster_links[c->first_link + i];
        const int32_t a = model->nodes[model->links[l].from].unknown;
        const int32_t b = model->nodes[model->links[l].to].unknown;
        warm->flow_m3s[l] += warm->gain[l] * ((a >= 0 ? step[a] : 0.0) - (b >= 0 ? step[b] : 0.0));
    }
    return true;
}

/* Along the direction to where the slope has all but gone. */
static bool search(const pw_model *model, const setting *at, const cluster *c, pw_warm *warm, const double *step,
                   slope_at *s, int32_t *steps)
{
    const double first = along(c, s, step);
    double from[PW_MAX_NODES];
    double low = 0.0;
    double high = 1.0;
    double part = 1.0;
    for (int32_t i = 0; i < c->node_count; i++) {
        from[i] = warm->head_m[model->cluster_nodes[c->first_node + i]];
    }
    for (int32_t half = 0; half < MOST_HALVINGS; half++) {
        go(model, c, from, step, part, warm);
        if (!look(model, at, c, warm, s, steps)) {
            return false;
        }
        const double now = along(c, s, step);
        if ((now >= 0.0 && part >= 1.0) || pw_abs(now) <= 0.1 * first) {
            break;
        }
        low = now > 0.0 ? part : low;
        high = now > 0.0 ? high : part;
        part = 0.5 * (low + high);
    }
    return true;
}

bool pw_network_surely(const pw_model *model, const setting *at, const cluster *c, bool begin, pw_warm *warm,
                       solution *out)
{
    double step[PW_MAX_NODES];
    slope_at s;
    if (begin) {
        begin_at_levels(model, c, warm);
    }
    if (!look(model, at, c, warm, &s, &out->iterations)) {
        return false;
    }
    for (int32_t round = 0; round < MOST_ROUNDS; round++) {
        if (s.worst_m3s <= 1e-10 * s.most_m3s + 1e-15) {
            out->imbalance_m3s = pw_max(out->imbalance_m3s, s.worst_m3s);
            return true;
        }
        if (s.most_m3s < STILL_M3S && s.worst_m3s < STILL_M3S) {
            stand_still(model, at, c, warm);
            return true;
        }
        if (s.worst_m3s <= NEAR * s.most_m3s && finish(model, at, c, warm, out)) {
            return true;
        }
        if (!direction(model, c, warm, &s, step)) {
            return false;
        }
        if (last_step(model, c, step, warm)) {
            return true;
        }
        if (!search(model, at, c, warm, step, &s, &out->iterations)) {
            return false;
        }
    }
    return false;
}
