/* Requests for a sheet: prints {HEAD,"site":...} on one line for each HEAD, a piece of JSON such as "do":"check".
 * usage: request SHEET.yaml HEAD...
 */
#include <stdio.h>
#include <stdlib.h>

#include "adapt/yaml.h"
#include "../english.h"

static char *read_whole(const char *path, size_t *length)
{
    FILE *file = fopen(path, "rb");
    char *text = malloc(1 << 20);
    if (!file || !text) {
        perror(path);
        exit(1);
    }
    *length = fread(text, 1, 1 << 20, file);
    fclose(file);
    return text;
}

int main(int argc, char **argv)
{
    static pw_problems problems;
    if (argc < 3) {
        fprintf(stderr, "usage: request SHEET.yaml HEAD...\n");
        return 2;
    }
    size_t length;
    char *text = read_whole(argv[1], &length);
    size_t size = 16 << 20;
    void *block = malloc(size);
    pw_arena arena;
    pw_text json;
    pw_yaml_map map;
    pw_arena_init(&arena, block, block ? size : 0);
    if (pw_yaml_to_json(&arena, text, length, &json, &map, &problems) != PW_OK) {
        fprintf(stderr, "%s:%d: %s\n", argv[1], problems.items[0].line, english(&problems.items[0].found));
        return 1;
    }
    for (int i = 2; i < argc; i++) {
        printf("{%s,\"site\":%s}\n", argv[i], json.data);
    }
    free(block);
    free(text);
    return 0;
}
