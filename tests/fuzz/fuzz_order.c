/* Order: each line of the input is a sentence. Sentences that are read print in a form that reads back to the same
 * form; the table of a good order is stepped with inputs taken from the same bytes, and never runs a pump that is
 * locked out.
 */
#include "fuzz.h"

#include "base/num.h"
#include "control/table.h"
#include "../english.h"

enum { PUMPS = 2, SIGNALS = 11, STEPS = 200 };

static const pw_signal signals[SIGNALS] = {
    {"pressure", PW_SIGNAL_PRESSURE},     {"flow switch", PW_SIGNAL_FLOW},     {"tank", PW_SIGNAL_LEVEL},
    {"low probe", PW_SIGNAL_PROBE},       {"night tariff", PW_SIGNAL_CONTACT}, {"bore pump", PW_SIGNAL_CURRENT},
    {"transfer pump", PW_SIGNAL_CURRENT}, {"bore pump", PW_SIGNAL_WINDING},    {"transfer pump", PW_SIGNAL_WINDING},
    {"supply", PW_SIGNAL_SUPPLY},         {"phases", PW_SIGNAL_PHASES},
};
static const double spans[SIGNALS] = {1e6, 1, 5, 1, 1, 20, 20, 200, 200, 400, 1};
static const char *const pumps[PUMPS] = {"bore pump", "transfer pump"};

/* Lines of the text, cut in place. */
static int32_t split(char *text, const char **sentences)
{
    int32_t count = 0;
    char *line = text;
    while (line && count < PW_MAX_SENTENCES) {
        char *end = strchr(line, '\n');
        if (end) {
            *end = '\0';
        }
        sentences[count] = line;
        count++;
        line = end ? end + 1 : NULL;
    }
    return count;
}

static pw_status read_settings(pw_arena *arena, const char *const *sentences, int32_t count, pw_settings **out,
                               pw_problems *problems)
{
    return pw_settings_read(arena, sentences, count, signals, SIGNALS, pumps, PUMPS, "settings", out, problems);
}

/* Canonical sentences, all in the arena. */
static int32_t print_settings(pw_arena *arena, const pw_settings *settings, const char **out)
{
    int32_t count = pw_settings_count(settings);
    MUST(count <= PW_MAX_SENTENCES);
    for (int32_t i = 0; i < count; i++) {
        pw_text text;
        pw_text_init(&text, arena);
        pw_settings_put(settings, i, &text);
        MUST(!text.failed);
        out[i] = text.data;
    }
    return count;
}

static void same_again(pw_arena *arena, const pw_settings *settings)
{
    static pw_problems problems;
    const char *first[PW_MAX_SENTENCES], *second[PW_MAX_SENTENCES];
    pw_settings *again = NULL;
    memset(&problems, 0, sizeof problems);
    int32_t count = print_settings(arena, settings, first);
    pw_status status = read_settings(arena, first, count, &again, &problems);
    if (status != PW_OK) {
        fprintf(stderr, "printed, but not read again: %s / %s\n", problems.items[0].path,
                english(&problems.items[0].found));
    }
    MUST(status == PW_OK);
    MUST(print_settings(arena, again, second) == count);
    for (int32_t i = 0; i < count; i++) {
        MUST(strcmp(first[i], second[i]) == 0);
        MUST(pw_settings_kind(settings, i) == pw_settings_kind(again, i));
    }
}

static void step_through(pw_arena *arena, const pw_settings *settings, const pw_table *table, const uint8_t *data,
                         size_t size)
{
    pw_control *control = pw_alloc(arena, 1, pw_control_size());
    MUST(control != NULL);
    uint32_t now_ms = UINT32_MAX - 100000; /* the clock wraps on the way */
    pw_control_begin(table, control, now_ms);
    for (size_t i = 0; i < STEPS; i++) {
        double inputs[SIGNALS];
        pw_outputs out;
        for (size_t k = 0; k < SIGNALS; k++) {
            double part = data[(i * SIGNALS + k * 7) % size] / 255.0;
            inputs[k] = spans[k] == 1 ? (part > 0.5 ? 1 : 0) : part * spans[k];
        }
        pw_control_step(table, control, inputs, now_ms, &out);
        MUST(out.event_count >= 0 && out.event_count <= PW_MAX_CONTROL_EVENTS);
        for (int32_t pump = 0; pump < PUMPS; pump++) {
            MUST(!(out.run[pump] && out.locked[pump]));
            MUST(out.locked_by[pump] < pw_settings_count(settings));
            MUST(pw_control_starts(table, control, pump, now_ms, 3600000) >= 0);
        }
        uint32_t wait_ms = 1u + (uint32_t)data[i % size] * 97u;
        now_ms += out.next_due_ms < wait_ms && out.next_due_ms > 0 ? out.next_due_ms : wait_ms;
        if (data[(i * 31) % size] == 'r') {
            pw_control_release(table, control, -1, now_ms);
        } else if (data[(i * 37) % size] == 'p') {
            pw_control_power(table, control, now_ms);
        } else if (data[(i * 41) % size] == 'c') {
            pw_control_clock(control, now_ms, (uint32_t)data[i % size] * 2362500u);
        }
    }
    pw_facts facts;
    pw_facts_init(&facts, arena);
    pw_control_tell(settings, NULL, table, control, 0, now_ms, &facts);
    MUST(facts.failed || facts.count > 0);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static pw_problems problems;
    const char *sentences[PW_MAX_SENTENCES];
    memset(&problems, 0, sizeof problems);
    char *text = malloc(size + 1);
    MUST(text != NULL);
    memcpy(text, data, size);
    text[size] = '\0';
    int32_t count = split(text, sentences);
    pw_arena arena = fuzz_arena(4 << 20);
    pw_settings *settings = NULL;
    pw_status status = read_settings(&arena, sentences, count, &settings, &problems);
    fuzz_check_problems(&problems);
    MUST((status == PW_OK) == (problems.errors == 0));
    if (status == PW_OK) {
        same_again(&arena, settings);
        pw_table *table = NULL;
        if (pw_table_build(&arena, settings, NULL, &table, &problems) == PW_OK && size > 0) {
            pw_crossing crossings[4 * PW_MAX_SENTENCES];
            MUST(pw_table_crossings(table, crossings, 4 * PW_MAX_SENTENCES) >= 0);
            step_through(&arena, settings, table, data, size);
        }
    }
    free(arena.base);
    free(text);
    return 0;
}
