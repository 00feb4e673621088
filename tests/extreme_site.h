/* A valid site at the ends of what the sheet allows: tiny and huge vessels, pipes, tanks, pumps; heights, summits,
 * rings, taps above the water, foot valves that are missing. From a seed. */
#ifndef PW_TESTS_EXTREME_SITE_H
#define PW_TESTS_EXTREME_SITE_H

#include "random_site.h"

/* Between the two, as many tenths of each size. */
static inline double spread(pw_random *random, double low, double high)
{
    return low * pw_exp(between(random, 0.0, 1.0) * pw_log(high / low));
}

static inline double either(pw_random *random, double low, double high)
{
    const int which = pick(random, 4);
    return which == 0 ? low : which == 1 ? high : spread(random, low, high);
}

#define PUT(...) n += (size_t)snprintf(out + n, n < size ? size - n : 0, __VA_ARGS__)

/* Hills and hollows, as steep as the pipe is long. */
static inline size_t put_profile(pw_random *random, char *out, size_t size, double length_m, double from_m, double to_m)
{
    size_t n = 0;
    const int points = 2 + pick(random, 3);
    const double run_m = length_m / (points + 1);
    double before_m = from_m;
    PUT(",\"profile\":[");
    for (int i = 1; i <= points; i++) {
        const double left_m = length_m - run_m * i;
        const double low_m = pw_max(before_m - 0.98 * run_m, to_m - 0.98 * left_m);
        const double high_m = pw_min(before_m + 0.98 * run_m, to_m + 0.98 * left_m);
        before_m = between(random, low_m, high_m);
        PUT("%s{\"distance\":\"%.4f m\",\"height\":\"%.4f m\"}", i > 1 ? "," : "", run_m * i, before_m);
    }
    PUT("]");
    return n;
}

static inline size_t put_extreme_line(pw_random *random, char *out, size_t size, int number, const char *from,
                                      const char *to, double from_m, double to_m)
{
    size_t n = 0;
    const double climb_m = from_m > to_m ? from_m - to_m : to_m - from_m;
    const double length_m = 2.0 * climb_m + either(random, 0.1, 15000.0);
    PUT("%s{\"name\":\"l%d\",\"from\":\"%s\",\"to\":\"%s\",\"bore\":\"%.3f mm\",\"roughness\":\"0.01 "
        "mm\",\"length\":\"%.2f m\"",
        number > 0 ? "," : "", number, from, to, either(random, 3.0, 1000.0), length_m);
    if (pick(random, 4) == 0) {
        PUT(",\"non-return valve\":true");
    }
    if (pick(random, 5) == 0) {
        PUT(",\"extra K\":%.1f", either(random, 0.1, 10000.0));
    }
    if (pick(random, 3) == 0) {
        const double high_m = pw_max(from_m, to_m) + between(random, -0.4, 0.4) * length_m;
        const double low_m = pw_max(from_m, to_m) - 0.49 * length_m;
        PUT(",\"over\":\"%.3f m\"", pw_max(pw_clamp(high_m, low_m, pw_min(from_m, to_m) + 0.49 * length_m), -999.0));
    } else if (pick(random, 4) == 0) {
        n += put_profile(random, out + n, size - n, length_m, from_m, to_m);
    }
    PUT("}");
    return n;
}

/* What a jet pump has instead of one curve. */
static inline size_t put_jet(pw_random *random, char *out, size_t size, double flow, double head)
{
    size_t n = 0;
    const double nozzle_mm = either(random, 1.0, 60.0);
    PUT(",\"type\":\"jet\"");
    if (pick(random, 2) == 0) {
        PUT(",\"lifts\":[{\"lift\":\"%.2f m\",\"delivery\":[{\"flow\":\"0 L/min\",\"head\":\"%.3f "
            "m\"},{\"flow\":\"%.4f "
            "L/min\",\"head\":\"%.3f m\"}]},",
            between(random, -10, 3), head, flow, 0.2 * head);
        PUT("{\"lift\":\"%.2f m\",\"delivery\":[{\"flow\":\"0 L/min\",\"head\":\"%.3f m\"},{\"flow\":\"%.4f "
            "L/min\",\"head\":\"%.3f m\"}]}]",
            between(random, 3.5, 60), 0.8 * head, 0.7 * flow, 0.1 * head);
        return n;
    }
    PUT(",\"ejector\":{\"nozzle\":\"%.3f mm\",\"throat\":\"%.3f mm\"", nozzle_mm, nozzle_mm * either(random, 1.2, 4.0));
    if (pick(random, 2) == 0) {
        PUT(",\"pressure bore\":\"%.1f mm\",\"pressure length\":\"%.2f m\",\"riser bore\":\"%.1f mm\",\"riser "
            "length\":\"%.2f m\"",
            either(random, 5.0, 200.0), either(random, 0.5, 150.0), either(random, 5.0, 200.0),
            either(random, 0.5, 150.0));
    }
    PUT("}");
    return n;
}

