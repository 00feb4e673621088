/* A stranger's program: sees the installed header and library only. Prints what went wrong, exit code 1 then. */
#include <pumpwright.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static int wrong;

static void expect(bool truth, const char *words, int line)
{
    if (!truth) {
        printf("tests/library/use.c:%d: not so: %s\n", line, words);
        wrong = 1;
    }
}
#define EXPECT(truth) expect((truth), #truth, __LINE__)

static const char farm[] = "site: Farm\n"
                           "invented: yes\n"
                           "places: [{name: dam, level: 0 m}, {name: shed, level: 3 m}]\n"
                           "sources: [{name: dam, at: dam, kind: open, standing water level: 0.5 m, intake: 2 m}]\n"
                           "pumps:\n"
                           "  - name: pump\n"
                           "    from: dam\n"
                           "    to: shed\n"
                           "    curve:\n"
                           "      - {flow: 0 L/min, head: 52 m, efficiency: 0 %}\n"
                           "      - {flow: 30 L/min, head: 45 m, efficiency: 45 %}\n"
                           "      - {flow: 60 L/min, head: 24 m, efficiency: 38 %}\n"
                           "    motor: {power: 0.75 kW, phases: 1, voltage: 230 V}\n"
                           "vessels: [{name: vessel, at: shed, volume: 60 L, precharge: 180 kPa}]\n"
                           "outlets: [{name: taps, at: shed, needs: 100 kPa}]\n"
                           "sensors: [{name: pressure, kind: pressure, at: shed, from: 0 kPa, to: 1000 kPa}]\n"
                           "demand: [{outlet: taps, flow: 12 L/min, for: 5 min, at: 07:00, every: 2 h, until: 21:00}]\n"
                           "settings:\n"
                           "  - start when pressure below 200 kPa\n"
                           "  - \"stop when pressure above 350 kPa\"\n";

/* The farm with one piece of its text exchanged; the caller frees it. */
static char *changed(const char *from, const char *to)
{
    const char *at = strstr(farm, from);
    if (!at) {
        printf("tests/library/use.c: the farm has no \"%s\"\n", from);
        exit(1);
    }
    char *text = malloc(sizeof farm + strlen(to));
    memcpy(text, farm, (size_t)(at - farm));
    strcpy(text + (at - farm), to);
    strcat(text, at + strlen(from));
    return text;
}

static pumpwright_sheet *taken(const char *text)
{
    pumpwright_problems *problems = NULL;
    pumpwright_sheet *sheet = pumpwright_sheet_take(text, strlen(text), "farm.yaml", &problems);
    EXPECT(sheet && !problems);
    return sheet;
}

static void sheets_and_places(void)
{
    int32_t line = -1;
    int32_t column = -1;
    pumpwright_sheet *sheet = taken(farm);
    EXPECT(strncmp(pumpwright_sheet_json(sheet), "{\"site\":\"Farm\"", 14) == 0);
    EXPECT(pumpwright_sheet_where(sheet, "pumps[0].motor", &line, &column) && line == 13 && column == 5);
    EXPECT(pumpwright_sheet_where(sheet, "settings[1]", &line, &column) && line == 20 && column == 5);
    pumpwright_sheet_free(sheet);

    pumpwright_problems *problems = NULL;
    pumpwright_problem one;
    EXPECT(!pumpwright_sheet_take("site: [1\nx: 2", 13, NULL, &problems));
    EXPECT(pumpwright_problems_count(problems) == 1 && pumpwright_problems_at(problems, 0, &one));
    EXPECT(strcmp(one.status, "syntax") == 0 && one.line == 2 && !one.warning && one.words[0]);
    EXPECT(!pumpwright_problems_at(problems, 1, &one) && one.words && !one.words[0]);
    pumpwright_problems_free(problems);

    EXPECT(!pumpwright_sheet_read("/nowhere/at/all.yaml", &problems));
    EXPECT(pumpwright_problems_at(problems, 0, &one) && strcmp(one.status, "file") == 0);
    pumpwright_problems_free(problems);
    EXPECT(!pumpwright_sheet_take("", 0, "empty", NULL));
    pumpwright_sheet_free(NULL);
    pumpwright_problems_free(NULL);
}

