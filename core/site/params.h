/* The numbers of a site by their path: read, bounded, listed and changed from the same rows that read, check and
 * document the sheet.
 *
 * A path is written as the sheet is: keys with dots between them, items of a list by number from 0 or by name:
 *   vessels[0].precharge   vessels[shed vessel].precharge   pumps[0].curve[2].head   pumps[0].motor.efficiency
 *   tanks[0].float valve.bore   lines[rising main].fittings.elbow 90   demand[1].pattern[7]   sensors[3].closed[0].from
 * An item that has no name of its own goes by what it refers to, where only one does: demand[misting].flow.
 * A name of digits only is taken as a number.
 *
 * Numbers are quantities, times of day (s after midnight, whole), phases (1, 3; 0 is DC), counts of fittings, the 24
 * numbers of busy hours and the ends of a contact's windows. The times and flows of a measured trace are data, not
 * parameters: `scale` of the draw turns them up and down. Numbers in sentences are found by what reads sentences
 * (sim/numbers.h): settings[2].pressure   settings[2].window
 */
#ifndef PW_SITE_PARAMS_H
#define PW_SITE_PARAMS_H

#include "site/site.h"

typedef enum pw_param_form {
    PW_PARAM_QUANTITY,
    PW_PARAM_CLOCK,
    PW_PARAM_PHASES,
    PW_PARAM_COUNT,   /* of a fitting */
    PW_PARAM_PATTERN, /* one of the 24 numbers of busy hours */
    PW_PARAM_WINDOW,  /* one end of a contact's window */
    PW_PARAM_SENTENCE /* a number within a sentence of the settings */
} pw_param_form;

typedef enum pw_origin {
    PW_ORIGIN_GIVEN,   /* the sheet states it */
    PW_ORIGIN_PIPE,    /* the pipe's name says it */
    PW_ORIGIN_DEFAULT, /* it stands in for what the sheet leaves out; `reason` says why */
    PW_ORIGIN_NONE     /* left out, and nothing stands in: it does not matter here, or is worked out elsewhere */
} pw_origin;

typedef struct pw_param {
    char path[PW_PATH_SIZE]; /* items by number */
    pw_param_form form;
    pw_origin origin;
    pw_dimension dimension;
    double si;            /* 0 with PW_ORIGIN_NONE, unless something stands there that is not used */
    double low, high;     /* SI, both allowed */
    bool whole;           /* only whole numbers (of seconds, of fittings) */
    bool clock;           /* PW_PARAM_SENTENCE: a time of day */
    bool cut_in, cut_out; /* PW_PARAM_SENTENCE: the pressure at which the pump starts, stops */
    const char *help;     /* what it is; of PW_PARAM_SENTENCE the id of its words in say */
    const char *reason;   /* of a default, else "" */
    uint32_t offset;      /* of the number in pw_site; not used by PW_PARAM_SENTENCE */
    int32_t sentence;     /* PW_PARAM_SENTENCE: which, ... */
    int32_t at, length;   /* ... and where in its text the number with its unit stands, in bytes */
} pw_param;

/* All numbers of a site in the order of the table, without those that were left out (PW_ORIGIN_NONE).
 * The list lives in the arena. PW_OK or PW_MEMORY. */
pw_status pw_params_list(pw_arena *arena, const pw_site *site, pw_param **out, int32_t *out_count);

/* The number at a path; also one that was left out and may be set. A path that leads nowhere adds one problem at it
 * (path: base_path and as much of the path as was understood; what was found there, what could stand there). */
pw_status pw_param_find(pw_arena *arena, const pw_site *site, const char *path, const char *base_path, pw_param *out,
                        pw_problems *problems);

/* The number as it stands in a site: the one that it was found in, or one with the same items. Not for
 * PW_PARAM_SENTENCE. */
double pw_param_get(const pw_site *site, const pw_param *param);

/* Put a number into a site, and nothing else: no default follows, nothing is checked, "given" stays as it was. For
 * asking what one number alone would do (sensitivities), on a copy of the site. The number is held within its bounds;
 * returns what was put. Not for PW_PARAM_SENTENCE. */
double pw_param_put(pw_site *site, const pw_param *param, double si);

/* The number as text: as a sheet states it (read again, it is the same number), and as a person wants to see it. */
void pw_param_exact(pw_text *text, const pw_param *param, double si);
void pw_param_show(pw_text *text, const pw_param *param, const pw_units *units, double si);
/* Read what a person wrote for it ("180 kPa", "06:30", "DC"); its bounds are not looked at. On failure one problem is
 * added at path and *out_si is untouched. */
pw_status pw_param_read(const pw_param *param, const char *words, double *out_si, pw_problems *problems,
                        const char *path);

typedef struct pw_param_change {
    const pw_param *param;
    double si;
} pw_param_change;

/* The site as its sheet would be read with these numbers in it, bit for bit: ranges and cross-checks hold, defaults
 * that follow from a number follow. The site that is changed stays as it was.
 *   changes    each path at most once
 *   base_path  as for pw_site_read
 * The new site lives in the arena, and takes as much of it as reading a sheet (about half a megabyte). Problems as
 * those of pw_site_read, with the same paths; PW_RANGE for a number outside its bounds. */
pw_status pw_site_change(pw_arena *arena, const pw_site *site, const pw_param_change *changes, int32_t count,
                         const char *base_path, pw_site **out, pw_problems *problems);

#endif
