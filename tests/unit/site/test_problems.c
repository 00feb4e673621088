/* What the reader says about a sheet that is wrong: one row for each kind of error, then several at once, then
 * warnings. */
#include "unit/site/kit.h"
#include "english.h"

typedef struct fault {
    const char *from, *to; /* replaced in the full sheet */
    pw_status status;
    const char *path;
    const char *expected, *hint; /* words that must be part of it; NULL: any */
} fault;

static const fault faults[] = {
    /* kinds of value */
    {"\"site\":\"full\"", "\"site\":true", PW_TYPE, "site", "a name", "quotes"},
    {"\"site\":\"full\"", "\"site\":null", PW_TYPE, "site", "a name", NULL},
    {"\"site\":\"full\"", "\"site\":\" full\"", PW_RANGE, "site", "no space at its ends", NULL},
    {"\"site\":\"full\"", "\"site\":\"\"", PW_RANGE, "site", "name", NULL},
    {"\"site\":\"full\"", "\"site\":\"a\\nb\"", PW_SYNTAX, "site", "one line", NULL},
    {"\"site\":\"full\"", "\"site\":\"0123456789012345678901234567890123456789012345678901234567890123\"", PW_LIMIT,
     "site", "at most 63 bytes", NULL},
    {"\"invented\":true", "\"invented\":1", PW_TYPE, "invented", "yes or no", NULL},
    {"\"water\":\"16 degC\"", "\"water\":16", PW_UNIT, "water", NULL, NULL},
    {"\"water\":\"16 degC\"", "\"water\":0", PW_UNIT, "water", NULL, NULL},
    {"\"water\":\"16 degC\"", "\"water\":\"16 kPa\"", PW_UNIT, "water", NULL, NULL},
    {"\"water\":\"16 degC\"", "\"water\":[16]", PW_TYPE, "water", "a temperature, as text with its unit", "15 degC"},
    {"\"altitude\":\"240 m\"", "\"altitude\":\"high\"", PW_SYNTAX, "altitude", NULL, NULL},
    {"\"phases\":3,\"frequency\"", "\"phases\":2,\"frequency\"", PW_RANGE, "supply.phases", "1, 3 or DC", NULL},
    {"\"places\":[", "\"places\":7,\"placez\":[", PW_TYPE, "places", "a list", "dash"},
    {"{\"name\":\"house\",\"level\":\"6 m\"}", "\"house\"", PW_TYPE, "places[5]", "keys with values", NULL},
    {"\"settings\":[", "\"settings\":[7,", PW_TYPE, "settings[0]", "a sentence", NULL},
    {"\"settings\":[\"start when pressure below 250 kPa\",\"stop when pressure above 400 kPa\"]", "\"settings\":[]",
     PW_MISSING, "settings", "1 to 64", NULL},
    {"\"at\":\"08:00\"", "\"at\":\"8 am\"", PW_RANGE, "demand[0].at", "a time of day", "06:30"},
    {"\"at\":\"08:00\"", "\"at\":\"24:01\"", PW_RANGE, "demand[0].at", "a time of day", NULL},
    {"\"at\":\"08:00\"", "\"at\":480", PW_TYPE, "demand[0].at", "a time of day", NULL},
    {"\"winding rise\":\"70 K\"", "\"winding rise\":70", PW_UNIT, "pumps[0].motor.winding rise", NULL, NULL},
    /* ranges */
    {"\"altitude\":\"240 m\"", "\"altitude\":\"24 km\"", PW_RANGE, "altitude", "from -450 m to 5500 m", NULL},
    {"\"volume\":\"100 L\"", "\"volume\":\"100 m3\"", PW_RANGE, "vessels[0].volume", "20", NULL},
    {"\"open\":\"80 %\"", "\"open\":80", PW_RANGE, "lines[1].open", "100 %", NULL},
    {"\"length\":\"85 m\"", "\"length\":\"-85 m\"", PW_RANGE, "lines[0].length", NULL, NULL},
    {"\"elbow 90\":5", "\"elbow 90\":5.5", PW_RANGE, "lines[0].fittings.elbow 90", "whole number", NULL},
    {"\"elbow 90\":5", "\"elbow 90\":\"5\"", PW_TYPE, "lines[0].fittings.elbow 90", "whole number", NULL},
    /* keys */
    {"\"outlets\":[", "\"outlet\":[],\"outlets\":[", PW_UNKNOWN_KEY, "outlet", NULL, "did you mean \"outlets\"?"},
    {"\"non-return valve\":true,\"curve\"", "\"non return valve\":true,\"curve\"", PW_UNKNOWN_KEY,
     "pumps[0].non return valve", "speed", "did you mean \"non-return valve\"?"},
    {"\"Hazen-Williams C\":140", "\"hazen-williams c\":140", PW_UNKNOWN_KEY, "lines[1].hazen-williams c", NULL,
     "\"Hazen-Williams C\""},
    {"\"length\":\"85 m\"", "\"length\":\"85 m\",\"filter\":{}", PW_UNKNOWN_KEY, "lines[0].filter", NULL,
     "`filters` stands by itself, at the top"},
    {"\"length\":\"85 m\"", "\"length\":\"85 m\",\"cable\":{}", PW_UNKNOWN_KEY, "lines[0].cable", NULL,
     "`cable` belongs to `design`"},
    {"\"pressure\":\"350 kPa\"", "\"pressure\":\"350 kPa\",\"yield\":\"9 L/min\"", PW_UNKNOWN_KEY, "sources[2].yield",
     "pressure", "kind mains"},
    {"\"flow\":\"7 L/min\"", "\"flow\":\"7 L/min\",\"at\":\"08:00\"", PW_UNKNOWN_KEY, "demand[1].at", NULL,
     "kind random"},
    {"\"from\":\"22:00\"", "\"form\":\"22:00\"", PW_UNKNOWN_KEY, "sensors[5].closed[0].form", "from, to", NULL},
    {"\"site\":\"full\",", "", PW_MISSING, "site", "Name of the site", NULL},
    {"\"volume\":\"100 L\",", "", PW_MISSING, "vessels[0].volume", "`volume`", "100 L"},
    {"\"height\":\"2 m\"", "\"name2\":1", PW_MISSING, "sensors[4].height", "height", NULL},
    {",\"kind\":\"mains\"", "", PW_MISSING, "sources[2].kind", NULL, "bore"},
    {"\"kind\":\"mains\"", "\"kind\":\"main\"", PW_RANGE, "sources[2].kind", "bore, open, mains", "\"mains\""},
    {"\"kind\":\"mains\"", "\"kind\":3", PW_TYPE, "sources[2].kind", "one of", NULL},
    {"\"pipe\":\"PE100 32 SDR 11\",", "", PW_MISSING, "lines[0].pipe", "bore", NULL},
    {"\"bore\":\"26 mm\"", "\"bore\":\"26 mm\",\"pump\":\"pump\"", PW_CONFLICT, "sensors[2].line", "either", NULL},
    {"\"line\":\"shed-house\",", "", PW_MISSING, "sensors[2].line", "either", NULL},
    {"\"times\":[0,60,120.5],", "", PW_MISSING, "demand[2].times", "`times` and `flows`", "files are read by"},
    {"\"site\":\"full\"", "\"site\":\"full\",\"\":1", PW_UNKNOWN_KEY, "", "a key", NULL},
    /* references */
    {"\"at\":\"street\"", "\"at\":\"streat\"", PW_REFERENCE, "sources[2].at", "`places`", "\"street\""},
    {"\"outlet\":\"taps\",\"kind\":\"draw\"", "\"outlet\":\"misting\",\"kind\":\"draw\"", PW_REFERENCE,
     "demand[0].outlet", "`outlets`: taps", NULL},
    {"\"line\":\"shed-house\"", "\"line\":\"shed-hose\"", PW_REFERENCE, "sensors[2].line", "`lines`", "\"shed-house\""},
    {"\"pump\":\"pump\"", "\"pump\":\"pmup\"", PW_REFERENCE, "sensors[1].pump", "`pumps`", "\"pump\""},
    {"\"at\":\"house\"", "\"at\":true", PW_TYPE, "outlets[0].at", "a name", NULL},
    {"PE100 32 SDR 11", "PE100 33 SDR 11", PW_REFERENCE, "lines[0].pipe", "pipe table", "\"PE100 32 SDR 11 PN16\""},
    {"\"elbow 90\":5", "\"elbow 91\":5", PW_REFERENCE, "lines[0].fittings.elbow 91", "elbow 90", "\"elbow 90\""},
    {"\"Monday\"", "\"Mondey\"", PW_RANGE, "demand[0].days[0]", "Monday", "\"Monday\""},
    /* doubles */
    {"{\"name\":\"house\"", "{\"name\":\"shed\"", PW_DUPLICATE, "places[5].name", NULL, NULL},
    {"\"name\":\"flow in line\"", "\"name\":\"pressure\"", PW_DUPLICATE, "sensors[2].name", NULL, NULL},
    {"\"Sunday\"", "\"Monday\"", PW_DUPLICATE, "demand[0].days[1]", NULL, NULL},
    {"\"elbow 90\":5", "\"elbow 90\":5,\"Elbow-90\":1", PW_DUPLICATE, "lines[0].fittings.Elbow-90", NULL, NULL},
    /* what must agree */
    {"\"flow\":\"30 L/min\"", "\"flow\":\"60 L/min\"", PW_CONFLICT, "pumps[0].curve[2].flow", "rises", NULL},
    {"\"flow\":\"0 L/min\"", "\"flow\":\"1 L/min\"", PW_CONFLICT, "pumps[0].curve[0].flow", "0 L/min", NULL},
    {"\"head\":\"70 m\"", "\"head\":\"81 m\"", PW_CONFLICT, "pumps[0].curve[1].head", "never rises", NULL},
    {"\"power\":\"0.8 kW\"", "\"power\":\"0.3 kW\"", PW_CONFLICT, "pumps[0].curve[1].power", "100 %", NULL},
    {"\"to\":\"house\",\"pipe\":\"PE100 32", "\"to\":\"shed\",\"pipe\":\"PE100 32", PW_CONFLICT, "lines[0].to", NULL,
     NULL},
    {"\"roughness\":\"0.01 mm\",\"length\":\"85 m\"", "\"bore\":\"26 mm\",\"length\":\"85 m\"", PW_CONFLICT,
     "lines[0].bore", "only one", NULL},
    {"\"at\":\"hill\",\"area\"", "\"at\":\"shed\",\"area\"", PW_CONFLICT, "tanks[0].at", "at most one", NULL},
    {"\"intake\":\"38 m\"", "\"intake\":\"10 m\"", PW_CONFLICT, "sources[0].intake", "deeper", NULL},
    {"\"starts at\":\"1.4 m\"", "\"starts at\":\"1.7 m\"", PW_CONFLICT, "tanks[0].starts at", "depth", NULL},
    {"\"to\":\"1000 kPa\"", "\"to\":\"0 kPa\"", PW_CONFLICT, "sensors[0].to", NULL, NULL},
    {"\"breaks at\":\"0.15 m/s\"", "\"breaks at\":\"0.35 m/s\"", PW_CONFLICT, "sensors[1].breaks at", "below", NULL},
    {"\"kind\":\"level\",\"at\":\"hill\"", "\"kind\":\"level\",\"at\":\"shed\"", PW_CONFLICT, "sensors[3].at",
     "tank or bore", NULL},
    {"\"until\":\"18:00\"", "\"until\":\"08:00\"", PW_CONFLICT, "demand[0].until", "later", NULL},
    {"\"to\":\"24:00\"", "\"to\":\"05:00\"", PW_CONFLICT, "sensors[5].closed[0]", "one day", "two windows"},
    {"\"locked-rotor current\":\"16 A\"", "\"locked-rotor current\":\"2 A\"", PW_CONFLICT,
     "pumps[0].motor.locked-rotor current", NULL, NULL},
    {"\"lowest pressure\":\"80 kPa\"", "\"lowest pressure\":\"1 MPa\"", PW_CONFLICT, "limits.lowest pressure", NULL,
     NULL},
    {"\"places\":[", "\"places\":[{\"name\":\"moon\",\"level\":\"9 m\"},", PW_CONFLICT, "places[0]", "joins it", NULL},
    /* traces and patterns */
    {"[0,60,120.5]", "[0,60,60]", PW_RANGE, "demand[2].times[2]", "later", NULL},
    {"[0,60,120.5]", "[1,60,70]", PW_RANGE, "demand[2].times[0]", "from 0", NULL},
    {"[0,60,120.5]", "[0,60]", PW_CONFLICT, "demand[2].flows", "one flow for each", NULL},
    {"[0,0.2,0]", "[0,-0.2,0]", PW_RANGE, "demand[2].flows[1]", "0 or more", NULL},
    {"[0,0.2,0]", "[0,\"0.2\",0]", PW_TYPE, "demand[2].flows[1]", "L/s", NULL},
    {"[1,0.5,0.5,0.5,1,", "[0.5,0.5,0.5,1,", PW_RANGE, "demand[1].pattern", "24", NULL},
    {"[1,0.5,0.5,0.5,1,", "[-1,0.5,0.5,0.5,1,", PW_RANGE, "demand[1].pattern[0]", NULL, NULL},
    {"[1,0.5,0.5,0.5,1,3,8,10,7,5,4,4,6,4,3,3,4,6,9,8,6,5,3,2]", "[0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0]",
     PW_RANGE, "demand[1].pattern", "above 0", NULL},
    {"\"file\":\"flow.csv\",", "", PW_MISSING, "demand[2].trace.file", NULL, NULL},
};

