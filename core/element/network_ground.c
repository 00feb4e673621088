/* The network where pipes do not all run full: places above the line of heads.
 *
 * Water does not hang on less than its vapour pressure, nor on less than the air's where air is in: each place has a
 * floor. Where full pipes would ask for a lower head, the place stays at its floor, and what leaves it runs down in a
 * part-full pipe: as much as comes, not as much as the drop would draw. So the unknown of a place is one number u: the
 * head while it stands over the floor; under it, the filling of the pipes that lead on, from 1 at the floor to 0 a
 * metre below (own scale; nothing but the way to the solution depends on it). What leaves is filling times the flow of
 * full pipes from the floor. The inflow of a place never falls with its neighbours' u, and falls with its own: a
 * network of which that is true has one solution (M-functions: Rheinboldt 1970, from memory). Newton, halved while it
 * does not help; where it swings, every place in turn is set right by bisection, which cannot miss but may creep: a tap
 * that is served in full behind a part-full pipe takes the same at any head, and each sweep moves it by what little is
 * missing. So beside what is taken each place gives away a little for each metre that it stands over its floor, less
 * and less of it, at last nothing: every head then hangs on something, and each try begins where the one before ended.
 */
#include "base/num.h"
#include "element/model_impl.h"

enum {
    FIRST_ROUNDS = 40,
    AGAIN_ROUNDS = 10,
    AIDED_ROUNDS = 40,
    LAST_ROUNDS = 400,
    MOST_HALVINGS = 10,
    BISECTIONS = 64,
    SMALL_STEPS = 3,
    BENDS = 30
};
#define BAND_M        1.0   /* of u in which the filling goes from 1 to 0 */
#define LEAST_M2S     1e-13 /* slope of a place that hangs on nothing: it stays where it is */
#define STEP_M        200.0
#define LAST_STEP_M   1e-9
#define MOST_AID_M2S  1e-6 /* given away per metre, at first; a tenth of it each time, down to LEAST_AID_M2S */
#define LEAST_AID_M2S 1e-14
#define SMALL_STEP_M  1e-6 /* so short a step is taken without asking whether it helps, SMALL_STEPS times */
#define AIDED_STEP_M  1e-6 /* a try with an aid need not be finer */
#define AT_BEND_M     1e-7
#define STILL_M3S     1e-11 /* under 1 mL a day: rounding */

typedef struct falling {
    const pw_model *model;
    const setting *at;
    const cluster *c;
    pw_warm *warm;
    int32_t *steps;
    double u[PW_MAX_NODES]; /* of the cluster's places, in its order */
    double balance[PW_MAX_NODES];
    double slope[PW_MAX_PLACES + PW_MAX_HIGHS][PW_MAX_PLACES + PW_MAX_HIGHS]; /* d balance / d u, of other places' u */
    double leaves[PW_MAX_PLACES + PW_MAX_HIGHS]; /* by how much less all places together gain for each metre of u */
    double most_m3s, worst_m3s, sum_m3s;
    double aid_m2s; /* given away by a place per metre over its floor: 0 in the solution */
} falling;

static int32_t node_of(const falling *f, int32_t i)
{
    return f->model->cluster_nodes[f->c->first_node + i];
}

/* Filling of the pipes that lead away from a node; 1 at a given head. */
static double filling(const falling *f, int32_t node, double *slope)
{
    const int32_t i = f->model->nodes[node].unknown;
    *slope = 0.0;
    if (i < 0) {
        return 1.0;
    }
    const double under_m = f->at->floor_m[node] - f->u[i];
    if (under_m <= 0.0 || under_m >= BAND_M) {
        return under_m <= 0.0 ? 1.0 : 0.0;
    }
    *slope = 1.0 / BAND_M;
    return 1.0 - under_m / BAND_M;
}

static bool stands_over(const falling *f, int32_t i)
{
    return i >= 0 && f->u[i] >= f->at->floor_m[node_of(f, i)];
}

