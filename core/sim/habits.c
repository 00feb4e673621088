/* Fitting habits, see habits.h. */
#include "sim/habits.h"

#include <string.h>

#include "base/num.h"

#define DAY_S       86400.0
#define HOUR_S      3600.0
#define TURN        6.283185307179586
#define AWAY_PART   0.02 /* of the mean day: a cistern that drips is no person */
#define LONG_M3     0.2  /* in an hour */
#define LONG_HOURS  8.0  /* mean hours */
#define MOST_SEASON 20.0
#define MOST_AWAY   0.9

/* What is known of any home before its record is read (habits.h): so many absences and long draws, in so long a time,
 * and so many absences of a mean length. Such that a home with 0, 1 or 3 absences in half a year or in one gets the
 * mean of those homes of the population (household.c) that would have so many, within 20 %; of long draws with 0. */
#define PRIOR_ABSENCES   0.6
#define PRIOR_HOME_DAYS  60.0
#define PRIOR_LENGTHS    2.0
#define PRIOR_LENGTH_D   5.0
#define PRIOR_LONG_DRAWS 0.3
#define PRIOR_LONG_DAYS  30.0

void pw_record_begin(int32_t first_weekday, double step_s, pw_flow_record *out)
{
    memset(out, 0, sizeof *out);
    out->first_weekday = first_weekday;
    out->step_s = step_s;
}

void pw_record_add(pw_flow_record *record, double from_s, double to_s, double flow_m3s)
{
    const double end_s = pw_min(to_s, PW_RECORD_DAYS * DAY_S);
    double at_s = from_s;
    while (at_s < end_s) {
        const int32_t hour = (int32_t)(at_s / HOUR_S), day = hour / 24;
        const double until_s = pw_min(HOUR_S * (hour + 1), end_s), m3 = flow_m3s * (until_s - at_s);
        record->days = day + 1;
        record->day_m3[day] += m3;
        record->hour_m3[hour] += m3;
        record->weighted_m6s[day] += m3 * flow_m3s;
        at_s = until_s;
    }
}

void pw_record_trace(pw_flow_record *record, const double *times_s, const double *flows_m3s, int32_t count)
{
    for (int32_t i = 0; i + 1 < count; i++) {
        pw_record_add(record, times_s[i], times_s[i + 1], flows_m3s[i]);
    }
}

/* What is gathered on the way. */
typedef struct fit {
    const pw_flow_record *record;
    double threshold_m3, usual_hour_m3; /* of a long hour; of an hour at home */
    double long_m3[PW_RECORD_DAYS];     /* of each day, above the usual hour */
    bool home[PW_RECORD_DAYS];
    int32_t seen, away, absences, long_draws;
    double all_m3, home_m3, long_sum_m3, long_weighted_m6s;
    double cosine, sine; /* of the first harmonic, as parts of the mean */
    double weekend;
} fit;

static void find_home_days(fit *f)
{
    const pw_flow_record *r = f->record;
    bool was_away = false;
    for (int32_t d = 0; d < r->days; d++) {
        if (!r->unseen[d]) {
            f->seen++;
            f->all_m3 += r->day_m3[d];
        }
    }
    const double least_m3 = AWAY_PART * f->all_m3 / pw_max(f->seen, 1);
    for (int32_t d = 0; d < r->days; d++) {
        const bool away = !r->unseen[d] && r->day_m3[d] <= least_m3;
        f->home[d] = !r->unseen[d] && !away;
        f->away += away ? 1 : 0;
        f->absences += away && !was_away ? 1 : 0;
        was_away = away;
    }
}

static void find_long_draws(fit *f)
{
    const pw_flow_record *r = f->record;
    const int32_t home_days = f->seen - f->away;
    f->usual_hour_m3 = f->all_m3 / (24.0 * pw_max(home_days, 1));
    f->threshold_m3 = pw_max(LONG_M3, LONG_HOURS * f->usual_hour_m3);
    bool was_long = false;
    for (int32_t h = 0; h < r->days * 24; h++) {
        const bool is_long = !r->unseen[h / 24] && r->hour_m3[h] >= f->threshold_m3;
        if (is_long) {
            const double m3 = r->hour_m3[h] - f->usual_hour_m3;
            f->long_m3[h / 24] += m3;
            f->long_sum_m3 += m3;
            f->long_weighted_m6s += m3 * r->weighted_m6s[h / 24] / r->day_m3[h / 24];
        }
        f->long_draws += is_long && !was_long ? 1 : 0;
        was_long = is_long;
    }
}

static double level_m3(const fit *f, int32_t day)
{
    return f->record->day_m3[day] - f->long_m3[day];
}

static double angle(int32_t day)
{
    return TURN * (double)day / 365.0;
}

static bool at_weekend(const fit *f, int32_t day)
{
    return f->record->first_weekday >= 0 && (day + f->record->first_weekday) % 7 >= 5;
}