/* What the door finds wrong with the site has its place in the sheet as it was typed. */
static void problems_of_answers(void)
{
    char *text = changed("at: shed, needs", "at: shad, needs");
    pumpwright_problem one;
    pumpwright_sheet *sheet = taken(text);
    char *answer = pumpwright_sheet_ask(sheet, "check", NULL, NULL);
    EXPECT(!pumpwright_granted(answer));
    pumpwright_problems *problems = pumpwright_answer_problems(answer, sheet);
    EXPECT(pumpwright_problems_at(problems, 0, &one) && strcmp(one.path, "outlets[0].at") == 0);
    EXPECT(one.line == 15 && one.column == 24 && strstr(one.hint, "shed") && strcmp(one.found, "shad") == 0);
    pumpwright_problems_free(problems);
    pumpwright_text_free(answer);
    pumpwright_sheet_free(sheet);
    free(text);

    text = changed("pressure above", "presure above");
    sheet = taken(text);
    answer = pumpwright_sheet_ask(sheet, "check", "{}", NULL);
    problems = pumpwright_answer_problems(answer, sheet);
    EXPECT(pumpwright_problems_at(problems, 0, &one) && strcmp(one.path, "settings[1]") == 0);
    EXPECT(one.line == 20 && one.column == 16); /* the word in the sentence, behind the quotation mark */
    pumpwright_problems_free(problems);
    pumpwright_text_free(answer);

    /* A slip in the options is none of the sheet's. */
    answer = pumpwright_sheet_ask(sheet, "duty", " { \"presure\": \"3 bar\"}", NULL);
    problems = pumpwright_answer_problems(answer, sheet);
    EXPECT(pumpwright_problems_at(problems, 0, &one) && strcmp(one.path, "presure") == 0);
    pumpwright_problems_free(problems);
    pumpwright_text_free(answer);
    answer = pumpwright_sheet_ask(sheet, "check", "nonsense", NULL);
    EXPECT(answer && !pumpwright_granted(answer));
    pumpwright_text_free(answer);
    pumpwright_sheet_free(sheet);
    free(text);
}

struct watcher {
    int told, asked, asked_most;
    double last;
};

static void watch(void *user, double done, const char *words)
{
    struct watcher *watcher = user;
    EXPECT(done >= 0 && done <= 1 && words);
    watcher->told++;
    watcher->last = done;
}

static bool enough(void *user)
{
    struct watcher *watcher = user;
    return ++watcher->asked > watcher->asked_most;
}

static void progress_and_stopping(void)
{
    struct watcher watcher = {0, 0, 1000000, 0};
    pumpwright_host host = {&watcher, watch, enough};
    pumpwright_sheet *sheet = taken(farm);
    const char *options = "{\"years\": 0, \"sweep\": 2, \"horizon\": \"1 d\"}";
    char *answer = pumpwright_sheet_ask(sheet, "prove", options, &host);
    EXPECT(pumpwright_granted(answer) && watcher.told > 0 && watcher.asked > 0);
    pumpwright_text_free(answer);

    watcher = (struct watcher){0, 0, 2, 0};
    answer = pumpwright_sheet_ask(sheet, "prove", options, &host);
    pumpwright_problems *problems = pumpwright_answer_problems(answer, sheet);
    pumpwright_problem one;
    EXPECT(!pumpwright_granted(answer));
    EXPECT(pumpwright_problems_at(problems, 0, &one) && strcmp(one.status, "cancelled") == 0);
    pumpwright_problems_free(problems);
    pumpwright_text_free(answer);
    pumpwright_sheet_free(sheet);
}

static void lent_memory(void)
{
    static const char request[] = "{\"do\":\"units\"}";
    static char block[4 << 20];
    size_t length = 0;
    const char *answer = pumpwright_ask_within(block, sizeof block, request, strlen(request), NULL, &length);
    EXPECT(pumpwright_granted(answer) && strlen(answer) == length);
    EXPECT(answer > block && answer < block + sizeof block);
    char *same = pumpwright_ask(request, strlen(request), NULL);
    EXPECT(same && strcmp(answer, same) == 0);
    pumpwright_text_free(same);
    answer = pumpwright_ask_within(block, 2000, request, strlen(request), NULL, NULL);
    EXPECT(!pumpwright_granted(answer));
    EXPECT(!pumpwright_ask_within(NULL, 0, request, strlen(request), NULL, NULL));
}