/* What is taken at a place of the cluster, and what it gives away on the way to the solution; how that rises with u. A
 * store that is emptier than the floor asks for takes up what comes, like a pipe that leads on. */
static double taken(const falling *f, int32_t i, double *rises)
{
    const int32_t n = node_of(f, i);
    double slope;
    double taken_m3s = pw_taken_m3s(f->model, f->at, n, f->warm->head_m[n], &slope);
    if (stands_over(f, i)) {
        *rises = slope + f->aid_m2s;
        return taken_m3s + f->aid_m2s * (f->warm->head_m[n] - f->at->floor_m[n]);
    }
    *rises = 0.0;
    if (pw_ahead_stores(f->model, f->at, n)) {
        double steep;
        const double up_m3s = pw_max(pw_ahead_taken_m3s(f->model, f->at, n, f->warm->head_m[n], &slope), 0.0);
        taken_m3s -= (1.0 - filling(f, n, &steep)) * up_m3s;
        *rises = steep * up_m3s;
    }
    return taken_m3s;
}

static void put_heads(const falling *f)
{
    for (int32_t i = 0; i < f->c->node_count; i++) {
        const int32_t n = node_of(f, i);
        f->warm->head_m[n] = pw_max(f->u[i], f->at->floor_m[n]);
    }
}

/* One link: who gives, who receives (-1: a given head), how much, and how it changes with their u. */
typedef struct passing {
    int32_t giver, receiver;
    double flow_m3s, by_giver, by_receiver;
} passing;

static passing passing_of(const falling *f, int32_t l)
{
    const pw_link *link = &f->model->links[l];
    const double full_m3s = pw_abs(f->warm->flow_m3s[l]);
    const bool along = f->warm->flow_m3s[l] >= 0.0;
    double steep = 0.0;
    const double part = filling(f, along ? link->from : link->to, &steep);
    passing p = {.giver = f->model->nodes[along ? link->from : link->to].unknown,
                 .receiver = f->model->nodes[along ? link->to : link->from].unknown,
                 .flow_m3s = part * full_m3s};
    p.by_giver = stands_over(f, p.giver) ? f->warm->gain[l] : steep * full_m3s;
    p.by_receiver = stands_over(f, p.receiver) ? -part * f->warm->gain[l] : 0.0;
    return p;
}

static void add_link(falling *f, int32_t l)
{
    const passing p = passing_of(f, l);
    f->most_m3s = pw_max(f->most_m3s, p.flow_m3s);
    if (p.giver >= 0) {
        f->balance[p.giver] -= p.flow_m3s;
    }
    if (p.receiver >= 0) {
        f->balance[p.receiver] += p.flow_m3s;
    }
    if (p.giver >= 0 && p.receiver >= 0) {
        f->slope[p.giver][p.receiver] -= p.by_receiver;
        f->slope[p.receiver][p.giver] += p.by_giver;
    } else if (p.giver >= 0) {
        f->leaves[p.giver] += p.by_giver;
    } else if (p.receiver >= 0) {
        f->leaves[p.receiver] -= p.by_receiver;
    }
}

/* Flows, balances and slopes that belong to u. */
static bool look(falling *f)
{
    const int32_t count = f->c->node_count;
    put_heads(f);
    f->most_m3s = 0.0;
    for (int32_t i = 0; i < count; i++) {
        double slope;
        for (int32_t k = 0; k < count; k++) {
            f->slope[i][k] = 0.0;
        }
        f->balance[i] = -taken(f, i, &slope);
        f->leaves[i] = slope + LEAST_M2S;
    }
    for (int32_t i = 0; i < f->c->link_count; i++) {
        const int32_t l = f->model->cluster_links[f->c->first_link + i];
        if (!pw_network_link_finely(f->model, f->at, l, f->warm, f->steps)) {
            return false;
        }
        add_link(f, l);
    }
    f->worst_m3s = 0.0;
    f->sum_m3s = 0.0;
    for (int32_t i = 0; i < count; i++) {
        f->worst_m3s = pw_max(f->worst_m3s, pw_abs(f->balance[i]));
        f->sum_m3s += pw_abs(f->balance[i]);
    }
    return true;
}

