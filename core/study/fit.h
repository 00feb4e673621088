/* Fit: numbers of a sheet calibrated against a log of its site.
 *
 * Who drew water when is not in the sheet, so rows cannot be compared with rows. Compared is what was found in the log
 * (features, log_rows.inc) with what the site of the sheet would show with other numbers: least squares,
 *
 *   sum over features of rho((seen - foretold(x)) / spread)  +  sum over unknowns of (x / usual)^2
 *
 * rho: of Student's density with four degrees of freedom, so that one feature that the model has wrong does not carry
 * the rest away. An unknown is a factor on one or several numbers of the sheet (x its logarithm), or a leak. `usual` is
 * how far it is off before any log is read (own choices, fit_unknowns.c). Steps: Levenberg and Marquardt, slopes by
 * differences of simulations under the same draws (Press et al., Numerical Recipes, 15.5, from memory).
 *
 * What holds
 *  - An unknown that the log narrows to no less than six tenths of its usual spread is refused: its
 *    numbers stay as they were, and the signal that would tell it is named, where there is one.
 *  - What the sheet says within the interval stands: only numbers outside are changed.
 *  - Intervals hold 90 %, and are those of all unknowns together: what cannot be parted from another is wide.
 *  - The same site, log and seed: the same bits.
 */
#ifndef PW_STUDY_FIT_H
#define PW_STUDY_FIT_H

#include "sim/numbers.h"
#include "study/log_judge.h"

enum { PW_FIT_UNKNOWNS = 8, PW_FIT_VALUES = 96 };

/* A number of the sheet under an unknown. */
typedef struct pw_fit_value {
    pw_param param;
    double power; /* factor of the number = factor of the unknown to this power */
    double is;    /* fitted, SI; as it was where nothing changes */
} pw_fit_value;

typedef struct pw_fit_unknown {
    const char *words; /* id of a message */
    const char *path;  /* as it was asked for, "" of the usual ones */
    bool leak;
    double usual;        /* spread of x before any log */
    double x, deviation; /* least squares */
    int32_t from, count; /* its values */
    pw_estimate factor;  /* of its numbers; a leak: m3/s */
    bool told;
    bool off;       /* told, and the interval does not hold what the sheet says: its numbers change */
    int32_t beside; /* the unknown that it cannot be parted from, or -1 */
    /* what would tell it, where it is refused */
    bool finer;           /* rows at shorter steps: runs are too short for those of the log */
    bool measure, longer; /* a signal that the log lacks; a longer log of the same signals */
    pw_log_signal signal;
} pw_fit_unknown;

typedef struct pw_fit {
    int32_t unknown_count, value_count;
    pw_fit_unknown unknowns[PW_FIT_UNKNOWNS];
    pw_fit_value values[PW_FIT_VALUES];
    pw_log_features seen, before, after; /* before, after: foretold as the sheet says, and as fitted; SI */
    double spread[PW_LOG_FEATURES];      /* of the compared form */
    double misfit_before, misfit_after;  /* mean squares of what was seen, in spreads */
    bool explained;                      /* fitted, the features lie within what is foretold */
    double since_s;                      /* from then on the log was taken: before, it was another one */
    int64_t simulated_ms;
} pw_fit;

typedef struct pw_fit_options {
    uint64_t seed;
    int32_t path_count;       /* 0: the usual unknowns */
    const char *const *paths; /* "leak", or a path of a number; "*" for an index: all of them by one factor */
    bool (*cancelled)(void *user, double done);
    void *user;
} pw_fit_options;

/* site: as its sheet says; it was read and can be built. PW_OK, PW_MEMORY, PW_CANCELLED, or after problems were added
 * (path: base_path, for an unknown's path) their status. */
pw_status pw_fit_log(pw_arena *arena, const pw_site *site, const pw_record *log, const pw_fit_options *options,
                     pw_fit **out, pw_problems *problems);

#endif
