/* The network at one moment: Newton on flows and heads together, cluster by cluster.
 *
 * Derivation: link l from i to j asks  r = H_i - H_j - h(Q) = 0,  place n asks  s = sum in - sum out - taken(H_n) = 0.
 * With g = 1/h'(Q) the Newton step is  dQ = g (r + dH_i - dH_j); put into the places it leaves a symmetric positive
 * definite system in dH: diagonal sum of g plus the slope of taken, off-diagonal -g. Start: the last solution. A
 * cluster that hangs on one given head moves with it, and a link between two given heads follows its last slope, so
 * that a cluster whose draws are served in full needs no step at all. A cluster on one given head with nothing taken is
 * at rest: no flow anywhere. Cold: 0.3 m/s in every line. Where this swings for ever between branches (a stopped pump
 * on the edge of letting water through, taps half served), network_surely.c solves the cluster by a slower way that
 * cannot fail. Stop: every link obeys its law to 1e-9 m and no place is out of balance by 1e-10 of the largest flow.
 */
#include "base/num.h"
#include "element/model_impl.h"

enum { LINK_STEPS = 240, AGAIN_STEPS = 8, DAMP_AFTER = 12 };
#define RESIDUAL_M 1e-9
#define ROUNDING   4e-16

typedef struct workspace {
    double worst_residual_m, imbalance_m3s, most_m3s;
    double balance[PW_MAX_NODES];
    double residual[PW_MAX_LINKS];
    double excess[PW_MAX_NODES], rhs[PW_MAX_NODES], work[PW_MAX_NODES];
    double entries[PW_MAX_LINKS * 4 + PW_MAX_NODES];
} workspace;

static void cold_start(const pw_model *model, const setting *at, pw_warm *warm)
{
    double high = -1e9;
    for (int32_t n = 0; n < model->node_count; n++) {
        if (model->nodes[n].unknown < 0) {
            high = pw_max(high, at->given_head_m[n]);
        }
    }
    for (int32_t n = 0; n < model->node_count; n++) {
        warm->head_m[n] = model->nodes[n].unknown < 0 ? at->given_head_m[n] : high;
    }
    for (int32_t l = 0; l < model->link_count; l++) {
        warm->gain[l] = 0.0;
        warm->flow_m3s[l] = pw_link_kinds[model->links[l].kind].cold_m3s(model, model->links[l].item);
    }
    warm->known = true;
}

static void assemble(const pw_model *model, const setting *at, const cluster *c, pw_warm *warm, workspace *w)
{
    for (int32_t i = 0; i < c->plan->entry_count; i++) {
        w->entries[i] = 0.0;
    }
    for (int32_t i = 0; i < c->node_count; i++) {
        const int32_t n = model->cluster_nodes[c->first_node + i];
        w->rhs[i] = -pw_taken_m3s(model, at, n, warm->head_m[n], &w->excess[i]);
        w->balance[i] = w->rhs[i];
    }
    int32_t edge = 0;
    w->worst_residual_m = 0.0;
    w->most_m3s = 0.0;
    for (int32_t i = 0; i < c->link_count; i++) {
        const int32_t l = model->cluster_links[c->first_link + i];
        const int32_t a = model->nodes[model->links[l].from].unknown;
        const int32_t b = model->nodes[model->links[l].to].unknown;
        const double flow = warm->flow_m3s[l];
        double loss;
        double slope;
        pw_link_loss(model, at, l, flow, &loss, &slope);
        const double gain = 1.0 / slope;
        const double residual = warm->head_m[model->links[l].from] - warm->head_m[model->links[l].to] - loss;
        const double moved = flow + gain * residual;
        warm->gain[l] = gain;
        w->residual[i] = residual;
        /* less what a rounding of the flow alone makes on a very steep law */
        w->worst_residual_m = pw_max(w->worst_residual_m, pw_abs(residual) - ROUNDING * slope * pw_abs(flow));
        w->most_m3s = pw_max(w->most_m3s, pw_abs(flow));
        if (a >= 0) {
            w->balance[a] -= flow;
            w->rhs[a] -= moved;
        }
        if (b >= 0) {
            w->balance[b] += flow;
            w->rhs[b] += moved;
        }
        if (a >= 0 && b >= 0) {
            const int32_t entry = c->plan->edge_entry[edge];
            edge++;
            if (entry >= 0) {
                w->entries[entry] -= gain;
            }
        } else if (a >= 0 || b >= 0) {
            w->excess[a >= 0 ? a : b] += gain;
        }
    }
    w->imbalance_m3s = 0.0;
    for (int32_t i = 0; i < c->node_count; i++) {
        w->imbalance_m3s = pw_max(w->imbalance_m3s, pw_abs(w->balance[i]));
    }
}

