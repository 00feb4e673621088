/* Reading: every form, errors that point at the word, contradictions, and what the header promises about an order. */
#include "kit.h"
#include "english.h"

static const char *const nursery[] = {"start when pressure below 250 kPa for 1 s",
                                      "stop when pressure above 400 kPa",
                                      "stop when no flow for 10 s",
                                      "ignore no flow for 15 s after start",
                                      "rest 10 s after stop",
                                      "lock out when starts reach 15 in 1 h",
                                      "lock out when running for 90 min",
                                      NULL};

static void nursery_prints_back(void **state)
{
    (void)state;
    pw_arena arena = kit_arena();
    pw_settings *settings = kit_plain(&arena, nursery);
    assert_int_equal(kit_problems.count, 0);
    assert_int_equal(pw_settings_count(settings), 7);
    for (int32_t i = 0; i < 7; i++) {
        assert_string_equal(kit_words(settings, i), nursery[i]);
        assert_int_equal(pw_settings_is_watch(settings, i), i >= 5);
    }
    for (int32_t n = 0; n < pw_settings_number_count(settings); n++) {
        pw_sentence_number number;
        pw_settings_number(settings, n, &number);
        assert_int_equal(number.cut_in, number.dimension == PW_DIM_PRESSURE && number.si == 250e3);
        assert_int_equal(number.cut_out, number.dimension == PW_DIM_PRESSURE && number.si == 400e3);
    }
    for (int32_t i = 0; i < 7; i++) {
        assert_true(pw_settings_is_for(settings, i, 0));
    }
    int32_t starts = -1;
    double window_s = -1;
    double running_s = -1;
    assert_true(pw_settings_limit(settings, 5, &starts, &window_s, &running_s));
    assert_true(starts == 15 && window_s == 3600 && running_s == 0);
    assert_true(pw_settings_limit(settings, 6, &starts, &window_s, &running_s));
    assert_true(starts == 0 && window_s == 0 && running_s == 5400);
    assert_false(pw_settings_limit(settings, 0, &starts, &window_s, &running_s));
}

/* What is written, and its canonical form (NULL: the same). On the bench site. */
static const char *const forms[][2] = {
    {"START  when Pressure at SHED below 2.5 bar.", "start when pressure at shed below 250 kPa"},
    {"start when pressure at top house below 18 m for 1000 ms",
     "start when pressure at top house below 18 mH2O for 1 s"},
    {"start when level of header tank below 0.4 m", "start when level below 0.4 m"},
    {"start when level below 400 mm or probe low dry and contact door and hatch closed for 1 min",
     "start when level below 0.4 m or probe low dry and contact door and hatch closed for 1 min"},
    {"stop when probe low well wet", NULL},
    {"stop when probe wet wet", NULL},
    {"stop when contact open", "stop when contact door and hatch open"},
    {"bore pump: lock out when current below 3 A for 5 s", NULL},
    {"Bore  Pump : lock out when winding above 120 degC", "bore pump: lock out when winding above 120 degC"},
    {"warn when current of feed pump above 9500 mA", "warn when current of feed pump above 9.5 A"},
    {"warn when current above 9.5 A", NULL},
    {"lock out when flow and stopped for 1 min", NULL},
    {"lock out when stopped and flow for 1 min", NULL},
    {"lock out when starts reach 3600 in 720 h", NULL},
    {"ignore no flow at flow switch for 15 s after start", "ignore no flow for 15 s after start"},
    {"ignore pressure at shed below 100 kPa for 90 s after start", NULL},
    {"ignore flow for 1 min 30 s after start", "ignore flow for 90 s after start"},
    {"rest 720 h after stop", NULL},
    {"feed pump: run at least 1.5 s", "feed pump: run at least 1500 ms"},
    {"run on 30 s after stop condition", NULL},
    {"keep running while flow or pressure at shed below 300 kPa", NULL},
    {"retry after 5 min up to 1 times", "retry after 5 min up to 1 time"},
    {"retry after 30 s then 5 min, then 1 h up to 4 times when locked out by no flow",
     "retry after 30 s, then 5 min, then 1 h up to 4 times when locked out by no flow"},
    {"release by itself after 2 h when locked out by starts reach 15 in 60 min",
     "release by itself after 2 h when locked out by starts reach 15 in 1 h"},
    {"release by itself after 24 h", NULL},
    {"stop when no flow for 5 s in 8 s", NULL},
    {"lock out when running for 120 min in 24 h", "lock out when running for 2 h in 24 h"},
    {"lock out when flow and running for 2 h in 24 h", NULL},
    {"lock out when running for 5 min for 2 h in 24 h", NULL},
    {"lock out when starts reach 6 in 10 min 3 times in a row", NULL},
    {"start when time between 22:00 and 6:00", "start when time between 22:00 and 06:00"},
    {"start when time between 22:00 and 24:00 on Monday to Friday and level below 1 m", NULL},
    {"stop when time not between 05:00:30 and 07:00 on saturday and Sunday",
     "stop when time not between 05:00:30 and 07:00 on Saturday and Sunday"},
    {"stop when time between 05:00 and 07:00 on Friday to Monday, Wednesday",
     "stop when time between 05:00 and 07:00 on Monday, Wednesday and Friday to Sunday"},
    {"stop when time between 00:00 and 24:00 on Sunday, Monday",
     "stop when time between 00:00 and 24:00 on Monday and Sunday"},
    {"run only while feed pump is running for 30 s", NULL},
    {"bore pump: run only while feed pump is stopped and contact closed",
     "bore pump: run only while feed pump is stopped and contact door and hatch closed"},
    {"warn when bore pump is locked out or locked out for 5 min", NULL},
    {"warn by relay big horn when locked out", NULL},
    {"rest 2 h after stop then wait for a new call", "rest 2 h after stop, then wait for a new call"},
    {"start pumps at least 5 s apart", NULL},
    {"wait 30 s after power on", NULL},
    {"keep lock outs over a power cut", NULL},
    {"start at most 6 times in 60 min", "start at most 6 times in 1 h"},
    {"bore pump: start at most 1 times in 10 min", "bore pump: start at most 1 time in 10 min"},
    {"share the work between bore pump, feed pump", "share the work between bore pump and feed pump"},
    {"share the work between feed pump and bore pump and change over at every stop", NULL},
    {"share the work between bore pump and feed pump, and change over every 1 day",
     "share the work between bore pump and feed pump and change over every 24 h"},
    {"lock out when supply below 200 V for 5 s", NULL},
    {"lock out when phase missing for 1 s", NULL},
    {"start when phases complete", NULL},
};
enum { FORMS = sizeof forms / sizeof forms[0] };

