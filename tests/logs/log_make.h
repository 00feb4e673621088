/* How a log of an invented site is made: its sheet read, a logger with its signals, step and noise, and the site
 * watched by it from now on. */
#ifndef PW_TESTS_LOG_MAKE_H
#define PW_TESTS_LOG_MAKE_H

#include <stdio.h>
#include <string.h>

#include "log_site.h"
#include "study/log_judge.h"

static inline pw_site *read_site(pw_arena *arena, const char *json, pw_problems *problems)
{
    const pw_json *tree = NULL;
    pw_site *site = NULL;
    if (pw_json_read(arena, json, strlen(json), &tree, problems) != PW_OK ||
        pw_site_read(arena, tree, "site", &site, problems) != PW_OK) {
        fprintf(stderr, "site refused: %s %s\n", problems->items[0].path, problems->items[0].found.id);
        return NULL;
    }
    return site;
}

typedef struct logger {
    double step_s;
    bool has[PW_LOG_SIGNALS];
    double noise[PW_LOG_SIGNALS];
} logger;

static inline void choose_logger(pw_random *random, logger *out)
{
    static const double steps[] = {1.0, 5.0, 15.0, 60.0, 300.0};
    memset(out, 0, sizeof *out);
    const int kind = (int)(pw_random_u32(random) % 5);
    out->step_s = steps[pw_random_u32(random) % 5];
    out->has[PW_LOG_PRESSURE] = kind != 3;
    out->has[PW_LOG_RUNNING] = kind == 1 || kind == 2;
    out->has[PW_LOG_CURRENT] = kind == 2 || kind == 4;
    out->has[PW_LOG_POWER] = kind == 3;
    out->has[PW_LOG_FLOW] = kind == 4;
    out->has[PW_LOG_LEVEL] = kind == 4;
    out->noise[PW_LOG_PRESSURE] = 500.0 + 2000.0 * pw_random_unit(random);
    out->noise[PW_LOG_CURRENT] = 0.05;
    out->noise[PW_LOG_POWER] = 10.0;
    out->noise[PW_LOG_FLOW] = 2e-6;
    out->noise[PW_LOG_LEVEL] = 0.02;
}

/* From now on every row goes into the record. */
static inline void log_attach(pw_sim *sim, const logger *how, uint64_t seed, pw_record *record, pw_log_sampler *sampler)
{
    pw_log_begin(record, how->has);
    pw_log_sampler_begin(sampler, record, how->step_s, (double)pw_sim_time_ms(sim) / 1000.0, seed);
    memcpy(sampler->noise, how->noise, sizeof sampler->noise);
    sampler->resolution[PW_LOG_PRESSURE] = 1000.0;
    pw_sim_attach(sim, &sampler->observer);
}

#endif