static void says_each_fault(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof faults / sizeof faults[0]; i++) {
        const fault *f = &faults[i];
        assert_null(kit_read(kit_edit(full_sheet, f->from, f->to)));
        const pw_problem *p = kit_problem_at(f->path);
        bool right = p != NULL && p->status == f->status && !p->warning &&
                     (f->expected == NULL || strstr(english(&p->expected), f->expected) != NULL) &&
                     (f->hint == NULL || strstr(english(&p->hint), f->hint) != NULL);
        if (!right) {
            kit_print_problems();
            fail_msg("%s -> %s: no such problem at %s", f->from, f->to, f->path);
        }
    }
}

/* One fault gives one error: what follows from it is not reported as well. Two are allowed where a key was renamed; a
 * name that became another's is missed by all that refer to it, and rightly so. */
static void one_fault_one_error(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof faults / sizeof faults[0]; i++) {
        kit_read(kit_edit(full_sheet, faults[i].from, faults[i].to));
        if (kit_problems.errors > 2 && faults[i].status != PW_DUPLICATE) {
            kit_print_problems();
            fail_msg("%s -> %s: %d errors", faults[i].from, faults[i].to, (int)kit_problems.errors);
        }
    }
}

static void says_all_at_once(void **state)
{
    (void)state;
    const char *text = kit_edit(full_sheet, "\"water\":\"16 degC\"", "\"water\":\"16 kPa\"");
    text = kit_edit(text, "\"head\":\"70 m\"", "\"head\":\"90 m\"");
    text = kit_edit(text, "\"volume\":\"100 L\"", "\"volumn\":\"100 L\"");
    text = kit_edit(text, "\"at\":\"street\"", "\"at\":\"streat\"");
    text = kit_edit(text, "\"breaks at\":\"0.15 m/s\"", "\"breaks at\":\"0.35 m/s\"");
    text = kit_edit(text, "\"starts per hour\":30", "\"starts per hour\":\"30 kPa\"");
    assert_null(kit_read(text));
    static const char *const paths[] = {
        "water",         "pumps[0].curve[1].head", "vessels[0].volume",     "vessels[0].volumn",
        "sources[2].at", "sensors[1].breaks at",   "limits.starts per hour"};
    for (size_t i = 0; i < sizeof paths / sizeof paths[0]; i++) {
        if (kit_problem_at(paths[i]) == NULL) {
            kit_print_problems();
            fail_msg("nothing said about %s", paths[i]);
        }
    }
    assert_int_equal(kit_problems.errors, 7);
}

