/* Litres of each hour of simulated homes, for tools/demand.py: what an hourly meter would have seen.
 *
 * usage: homes drawn COUNT PEOPLE...   homes drawn from the population, of these sizes in turn
 *        homes fitted COUNT SEED < RECORD
 *                                     COUNT years, their seeds after SEED, of the home that fits a record: its first
 *                                     weekday (0 Monday), then the litres of each hour from that midnight on, nan where
 *                                     the meter was silent
 * Prints a line for each year: its litres by the hour.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "sim/demand.h"
#include "sim/habits.h"

enum { HOURS = 365 * 24 };

static void print_year(const pw_demand *demand, uint64_t seed)
{
    static pw_site site;
    static double litres[HOURS + 1];
    pw_demand_state *state = malloc(pw_demand_size());
    const double end_s = HOURS * 3600.0;
    double from_s = 0, flow_m3s = 0;
    if (state == NULL) {
        exit(1);
    }
    memset(litres, 0, sizeof litres);
    site.outlet_count = 1;
    site.demand_count = 1;
    site.demands[0] = *demand;
    pw_demand_begin(&site, seed, state);
    while (from_s < end_s) {
        const double next_s = (double)pw_demand_next_ms(state) / 1000.0, to_s = next_s < end_s ? next_s : end_s;
        while (from_s < to_s) {
            const int hour = (int)(from_s / 3600.0);
            const double until_s = 3600.0 * (hour + 1) < to_s ? 3600.0 * (hour + 1) : to_s;
            litres[hour] += flow_m3s * 1000.0 * (until_s - from_s);
            from_s = until_s;
        }
        if (from_s < end_s) {
            flow_m3s = pw_demand_take(&site, state).total_m3s;
        }
    }
    free(state);
    for (int hour = 0; hour < HOURS; hour++) {
        printf("%.2f ", litres[hour]);
    }
    printf("\n");
}

static void drawn(int count, int sizes, char **size)
{
    for (int i = 0; i < count; i++) {
        pw_demand demand = {.kind = PW_DEMAND_HOUSEHOLD, .weekdays = 0x7f};
        demand.habits.people = (pw_field){.v = atof(size[i % sizes]), .given = true};
        print_year(&demand, (uint64_t)i + 1);
    }
}

static int fitted(int count, uint64_t seed)
{
    static pw_flow_record record;
    int weekday;
    char word[64];
    if (scanf("%d", &weekday) != 1) {
        return 1;
    }
    pw_record_begin(weekday, 3600, &record);
    for (int hour = 0; hour < PW_RECORD_DAYS * 24 && scanf("%63s", word) == 1; hour++) {
        const bool covered = strcmp(word, "nan") != 0;
        pw_record_add(&record, hour * 3600.0, (hour + 1) * 3600.0, covered ? atof(word) / 3600.0e3 : 0.0);
        record.unseen[hour / 24] = record.unseen[hour / 24] || !covered;
    }
    pw_demand demand = {0};
    if (!pw_habits_fit(&record, &demand)) {
        return 1;
    }
    const pw_habits *h = &demand.habits;
    fprintf(stderr,
            "people %g daily %.0f L, day spread %.2f, weekend %.2f, season %.2f, away %.3f for %.1f d, long %.1f of "
            "%.0f L at %.1f L/min\n",
            h->people.v, h->daily_m3.v * 1000, h->day_cv.v, h->weekend.v, h->season.v, h->away.v, h->away_s.v / 86400,
            h->long_per_year.v, h->long_m3s.v * h->long_s.v * 1000, h->long_m3s.v * 60000);
    for (int i = 0; i < count; i++) {
        print_year(&demand, seed + (uint64_t)i + 1);
    }
    return 0;
}

int main(int count, char **words)
{
    if (count >= 4 && strcmp(words[1], "drawn") == 0) {
        drawn(atoi(words[2]), count - 3, words + 3);
        return 0;
    }
    if (count == 4 && strcmp(words[1], "fitted") == 0) {
        return fitted(atoi(words[2]), (uint64_t)atoi(words[3]));
    }
    fprintf(stderr, "usage: homes drawn COUNT PEOPLE... | homes fitted COUNT SEED < RECORD\n");
    return 2;
}
