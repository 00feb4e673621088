/* Shared by the files of size_doubts only. */
#ifndef PW_STUDY_DOUBTS_INSIDE_H
#define PW_STUDY_DOUBTS_INSIDE_H

#include "study/size_doubts.h"

typedef struct doubt {
    pw_arena *arena;
    const pw_plant *plant;
    const pw_site *site;
    pw_problems *problems;
    double pa_per_m;
    double head_m[PW_MAX_PLACES];    /* most head that can stand at a place; -PW_INF: none */
    bool sucked[PW_MAX_PLACES];      /* water comes to it through a pump's suction */
    double arrives_m[PW_MAX_PLACES]; /* most head that comes to a tank's place */
    pw_duty works[PW_MAX_PUMPS];     /* at the lower pressure; flow 0: nothing takes water there */
    double duty_m3s[PW_MAX_PUMPS];   /* flow at the lower pressure, no less than 0.3 of the curve's last */
    bool failed;
} doubt;

/* "site.pumps[1].curve"; key "" of the item itself. */
const char *doubt_path(doubt *d, const char *list, int32_t index, const char *key);
pw_value doubt_number(double value);

/* size_doubts_flow.c: each pump's duty at its lower pressure, then what does not go with it. */
void doubt_find_duties(doubt *d);
void doubt_switches(doubt *d);    /* flow switches that never make, or never break */
void doubt_least_flows(doubt *d); /* below the least flow of a pump */
void doubt_bores(doubt *d);       /* that hardly give */
void doubt_rating(doubt *d);      /* more pressure at work than the weakest part stands */
void doubt_suction(doubt *d);     /* higher than air can push water, or beyond the pump's NPSH */

/* size_doubts_level.c: stops and starts at levels that the tank never shows. */
void doubt_tank_levels(doubt *d);
/* size_doubts_start.c: motors that never run up on their cable. */
void doubt_starts(doubt *d);

#endif
