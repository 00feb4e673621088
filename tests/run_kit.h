/* What the tests of model and run share: a plant from JSON text in an arena of its own. */
#ifndef PW_TESTS_RUN_KIT_H
#define PW_TESTS_RUN_KIT_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "sim/run.h"
#include "english.h"

typedef struct kit {
    pw_arena arena;
    void *block;
    pw_problems problems;
    pw_site *site;
    pw_plant *plant;
} kit;

static inline void kit_say(const kit *k)
{
    for (int32_t i = 0; i < k->problems.count; i++) {
        const pw_problem *p = &k->problems.items[i];
        if (!p->warning) {
            print_error("%s: found %s, expected %s (%s)\n", p->path, english(&p->found), english(&p->expected),
                        english(&p->hint));
        }
    }
}

static inline void kit_open(kit *k, size_t size)
{
    memset(k, 0, sizeof *k);
    k->block = malloc(size);
    assert_non_null(k->block);
    pw_arena_init(&k->arena, k->block, size);
}

static inline bool kit_read(kit *k, const char *json, bool exact)
{
    const pw_json *read = NULL;
    const bool good = pw_json_read(&k->arena, json, strlen(json), &read, &k->problems) == PW_OK &&
                      pw_site_read(&k->arena, read, "site", &k->site, &k->problems) == PW_OK &&
                      pw_plant_build(&k->arena, k->site, exact, &k->plant, &k->problems) == PW_OK;
    return good;
}

static inline void kit_load(kit *k, const char *json, bool exact)
{
    kit_open(k, (size_t)64 << 20);
    const bool good = kit_read(k, json, exact);
    if (!good) {
        kit_say(k);
    }
    assert_true(good);
}

static inline void kit_close(kit *k)
{
    free(k->block);
}

static inline pw_daybook *kit_run(kit *k, pw_run_options *options)
{
    pw_daybook *book = NULL;
    const pw_status status = pw_run(&k->arena, k->plant, options, &book, &k->problems);
    if (status != PW_OK) {
        kit_say(k);
    }
    assert_int_equal(status, PW_OK);
    return book;
}

static inline bool near(double got, double expected, double relative)
{
    const double difference = got > expected ? got - expected : expected - got;
    const double size = expected < 0.0 ? -expected : expected;
    if (!(difference <= relative * size)) {
        print_error("got %.12g, expected %.12g within %g\n", got, expected, relative);
        return false;
    }
    return true;
}

#endif