static bool settled(const falling *f)
{
    return f->worst_m3s <= 1e-10 * f->most_m3s + 1e-15 || (f->most_m3s < STILL_M3S && f->worst_m3s < STILL_M3S);
}

/* Newton's step, by elimination: the slopes are no longer symmetric. Wide pipes beside a valve that is shut differ by
 * more than the digits of a number, and what a group of places gains together would drown in what they pass among each
 * other. So no difference is taken: a place's own slope is what the others gain by it and what leaves them all
 * (Grassmann, Taksar and Heyman 1985, from memory). Destroys slope and leaves; returns its longest part. */
static double direction(falling *f, double *step)
{
    const int32_t n = f->c->node_count;
    double own[PW_MAX_NODES];
    double longest = 0.0;
    for (int32_t i = 0; i < n; i++) {
        step[i] = f->balance[i];
    }
    for (int32_t k = 0; k < n; k++) {
        own[k] = f->leaves[k];
        for (int32_t i = k + 1; i < n; i++) {
            own[k] += f->slope[i][k];
        }
        for (int32_t j = k + 1; j < n; j++) {
            f->leaves[j] += f->leaves[k] * f->slope[k][j] / own[k];
        }
        for (int32_t i = k + 1; i < n; i++) {
            const double passes = f->slope[i][k] / own[k];
            for (int32_t j = k + 1; j < n && passes > 0.0; j++) {
                f->slope[i][j] += passes * f->slope[k][j];
            }
            step[i] += passes * step[k];
        }
    }
    for (int32_t i = n - 1; i >= 0; i--) {
        for (int32_t j = i + 1; j < n; j++) {
            step[i] += f->slope[i][j] * step[j];
        }
        step[i] /= own[i];
        longest = pw_max(longest, pw_abs(step[i]));
    }
    for (int32_t i = 0; i < n && longest > STEP_M; i++) {
        step[i] *= STEP_M / longest;
    }
    return longest;
}

/* One Newton step, halved until it helps; false: it does not. */
static bool step_down(falling *f, const double *step, bool *lost)
{
    double from[PW_MAX_NODES];
    const double before_m3s = f->sum_m3s;
    for (int32_t i = 0; i < f->c->node_count; i++) {
        from[i] = f->u[i];
    }
    double part = 1.0;
    for (int32_t half = 0; half < MOST_HALVINGS; half++) {
        for (int32_t i = 0; i < f->c->node_count; i++) {
            f->u[i] = from[i] + part * step[i];
        }
        *lost = !look(f);
        if (*lost || f->sum_m3s <= (1.0 - 0.1 * part) * before_m3s) {
            return !*lost;
        }
        part *= 0.5;
    }
    for (int32_t i = 0; i < f->c->node_count; i++) {
        f->u[i] = from[i];
    }
    return false;
}

/* What one place gains at this u, all others as they are. */
static bool gain_at(falling *f, int32_t i, double u, double *gain_m3s)
{
    const int32_t n = node_of(f, i);
    double slope;
    f->u[i] = u;
    f->warm->head_m[n] = pw_max(u, f->at->floor_m[n]);
    *gain_m3s = -taken(f, i, &slope);
    for (int32_t k = 0; k < f->c->link_count; k++) {
        const int32_t l = f->model->cluster_links[f->c->first_link + k];
        const pw_link *link = &f->model->links[l];
        if (link->from != n && link->to != n) {
            continue;
        }
        if (!pw_network_link_finely(f->model, f->at, l, f->warm, f->steps)) {
            return false;
        }
        const double full_m3s = f->warm->flow_m3s[l];
        const double flow_m3s = full_m3s * filling(f, full_m3s >= 0.0 ? link->from : link->to, &slope);
        *gain_m3s += link->to == n ? flow_m3s : -flow_m3s;
    }
    return true;
}

