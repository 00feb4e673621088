/* Common to the tests of the site sheet: two sheets as JSON, a reader that must or must not succeed, edits by
 * replacement. */
#ifndef SHEET_KIT_H
#define SHEET_KIT_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "site/table.h"
#include "english.h"

static uint8_t kit_block[16u << 20];
static pw_problems kit_problems;
static pw_arena kit_arena;

/* The least that a sheet can say. */
static const char *const least_sheet =
    "{\"site\":\"least\","
    "\"places\":[{\"name\":\"bore head\",\"level\":\"0 m\"},{\"name\":\"shed\",\"level\":\"2 m\"}],"
    "\"sources\":[{\"name\":\"bore\",\"at\":\"bore head\",\"kind\":\"bore\",\"standing water level\":\"14 m\","
    "\"specific capacity\":\"14 L/min per m\",\"intake\":\"38 m\"}],"
    "\"pumps\":[{\"name\":\"pump\",\"from\":\"bore head\",\"to\":\"shed\",\"curve\":["
    "{\"flow\":\"0 L/min\",\"head\":\"80 m\"},{\"flow\":\"30 L/min\",\"head\":\"70 m\",\"efficiency\":\"48 %\"},"
    "{\"flow\":\"60 L/min\",\"head\":\"40 m\",\"efficiency\":\"50 %\"}],\"motor\":{\"power\":\"1.1 kW\"}}],"
    "\"outlets\":[{\"name\":\"tap\",\"at\":\"shed\"}],"
    "\"settings\":[\"start when pressure below 250 kPa\"]}";

