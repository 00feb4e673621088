/* A site with many of its numbers moved to the ends of what the rows of the sheet's table allow for them, from a seed.
 * A number that the reader then refuses (it contradicts another one) stays as it was. */
#ifndef PW_TESTS_STRETCHED_SITE_H
#define PW_TESTS_STRETCHED_SITE_H

#include "random_site.h"
#include "sim/numbers.h"

enum { MOST_STRETCHED = 40 };

/* Every second is moved only a little, so that what belongs together now and then stays so. */
static inline double stretched(pw_random *random, const pw_param *param)
{
    const int which = pick(random, 4);
    double si = param->low;
    if (which == 1) {
        si = param->high;
    } else if (which == 2) {
        si = param->si * pw_exp(between(random, -2.3, 2.3));
    } else if (which == 3) {
        si = param->low > 0.0 ? param->low * pw_exp(between(random, 0.0, 1.0) * pw_log(param->high / param->low))
                              : between(random, param->low, param->high);
    }
    si = pw_clamp(si, param->low, param->high);
    return param->whole || param->form == PW_PARAM_CLOCK ? pw_floor(si) : si;
}

/* As many of its numbers as `wanted`. NULL: no memory. */
static inline pw_site *stretch_site(pw_arena *arena, pw_random *random, const pw_site *site, int32_t wanted)
{
    pw_param *params = NULL;
    int32_t count = 0, moved = 0;
    pw_param_change changes[MOST_STRETCHED];
    if (pw_numbers_list(arena, site, &params, &count) != PW_OK) {
        return NULL;
    }
    const pw_site *best = site;
    for (int32_t tries = 0; tries < 2 * wanted && moved < wanted && moved < MOST_STRETCHED; tries++) {
        const int32_t which = pick(random, count);
        bool again = false;
        for (int32_t i = 0; i < moved; i++) {
            again = again || changes[i].param == &params[which];
        }
        if (again || params[which].form == PW_PARAM_PHASES) {
            continue;
        }
        changes[moved] = (pw_param_change){&params[which], stretched(random, &params[which])};
        pw_site *next = NULL;
        pw_problems problems = {0};
        const size_t mark = pw_arena_mark(arena);
        if (pw_site_change(arena, site, changes, moved + 1, "site", &next, &problems) == PW_OK) {
            best = next;
            moved++;
        } else {
            pw_arena_back(arena, mark);
        }
    }
    pw_site *out = PW_NEW(arena, 1, pw_site);
    if (out != NULL) {
        *out = *best;
    }
    return out;
}

#endif