static const int64_t hour_ms = 3600000;

static pumpwright_simulation *begun(const pumpwright_site *site)
{
    pumpwright_problems *problems = NULL;
    pumpwright_simulation *simulation = pumpwright_simulation_create(site, 7, &problems);
    EXPECT(simulation && !problems && pumpwright_simulation_time_ms(simulation) == 0);
    return simulation;
}

static pumpwright_totals totals_of(const pumpwright_simulation *simulation)
{
    pumpwright_totals all;
    pumpwright_simulation_totals(simulation, &all);
    return all;
}

static bool same_totals(const pumpwright_simulation *a, const pumpwright_simulation *b)
{
    pumpwright_totals one = totals_of(a);
    pumpwright_totals other = totals_of(b);
    return one.delivered_m3 == other.delivered_m3 && one.energy_j == other.energy_j && one.starts == other.starts &&
           one.leaked_m3 == other.leaked_m3 && one.lock_outs == other.lock_outs;
}

static pumpwright_site *site_of(const char *text)
{
    pumpwright_problems *problems = NULL;
    pumpwright_sheet *sheet = taken(text);
    pumpwright_site *site = pumpwright_site_read(sheet, &problems);
    EXPECT(site && pumpwright_problems_count(problems) == 0);
    pumpwright_sheet_free(sheet); /* a site does not need it any longer */
    return site;
}

static void sites(void)
{
    pumpwright_site *site = site_of(farm);
    EXPECT(strcmp(pumpwright_site_name(site), "Farm") == 0);
    EXPECT(pumpwright_site_count(site, PUMPWRIGHT_PLACES) == 2 && pumpwright_site_count(site, PUMPWRIGHT_TANKS) == 0);
    EXPECT(strcmp(pumpwright_site_item(site, PUMPWRIGHT_PLACES, 1), "shed") == 0);
    EXPECT(!pumpwright_site_item(site, PUMPWRIGHT_PLACES, 2) && !pumpwright_site_item(site, PUMPWRIGHT_TANKS, 0));
    EXPECT(!pumpwright_site_item(site, PUMPWRIGHT_PLACES, -1));
    pumpwright_site_free(site);

    /* All slips, each at its place. */
    char *text = changed("at: shed, needs", "at: shad, needs");
    memcpy(strstr(text, "60 L,"), "6 km,", 5);
    pumpwright_problems *problems = NULL;
    pumpwright_problem one;
    pumpwright_sheet *sheet = taken(text);
    EXPECT(!pumpwright_site_read(sheet, &problems) && pumpwright_problems_count(problems) == 2);
    EXPECT(pumpwright_problems_at(problems, 0, &one) && one.line == 14 && strcmp(one.path, "vessels[0].volume") == 0);
    EXPECT(pumpwright_problems_at(problems, 1, &one) && one.line == 15 && strcmp(one.path, "outlets[0].at") == 0);
    pumpwright_problems_free(problems);
    pumpwright_sheet_free(sheet);
    free(text);
    pumpwright_site_free(NULL);
}