/* Everything that a sheet can say, each key of each kind at least once. */
#pragma GCC diagnostic ignored "-Woverlength-strings" /* the full sheet is longer than C99 promises to take */
static const char *const full_sheet =
    "{\"site\":\"full\",\"invented\":true,\"note\":\"All keys.\",\"water\":\"16 degC\",\"altitude\":\"240 m\","
    "\"supply\":{\"voltage\":\"400 V\",\"phases\":3,\"frequency\":\"50 Hz\",\"steps\":false,"
    "\"course\":[{\"at\":\"06:00\",\"voltage\":\"396 V\"},{\"at\":\"18:30\",\"voltage\":\"372 V\"}],"
    "\"solar\":{\"least power\":\"80 W\",\"day\":[{\"at\":\"06:00\",\"power\":\"0 W\"},"
    "{\"at\":\"12:00\",\"power\":\"900 W\"}]},"
    "\"generator\":{\"rating\":6000,\"power\":\"4.8 kW\",\"reactance\":\"20 %\",\"droop\":\"5 %\"},"
    "\"battery\":{\"full\":\"440 V\",\"empty\":\"400 V\",\"resistance\":0.2,\"capacity\":40,"
    "\"charge\":\"80 %\",\"charging\":\"85 %\",\"inverter\":\"90 %\",\"cut-out\":\"380 V\"}},"
    "\"places\":[{\"name\":\"bore head\",\"level\":\"0 m\"},{\"name\":\"shed\",\"level\":\"2 m\"},"
    "{\"name\":\"dam\",\"level\":\"-3 m\"},{\"name\":\"street\",\"level\":0},{\"name\":\"hill\",\"level\":\"14 m\"},"
    "{\"name\":\"house\",\"level\":\"6 m\"}],"
    "\"sources\":[{\"name\":\"bore\",\"at\":\"bore head\",\"kind\":\"bore\",\"standing water level\":\"14 m\","
    "\"pump test\":{\"flow\":\"40 L/min\",\"standing level\":\"14 m\",\"pumping level\":\"17 m\",\"time\":\"4 h\"},"
    "\"specific capacity\":\"14 L/min per m\",\"yield\":\"70 L/min\",\"casing\":\"150 mm\",\"intake\":\"38 m\"},"
    "{\"name\":\"dam\",\"at\":\"dam\",\"kind\":\"open\",\"standing water level\":\"0.5 m\",\"intake\":\"2 m\"},"
    "{\"name\":\"mains\",\"at\":\"street\",\"kind\":\"mains\",\"pressure\":\"350 kPa\"}],"
    "\"pumps\":[{\"name\":\"pump\",\"from\":\"bore head\",\"to\":\"shed\",\"speed\":\"100 "
    "%\",\"type\":\"jet\",\"stages\":1,"
    "\"self-priming\":false,\"least flow\":\"9 L/min\",\"cable length\":\"60 m\",\"cable section\":2.5,"
    "\"suction height\":\"0.5 m\",\"suction bore\":\"40 mm\",\"suction length\":\"8 m\",\"water "
    "inside\":"
    "\"1.5 L\",\"heat loss\":4,\"non-return "
    "valve\":true,\"curve\":["
    "{\"flow\":\"0 L/min\",\"head\":\"80 m\",\"efficiency\":0,\"power\":\"0.5 kW\",\"NPSH\":\"1 m\"},"
    "{\"flow\":\"30 L/min\",\"head\":\"70 m\",\"efficiency\":\"48 %\",\"power\":\"0.8 kW\",\"NPSH\":\"1.5 m\"},"
    "{\"flow\":\"60 L/min\",\"head\":\"40 m\",\"efficiency\":0.5,\"power\":\"0.9 kW\",\"NPSH\":\"2 m\"}],"
    "\"motor\":{\"power\":\"1.1 kW\",\"voltage\":\"400 V\",\"phases\":3,\"efficiency\":\"73 %\",\"power factor\":0.8,"
    "\"full-load current\":\"2.7 A\",\"locked-rotor current\":\"16 A\",\"service factor\":1.1,\"heating time\":\"8 "
    "min\","
    "\"cooling time\":\"16 min\",\"starting time\":\"0.4 s\",\"winding limit\":\"130 degC\",\"winding rise\":\"70 "
    "K\"},\"ejector\":{\"nozzle\":\"7 mm\",\"throat\":\"13 mm\",\"pressure bore\":\"28 mm\","
    "\"pressure length\":\"25 m\","
    "\"riser bore\":\"35 mm\",\"riser length\":\"25 m\"},\"lifts\":[{\"lift\":\"2 m\","
    "\"delivery\":[{\"flow\":\"0 L/min\",\"head\":\"70 m\"},{\"flow\":\"40 L/min\","
    "\"head\":\"50 m\"}]}]}],"
    "\"lines\":[{\"from\":\"shed\",\"to\":\"house\",\"pipe\":\"PE100 32 SDR 11\",\"roughness\":\"0.01 "
    "mm\",\"length\":\"85 m\","
    "\"fittings\":{\"elbow 90\":5},\"extra K\":1,\"non-return valve\":false,\"open\":1,\"over\":\"9 m\","
    "\"over after\":\"40 m\"},"
    "{\"name\":\"rising main\",\"from\":\"shed\",\"to\":\"hill\",\"bore\":\"40 mm\",\"wall\":\"3 "
    "mm\",\"stiffness\":\"3000000 kPa\","
    "\"roughness\":\"0.05 mm\",\"friction\":\"Hazen-Williams\",\"Hazen-Williams C\":140,\"length\":\"190 m\",\"extra "
    "K\":\"2.5\","
    "\"non-return valve\":\"yes\",\"open\":\"80 %\",\"profile\":[{\"distance\":\"90 m\",\"height\":\"16 "
    "m\"}]},"
    "{\"name\":\"dam line\",\"from\":\"dam\",\"to\":\"shed\",\"pipe\":\"PE100 40 SDR 11\",\"roughness\":\"0.01 mm\","
    "\"length\":\"50 m\",\"extra K\":0,\"non-return valve\":true,\"open\":0},"
    "{\"name\":\"street line\",\"from\":\"street\",\"to\":\"house\",\"pipe\":\"PE100 40 SDR 11\",\"roughness\":\"0.01 "
    "mm\","
    "\"length\":\"50 m\",\"extra K\":0,\"non-return valve\":true,\"open\":0}],"
    "\"vessels\":[{\"name\":\"vessel\",\"at\":\"shed\",\"volume\":\"100 L\",\"precharge\":\"230 kPa\",\"gas "
    "exponent\":1.2}],"
    "\"tanks\":[{\"name\":\"tank\",\"at\":\"hill\",\"area\":\"2.2 m2\",\"depth\":\"1.6 m\",\"starts at\":\"1.4 "
    "m\",\"inlet\":\"1.7 m\","
    "\"float valve\":{\"closes at\":\"1.5 m\",\"band\":\"150 mm\",\"bore\":\"12 mm\"}}],"
    "\"outlets\":[{\"name\":\"taps\",\"at\":\"house\",\"needs\":\"100 kPa\"}],"
    "\"filters\":[{\"name\":\"disc filter\",\"line\":\"rising main\",\"open part\":\"40 %\",\"clean drop\":\"12 kPa\","
    "\"at flow\":\"40 L/min\",\"exponent\":2,\"clogs\":\"closing\",\"full drop\":\"60 kPa\","
    "\"full after\":\"300 m3\",\"passed\":\"20 m3\",\"cleaned every\":\"14 d\",\"cleaned at\":\"07:00\"}],"
    "\"sensors\":[{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"shed\",\"from\":\"0 kPa\",\"to\":\"1000 kPa\","
    "\"resolution\":\"1 kPa\",\"error\":\"-2 kPa\"},"
    "{\"name\":\"flow at pump\",\"kind\":\"flow switch\",\"pump\":\"pump\",\"bore\":\"32 mm\",\"makes at\":\"0.3 m/s\","
    "\"breaks at\":\"0.15 m/s\"},"
    "{\"name\":\"flow in line\",\"kind\":\"flow switch\",\"line\":\"shed-house\",\"bore\":\"26 mm\",\"makes at\":\"0.3 "
    "m/s\","
    "\"breaks at\":\"0.15 m/s\"},"
    "{\"name\":\"level\",\"kind\":\"level\",\"at\":\"hill\",\"resolution\":\"10 mm\",\"error\":\"20 mm\"},"
    "{\"name\":\"low\",\"kind\":\"probe\",\"at\":\"bore head\",\"height\":\"2 m\"},"
    "{\"name\":\"night\",\"kind\":\"contact\",\"closed\":[{\"from\":\"22:00\",\"to\":\"24:00\"},{\"from\":\"00:00\","
    "\"to\":\"6:30\"}]},"
    "{\"name\":\"drop\",\"kind\":\"filter drop\",\"filter\":\"disc filter\",\"from\":\"0 kPa\","
    "\"to\":\"200 kPa\",\"resolution\":\"1 kPa\",\"error\":\"0 kPa\"},"
    "{\"name\":\"shed switch\",\"kind\":\"pressure switch\",\"at\":\"shed\",\"closes at\":\"250 kPa\","
    "\"opens at\":\"400 kPa\",\"error\":\"5 kPa\",\"height\":\"1.2 m\"}],"
    "\"demand\":[{\"outlet\":\"taps\",\"kind\":\"draw\",\"flow\":\"24 L/min\",\"for\":\"20 "
    "s\",\"at\":\"08:00\",\"every\":\"12 min\","
    "\"until\":\"18:00\",\"days\":[\"Monday\",\"Sunday\"]},"
    "{\"outlet\":\"taps\",\"kind\":\"random\",\"per day\":45,\"flow\":\"7 L/min\",\"flow spread\":\"45 "
    "%\",\"for\":\"50 s\","
    "\"for spread\":1.1,\"pattern\":[1,0.5,0.5,0.5,1,3,8,10,7,5,4,4,6,4,3,3,4,6,9,8,6,5,3,2]},"
    "{\"outlet\":\"taps\",\"kind\":\"trace\",\"times\":[0,60,120.5],\"flows\":[0,0.2,0],\"scale\":\"150 %\",\"trace\":"
    "{\"file\":\"flow.csv\",\"time\":\"t\",\"flow\":\"q\",\"unit\":\"L/s\",\"step\":\"10 s\","
    "\"values\":\"register\",\"stamp\":\"end\",\"end\":\"e\",\"lasts\":\"l\",\"lasts unit\":\"min\",\"column\":\"c\","
    "\"only\":\"x\",\"time unit\":\"d\",\"zone\":\"+02:00\"}},"
    "{\"outlet\":\"taps\",\"kind\":\"household\",\"people\":4,\"daily\":\"420 L\",\"day spread\":\"35 %\","
    "\"weekend\":\"110 %\",\"season\":1.3,\"away\":\"7 %\",\"away for\":\"5 d\",\"long draws\":25,"
    "\"long flow\":\"11 L/min\",\"long for\":\"25 min\"}],"
    "\"settings\":[\"start when pressure below 250 kPa\",\"stop when pressure above 400 kPa\"],"
    "\"limits\":{\"starts per hour\":30,\"dry running\":\"60 s\",\"highest pressure\":\"1000 kPa\",\"lowest "
    "pressure\":\"80 kPa\"},\"design\":"
    "{\"uses\":[{\"at\":\"taps\",\"flush\":\"valve\",\"fixtures\":{\"bathroom group\":1,\"water closet\":1,"
    "\"bathtub\":1,\"shower\":1,\"lavatory\":1,\"bidet\":1,\"kitchen sink\":1,\"dishwasher\":1,"
    "\"washing machine\":1,\"laundry tray\":1},\"loading units\":{\"washbasin\":2,\"cistern\":2,\"bidet\":2,"
    "\"kitchen sink\":2,\"washing machine\":2,\"dishwasher\":2,\"shower\":2,\"urinal valve\":2,\"bath\":2,"
    "\"garden tap\":2,\"large sink\":2,\"flush valve\":2},\"people\":4,\"each person\":\"150 L/d\","
    "\"peak factor\":3,\"stock\":{\"lactating cow\":3,\"cow with calf\":3,\"dry cow, bull or horse\":3,"
    "\"growing cattle\":3,\"finishing cattle\":3,\"sheep\":3},\"drinking time\":\"2 h\",\"zones\":4,"
    "\"zone flow\":\"24 L/min\",\"zone time\":\"20 min\",\"zones at once\":2,\"flow\":\"3 L/min\"}],"
    "\"flow\":\"40 L/min\",\"pumping time\":\"10 h\",\"velocity\":\"1.5 m/s\",\"friction\":\"4 %\","
    "\"season\":\"4 m\",\"mains at worst\":\"70 %\",\"aged roughness\":\"0.1 mm\",\"energy price\":0.3,"
    "\"currency\":\"EUR\",\"pipe prices\":[{\"pipe\":\"PE100 40 SDR 11\",\"each metre\":2.9}],"
    "\"starts per hour\":12,\"precharge below cut-in\":\"20 kPa\",\"poles\":2,\"inertia\":0.002,"
    "\"water in the pump\":\"1.5 L\",\"heat loss\":4,\"warming\":\"10 K\",\"suction\":{\"pump\":\"surface\","
    "\"height\":\"0.5 m\",\"bore\":\"40 mm\",\"length\":\"8 m\",\"foot valve\":true,\"strainer\":true,\"velocity\":\"1 "
    "m/s\","
    "\"margin\":\"1 m\",\"required where unknown\":\"4 m\"},\"cable\":{\"length\":\"60 m\",\"section\":2.5,"
    "\"laying\":\"C\",\"surroundings\":\"30 degC\",\"conductor temperature\":\"60 degC\",\"drop\":\"4 %\","
    "\"starting drop\":\"20 %\","
    "\"fault current\":\"800 A\",\"fault time\":\"200 ms\",\"generator dip\":\"25 %\","
    "\"generator reactance\":0.25,\"soft start\":3.5}}"
    "}";

