/* The network at one moment: Newton on flows and heads together.
 *
 * Derivation: link l from i to j asks  r = H_i - H_j - h(Q) = 0,  place n asks  s = sum in - sum out - taken(H_n) = 0.
 * With g = 1/h'(Q) the Newton step is  dQ = g (r + dH_i - dH_j); put into the places it leaves a symmetric positive definite system
 * in dH: diagonal sum of g plus the slope of taken, off-diagonal -g.
 * Start: the last solution, or 0.3 m/s in every line and rest heads. Stop: every link obeys its law to 1e-9 m and no place is out
 * of balance by 1e-10 of the largest flow.
 */
#include "base/num.h"
#include "model/model_impl.h"

enum { MOST_STEPS = 120, DAMP_AFTER = 25 };
#define RESIDUAL_M 1e-9

typedef struct workspace {
    double worst_residual_m, imbalance_m3s, most_m3s;
    double balance[PW_MAX_NODES];
    double gain[PW_MAX_LINKS], residual[PW_MAX_LINKS];
    double diagonal[PW_MAX_NODES], rhs[PW_MAX_NODES], work[PW_MAX_NODES];
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
        if (l < model->site->line_count) {
            const double bore = model->lines[l].bore_m;
            warm->flow_m3s[l] = 0.3 * 0.25 * PW_PI * bore * bore;
        } else {
            warm->flow_m3s[l] = 0.5 * model->pumps[l - model->site->line_count].most_m3s;
        }
    }
    warm->known = true;
}

static void assemble(const pw_model *model, const setting *at, const pw_warm *warm, workspace *w)
{
    for (int32_t i = 0; i < model->plan->entry_count; i++) {
        w->entries[i] = 0.0;
    }
    for (int32_t n = 0; n < model->node_count; n++) {
        const int32_t u = model->nodes[n].unknown;
        w->balance[n] = 0.0;
        if (u >= 0) {
            double slope;
            w->rhs[u] = -pw_law_taken(model, at, n, warm->head_m[n], &slope);
            w->diagonal[u] = slope;
            w->balance[n] = w->rhs[u];
        }
    }
    int32_t edge = 0;
    w->worst_residual_m = 0.0;
    w->most_m3s = 0.0;
    for (int32_t l = 0; l < model->link_count; l++) {
        const int32_t from = model->links[l].from;
        const int32_t to = model->links[l].to;
        const int32_t a = model->nodes[from].unknown;
        const int32_t b = model->nodes[to].unknown;
        double loss;
        double slope;
        pw_law_link(model, at, l, warm->flow_m3s[l], &loss, &slope);
        w->gain[l] = 1.0 / slope;
        w->residual[l] = warm->head_m[from] - warm->head_m[to] - loss;
        w->worst_residual_m = pw_max(w->worst_residual_m, pw_abs(w->residual[l]));
        w->most_m3s = pw_max(w->most_m3s, pw_abs(warm->flow_m3s[l]));
        w->balance[from] -= warm->flow_m3s[l];
        w->balance[to] += warm->flow_m3s[l];
        const double moved = warm->flow_m3s[l] + w->gain[l] * w->residual[l];
        if (a >= 0) {
            w->rhs[a] -= moved;
            w->diagonal[a] += w->gain[l];
        }
        if (b >= 0) {
            w->rhs[b] += moved;
            w->diagonal[b] += w->gain[l];
        }
        if (a >= 0 && b >= 0) {
            const int32_t entry = model->plan->edge_entry[edge];
            edge++;
            if (entry >= 0) {
                w->entries[entry] -= w->gain[l];
            }
        }
    }
    w->imbalance_m3s = 0.0;
    for (int32_t n = 0; n < model->node_count; n++) {
        if (model->nodes[n].unknown >= 0) {
            w->imbalance_m3s = pw_max(w->imbalance_m3s, pw_abs(w->balance[n]));
        }
    }
}

/* Move heads and flows by the step; worst becomes the place that moved most. */
static void move(const pw_model *model, const workspace *w, double part, pw_warm *warm, int32_t *worst)
{
    double largest = 0.0;
    for (int32_t l = 0; l < model->link_count; l++) {
        const int32_t a = model->nodes[model->links[l].from].unknown;
        const int32_t b = model->nodes[model->links[l].to].unknown;
        const double up = a >= 0 ? w->rhs[a] : 0.0;
        const double down = b >= 0 ? w->rhs[b] : 0.0;
        warm->flow_m3s[l] += part * (w->gain[l] * (w->residual[l] + up - down));
    }
    for (int32_t n = 0; n < model->node_count; n++) {
        const int32_t u = model->nodes[n].unknown;
        if (u >= 0) {
            warm->head_m[n] += part * w->rhs[u];
            if (!(pw_abs(w->rhs[u]) <= largest)) {
                largest = pw_abs(w->rhs[u]);
                *worst = n;
            }
        }
    }
}

pw_status pw_network_solve(const pw_model *model, const setting *at, pw_warm *warm, solution *out)
{
    workspace w;
    out->worst = 0;
    if (!warm->known) {
        cold_start(model, at, warm);
    }
    for (int32_t n = 0; n < model->node_count; n++) {
        if (model->nodes[n].unknown < 0) {
            warm->head_m[n] = at->given_head_m[n];
        }
    }
    for (int32_t step = 0; step < MOST_STEPS; step++) {
        assemble(model, at, warm, &w);
        if (w.worst_residual_m < RESIDUAL_M && w.imbalance_m3s <= 1e-10 * w.most_m3s + 1e-15) {
            out->imbalance_m3s = w.imbalance_m3s;
            out->iterations = step;
            out->flow_m3s = warm->flow_m3s;
            out->head_m = warm->head_m;
            return PW_OK;
        }
        int32_t bad = 0;
        if (!pw_sparse_solve(model->plan, w.diagonal, w.entries, w.rhs, w.work, &bad)) {
            break;
        }
        /* A site that swings between two branches (a non-return valve on the edge) settles with part steps. */
        const double part = step > DAMP_AFTER ? (step % 3 == 0 ? 0.35 : 0.6) : 1.0;
        move(model, &w, part, warm, &out->worst);
    }
    warm->known = false;
    return PW_NO_SOLUTION;
}