/* Without places nothing can be referred to; that is said once. */
static void broken_list_is_said_once(void **state)
{
    (void)state;
    assert_null(kit_read(kit_edit(least_sheet, "\"places\"", "\"spots\"")));
    assert_int_equal(kit_problem_at("places")->status, PW_MISSING);
    assert_int_equal(kit_problem_at("spots")->status, PW_UNKNOWN_KEY);
    assert_int_equal(kit_problems.errors, 2);
    kit_begin();
    pw_site *site = NULL;
    assert_int_equal(pw_site_read(&kit_arena, kit_json("{}"), "", &site, &kit_problems), PW_MISSING);
    static const char *const needed[] = {"site", "places", "sources", "pumps", "outlets", "settings"};
    for (size_t i = 0; i < sizeof needed / sizeof needed[0]; i++) {
        assert_int_equal(kit_problem_at(needed[i])->status, PW_MISSING);
    }
    assert_int_equal(kit_problems.errors, 6);
}

static void curve_needs_power_or_efficiency(void **state)
{
    (void)state;
    assert_null(kit_read(kit_edit(least_sheet, ",\"efficiency\":\"50 %\"", "")));
    assert_int_equal(kit_problem_at("pumps[0].curve")->status, PW_MISSING);
    assert_null(
        kit_read(kit_edit(least_sheet, ",{\"flow\":\"60 L/min\",\"head\":\"40 m\",\"efficiency\":\"50 %\"}", "")));
    assert_int_equal(kit_problem_at("pumps[0].curve")->status, PW_MISSING);
    assert_string_equal(english(&kit_problem_at("pumps[0].curve")->expected), "at least 3");
}

