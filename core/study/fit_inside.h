/* Private to core/study: the unknowns of a fit, and the work on them. */
#ifndef PW_STUDY_FIT_INSIDE_H
#define PW_STUDY_FIT_INSIDE_H

#include "study/fit.h"
#include "study/log_foretell.h"

/* A leak by its unknown: so small a part of what the pumps give counts as one step from none (own choice). */
#define PW_FIT_LEAK_STEP 0.002

/* Finds the numbers of each unknown; problems: a path that leads nowhere. */
pw_status pw_fit_list(pw_arena *arena, const pw_site *site, const pw_fit_options *options, pw_fit *out,
                      pw_problems *problems);

/* ---- the work (fit_down.c) ---- */

enum { FIT_DAYS = 3, FIT_ROUNDS = 6 }; /* simulated for each trial; steps downhill at most */

typedef double fit_vector[PW_FIT_UNKNOWNS];
typedef struct fit_matrix {
    double at[PW_FIT_UNKNOWNS][PW_FIT_UNKNOWNS];
} fit_matrix;

typedef struct fit_work {
    pw_arena *arena;
    const pw_site *site;
    const pw_record *log;
    pw_fit *out;
    pw_log_bank_options asks;
    pw_log_rig rig;
    pw_problems *lost; /* of sites that were only tried */
    double leak_step_m3s;
    double parts_seen; /* days of the log, for how far its features are off by chance */
    double y[PW_LOG_FEATURES];
    pw_log_features now; /* foretold at x */
    fit_vector x;
    bool held[PW_FIT_UNKNOWNS]; /* not moved */
    double slope[PW_FIT_UNKNOWNS][PW_LOG_FEATURES];
    int32_t made, planned;
    const pw_fit_options *options;
} fit_work;

double fit_leak_of(const fit_work *f, double x);
double fit_number_at(const pw_fit_value *value, double x);
/* Features with these unknowns; a site that cannot be, or not be simulated, is PW_NO_SOLUTION or the like. */
pw_status fit_foretell(fit_work *f, const fit_vector x, pw_log_features *out);
/* How far a feature may be off by chance; longer: of a log without end. */
double fit_spread_of(const fit_work *f, int32_t feature, bool longer);
/* Both have it. */
bool fit_counted(const fit_work *f, const pw_log_features *foretold, int32_t feature);
double fit_usual_weight(const fit_work *f, int32_t i);
/* The mean square of how far features are off, in spreads. */
double fit_misfit(const fit_work *f, const pw_log_features *foretold);
/* The curvature of half the sum, with so much of the data counted. */
void fit_curvature(const fit_work *f, double part, fit_matrix *out);
/* One step downhill; *moved: how far, in usual spreads, 0: nowhere is better. */
pw_status fit_go_down(fit_work *f, double *damping, double *moved);
pw_status fit_descend(fit_work *f);

/* The inverse of a symmetric matrix that is positive definite; false: it is not. */
bool pw_fit_invert(int32_t count, double a[PW_FIT_UNKNOWNS][PW_FIT_UNKNOWNS],
                   double out[PW_FIT_UNKNOWNS][PW_FIT_UNKNOWNS]);

#endif
