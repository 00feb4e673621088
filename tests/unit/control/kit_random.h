/* Random sentences from a seed, for the property tests. Needs kit.h before it. */
#ifndef ORDER_KIT_RANDOM_H
#define ORDER_KIT_RANDOM_H

#include "base/random.h"

typedef struct maker {
    pw_random random;
    char *at, *end;
    bool odd_spacing; /* any case, any spacing, many units: for reading; false: plain text */
    bool short_times; /* milliseconds, thresholds of a few values: for driving */
    bool plain;       /* plain site (names can be left out), else the bench */
} maker;

static inline uint32_t pick(maker *m, uint32_t count)
{
    return pw_random_u32(&m->random) % count;
}

/* One word or phrase; spaces inside may grow. */
static inline void say(maker *m, const char *words)
{
    bool shout = m->odd_spacing && pick(m, 20) == 0;
    for (; *words != 0 && m->at < m->end - 4; words++) {
        char c = *words;
        *m->at++ = shout && c >= 'a' && c <= 'z' ? (char)(c - 'a' + 'A') : c;
        if (c == ' ' && m->odd_spacing && pick(m, 10) == 0) {
            *m->at++ = "\t \n"[pick(m, 3)];
        }
    }
    *m->at = 0;
}

/* A quantity keeps its letters: kPa is not KPA. */
static inline void say_number(maker *m, double value, int digits, const char *unit)
{
    char text[64];
    snprintf(text, sizeof text, "%.*f %s", digits, value, unit);
    bool odd = m->odd_spacing;
    m->odd_spacing = false;
    say(m, text);
    m->odd_spacing = odd;
}

static inline void say_time(maker *m)
{
    if (m->short_times) {
        say_number(m, 1 + pick(m, 120), 0, "ms");
        return;
    }
    switch (pick(m, 6)) {
    case 0: say_number(m, 1 + pick(m, 99999), 0, "ms"); break;
    case 1: say_number(m, 1 + pick(m, 360000), 0, "s"); break;
    case 2: say_number(m, 0.001 * (1 + pick(m, 999999)), 3, "s"); break;
    case 3: say_number(m, 1 + pick(m, 6000), 0, "min"); break;
    case 4: say_number(m, 1 + pick(m, 100), 0, "h"); break;
    default:
        say_number(m, 1 + pick(m, 98), 0, "h ");
        say_number(m, 1 + pick(m, 59), 0, "min");
        break;
    }
}

static inline void say_pressure(maker *m)
{
    if (m->short_times) {
        say_number(m, 200 + 100 * pick(m, 3), 0, "kPa");
        return;
    }
    switch (pick(m, 4)) {
    case 0: say_number(m, pick(m, 2001), 0, "kPa"); break;
    case 1: say_number(m, 0.001 * pick(m, 20000), 3, "bar"); break;
    case 2: say_number(m, 0.1 * pick(m, 2900), 1, "psi"); break;
    default: say_number(m, 0.01 * pick(m, 20000), 2, "m"); break;
    }
}

static inline void say_sensor_term(maker *m)
{
    static const char *const pressures[] = {"pressure at shed", "pressure at top house"};
    static const char *const probes[] = {"probe low", "probe low well", "probe wet"};
    switch (pick(m, 9)) {
    case 7:
        say(m, pick(m, 2) ? "supply below " : "supply above ");
        say_number(m, m->short_times ? 180 + 20 * pick(m, 3) : 1 + 0.1 * pick(m, 9990), m->short_times ? 0 : 1, "V");
        break;
    case 8: say(m, pick(m, 2) ? "phase missing" : "phases complete"); break;
    case 0:
        say(m, m->plain ? "pressure" : pressures[pick(m, 2)]);
        say(m, pick(m, 2) ? " above " : " below ");
        say_pressure(m);
        break;
    case 1: say(m, pick(m, 2) ? "flow" : "no flow"); break;
    case 2:
        say(m, pick(m, 2) ? "level " : m->plain ? "level of tank " : "level of header tank ");
        say(m, pick(m, 2) ? "above " : "below ");
        say_number(m, m->short_times ? 1 + pick(m, 2) : 0.001 * pick(m, 9000), m->short_times ? 0 : 3, "m");
        break;
    case 3:
        say(m, m->plain ? "probe low" : probes[pick(m, 3)]);
        say(m, pick(m, 2) ? " wet" : " dry");
        break;
    case 4:
        say(m, m->plain ? "contact gate" : "contact door and hatch");
        say(m, pick(m, 2) ? " closed" : " open");
        break;
    case 5:
        say(m, m->plain || pick(m, 2) ? "current " : pick(m, 2) ? "current of feed pump " : "current of bore pump ");
        say(m, pick(m, 2) ? "above " : "below ");
        say_number(m, m->short_times ? 2 + pick(m, 3) : 0.01 * (1 + pick(m, 9999)), 2, "A");
        break;
    default:
        say(m, m->plain ? "winding above " : "winding of bore pump above ");
        if (m->short_times || pick(m, 2)) {
            say_number(m, m->short_times ? 100 + 10 * pick(m, 2) : pick(m, 301), 0, "degC");
        } else {
            say_number(m, 32 + 0.1 * pick(m, 5000), 1, "degF");
        }
        break;
    }
}

/* A time of day; for driving one within seconds of midnight. */
static inline void say_time_of_day(maker *m)
{
    char text[16];
    uint32_t s = m->short_times ? (pick(m, 2) ? pick(m, 3) : 86398 + pick(m, 2)) : pick(m, 86400);
    snprintf(text, sizeof text, "%02u:%02u:%02u", s / 3600, s / 60 % 60, s % 60);
    say(m, text);
}

