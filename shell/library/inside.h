/* Private to shell/library: the library for others, as include/pumpwright.h describes it.
 */
#ifndef PW_LIBRARY_INSIDE_H
#define PW_LIBRARY_INSIDE_H

#include "adapt/sheet.h"
#include "base/status.h"
#include "pumpwright.h"
#include "sim/observers.h"
#include "sim/plant.h"
#include "site/params.h"

struct pumpwright_sheet {
    pw_sheet sheet;
    char name[]; /* of the file */
};

/* store.c. Memory that several handles share: what was made from a site needs the site, a copy of a simulation what the
 * original was made with. Given back when the last of them is freed, in whatever sequence that happens. */
typedef struct library_store library_store;
/* size bytes under an arena, on top of another store (NULL: none), which is held. NULL: no memory. */
library_store *library_store_new(size_t size, library_store *under, pw_arena **arena);
void library_store_hold(library_store *store);
void library_store_release(library_store *store); /* NULL is nothing */

struct pumpwright_site {
    library_store *store; /* holds all of it, this structure, too */
    const pw_site *site;
    const pw_plant *plant;
    int32_t param_count;
    pw_param *params;
};

/* What happens is told to whoever watches; lock outs are counted for the totals. */
typedef struct library_watcher {
    pw_observer observer; /* first: the simulation knows no more of it */
    void (*watch)(void *user, const pumpwright_event *event);
    void *user;
    const pw_event *now; /* while it is told */
    int64_t lock_outs;
} library_watcher;

/* Lies in its store; a fault puts another store on top, which holds the one below. */
struct pumpwright_simulation {
    library_store *store;
    const pw_plant *plant;
    pw_sim *sim;
    pw_tally *tally;
    library_watcher watcher;
    bool broken; /* no solution: it cannot go on */
};

/* simulation.c. What a quantity of a named item is in the core; false: there is no such one. */
bool library_watched(const pumpwright_simulation *simulation, pumpwright_quantity quantity, const char *name,
                     pw_watched *out);

/* site.c. What is made ready for a site that was read: PW_OK, PW_MEMORY, or a problem is added. */
pw_status library_site_ready(pw_arena *arena, const pw_site *site, pumpwright_site *out, pw_problems *problems);
/* Number of the item of that name (NULL: the first); -1 none. */
int32_t library_find(const pw_site *site, pumpwright_list list, const char *name);

/* problems.c. The path as the sheet has it: without "site." in front; others as they are. */
const char *library_path_in_sheet(const char *path);
/* A list from what a reader of the core found, in every language; line and column as they stand there; NULL when that
 * is nothing or memory is out. why (may be NULL): a first problem of the status "file". out may be NULL; then nothing
 * is kept. */
void library_tell(const pw_problems *problems, const char *why, pumpwright_problems **out);

#endif
