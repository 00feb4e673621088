/* A small invented site as JSON text, for the tests of judge and paper. */
#ifndef PW_TEST_JUDGE_SHEET_H
#define PW_TEST_JUDGE_SHEET_H

#include <stdlib.h>
#include <string.h>

#include "base/json.h"
#include "sim/run.h"
#include "english.h"

static const char test_sheet[] =
    "{\"site\":\"Test & <yard>\",\"invented\":true,\"note\":\"two \\\"quoted\\\" words\","
    "\"places\":[{\"name\":\"bore head\",\"level\":\"0 m\"},{\"name\":\"shed\",\"level\":\"2 "
    "m\"},{\"name\":\"house\",\"level\":\"6 m\"}],"
    "\"sources\":[{\"name\":\"bore\",\"at\":\"bore head\",\"kind\":\"bore\",\"standing water level\":\"14 m\","
    "\"specific capacity\":\"14 L/min per m\",\"yield\":\"70 L/min\",\"casing\":\"150 mm\",\"intake\":\"38 m\"}],"
    "\"pumps\":[{\"name\":\"bore pump\",\"from\":\"bore head\",\"to\":\"shed\",\"non-return valve\":true,"
    "\"curve\":[{\"flow\":\"0 L/min\",\"head\":\"86 m\",\"efficiency\":\"0 %\"},{\"flow\":\"30 L/min\",\"head\":\"76 "
    "m\",\"efficiency\":\"48 %\"},"
    "{\"flow\":\"75 L/min\",\"head\":\"28 m\",\"efficiency\":\"38 %\"}],\"motor\":{\"power\":\"1.1 "
    "kW\",\"phases\":1,\"voltage\":\"230 V\"}}],"
    "\"lines\":[{\"name\":\"house line\",\"from\":\"shed\",\"to\":\"house\",\"pipe\":\"PE100 32 SDR "
    "11\",\"length\":\"85 m\"}],"
    "\"vessels\":[{\"name\":\"shed vessel\",\"at\":\"shed\",\"volume\":\"100 L\",\"precharge\":\"230 kPa\"}],"
    "\"outlets\":[{\"name\":\"taps\",\"at\":\"house\",\"needs\":\"100 kPa\"}],"
    "\"sensors\":[{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"shed\",\"from\":\"0 kPa\",\"to\":\"1000 "
    "kPa\"}],"
    "\"demand\":[{\"outlet\":\"taps\",\"flow\":\"6 L/min\",\"for\":\"5 min\",\"at\":\"06:30\"}],"
    "\"settings\":[\"start when pressure below 250 kPa\",\"stop when pressure above 400 kPa\","
    "\"lock out when starts reach 15 in 1 h\",\"lock out when running for 90 min\",\"warn when pressure below 100 kPa "
    "for 10 s\"]}";

static pw_plant *test_plant(pw_arena *arena)
{
    pw_problems *problems = calloc(1, sizeof *problems);
    const pw_json *json = NULL;
    pw_site *site = NULL;
    pw_plant *plant = NULL;
    pw_status status = pw_json_read(arena, test_sheet, strlen(test_sheet), &json, problems);
    if (status == PW_OK) {
        status = pw_site_read(arena, json, "site", &site, problems);
    }
    if (status == PW_OK) {
        status = pw_plant_build(arena, site, false, &plant, problems);
    }
    if (status != PW_OK) {
        for (int32_t i = 0; i < problems->count; i++) {
            print_error("%s: %s %s %s\n", problems->items[i].path, english(&problems->items[i].found),
                        english(&problems->items[i].expected), english(&problems->items[i].hint));
        }
    }
    free(problems);
    return plant;
}

#endif