static pw_status read_bench(pw_arena *arena, const char *sentence, pw_settings **settings)
{
    const char *const sentences[] = {sentence, "start when level below 0.1 m", "stop when level above 9 m"};
    return pw_settings_read(arena, sentences, 3, bench_signals, BENCH_SIGNALS, bench_pumps, 2, "settings", settings,
                            &kit_problems);
}

static void every_form_has_its_words(void **state)
{
    (void)state;
    for (size_t i = 0; i < FORMS; i++) {
        pw_arena arena = kit_arena();
        pw_settings *settings = NULL;
        pw_status status = read_bench(&arena, forms[i][0], &settings);
        if (status != PW_OK) {
            printf("%s\n", forms[i][0]);
            kit_show_problems();
        }
        assert_int_equal(status, PW_OK);
        assert_string_equal(kit_words(settings, 0), forms[i][1] != NULL ? forms[i][1] : forms[i][0]);
    }
}

/* Sentence, status, column, found, part of expected, part of the hint. */
static const struct {
    const char *sentence;
    pw_status status;
    int32_t column;
    const char *found, *expected, *hint;
} wrong[] = {
    {"strat when level below 1 m", PW_WORD, 1, "strat", "start when", "start when"},
    {"start wen level below 1 m", PW_WORD, 7, "wen", "when", "when"},
    {"lock when no flow", PW_WORD, 6, "when", "out when", ""},
    {"run 10 s", PW_WORD, 5, "10", "at least or on", ""},
    {"stop when presure at shed above 4 bar", PW_WORD, 11, "presure", "pressure", "pressure"},
    {"stop when pressure above 4 bar", PW_MISSING, 20, "above", "shed or top house", "more than one"},
    {"stop when pressure at shad above 4 bar", PW_REFERENCE, 23, "shad", "shed or top house", "shed"},
    {"stop when pressure at shed abov 4 bar", PW_WORD, 28, "abov", "below or above", "above"},
    {"stop when pressure at shed above 400", PW_UNIT, 34, "400", "250 kPa", "unit"},
    {"stop when pressure at shed above 10 s", PW_UNIT, 34, "10 s", "250 kPa", ""},
    {"stop when pressure at shed above 4001 kPa", PW_RANGE, 34, "4001 kPa", "4000 kPa", ""},
    {"stop when pressure at shed above -1 kPa", PW_RANGE, 34, "-1 kPa", "0 kPa", ""},
    {"lock out when supply below 0 V for 5 s", PW_RANGE, 28, "0 V", "a voltage from 1 V to 1000 V", ""},
    {"stop when pressure at shed above lots", PW_WORD, 34, "lots", "a pressure", ""},
    {"stop when pressure at shed above 4 bar for 721 h", PW_RANGE, 44, "721 h", "30 d", ""},
    {"stop when pressure at shed above 4 bar for 5 m", PW_UNIT, 44, "5 m", "a time", ""},
    {"stop when pressure at shed above 4 bar for", PW_WORD, 43, "the end of the sentence", "a time", ""},
    {"stop when pressure at shed above 4 bar fro 1 s", PW_WORD, 40, "fro", "for", "for"},
    {"stop when pressure at shed above 4 bar for 0.1 ms", PW_RANGE, 44, "0.1 ms", "1 ms", ""},
    {"stop when flow above 5 L/min", PW_WORD, 16, "above", "for", "flow switch"},
    {"stop when probe lo dry", PW_REFERENCE, 17, "lo", "low", "low"},
    {"stop when probe low damp", PW_WORD, 21, "damp", "wet or dry", ""},
    {"stop when winding of feed pump above 100 degC", PW_REFERENCE, 22, "feed pump", "bore pump", "bore pump"},
    {"lock out when winding above 100 degC", PW_REFERENCE, 15, "winding", "feed pump", "measures none"},
    {"lock out when starts reach 0 in 1 h", PW_RANGE, 28, "0", "1 to 3600", ""},
    {"lock out when starts reach 3601 in 1 h", PW_RANGE, 28, "3601", "1 to 3600", ""},
    {"lock out when starts reach 15 per h", PW_WORD, 31, "per", "in", ""},
    {"bore pmp: rest 1 s after stop", PW_REFERENCE, 1, "bore pmp", "bore pump", "bore pump"},
    {"start bore pump when supply below 200 V", PW_WORD, 7, "bore", "when",
     "in front, with a colon: bore pump: start when supply below 200 V"},
    {"feed pump stop when no flow", PW_WORD, 1, "feed", "start when", "feed pump: stop when no flow"},
    {"stop the pump when no flow", PW_WORD, 6, "the", "when", "without the word pump: stop when no flow"},
    {"rest 10 s after stopp", PW_WORD, 11, "after", "after stop", ""},
    {"rest 10 s after stop now", PW_WORD, 22, "now", "end of the sentence", ""},
    {"ignore starts reach 3 in 1 h for 5 s after start", PW_WORD, 8, "starts", "sensor", ""},
    {"retry after 5 s", PW_WORD, 16, "the end of the sentence", "up to", ""},
    {"", PW_WORD, 1, "the end of the sentence", "start when", ""},
    {"stop when flow or flow or flow or flow or flow or flow or flow or flow or flow", PW_LIMIT, 75, "flow", "8",
     "split"},
    {"stop when pressure at sh\xc3\xa9"
     "d above 4 bar",
     PW_REFERENCE, 23,
     "sh\xc3\xa9"
     "d",
     "shed", "shed"},
};
enum { WRONG = sizeof wrong / sizeof wrong[0] };

