/* Advice against brute force: processor seconds in which all limits are answered at once, against a simulation of the
 * same years and faults for each limit (of which some are done, in turn through the list), in the same run; and that
 * both say the same.
 *
 * usage: advise SHEET EACH   each so many limits is simulated at work
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "adapt/files.h"
#include "adapt/yaml.h"
#include "base/json.h"
#include "study/advise.h"
#include "study/proposal.h"

enum { BYTES = 1 << 29 };

static double seconds(void)
{
    return (double)clock() / CLOCKS_PER_SEC;
}

static pw_plant *load(pw_arena *arena, const char *path, pw_problems *problems)
{
    size_t length = 0;
    const char *why = "";
    pw_text json;
    const pw_json *tree = NULL;
    pw_site *site = NULL;
    pw_plant *plant = NULL;
    pw_yaml_map map;
    pw_text_init(&json, arena);
    char *yaml = pw_file_read(path, (size_t)1 << 20, &length, &why);
    if (yaml == NULL || pw_yaml_to_json(arena, yaml, length, &json, &map, problems) != PW_OK ||
        pw_json_read(arena, json.data, json.length, &tree, problems) != PW_OK ||
        pw_site_read(arena, tree, "site", &site, problems) != PW_OK ||
        pw_plant_build(arena, site, false, &plant, problems) != PW_OK) {
        return NULL;
    }
    free(yaml);
    return plant;
}

/* The sentences that are no watches, and one limit that acts. */
static bool one_limit(pw_arena *arena, const pw_advise_plan *plan, const pw_reach *reaches, int32_t number,
                      pw_advice *out, pw_problems *problems)
{
    static pw_proposal list;
    pw_plant *plant = NULL;
    memset(&list, 0, sizeof list);
    memset(out, 0, sizeof *out);
    out->plan = plan;
    out->reaches = reaches;
    for (int32_t i = 0; i < PW_MAX_SENTENCES; i++) {
        out->was[i] = -1;
        out->family[i] = -1;
    }
    for (int32_t i = 0; i < pw_settings_count(plan->plant->settings); i++) {
        if (!pw_settings_is_watch(plan->plant->settings, i)) {
            list.sentences[list.count] = plan->plant->site->sentences[i];
            list.count++;
        }
    }
    if (plan->limits[number].ignore != NULL) {
        list.sentences[list.count] = plan->limits[number].ignore;
        list.count++;
    }
    out->family[list.count] = plan->limits[number].family;
    list.sentences[list.count] = plan->limits[number].sentence;
    list.count++;
    const pw_status status = pw_proposal_plant(arena, plan->plant, &list, &plant, problems);
    out->advised_plant = plant;
    return status == PW_OK;
}

int main(int count, char **arguments)
{
    static pw_arena arena;
    static pw_problems problems;
    static pw_advice advice;
    pw_advise_options options;
    pw_advise_plan *plan = NULL;
    pw_advise_starts *starts = NULL;
    pw_arena_init(&arena, malloc(BYTES), BYTES);
    pw_plant *plant = count > 2 && arena.base != NULL ? load(&arena, arguments[1], &problems) : NULL;
    const int32_t each = count > 2 ? atoi(arguments[2]) : 0;
    pw_advise_defaults(&options);
    options.proof.healthy_years = 1;
    options.proof.sweep_count = 8;
    if (plant == NULL || each < 1 || pw_advise_plan_of(&arena, plant, &options, &plan, &problems) != PW_OK) {
        fprintf(stderr, "usage: advise SHEET EACH\n");
        return 2;
    }
    pw_reach *reaches = pw_reach_new(&arena, plan, plan->jobs->count);
    double begin = seconds();
    bool good = pw_advise_prepare(&arena, plan, NULL, 0, 1, &starts, &problems) == PW_OK;
    for (int32_t i = 0; i < plan->jobs->count && good; i++) {
        good = pw_advise_job(&arena, plan, starts, i, &reaches[i], &problems) == PW_OK;
    }
    const double at_once = seconds() - begin;
    int32_t limits = 0, same = 0, jobs = 0;
    begin = seconds();
    for (int32_t limit = 0; limit < plan->limit_count && good; limit += each, limits++) {
        const size_t mark = pw_arena_mark(&arena);
        good = one_limit(&arena, plan, reaches, limit, &advice, &problems) &&
               pw_advise_prepare(&arena, plan, &advice, 0, 1, &starts, &problems) == PW_OK;
        for (int32_t i = 0; i < plan->jobs->count && good; i++) {
            pw_reach_check is = {0};
            good = pw_advise_check_job(&arena, &advice, starts, i, &is, &problems) == PW_OK;
            const int64_t apart = is.first_ms - reaches[i].first_ms[limit];
            jobs += pw_advise_does(plan, i) ? 1 : 0;
            same += pw_advise_does(plan, i) && (is.first_ms < 0) == (reaches[i].first_ms[limit] < 0) && apart <= 1000 &&
                            apart >= -1000
                        ? 1
                        : 0;
        }
        pw_arena_back(&arena, mark);
    }
    const double by_force = (seconds() - begin) * plan->limit_count / (limits > 0 ? limits : 1);
    printf("  all %d limits at once %.2f s, one after the other %.0f s (from %d of them): %.0f times; the same in %d "
           "of %d\n",
           plan->limit_count, at_once, by_force, limits, by_force / at_once, same, jobs);
    return good ? 0 : 1;
}