static inline void kit_begin(void)
{
    pw_arena_init(&kit_arena, kit_block, sizeof kit_block);
    memset(&kit_problems, 0, sizeof kit_problems);
}

static inline const pw_json *kit_json(const char *text)
{
    const pw_json *json = NULL;
    pw_json_read(&kit_arena, text, strlen(text), &json, &kit_problems);
    if (json == NULL) {
        fail_msg("the test's own JSON is broken at column %d: %s", (int)kit_problems.items[0].column,
                 english(&kit_problems.items[0].found));
    }
    return json;
}

static inline void kit_print_problems(void)
{
    for (int32_t i = 0; i < kit_problems.count; i++) {
        const pw_problem *p = &kit_problems.items[i];
        print_message("%s %s at %s: found %s; expected %s; %s\n", p->warning ? "warning" : "error",
                      pw_status_id(p->status), p->path, english(&p->found), english(&p->expected), english(&p->hint));
    }
}

/* Read text; the site, or NULL with the problems kept. */
static inline pw_site *kit_read(const char *text)
{
    kit_begin();
    pw_site *site = NULL;
    pw_status status = pw_site_read(&kit_arena, kit_json(text), "", &site, &kit_problems);
    assert_int_equal(status == PW_OK, site != NULL);
    assert_int_equal(status == PW_OK, kit_problems.errors == 0);
    return site;
}