static void errors_point_at_the_word(void **state)
{
    (void)state;
    for (size_t i = 0; i < WRONG; i++) {
        pw_arena arena = kit_arena();
        pw_settings *settings = NULL;
        pw_status status = read_bench(&arena, wrong[i].sentence, &settings);
        const pw_problem *p = &kit_problems.items[0];
        bool good = status == wrong[i].status && kit_problems.errors == 1 && p->column == wrong[i].column &&
                    strcmp(english(&p->found), wrong[i].found) == 0 &&
                    strstr(english(&p->expected), wrong[i].expected) != NULL &&
                    strstr(english(&p->hint), wrong[i].hint) != NULL && strcmp(p->path, "settings[0]") == 0;
        if (!good) {
            printf("%s\n", wrong[i].sentence);
            kit_show_problems();
        }
        assert_true(good);
        assert_null(settings);
    }
}

static void all_sentences_are_reported_at_once(void **state)
{
    (void)state;
    pw_arena arena = kit_arena();
    pw_settings *settings = NULL;
    const char *const sentences[] = {"start when presure below 1 bar", "rest 5 s after stop",
                                     "stop if pressure above 3 bar"};
    pw_status status = pw_settings_read(&arena, sentences, 3, plain_signals, PLAIN_SIGNALS, plain_pumps, 1,
                                        "site.settings", &settings, &kit_problems);
    assert_int_equal(status, PW_WORD);
    assert_int_equal(kit_problems.errors, 2); /* and no complaint that start or stop were missing */
    assert_string_equal(kit_problems.items[0].path, "site.settings[0]");
    assert_string_equal(kit_problems.items[1].path, "site.settings[2]");
    assert_int_equal(kit_problems.items[1].column, 6);
}

