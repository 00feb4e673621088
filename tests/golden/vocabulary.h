/* Words that belong to things a site may not have. */
#ifndef PW_TESTS_GOLDEN_VOCABULARY_H
#define PW_TESTS_GOLDEN_VOCABULARY_H

#include <ctype.h>

#include "run_kit.h"

static const char *const vocabulary_sites[] = {"flats",       "hill-tank", "house",    "irrigation", "nursery",
                                               "stock-water", "tap-stand", "transfer", NULL};

/* Does the word stand in the text? At its beginning: "bore" is in "bores", not in "carbore". */
static inline bool vocabulary_says(const char *text, const char *word)
{
    for (const char *at = strstr(text, word); at != NULL; at = strstr(at + 1, word)) {
        if (at == text || !isalpha((unsigned char)at[-1])) {
            return true;
        }
    }
    return false;
}

static inline bool vocabulary_has_sensor(const pw_site *site, pw_sensor_kind kind)
{
    for (int32_t i = 0; i < site->sensor_count; i++) {
        if (site->sensors[i].kind == kind) {
            return true;
        }
    }
    return false;
}

static inline bool vocabulary_has_source(const pw_site *site, pw_source_kind kind)
{
    for (int32_t i = 0; i < site->source_count; i++) {
        if (site->sources[i].kind == kind) {
            return true;
        }
    }
    return false;
}

/* Fails when the text speaks of what the site does not have. */
static inline void vocabulary_check(const kit *k, const char *name, const char *text)
{
    const pw_site *site = k->site;
    bool floats = false, three = false, dc = false, single = false;
    for (int32_t i = 0; i < site->tank_count; i++) {
        floats = floats || site->tanks[i].float_valve;
    }
    for (int32_t i = 0; i < site->pump_count; i++) {
        three = three || site->pumps[i].motor.phases == 3;
        single = single || site->pumps[i].motor.phases == 1;
        dc = dc || site->pumps[i].motor.phases == 0;
    }
    const bool pressure = vocabulary_has_sensor(site, PW_SENSOR_PRESSURE);
    const struct {
        const char *word;
        bool there;
    } words[] = {
        {"vessel", site->vessel_count > 0},
        {"precharge", site->vessel_count > 0},
        {"gas charge", site->vessel_count > 0},
        {"phase", three},
        {"DC", dc},
        {"panel", dc},
        {"battery", dc},
        {"generator", !dc},
        {"capacitor", single},
        {"cut-in", k->plant->cut_in_pa > 0.0},
        {"cut-out", k->plant->cut_out_pa > 0.0 && k->plant->cut_in_pa > 0.0},
        {"pressure sensor", pressure},
        {"gauge", pressure},
        {"flow switch", vocabulary_has_sensor(site, PW_SENSOR_FLOW)},
        {"no flow", vocabulary_has_sensor(site, PW_SENSOR_FLOW)},
        {"level sensor", vocabulary_has_sensor(site, PW_SENSOR_LEVEL)},
        {"float valve", floats},
        {"tank", site->tank_count > 0},
        {"bore", vocabulary_has_source(site, PW_SOURCE_BORE)},
        {"main ", vocabulary_has_source(site, PW_SOURCE_MAINS)},
    };
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (!words[i].there && vocabulary_says(text, words[i].word)) {
            fail_msg("%s has no %s: %s", name, words[i].word, text);
        }
    }
}

#endif
