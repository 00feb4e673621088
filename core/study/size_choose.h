/* Which pumps of a catalogue fit a site: every pump over the site's whole range of duties, not one point.
 *
 * The site asks with its system curves (size.h): usual ones at several pressures, weighted by the water that is pumped
 * at each, and hard ones (aged pipes, lowest water). A pump is refused for the first thing that it cannot do; the
 * others are ranked by what they cost in a year: energy at the price of the sheet and the pump's price over ten years,
 * or by the energy alone where prices are missing.
 */
#ifndef PW_STUDY_SIZE_CHOOSE_H
#define PW_STUDY_SIZE_CHOOSE_H

#include "study/size.h"

typedef struct pw_candidate {
    const char *name;
    int32_t point_count;
    const pw_curve_point *curve;
    pw_motor motor;    /* every field filled: pw_motor_defaults */
    double price;      /* 0: not known */
    double diameter_m; /* 0: not known; must go into the casing of a bore */
} pw_candidate;

typedef enum pw_refusal {
    PW_FITS,
    PW_REFUSED_CURVE,    /* its curve cannot be used */
    PW_REFUSED_SUPPLY,   /* phases or voltage */
    PW_REFUSED_DIAMETER, /* thicker than the casing */
    PW_REFUSED_HEAD,     /* cannot stop at the upper pressure, or not lift at all */
    PW_REFUSED_FLOW,     /* less than the design flow when it is hardest */
    PW_REFUSED_RUN_OUT,  /* works beyond the end of its curve */
    PW_REFUSED_SOURCE,   /* draws the source down to the intake */
    PW_REFUSED_NPSH,     /* cavitates */
    PW_REFUSED_MOTOR,    /* its motor is overloaded */
    PW_REFUSED_PRESSURE, /* its shut-off pressure is more than the site stands */
    PW_REFUSAL_COUNT
} pw_refusal;

typedef struct pw_judged {
    int32_t candidate;
    pw_refusal refusal;
    double have, need;       /* of the refusal, SI; what there is and what it should be */
    double flow_m3s, head_m; /* at the usual duty */
    double hard_flow_m3s;    /* at the lower pressure, aged pipes, lowest water */
    double efficiency;       /* of the pump, mean over the water pumped */
    double part_of_best;     /* usual flow over best flow */
    double kwh_m3, kwh_year, cost_year /* PW_INF: prices are missing */;
    double starts_h; /* most, with the vessel that is there; 0: no vessel */
} pw_judged;

enum { PW_CHOICE_DUTIES = 5 };

typedef struct pw_choice {
    const pw_sizing *sizing;
    const pw_candidate *candidates;
    int32_t count, fitting;
    pw_judged *ranked; /* those that fit first, best first; then the refused ones, in the order of the catalogue */
    bool by_cost;      /* ranked by cost, or else by energy */
    double yearly_m3;
} pw_choice;

/* candidates must outlive the choice. */
pw_status pw_choose(pw_arena *arena, const pw_plant *plant, const pw_sizing *sizing, const pw_candidate *candidates,
                    int32_t count, pw_choice **out, pw_problems *problems);

/* Id of the message "its shut-off head is too low ...", and the dimension of have and need (NONE: there are none). */
const char *pw_refusal_message(pw_refusal refusal);
const char *pw_refusal_id(pw_refusal refusal);
pw_dimension pw_refusal_dimension(pw_refusal refusal);

#endif