static inline void say_clock(maker *m)
{
    static const char *const days[] = {"Monday",   "Tuesday", "Wednesday",        "Thursday",           "Friday",
                                       "Saturday", "Sunday",  "Monday to Friday", "Saturday to Tuesday"};
    say(m, pick(m, 2) ? "time between " : "time not between ");
    say_time_of_day(m);
    say(m, " and ");
    say_time_of_day(m);
    if (pick(m, 2)) {
        say(m, " on ");
        say(m, days[pick(m, 9)]);
        for (uint32_t i = pick(m, 3); i > 0; i--) {
            say(m, pick(m, 2) ? " and " : ", ");
            say(m, days[pick(m, 9)]);
        }
    }
}

static inline void say_state(maker *m)
{
    static const char *const words[] = {"running", "stopped", "running", "stopped", "locked out"};
    if (pick(m, 4) == 0) {
        say(m, m->plain ? "pump is " : pick(m, 2) ? "bore pump is " : "feed pump is ");
    }
    say(m, words[pick(m, 5)]);
    if (pick(m, 2)) {
        say(m, " for ");
        say_time(m);
    }
}

static inline void say_term(maker *m)
{
    char number[32];
    switch (pick(m, 11)) {
    case 2: say_clock(m); break;
    case 0:
        snprintf(number, sizeof number, "%u", 1 + pick(m, m->short_times ? 5 : 1800));
        say(m, "starts reach ");
        say(m, number);
        say(m, " in ");
        say_time(m);
        if (m->short_times && pick(m, 2)) {
            snprintf(number, sizeof number, " %u times in a row", 2 + pick(m, 3));
            say(m, number);
        }
        break;
    case 1: say_state(m); break;
    default: say_sensor_term(m); break;
    }
}

static inline void say_condition(maker *m, bool with_time)
{
    uint32_t terms = 1 + (pick(m, 2) ? 0 : pick(m, m->short_times ? 3 : PW_MAX_TERMS));
    for (uint32_t i = 0; i < terms; i++) {
        say(m, i == 0 ? "" : pick(m, 2) ? " and " : " or ");
        say_term(m);
    }
    if (with_time && pick(m, 2)) {
        say(m, " for ");
        say_time(m);
        if (pick(m, 3) == 0) {
            say(m, " in ");
            say_number(m, m->short_times ? 100 + pick(m, 150) : 100, 0, m->short_times ? "ms" : "h");
        }
    }
}

static inline void say_retry(maker *m)
{
    if (pick(m, 2)) {
        say(m, "release by itself after ");
        say_time(m);
    } else {
        char number[16];
        uint32_t waits = 1 + pick(m, m->short_times ? 3 : PW_MAX_WAITS);
        say(m, "retry after ");
        for (uint32_t i = 0; i < waits; i++) {
            say(m, i == 0 ? "" : pick(m, 2) ? ", then " : " then ");
            say_time(m);
        }
        snprintf(number, sizeof number, "%u", 1 + pick(m, m->short_times ? 4 : 1000));
        say(m, " up to ");
        say(m, number);
        say(m, pick(m, 2) ? " times" : " time");
    }
    if (pick(m, 2)) {
        say(m, " when locked out by ");
        say_term(m);
    }
}

static inline void say_sentence(maker *m, pw_sentence_kind kind)
{
    switch (kind) {
    case PW_SENTENCE_START: say(m, "start when "); break;
    case PW_SENTENCE_STOP: say(m, "stop when "); break;
    case PW_SENTENCE_LOCK: say(m, "lock out when "); break;
    case PW_SENTENCE_WARN:
        say(m, pick(m, 3) ? "warn when " : pick(m, 2) ? "warn by relay horn when " : "warn by relay red lamp when ");
        break;
    case PW_SENTENCE_HOLD_ON: say(m, "keep running while "); break;
    case PW_SENTENCE_IGNORE:
        say(m, "ignore ");
        say_sensor_term(m);
        say(m, " for ");
        say_time(m);
        say(m, " after start");
        return;
    case PW_SENTENCE_REST:
        say(m, "rest ");
        say_time(m);
        say(m, pick(m, 3) ? " after stop" : " after stop, then wait for a new call");
        return;
    case PW_SENTENCE_ONLY: say(m, "run only while "); break;
    case PW_SENTENCE_SHARE:
        say(m, pick(m, 2) ? "share the work between bore pump and feed pump"
                          : "share the work between feed pump, bore pump");
        if (pick(m, 3)) {
            const bool every_stop = pick(m, 2) != 0;
            say(m, every_stop ? " and change over at every stop" : " and change over every ");
            if (!every_stop) {
                say_time(m);
            }
        }
        return;
    case PW_SENTENCE_APART:
        say(m, "start pumps at least ");
        say_time(m);
        say(m, " apart");
        return;
    case PW_SENTENCE_POWER_ON:
        say(m, "wait ");
        say_time(m);
        say(m, " after power on");
        return;
    case PW_SENTENCE_KEEP_LOCKS: say(m, "keep lock outs over a power cut"); return;
    case PW_SENTENCE_AT_MOST:
        say(m, pick(m, 2) ? "start at most 1 time in " : "start at most 3600 times in ");
        say_time(m);
        return;
    case PW_SENTENCE_LEAST_RUN:
        say(m, "run at least ");
        say_time(m);
        return;
    case PW_SENTENCE_RUN_ON:
        say(m, "run on ");
        say_time(m);
        say(m, " after stop condition");
        return;
    default: say_retry(m); return;
    }
    say_condition(m, kind != PW_SENTENCE_HOLD_ON && kind != PW_SENTENCE_ONLY);
}

#endif
