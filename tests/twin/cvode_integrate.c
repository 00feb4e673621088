/* CVODES in the place of core/sim/integrate.c: the same equations and the same event loop, another integrator and
 * another way of finding crossings (SUNDIALS CVODES, BDF or Adams, with its own root finding). No closed forms: every
 * state is integrated. Used as its authors would: the sums, on which nothing depends, are its quadratures, outside its
 * error test and its Jacobian; a moment that was solved for these very states is not solved again.
 *
 * TWIN_METHOD=adams in the environment takes Adams with fixed-point iteration instead of BDF with Newton's.
 */
#include <cvodes/cvodes.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>
#include <sunnonlinsol/sunnonlinsol_fixedpoint.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "sim/run_impl.h"

static struct {
    void *cvode;
    N_Vector y, tolerance, sums;
    SUNMatrix matrix;
    SUNLinearSolver solver;
    SUNNonlinearSolver iteration;
    SUNContext context;
    int32_t states, size, roots;
    bool solved; /* trial.moment is of the states in trial.y, in the present stretch */
} twin;

/* Of what is followed: storages and windings. */
static void rates(const pw_sim *run, const double *y, const pw_moment *m, double *k)
{
    for (int i = 0; i < run->storages; i++) {
        k[i] = m->rate_m3s[i];
    }
    for (int p = 0; p < run->thermals; p++) {
        const pw_thermal *thermal = &run->thermal[p];
        const double per_unit = m->current_a[p] / (thermal->k * thermal->basic_a);
        const double time_s = run->drive.speed[p] > 0.0 ? thermal->heat_time_s : thermal->cool_time_s;
        k[run->storages + p] = (per_unit * per_unit - y[run->storages + p]) / time_s;
    }
}

/* Of what is summed; all: as in y, of which it is the part behind the states. */
static void rates_of_sums(const pw_sim *run, const pw_moment *m, double *sum)
{
    const pw_site *site = run->plant->site;
    double *all = sum - run->sums;
    for (int i = 0; i < SUM_PUMPS; i++) {
        sum[i] = 0.0;
    }
    for (int s = 0; s < site->source_count; s++) {
        sum[SUM_SOURCE] += m->source_m3s[s];
    }
    for (int p = 0; p < run->thermals; p++) {
        all[pw_pumped_at(run, p)] = run->drive.speed[p] > 0.0 ? m->pump_m3s[p] : 0.0;
        all[pw_energy_at(run, p)] = m->input_w[p];
    }
    for (int o = 0; o < site->outlet_count; o++) {
        sum[SUM_DELIVERED] += m->outlet_m3s[o];
    }
    for (int l = 0; l < run->condition.leak_count; l++) {
        sum[SUM_LEAKED] += m->leak_m3s[l];
    }
    for (int t = 0; t < site->tank_count; t++) {
        sum[SUM_SPILLED] += m->spill_m3s[t];
    }
}

static int moment_at(pw_sim *run, N_Vector y)
{
    const size_t bytes = (size_t)twin.states * sizeof(double);
    if (twin.solved && memcmp(run->trial.y, NV_DATA_S(y), bytes) == 0) {
        return 0;
    }
    memcpy(run->trial.y, NV_DATA_S(y), bytes);
    twin.solved = pw_run_moment(run, &run->trial) == PW_OK;
    return twin.solved ? 0 : 1;
}

static int right_side(realtype t, N_Vector y, N_Vector dy, void *user)
{
    pw_sim *run = user;
    (void)t;
    if (moment_at(run, y) != 0) {
        return 1;
    }
    rates(run, run->trial.y, &run->trial.moment, NV_DATA_S(dy));
    return 0;
}

static int right_side_of_sums(realtype t, N_Vector y, N_Vector dy, void *user)
{
    pw_sim *run = user;
    (void)t;
    if (moment_at(run, y) != 0) {
        return 1;
    }
    rates_of_sums(run, &run->trial.moment, NV_DATA_S(dy));
    return 0;
}

static int crossings(realtype t, N_Vector y, realtype *out, void *user)
{
    pw_sim *run = user;
    (void)t;
    if (moment_at(run, y) != 0) {
        return 1;
    }
    for (int32_t i = 0; i < run->watch_count; i++) {
        const watch *w = &run->watches[i];
        const double scale = fabs(w->threshold) > 1.0 && fabs(w->threshold) < 1e300 ? fabs(w->threshold) : 1.0;
        out[i] = fabs(w->threshold) < 1e300 ? (pw_watch_value(run, w, &run->trial) - w->threshold) / scale : 1.0;
    }
    return 0;
}

/* A time refused by CVodeGetDky is an answer here, not an error: nothing is printed. */
static void say_nothing(int code, const char *module, const char *function, char *words, void *data)
{
    (void)code, (void)module, (void)function, (void)words, (void)data;
}

static void need(int good, const char *what)
{
    if (!good) {
        fprintf(stderr, "twin: %s failed\n", what);
        exit(70);
    }
}

static void prepare_method(void)
{
    const char *method = getenv("TWIN_METHOD");
    const bool adams = method != NULL && strcmp(method, "adams") == 0;
    twin.cvode = CVodeCreate(adams ? CV_ADAMS : CV_BDF, twin.context);
    need(twin.cvode != NULL, "CVodeCreate");
    need(CVodeInit(twin.cvode, right_side, 0.0, twin.y) == 0, "CVodeInit");
    if (adams) {
        twin.iteration = SUNNonlinSol_FixedPoint(twin.y, 0, twin.context);
        need(CVodeSetNonlinearSolver(twin.cvode, twin.iteration) == 0, "CVodeSetNonlinearSolver");
        return;
    }
    twin.matrix = SUNDenseMatrix(twin.states, twin.states, twin.context);
    twin.solver = SUNLinSol_Dense(twin.y, twin.matrix, twin.context);
    need(CVodeSetLinearSolver(twin.cvode, twin.solver, twin.matrix) == 0, "CVodeSetLinearSolver");
}

