/* A small invented site for the tests of sizing: a dam or bore, a pump, a vessel, a line and taps. */
#ifndef PW_TESTS_SIZE_FARM_H
#define PW_TESTS_SIZE_FARM_H

#include "run_kit.h"
#include "study/size.h"

#define FARM_HEAD                                                                                                \
    "{\"site\":\"Farm\",\"invented\":true,\"places\":[{\"name\":\"well\",\"level\":\"0 m\"},{\"name\":\"shed\"," \
    "\"level\":\"2 m\"},{\"name\":\"house\",\"level\":\"5 m\"}],"
#define FARM_BORE                                                                                                     \
    "\"sources\":[{\"name\":\"bore\",\"at\":\"well\",\"kind\":\"bore\",\"standing water level\":\"12 m\",\"specific " \
    "capacity\":\"20 L/min per m\",\"yield\":\"90 L/min\",\"casing\":\"150 mm\",\"intake\":\"30 m\"}],"
#define FARM_DAM                                                                                     \
    "\"sources\":[{\"name\":\"dam\",\"at\":\"well\",\"kind\":\"open\",\"standing water level\":\"1 " \
    "m\",\"intake\":\"3 "                                                                            \
    "m\"}],"
#define FARM_PUMP                                                                                                      \
    "\"pumps\":[{\"name\":\"pump\",\"from\":\"well\",\"to\":\"shed\",\"curve\":[{\"flow\":\"0 L/min\",\"head\":\"80 "  \
    "m\",\"efficiency\":\"0 %\",\"NPSH\":\"1.5 m\"},{\"flow\":\"25 L/min\",\"head\":\"74 m\",\"efficiency\":\"44 %\"," \
    "\"NPSH\":\"1.8 m\"},{\"flow\":\"50 L/min\",\"head\":\"58 m\",\"efficiency\":\"55 %\",\"NPSH\":\"2.4 "             \
    "m\"},{\"flow\":\"80 L/min\",\"head\":\"25 m\",\"efficiency\":\"38 %\",\"NPSH\":\"4 m\"}],\"motor\":{\"power\":"   \
    "\"1.1 kW\",\"phases\":1,\"voltage\":\"230 V\"}}],"
#define FARM_LINE                                                                                     \
    "\"lines\":[{\"name\":\"house line\",\"from\":\"shed\",\"to\":\"house\",\"pipe\":\"PE100 40 SDR " \
    "11\",\"length\":\"80 m\",\"fittings\":{\"elbow 90\":4}}],"
#define FARM_VESSEL                                                                                           \
    "\"vessels\":[{\"name\":\"vessel\",\"at\":\"shed\",\"volume\":\"100 L\",\"precharge\":\"180 kPa\",\"gas " \
    "exponent\":1}],"
#define FARM_TAPS "\"outlets\":[{\"name\":\"taps\",\"at\":\"house\",\"needs\":\"100 kPa\"}],"
#define FARM_SENSOR                                                                                               \
    "\"sensors\":[{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"shed\",\"from\":\"0 kPa\",\"to\":\"1000 " \
    "kPa\"}],"
#define FARM_DEMAND                                                                                             \
    "\"demand\":[{\"outlet\":\"taps\",\"flow\":\"15 L/min\",\"for\":\"10 min\",\"at\":\"06:00\",\"every\":\"2 " \
    "h\",\"until\":\"20:00\"}],"
#define FARM_SETTINGS "\"settings\":[\"start when pressure below 200 kPa\",\"stop when pressure above 350 kPa\"]"
#define FARM_END      "}"

#define FARM \
    FARM_HEAD FARM_BORE FARM_PUMP FARM_LINE FARM_VESSEL FARM_TAPS FARM_SENSOR FARM_DEMAND FARM_SETTINGS FARM_END

static inline pw_size_options farm_options(bool sense, int64_t length_ms)
{
    pw_size_options options;
    memset(&options, 0, sizeof options);
    options.sense = sense;
    options.length_ms = length_ms;
    options.seed = 1;
    return options;
}

static inline pw_sizing *farm_size(kit *k, const char *json, bool sense)
{
    const pw_size_options options = farm_options(sense, 0);
    pw_sizing *sizing = NULL;
    kit_load(k, json, false);
    const pw_status status = pw_size(&k->arena, k->plant, &options, &sizing, &k->problems);
    kit_say(k);
    assert_int_equal(status, PW_OK);
    return sizing;
}

static inline double farm_value(const pw_sizing *sizing, pw_size_part part, const char *id)
{
    const pw_size_line *line = pw_size_find(sizing, part, id);
    if (line == NULL) {
        fail_msg("no line %s in %s", id, pw_size_part_id(part));
    }
    return line->value;
}

static inline const pw_size_check *farm_check(const pw_sizing *sizing, const char *id)
{
    for (int32_t i = 0; i < sizing->check_count; i++) {
        if (strcmp(sizing->checks[i].id, id) == 0) {
            return &sizing->checks[i];
        }
    }
    fail_msg("no check %s", id);
    return NULL;
}

static inline void close_to(double got, double expected, double share, const char *what)
{
    if (!(got >= expected - share * (expected < 0 ? -expected : expected) &&
          got <= expected + share * (expected < 0 ? -expected : expected))) {
        fail_msg("%s: %.9g, expected %.9g within %g", what, got, expected, share);
    }
}

#endif
