/* Logger files: the first line of the input says which columns, which unit and which step; the rest are the file's
 * bytes. What is read is a trace that the site sheet takes: times rise, flows are finite and not negative.
 */
#include "fuzz.h"

#include "adapt/csv.h"
#include "base/num.h"

/* "time|flow|L/min|60", then values, stamp, end, lasts, its unit, column, only, unit of time, zone; or empty, none. */
static void take_ask(char *line, pw_csv_ask *ask)
{
    char *fields[13] = {"", "", "", "", "", "", "", "", "", "", "", "", ""};
    int count = 0;
    char *at = line;
    while (at && count < 13) {
        fields[count] = at;
        count++;
        at = strchr(at, '|');
        if (at) {
            *at = '\0';
            at++;
        }
    }
    double step = 0;
    ask->time = fields[0];
    ask->flow = fields[1];
    ask->unit = fields[2];
    size_t used = pw_num_read(fields[3], strlen(fields[3]), &step);
    const char **const others[9] = {&ask->values, &ask->stamp, &ask->end,       &ask->lasts, &ask->lasts_unit,
                                    &ask->column, &ask->only,  &ask->time_unit, &ask->zone};
    for (int i = 0; i < 9; i++) {
        *others[i] = fields[4 + i][0] ? fields[4 + i] : NULL;
    }
    ask->step_s = used > 0 && step >= 0 && step < 1e6 ? step : 0;
}

static void check_trace(const pw_csv_trace *trace)
{
    MUST(trace->count >= 1 && trace->count <= PW_CSV_MAX_CHANGES + 1);
    MUST(trace->times_s[0] == 0);
    for (int32_t i = 0; i < trace->count; i++) {
        MUST(pw_is_finite(trace->times_s[i]) && pw_is_finite(trace->flows_m3s[i]));
        MUST(trace->flows_m3s[i] >= 0);
        MUST(i == 0 || trace->times_s[i] > trace->times_s[i - 1]);
    }
    MUST(pw_is_finite(trace->volume_m3) && trace->volume_m3 >= 0);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static pw_problems problems;
    char line[200];
    const uint8_t *end = size > 0 ? memchr(data, '\n', size) : NULL;
    if (!end || (size_t)(end - data) >= sizeof line) {
        return 0;
    }
    size_t length = (size_t)(end - data);
    memcpy(line, data, length);
    line[length] = '\0';
    pw_csv_ask ask;
    pw_csv_trace trace;
    take_ask(line, &ask);
    memset(&problems, 0, sizeof problems);
    memset(&trace, 0, sizeof trace);
    size_t left = size - length - 1;
    char *bytes = malloc(left ? left : 1); /* exactly so many bytes */
    MUST(bytes != NULL);
    memcpy(bytes, end + 1, left);
    pw_status status = pw_csv_trace_read("log.csv", bytes, left, &ask, &trace, &problems);
    fuzz_check_problems(&problems);
    MUST((status == PW_OK) == (problems.errors == 0));
    if (status == PW_OK) {
        check_trace(&trace);
        pw_csv_trace_free(&trace);
    }
    free(bytes);
    return 0;
}
