#include "cli/voice.h"

#include <stdint.h>
#include <string.h>

enum { BLOCKS = 8, ROOM = 8192 }; /* a text doubles as it grows */

static pw_units units;
static pw_voice voice = {PW_ENGLISH, NULL};

const pw_voice *cli_voice(void)
{
    if (voice.units == NULL) {
        units = pw_units_metric();
        voice.units = &units;
    }
    return &voice;
}

void cli_speak(const char *language, const char *shown)
{
    cli_voice();
    if (language != NULL) {
        pw_language_read(language, &voice.language);
    }
    if (shown != NULL) {
        pw_units_read(shown, &units, NULL);
    }
}

static void begin(pw_text *text, pw_arena *arena)
{
    static _Alignas(16) uint8_t blocks[BLOCKS][ROOM];
    static int next;
    next = (next + 1) % BLOCKS;
    pw_arena_init(arena, blocks[next], ROOM);
    pw_text_init(text, arena);
}

const char *cli_words(pw_fact fact)
{
    pw_text text;
    pw_arena arena;
    begin(&text, &arena);
    pw_say_put(&text, cli_voice(), &fact);
    return text.data;
}

void cli_tell(pw_fact fact)
{
    fprintf(stderr, "pumpwright: %s\n", cli_words(fact));
}

const char *cli_found(const pw_problem *problem)
{
    pw_text text;
    pw_arena arena;
    begin(&text, &arena);
    pw_say_found(&text, cli_voice(), problem);
    return text.data;
}

const char *cli_name(const char *path)
{
    return strcmp(path, "-") == 0 ? pw_say_word(cli_voice(), "cli.standard-input") : path;
}