/* Orders that cannot work or contradict themselves: sentences, status, is it a warning, where. */
static const struct {
    const char *sentences[5];
    pw_status status;
    bool warning;
    const char *path;
} contrary[] = {
    {{"stop when flow"}, PW_MISSING, false, "settings"},
    {{"start when flow"}, PW_MISSING, false, "settings"},
    {{"start when pressure below 400 kPa", "stop when pressure above 400 kPa"}, PW_CONFLICT, true, "settings[0]"},
    {{"start when pressure below 401 kPa", "stop when pressure above 400 kPa"}, PW_CONFLICT, true, "settings[0]"},
    {{"start when pressure below 399.5 kPa", "stop when pressure above 400 kPa"}, PW_RANGE, false, "settings[0]"},
    {{"start when level above 1 m", "stop when level below 1.2 m"}, PW_CONFLICT, true, "settings[0]"},
    {{"start when pressure below 2 bar", "stop when no flow"}, PW_CONFLICT, true, "settings[1]"},
    {{"start when pressure below 2 bar", "stop when no flow for 5 s", "ignore flow for 5 s after start"},
     PW_REFERENCE,
     true,
     "settings[2]"},
    {{"start when pressure below 2 bar", "stop when flow", "retry after 5 s up to 2 times"},
     PW_REFERENCE,
     true,
     "settings[2]"},
    {{"start when pressure below 2 bar", "stop when flow", "rest 5 s after stop", "rest 6 s after stop"},
     PW_DUPLICATE,
     true,
     "settings[3]"},
    {{"start when pressure below 2 bar", "stop when flow", "stop when flow"}, PW_DUPLICATE, true, "settings[2]"},
    {{"start when running", "stop when flow"}, PW_CONFLICT, true, "settings[0]"},
    {{"start when flow", "stop when stopped"}, PW_CONFLICT, true, "settings[1]"},
    {{"start when flow", "stop when running for 5 min", "run at least 5 min"}, PW_CONFLICT, true, "settings[2]"},
    {{"start when flow", "stop when no flow for 5 s", "rest 5 min after stop", "lock out when starts reach 13 in 1 h"},
     PW_CONFLICT,
     true,
     "settings[3]"},
};
enum { CONTRARY = sizeof contrary / sizeof contrary[0] };

static void contradictions_are_told(void **state)
{
    (void)state;
    for (size_t i = 0; i < CONTRARY; i++) {
        pw_arena arena = kit_arena();
        pw_settings *settings = NULL;
        int32_t count = 0;
        while (count < 5 && contrary[i].sentences[count] != NULL) {
            count++;
        }
        pw_status status = pw_settings_read(&arena, contrary[i].sentences, count, plain_signals, PLAIN_SIGNALS,
                                            plain_pumps, 1, "settings", &settings, &kit_problems);
        const pw_problem *p = &kit_problems.items[0];
        bool good = status == (contrary[i].warning ? PW_OK : contrary[i].status) && kit_problems.count == 1 &&
                    p->status == contrary[i].status && p->warning == contrary[i].warning &&
                    strcmp(p->path, contrary[i].path) == 0;
        if (!good) {
            printf("%s ...\n", contrary[i].sentences[0]);
            kit_show_problems();
        }
        assert_true(good);
        assert_int_equal(settings != NULL, contrary[i].warning);
    }
}