/* What is taken at a place stops at its level, with a bend that Newton would jump over for ever: from well above the
 * level a step goes at most four fifths of the way down to it. In the last 2 mm the laws are smooth enough, and the
 * head may fall below. */
static void hold_above_level(const pw_model *model, const setting *at, const cluster *c, const pw_warm *warm,
                             workspace *w)
{
    for (int32_t i = 0; i < c->node_count; i++) {
        const int32_t n = model->cluster_nodes[c->first_node + i];
        const double above = warm->head_m[n] - model->nodes[n].level_m;
        if (above > 2e-3 && w->rhs[i] < -above && pw_taken_wanted(at, n)) {
            w->rhs[i] = -0.8 * above;
        }
    }
}

/* Move heads and flows by the step; worst becomes the place that moved most. */
static void move(const pw_model *model, const cluster *c, const workspace *w, double part, pw_warm *warm,
                 int32_t *worst)
{
    double largest = -1.0;
    for (int32_t i = 0; i < c->link_count; i++) {
        const int32_t l = model->cluster_links[c->first_link + i];
        const int32_t a = model->nodes[model->links[l].from].unknown;
        const int32_t b = model->nodes[model->links[l].to].unknown;
        const double up = a >= 0 ? w->rhs[a] : 0.0;
        const double down = b >= 0 ? w->rhs[b] : 0.0;
        warm->flow_m3s[l] += part * (warm->gain[l] * (w->residual[i] + up - down));
    }
    for (int32_t i = 0; i < c->node_count; i++) {
        const int32_t n = model->cluster_nodes[c->first_node + i];
        warm->head_m[n] += part * w->rhs[i];
        if (!(pw_abs(w->rhs[i]) <= largest)) {
            largest = pw_abs(w->rhs[i]);
            *worst = n;
        }
    }
}

/* How far from solved, in metres: for the damping only. */
static double distance_m(const workspace *w)
{
    return w->worst_residual_m + 50.0 * w->imbalance_m3s / pw_max(w->most_m3s, 1e-6);
}

/* Part of the next step: whole as long as it helps; a site that swings between two branches (a non-return valve on the
 * edge, a tap half served) settles with smaller ones. */
static double part_of(int32_t step, double part, double before_m, double now_m)
{
    if (step < DAMP_AFTER) {
        return 1.0;
    }
    return now_m < before_m ? pw_min(1.0, 1.7 * part) : pw_max(0.5 * part, 0.03);
}

bool pw_network_places(const pw_model *model, const setting *at, const cluster *c, int32_t most_steps, pw_warm *warm,
                       solution *out)
{
    workspace w;
    double part = 1.0;
    double before_m = PW_INF;
    for (int32_t step = 0; step < most_steps; step++) {
        assemble(model, at, c, warm, &w);
        if (w.worst_residual_m < RESIDUAL_M && w.imbalance_m3s <= 1e-10 * w.most_m3s + 1e-15) {
            out->imbalance_m3s = pw_max(out->imbalance_m3s, w.imbalance_m3s);
            out->iterations += step;
            return true;
        }
        int32_t bad = 0;
        if (!pw_sparse_solve(c->plan, w.excess, w.entries, w.rhs, w.work, &bad)) {
            out->worst = model->cluster_nodes[c->first_node + bad];
            return false;
        }
        hold_above_level(model, at, c, warm, &w);
        part = part_of(step, part, before_m, distance_m(&w));
        before_m = distance_m(&w);
        move(model, c, &w, part, warm, &out->worst);
    }
    return false;
}