static void find_means(fit *f)
{
    double sum[2] = {0.0, 0.0}, n[2] = {0.0, 0.0};
    for (int32_t d = 0; d < f->record->days; d++) {
        if (f->home[d]) {
            const int32_t which = at_weekend(f, d) ? 1 : 0;
            sum[which] += level_m3(f, d);
            n[which] += 1.0;
        }
    }
    f->home_m3 = (sum[0] + sum[1]) / pw_max(n[0] + n[1], 1.0);
    const bool both = sum[0] > 0.0 && n[1] > 0.0;
    f->weekend = both ? pw_clamp((sum[1] / n[1]) / (sum[0] / n[0]), 0.0, 20.0) : 1.0;
    for (int32_t d = 0; d < f->record->days; d++) {
        if (f->home[d]) {
            const double part = level_m3(f, d) / f->home_m3 - 1.0;
            f->cosine += 2.0 * part * pw_cos(angle(d)) / (n[0] + n[1]);
            f->sine += 2.0 * part * pw_sin(angle(d)) / (n[0] + n[1]);
        }
    }
}

/* Spread of the days that neither weekend nor season nor the draws explain. */
static double own_spread(const fit *f, bool season)
{
    double squares = 0.0, n = 0.0;
    const double week = f->record->first_weekday >= 0 ? 7.0 / (5.0 + 2.0 * f->weekend) : 1.0;
    for (int32_t d = 0; d < f->record->days; d++) {
        if (f->home[d]) {
            const double of_year = season ? 1.0 + f->cosine * pw_cos(angle(d)) + f->sine * pw_sin(angle(d)) : 1.0;
            const double of_week = week * (at_weekend(f, d) ? f->weekend : 1.0);
            const double off = level_m3(f, d) / f->home_m3 - pw_max(of_year, 0.0) * of_week;
            squares += off * off;
            n += 1.0;
        }
    }
    const double of_draws = pw_home_draw_variance(f->home_m3) / (f->home_m3 * f->home_m3);
    return pw_min(pw_sqrt(pw_max(squares / pw_max(n, 1.0) - of_draws, 0.0)), 3.0);
}

static pw_field known(double v)
{
    return (pw_field){.v = v, .given = true};
}

static void put_long_draws(const fit *f, pw_habits *h)
{
    const double a_day = (f->long_draws + PRIOR_LONG_DRAWS) / (f->seen + PRIOR_LONG_DAYS);
    h->long_per_year = known(pw_min(365.0 * a_day, 2000.0));
    if (f->long_draws == 0) {
        return;
    }
    const double m3 = f->long_sum_m3 / f->long_draws;
    const bool fine = f->record->step_s <= PW_FINE_STEP_S;
    const double seen_m3s = f->long_weighted_m6s / f->long_sum_m3;
    const double flow_m3s = fine ? seen_m3s : pw_max(pw_home_long_m3s(), seen_m3s);
    h->long_m3s = known(flow_m3s);
    h->long_s = known(pw_clamp(m3 / flow_m3s, 60.0, DAY_S));
}

static void put_absences(const fit *f, pw_habits *h)
{
    const double leaves = (f->absences + PRIOR_ABSENCES) / (f->seen - f->away + PRIOR_HOME_DAYS);
    const double days = (f->away + PRIOR_LENGTHS * PRIOR_LENGTH_D) / (f->absences + PRIOR_LENGTHS);
    h->away = known(pw_min(leaves * days / (1.0 + leaves * days), MOST_AWAY));
    if (f->absences > 0) {
        h->away_s = known(pw_min(days, 365.0) * DAY_S);
    }
}

bool pw_habits_fit(const pw_flow_record *record, pw_demand *out)
{
    pw_demand d = {.kind = PW_DEMAND_HOUSEHOLD, .weekdays = 0x7f, .outlet = out->outlet};
    fit f = {.record = record};
    find_home_days(&f);
    if (!(f.all_m3 > 0.0)) {
        return false;
    }
    find_long_draws(&f);
    find_means(&f);
    const bool season = f.seen >= PW_DAYS_FOR_SEASON;
    const bool weekend = f.seen >= PW_DAYS_FOR_WEEKEND && record->first_weekday >= 0;
    f.weekend = weekend ? f.weekend : 1.0;
    pw_habits *h = &d.habits;
    h->daily_m3 = known(pw_clamp(f.home_m3, 0.001, 1000.0));
    h->people = known(pw_home_people(h->daily_m3.v));
    if (f.seen >= PW_DAYS_FOR_SPREAD) {
        h->day_cv = known(own_spread(&f, season));
        put_absences(&f, h);
        put_long_draws(&f, h);
    }
    if (weekend) {
        h->weekend = known(f.weekend);
    }
    if (season) {
        const double swing = pw_min(pw_sqrt(f.cosine * f.cosine + f.sine * f.sine), 0.95);
        h->season = known(pw_min((1.0 + swing) / (1.0 - swing), MOST_SEASON));
    }
    *out = d;
    return true;
}
