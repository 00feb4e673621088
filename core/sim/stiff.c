/* Implicit steps for stretches in which something settles within milliseconds.
 *
 * Method: the Rosenbrock method RODAS3 of order 3(2), L-stable and stiffly accurate (Sandu, Verwer, Blom, Spee,
 * Carmichael and Potra, Atmospheric Environment 31, 1997; coefficients from memory, order and stability tested in
 * tests/unit/sim). In the form (I/(h g) - J) K_i = f(y + sum a_ij K_j) + sum (c_ij/h) K_j,   y1 = y + 2 K_1 + K_3 +
 * K_4,   error = K_4,   g = 1/2. Only the storages are coupled: J is their columns, by differences. Sums and winding
 * heat follow from the storages' K. Sums of states that f keeps are kept by J's differences too, so the mass balance
 * closes to rounding.
 */
#include "base/num.h"
#include "sim/step.h"

#define GAMMA 0.5

typedef struct jacobian {
    double column[PW_MAX_STATES][MOST_Y]; /* d rate of everything / d storage */
    double lu[PW_MAX_STATES][PW_MAX_STATES];
    int32_t pivot[PW_MAX_STATES];
} jacobian;

/* Differences are noisy in their last digits, and a long step multiplies the noise: the water balance is put in
 * exactly, what comes from the sources being what leaves and what is stored. */
static void balance_column(const pw_sim *run, double *column)
{
    double *sum = column + run->sums;
    sum[SUM_SOURCE] = sum[SUM_DELIVERED] + sum[SUM_LEAKED] + sum[SUM_SPILLED];
    for (int32_t i = 0; i < run->storages; i++) {
        sum[SUM_SOURCE] += column[i];
    }
}

static pw_status differences(pw_sim *run, const stretch *step, jacobian *jac)
{
    for (int32_t j = 0; j < run->storages; j++) {
        const double small = 1e-8 * run->scale[j];
        for (int32_t i = 0; i < run->y_count; i++) {
            run->trial.y[i] = run->now.y[i];
        }
        run->trial.y[j] += small;
        const pw_status status = pw_run_moment(run, &run->trial);
        if (status != PW_OK) {
            return status;
        }
        pw_step_rates(run, step, run->trial.y, &run->trial.moment, jac->column[j]);
        for (int32_t i = 0; i < run->y_count; i++) {
            jac->column[j][i] = (jac->column[j][i] - run->k[0][i]) / small;
        }
        balance_column(run, jac->column[j]);
    }
    return PW_OK;
}

/* L U with row exchange of I/(h g) - J. False when singular. */
static bool factor(const pw_sim *run, double h_s, jacobian *jac)
{
    const int32_t n = run->storages;
    for (int32_t i = 0; i < n; i++) {
        for (int32_t j = 0; j < n; j++) {
            jac->lu[i][j] = (i == j ? 1.0 / (h_s * GAMMA) : 0.0) - jac->column[j][i];
        }
    }
    for (int32_t c = 0; c < n; c++) {
        int32_t best = c;
        for (int32_t i = c + 1; i < n; i++) {
            best = pw_abs(jac->lu[i][c]) > pw_abs(jac->lu[best][c]) ? i : best;
        }
        if (!(pw_abs(jac->lu[best][c]) > 0.0)) {
            return false;
        }
        jac->pivot[c] = best;
        for (int32_t j = 0; j < n && best != c; j++) {
            const double keep = jac->lu[c][j];
            jac->lu[c][j] = jac->lu[best][j];
            jac->lu[best][j] = keep;
        }
        for (int32_t i = c + 1; i < n; i++) {
            jac->lu[i][c] /= jac->lu[c][c];
            for (int32_t j = c + 1; j < n; j++) {
                jac->lu[i][j] -= jac->lu[i][c] * jac->lu[c][j];
            }
        }
    }
    return true;
}