static void prepare(pw_sim *run)
{
    if (twin.cvode != NULL && twin.size == run->y_count && twin.roots == run->watch_count) {
        return;
    }
    const pw_site *site = run->plant->site;
    need(site->filter_count == 0 && !site->supply.battery.full_v.given && run->lags == run->sums,
         "a site without filters, battery and late readings");
    const double relative = run->options.tolerance;
    twin.states = run->sums;
    twin.size = run->y_count;
    twin.roots = run->watch_count;
    need(SUNContext_Create(NULL, &twin.context) == 0, "SUNContext_Create");
    twin.y = N_VNew_Serial(twin.states, twin.context);
    twin.tolerance = N_VNew_Serial(twin.states, twin.context);
    twin.sums = N_VNew_Serial(run->y_count - run->sums, twin.context);
    for (int32_t i = 0; i < twin.states; i++) {
        NV_Ith_S(twin.tolerance, i) = relative * run->scale[i];
    }
    prepare_method();
    need(CVodeSVtolerances(twin.cvode, relative, twin.tolerance) == 0, "CVodeSVtolerances");
    need(CVodeSetMaxNumSteps(twin.cvode, 100000) == 0, "CVodeSetMaxNumSteps");
    need(CVodeSetErrHandlerFn(twin.cvode, say_nothing, NULL) == 0, "CVodeSetErrHandlerFn");
    need(CVodeSetNoInactiveRootWarn(twin.cvode) == 0, "CVodeSetNoInactiveRootWarn");
    need(CVodeRootInit(twin.cvode, run->watch_count, crossings) == 0, "CVodeRootInit");
    need(CVodeQuadInit(twin.cvode, right_side_of_sums, twin.sums) == 0, "CVodeQuadInit");
}

static bool truth_changed(const pw_sim *run, const point *at)
{
    for (int32_t i = 0; i < run->watch_count; i++) {
        const watch *w = &run->watches[i];
        if (pw_watch_truth(w, pw_watch_value(run, w, at)) != w->holds) {
            return true;
        }
    }
    return false;
}

/* Nobody looks into a step of this one. */
pw_status pw_integrate_look(pw_sim *run, int64_t at_ms)
{
    (void)run, (void)at_ms;
    return PW_NO_SOLUTION;
}

/* To t_s, which lies within the step just made, or the solver goes on to it past further crossings. */
static void go_to(pw_sim *run, double t_s)
{
    double reached_s = 0.0;
    if (CVodeGetDky(twin.cvode, t_s, 0, twin.y) == 0) {
        need(CVodeGetQuadDky(twin.cvode, t_s, 0, twin.sums) == 0, "CVodeGetQuadDky");
        return;
    }
    need(CVodeRootInit(twin.cvode, 0, NULL) == 0, "CVodeRootInit");
    need(CVode(twin.cvode, t_s, twin.y, &reached_s, CV_NORMAL) >= 0, "CVode");
    need(CVodeGetQuad(twin.cvode, &reached_s, twin.sums) == 0, "CVodeGetQuad");
    need(CVodeRootInit(twin.cvode, run->watch_count, crossings) == 0, "CVodeRootInit");
}

static void begin(pw_sim *run, double end_s)
{
    prepare(run);
    for (int32_t i = 0; i < twin.states; i++) {
        NV_Ith_S(twin.y, i) = run->now.y[i];
    }
    N_VConst(0.0, twin.sums);
    run->trial = run->now; /* its moment is known */
    twin.solved = true;
    need(CVodeSetUserData(twin.cvode, run) == 0, "CVodeSetUserData");
    need(CVodeReInit(twin.cvode, 0.0, twin.y) == 0, "CVodeReInit");
    need(CVodeQuadReInit(twin.cvode, twin.sums) == 0, "CVodeQuadReInit");
    need(CVodeSetStopTime(twin.cvode, end_s) == 0, "CVodeSetStopTime");
}

pw_status pw_integrate(pw_sim *run, int64_t until_ms)
{
    const double end_s = (double)(until_ms - run->t_ms) * 1e-3;
    double t_s = 0.0;
    begin(run, end_s);
    for (;;) {
        const int flag = CVode(twin.cvode, end_s, twin.y, &t_s, CV_NORMAL);
        need(flag >= 0, "CVode");
        int64_t h_ms = until_ms - run->t_ms;
        if (flag == CV_ROOT_RETURN) {
            h_ms = (int64_t)ceil(t_s * 1e3 - 1e-6);
            h_ms = h_ms < 1 ? 1 : h_ms;
            h_ms = h_ms < until_ms - run->t_ms ? h_ms : until_ms - run->t_ms;
            go_to(run, (double)h_ms * 1e-3);
        } else {
            need(CVodeGetQuad(twin.cvode, &t_s, twin.sums) == 0, "CVodeGetQuad");
        }
        if (moment_at(run, twin.y) != 0) {
            return PW_NO_SOLUTION;
        }
        if (flag == CV_ROOT_RETURN && !truth_changed(run, &run->trial) && h_ms < until_ms - run->t_ms) {
            continue; /* touched, not crossed */
        }
        for (int32_t i = 0; i < run->y_count - run->sums; i++) {
            run->trial.y[run->sums + i] = run->now.y[run->sums + i] + NV_Ith_S(twin.sums, i);
        }
        pw_sim_made(run, h_ms);
        return PW_OK;
    }
}