/* Just inside the same limits nothing is said. */
static void what_is_just_right_is_left_alone(void **state)
{
    (void)state;
    static const char *const right[][5] = {
        {"start when pressure below 399 kPa", "stop when pressure above 400 kPa"},
        {"start when level above 1.2 m", "stop when level below 1 m"},
        {"start when pressure below 2 bar", "stop when no flow", "ignore no flow for 5 s after start"},
        {"start when flow", "stop when running for 5 min", "run at least 299 s"},
        {"start when flow", "stop when no flow for 5 s", "rest 5 min after stop",
         "lock out when starts reach 12 in 1 h"},
        {"start when pressure below 4 bar and flow", "stop when pressure above 4 bar"},
        {"start when pressure below 0 kPa", "stop when pressure above 4000 kPa"},
    };
    for (size_t i = 0; i < sizeof right / sizeof right[0]; i++) {
        pw_arena arena = kit_arena();
        kit_plain(&arena, right[i]);
        if (kit_problems.count > 0) {
            kit_show_problems();
        }
        assert_int_equal(kit_problems.count, 0);
    }
}

static void limits_are_refused(void **state)
{
    (void)state;
    pw_arena arena = kit_arena();
    pw_settings *settings = NULL;
    static const char *many[PW_MAX_SENTENCES + 1];
    for (int32_t i = 0; i <= PW_MAX_SENTENCES; i++) {
        many[i] = i == 0 ? "start when flow" : "stop when flow";
    }
    assert_int_equal(pw_settings_read(&arena, many, PW_MAX_SENTENCES + 1, plain_signals, PLAIN_SIGNALS, plain_pumps, 1,
                                      "settings", &settings, &kit_problems),
                     PW_LIMIT);
    assert_int_equal(pw_settings_read(&arena, many, PW_MAX_SENTENCES, plain_signals, PLAIN_SIGNALS, plain_pumps, 1,
                                      "settings", &settings, NULL),
                     PW_OK);
    static char longest[PW_MAX_SENTENCE_SIZE + 2];
    memset(longest, 'a', sizeof longest - 1);
    const char *const one[] = {longest};
    assert_int_equal(
        pw_settings_read(&arena, one, 1, plain_signals, PLAIN_SIGNALS, plain_pumps, 1, "settings", &settings, NULL),
        PW_LIMIT);
}

/* Every size of memory up to what is enough: refused with PW_MEMORY, or done; never a crash. */
static void memory_may_end_anywhere(void **state)
{
    (void)state;
    static uint8_t block[200000];
    bool done = false;
    for (size_t size = 0; size < sizeof block && !done; size += 97) {
        pw_arena arena;
        pw_settings *settings = NULL;
        pw_table *table = NULL;
        pw_arena_init(&arena, block, size);
        pw_status status = pw_settings_read(&arena, nursery, 7, plain_signals, PLAIN_SIGNALS, plain_pumps, 1,
                                            "settings", &settings, NULL);
        if (status == PW_OK) {
            status = pw_table_build(&arena, settings, NULL, &table, NULL);
        }
        assert_true(status == PW_OK || status == PW_MEMORY);
        assert_int_equal(status == PW_OK, table != NULL);
        done = status == PW_OK;
    }
    assert_true(done);
}

static void crossings_are_distinct(void **state)
{
    (void)state;
    static const char *const sentences[] = {"start when pressure below 250 kPa for 1 s",
                                            "stop when pressure above 400 kPa",
                                            "stop when no flow for 10 s",
                                            "warn when pressure below 250 kPa for 1 min",
                                            "lock out when stopped and flow for 1 min",
                                            "warn when pressure above 250 kPa",
                                            NULL};
    pw_arena arena = kit_arena();
    pw_settings *settings = kit_plain(&arena, sentences);
    pw_table *table = NULL;
    pw_crossing all[16];
    assert_int_equal(pw_table_build(&arena, settings, NULL, &table, NULL), PW_OK);
    assert_int_equal(pw_table_crossings(table, all, 16), 5);
    assert_true(all[0].signal == P_PRESSURE && all[0].threshold == 250e3 && !all[0].above);
    assert_true(all[1].signal == P_PRESSURE && all[1].threshold == 400e3 && all[1].above);
    assert_true(all[2].signal == P_FLOW && all[2].threshold == 0.5 && !all[2].above);
    assert_true(all[3].signal == P_FLOW && all[3].threshold == 0.5 && all[3].above);
    assert_true(all[4].signal == P_PRESSURE && all[4].threshold == 250e3 && all[4].above);
    const bool keep[] = {true, true, true, true, false, false};
    assert_int_equal(pw_table_build(&arena, settings, keep, &table, NULL), PW_OK);
    assert_int_equal(pw_table_crossings(table, all, 2), 3);
}

