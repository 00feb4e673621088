/* CVODE in the place of core/sim/integrate.c: the same equations and the same event loop, another integrator and
 * another way of finding crossings (SUNDIALS CVODE, BDF with its own root finding). No closed forms: every state and
 * sum is integrated.
 */
#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "sim/run_impl.h"

static struct {
    void *cvode;
    N_Vector y, tolerance;
    SUNMatrix matrix;
    SUNLinearSolver solver;
    SUNContext context;
    int32_t size, roots;
    double relative;
} twin;

static void rates(const pw_sim *run, const double *y, const pw_moment *m, double *k)
{
    const pw_site *site = run->plant->site;
    double *sum = k + run->sums;
    for (int i = 0; i < SUM_PUMPS; i++) {
        sum[i] = 0.0;
    }
    for (int i = 0; i < run->storages; i++) {
        k[i] = m->rate_m3s[i];
    }
    for (int s = 0; s < site->source_count; s++) {
        sum[SUM_SOURCE] += m->source_m3s[s];
    }
    for (int p = 0; p < run->thermals; p++) {
        const pw_thermal *thermal = &run->thermal[p];
        const double per_unit = m->current_a[p] / (thermal->k * thermal->basic_a);
        const double time_s = run->drive.speed[p] > 0.0 ? thermal->heat_time_s : thermal->cool_time_s;
        k[run->storages + p] = (per_unit * per_unit - y[run->storages + p]) / time_s;
        k[pw_pumped_at(run, p)] = run->drive.speed[p] > 0.0 ? m->pump_m3s[p] : 0.0;
        k[pw_energy_at(run, p)] = m->input_w[p];
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
    for (int32_t i = 0; i < run->y_count; i++) {
        run->trial.y[i] = NV_Ith_S(y, i);
    }
    return pw_run_moment(run, &run->trial) == PW_OK ? 0 : 1;
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

static void prepare(pw_sim *run)
{
    if (twin.cvode != NULL && twin.size == run->y_count && twin.roots == run->watch_count) {
        return;
    }
    twin.size = run->y_count;
    twin.roots = run->watch_count;
    twin.relative = 0.1 * run->options.tolerance; /* its error builds up over more steps than ours */
    need(SUNContext_Create(NULL, &twin.context) == 0, "SUNContext_Create");
    twin.y = N_VNew_Serial(run->y_count, twin.context);
    twin.tolerance = N_VNew_Serial(run->y_count, twin.context);
    for (int32_t i = 0; i < run->y_count; i++) {
        const double scale = i < run->sums ? run->scale[i] : i >= pw_energy_at(run, 0) ? 1e5 : 0.1;
        NV_Ith_S(twin.tolerance, i) = twin.relative * (i < run->storages || i >= run->sums ? scale : 1.0);
    }
    twin.cvode = CVodeCreate(CV_BDF, twin.context);
    need(twin.cvode != NULL, "CVodeCreate");
    need(CVodeInit(twin.cvode, right_side, 0.0, twin.y) == 0, "CVodeInit");
    need(CVodeSVtolerances(twin.cvode, twin.relative, twin.tolerance) == 0, "CVodeSVtolerances");
    twin.matrix = SUNDenseMatrix(run->y_count, run->y_count, twin.context);
    twin.solver = SUNLinSol_Dense(twin.y, twin.matrix, twin.context);
    need(CVodeSetLinearSolver(twin.cvode, twin.solver, twin.matrix) == 0, "CVodeSetLinearSolver");
    need(CVodeSetMaxNumSteps(twin.cvode, 100000) == 0, "CVodeSetMaxNumSteps");
    need(CVodeSetErrHandlerFn(twin.cvode, say_nothing, NULL) == 0, "CVodeSetErrHandlerFn");
    need(CVodeSetNoInactiveRootWarn(twin.cvode) == 0, "CVodeSetNoInactiveRootWarn");
    need(CVodeRootInit(twin.cvode, run->watch_count, crossings) == 0, "CVodeRootInit");
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

/* Settle at a whole millisecond. */
static pw_status arrive(pw_sim *run, int64_t h_ms)
{
    const pw_status status = pw_run_moment(run, &run->trial);
    if (status == PW_OK) {
        pw_sim_made(run, h_ms);
    }
    return status;
}

/* Nobody looks into a step of this one. */
pw_status pw_integrate_look(pw_sim *run, int64_t at_ms)
{
    (void)run, (void)at_ms;
    return PW_NO_SOLUTION;
}

pw_status pw_integrate(pw_sim *run, int64_t until_ms)
{
    const double end_s = (double)(until_ms - run->t_ms) * 1e-3;
    prepare(run);
    for (int32_t i = 0; i < run->y_count; i++) {
        NV_Ith_S(twin.y, i) = run->now.y[i];
    }
    need(CVodeSetUserData(twin.cvode, run) == 0, "CVodeSetUserData");
    need(CVodeReInit(twin.cvode, 0.0, twin.y) == 0, "CVodeReInit");
    need(CVodeSetStopTime(twin.cvode, end_s) == 0, "CVodeSetStopTime");
    double t_s = 0.0;
    for (;;) {
        const int flag = CVode(twin.cvode, end_s, twin.y, &t_s, CV_NORMAL);
        need(flag >= 0, "CVode");
        int64_t h_ms = until_ms - run->t_ms;
        if (flag == CV_ROOT_RETURN) {
            h_ms = (int64_t)ceil(t_s * 1e3 - 1e-6);
            h_ms = h_ms < 1 ? 1 : h_ms;
            h_ms = h_ms < until_ms - run->t_ms ? h_ms : until_ms - run->t_ms;
            const double h_s = (double)h_ms * 1e-3;
            /* The whole millisecond lies within the step just made, or the solver goes on to it past further crossings.
             */
            if (CVodeGetDky(twin.cvode, h_s, 0, twin.y) != 0) {
                need(CVodeRootInit(twin.cvode, 0, NULL) == 0, "CVodeRootInit");
                need(CVode(twin.cvode, h_s, twin.y, &t_s, CV_NORMAL) >= 0, "CVode");
                need(CVodeRootInit(twin.cvode, run->watch_count, crossings) == 0, "CVodeRootInit");
            }
        }
        for (int32_t i = 0; i < run->y_count; i++) {
            run->trial.y[i] = NV_Ith_S(twin.y, i);
        }
        if (pw_run_moment(run, &run->trial) != PW_OK) {
            return PW_NO_SOLUTION;
        }
        if (flag == CV_ROOT_RETURN && !truth_changed(run, &run->trial) && h_ms < until_ms - run->t_ms) {
            continue; /* touched, not crossed */
        }
        return arrive(run, h_ms);
    }
}