/* Every number by its path; a site with another one is as if its sheet had said so. */
static void parameters(void)
{
    pumpwright_site *site = site_of(farm);
    pumpwright_parameter one;
    bool listed = false;
    EXPECT(pumpwright_site_parameter(site, "vessels[vessel].precharge", &one, NULL));
    EXPECT(strcmp(one.path, "vessels[0].precharge") == 0 && one.value == 180e3 && strcmp(one.unit, "Pa") == 0);
    EXPECT(one.low == 0 && one.high >= 1e6 && strcmp(one.origin, "given") == 0 && one.what[0] && !one.whole);
    for (int32_t i = 0; pumpwright_site_parameter_at(site, i, &one); i++) {
        EXPECT(one.low <= one.value && one.value <= one.high && one.unit[0] && one.path[0]);
        listed = listed || strcmp(one.path, "vessels[0].precharge") == 0;
    }
    EXPECT(listed && pumpwright_site_parameter_count(site) > 30);
    EXPECT(!pumpwright_site_parameter_at(site, -1, &one) && one.path[0] == 0);

    const pumpwright_change softer = {"vessels[0].precharge", 150e3};
    char *text = changed("precharge: 180 kPa", "precharge: 150 kPa");
    pumpwright_site *other = pumpwright_site_with(site, &softer, 1, NULL);
    pumpwright_site *typed = site_of(text);
    pumpwright_simulation *runs[] = {begun(site), begun(other), begun(typed)};
    EXPECT(pumpwright_site_parameter(other, softer.path, &one, NULL) && one.value == 150e3);
    EXPECT(pumpwright_site_parameter(site, softer.path, &one, NULL) && one.value == 180e3);
    pumpwright_site_free(site);
    pumpwright_site_free(other);
    pumpwright_site_free(typed);
    for (int i = 0; i < 3; i++) {
        EXPECT(pumpwright_simulation_advance(runs[i], 24 * hour_ms, NULL));
    }
    EXPECT(same_totals(runs[1], runs[2]) && !same_totals(runs[0], runs[1]));
    for (int i = 0; i < 3; i++) {
        pumpwright_simulation_free(runs[i]);
    }
    free(text);
}

static void words_of_parameters(void)
{
    const char *what = NULL, *reason = NULL, *german = NULL, *german_reason = NULL;
    pumpwright_site *site = site_of(farm);
    for (int32_t i = 0; i < pumpwright_site_parameter_count(site); i++) {
        pumpwright_parameter one;
        EXPECT(pumpwright_site_parameter_at(site, i, &one));
        EXPECT(pumpwright_site_parameter_words(site, one.path, "en", &what, &reason));
        EXPECT(strcmp(what, one.what) == 0 && strcmp(reason, one.reason) == 0);
        EXPECT(pumpwright_site_parameter_words(site, one.path, "de", &german, &german_reason));
        EXPECT(strcmp(german, what) != 0 && (!reason[0]) == (!german_reason[0]));
    }
    EXPECT(!pumpwright_site_parameter_words(site, "moon", "de", &german, &reason) && !german[0] && !reason[0]);
    EXPECT(!pumpwright_site_parameter_words(site, "vessels[0].volume", "la", &german, &reason) && !german[0]);
    pumpwright_site_free(site);
}

static void wrong_changes(void)
{
    static const struct {
        pumpwright_change changes[2];
        const char *status, *path;
    } rows[] = {
        {{{"vessels[0].precharge", 1e9}, {"pumps[0].speed", 0.9}}, "range", "vessels[0].precharge"},
        {{{"vessels[0].pre", 1e5}, {"pumps[0].speed", 0.9}}, "unknown-key", "vessels[0].pre"},
        {{{"pumps[0].speed", 0.9}, {"pumps[pump].speed", 0.8}}, "duplicate", "pumps[pump].speed"},
    };
    pumpwright_site *site = site_of(farm);
    pumpwright_problem one;
    pumpwright_parameter unused;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        pumpwright_problems *problems = NULL;
        EXPECT(!pumpwright_site_with(site, rows[i].changes, 2, &problems));
        bool told = pumpwright_problems_at(problems, 0, &one) && strcmp(one.status, rows[i].status) == 0 &&
                    strcmp(one.path, rows[i].path) == 0;
        if (!told) {
            printf("%s at %s\n", one.status, one.path);
        }
        EXPECT(told);
        pumpwright_problems_free(problems);
    }
    EXPECT(!pumpwright_site_with(site, rows[0].changes, 257, NULL));
    EXPECT(!pumpwright_site_parameter(site, "moon", &unused, NULL));
    pumpwright_site_free(site);
}

