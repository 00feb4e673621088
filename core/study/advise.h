/* Advice: the watches of a site's settings chosen anew, from one set of healthy years and one set of faults.
 *
 * Until a watch acts, the path of a simulation does not depend on its limit. So each simulation is done once, with
 * all watches looking on and none acting, and gives for every limit of every form the first moment at which a sentence
 * with that limit would have acted (first passage). Of several sentences the earliest acts; what comes after it is not
 * asked. Which limits are tried stands in advise_forms.c: a list for each form, of numbers as a person types them.
 *
 * The choice (advise_choose.c), in full. At most one sentence is chosen of each family (one form at one sensor or
 * pump), so that this is least:
 *   cost a year = sum over faults of  w (lost water x its price + a pump's price if it is harmed before, and a call-out
 *                                     more for one that nobody sees)
 *               + a call-out for each healthy year that is stopped, divided by the years
 *               + a call-out for the false stops that are to be feared of each, by its distance from one
 *                 (advise_near.c)
 *               + what a sentence must earn a year, for each
 *   w: each kind of fault comes `fault_years` apart; its severities, places and times are alike; likewise a leak of any
 *      size (the sweep) as one kind more
 *   subject to: the healthy years stopped are at most as many as the bound allows
 *   ties: the looser limit, families in their order. Then each family in turn takes the limit that would be best if it
 *      were the only watch, and of those that differ in the main number alone the loosest that costs alone no more than
 *      one sentence more, as long as all together cost no more than that
 *   what stands: a present watch that stops no healthy year, and is as far from it as what was chosen, stays where the
 *      limit chosen in its place would earn less than a sentence must
 * by branch and bound over the families: exact, or with the gap told when it had to end early. Where that is neither
 * cheaper than the present settings nor stops fewer healthy years, the present settings are the advice.
 *
 * Jobs, outcomes and parts are as in a proof: the outcome of a job hangs on nothing but the plan and its number.
 */
#ifndef PW_STUDY_ADVISE_H
#define PW_STUDY_ADVISE_H

#include "study/prove.h"

typedef enum pw_watch_form {
    PW_WATCH_STARTS,       /* starts reach N in TIME */
    PW_WATCH_STARTS_NIGHT, /* likewise, and time between */
    PW_WATCH_STARTS_ROW,   /* starts reach N in TIME M times in a row: regular, as a leak is and people are not */
    PW_WATCH_RUN,          /* running for TIME */
    PW_WATCH_RUN_NIGHT,    /* likewise, and time between */
    PW_WATCH_NO_FLOW,
    PW_WATCH_LOW_CURRENT,
    PW_WATCH_LOW_PRESSURE, /* running and pressure below */
    PW_WATCH_HIGH_PRESSURE,
    PW_WATCH_HIGH_CURRENT,
    PW_WATCH_FORMS
} pw_watch_form;
/* Id for machines and for options: "starts", "starts at night" ... */
const char *pw_watch_form_id(pw_watch_form form);

enum {
    PW_MAX_FAMILIES = 24,
    PW_MAX_LIMITS = 1200,
    PW_MAX_PROBES = 40,
    PW_MAX_ADVISE_YEARS = 256,
    PW_MAX_KEPT = 32,
    PW_YEARS_AT_WORK =
        2,        /* healthy years that are simulated once more with the list at work, beside all that it stops */
    PW_SLACKS = 5 /* a limit that much stricter: 1, 1.25, 1.5, 2, 3 times; of a threshold the next levels */
};

typedef struct pw_advise_options {
    pw_proof_options proof; /* years, horizon, sweep, seed, onset, places, onsets, confidence, cancelled */
    int32_t at_most;        /* false stops ... */
    double at_most_s;       /* ... in this time; default 1 in 2 years */
    double water_per_m3;    /* prices, in any one currency; default 2 */
    double call_out;        /* default 200 */
    double pump;            /* a new one with its fitting; default 1500 */
    double sentence;        /* what each must earn a year; default 1 */
    double unseen_s;        /* how long a fault goes on that nobody sees; default 14 d */
    double fault_years;     /* each kind of fault comes so many years apart; default 10 */
    bool uncertain;         /* healthy years but the first are of a site moved within its margins; default */
    uint32_t able;          /* bit for each pw_watch_form that the controller has; default all */
    int32_t no_sensor_count;
    const char *no_sensor[PW_MAX_KEPT]; /* names of sensors, or pumps for their current, that do not count */
    int32_t keep_count;
    const char *keep[PW_MAX_KEPT]; /* first words of sentences that stay */
} pw_advise_options;
void pw_advise_defaults(pw_advise_options *out);

/* One sentence that may be chosen. */
typedef struct pw_limit {
    int16_t family, probe; /* probe: -1 none */
    int16_t count;         /* of starts */
    int16_t row;           /* windows in a row that hold so many; 0: one window */
    int16_t night;         /* window of the clock, -1 none */
    uint32_t time_ms, ignore_ms;
    double level;                  /* SI; 0 none */
    const char *sentence, *ignore; /* "ignore ..." that goes with it; NULL none */
} pw_limit;

