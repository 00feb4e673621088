/* Topology: what hangs together with what on a site, and which way water can go. The one home of every walk over lines
 * and pumps; whoever asks names the rules.
 *
 * Places are the points, lines and pumps the ways between them. Two things are always so, whatever the rules:
 *   - a line into a tank ends at its inlet, over the water: a walk that does not go through tanks does not climb back
 *     up such a line;
 *   - a place without number (-1, in a sheet with a mistake) is on no way.
 */
#ifndef PW_SITE_TOPOLOGY_H
#define PW_SITE_TOPOLOGY_H

#include "site/site.h"

typedef enum pw_walk_way {
    PW_WALK_JOINED, /* as the pipes lie, whichever way the water goes */
    PW_WALK_DOWN,   /* to where water can go: along a line, and back only past neither non-return valve nor inlet */
    PW_WALK_UP      /* to where water can come from: the same, against it */
} pw_walk_way;

/* Sets of places by what stands there. */
enum { PW_TANKS = 1, PW_SOURCES = 2, PW_VESSELS = 4 };

typedef struct pw_walk_rules {
    pw_walk_way way;
    bool through_pumps; /* pumps are ways, too; else lines only */
    bool open_pipe;     /* no line with a non-return valve, nor one whose valve is shut */
    unsigned ends;      /* PW_TANKS and so on: reached, but not passed, not even where the walk begins */
    unsigned barred;    /* likewise: nor reached by the walk, but for the inlet over a tank's water, see pw_reach */
    const bool *shut;   /* further places that are not reached, PW_MAX_PLACES of them; may be NULL */
} pw_walk_rules;

/* What walks have reached so far; zeroed: nothing. */
typedef struct pw_reach {
    bool at[PW_MAX_PLACES];
    bool inlet[PW_MAX_TANKS];     /* a line into this tank was met, going down it */
    int32_t count;                /* places reached, in the order of the walk: nearest (fewest ways) first */
    int32_t order[PW_MAX_PLACES]; /* lines before pumps, each by number */
} pw_reach;

/* Walk from a place; -1 is no place. What `reach` holds already is kept and not walked again, so that walks from
 * several places add up to one. */
void pw_walk(const pw_site *site, const pw_walk_rules *rules, int32_t from, pw_reach *reach);

/* The one way that water comes by: no branches. */
typedef struct pw_lead {
    int32_t place; /* where it begins: at one of the ends */
    int32_t line_count;
    int32_t lines[PW_MAX_LINES]; /* from its end on, against the water */
    bool along[PW_MAX_LINES];    /* the water goes along this line, not against it */
} pw_lead;

/* Up from a place, by the only line that brings water to each, to one of `ends` (PW_MAX_PLACES of them); a line that
 * ends there is taken before one that water would have to pass backwards. False: where there is none or are several, or
 * a pump delivers; the lead holds what was passed until then. */
bool pw_lead_up(const pw_site *site, int32_t from, const bool *ends, pw_lead *out);

/* The other end of a line for a walk that stands at `here`; -1 when it does not lead on from there. */
int32_t pw_line_leads(const pw_site *site, int32_t line, int32_t here, const pw_walk_rules *rules);

/* Lines that begin or end at a place, in the order of the sheet; returns how many. out may be NULL. */
int32_t pw_lines_at(const pw_site *site, int32_t place, int32_t out[PW_MAX_LINES]);

/* What stands at a place: its number, -1 none. A place holds one source, vessel or tank at most (S5). */
int32_t pw_site_tank_at(const pw_site *site, int32_t place);
int32_t pw_site_source_at(const pw_site *site, int32_t place);
int32_t pw_site_vessel_at(const pw_site *site, int32_t place);
int32_t pw_site_outlet_at(const pw_site *site, int32_t place); /* the first of them */
/* The first pump that delivers to a place, -1 none. */
int32_t pw_site_pump_into(const pw_site *site, int32_t place);

#endif
