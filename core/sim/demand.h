/* Demand: what is drawn when. Three kinds (sheet/site.h): explicit draws, a seeded random year, a measured trace.
 *
 * The random year is the Poisson rectangular pulse process (Buchberger and Wu, J. Hydraul. Eng. 121(3), 1995): draws
 * begin as a Poisson process whose rate follows the pattern of the day; each holds one flow for one length, both
 * lognormal. Each demand has its own random stream (its place in the list), so that changing one leaves the others as
 * they were.
 *
 * Rules that the three kinds keep (docs/demand.md)
 *  - Time is whole milliseconds; a draw lasts at least 1 ms and at most 366 days.
 *  - Nothing is drawn before the simulation begins: a draw that would have begun on Sunday is not there on Monday.
 *  - Draws that overlap at one outlet add up, also those of the same demand.
 *  - Explicit draws repeat from `at` while their begin is not after `until`; `until` at or before `at` means the next
 *    day. A chain belongs to the weekday on which it begins and never lasts into its own next beginning.
 *  - Random: `per_day` is the mean on the days that are switched on by `weekdays`.
 *  - A trace lasts from 0 to its last time; the flow of its last row is not used; before its first row nothing flows.
 *  - A draw of no flow or no length, a trace of fewer than two rows, or a pattern of zeros never draws.
 */
#ifndef PW_SIM_DEMAND_H
#define PW_SIM_DEMAND_H

#include "base/random.h"
#include "site/site.h"

enum { PW_MAX_OPEN_DRAWS = 256 }; /* overlapping draws at one moment; more are merged into the last */

typedef struct pw_demand_change {
    int64_t t_ms;
    int32_t outlet;
    bool begins;      /* a draw begins (or a trace's flow changes to another than 0) rather than ends */
    double flow_m3s;  /* of this draw; of a trace the new flow, or the one that ended */
    double total_m3s; /* wanted at the outlet from now on */
} pw_demand_change;

/* Plain data, copyable; holds the next change of each demand and the open draws as a heap by end time. */
typedef struct pw_demand_state pw_demand_state;
size_t pw_demand_size(void);
/* The simulation begins on a Monday at 00:00. */
void pw_demand_begin(const pw_site *site, uint64_t seed, pw_demand_state *state);
/* Time of the next change, INT64_MAX when there is none. */
int64_t pw_demand_next_ms(const pw_demand_state *state);
/* Take the next change; there must be one. The order of changes at one moment is fixed: ends before begins, then by
 * demand. */
pw_demand_change pw_demand_take(const pw_site *site, pw_demand_state *state);
/* On what a count over simulated years stands: how much of the demand is not a repetition. */
typedef enum pw_demand_basis_kind {
    PW_BASIS_YEARS,  /* random draws: each year is its own */
    PW_BASIS_HOMES,  /* a household whose habits are drawn: each year is another home */
    PW_BASIS_TRACE,  /* a measured trace over and over: so many days were seen */
    PW_BASIS_REPEATS /* nothing that differs: the same week over and over */
} pw_demand_basis_kind;
typedef struct pw_demand_basis {
    pw_demand_basis_kind kind;
    double days; /* TRACE: of the shortest trace */
} pw_demand_basis;
/* A trace limits the basis whatever else is drawn; stated draws are the site's plan and limit nothing beside others. */
pw_demand_basis pw_demand_basis_of(const pw_site *site);
/* A trace of less bounds neither how long a hose may run nor how often a pump starts on a busy day (own choice: a
 * season). */
#define PW_SEEN_DAYS 90.0
bool pw_demand_seen_briefly(const pw_demand_basis *basis);
/* Of so many years simulated, those that differ: of a trace its days at most, since it is seen once; 0 of what repeats
 * each week, which shows nothing of other weeks. */
double pw_demand_years_seen(const pw_demand_basis *basis, double years);
/* How many draws were merged into another for want of room (same volume, see demand.c). */
int64_t pw_demand_merged(const pw_demand_state *state);

#endif