static void bore_needs_roughness(void **state)
{
    (void)state;
    const char *text =
        kit_edit(full_sheet, "\"pipe\":\"PE100 32 SDR 11\",\"roughness\":\"0.01 mm\"", "\"bore\":\"26 mm\"");
    assert_null(kit_read(text));
    assert_int_equal(kit_problem_at("lines[0].roughness")->status, PW_MISSING);
    assert_int_equal(kit_problems.errors, 1);
    /* with Hazen-Williams it is not needed */
    const pw_site *site =
        kit_read_ok(kit_edit(text, "\"bore\":\"26 mm\"", "\"bore\":\"26 mm\",\"friction\":\"Hazen-Williams\""));
    assert_float_equal(kit_default(site, "lines[0].Hazen-Williams C")->si, 140, 0);
}

typedef struct doubt {
    const char *from, *to, *path;
} doubt;

static void warns(void **state)
{
    (void)state;
    static const doubt doubts[] = {
        {"\"voltage\":\"400 V\",\"phases\":3,\"frequency\"", "\"voltage\":\"230 V\",\"phases\":3,\"frequency\"",
         "pumps[0].motor.voltage"},
        {"\"phases\":3,\"frequency\"", "\"phases\":1,\"frequency\"", "pumps[0].motor.phases"},
        {"\"full-load current\":\"2.7 A\"", "\"full-load current\":\"12 A\"", "pumps[0].motor.full-load current"},
        {"\"motor\":{\"power\":\"1.1 kW\"", "\"motor\":{\"power\":\"0.75 kW\"", "pumps[0].motor.power"},
        {"\"closes at\":\"1.5 m\"", "\"closes at\":\"1.7 m\"", "tanks[0].float valve.closes at"},
        {"\"band\":\"150 mm\"", "\"band\":\"1.55 m\"", "tanks[0].float valve.band"},
        {"\"height\":\"2 m\"", "\"height\":\"30 m\"", "sensors[4].height"},
        {"\"every\":\"12 min\"", "\"every\":\"10 s\"", "demand[0].every"},
        {"\"precharge\":\"230 kPa\"", "\"precharge\":\"900 kPa\"", "pumps[0].curve"},
        {",\"power\":\"0.8 kW\"", "", "pumps[0].curve"},
    };
    for (size_t i = 0; i < sizeof doubts / sizeof doubts[0]; i++) {
        const char *text = kit_edit(full_sheet, doubts[i].from, doubts[i].to);
        kit_read_ok(text);
        const pw_problem *p = kit_problem_at(doubts[i].path);
        if (p == NULL || !p->warning) {
            kit_print_problems();
            fail_msg("%s -> %s: no warning at %s", doubts[i].from, doubts[i].to, doubts[i].path);
        }
    }
}

