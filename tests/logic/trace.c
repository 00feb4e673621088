/* The core's control step on long random input, as a file that other programs of the same settings are held against.
 * usage: trace SENTENCES SEED STEPS FOLDER
 * SENTENCES: a file, one to a line. Written into FOLDER: program.c, program.st, trace.txt with a line for each step:
 * time in ms, the inputs, release, then run, locked, sentence of the lock out (from 1, 0 none), sentences that warn
 * (bits).
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "control/logic.h"
#include "english.h"

enum { SIGNALS = 6, MOST = 40 };
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
        pw_problems problems = {0};
        pw_text_init(&text, arena);
        if (pw_logic_put(arena, settings, table, 0, (pw_logic_language)language, "settings", &text, &problems) !=
            PW_OK) {
            tell(&problems);
            exit(1);
        }
        FILE *file = open_in(folder, language == 0 ? "program.c" : "program.st");
        fwrite(text.data, 1, text.length, file);
        fclose(file);
    }
}

static int follow(void *block, size_t size, char **words, void *room)
{
    static char lines[MOST][256];
    const char *list[MOST];
    static const char *const pumps[] = {"pump"};
    static pw_problems problems;
    pw_arena arena;
    pw_arena_init(&arena, block, size);
    pw_settings *settings = NULL;
    pw_table *table = NULL;
    const int32_t sentences = read_lines(words[1], lines, list);
    if (pw_settings_read(&arena, list, sentences, signals, SIGNALS, pumps, 1, "settings", &settings, &problems) !=
            PW_OK ||
        pw_table_build(&arena, settings, NULL, &table, &problems) != PW_OK) {
        tell(&problems);
        return 1;
    }
    put_programs(&arena, settings, table, words[4]);
    pw_control *control = (pw_control *)room;
    double inputs[SIGNALS] = {0};
    state = strtoull(words[2], NULL, 10);
    uint32_t now_ms = (uint32_t)draw(2) * 4294900000u; /* half of the runs pass the wrap of the clock */
    const bool even = draw(2) == 0;
    pw_control_begin(table, control, now_ms);
    FILE *file = open_in(words[4], "trace.txt");
    for (long step = strtol(words[3], NULL, 10); step > 0; step--) {
        pw_outputs out;
        const bool release = draw(60) == 0;
        move_inputs(inputs);
        if (release) {
            pw_control_release(table, control, 0, now_ms);
        }
        pw_control_step(table, control, inputs, now_ms, &out);
        fprintf(file, "%u %.17g %.17g %.17g %.17g %.17g %.17g %d %d %d %d %llu\n", now_ms, inputs[0], inputs[1],
                inputs[2], inputs[3], inputs[4], inputs[5], release, out.run[0], out.locked[0],
                out.locked[0] ? out.locked_by[0] + 1 : 0, (unsigned long long)out.warned);
        now_ms += !even && draw(4) == 0 ? 1 + draw(900) : 100; /* even: many times are up to the millisecond */
    }
    fclose(file);
    return 0;
}

int main(int count, char **words)
{
    const size_t size = (size_t)64 << 20;
    if (count != 5) {
        return 2;
    }
    void *block = malloc(size);
    void *room = malloc(pw_control_size());
    const int code = follow(block, size, words, room);
    free(room);
    free(block);
    return code;
}
