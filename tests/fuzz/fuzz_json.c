/* JSON reader: any bytes. What is read can be written, and what is written reads back to the same text. */
#include "fuzz.h"

static char *write_out(pw_arena *arena, const pw_json *value, int32_t indent, size_t *length)
{
    pw_text text;
    pw_json_writer writer;
    pw_text_init(&text, arena);
    pw_json_writer_init(&writer, &text, indent);
    pw_json_value(&writer, NULL, value);
    *length = text.length;
    return text.failed ? NULL : text.data;
}

static void round_trip(const pw_json *value)
{
    pw_arena arena = fuzz_arena(8 << 20);
    size_t first_length, second_length;
    char *first = write_out(&arena, value, 2, &first_length);
    const pw_json *again = NULL;
    if (first && pw_json_read(&arena, first, first_length, &again, NULL) == PW_OK) {
        char *second = write_out(&arena, again, 2, &second_length);
        MUST(second == NULL || (first_length == second_length && memcmp(first, second, first_length) == 0));
    } else {
        MUST(first == NULL || arena.used > arena.size / 2); /* only memory may be in the way */
    }
    free(arena.base);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static pw_problems problems;
    memset(&problems, 0, sizeof problems);
    pw_arena arena = fuzz_arena(1 << 20);
    const pw_json *value = NULL;
    pw_status status = pw_json_read(&arena, (const char *)data, size, &value, &problems);
    fuzz_check_problems(&problems);
    MUST((status == PW_OK) == (value != NULL));
    MUST((status == PW_OK) == (problems.count == 0));
    if (status == PW_OK) {
        round_trip(value);
    } else {
        MUST(problems.items[0].line >= 1 && problems.items[0].column >= 1);
        MUST(arena.used == 0);
    }
    free(arena.base);
    return 0;
}