static void pump_must_be_fed(void **state)
{
    (void)state;
    /* a second pump that draws from the house end of a line with a non-return valve the other way */
    const char *text = kit_edit(full_sheet, "\"places\":[", "\"places\":[{\"name\":\"end\",\"level\":\"0 m\"},");
    text = kit_edit(
        text, "\"pumps\":[",
        "\"pumps\":[{\"name\":\"second\",\"from\":\"end\",\"to\":\"house\",\"curve\":[{\"flow\":0,\"head\":\"80 m\"},"
        "{\"flow\":\"30 L/min\",\"head\":\"70 m\",\"efficiency\":0.4},"
        "{\"flow\":\"60 L/min\",\"head\":\"40 m\",\"efficiency\":0.4}],\"motor\":{\"power\":\"1.1 kW\"}},");
    assert_null(kit_read(text));
    assert_int_equal(kit_problem_at("pumps[0].from")->status, PW_CONFLICT);
    assert_int_equal(kit_problems.errors, 1);
}

/* Every prefix of a sheet, and every sheet with one byte changed: an answer, never a crash. */
static void survives_damage(void **state)
{
    (void)state;
    static char text[16384];
    const size_t length = strlen(full_sheet);
    assert_true(length < sizeof text);
    int32_t read = 0;
    for (size_t i = 0; i < length; i++) {
        static const char bytes[] = "0\"{],-x";
        memcpy(text, full_sheet, length + 1);
        text[i] = bytes[i % (sizeof bytes - 1)];
        kit_begin();
        const pw_json *json = NULL;
        pw_site *site = NULL;
        if (pw_json_read(&kit_arena, text, length, &json, &kit_problems) == PW_OK) {
            pw_status status = pw_site_read(&kit_arena, json, "", &site, &kit_problems);
            assert_int_equal(status == PW_OK, kit_problems.errors == 0);
            read++;
        }
    }
    assert_true(read > 1000);
}

