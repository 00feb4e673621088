/* What both drawings of a plot share: ticks, places on the axes, marks, names. */
#include <string.h>

#include "base/num.h"
#include "paper/inside.h"
#include "say/say.h"

double plot_share(const pw_axis *axis, double value)
{
    double share = 0.0;
    if (axis->kind == PW_AXIS_LOG) {
        if (value <= axis->low) {
            return 0.0;
        }
        share = pw_log(value / axis->low) / pw_log(axis->high / axis->low);
    } else {
        share = (value - axis->low) / (axis->high - axis->low);
    }
    return pw_clamp(share, 0.0, 1.0);
}

/* 10 to a whole power, exact where a double can be. */
static double power_of_ten(int32_t power)
{
    double value = 1.0;
    for (int32_t i = 0; i < power; i++) {
        value *= 10.0;
    }
    for (int32_t i = 0; i > power; i--) {
        value /= 10.0;
    }
    return value;
}

static int32_t log_ticks(const pw_axis *axis, int32_t most, double *out, int32_t capacity)
{
    static const double steps[3] = {1.0, 2.0, 5.0};
    int32_t from = (int32_t)pw_floor(pw_log10(axis->low) - 1e-9), to = (int32_t)pw_ceil(pw_log10(axis->high) + 1e-9);
    /* 1-2-5 if they are few enough, else decades, else every second, third ... decade */
    for (int32_t stride = 0; stride < 400; stride++) {
        int32_t count = 0;
        for (int32_t power = from; power <= to; power += stride > 1 ? stride : 1) {
            for (int32_t i = 0; i < (stride == 0 ? 3 : 1); i++) {
                double value = steps[i] * power_of_ten(power);
                if (value < axis->low * (1.0 - 1e-9) || value > axis->high * (1.0 + 1e-9)) {
                    continue;
                }
                if (count < capacity) {
                    out[count] = value;
                }
                count++;
            }
        }
        if (count <= most && count <= capacity) {
            return count;
        }
    }
    return 0;
}

static int32_t even_ticks(const pw_axis *axis, double step, double *out, int32_t capacity)
{
    double first = pw_ceil(axis->low / step - 1e-9);
    int32_t count = 0;
    for (double i = first; i * step <= axis->high + step * 1e-9 && count < capacity; i += 1.0) {
        out[count] = i * step;
        count++;
    }
    return count;
}

static const double clock_steps[] = {1,    2,    5,    10,    15,    30,    60,    120,    300,    600,     900,
                                     1800, 3600, 7200, 10800, 21600, 43200, 86400, 172800, 604800, 1209600, 2419200};

int32_t pw_plot_ticks(const pw_axis *axis, int32_t most, double *out, int32_t capacity)
{
    if (!(axis->high > axis->low) || most < 1) {
        return 0;
    }
    if (axis->kind == PW_AXIS_LOG) {
        return log_ticks(axis, most, out, capacity);
    }
    double least = (axis->high - axis->low) / (double)most;
    if (axis->kind == PW_AXIS_CLOCK) {
        for (size_t i = 0; i < sizeof clock_steps / sizeof clock_steps[0]; i++) {
            if (clock_steps[i] >= least) {
                return even_ticks(axis, clock_steps[i], out, capacity);
            }
        }
        const double four_weeks = 2419200.0;
        return even_ticks(axis, pw_ceil(least / four_weeks) * four_weeks, out, capacity);
    }
    int32_t power = (int32_t)pw_floor(pw_log10(least) + 1e-9);
    double unit = power_of_ten(power);
    static const double steps[4] = {1.0, 2.0, 5.0, 10.0};
    for (int32_t i = 0; i < 4; i++) {
        if (steps[i] * unit >= least * (1.0 - 1e-9)) {
            return even_ticks(axis, steps[i] * unit, out, capacity);
        }
    }
    return 0;
}

double plot_tick_step(const double *ticks, int32_t count)
{
    return count > 1 ? ticks[1] - ticks[0] : 0.0;
}

static void two_digits(pw_text *out, int64_t value)
{
    if (value < 10) {
        pw_text_put(out, "0");
    }
    pw_text_int(out, value);
}

void plot_tick_words(const pw_plot *plot, const pw_axis *axis, double value, double step, pw_text *out)
{
    static const pw_voice english = {PW_ENGLISH, NULL};
    static const char *const days[7] = {"paper.mon", "paper.tue", "paper.wed", "paper.thu",
                                        "paper.fri", "paper.sat", "paper.sun"};
    const pw_voice *voice = plot->voice != NULL ? plot->voice : &english;
    if (axis->kind != PW_AXIS_CLOCK) {
        /* a sum of steps that should be 0 may miss it by a rounding */
        bool nothing = axis->kind == PW_AXIS_LINEAR && pw_abs(value) < 1e-9 * pw_abs(step);
        pw_say_number(out, voice, nothing ? 0.0 : value, 6);
        return;
    }
    int64_t second = (int64_t)pw_floor(value + 0.5);
    int64_t day = second / 86400, rest = second % 86400;
    bool one_day = axis->low >= 0.0 && axis->high <= 86400.0 + 1.0;
    if (one_day && second == 86400) {
        pw_text_put(out, "24:00");
        return;
    }
    if (!one_day && rest == 0) {
        pw_text_put(out, pw_say_word(voice, days[day % 7]));
        if (axis->high - axis->low > 7.0 * 86400.0) {
            pw_text_put(out, " ");
            pw_text_int(out, day + 1);
        }
        return;
    }
    two_digits(out, rest / 3600);
    pw_text_put(out, ":");
    two_digits(out, rest / 60 % 60);
    if (step > 0.0 && step < 60.0) {
        pw_text_put(out, ":");
        two_digits(out, rest % 60);
    }
}

bool plot_name_seen(const pw_plot *plot, int32_t series)
{
    for (int32_t i = 0; i < series; i++) {
        if (strcmp(plot->series[i].name, plot->series[series].name) == 0) {
            return true;
        }
    }
    return false;
}

char plot_mark_letter(const pw_plot *plot, int32_t series)
{
    static const char letters[PW_MARK_COUNT] = {'*', 'o', '#', '^', 'v', 'x', '0', '+'};
    static const char lines[4] = {'*', 'o', '=', '~'};
    pw_mark mark = plot->series[series].mark;
    return mark == PW_MARK_NONE ? lines[series % 4] : letters[mark];
}

bool plot_has_hatching(const pw_plot *plot)
{
    for (int32_t i = 0; i < plot->span_count; i++) {
        if (plot->spans[i].hatched) {
            return true;
        }
    }
    return false;
}

bool plot_has_shading(const pw_plot *plot)
{
    for (int32_t i = 0; i < plot->span_count; i++) {
        if (!plot->spans[i].hatched) {
            return true;
        }
    }
    return false;
}
