/* Site sheet: any bytes as YAML; what the YAML reader takes is JSON, and the door checks it. */
#include "fuzz_door.h"

#include "adapt/yaml.h"

/* Places can be asked for whatever the path. */
static void ask_places(const pw_yaml_map *map)
{
    static const char *const paths[] = {
        "", "site", "pumps[0].curve[2].head", "places[1]", "settings[0]", "x[99999999999].y", "[", ".", "a..b"};
    for (size_t i = 0; i < sizeof paths / sizeof paths[0]; i++) {
        int32_t line = 1, column = 1;
        pw_yaml_where(map, paths[i], &line, &column);
        MUST(line >= 1 && column >= 1);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static pw_problems problems;
    memset(&problems, 0, sizeof problems);
    pw_arena arena = fuzz_arena(4 << 20);
    pw_text json;
    pw_yaml_map map;
    char *text = malloc(size ? size : 1); /* exactly so many bytes */
    MUST(text != NULL);
    memcpy(text, data, size);
    pw_status status = pw_yaml_to_json(&arena, text, size, &json, &map, &problems);
    fuzz_check_problems(&problems);
    MUST((status == PW_OK) == (problems.errors == 0));
    if (status == PW_OK) {
        const pw_json *value = NULL;
        pw_arena other = fuzz_arena(16 << 20);
        MUST(pw_json_read(&other, json.data, json.length, &value, NULL) == PW_OK);
        free(other.base);
        ask_places(&map);
        static const char before[] = "{\"do\":\"check\",\"site\":";
        size_t length = sizeof before - 1 + json.length + 1;
        char *request = malloc(length + 1);
        MUST(request != NULL);
        memcpy(request, before, sizeof before - 1);
        memcpy(request + sizeof before - 1, json.data, json.length);
        request[length - 1] = '}';
        request[length] = '\0';
        fuzz_ask(request, length);
        free(request);
    }
    free(text);
    free(arena.base);
    return 0;
}
