/* What the program offers to type reads back: each form of action with each condition that suits it, for one and for
 * two signals of a kind, in metric and in US units. */
#include "control/action.h"
#include "kit.h"

static const pw_signal two_of_each[] = {{"shed", PW_SIGNAL_PRESSURE},     {"top house", PW_SIGNAL_PRESSURE},
                                        {"suction", PW_SIGNAL_FLOW},      {"delivery", PW_SIGNAL_FLOW},
                                        {"header tank", PW_SIGNAL_LEVEL}, {"dam", PW_SIGNAL_LEVEL},
                                        {"low", PW_SIGNAL_PROBE},         {"low well", PW_SIGNAL_PROBE},
                                        {"gate", PW_SIGNAL_CONTACT},      {"door and hatch", PW_SIGNAL_CONTACT},
                                        {"bore pump", PW_SIGNAL_CURRENT}, {"feed pump", PW_SIGNAL_CURRENT},
                                        {"bore pump", PW_SIGNAL_WINDING}, {"feed pump", PW_SIGNAL_WINDING},
                                        {"supply", PW_SIGNAL_SUPPLY},     {"phases", PW_SIGNAL_PHASES},
                                        {"disc filter", PW_SIGNAL_DROP},  {"screen", PW_SIGNAL_DROP}};
enum { TWO_OF_EACH = sizeof two_of_each / sizeof two_of_each[0] };

typedef struct bench {
    const pw_signal *signals;
    int32_t signal_count;
    const char *const *pumps;
    int32_t pump_count;
} bench;

static const bench benches[] = {{plain_signals, PLAIN_SIGNALS, plain_pumps, 1},
                                {two_of_each, TWO_OF_EACH, bench_pumps, 2}};
static uint8_t other_block[1u << 20];

/* The same words again as the sentence of that kind, or it fails. */
static void reads_back(const bench *b, const char *sentence, pw_sentence_kind kind)
{
    pw_arena arena = kit_arena();
    pw_settings *settings = NULL;
    /* what the sentence may need beside it: a start, a stop and a lock out, on signals of their own */
    const char *const all[] = {
        sentence, b->pump_count > 1 ? "start when level of dam below -400 m" : "start when level below -400 m",
        b->pump_count > 1 ? "stop when level of dam above 400 m" : "stop when level above 400 m"};
    const pw_status status = pw_settings_read(&arena, all, 3, b->signals, b->signal_count, b->pumps, b->pump_count,
                                              "settings", &settings, &kit_problems);
    if (status != PW_OK) {
        printf("%s\n", sentence);
        kit_show_problems();
    }
    assert_int_equal(status, PW_OK);
    assert_int_equal(pw_settings_kind(settings, 0), kind);
}

/* A shape with this condition and this time put in; both may be "". */
static void fill(const char *shape, const char *condition, const char *time, char *out)
{
    out[0] = '\0';
    for (const char *at = shape; *at != '\0'; at++) {
        if (strncmp(at, "{condition}", 11) == 0) {
            strcat(out, condition);
            at += 10;
        } else if (time[0] == '\0' && strncmp(at, " for {time}", 11) == 0) {
            at += 10;
        } else if (strncmp(at, "{time}", 6) == 0) {
            strcat(out, time);
            at += 5;
        } else {
            strncat(out, at, 1);
        }
    }
}

static void conditions_read(const bench *b, const pw_sentence_shape *shape, const pw_condition_example *conditions,
                            int32_t count)
{
    char sentence[512];
    for (int32_t i = 0; i < count; i++) {
        if (!shape->of_signals || conditions[i].of_signal) {
            fill(shape->words, conditions[i].words, shape->usual_ms > 0 ? "20 s" : "", sentence);
            reads_back(b, sentence, shape->kind);
            fill(shape->words, conditions[i].words, "20 s", sentence); /* a time may always be given */
            reads_back(b, sentence, shape->kind);
        }
    }
}