/* A copy goes on as the original, also when that and its site are gone; a fault in a copy is the copy's alone. */
static void copies(void)
{
    pumpwright_site *site = site_of(farm);
    pumpwright_simulation *original = begun(site);
    EXPECT(pumpwright_simulation_advance(original, 9 * hour_ms + 1, NULL));
    pumpwright_simulation *twin = pumpwright_simulation_copy(original);
    pumpwright_simulation *broken = pumpwright_simulation_copy(twin);
    EXPECT(pumpwright_simulation_same(original, twin) && same_totals(original, twin));
    EXPECT(pumpwright_simulation_befall(broken, "burst", "20 L/min", "shed", 10 * hour_ms, NULL));
    EXPECT(pumpwright_simulation_befall(broken, "minutes for seconds", NULL, NULL, 10 * hour_ms, NULL) ==
           false); /* no sentence of the farm holds seconds */
    EXPECT(pumpwright_simulation_advance(broken, 12 * hour_ms, NULL));
    EXPECT(pumpwright_simulation_advance(original, 24 * hour_ms, NULL));
    pumpwright_totals first = totals_of(original);
    pumpwright_simulation_free(original);
    pumpwright_site_free(site);
    EXPECT(pumpwright_simulation_advance(twin, 24 * hour_ms, NULL));
    EXPECT(totals_of(twin).energy_j == first.energy_j && totals_of(twin).delivered_m3 == first.delivered_m3);
    EXPECT(totals_of(twin).leaked_m3 == 0 && totals_of(broken).leaked_m3 > 1);
    EXPECT(pumpwright_simulation_time_ms(broken) == 12 * hour_ms && !pumpwright_simulation_same(twin, broken));
    double balance = totals_of(broken).balance_m3;
    EXPECT(balance < 1e-6 && balance > -1e-6);
    pumpwright_simulation_free(broken);
    pumpwright_simulation_free(twin);
    pumpwright_simulation_free(NULL);
}

/* Time does not go back; faults that cannot be are refused with the reason, and leave the simulation as it was. */
static void refused_faults(void)
{
    static const struct {
        const char *what, *severity, *at, *path, *status;
    } wrong_ones[] = {
        {"brust", "20 L/min", NULL, "what", "reference"},
        {"float valve passing", "5 %", NULL, "what", "conflict"},
        {"burst", NULL, NULL, "severity", "missing"},
        {"burst", "20", NULL, "severity", "unit"},
        {"burst", "20 km3/h", NULL, "severity", "unit"},
        {"worn impeller", "101 %", NULL, "severity", "range"},
        {"contactor welded", "5 %", NULL, "severity", "conflict"},
        {"burst", "20 L/min", "moon", "at", "reference"},
    };
    pumpwright_site *site = site_of(farm);
    pumpwright_simulation *simulation = begun(site);
    pumpwright_simulation *untouched = pumpwright_simulation_copy(simulation);
    pumpwright_problem one;
    for (size_t i = 0; i < sizeof wrong_ones / sizeof wrong_ones[0]; i++) {
        pumpwright_problems *problems = NULL;
        EXPECT(!pumpwright_simulation_befall(simulation, wrong_ones[i].what, wrong_ones[i].severity, wrong_ones[i].at,
                                             hour_ms, &problems));
        bool as_expected = pumpwright_problems_at(problems, 0, &one) && strcmp(one.path, wrong_ones[i].path) == 0 &&
                           strcmp(one.status, wrong_ones[i].status) == 0;
        if (!as_expected) {
            printf("%s %s: %s at %s\n", wrong_ones[i].what, wrong_ones[i].severity ? wrong_ones[i].severity : "",
                   one.status, one.path);
        }
        EXPECT(as_expected);
        pumpwright_problems_free(problems);
    }
    EXPECT(pumpwright_simulation_advance(simulation, 2 * hour_ms, NULL));
    EXPECT(!pumpwright_simulation_advance(simulation, hour_ms, NULL));
    EXPECT(!pumpwright_simulation_befall(simulation, "burst", "20 L/min", NULL, hour_ms, NULL));
    EXPECT(pumpwright_simulation_advance(untouched, 2 * hour_ms, NULL));
    EXPECT(pumpwright_simulation_same(simulation, untouched));
    EXPECT(pumpwright_simulation_befall(simulation, "burst", "1 L/min", NULL, 2 * hour_ms, NULL));
    EXPECT(pumpwright_simulation_befall(simulation, "contactor welded", NULL, NULL, 2 * hour_ms, NULL));
    EXPECT(!pumpwright_simulation_befall(simulation, "burst", "1 L/min", NULL, 2 * hour_ms, NULL)); /* a third */
    EXPECT(pumpwright_simulation_advance(simulation, 3 * hour_ms, NULL));
    pumpwright_simulation_free(simulation);
    pumpwright_simulation_free(untouched);
    pumpwright_site_free(site);
}

