/* Ticks, places on axes, and the promise that no two labels of a drawing overlap. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/random.h"
#include "paper/plot.h"

enum { BLOCK = 16 << 20 };
static uint8_t block[BLOCK];

static void test_ticks(void **state)
{
    (void)state;
    double out[32];
    pw_axis axis = {"", "", PW_AXIS_LINEAR, 0.0, 10.0};
    assert_int_equal(pw_plot_ticks(&axis, 5, out, 32), 6);
    assert_true(out[0] == 0.0 && out[1] == 2.0 && out[5] == 10.0);
    axis = (pw_axis){"", "", PW_AXIS_LINEAR, 248.0, 401.0};
    assert_int_equal(pw_plot_ticks(&axis, 4, out, 32), 4); /* 250, 300, 350, 400 */
    assert_true(out[0] == 250.0 && out[3] == 400.0);
    axis = (pw_axis){"", "", PW_AXIS_LOG, 0.05, 56.5};
    assert_int_equal(pw_plot_ticks(&axis, 12, out, 32), 10); /* 0.05 0.1 0.2 0.5 1 2 5 10 20 50 */
    assert_true(fabs(out[0] - 0.05) < 1e-12 && fabs(out[9] - 50.0) < 1e-12);
    assert_int_equal(pw_plot_ticks(&axis, 5, out, 32), 3); /* 0.1 1 10 */
    axis = (pw_axis){"", "", PW_AXIS_CLOCK, 0.0, 365.0 * 86400.0};
    assert_int_equal(pw_plot_ticks(&axis, 6, out, 32), 5); /* a year: every twelve weeks, at midnight */
    assert_true(out[1] == 84.0 * 86400.0);
    axis = (pw_axis){"", "", PW_AXIS_CLOCK, 0.0, 86400.0};
    assert_int_equal(pw_plot_ticks(&axis, 8, out, 32), 9); /* each 3 h */
    assert_true(out[1] == 10800.0);
    axis = (pw_axis){"", "", PW_AXIS_LINEAR, 1.0, 1.0};
    assert_int_equal(pw_plot_ticks(&axis, 8, out, 32), 0);
}

/* Ticks of any axis lie inside it, rise, and are not more than were wanted (and one). */
static void test_ticks_everywhere(void **state)
{
    (void)state;
    pw_random random;
    pw_random_seed(&random, 7, 0);
    for (int32_t i = 0; i < 20000; i++) {
        double out[64];
        pw_axis axis = {"", "", (pw_axis_kind)(i % 3), 0.0, 0.0};
        axis.low = pow(10.0, 12.0 * pw_random_unit(&random) - 6.0);
        axis.high = axis.low * (1.0 + pow(10.0, 8.0 * pw_random_unit(&random) - 4.0));
        if (axis.kind == PW_AXIS_CLOCK) {
            axis.low = floor(axis.low);
            axis.high = ceil(axis.high) + 10.0;
        }
        int32_t most = 1 + i % 12;
        int32_t count = pw_plot_ticks(&axis, most, out, 64);
        assert_true(count <= (axis.kind == PW_AXIS_LOG ? most : most + 1) || axis.high > 1e8);
        for (int32_t k = 0; k < count; k++) {
            assert_true(out[k] >= axis.low - 1e-6 * axis.high && out[k] <= axis.high * (1.0 + 1e-6));
            assert_true(k == 0 || out[k] > out[k - 1]);
        }
    }
}

typedef struct label {
    double left, top, right, bottom;
    char words[80];
} label;

static double attribute(const char *at, const char *name)
{
    char key[32] = " ";
    strcat(key, name);
    strcat(key, "=\"");
    const char *found = strstr(at, key);
    assert_non_null(found);
    return strtod(found + strlen(key), NULL);
}

/* Boxes of all <text> elements: 16 px letters, a mean width of 0.53 em (measured on a common sans-serif with these
 * words), a height of 12 px over and 3 px under the baseline. */
