/* Private to core/sim: one step of the integration, shared by the explicit and the implicit method. */
#ifndef PW_SIM_STEP_H
#define PW_SIM_STEP_H

#include "sim/run_impl.h"

typedef enum stretch_form { STRETCH_LINE, STRETCH_CURVE, STRETCH_STIFF } stretch_form;

typedef struct quiet_bore {
    bool quiet;
    double missing_m3, time_s; /* content missing to rest, time constant */
} quiet_bore;

typedef struct stretch {
    quiet_bore bores[PW_MAX_SOURCES];
    stretch_form form;
    double h_s;
} stretch;

/* Which bores recover by themselves from `now` on. */
void pw_step_quiet(const pw_sim *run, stretch *step);
/* Rates k of the whole vector at a moment. */
void pw_step_rates(const pw_sim *run, const stretch *step, const double *y, const pw_moment *m, double *k);
/* Put the closed forms (recovering bores, cooling motors) into y at h_s after the beginning. */
void pw_step_close(const pw_sim *run, const stretch *step, double h_s, double *y);
/* One implicit step of h_s from `now` into `trial`; k[0] holds the rates at `now`. */
pw_status pw_step_stiff(pw_sim *run, stretch *step, double tolerance, double *error);

#endif