/* One form at one sensor or pump. */
typedef struct pw_family {
    pw_watch_form form;
    int32_t pump;                     /* -1: every pump, each by itself */
    int32_t signal;                   /* -1: none */
    int32_t first, count;             /* of the limits, the loosest first */
    int32_t first_probe, probe_count; /* levels, the loosest first */
} pw_family;

typedef struct pw_advise_plan {
    const pw_plant *plant; /* as it is */
    const pw_plant *trial; /* its watches only look on, and probes beside them */
    pw_advise_options options;
    const pw_jobs *jobs;
    int32_t family_count, limit_count, probe_count, first_probe;
    pw_family families[PW_MAX_FAMILIES];
    pw_limit *limits;
    int16_t trial_of[PW_MAX_SENTENCES];  /* the sentence of the trial in which a watch of the settings looks on; -1 */
    int16_t family_of[PW_MAX_SENTENCES]; /* whose limit a sentence of the settings is; -1: it stays as it is */
    bool dropped[PW_MAX_SENTENCES];      /* it looks at a sensor that does not count */
    bool keeps_starts;                   /* over a power cut */
} pw_advise_plan;
pw_status pw_advise_plan_of(pw_arena *arena, const pw_plant *plant, const pw_advise_options *options,
                            pw_advise_plan **out, pw_problems *problems);

/* What one job found. */
typedef struct pw_reach {
    int32_t job;
    int64_t length_ms;  /* simulated, from the onset */
    double end_lost_m3; /* unseen: by then, and at the same rate until unseen_s */
    int64_t harm_ms;    /* a motor burnt out, or a pump ran dry for longer than it stands; from the onset, -1 never */
    int64_t *first_ms;  /* of each limit: when it would have acted, from the onset; -1 never */
    double *lost_m3;    /* lost by then; of a fault */
    uint8_t *slack;     /* of a healthy year: 0 it acts; i: it does not with PW_SLACKS factor i - 1, nor would it, one
                           * step looser, if the pump ran as long as anything is drawn */
    int64_t present_ms[PW_MAX_SENTENCES]; /* the watches of the settings as they are */
    double present_m3[PW_MAX_SENTENCES];
} pw_reach;
/* Room for one; NULL without memory. */
pw_reach *pw_reach_new(pw_arena *arena, const pw_advise_plan *plan, int32_t count);
/* Does this job belong to advice at all? Faults of the settings themselves do not. */
bool pw_advise_does(const pw_advise_plan *plan, int32_t job);
/* Simulations that stand in health at the onsets of jobs index, index + every, ...: their faults begin from copies of
 * them. advice: with its list at work (pw_advise_check_job), else NULL. */
typedef struct pw_advise_starts pw_advise_starts;
struct pw_advice;
pw_status pw_advise_prepare(pw_arena *arena, const pw_advise_plan *plan, const struct pw_advice *advice, int32_t index,
                            int32_t every, pw_advise_starts **out, pw_problems *problems);
/* starts: NULL, or without this job's onset: the job simulates its healthy part itself, with the same outcome. */
pw_status pw_advise_job(pw_arena *scratch, const pw_advise_plan *plan, const pw_advise_starts *starts, int32_t job,
                        pw_reach *out, pw_problems *problems);

/* One point of the trade-off. */
typedef struct pw_trade {
    int32_t stopped;  /* healthy years, of all */
    double lost_m3_a; /* water lost a year */
    double cost_a;
    int32_t unseen;                /* faults */
    int32_t pick[PW_MAX_FAMILIES]; /* of a point of the trade-off: the limit chosen of each family, -1 none */
} pw_trade;

enum { PW_MAX_TRADES = 24 };

/* Chosen of one family, with its margins. */
typedef struct pw_chosen {
    int32_t limit;       /* -1 none */
    int32_t stops_from;  /* the loosest limit of its kind that would stop a healthy year; -1 none of those tried */
    int32_t misses_from; /* the strictest looser one with which something is missed that is seen now; -1 none */
    double earns_a;      /* what the choice would cost more without it */
} pw_chosen;

typedef struct pw_leak_band {
    double from_m3s, to_m3s; /* smallest and largest unseen size tried */
    double lost_m3d;         /* most that any of them loses a day */
    bool open_below, open_above;
} pw_leak_band;