static int32_t labels_of(const char *svg, label *out, int32_t capacity)
{
    int32_t count = 0;
    for (const char *at = strstr(svg, "<text"); at != NULL && count < capacity; at = strstr(at + 1, "<text")) {
        label *l = &out[count];
        const char *end = strchr(at, '>'), *close = strstr(at, "</text>");
        size_t length = (size_t)(close - end - 1);
        if (length > 79) {
            length = 79;
        }
        memcpy(l->words, end + 1, length);
        l->words[length] = '\0';
        double wide = 16.0 * 0.53 * (double)length;
        bool upright = strstr(at, "rotate(-90)") != NULL && strstr(at, "rotate(-90)") < end;
        if (upright) {
            double x = strtod(strstr(at, "translate(") + 10, NULL),
                   y = strtod(strchr(strstr(at, "translate("), ' '), NULL);
            *l = (label){x - 12.0, y, x + 3.0, y + wide, ""};
            memcpy(l->words, end + 1, length);
        } else {
            double x = attribute(at, "x"), y = attribute(at, "y");
            bool middle = strstr(at, "\"middle\"") != NULL && strstr(at, "\"middle\"") < end;
            bool right = strstr(at, "\"end\"") != NULL && strstr(at, "\"end\"") < end;
            l->left = x - (middle ? 0.5 * wide : (right ? wide : 0.0));
            l->right = l->left + wide;
            l->top = y - 12.0;
            l->bottom = y + 3.0;
        }
        count++;
    }
    return count;
}

static void check_labels(const char *svg)
{
    static label labels[200];
    int32_t count = labels_of(svg, labels, 200);
    double wide = 0.0, high = 0.0;
    const char *box = strstr(svg, "viewBox=\"0 0 ") + 13;
    wide = strtod(box, NULL);
    high = strtod(strchr(box, ' '), NULL);
    assert_true(count > 2);
    for (int32_t i = 0; i < count; i++) {
        const label *a = &labels[i];
        if (a->left < -1.0 || a->right > wide + 1.0 || a->top < 0.0 || a->bottom > high) {
            fail_msg("outside: %s", a->words);
        }
        for (int32_t k = i + 1; k < count; k++) {
            const label *b = &labels[k];
            bool apart = a->right <= b->left || b->right <= a->left || a->bottom <= b->top || b->bottom <= a->top;
            if (!apart) {
                fail_msg("overlap: <%s> and <%s>", a->words, b->words);
            }
        }
    }
}

/* Hundreds of made-up charts at both sizes. */
static void test_no_overlap(void **state)
{
    (void)state;
    pw_random random;
    pw_random_seed(&random, 11, 0);
    for (int32_t turn = 0; turn < 400; turn++) {
        pw_arena arena;
        pw_arena_init(&arena, block, BLOCK);
        double x[60], y[60];
        double top = 1.0 + 100.0 * pw_random_unit(&random);
        int32_t points = 2 + turn % 58;
        for (int32_t i = 0; i < points; i++) {
            x[i] = 0.05 * pow(top / 0.05, (double)i / (points - 1));
            y[i] = pow(10.0, 1.0 + 4.0 * pw_random_unit(&random));
        }
        int32_t cut = points / 2, cut2 = points * 3 / 4;
        pw_series series[3] = {{"first watch", "by 6", cut, x, y, false, false, PW_MARK_DOT, 0},
                               {"second watch", "by 7", cut2 - cut, x + cut, y + cut, false, false, PW_MARK_SQUARE, 1},
                               {"none", "", points - cut2, x + cut2, y + cut2, true, turn % 2 == 0, PW_MARK_CROSS, 4}};
        pw_span spans[2] = {{0.05, 0.05 + top * pw_random_unit(&random) * 0.2, "blind band", true, 0},
                            {top * 0.9, top * (0.9 + 0.1 * pw_random_unit(&random)), "blind band", true, 0}};
        double level = pow(10.0, 1.0 + 4.0 * pw_random_unit(&random));
        pw_level levels[2] = {{level, "cut-out 400 kPa"},
                              {level * (1.0 + 0.2 * pw_random_unit(&random)), "cut-in 250 kPa"}};
        pw_plot plot = {"A chart",
                        "What it shows.",
                        {"leak", "L/min", PW_AXIS_LOG, 0.05, top},
                        {"water lost", "L", PW_AXIS_LOG, 10.0, 1e5},
                        3,
                        2,
                        turn % 3 == 0 ? 2 : 0,
                        series,
                        spans,
                        levels,
                        "",
                        "blind",
                        .small = turn % 5 == 0,
                        .fill_a = 0,
                        .fill_b = 0};
        for (int32_t k = 0; k < 2; k++) {
            pw_text svg;
            pw_text_init(&svg, &arena);
            pw_plot_svg(&plot, 1, k == 0 ? PW_PLOT_WIDE : PW_PLOT_NARROW, &svg);
            assert_false(svg.failed);
            assert_null(strstr(svg.data, "nan"));
            assert_null(strstr(svg.data, "null"));
            assert_non_null(
                strstr(svg.data, "<title id=\"pw-t1\">A chart</title><desc id=\"pw-d1\">What it shows.</desc>"));
            check_labels(svg.data);
        }
        pw_text text;
        pw_text_init(&text, &arena);
        pw_plot_text(&plot, &arena, 40 + turn % 60, &text);
        assert_false(text.failed);
        assert_non_null(strstr(text.data, "first watch"));
    }
}

