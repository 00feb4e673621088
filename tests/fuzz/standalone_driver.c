/* Replays files through a fuzz target without a fuzzer, so that any compiler can run the corpus as a normal test.
 * usage: PROGRAM FILE-OR-FOLDER...
 */
#define _GNU_SOURCE
#include <dirent.h>
#include <sys/stat.h>

#include "fuzz.h"

static int replayed;

static int replay_file(const char *path)
{
    FILE *file = fopen(path, "rb");
    if (!file) {
        perror(path);
        return 1;
    }
    struct stat facts;
    int bad = fstat(fileno(file), &facts) != 0;
    size_t size = bad ? 0 : (size_t)facts.st_size;
    uint8_t *data = malloc(size ? size : 1); /* exactly so many bytes: reading one more is seen */
    bad = bad || !data || fread(data, 1, size, file) != size;
    fclose(file);
    if (!bad) {
        LLVMFuzzerTestOneInput(data, size);
        replayed++;
    }
    free(data);
    return bad;
}

static int replay_folder(const char *path)
{
    struct dirent **entries;
    int bad = 0;
    int count = scandir(path, &entries, NULL, alphasort);
    if (count < 0) {
        perror(path);
        return 1;
    }
    for (int i = 0; i < count; i++) {
        char name[4096];
        int length = snprintf(name, sizeof name, "%s/%s", path, entries[i]->d_name);
        if (entries[i]->d_name[0] != '.' && length < (int)sizeof name) {
            bad |= replay_file(name);
        }
        free(entries[i]);
    }
    free(entries);
    return bad;
}

int main(int argc, char **argv)
{
    int bad = 0;
    for (int i = 1; i < argc; i++) {
        struct stat facts;
        bool folder = stat(argv[i], &facts) == 0 && S_ISDIR(facts.st_mode);
        bad |= folder ? replay_folder(argv[i]) : replay_file(argv[i]);
    }
    printf("%d inputs replayed\n", replayed);
    if (replayed == 0) {
        fprintf(stderr, "nothing to replay\n");
        return 1;
    }
    return bad;
}