/* Every place in turn where it neither gains nor loses, as its neighbours stand. */
static bool sweep(falling *f)
{
    put_heads(f);
    for (int32_t i = 0; i < f->c->node_count; i++) {
        double low = f->at->floor_m[node_of(f, i)] - BAND_M;
        double high = pw_max(f->u[i], low) + 1.0;
        double gain_m3s = 0.0;
        for (int32_t k = 0; k < 20; k++) {
            if (!gain_at(f, i, high, &gain_m3s)) {
                return false;
            }
            if (gain_m3s <= 0.0) {
                break;
            }
            low = high;
            high += (double)(1 << k);
        }
        for (int32_t k = 0; k < BISECTIONS; k++) {
            const double middle = 0.5 * (low + high);
            if (!gain_at(f, i, middle, &gain_m3s)) {
                return false;
            }
            low = gain_m3s > 0.0 ? middle : low;
            high = gain_m3s > 0.0 ? high : middle;
        }
        f->u[i] = 0.5 * (low + high);
        f->warm->head_m[node_of(f, i)] = pw_max(f->u[i], f->at->floor_m[node_of(f, i)]);
    }
    return look(f);
}

/* The flows as they are: what the filling leaves of those of full pipes. `step` is the last one, too short for heads to
 * tell: the flows take it along their slopes, so that they balance to rounding. */
static void finish(falling *f, const double *step)
{
    const bool still = f->most_m3s < STILL_M3S;
    for (int32_t i = 0; i < f->c->link_count; i++) {
        const int32_t l = f->model->cluster_links[f->c->first_link + i];
        passing p = passing_of(f, l);
        p.flow_m3s += p.giver >= 0 ? p.by_giver * step[p.giver] : 0.0;
        p.flow_m3s += p.receiver >= 0 ? p.by_receiver * step[p.receiver] : 0.0;
        p.flow_m3s = still ? 0.0 : p.flow_m3s;
        f->warm->flow_m3s[l] = f->warm->flow_m3s[l] >= 0.0 ? p.flow_m3s : -p.flow_m3s;
    }
}

static void move(falling *f, const double *step, double part)
{
    for (int32_t i = 0; i < f->c->node_count; i++) {
        f->u[i] += part * step[i];
    }
}

/* The head of a node as it is, and after the whole step. */
static void head_along(const falling *f, int32_t node, const double *step, double *now_m, double *then_m)
{
    const int32_t i = f->model->nodes[node].unknown;
    *now_m = f->warm->head_m[node];
    *then_m = i >= 0 ? pw_max(f->u[i] + step[i], f->at->floor_m[node]) : *now_m;
}

/* The part of a step in which something that falls from `now` to `then` meets 0, if that is less than `part`; what is
 * there already has met it. */
static double sooner(double part, double now, double then)
{
    const double meets = now * then < 0.0 && pw_abs(now) > AT_BEND_M ? now / (now - then) : 1.0;
    return pw_min(part, meets);
}

/* The part of a step up to the first bend of the balances, and a little beyond it: where a place meets its floor or its
 * pipes run empty, where a tap is no longer served in full, and where a link turns. There the direction is
 * another one (so Katzenelson 1965 goes from piece to piece, from memory). */
static double to_bend(const falling *f, const double *step)
{
    double part = 1.0;
    for (int32_t i = 0; i < f->c->node_count; i++) {
        const double over_m = f->u[i] - f->at->floor_m[node_of(f, i)];
        part = sooner(part, over_m, over_m + step[i]);
        part = sooner(part, over_m + BAND_M, over_m + BAND_M + step[i]);
    }
    for (int32_t k = 0; k < f->at->taker_count; k++) {
        const taker *who = &f->at->takers[k];
        const int32_t i = f->model->nodes[who->place].unknown;
        if (who->outlet == NULL || i < 0 || i >= f->c->node_count || node_of(f, i) != who->place) {
            continue;
        }
        const double full_m = f->model->nodes[who->place].level_m + pw_outlet_needs_m(who->outlet, f->model->pa_per_m);
        part = sooner(part, f->u[i] - full_m, f->u[i] + step[i] - full_m);
    }
    for (int32_t i = 0; i < f->c->link_count; i++) {
        const pw_link *link = &f->model->links[f->model->cluster_links[f->c->first_link + i]];
        double from_m, from_then_m, to_m, to_then_m;
        head_along(f, link->from, step, &from_m, &from_then_m);
        head_along(f, link->to, step, &to_m, &to_then_m);
        part = sooner(part, from_m - to_m, from_then_m - to_then_m);
    }
    return pw_min(part * (1.0 + 1e-6) + 1e-9, 1.0);
}