/* Bars stand in the row of their span, at its times, in both drawings. */
static void test_rows(void **state)
{
    (void)state;
    static const char *const names[] = {"pump one", "pump two"};
    static const pw_span spans[] = {{0.0, 25.0, "", false, 0}, {50.0, 100.0, "", false, 1}, {30.0, 30.0, "", true, 0}};
    pw_arena arena;
    pw_arena_init(&arena, block, BLOCK);
    const pw_plot plot = {.title = "Which",
                          .words = "w",
                          .x = {"x", "", PW_AXIS_LINEAR, 0.0, 100.0},
                          .y = {"", "", PW_AXIS_LINEAR, 0.0, 1.0},
                          .span_count = 3,
                          .spans = spans,
                          .shading = "",
                          .hatching = "fault",
                          .small = true,
                          .row_count = 2,
                          .rows = names};
    static const int32_t widths[] = {PW_PLOT_WIDE, PW_PLOT_NARROW};
    for (int32_t w = 0; w < 2; w++) {
        pw_text svg;
        pw_text_init(&svg, &arena);
        pw_plot_svg(&plot, 1, widths[w], &svg);
        assert_false(svg.failed);
        const char *at = svg.data;
        double name_y[2], top[2], from[2], wide[2];
        for (int32_t row = 0; row < 2; row++) {
            char letter;
            const char *name = strstr(svg.data, names[row]);
            while (strncmp(name, "<text", 5) != 0) {
                name--;
            }
            name_y[row] = attribute(name, "y");
            at = strstr(at + 1, "pw-bar");
            assert_non_null(at);
            assert_int_equal(
                sscanf(strstr(at, "d=\""), "d=\"M%lf %lfh%lf%c", &from[row], &top[row], &wide[row], &letter), 4);
            assert_true(top[row] > name_y[row]);
        }
        assert_null(strstr(at + 1, "pw-bar"));
        assert_true(name_y[1] > top[0]);
        assert_true(fabs(wide[1] / wide[0] - 2.0) < 0.01); /* 50 of 100 against 25 */
        assert_true(fabs(from[1] - from[0] - 2.0 * wide[0]) < 0.2);
        assert_non_null(strstr(svg.data, "pw-band"));
    }
    pw_text text;
    pw_text_init(&text, &arena);
    pw_plot_text(&plot, &arena, 60, &text);
    const char *one = strstr(text.data, "pump one"), *two = strstr(text.data, "pump two");
    assert_true(one != NULL && two != NULL);
    const char *bar = strchr(one, '\n') + 1, *other = strchr(two, '\n') + 1;
    const size_t first = strcspn(bar, "#"), second = strcspn(other, "#");
    assert_true(bar + first < two && strspn(bar + first, "#") > 10 && strspn(bar + first, "#") < 14);
    assert_true(second > first + 20 && strspn(other + second, "#") > 22);
}