static void every_shape_reads(void **state)
{
    (void)state;
    const pw_units metric = pw_units_metric();
    pw_units us;
    assert_int_equal(pw_units_read("us", &us, NULL), PW_OK);
    for (size_t k = 0; k < 4; k++) {
        const bench *b = &benches[k % 2];
        pw_arena arena;
        pw_condition_example *conditions = NULL;
        int32_t count = 0;
        pw_sentence_shape shape;
        pw_arena_init(&arena, other_block, sizeof other_block);
        assert_int_equal(
            pw_settings_examples(&arena, b->signals, b->signal_count, k < 2 ? &metric : &us, &conditions, &count),
            PW_OK);
        for (int32_t i = 0; pw_settings_shape(i, &shape); i++) {
            pw_text text;
            if (shape.of_several_pumps && b->pump_count < 2) {
                continue;
            }
            pw_text_init(&text, &arena);
            pw_settings_example(&shape, conditions, count, b->pumps, b->pump_count, &text);
            assert_false(text.failed);
            assert_null(strchr(text.data, '{'));
            reads_back(b, text.data, shape.kind);
            if (strstr(shape.words, "{condition}") != NULL) {
                conditions_read(b, &shape, conditions, count);
            }
        }
    }
}

/* Every row has its shapes, every form its example, and each signal is named where there are two. */
static void nothing_is_left_out(void **state)
{
    (void)state;
    const pw_units metric = pw_units_metric();
    pw_arena arena;
    pw_condition_example *conditions = NULL;
    int32_t count = 0, shapes = 0, begins = 0;
    bool forms[PW_TERM_COUNT] = {false};
    pw_sentence_shape shape;
    while (pw_settings_shape(shapes, &shape)) {
        assert_non_null(shape.words);
        assert_true(shape.usual_ms == 0 || strstr(shape.words, "{time}") != NULL);
        shapes++;
    }
    for (int32_t kind = 0; kind < PW_SENTENCE_COUNT; kind++) {
        for (int32_t i = 0; pw_action_of((uint8_t)kind)->begins[i] != NULL; i++) {
            assert_memory_equal(pw_action_of((uint8_t)kind)->shapes[i], pw_action_of((uint8_t)kind)->begins[i],
                                strlen(pw_action_of((uint8_t)kind)->begins[i]));
            begins++;
        }
    }
    assert_int_equal(shapes, begins);
    assert_false(pw_settings_shape(-1, &shape));

    pw_arena_init(&arena, other_block, sizeof other_block);
    assert_int_equal(pw_settings_examples(&arena, two_of_each, TWO_OF_EACH, &metric, &conditions, &count), PW_OK);
    bool named = false;
    for (int32_t i = 0; i < count; i++) {
        forms[conditions[i].kind] = true;
        named = named || strcmp(conditions[i].words, "pressure at top house above 400 kPa") == 0;
        assert_true(conditions[i].of_signal == (conditions[i].kind <= PW_TERM_DROP));
    }
    assert_true(named);
    for (int32_t i = 0; i < PW_TERM_COUNT; i++) {
        assert_true(forms[i]);
    }
}

static void small_memory(void **state)
{
    (void)state;
    const pw_units metric = pw_units_metric();
    bool fits = false;
    for (size_t size = 0; size < 16384; size += 64) {
        pw_arena arena;
        pw_condition_example *conditions = NULL;
        int32_t count = 0;
        pw_arena_init(&arena, other_block, size);
        const pw_status status = pw_settings_examples(&arena, two_of_each, TWO_OF_EACH, &metric, &conditions, &count);
        assert_int_equal(status, fits || status == PW_OK ? PW_OK : PW_MEMORY);
        assert_true(status == PW_MEMORY || (count > 30 && conditions[count - 1].words != NULL));
        assert_true(size > 1000 || status == PW_MEMORY);
        fits = status == PW_OK;
    }
    assert_true(fits);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_shape_reads), cmocka_unit_test(nothing_is_left_out),
                                       cmocka_unit_test(small_memory)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
