/* The core's control step on long random input, as a file that other programs of the same settings are held against.
 * usage: trace SENTENCES SEED STEPS FOLDER PUMPS
 * SENTENCES: a file, one to a line. Written into FOLDER: program.c, program.st, trace.txt with a line for each step:
 * time in ms, ms since Monday 00:00, the inputs, release of each pump, did the power come back; then of each
 * pump run, locked, sentence of the
 * lock out (from 1, 0 none); sentences that warn (bits), relays that are closed (bits).
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "control/logic.h"
#include "english.h"

enum { SIGNALS = 6, MOST = 40, PUMPS = 3 };
static const pw_signal signals[SIGNALS] = {{"pressure", PW_SIGNAL_PRESSURE}, {"flow switch", PW_SIGNAL_FLOW},
                                           {"tank", PW_SIGNAL_LEVEL},        {"low probe", PW_SIGNAL_PROBE},
                                           {"key", PW_SIGNAL_CONTACT},       {"pump", PW_SIGNAL_CURRENT}};

static uint64_t state;
static uint32_t draw(uint32_t below)
{
    state = state * 6364136223846793005u + 1442695040888963407u;
    return (uint32_t)(state >> 33) % below;
}

static int32_t read_lines(const char *path, char lines[MOST][256], const char **list)
{
    FILE *file = fopen(path, "r");
    int32_t count = 0;
    while (file != NULL && count < MOST && fgets(lines[count], 256, file) != NULL) {
        lines[count][strcspn(lines[count], "\n")] = '\0';
        list[count] = lines[count];
        count++;
    }
    if (file != NULL) {
        fclose(file);
    }
    return count;
}

static FILE *open_in(const char *folder, const char *name)
{
    char path[1024];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "w");
    if (file == NULL) {
        perror(path);
        exit(2);
    }
    return file;
}

static void tell(const pw_problems *problems)
{
    for (int32_t i = 0; i < problems->count; i++) {
        fprintf(stderr, "%s: %s\n", problems->items[i].path, english(&problems->items[i].found));
    }
}

/* Inputs stay as they are for a while, then some of them jump, also onto thresholds. */
static void move_inputs(double *inputs)
{
    static const double pressures[] = {150e3, 240e3, 250e3, 260e3, 390e3, 400e3, 410e3, 600e3};
    if (draw(5) == 0) {
        inputs[0] = pressures[draw(8)];
    }
    for (int32_t i = 1; i < SIGNALS; i++) {
        if (draw(9) == 0) {
            inputs[i] = i == 2 ? 0.5 * draw(6) : (i == 5 ? draw(10) : draw(2));
        }
    }
}

static void put_programs(pw_arena *arena, const pw_settings *settings, const pw_table *table, const char *folder)
{
    for (int32_t language = 0; language < 2; language++) {
        pw_text text;
        pw_text_init(&text, arena);
        if (pw_logic_put(arena, settings, table, 0, (pw_logic_language)language, &text) != PW_OK) {
            exit(2);
        }
        FILE *file = open_in(folder, language == 0 ? "program.c" : "program.st");
        fwrite(text.data, 1, text.length, file);
        fclose(file);
    }
}

/* How the clock goes on: mostly in tenths of a second, so that many times are up to the millisecond; sometimes by any
 * time; now and then by hours, to the edges of the day and the end of long times. */
static uint32_t next_step(bool even)
{
    if (draw(400) == 0) {
        return 100u * (1 + draw(432000));
    }
    return !even && draw(4) == 0 ? 1 + draw(900) : 100;
}

typedef struct run {
    const pw_table *table;
    pw_control *control;
    int32_t pumps;
    bool keeps; /* a lock out outlasts a power cut, so there are such cuts */
    uint32_t now_ms;
    uint64_t week_ms;
    FILE *file;
} run;

static void put_line(const run *r, const double *inputs, const bool *release, bool cut, const pw_outputs *out)
{
    fprintf(r->file, "%u %u", r->now_ms, (unsigned)r->week_ms);
    for (int32_t i = 0; i < SIGNALS; i++) {
        fprintf(r->file, " %.17g", inputs[i]);
    }
    for (int32_t n = 0; n < r->pumps; n++) {
        fprintf(r->file, " %d", release[n]);
    }
    fprintf(r->file, " %d", cut);
    for (int32_t n = 0; n < r->pumps; n++) {
        fprintf(r->file, " %d %d %d", out->run[n], out->locked[n], out->locked[n] ? out->locked_by[n] + 1 : 0);
    }
    fprintf(r->file, " %llu %u\n", (unsigned long long)out->warned, out->relays);
}

static void drive(run *r, long steps, bool even)
{
    double inputs[SIGNALS] = {0};
    for (; steps > 0; steps--) {
        pw_outputs out;
        bool release[PUMPS] = {false};
        move_inputs(inputs);
        const bool cut = r->keeps && draw(60) == 0;
        if (cut) {
            pw_control_power(r->table, r->control, r->now_ms);
        }
        for (int32_t n = 0; n < r->pumps; n++) {
            release[n] = draw(120) == 0;
            if (release[n]) {
                pw_control_release(r->table, r->control, n, r->now_ms);
            }
        }
        if (draw(300) == 0) { /* somebody sets the clock */
            r->week_ms = draw(604800000u);
            pw_control_clock(r->control, r->now_ms, (uint32_t)r->week_ms);
        }
        pw_control_step(r->table, r->control, inputs, r->now_ms, &out);
        put_line(r, inputs, release, cut, &out);
        const uint32_t step_ms = next_step(even);
        r->now_ms += step_ms;
        r->week_ms = (r->week_ms + step_ms) % 604800000u;
    }
}

static int follow(void *block, size_t size, char **words, void *room)
{
    static char lines[MOST][256];
    const char *list[MOST];
    static const char *const pumps[PUMPS] = {"pump", "second", "third"};
    static pw_problems problems;
    pw_arena arena;
    pw_arena_init(&arena, block, size);
    pw_settings *settings = NULL;
    pw_table *table = NULL;
    const int32_t sentences = read_lines(words[1], lines, list);
    const int32_t count = (int32_t)strtol(words[5], NULL, 10);
    if (pw_settings_read(&arena, list, sentences, signals, SIGNALS, pumps, count, "settings", &settings, &problems) !=
            PW_OK ||
        pw_table_build(&arena, settings, NULL, &table, &problems) != PW_OK || pw_logic_together(table) != (count > 1)) {
        tell(&problems);
        return 1;
    }
    put_programs(&arena, settings, table, words[4]);
    state = strtoull(words[2], NULL, 10);
    run r = {.table = table, .control = (pw_control *)room, .pumps = count};
    for (int32_t i = 0; i < sentences; i++) {
        r.keeps = r.keeps || strstr(lines[i], "keep lock outs") != NULL;
    }
    r.now_ms = (uint32_t)draw(2) * 4294900000u; /* half of the runs pass the wrap of the clock */
    r.file = open_in(words[4], "trace.txt");
    const bool even = draw(2) == 0;
    pw_control_begin(table, r.control, r.now_ms);
    drive(&r, strtol(words[3], NULL, 10), even);
    fclose(r.file);
    return 0;
}

int main(int count, char **words)
{
    const size_t size = (size_t)64 << 20;
    if (count != 6) {
        return 2;
    }
    void *block = malloc(size);
    void *room = malloc(pw_control_size());
    const int code = follow(block, size, words, room);
    free(room);
    free(block);
    return code;
}