/* Every point of a curve lies where its value says; decimation keeps the extremes of each pixel. */
static void test_curve(void **state)
{
    (void)state;
    enum { POINTS = 100000 };
    pw_arena arena;
    pw_arena_init(&arena, block, BLOCK);
    double *x = malloc(sizeof(double) * POINTS), *y = malloc(sizeof(double) * POINTS);
    for (int32_t i = 0; i < POINTS; i++) {
        x[i] = (double)i;
        y[i] = i == 54321 ? 99.0 : (i == 12345 ? 1.0 : 50.0);
    }
    pw_series series = {"pressure", "", POINTS, x, y, true, false, PW_MARK_NONE, 0};
    pw_plot plot = {"t",
                    "w",
                    {"x", "", PW_AXIS_LINEAR, 0.0, POINTS},
                    {"y", "", PW_AXIS_LINEAR, 0.0, 100.0},
                    1,
                    0,
                    0,
                    &series,
                    NULL,
                    NULL,
                    "",
                    .hatching = "",
                    .fill_a = 0,
                    .fill_b = 0};
    pw_text svg;
    pw_text_init(&svg, &arena);
    pw_plot_svg(&plot, 1, PW_PLOT_WIDE, &svg);
    assert_true(svg.length < 40000);
    const char *path = strstr(svg.data, "pw-line");
    assert_non_null(path);
    const char *end = strstr(path, "/>");
    double low = 1e9, high = -1e9;
    for (const char *at = strpbrk(path, "ML"); at != NULL && at < end; at = strpbrk(at + 1, "ML")) {
        const char *space = strchr(at, ' ');
        if (space == NULL || space > end) {
            break;
        }
        double value = strtod(space, NULL);
        low = fmin(low, value);
        high = fmax(high, value);
    }
    /* field 330 px high: 99 and 1 of 100 are 98 % apart */
    assert_true(fabs((high - low) - 0.98 * 330.0) < 0.3);
    free(x);
    free(y);
}

/* A year of a pressure that swings every hour is an area between its least and largest values; a line elsewhere. */
static void test_block(void **state)
{
    (void)state;
    enum { POINTS = 8760 };
    static double x[POINTS], y[POINTS];
    for (int32_t swings = 0; swings < 2; swings++) {
        pw_arena arena;
        pw_arena_init(&arena, block, BLOCK);
        for (int32_t i = 0; i < POINTS; i++) {
            x[i] = 3600.0 * (double)i;
            y[i] = swings == 1 || i % 400 == 0 ? 30.0 + 40.0 * (double)(i % 2) : 50.0;
        }
        const pw_series series = {"pressure", "", POINTS, x, y, true, swings == 1, PW_MARK_NONE, 0};
        const pw_plot plot = {.title = "t",
                              .words = "w",
                              .x = {"x", "", PW_AXIS_CLOCK, 0.0, x[POINTS - 1]},
                              .y = {"y", "", PW_AXIS_LINEAR, 0.0, 100.0},
                              .series_count = 1,
                              .series = &series,
                              .shading = "",
                              .hatching = "",
                              .small = true};
        pw_text svg;
        pw_text_init(&svg, &arena);
        pw_plot_svg(&plot, 1, PW_PLOT_WIDE, &svg);
        assert_false(svg.failed);
        assert_int_equal(strstr(svg.data, "class=\"pw-swing pw-c0\"") != NULL, swings);
        assert_int_equal(strstr(svg.data, "class=\"pw-line") != NULL, 1 - swings);
        assert_int_equal(strstr(svg.data, "area: least to largest value") != NULL, swings);
        const char *path = strstr(svg.data, swings ? "pw-swing" : "pw-line");
        const char *end = strstr(path, "/>");
        double low = 1e9, high = -1e9;
        for (const char *at = strpbrk(path, "ML"); at != NULL && at < end; at = strpbrk(at + 1, "ML")) {
            const double value = strtod(strchr(at, ' '), NULL);
            low = fmin(low, value);
            high = fmax(high, value);
        }
        assert_true(fabs(high - low - 0.4 * 130.0) < 0.2 || swings == 0); /* 40 of 100 in a field of 130 px */
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_ticks),      cmocka_unit_test(test_ticks_everywhere),
                                       cmocka_unit_test(test_no_overlap), cmocka_unit_test(test_rows),
                                       cmocka_unit_test(test_curve),      cmocka_unit_test(test_block)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
