/* A log: rows of what somebody's logger measured, taken one at a time, and what is found in them.
 *
 * Memory is one block of fixed size (pw_record), whatever the length of the log. Each thing that is looked for (runs,
 * rests, falls of the gauge, hours of least flow, ...) goes into a sketch of its values; sketches of up to
 * PW_LOG_BLOCKS stretches of equal length are kept, joined two by two when they are full, so that a change in the
 * middle of a log can be found. What is read off the sketches are features (log_rows.inc), the same for a measured log
 * and for one that the simulation foretells.
 *
 * What holds
 *  - Any numbers are safe. One that is not finite is missing.
 *  - A reading that steps back, jumps or stands is counted (pw_log_bad) and is neither use nor leak.
 *  - The same rows: the same bits.
 */
#ifndef PW_STUDY_LOG_H
#define PW_STUDY_LOG_H

#include "base/logged.h"
#include "base/num.h"

/* ---- sketches ---- */

enum { PW_LOG_BINS = 64, PW_LOG_BLOCKS = 16 };

typedef enum pw_log_raw {
#define PW_LOG_RAW(name, low, high) PW_LOG_##name,
#include "study/log_rows.inc"
#undef PW_LOG_RAW
    PW_LOG_RAWS
} pw_log_raw;

/* Values in bins of equal ratios; each bin knows the mean of what fell into it, so that values which lie close
 * together (a cut-in) are told exactly. */
typedef struct pw_sketch {
    int64_t count;
    uint32_t bin[PW_LOG_BINS];
    double sum[PW_LOG_BINS];
} pw_sketch;

/* How a value finds its bin: (rough logarithm - low) * scale + 1. */
typedef struct pw_log_scale {
    double low, scale;
} pw_log_scale;
pw_log_scale pw_log_scale_of(pw_log_raw raw);
void pw_sketch_add(pw_sketch *sketch, const pw_log_scale *scale, double value);
void pw_sketch_join(pw_sketch *to, const pw_sketch *from);
double pw_sketch_quantile(const pw_sketch *sketch, double part); /* 0 when it is empty */

/* ---- features ---- */

typedef enum pw_log_feature {
#define PW_LOG_FEATURE(name, ...) PW_FOUND_##name,
#include "study/log_rows.inc"
#undef PW_LOG_FEATURE
    PW_LOG_FEATURES
} pw_log_feature;

typedef struct pw_log_feature_row {
    const char *id; /* of the door; its words are log.f-... */
    const char *words;
    pw_dimension dimension;
    pw_log_raw raw;
    double part;   /* quantile */
    double add;    /* compared is log(value + add) */
    double spread; /* of that, at least: instrument and model (own choices) */
    int32_t least; /* so many values, or it is not known */
} pw_log_feature_row;
const pw_log_feature_row *pw_log_feature_of(pw_log_feature feature);

typedef struct pw_log_features {
    bool able[PW_LOG_FEATURES]; /* the log has the signal for it */
    bool known[PW_LOG_FEATURES];
    double value[PW_LOG_FEATURES]; /* SI */
    int64_t count[PW_LOG_FEATURES];
} pw_log_features;

/* ---- a leak that a meter shows ---- */

/* Flow that never ended for so long is no use (common practice: a day). */
#define PW_LOG_STANDING_S (24.0 * 3600.0)
enum { PW_LOG_MOST_STANDING = 24 };

typedef struct pw_log_standing {
    double begin_s, end_s; /* time of the log; end: the first step without flow, or the end of the log */
    bool ended;
    double low_m3s, size_m3s, high_m3s; /* 90 % interval of what never ends */
    double usual_m3s;                   /* mean of all that flowed meanwhile */
    double probability;                 /* that it is a leak and no use: pw_log_end */
} pw_log_standing;

/* ---- the log ---- */

typedef struct pw_log_bad {
    int64_t missing, back, jumps, resets, stuck, out_of_range; /* readings */
    int64_t time_back, time_same, gaps;                        /* rows; gaps between rows */
    double gap_s, stuck_s;
} pw_log_bad;

enum { PW_LOG_LEARN = 2048, PW_LOG_TREND = 480, PW_LOG_HOURS = 32 };