/* Rate at which something beside the storages fades by itself: a winding's heat, a reading that lags. */
static double fades(const pw_sim *run, int32_t i)
{
    const int32_t pump = i - run->storages;
    if (pump < run->thermals) {
        return run->drive.speed[pump] > 0.0 ? 1.0 / run->thermal[pump].heat_time_s : 0.0;
    }
    for (int32_t s = 0; i < run->sums && s < run->plant->site->sensor_count; s++) {
        if (run->lag_of[s] == i && run->condition.sensor_lag_s[s] > 0.0) {
            return 1.0 / run->condition.sensor_lag_s[s];
        }
    }
    return 0.0;
}

/* Solve for the storages' part of K, then the rest of K follows. rhs becomes K. */
static void solve(const pw_sim *run, double h_s, const jacobian *jac, double *rhs)
{
    const int32_t n = run->storages;
    for (int32_t c = 0; c < n; c++) {
        const double keep = rhs[c];
        rhs[c] = rhs[jac->pivot[c]];
        rhs[jac->pivot[c]] = keep;
    }
    for (int32_t i = 0; i < n; i++) {
        for (int32_t j = 0; j < i; j++) {
            rhs[i] -= jac->lu[i][j] * rhs[j];
        }
    }
    for (int32_t i = n - 1; i >= 0; i--) {
        for (int32_t j = i + 1; j < n; j++) {
            rhs[i] -= jac->lu[i][j] * rhs[j];
        }
        rhs[i] /= jac->lu[i][i];
    }
    for (int32_t i = n; i < run->y_count; i++) {
        for (int32_t j = 0; j < n; j++) {
            rhs[i] += jac->column[j][i] * rhs[j];
        }
        rhs[i] /= 1.0 / (h_s * GAMMA) + fades(run, i);
    }
}

pw_status pw_step_stiff(pw_sim *run, stretch *step, double tolerance, double *error)
{
    static const double c[4][3] = {{0.0, 0.0, 0.0}, {4.0, 0.0, 0.0}, {1.0, -1.0, 0.0}, {1.0, -1.0, -8.0 / 3.0}};
    static const double a[4][3] = {{0.0, 0.0, 0.0}, {0.0, 0.0, 0.0}, {2.0, 0.0, 0.0}, {2.0, 0.0, 1.0}};
    const double h_s = step->h_s;
    jacobian jac;
    double k[4][MOST_Y];
    double f[MOST_Y];
    step->form = STRETCH_STIFF;
    pw_status status = differences(run, step, &jac);
    if (status != PW_OK || !factor(run, h_s, &jac)) {
        return status != PW_OK ? status : PW_NO_SOLUTION;
    }
    for (int32_t stage = 0; stage < 4; stage++) {
        if (stage >= 2) { /* the second stage uses the first one's rates */
            for (int32_t i = 0; i < run->y_count; i++) {
                run->trial.y[i] = run->now.y[i];
                for (int32_t j = 0; j < stage; j++) {
                    run->trial.y[i] += a[stage][j] * k[j][i];
                }
            }
            status = pw_run_moment(run, &run->trial);
            if (status != PW_OK) {
                return status;
            }
            pw_step_rates(run, step, run->trial.y, &run->trial.moment, f);
        }
        for (int32_t i = 0; i < run->y_count; i++) {
            k[stage][i] = stage < 2 ? run->k[0][i] : f[i];
            for (int32_t j = 0; j < stage; j++) {
                k[stage][i] += c[stage][j] / h_s * k[j][i];
            }
        }
        solve(run, h_s, &jac, k[stage]);
    }
    *error = 0.0;
    for (int32_t i = 0; i < run->y_count; i++) {
        run->trial.y[i] = run->now.y[i] + 2.0 * k[0][i] + k[2][i] + k[3][i];
        if (i < run->sums) {
            *error = pw_max(*error, pw_abs(k[3][i]) / (tolerance * (run->scale[i] + pw_abs(run->now.y[i]))));
        }
    }
    pw_step_close(run, step, h_s, run->trial.y);
    return pw_run_moment(run, &run->trial);
}