struct diary {
    int starts, stops, all;
    int64_t last_ms;
    const pumpwright_simulation *of;
};

static void note(void *user, const pumpwright_event *event)
{
    struct diary *diary = user;
    EXPECT(event->t_ms >= diary->last_ms && event->kind[0]);
    diary->last_ms = event->t_ms;
    diary->all++;
    if (strcmp(event->kind, "start") == 0) {
        diary->starts++;
        EXPECT(event->item == 0 && event->sentence == 0);
    }
    diary->stops += strcmp(event->kind, "stop") == 0;
    if (strcmp(event->kind, "stop") == 0) {
        EXPECT(event->value > 1 && event->other > 1e-3 && event->other < 0.3); /* seconds, m3 */
        char *words = pumpwright_simulation_words(diary->of, "en");
        char *german = pumpwright_simulation_words(diary->of, "de");
        EXPECT(words && strstr(words, "pump stops") && strstr(words, "pressure above 350 kPa"));
        EXPECT(german && strcmp(words, german) != 0 && !pumpwright_simulation_words(diary->of, "la"));
        pumpwright_text_free(words);
        pumpwright_text_free(german);
    }
}

static void watched(void)
{
    pumpwright_site *site = site_of(farm);
    pumpwright_simulation *simulation = begun(site);
    struct diary diary = {0, 0, 0, 0, simulation};
    pumpwright_simulation *alone = pumpwright_simulation_copy(simulation);
    pumpwright_simulation_watch(simulation, note, &diary);
    EXPECT(pumpwright_simulation_advance(simulation, 24 * hour_ms, NULL));
    EXPECT(pumpwright_simulation_advance(alone, 24 * hour_ms, NULL));
    EXPECT(diary.starts == (int)totals_of(simulation).starts && diary.starts > 3 && diary.stops > 3);
    EXPECT(pumpwright_simulation_same(simulation, alone)); /* it changed nothing */
    int before = diary.all;
    pumpwright_simulation_watch(simulation, NULL, NULL);
    EXPECT(!pumpwright_simulation_words(simulation, "en")); /* nothing is being told */
    EXPECT(pumpwright_simulation_advance(simulation, 36 * hour_ms, NULL) && diary.all == before);
    pumpwright_simulation_free(simulation);
    pumpwright_simulation_free(alone);
    pumpwright_site_free(site);
}

static void values(void)
{
    double value = -1;
    double reading = -1;
    pumpwright_site *site = site_of(farm);
    pumpwright_simulation *simulation = begun(site);
    EXPECT(pumpwright_simulation_advance(simulation, 7 * hour_ms + 60000, NULL)); /* the taps are open */
    EXPECT(pumpwright_simulation_value(simulation, PUMPWRIGHT_OUTLET_FLOW, "taps", &value));
    EXPECT(value > 0.19e-3 && value < 0.21e-3); /* 12 L/min */
    EXPECT(pumpwright_simulation_value(simulation, PUMPWRIGHT_PRESSURE, "shed", &value) && value > 150e3);
    EXPECT(pumpwright_simulation_value(simulation, PUMPWRIGHT_READING, "pressure", &reading));
    EXPECT(reading - value < 1e3 && value - reading < 1e3);
    EXPECT(pumpwright_simulation_value(simulation, PUMPWRIGHT_RUNNING, NULL, &value) && (value == 0 || value == 1));
    EXPECT(pumpwright_simulation_value(simulation, PUMPWRIGHT_WINDING, "pump", &value) && value > 5 && value < 100);
    EXPECT(!pumpwright_simulation_value(simulation, PUMPWRIGHT_TANK_DEPTH, NULL, &value) && value == 0);
    EXPECT(!pumpwright_simulation_value(simulation, PUMPWRIGHT_BORE_WATER, "dam", &value)); /* open water, no bore */
    EXPECT(!pumpwright_simulation_value(simulation, PUMPWRIGHT_PRESSURE, "moon", &value));
    EXPECT(!pumpwright_simulation_value(simulation, (pumpwright_quantity)99, NULL, &value));
    pumpwright_simulation_free(simulation);
    pumpwright_site_free(site);
}