/* Newton's step of a flow whose loss should be another. Most of what water passes loses nearly the square of its flow:
 * there the step is of the square roots, which are nearly straight, so that a valve that shuts by half is no news. */
static double link_step(double flow_m3s, double loss_m, double gain, double asked_m)
{
    if (!(loss_m * asked_m > 0.0 && flow_m3s / (gain * loss_m) > 1.5)) { /* exponent of the flow */
        return gain * (asked_m - loss_m);
    }
    const double root = pw_sqrt(pw_abs(loss_m));
    return 2.0 * gain * (loss_m > 0.0 ? root : -root) * (pw_sqrt(pw_abs(asked_m)) - root);
}

/* One link whose ends have these heads: Newton, held within the bracket found so far (a flat curve next to a closed
 * valve throws it far out). */
bool pw_network_link(const pw_model *model, const setting *at, int32_t l, pw_warm *warm, int32_t *steps)
{
    const double asked = warm->head_m[model->links[l].from] - warm->head_m[model->links[l].to];
    double low = -PW_INF;
    double high = PW_INF;
    for (int32_t step = 0; step < LINK_STEPS; step++) {
        double loss;
        double slope;
        const double flow = warm->flow_m3s[l];
        pw_link_loss(model, at, l, flow, &loss, &slope);
        warm->gain[l] = 1.0 / slope;
        const double residual = asked - loss;
        if (pw_abs(residual) < RESIDUAL_M + ROUNDING * slope * pw_abs(flow)) {
            *steps += step;
            return true;
        }
        low = residual > 0.0 ? flow : low;
        high = residual > 0.0 ? high : flow;
        const double next = flow + link_step(flow, loss, warm->gain[l], asked);
        warm->flow_m3s[l] = next > low && next < high ? next : 0.5 * (low + high);
    }
    return false;
}

/* Where the difference of the heads is all that says how much flows, a wide short pipe needs it finer. */
bool pw_network_link_finely(const pw_model *model, const setting *at, int32_t l, pw_warm *warm, int32_t *steps)
{
    const pw_link *link = &model->links[l];
    double loss_m;
    double slope;
    if (!pw_network_link(model, at, l, warm, steps)) {
        return false;
    }
    pw_link_loss(model, at, l, warm->flow_m3s[l], &loss_m, &slope);
    warm->flow_m3s[l] += (warm->head_m[link->from] - warm->head_m[link->to] - loss_m) / slope;
    return true;
}

/* Nothing is taken anywhere in a cluster that hangs on one head and has no pump: it stands still. */
static bool at_rest(const pw_model *model, const setting *at, const cluster *c)
{
    if (c->given < 0 || c->has_pump) {
        return false;
    }
    for (int32_t i = 0; i < c->node_count; i++) {
        const int32_t n = model->cluster_nodes[c->first_node + i];
        if (pw_taken_wanted(at, n) || pw_ahead_stores(model, at, n)) {
            return false;
        }
    }
    return true;
}

static void rest(const pw_model *model, const setting *at, const cluster *c, pw_warm *warm)
{
    for (int32_t i = 0; i < c->node_count; i++) {
        const int32_t n = model->cluster_nodes[c->first_node + i];
        warm->head_m[n] = pw_max(at->given_head_m[c->given], at->floor_m[n]);
    }
    for (int32_t i = 0; i < c->link_count; i++) {
        warm->flow_m3s[model->cluster_links[c->first_link + i]] = 0.0;
    }
}

