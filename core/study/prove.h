/* Proof: which watch catches which fault, how soon, and what no watch can ever see.
 *
 * A proof is a list of independent jobs (one simulation each, or one healthy year), so that shells can share them out
 * over cores or workers: the outcome of a job depends on nothing but the plant, the options and its number. Assembling
 * is pure.
 */
#ifndef PW_STUDY_PROVE_H
#define PW_STUDY_PROVE_H

#include "sim/demand.h"
#include "sim/run.h"
#include "study/margins.h"

/* The fault of which a sweep tries many severities, for its blind bands: leaks, the one that anybody may have. */
#define PW_SWEPT_FAULT PW_FAULT_SLOW_LEAK

enum { PW_MAX_SWEEP = 400, PW_MAX_PLACES_TRIED = 100, PW_MAX_ONSETS = 24 };

typedef struct pw_proof_options {
    int32_t healthy_years; /* default 10 */
    double horizon_s;      /* how long a fault may go unseen before it counts as never seen; default 14 days */
    int32_t sweep_count;   /* leak sizes of the blind-band sweep, 0 .. PW_MAX_SWEEP; default 48 */
    uint64_t seed;
    int64_t onset_ms;  /* faults begin here; default Tuesday 10:00 */
    double confidence; /* of the false stop bound; default 0.95 */
    int32_t places;    /* each fault at so many places, the usual one first, 1 .. PW_MAX_PLACES_TRIED; default 1 */
    int32_t onsets;    /* each fault at so many times spread evenly over a day, onset_ms first, 1 .. 24; default 1 */
    bool pairs;        /* also two at once, where they come together in practice; default false */
    bool margins;      /* move what nobody knows exactly, and see what flips (study/margins.h); default true */
    bool edges;        /* also the sweep and, with margins, which catches flip; false for the proof of a proposal, which
                          asks for neither; default true */
    bool (*cancelled)(void *user, double done); /* pw_run_options, for each job; NULL never */
    void *user;
} pw_proof_options;
void pw_proof_defaults(pw_proof_options *out);

#define PW_HEALTHY_YEAR_S 31536000.0 /* as long as a healthy year is simulated: 365 days */

typedef enum pw_job_kind { PW_JOB_FAULT, PW_JOB_HEALTHY, PW_JOB_SWEEP, PW_JOB_MARGIN } pw_job_kind;

typedef struct pw_job {
    pw_job_kind kind;
    pw_fault fault;  /* FAULT, SWEEP */
    int32_t year;    /* HEALTHY: its number, from 0; part of the seed. MARGIN: pw_move */
    pw_fault second; /* FAULT: at the same moment; kind NONE: alone */
    bool extra;      /* FAULT: at another place or time than the usual, or two at once */
} pw_job;

/* What the order's reader said to a fault of the settings as it was typed. Refused: the old order stays. Warned: of a
 * sentence that was typed otherwise; the new order is in force. Else the simulation tells. */
typedef enum pw_typed { PW_TYPED_SILENT, PW_TYPED_REFUSED, PW_TYPED_WARNED } pw_typed;

/* What one job found. */
typedef struct pw_outcome {
    int32_t job;
    pw_ending ending;
    int32_t caught_by;  /* sentence of the first watch that fired after the onset, -1 none */
    bool stopped;       /* a lock out really stopped the water: not so with a welded contactor */
    bool unprotected;   /* from now on a watch does not see what it looks at, or cannot stop it */
    uint8_t typed;      /* pw_typed: then no watch had to see it, and nothing after it is counted */
    double seconds;     /* from onset to detection; horizon when none */
    double lost_m3;     /* leaked and spilled from the onset until then */
    double starts;      /* likewise */
    double water_max_c; /* inside a pump */
    double burnt_s;     /* from onset until a motor burnt out; below 0: so long before it; 0: none did until then */
    double run_s, dry_s, winding_max_c, lost_per_day_m3, starts_per_hour, longest_run_s;
    int32_t false_stops;                /* HEALTHY, MARGIN */
    int32_t false_by[PW_MAX_SENTENCES]; /* likewise, per sentence */
    uint32_t edge;    /* FAULT that a watch caught: bit for each pw_move with which it is not, or much later */
    double edge_part; /* MARGIN with false stops: the least part of its move that was tried and stops; else 0 */
    double balance_m3;
    double most_starts_in_hour;  /* of one pump */
    double usual_starts_in_hour; /* of the healthy site, before the onset and in the same time after it */
    double deadhead_s;           /* running with next to no flow */
    double cavitates_s;          /* running with less NPSH than the pump asks for */
    double short_s;              /* time with an outlet under 80 % of what it wants */
    double wanted_m3;            /* at the outlets, from the onset until then */
    double missing_m3;           /* of that, not delivered */
    double usual_m3;             /* what the healthy site misses in the same time */
    double usual_lost_m3;        /* what it leaks and spills */
    double usual_dry_s, usual_deadhead_s, usual_winding_c, usual_water_c; /* likewise */
    double behind_m3;       /* less in vessels, tanks and bores than the healthy site has then */
    double pressure_max_pa; /* at the first pressure sensor's place */
    double pressure_top_pa; /* highest anywhere */
    double usual_top_pa;    /* likewise of the healthy site */
} pw_outcome;