static inline size_t put_extreme_pump(pw_random *random, char *out, size_t size, int source)
{
    size_t n = 0;
    const double flow = either(random, 2.0, 5000.0), head = either(random, 5.0, 900.0);
    const bool npsh = pick(random, 3) == 0;
    PUT("\"pumps\":[{\"name\":\"p\",\"from\":\"source place\",\"to\":\"shed\",\"non-return valve\":%s,\"curve\":[{"
        "\"flow\":\"0 L/min\",\"head\":\"%.3f m\"},",
        pick(random, 3) ? "true" : "false", head);
    PUT("{\"flow\":\"%.4f L/min\",\"head\":\"%.3f m\",\"efficiency\":\"40 %%\"", 0.6 * flow,
        between(random, 0.4, 1.0) * head);
    if (npsh) {
        PUT(",\"NPSH\":\"%.2f m\"", either(random, 0.1, 9.0));
    }
    PUT("},{\"flow\":\"%.4f L/min\",\"head\":\"%.3f m\",\"efficiency\":\"35 %%\"", flow,
        between(random, 0.0, 0.4) * head);
    if (npsh) {
        PUT(",\"NPSH\":\"%.2f m\"", either(random, 9.0, 40.0));
    }
    PUT("}],\"motor\":{\"power\":\"%.0f W\"}", either(random, 50.0, 100000.0));
    if (source != 2 && pick(random, 2) == 0) {
        PUT(",\"suction height\":\"%.2f m\",\"suction bore\":\"%.1f mm\",\"suction length\":\"%.2f "
            "m\",\"self-priming\":%s",
            between(random, -8, 12), either(random, 5.0, 300.0), either(random, 15.0, 1000.0),
            pick(random, 2) ? "true" : "false");
    }
    if (pick(random, 3) == 0) {
        PUT(",\"cable length\":\"%.1f m\",\"cable section\":%.1f", either(random, 0.5, 2000.0),
            either(random, 0.5, 120.0));
    }
    if (source != 2 && pick(random, 4) == 0) {
        n += put_jet(random, out + n, size - n, flow, head);
    }
    PUT("}],\"lines\":[");
    return n;
}