/* Every place of a cluster has the pressure that a full pipe needs. */
static bool full_pipes(const pw_model *model, const setting *at, const cluster *c, const pw_warm *warm)
{
    for (int32_t i = 0; i < c->node_count; i++) {
        const int32_t n = model->cluster_nodes[c->first_node + i];
        if (warm->head_m[n] < at->floor_m[n] - RESIDUAL_M) {
            return false;
        }
    }
    return true;
}

static void keep_places(const pw_model *model, const cluster *c, const pw_warm *from, pw_warm *to)
{
    for (int32_t i = 0; i < c->node_count; i++) {
        const int32_t n = model->cluster_nodes[c->first_node + i];
        to->head_m[n] = from->head_m[n];
    }
    for (int32_t i = 0; i < c->link_count; i++) {
        const int32_t l = model->cluster_links[c->first_link + i];
        to->flow_m3s[l] = from->flow_m3s[l];
        to->gain[l] = from->gain[l];
    }
}

/* Full pipes: by Newton's steps, a few of them where they failed last time; else the sure way, from where the last
 * solution was. */
static bool full_places(const pw_model *model, const setting *at, const cluster *c, pw_warm *warm, solution *out)
{
    pw_warm before;
    solved_by *way = pw_warm_way(model, warm, c);
    keep_places(model, c, warm, &before);
    const int32_t steps = *way == BY_SURELY ? AGAIN_STEPS : PW_NEWTON_STEPS;
    const bool quick = pw_network_places(model, at, c, steps, warm, out);
    *way = quick ? BY_NEWTON : BY_SURELY;
    if (quick) {
        return true;
    }
    keep_places(model, c, &before, warm);
    return pw_network_surely(model, at, c, false, warm, out) || pw_network_surely(model, at, c, true, warm, out);
}

/* Full pipes first; where they were not full in the last solution, as they stood then. */
static bool places_in_turn(const pw_model *model, const setting *at, const cluster *c, const double *rise_m,
                           pw_warm *warm, solution *out)
{
    if (*pw_warm_way(model, warm, c) == BY_GROUND) {
        pw_warm before;
        keep_places(model, c, warm, &before);
        if (pw_network_ground(model, at, c, true, warm, out)) {
            return true;
        }
        keep_places(model, c, &before, warm);
    }
    for (int32_t n = 0; n < c->node_count && c->given >= 0; n++) {
        warm->head_m[model->cluster_nodes[c->first_node + n]] += rise_m[c->given];
    }
    return full_places(model, at, c, warm, out) &&
           (full_pipes(model, at, c, warm) || pw_network_ground(model, at, c, false, warm, out));
}

pw_status pw_network_solve(const pw_model *model, const setting *at, pw_warm *warm, solution *out)
{
    double rise[PW_MAX_NODES];
    out->worst = 0;
    out->imbalance_m3s = 0.0;
    out->iterations = 0;
    out->flow_m3s = warm->flow_m3s;
    out->head_m = warm->head_m;
    if (!warm->known) {
        cold_start(model, at, warm);
    }
    for (int32_t n = 0; n < model->node_count; n++) {
        if (model->nodes[n].unknown < 0) {
            rise[n] = at->given_head_m[n] - warm->head_m[n];
            warm->head_m[n] = at->given_head_m[n];
        }
    }
    for (int32_t i = 0; i < model->cluster_count; i++) {
        const cluster *c = &model->clusters[i];
        bool solved = true;
        if (c->node_count == 0) {
            const int32_t l = model->cluster_links[c->first_link];
            warm->flow_m3s[l] += warm->gain[l] * (rise[model->links[l].from] - rise[model->links[l].to]);
            solved = pw_network_link(model, at, l, warm, &out->iterations);
            out->worst = model->links[l].to;
        } else if (at_rest(model, at, c)) {
            rest(model, at, c, warm);
        } else {
            solved = places_in_turn(model, at, c, rise, warm, out);
        }
        if (!solved) {
            warm->known = false;
            return PW_NO_SOLUTION;
        }
    }
    return PW_OK;
}
