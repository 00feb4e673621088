/* The log drawn, a strip for each signal: least and largest of equal stretches, and what was found marked. */
#include "base/num.h"
#include "paper/log_parts.h"
#include "paper/plot.h"
#include "paper/say.h"

enum { MOST_SPANS = PW_LOG_MOST_STANDING + 1 };

/* The judged stretch where the log is another one before, and flow that never ends. */
static pw_span *spans_of(const log_pen *p, double zero_s, int32_t *count)
{
    pw_span *spans = PW_NEW(p->arena, MOST_SPANS, pw_span);
    *count = 0;
    if (spans == NULL) {
        p->document->failed = true;
        return NULL;
    }
    for (int32_t i = 0; i < p->log->meter.count; i++) {
        const pw_log_standing *one = &p->log->meter.list[i];
        if (one->probability >= 0.5) {
            spans[*count] = (pw_span){one->begin_s - zero_s, one->end_s - zero_s, "", true, 0};
            (*count)++;
        }
    }
    if (p->verdict->from_block > 0) {
        spans[*count] = (pw_span){p->verdict->since_s - zero_s, p->verdict->until_s - zero_s, "", false, 0};
        (*count)++;
    }
    return spans;
}

static pw_series *series_of(const log_pen *p, int32_t signal, double zero_s, pw_axis *y)
{
    const pw_log_trend *trend = &p->log->trend;
    const pw_units *units = p->voice->units;
    const pw_dimension dimension = pw_log_signal_dimension((pw_log_signal)signal);
    pw_series *series = PW_NEW(p->arena, 2, pw_series);
    double *x = PW_NEW(p->arena, PW_LOG_TREND, double), *low = PW_NEW(p->arena, PW_LOG_TREND, double),
           *high = PW_NEW(p->arena, PW_LOG_TREND, double);
    int32_t n = 0;
    if (series == NULL || x == NULL || low == NULL || high == NULL) {
        p->document->failed = true;
        return NULL;
    }
    y->low = PW_INF;
    y->high = -PW_INF;
    for (int32_t i = 0; i < trend->count; i++) {
        if (trend->any[signal][i]) {
            x[n] = p->log->first_s + ((double)i + 0.5) * trend->width_s - zero_s;
            low[n] = pw_unit_value(units, dimension, trend->low[signal][i]);
            high[n] = pw_unit_value(units, dimension, trend->high[signal][i]);
            y->low = pw_min(y->low, low[n]);
            y->high = pw_max(y->high, high[n]);
            n++;
        }
    }
    y->low = y->low > 0.0 && y->low < 0.5 * y->high ? 0.0 : y->low;
    y->high = y->high > y->low ? y->high : y->low + 1.0;
    series[0] = (pw_series){pw_say_word(p->voice, "log.largest"), "", n, x, high, true, false, PW_MARK_NONE, 0};
    series[1] = (pw_series){pw_say_word(p->voice, "log.least"), "", n, x, low, true, false, PW_MARK_NONE, 1};
    return n > 1 ? series : NULL;
}

static const char *title_of(int32_t signal)
{
    static const char *const ids[PW_LOG_SIGNALS] = {"log.s-pressure", "log.s-flow",  "log.s-volume",    "log.s-current",
                                                    "log.s-power",    "log.s-level", "log.s-vibration", "log.s-running",
                                                    "log.s-starts",   "log.s-ran"};
    return ids[signal];
}

static void put_plot(const log_pen *p, int32_t signal, double zero_s)
{
    pw_axis y = {"", pw_unit_name(p->voice->units, pw_log_signal_dimension((pw_log_signal)signal)), PW_AXIS_LINEAR, 0,
                 1};
    const pw_series *series = series_of(p, signal, zero_s, &y);
    pw_plot *plot = PW_NEW(p->arena, 1, pw_plot);
    if (series == NULL || plot == NULL) {
        p->document->failed = p->document->failed || plot == NULL;
        return;
    }
    plot->title = y.title = pw_say_word(p->voice, title_of(signal));
    plot->words = say_fact(p->arena, p->voice, pw_fact_of("log.plot", pw_word(title_of(signal))));
    plot->y = y;
    plot->x = (pw_axis){pw_say_word(p->voice, "log.time"), "", PW_AXIS_CLOCK, p->log->first_s - zero_s,
                        pw_max(p->log->last_s - zero_s, p->log->first_s - zero_s + 1.0)};
    plot->spans = spans_of(p, zero_s, &plot->span_count);
    plot->series = series;
    plot->series_count = 2;
    plot->filled = true;
    plot->fill_b = 1;
    plot->shading = pw_say_word(p->voice, "log.judged");
    plot->hatching = pw_say_word(p->voice, "log.hatched");
    plot->small = true;
    plot->voice = p->voice;
    pw_document_plot(p->document, plot);
}

void log_put_plots(const log_pen *p)
{
    const double zero_s = 86400.0 * pw_floor(p->log->first_s / 86400.0);
    for (int32_t s = 0; s < PW_LOG_SIGNALS; s++) {
        if (p->log->has[s] && s != PW_LOG_RUNNING) {
            put_plot(p, s, zero_s);
        }
    }
}