/* As far along the step as it helps, else to where the direction changes, else every place in turn. Where wide pipes
 * make more of the heads' last digits than a short step gains, nothing tells that it helps: some are taken unasked. */
static bool one_round(falling *f, const double *step, double longest_m, int32_t *small, int32_t *bends)
{
    bool lost = false;
    if (longest_m <= SMALL_STEP_M && *small < SMALL_STEPS) {
        (*small)++;
        move(f, step, 1.0);
        return look(f);
    }
    if (step_down(f, step, &lost) || lost) {
        return !lost;
    }
    if (*bends < BENDS) {
        (*bends)++;
        put_heads(f);
        move(f, step, to_bend(f, step));
        return look(f);
    }
    (*bends)--;
    return sweep(f);
}

/* From u to where every place is settled under the present aid; `step` is the last one. */
static bool descend(falling *f, int32_t rounds, double *step)
{
    const double least_m = f->aid_m2s > 0.0 ? AIDED_STEP_M : LAST_STEP_M;
    int32_t small = 0;
    int32_t bends = 0;
    if (!look(f)) {
        return false;
    }
    for (int32_t round = 0; round < rounds; round++) {
        const bool done = settled(f);
        const double longest_m = direction(f, step);
        if (done || longest_m <= least_m) {
            return true;
        }
        if (!one_round(f, step, longest_m, &small, &bends)) {
            return false;
        }
    }
    return false;
}

/* Where the last solution was, if its pipes were part full, too. */
static void begin(falling *f, bool again)
{
    for (int32_t i = 0; i < f->c->node_count; i++) {
        const int32_t n = node_of(f, i);
        const double floor_m = f->at->floor_m[n];
        f->u[i] = again && f->warm->under_m[n] > 0.0 ? floor_m - f->warm->under_m[n]
                                                     : pw_max(f->warm->head_m[n], floor_m - 0.5 * BAND_M);
    }
}

/* For the next solution; true: some place is at its floor, and what leads on from there runs part full. */
static bool keep(const falling *f)
{
    bool any = false;
    for (int32_t i = 0; i < f->c->node_count; i++) {
        const int32_t n = node_of(f, i);
        f->warm->under_m[n] = pw_max(f->at->floor_m[n] - f->u[i], 0.0);
        any = any || f->warm->under_m[n] > 0.0;
    }
    return any;
}

bool pw_network_ground(const pw_model *model, const setting *at, const cluster *c, bool again, pw_warm *warm,
                       solution *out)
{
    falling f; /* its slopes are many, and written before they are read */
    double step[PW_MAX_NODES];
    f.model = model;
    f.at = at;
    f.c = c;
    f.warm = warm;
    f.steps = &out->iterations;
    f.aid_m2s = 0.0;
    begin(&f, again);
    bool solved = descend(&f, again ? AGAIN_ROUNDS : FIRST_ROUNDS, step);
    if (!solved && !again) {
        for (f.aid_m2s = MOST_AID_M2S; f.aid_m2s > LEAST_AID_M2S; f.aid_m2s *= 0.1) {
            (void)descend(&f, AIDED_ROUNDS, step); /* as near as it comes */
        }
        f.aid_m2s = 0.0;
        solved = descend(&f, LAST_ROUNDS, step);
    }
    *pw_warm_way(model, warm, c) = solved && keep(&f) ? BY_GROUND : BY_NEWTON;
    if (solved) {
        finish(&f, step);
    } else {
        out->worst = node_of(&f, 0);
    }
    return solved;
}