/* What is recorded is what the simulation says, and it is the same simulation with and without those who record; that
 * passages and residuals themselves are right is for the tests of core/sim. */
static void observed(void)
{
    pumpwright_site *site = site_of(farm);
    pumpwright_simulation *simulation = begun(site);
    pumpwright_simulation *alone = pumpwright_simulation_copy(simulation);
    const pumpwright_observed shed = {PUMPWRIGHT_PRESSURE, "shed"}, taps = {PUMPWRIGHT_OUTLET_FLOW, NULL};
    const pumpwright_observed both[] = {shed, taps};
    const double levels[] = {300e3, 1e9};
    const int64_t log_ms[] = {hour_ms, 7 * hour_ms + 30000, 8 * hour_ms};
    const double log_m3s[] = {0, 0.15e-3, 0};
    pumpwright_samples *samples = pumpwright_samples_attach(simulation, both, 2, 30000, NULL);
    pumpwright_passages *passages = pumpwright_passages_attach(simulation, shed, levels, 2, false, NULL);
    pumpwright_residuals *residuals = pumpwright_residuals_attach(simulation, taps, log_ms, log_m3s, 3, NULL);
    EXPECT(samples && passages && residuals);
    EXPECT(pumpwright_simulation_advance(simulation, 24 * hour_ms, NULL));
    EXPECT(pumpwright_simulation_advance(alone, 24 * hour_ms, NULL));
    EXPECT(pumpwright_simulation_same(simulation, alone)); /* they changed nothing */

    int64_t t_ms = -1;
    double value = -1, above = -1, before_pa = 0;
    EXPECT(pumpwright_samples_count(samples) == 24 * 120 && pumpwright_samples_lost(samples) == 0);
    EXPECT(pumpwright_passages_at(passages, 0, &t_ms, &above) && above > 300e3 && above < 301e3);
    EXPECT(!pumpwright_passages_at(passages, 1, &t_ms, &value) && t_ms == -1 && value == 0);
    EXPECT(!pumpwright_passages_at(passages, 2, &t_ms, &value) && !pumpwright_passages_at(passages, -1, &t_ms, &value));
    (void)pumpwright_passages_at(passages, 0, &t_ms, &above);
    int64_t passed_ms = t_ms, first_ms = -1;
    for (int64_t i = 0; i < pumpwright_samples_count(samples); i++) { /* the samples say the same */
        const double *row = pumpwright_samples_row(samples, i, &t_ms);
        EXPECT(row && t_ms == i * 30000);
        if (first_ms < 0 && row[0] > 300e3) {
            first_ms = t_ms;
            EXPECT(before_pa <= 300e3 && passed_ms <= t_ms && passed_ms > t_ms - 30000);
        }
        before_pa = row[0];
    }
    EXPECT(first_ms > 0);
    EXPECT(!pumpwright_samples_row(samples, 24 * 120, &t_ms) && t_ms == 0);

    pumpwright_deviation all;
    pumpwright_residuals_sum(residuals, &all);
    const double *each = pumpwright_residuals_each(residuals);
    const double *at_half = pumpwright_samples_row(samples, 7 * 120 + 1, &t_ms);
    EXPECT(all.compared == 3 && each[0] == 0 && each[2] == 0);
    EXPECT(t_ms == log_ms[1] && each[1] == 0.15e-3 - at_half[1] && each[1] < -0.04e-3); /* 9 L/min written, 12 drawn */
    EXPECT(all.largest == -each[1] && all.mean == each[1] / 3);
    EXPECT(all.root_mean_square > 0.57 * all.largest && all.root_mean_square < 0.58 * all.largest);

    pumpwright_samples_free(samples);
    EXPECT(pumpwright_simulation_advance(simulation, 30 * hour_ms, NULL)); /* without the one that was taken off */
    pumpwright_simulation_free(simulation);
    EXPECT(pumpwright_passages_at(passages, 0, &t_ms, &value) && value == above); /* outlives it */
    pumpwright_passages_free(passages);
    pumpwright_residuals_free(residuals);
    pumpwright_simulation_free(alone);
    pumpwright_site_free(site);
}