static inline pw_site *kit_read_ok(const char *text)
{
    pw_site *site = kit_read(text);
    if (site == NULL) {
        kit_print_problems();
        fail_msg("a sheet that is right was refused");
    }
    return site;
}

/* text with the first `from` replaced by `to`; `from` must be there. In a static buffer; may be applied to its own
 * result. */
static inline const char *kit_edit(const char *text, const char *from, const char *to)
{
    static char buffers[2][65536];
    static int which;
    char *out = buffers[which = !which];
    const char *at = strstr(text, from);
    if (at == NULL) {
        fail_msg("nothing to replace: %s", from);
    }
    const size_t head = (size_t)(at - text);
    const size_t middle = strlen(to);
    const char *rest = at + strlen(from);
    assert_true(head + middle + strlen(rest) < sizeof buffers[0]);
    memcpy(out, text, head);
    memcpy(out + head, to, middle);
    memcpy(out + head + middle, rest, strlen(rest) + 1);
    return out;
}

static inline const pw_problem *kit_problem_at(const char *path)
{
    for (int32_t i = 0; i < kit_problems.count; i++) {
        if (strcmp(kit_problems.items[i].path, path) == 0) {
            return &kit_problems.items[i];
        }
    }
    return NULL;
}

static inline const pw_default *kit_default(const pw_site *site, const char *path)
{
    for (int32_t i = 0; i < site->default_count; i++) {
        if (strcmp(site->defaults[i].path, path) == 0) {
            return &site->defaults[i];
        }
    }
    return NULL;
}

#endif