typedef struct pw_jobs {
    int32_t count;
    pw_job *jobs;
    double pump_m3s; /* largest flow of the pump at the reference pressure: top of the sweep */
    double reference_pa;
} pw_jobs;

pw_status pw_proof_plan(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options, pw_jobs **out,
                        pw_problems *problems);
/* Healthy simulations that stand at the onsets of jobs index, index + every, ...: their faults begin from copies of
 * them. Each onset has a simulation of its own, so an outcome does not hang on which jobs are done together. */
typedef struct pw_proof_starts pw_proof_starts;
pw_status pw_proof_prepare(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options, const pw_jobs *jobs,
                           int32_t index, int32_t every, pw_proof_starts **out, pw_problems *problems);
/* starts: NULL, or without this job's onset: the job simulates its healthy part itself, with the same outcome. */
pw_status pw_proof_job(pw_arena *scratch, const pw_plant *plant, const pw_proof_options *options, const pw_jobs *jobs,
                       const pw_proof_starts *starts, int32_t job, pw_outcome *out, pw_problems *problems);

/* One blind band: leak sizes that no watch fires on within the horizon. Every size between first and last was tried and
 * not seen. The true edge lies between a size seen and its unseen neighbour; from and to are the middles on the log
 * scale, or the end of the sweep where the band is open. */
typedef struct pw_band {
    double from_m3s, to_m3s;           /* edges, at the reference pressure */
    double lost_from_m3d, lost_to_m3d; /* m3 a day lost at the smallest and largest unseen size tried */
    double first_m3s, last_m3s;        /* smallest and largest unseen size tried */
    double below_m3s, above_m3s;       /* nearest size seen on either side; 0: none, the sweep ends here */
    double lost_most_m3d;              /* most lost a day by any size of the band */
    int32_t tried;                     /* sizes tried in it */
} pw_band;

enum { PW_MAX_BANDS = 16 };

/* Where a limit of starts together with a limit of run time holds: for a steady hole and no other draw. Between cut-in
 * and cut-out the vessel's content is cut into parts dV of equal pressure steps; in each the pump gives Q and a leak of
 * q at the reference pressure lets out q s, s = sqrt(p / reference):
 *     fall = sum dV / (q s),   run = sum dV / (Q - q s),   starts an hour = 3600 / (fall + run)
 * (own derivation from the water balance). With one part, Q and V constant, these are closed:
 *     starts = q (Q - q) / (Q V),   run = V / (Q - q)
 * N starts fall into a window W as soon as N - 1 whole turns fit into it: the limit fires from
 * (N - 1) / W starts an hour. */
enum { PW_LIMIT_PARTS = 16 };
typedef struct pw_limits_check {
    bool has_starts, has_run;
    bool known;                            /* Q and V are known: there is a vessel, a cut-in and a cut-out */
    int32_t starts_sentence, run_sentence; /* -1 none; the first of each kind for the first pump */
    int32_t starts_count;                  /* N */
    double starts_window_s;                /* W */
    double starts_needed_per_hour;         /* (N - 1) / W */
    double starts_per_hour, run_s;         /* the two limits as written: N / W, and the run time */
    double pump_m3s, drawdown_m3;          /* Q at the reference pressure, and V, at the settings */
    int32_t part_count;                    /* PW_LIMIT_PARTS, or 0: Q and V are all that is known */
    double part_m3[PW_LIMIT_PARTS], part_pump_m3s[PW_LIMIT_PARTS], part_leak[PW_LIMIT_PARTS]; /* dV, Q, s */
    double starts_from_m3s, starts_to_m3s; /* leaks that the starts limit sees; from > to: none */
    double run_from_m3s;                   /* leaks from here up are seen by the run limit */
    bool gap;                              /* leaks between starts_to and run_from are seen by neither */
    double most_starts_per_hour;           /* that any leak causes; Q / (4 V) for one part */
} pw_limits_check;