typedef struct pw_advice {
    const pw_advise_plan *plan;
    const pw_reach *reaches;
    int32_t years, faults, sizes; /* healthy years, faults and leak sizes that were tried */
    int32_t allowed;              /* healthy years that may be stopped */
    bool shown;                   /* so many years can show the bound that was asked for */
    pw_demand_basis basis;
    double upper_a; /* of the false stops a year of what is advised: exact bound; PW_INF: nothing differs */
    double present_upper_a;
    pw_chosen chosen[PW_MAX_FAMILIES];
    int32_t slack; /* 0 .. PW_SLACKS - 1: all that was chosen could be that much stricter, and stop no year more */
    pw_trade present, advised, nothing; /* nothing: only what stays */
    int32_t trade_count;
    pw_trade trades[PW_MAX_TRADES];
    double gap_a; /* of the cost; 0: exact */
    int32_t band_count;
    pw_leak_band bands[PW_MAX_BANDS];
    int32_t count; /* the whole list to type */
    const char *sentences[PW_MAX_SENTENCES];
    int16_t was[PW_MAX_SENTENCES];    /* the present sentence in its place; -1 a new one */
    int16_t family[PW_MAX_SENTENCES]; /* whose limit it is; -1 */
    bool differs[PW_MAX_SENTENCES];
    bool counts[PW_MAX_SENTENCES]; /* a present sentence that stays: what it tells is a catch */
    bool held[PW_MAX_SENTENCES];   /* a present watch that stays, since no limit tried earns more in its place */
    const pw_plant *advised_plant;
    bool changes;
    bool keeps; /* nothing that was tried is better: the present settings are the advice */
    /* the advised list at work, by simulation (pw_advise_check_job) */
    bool checked;
    int32_t checked_jobs, checked_same, checked_stops;
} pw_advice;
/* reaches: one for each job of the plan, in their order. Pure. */
pw_status pw_advise_assemble(pw_arena *arena, const pw_advise_plan *plan, const pw_reach *reaches, pw_advice **out,
                             pw_problems *problems);

/* The whole list to type for one point of the trade-off. */
typedef struct pw_trade_list {
    int32_t count;
    const char *sentences[PW_MAX_SENTENCES];
    int16_t was[PW_MAX_SENTENCES]; /* the present sentence in its place; -1 a new one */
    bool differs[PW_MAX_SENTENCES];
} pw_trade_list;
/* point: 0 .. trade_count - 1. Sentences in the words of their own reader. */
pw_status pw_advise_trade_list(pw_arena *arena, const pw_advice *advice, int32_t point, pw_trade_list *out);

/* Times stricter that every limit could be: 1, 1.25 ... for the slack 0 .. PW_SLACKS - 1. */
double pw_advise_slack(int32_t slack);
/* Which of the faults and leaks that were tried a sentence of this family is the first to see (of several at once the
 * first in the list); or that it stands behind others. */
pw_fact pw_advise_sees(pw_arena *arena, const pw_advice *advice, int32_t family);

/* What faults that stay unseen would cost less a year if ...; at most, since it is taken to see all of them at once. */
typedef enum pw_extra {
    PW_EXTRA_TEST, /* the leaks among them were looked for each day, as by a meter read at night and in the morning */
    PW_EXTRA_FLOW, /* the site had a sensor of this sort, which it lacks */
    PW_EXTRA_CURRENT,
    PW_EXTRA_PRESSURE,
    PW_EXTRA_LEVEL,
    PW_EXTRA_WINDING,
    PW_EXTRA_SUPPLY,
    PW_EXTRAS
} pw_extra;
/* Per year; negative: it has one already. */
double pw_advise_extra_a(const pw_advice *advice, pw_extra extra);
const char *pw_extra_id(pw_extra extra);

/* What stays as it is, and why: one fact for each sort of sentence in the list that advice does not choose. */
void pw_advise_left(pw_arena *arena, const pw_advice *advice, pw_facts *out);

/* Why a sentence of this family, one sentence; its margins; how often a healthy site is stopped, with the bound. */
pw_fact pw_advise_why(const pw_advice *advice, int32_t family);
pw_fact pw_advise_to_stop(const pw_advice *advice, int32_t family);
pw_fact pw_advise_to_miss(const pw_advice *advice, int32_t family);
pw_fact pw_advise_stops(pw_arena *arena, const pw_advice *advice, int32_t stopped, double upper_a);

/* The advised list acting, in the simulation of one job: when its first watch acted (from the onset, -1 never). */
typedef struct pw_reach_check {
    int32_t job;
    int64_t first_ms;
} pw_reach_check;
/* Is this job simulated so? Every fault, every healthy year that the list is foretold to stop, and the first
 * PW_YEARS_AT_WORK: of years in which nothing acts the others would show the same once more. */
bool pw_advise_checks(const pw_advice *advice, int32_t job);
pw_status pw_advise_check_job(pw_arena *scratch, const pw_advice *advice, const pw_advise_starts *starts, int32_t job,
                              pw_reach_check *out, pw_problems *problems);
/* When the first watch would have acted by the passages; -1 never. */
int64_t pw_advise_foretold_ms(const pw_advice *advice, int32_t job);
void pw_advise_checked(pw_advice *advice, const pw_reach_check *checks);

#endif