static void stopped_by_a_level(void)
{
    pumpwright_site *site = site_of(farm);
    pumpwright_simulation *simulation = begun(site);
    const double level = 340e3;
    int64_t t_ms = -1;
    double value = 0;
    pumpwright_passages *passages =
        pumpwright_passages_attach(simulation, (pumpwright_observed){PUMPWRIGHT_PRESSURE, NULL}, &level, 1, true, NULL);
    pumpwright_passages_free(passages); /* the first place is the dam: never */
    passages = pumpwright_passages_attach(simulation, (pumpwright_observed){PUMPWRIGHT_PRESSURE, "shed"}, &level, 1,
                                          true, NULL);
    EXPECT(
        pumpwright_simulation_befall(simulation, "burst", "5 L/min", NULL, 6 * hour_ms, NULL)); /* on another store */
    EXPECT(pumpwright_simulation_advance(simulation, 24 * hour_ms, NULL));
    EXPECT(pumpwright_passages_at(passages, 0, &t_ms, &value));
    EXPECT(pumpwright_simulation_time_ms(simulation) >= t_ms &&
           pumpwright_simulation_time_ms(simulation) < t_ms + 60000);
    EXPECT(pumpwright_simulation_advance(simulation, 24 * hour_ms, NULL)); /* and on */
    EXPECT(pumpwright_simulation_time_ms(simulation) == 24 * hour_ms);
    pumpwright_passages_free(passages);
    pumpwright_simulation_free(simulation);
    pumpwright_site_free(site);
}

static void refused_observers(void)
{
    pumpwright_site *site = site_of(farm);
    pumpwright_simulation *simulation = begun(site);
    const pumpwright_observed moon = {PUMPWRIGHT_PRESSURE, "moon"}, shed = {PUMPWRIGHT_PRESSURE, "shed"};
    const double none = 0.0, values[] = {1, none / none};
    const int64_t falling_ms[] = {2, 1};
    pumpwright_problems *problems = NULL;
    pumpwright_problem one, german;
    EXPECT(!pumpwright_samples_attach(simulation, &moon, 1, 1000, &problems));
    EXPECT(pumpwright_problems_at(problems, 0, &one) && strcmp(one.status, "reference") == 0);
    EXPECT(strcmp(one.found, "moon") == 0);
    EXPECT(pumpwright_problems_in(problems, "de", 0, &german) && strcmp(german.found, "moon") == 0);
    EXPECT(strcmp(german.expected, one.expected) != 0 && strcmp(german.words, one.words) != 0);
    EXPECT(!pumpwright_problems_in(problems, "la", 0, &german) && !pumpwright_problems_in(problems, "de", 1, &german));
    pumpwright_problems_free(problems);
    EXPECT(!pumpwright_samples_attach(simulation, &shed, 1, 0, &problems) && pumpwright_problems_count(problems) == 1);
    pumpwright_problems_free(problems);
    EXPECT(!pumpwright_samples_attach(simulation, &shed, 0, 1000, NULL));
    EXPECT(!pumpwright_samples_attach(simulation, &shed, 65, 1000, NULL));
    EXPECT(!pumpwright_passages_attach(simulation, shed, values, 2, false, NULL)); /* no number */
    EXPECT(!pumpwright_passages_attach(simulation, shed, values, 17, false, NULL));
    EXPECT(!pumpwright_passages_attach(simulation, moon, values, 1, false, NULL));
    EXPECT(!pumpwright_residuals_attach(simulation, shed, falling_ms, values, 2, NULL));
    EXPECT(!pumpwright_residuals_attach(simulation, shed, falling_ms, values, 0, NULL));
    pumpwright_residuals *single = pumpwright_residuals_attach(simulation, shed, falling_ms, values, 1, &problems);
    EXPECT(single && !problems);
    pumpwright_residuals_free(single);
    pumpwright_simulation_free(simulation);
    pumpwright_site_free(site);
}

int main(void)
{
    EXPECT(strcmp(pumpwright_version(), PUMPWRIGHT_VERSION) == 0);
    sheets_and_places();
    problems_of_answers();
    progress_and_stopping();
    lent_memory();
    sites();
    parameters();
    words_of_parameters();
    wrong_changes();
    copies();
    refused_faults();
    watched();
    values();
    observed();
    stopped_by_a_level();
    refused_observers();
    return wrong;
}