/* What is drawn of a signal: least and largest value of equal stretches. */
/* at_s .. until_s: the stretch that was written last. */
typedef struct pw_log_trend {
    float low[PW_LOG_SIGNALS][PW_LOG_TREND], high[PW_LOG_SIGNALS][PW_LOG_TREND];
    bool any[PW_LOG_SIGNALS][PW_LOG_TREND];
    int32_t count, at;
    double width_s, from_s, until_s;
} pw_log_trend;

typedef struct pw_log_block {
    pw_sketch sketch[PW_LOG_RAWS];
    double covered_s, on_s, starts;
} pw_log_block;

typedef struct pw_log_counter {
    bool any;
    double last, last_s, top; /* top: largest rate that was believed */
    bool leapt;               /* the last reading was a jump, from here */
    double leapt_from;
    int64_t steps;
} pw_log_counter;

typedef struct pw_log_meter { /* flow that does not end */
    bool on;
    double begin_s, last_s, volume_m3, mean_s, mean_m3, hour_s, hour_covered_s;
    double empty[24], seen[24]; /* hours of the day without flow, and all */
    pw_sketch hours;
    int32_t count;
    pw_log_standing list[PW_LOG_MOST_STANDING];
} pw_log_meter;

typedef struct pw_log_state {
    bool on, known, clean; /* running; known since a switch was seen; no gap since */
    double since_s;
    double low_pa, low_s, high_pa, high_s; /* turns of the pressure */
    double before_pa, start_pa, sum, square, n;
    double window_s, window_pa, stop_s, stop_pa;
    bool window, soon;
} pw_log_state;

/* What tells whether the pump runs. */
typedef enum pw_log_told_by {
    PW_LOG_BY_NOTHING,
    PW_LOG_BY_CONTACT,
    PW_LOG_BY_POWER,
    PW_LOG_BY_CURRENT,
    PW_LOG_BY_TURNS /* of the pressure, which rises only while a pump runs */
} pw_log_told_by;

typedef struct pw_record {
    bool has[PW_LOG_SIGNALS];
    pw_log_told_by told_by;
    int64_t rows;
    double first_s, last_s, step_s;
    double noise[PW_LOG_SIGNALS], least[PW_LOG_SIGNALS], most[PW_LOG_SIGNALS];
    double top_current, top_power;
    int64_t switches, switch_rows;   /* starts and stops; those that had a row of their own between the usual ones */
    int64_t rest_rows, rest_flowing; /* rows at rest with a flow, and those of them that show some */
    pw_log_bad bad;
    int32_t used_count, used[PW_LOG_SIGNALS];         /* the signals that it has */
    bool counts;                                      /* one of them is a counter */
    double low[PW_LOG_SIGNALS], high[PW_LOG_SIGNALS]; /* beyond, a reading cannot be */
    pw_log_scale scale[PW_LOG_RAWS];
    double block_s, block_until_s; /* until then the last block */
    int32_t block_count;
    pw_log_block block[PW_LOG_BLOCKS];
    pw_log_state state;
    pw_log_counter counter[PW_LOG_SIGNALS];
    pw_log_meter meter;
    pw_log_trend trend;
    double hour_s, hour_low_m3s, hour_covered_s, hour_starts;
    double same_value, same_s, same_on;
    int64_t same_rows;
    bool same_switched;
    pw_log_row room[3]; /* the row that waits for its successor, the one before, and room for the next */
    int32_t newest, waiting;
    bool learnt;
    int32_t learn_count;
    pw_log_row learn[PW_LOG_LEARN];
} pw_record;

/* has: which signals the rows carry. */
void pw_log_begin(pw_record *log, const bool has[PW_LOG_SIGNALS]);
void pw_log_take(pw_record *log, const pw_log_row *row);
void pw_log_end(pw_record *log); /* once, after the last row */

/* Features of blocks from .. to - 1. */
void pw_log_features_of(const pw_record *log, int32_t from, int32_t to, pw_log_features *out);
/* Can a log of these signals show it? */
bool pw_log_feature_able(const bool has[PW_LOG_SIGNALS], pw_log_feature feature);
/* What is compared: log(value + add). */
double pw_log_compared(pw_log_feature feature, double value);
double pw_log_uncompared(pw_log_feature feature, double compared); /* the value back */
/* The block from which on the log is another one than before, 0: it is the same all along; how far the features lie
 * apart, in spreads. */
int32_t pw_log_change(const pw_record *log, double *apart);
double pw_log_block_begin_s(const pw_record *log, int32_t block);

#endif