/* Reads the tree as it is now; what is true of every answer. */
static pw_status read_tree(const pw_json *root, pw_arena *scratch)
{
    pw_arena_back(scratch, 0);
    memset(&kit_problems, 0, sizeof kit_problems);
    pw_site *site = NULL;
    pw_status status = pw_site_read(scratch, root, "", &site, &kit_problems);
    assert_int_equal(status == PW_OK, kit_problems.errors == 0);
    assert_int_equal(status == PW_OK, site != NULL);
    return status;
}

/* Every value in turn made a value of every kind; every key in turn renamed. Whatever else, a key that is not known is
 * named. */
static void mistreat(pw_json *node, const pw_json *root, pw_arena *scratch, bool fittings, int32_t *tried)
{
    const pw_json kept = *node;
    for (pw_json *child = (pw_json *)(uintptr_t)node->first; child != NULL; child = (pw_json *)(uintptr_t)child->next) {
        mistreat(child, root, scratch, node->key != NULL && strcmp(node->key, "fittings") == 0, tried);
    }
    for (int32_t kind = PW_JSON_NULL; kind <= PW_JSON_OBJECT; kind++) {
        node->kind = (pw_json_kind)kind;
        node->first = NULL;
        node->count = 0;
        node->string = kind == PW_JSON_NUMBER ? "-77" : kind == PW_JSON_STRING ? "odd text" : "";
        node->length = strlen(node->string);
        node->number = kind == PW_JSON_NUMBER ? -77 : 0;
        node->truth = false;
        read_tree(root, scratch);
        *tried += 1;
    }
    *node = kept;
    if (node->key != NULL) {
        node->key = "qqqqqqqq";
        assert_int_not_equal(read_tree(root, scratch), PW_OK);
        bool named = false;
        for (int32_t i = 0; i < kit_problems.count; i++) {
            const pw_problem *p = &kit_problems.items[i];
            bool right = p->status == (fittings ? PW_REFERENCE : PW_UNKNOWN_KEY);
            named = named || (right && strcmp(english(&p->found), "qqqqqqqq") == 0);
        }
        assert_true(named || kit_problems.lost > 0);
        *node = kept;
    }
}

static void survives_every_kind_of_value(void **state)
{
    (void)state;
    kit_begin();
    const pw_json *root = kit_json(full_sheet);
    static uint8_t block[2u << 20];
    pw_arena scratch;
    pw_arena_init(&scratch, block, sizeof block);
    int32_t tried = 0;
    mistreat((pw_json *)(uintptr_t)root, root, &scratch, false, &tried);
    assert_true(tried > 1500);
    assert_int_equal(read_tree(root, &scratch), PW_OK); /* all is back as it was */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(says_each_fault),
        cmocka_unit_test(one_fault_one_error),
        cmocka_unit_test(says_all_at_once),
        cmocka_unit_test(broken_list_is_said_once),
        cmocka_unit_test(curve_needs_power_or_efficiency),
        cmocka_unit_test(bore_needs_roughness),
        cmocka_unit_test(warns),
        cmocka_unit_test(pump_must_be_fed),
        cmocka_unit_test(survives_damage),
        cmocka_unit_test(survives_every_kind_of_value),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