static inline void write_extreme_site(pw_random *random, char *out, size_t size)
{
    static const char *const names[] = {"source place", "shed", "a", "b", "c", "top"};
    double level_m[6] = {0.0};
    size_t n = 0;
    int lines = 0;
    for (int i = 1; i < 6; i++) {
        level_m[i] = pick(random, 6) == 0 ? between(random, -40, 150) : between(random, -5, 40);
    }
    const int kind = pick(random, 3);
    const bool tank = pick(random, 2) == 0;
    const int vessels = pick(random, 3);
    PUT("{\"site\":\"extreme\",\"invented\":true,\"water\":\"%.1f degC\",\"altitude\":\"%.0f m\",\"places\":[",
        between(random, 1, 60), between(random, 0, 4000));
    for (int i = 0; i < 6; i++) {
        PUT("%s{\"name\":\"%s\",\"level\":\"%.3f m\"}", i > 0 ? "," : "", names[i], level_m[i]);
    }
    if (kind == 0) {
        PUT("],\"sources\":[{\"name\":\"s\",\"at\":\"source place\",\"kind\":\"bore\",\"standing water level\":\"%.2f "
            "m\",\"specific capacity\":\"%.4f L/min per m\",\"casing\":\"%.0f mm\",\"intake\":\"%.2f m\"}],",
            between(random, 0, 50), either(random, 0.05, 200.0), either(random, 45.0, 2500.0),
            50.5 + between(random, 0, 200));
    } else if (kind == 1) {
        PUT("],\"sources\":[{\"name\":\"s\",\"at\":\"source place\",\"kind\":\"open\",\"standing water level\":\"%.2f "
            "m\",\"intake\":\"9 m\"}],",
            between(random, 0, 8));
    } else {
        PUT("],\"sources\":[{\"name\":\"s\",\"at\":\"source place\",\"kind\":\"mains\",\"pressure\":\"%.1f kPa\"}],",
            either(random, 1.0, 1500.0));
    }
    n += put_extreme_pump(random, out + n, size - n, kind);
    for (int i = 1; i < 5; i++) {
        n += put_extreme_line(random, out + n, size - n, lines++, names[i], names[i + 1], level_m[i], level_m[i + 1]);
    }
    if (pick(random, 2) == 0) {
        n += put_extreme_line(random, out + n, size - n, lines++, "b", "shed", level_m[3], level_m[1]);
    }
    if (pick(random, 2) == 0) {
        n += put_extreme_line(random, out + n, size - n, lines++, "a", "c", level_m[2], level_m[4]);
    }
    PUT("],\"vessels\":[");
    for (int v = 0; v < vessels; v++) {
        PUT("%s{\"name\":\"v%d\",\"at\":\"%s\",\"volume\":\"%.3f L\",\"precharge\":\"%.2f kPa\",\"gas exponent\":%.2f}",
            v > 0 ? "," : "", v, names[v == 0 ? 1 : 3], either(random, 1.0, 20000.0), either(random, 1.0, 2000.0),
            between(random, 1, 1.4));
    }
    PUT("],\"tanks\":[");
    if (tank) {
        const double depth_m = either(random, 0.2, 20.0);
        PUT("{\"name\":\"t\",\"at\":\"top\",\"area\":\"%.4f m2\",\"depth\":\"%.3f m\",\"starts at\":\"%.4f m\"",
            either(random, 0.02, 1000.0), depth_m, between(random, 0.0, 1.0) * depth_m);
        if (pick(random, 2) == 0) {
            PUT(",\"float valve\":{\"bore\":\"%.1f mm\"}", either(random, 3.0, 200.0));
        }
        PUT("}");
    }
    PUT("],\"outlets\":[{\"name\":\"tap a\",\"at\":\"a\",\"needs\":\"%.2f kPa\"},{\"name\":\"tap b\",\"at\":\"b\","
        "\"needs\":\"0 kPa\"},{\"name\":\"tap c\",\"at\":\"c\"},{\"name\":\"top tap\",\"at\":\"top\",\"needs\":\"0 "
        "kPa\"}],",
        either(random, 0.5, 900.0));
    PUT("\"sensors\":[{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"shed\",\"to\":\"4000 "
        "kPa\",\"resolution\":\"%.2f kPa\"},{\"name\":\"flow switch\",\"kind\":\"flow switch\",\"pump\":\"p\",\"bore\":"
        "\"%.0f mm\"}],",
        pick(random, 3) ? 0.0 : either(random, 0.1, 99.0), either(random, 6.0, 200.0));
    PUT("\"demand\":[{\"outlet\":\"tap a\",\"kind\":\"random\",\"per day\":%.1f,\"flow\":\"%.3f L/min\",\"for\":\"%.1f "
        "s\"},",
        either(random, 0.5, 400.0), either(random, 0.1, 2000.0), either(random, 1.0, 5000.0));
    if (pick(random, 3) == 0) {
        PUT("{\"outlet\":\"tap c\",\"kind\":\"household\",\"people\":%d},", 1 + pick(random, 60));
    }
    PUT("{\"outlet\":\"tap b\",\"flow\":\"%.3f L/min\",\"for\":\"%.1f s\",\"at\":\"01:00\",\"every\":\"%.0f s\"},",
        either(random, 0.1, 2000.0), either(random, 1.0, 280.0), either(random, 300.0, 20000.0));
    PUT("{\"outlet\":\"top tap\",\"kind\":\"random\",\"per day\":%.1f,\"flow\":\"%.3f L/min\",\"for\":\"%.1f s\"}],",
        either(random, 0.5, 100.0), either(random, 0.1, 500.0), either(random, 1.0, 5000.0));
    const double cut_in = either(random, 20.0, 2000.0);
    PUT("\"settings\":[\"start when pressure below %.2f kPa%s\",\"stop when pressure above %.2f kPa\"", cut_in,
        pick(random, 2) ? "" : " for 1 s", cut_in + either(random, 1.0, 1000.0));
    if (pick(random, 2) == 0) {
        PUT(",\"lock out when starts reach %d in 1 h\"", 5 + pick(random, 200));
    }
    PUT("]}");
    assert_true(n < size);
}
#undef PUT

#endif