/* A backticked text in a line of the manual is read, alone or behind a lead. Returns how many there were. */
static int32_t read_backticked(const char *line, const char *lead, bool first_cell)
{
    static const char *const pumps[] = {"pump", "feed pump", "booster 1", "booster 2", "booster 3"};
    enum { PUMPS = sizeof pumps / sizeof pumps[0], SENSORS = 10 };
    static pw_signal signals[SENSORS + 2 * PUMPS] = {
        {"shed", PW_SIGNAL_PRESSURE},       {"flow switch", PW_SIGNAL_FLOW}, {"header tank", PW_SIGNAL_LEVEL},
        {"low", PW_SIGNAL_PROBE},           {"suction", PW_SIGNAL_PROBE},    {"gate", PW_SIGNAL_CONTACT},
        {"remote stop", PW_SIGNAL_CONTACT}, {"supply", PW_SIGNAL_SUPPLY},    {"phases", PW_SIGNAL_PHASES},
        {"disc gauge", PW_SIGNAL_DROP}};
    for (int32_t i = 0; i < PUMPS; i++) {
        for (int32_t k = 0; k < 2; k++) {
            pw_copy(signals[SENSORS + 2 * i + k].name, PW_NAME_SIZE, pumps[i]);
            signals[SENSORS + 2 * i + k].kind = k == 0 ? PW_SIGNAL_CURRENT : PW_SIGNAL_WINDING;
        }
    }
    int32_t count = 0;
    const char *cell_end = strchr(line + 1, '|');
    const char *open = strchr(line, '`');
    while (open != NULL && (!first_cell || (cell_end != NULL && open < cell_end))) {
        const char *close = strchr(open + 1, '`');
        assert_non_null(close);
        char text[512];
        snprintf(text, sizeof text, "%s%.*s", lead, (int)(close - open - 1), open + 1);
        const bool role = strncmp(text, "duty:", 5) == 0 || strncmp(text, "assist:", 7) == 0;
        const char *const sentences[] = {text, "start when level below -400 m", "stop when level above 400 m",
                                         "share the work between booster 1, booster 2 and booster 3"};
        pw_arena arena = kit_arena();
        pw_settings *settings = NULL;
        pw_status status = pw_settings_read(&arena, sentences, role ? 4 : 3, signals, SENSORS + 2 * PUMPS, pumps, PUMPS,
                                            "settings", &settings, &kit_problems);
        if (status != PW_OK) {
            printf("docs/settings.md: %s\n", text);
            kit_show_problems();
        }
        assert_int_equal(status, PW_OK);
        open = strchr(close + 1, '`');
        count++;
    }
    return count;
}

/* The manual does not lie: its examples are sentences, and its table holds conditions. */
static void the_manual_is_right(void **state)
{
    (void)state;
    FILE *file = fopen(PW_SOURCE_DIR "/docs/settings.md", "r");
    assert_non_null(file);
    char line[1024];
    int32_t sentences = 0;
    int32_t conditions = 0;
    bool in_conditions = false;
    while (fgets(line, sizeof line, file) != NULL) {
        in_conditions = line[0] == '#' ? strcmp(line, "## The conditions\n") == 0 : in_conditions;
        if (strncmp(line, "> `", 3) == 0) {
            sentences += read_backticked(line, "", false);
        } else if (in_conditions && strncmp(line, "| `", 3) == 0) {
            conditions += read_backticked(line, "warn when ", true);
        }
    }
    fclose(file);
    assert_true(sentences >= PW_SENTENCE_COUNT); /* and each action */
    assert_true(conditions >= PW_TERM_COUNT);    /* each form at least once */
}

