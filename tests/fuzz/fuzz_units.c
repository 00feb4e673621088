/* Quantities: any text for every dimension. What is read is finite, and written exactly it reads back as the same
 * double. */
#include "fuzz.h"

#include "base/num.h"
#include "base/units.h"

static void round_trip(pw_dimension dimension, double si)
{
    pw_arena arena = fuzz_arena(4096);
    pw_text text;
    double back = 0;
    pw_text_init(&text, &arena);
    pw_quantity_exact(&text, dimension, si);
    MUST(!text.failed);
    MUST(pw_quantity_read(text.data, dimension, &back, NULL, "") == PW_OK);
    MUST(back == si);
    pw_units units = pw_units_metric();
    pw_text_init(&text, &arena);
    pw_quantity_put(&text, &units, dimension, si);
    MUST(!text.failed && text.length > 0);
    free(arena.base);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static pw_problems problems;
    char *text = malloc(size + 1);
    MUST(text != NULL);
    memcpy(text, data, size);
    text[size] = '\0';
    for (int i = 0; i < PW_DIM_COUNT; i++) {
        double si = 0;
        memset(&problems, 0, sizeof problems);
        pw_status status = pw_quantity_read(text, (pw_dimension)i, &si, &problems, "here");
        fuzz_check_problems(&problems);
        MUST((status == PW_OK) == (problems.count == 0));
        if (status == PW_OK) {
            MUST(pw_is_finite(si));
            round_trip((pw_dimension)i, si);
        }
    }
    double si = 0;
    pw_dimension dimension = PW_DIM_NONE;
    size_t used = pw_quantity_scan(text, &si, &dimension);
    MUST(used <= strlen(text) && (used == 0 || pw_is_finite(si)));
    double seconds = 0;
    MUST(!pw_clock_read(text, &seconds) || (seconds >= 0 && seconds <= 86400));
    pw_units units;
    pw_units_read(text, &units, NULL);
    free(text);
    return 0;
}
