/* Private to core/study: unknowns of a fit. */
#ifndef PW_STUDY_FIT_INSIDE_H
#define PW_STUDY_FIT_INSIDE_H

#include "study/fit.h"

/* A leak by its unknown: so small a part of what the pumps give counts as one step from none (own choice). */
#define PW_FIT_LEAK_STEP 0.002

/* Finds the numbers of each unknown; problems: a path that leads nowhere. */
pw_status pw_fit_list(pw_arena *arena, const pw_site *site, const pw_fit_options *options, pw_fit *out,
                      pw_problems *problems);

/* The inverse of a symmetric matrix that is positive definite; false: it is not. */
bool pw_fit_invert(int32_t count, double a[PW_FIT_UNKNOWNS][PW_FIT_UNKNOWNS],
                   double out[PW_FIT_UNKNOWNS][PW_FIT_UNKNOWNS]);

#endif