/* Every number by the name of its form, in the sequence of the text: all forms that read one. */
static void each_number_has_its_name(void **state)
{
    (void)state;
    static const char *const sentences[] = {
        "start when pressure below 36 psi for 1.5 s",
        "stop when pressure above 350 kPa or pressure above 4 bar for 1 h 30 min in 3 h",
        "lock out when starts reach 7 in 10 min 3 times in a row",
        "lock out when running for 40 min and time not between 06:30 and 22:00",
        "warn when retries reach 2",
        "warn by relay 5 when supply below 190 V or current above 7.5 A or winding above 120 degC or stopped for 2 d",
        "lock out when level of tank below 0.4 m and locked out for 3 min",
        "wait 20 s after power on",
        "ignore pressure below 100 kPa for 15 s after start",
        "rest 30 s after stop, then wait for a new call",
        "run at least 1 min",
        "run on 5 s after stop condition",
        "retry after 1 min, then 2 h up to 5 times when locked out by pressure below 90 kPa",
        "start pumps at least 7 s apart",
        "release by itself after 1 d",
        "keep lock outs over a power cut",
        "start at most 6 times in 2 h",
        NULL};
    static const char wanted[] =
        "0 pressure 36 psi; 0 wait 1.5 s; "
        "1 pressure 350 kPa; 1 pressure 2 4 bar; 1 wait 1 h 30 min; 1 within 3 h; "
        "2 starts 7; 2 window 10 min; 2 in a row 3; 3 running 40 min; 3 from 06:30; 3 to 22:00; 4 retries 2; "
        "5 supply 190 V; 5 current 7.5 A; 5 winding 120 degC; 5 stopped 2 d; 6 level 0.4 m; 6 locked out 3 min; "
        "7 wait 20 s; 8 pressure 100 kPa; 8 ignore 15 s; 9 rest 30 s; 10 run at least 1 min; 11 run on 5 s; "
        "12 wait 1 min; 12 wait 2 2 h; 12 times 5; 12 pressure 90 kPa; 13 apart 7 s; 14 wait 1 d; 16 times 6; 16 "
        "window 2 h; ";
    char got[1200] = "";
    pw_arena arena = kit_arena();
    const pw_settings *settings = kit_plain(&arena, sentences);
    for (int32_t n = 0; n < pw_settings_number_count(settings); n++) {
        pw_sentence_number one;
        const size_t used = strlen(got);
        pw_settings_number(settings, n, &one);
        snprintf(got + used, sizeof got - used, "%d %s %.*s; ", (int)one.sentence, one.name, (int)one.length,
                 sentences[one.sentence] + one.at);
        assert_true(one.low < one.high && one.si >= one.low && one.si <= one.high);
    }
    assert_string_equal(got, wanted);
}

/* What a changed number makes of a sentence is checked as if it had been typed. */
static void a_changed_number_is_checked(void **state)
{
    (void)state;
    static const char *const sentences[] = {"start when pressure below 250 kPa", "stop when pressure above 350 kPa",
                                            "lock out when no flow for 10 s in 1 min", NULL};
    pw_arena arena = kit_arena();
    pw_settings *changed = NULL;
    const pw_settings *settings = kit_plain(&arena, sentences);
    assert_int_equal(pw_settings_with(&arena, settings, 0, 300e3, "settings", &changed, &kit_problems), PW_OK);
    assert_string_equal(kit_words(changed, 0), "start when pressure below 300 kPa");
    assert_string_equal(kit_words(settings, 0), "start when pressure below 250 kPa");
    assert_int_equal(pw_settings_with(&arena, settings, 0, 349.5e3, "settings", &changed, &kit_problems), PW_RANGE);
    assert_null(changed);
    assert_int_equal(pw_settings_with(&arena, settings, 3, 5, "settings", &changed, &kit_problems), PW_RANGE);
    assert_string_equal(kit_problems.items[kit_problems.count - 1].path, "settings[2]");
    assert_int_equal(pw_settings_with(&arena, settings, 2, 1e9, "settings", &changed, NULL),
                     PW_RANGE); /* 30 d in 1 min */
    assert_int_equal(pw_settings_with(&arena, settings, 3, 1e9, "settings", &changed, NULL), PW_OK);
    assert_string_equal(kit_words(changed, 2), "lock out when no flow for 10 s in 720 h");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nursery_prints_back),      cmocka_unit_test(every_form_has_its_words),
        cmocka_unit_test(errors_point_at_the_word), cmocka_unit_test(all_sentences_are_reported_at_once),
        cmocka_unit_test(contradictions_are_told),  cmocka_unit_test(what_is_just_right_is_left_alone),
        cmocka_unit_test(limits_are_refused),       cmocka_unit_test(memory_may_end_anywhere),
        cmocka_unit_test(crossings_are_distinct),   cmocka_unit_test(the_manual_is_right),
        cmocka_unit_test(each_number_has_its_name), cmocka_unit_test(a_changed_number_is_checked),
    };
    return cmocka_run_group_tests_name("settings: reading", tests, NULL, NULL);
}