/* What fails on the healthy site. */
typedef enum pw_ailment {
    PW_AIL_HUNTS,       /* a pump starts more than PW_HUNT_STARTS times in an hour: the year ends there */
    PW_AIL_BURNS,       /* a motor burns out */
    PW_AIL_FALSE_STOPS, /* more than one a year */
    PW_AIL_MISSING,     /* users miss more than a hundredth of what they want */
    PW_AIL_DRY,         /* a pump runs dry for longer than the site's limit */
    PW_AIL_DEADHEAD,    /* more than ten minutes a day with next to no flow */
    PW_AIL_HOT_WATER,   /* the water in a pump scalds */
    PW_AIL_WINDING,     /* over the limit of its insulation */
    PW_AIL_PRESSURE,    /* over the limit of the weakest part */
    PW_AIL_CAVITATES,   /* a pump has less NPSH than it asks for, in more than a tenth of its running */
    PW_AIL_STARTS,      /* over the limit of starts an hour */
    PW_AILMENTS
} pw_ailment;
const char *pw_ailment_id(pw_ailment ailment); /* for JSON */

/* The healthy site, from the simulated years: sums of all, or the most of any. Judged before any fault. */
typedef struct pw_healthy {
    bool known;     /* some year was simulated */
    uint32_t fails; /* bit for each pw_ailment; 0: the healthy site does what it should */
    bool hunts, burns;
    int32_t false_stops, stops_by[PW_MAX_SENTENCES];
    double years, wanted_m3, missing_m3, dry_s, deadhead_day_s, winding_max_c, water_max_c, pressure_top_pa,
        most_starts_in_hour;
    double cavitates_part; /* of its running, in the worst year */
} pw_healthy;

typedef struct pw_proof {
    const pw_plant *plant;
    pw_proof_options options;
    const pw_jobs *jobs;
    const pw_outcome *outcomes; /* one per job, in order of jobs */
    int32_t years, false_stops;
    double healthy_years;                        /* simulated of these years, until each ended or a motor burnt out */
    pw_demand_basis basis;                       /* on what the bound stands */
    int32_t homes_stopped, most_in_home;         /* years with a false stop, and the most in one; HOMES: of homes */
    double false_per_year, false_upper_per_year; /* exact one-sided Poisson bound; infinite: nothing differs */
    int32_t band_count;
    pw_band bands[PW_MAX_BANDS];
    pw_limits_check check;
    pw_healthy healthy;
    const struct pw_proposal *proposal;     /* study/proposal.h; NULL: none was looked for */
    const struct pw_guarantees *guarantees; /* study/guarantee.h; NULL: none were looked for */
} pw_proof;

/* False stops of the healthy site with a move of its margins made, all of them together. */
int32_t pw_proof_edge_stops(const pw_proof *proof);

pw_status pw_proof_assemble(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options,
                            const pw_jobs *jobs, const pw_outcome *outcomes, pw_proof **out, pw_problems *problems);

/* All leaks that were tried up to the pump's full flow, smallest first: the sweep, and the faults "slow leak" and
 * "burst", which are the same hole at the same place (extra ones are left out). Writes their job numbers, at most
 * capacity; returns how many. */
int32_t pw_proof_leaks(const pw_jobs *jobs, int32_t *out, int32_t capacity);
enum { PW_MAX_TRIED_LEAKS = PW_MAX_SWEEP + 32 };

/* Sizes of leak next to each other that the same sentence sees, or none does. */
typedef struct pw_leak_stretch {
    double from_m3s, to_m3s; /* edges as those of a blind band, at the reference pressure */
    int32_t caught_by;       /* the sentence, from 0; -1: none */
    int32_t tried;           /* sizes tried in it */
} pw_leak_stretch;

/* The whole range of the sweep in stretches, smallest first, without gaps; those that nobody sees are the blind bands.
 * None without a sweep. Writes at most capacity, returns how many there are; PW_MAX_TRIED_LEAKS is always enough. */
int32_t pw_proof_stretches(const pw_proof *proof, pw_leak_stretch *out, int32_t capacity);

/* The limits alone; fields known, has_*, *_sentence, starts_*, run_s, pump_m3s, drawdown_m3 and the parts must be set
 * before. */
void pw_limits_solve(pw_limits_check *check);
/* For one leak: starts an hour, and length of one run (PW_INF when the pump never reaches cut-out). */
double pw_limits_starts_per_hour(const pw_limits_check *check, double leak_m3s);
double pw_limits_run_s(const pw_limits_check *check, double leak_m3s);

#endif
