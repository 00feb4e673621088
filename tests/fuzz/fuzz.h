/* Shared by the fuzz targets: memory, and a stop that names what was broken. */
#ifndef PW_TESTS_FUZZ_H
#define PW_TESTS_FUZZ_H

#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/json.h"
#include "../english.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* Stands in every build, also where assert does not. */
#define MUST(condition)                                                                    \
    do {                                                                                   \
        if (!(condition)) {                                                                \
            fprintf(stderr, "%s:%d: does not hold: %s\n", __FILE__, __LINE__, #condition); \
            abort();                                                                       \
        }                                                                                  \
    } while (0)

/* A block of its own for each use, so that the sanitizers see its ends. */
static inline pw_arena fuzz_arena(size_t size)
{
    pw_arena arena;
    void *block = malloc(size);
    MUST(block != NULL);
    pw_arena_init(&arena, block, size);
    return arena;
}

/* Problems are complete: a status, and something expected; line and column not below zero. */
static inline void fuzz_check_problems(const pw_problems *problems)
{
    MUST(problems->count >= 0 && problems->count <= PW_MAX_PROBLEMS);
    MUST(problems->lost >= 0);
    for (int32_t i = 0; i < problems->count; i++) {
        const pw_problem *problem = &problems->items[i];
        MUST(problem->status > PW_OK && problem->status < PW_STATUS_COUNT);
        MUST(english(&problem->expected)[0] != '\0' || english(&problem->hint)[0] != '\0' ||
             english(&problem->found)[0] != '\0');
        MUST(problem->line >= 0 && problem->column >= 0);
        MUST(memchr(problem->path, 0, sizeof problem->path) &&
             memchr(problem->found.names, 0, sizeof problem->found.names));
    }
}

#endif
