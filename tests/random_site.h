/* What several tests share: a valid site that nobody thought of, from a seed. */
#ifndef PW_TESTS_RANDOM_SITE_H
#define PW_TESTS_RANDOM_SITE_H

#include "base/num.h"
#include "base/random.h"
#include "run_kit.h"

static inline double between(pw_random *random, double low, double high)
{
    return low + (high - low) * pw_random_unit(random);
}

static inline int pick(pw_random *random, int count)
{
    return (int)(pw_random_u32(random) % (uint32_t)count);
}

/* A site that a reader accepts: bore, dam or mains; one pump; up to four places in a row or a ring; vessel or not; tank
 * or not. */
static inline void write_site(pw_random *random, char *out, size_t size)
{
    static const char *const pipes[] = {"PE100 25 SDR 11", "PE100 32 SDR 11", "PE100 40 SDR 11", "PE100 63 SDR 11",
                                        "copper 22"};
    const int kind = pick(random, 3);
    const bool vessel = pick(random, 5) != 0;
    const bool tank = pick(random, 2) == 0;
    const bool ring = pick(random, 3) == 0;
    const double cut_in = between(random, 120.0, 300.0);
    const double band = between(random, 5.0, 200.0);
    const double flow = between(random, 10.0, 120.0);
    const double head = between(random, 50.0, 110.0);
    size_t n = 0;
#define ADD(...) n += (size_t)snprintf(out + n, n < size ? size - n : 0, __VA_ARGS__)
    ADD("{\"site\":\"random\",\"invented\":true,\"water\":\"%.1f degC\",\"altitude\":\"%.0f m\",\"places\":[",
        between(random, 2, 30), between(random, 0, 2500));
    ADD("{\"name\":\"source place\",\"level\":\"0 m\"},{\"name\":\"shed\",\"level\":\"%.2f m\"},",
        between(random, -1, 3));
    ADD("{\"name\":\"a\",\"level\":\"%.2f m\"},{\"name\":\"b\",\"level\":\"%.2f m\"},", between(random, -3, 10),
        between(random, -3, 12));
    ADD("{\"name\":\"top\",\"level\":\"%.2f m\"}],", between(random, 2, 14));
    if (kind == 0) {
        const double standing = between(random, 1, 15);
        ADD("\"sources\":[{\"name\":\"s\",\"at\":\"source place\",\"kind\":\"bore\",\"standing water level\":\"%.2f "
            "m\","
            "\"specific capacity\":\"%.2f L/min per m\",\"yield\":\"%.1f L/min\",\"casing\":\"%.0f "
            "mm\",\"intake\":\"%.2f m\"}],",
            standing, between(random, 1, 60), between(random, 5, 150), between(random, 80, 250),
            standing + between(random, 3, 30));
    } else if (kind == 1) {
        ADD("\"sources\":[{\"name\":\"s\",\"at\":\"source place\",\"kind\":\"open\",\"standing water level\":\"%.2f "
            "m\",\"intake\":\"6 m\"}],",
            between(random, 0, 4));
    } else {
        ADD("\"sources\":[{\"name\":\"s\",\"at\":\"source place\",\"kind\":\"mains\",\"pressure\":\"%.0f kPa\"}],",
            between(random, 20, 150));
    }
    ADD("\"pumps\":[{\"name\":\"p\",\"from\":\"source place\",\"to\":\"shed\",\"non-return valve\":%s,\"curve\":[",
        pick(random, 4) ? "true" : "false");
    ADD("{\"flow\":\"0 L/min\",\"head\":\"%.2f m\",\"power\":\"1.5 kW\"},{\"flow\":\"%.2f L/min\",\"head\":\"%.2f "
        "m\",\"power\":\"2.2 kW\"},"
        "{\"flow\":\"%.2f L/min\",\"head\":\"%.2f m\",\"power\":\"2.4 kW\"}],\"motor\":{\"power\":\"2.2 "
        "kW\",\"phases\":1,\"voltage\":\"230 V\"}}],",
        head, 0.6 * flow, 0.75 * head, flow, 0.3 * head);
    ADD("\"lines\":[{\"name\":\"sa\",\"from\":\"shed\",\"to\":\"a\",\"pipe\":\"%s\",\"length\":\"%.1f m\"},",
        pipes[pick(random, 5)], between(random, 0.5, 300));
    ADD("{\"name\":\"ab\",\"from\":\"a\",\"to\":\"b\",\"pipe\":\"%s\",\"length\":\"%.1f m\",\"fittings\":{\"elbow "
        "90\":%d}}",
        pipes[pick(random, 5)], between(random, 0.5, 300), pick(random, 9));
    if (ring) {
        ADD(",{\"name\":\"bs\",\"from\":\"b\",\"to\":\"shed\",\"pipe\":\"%s\",\"length\":\"%.1f m\"}",
            pipes[pick(random, 5)], between(random, 1, 200));
    }
    ADD(",{\"name\":\"at\",\"from\":\"a\",\"to\":\"top\",\"pipe\":\"%s\",\"length\":\"%.1f m\"}],",
        pipes[pick(random, 5)], between(random, 1, 300));
    if (vessel) {
        ADD("\"vessels\":[{\"name\":\"v\",\"at\":\"shed\",\"volume\":\"%.1f L\",\"precharge\":\"%.1f kPa\",\"gas "
            "exponent\":%.2f}],",
            2.0 * pw_exp(between(random, 0.0, 5.5)), between(random, 0.3, 0.98) * cut_in, between(random, 1, 1.4));
    }
    if (tank) {
        ADD("\"tanks\":[{\"name\":\"t\",\"at\":\"top\",\"area\":\"%.2f m2\",\"depth\":\"1.5 m\",\"starts at\":\"%.2f "
            "m\",\"inlet\":\"1.6 m\","
            "\"float valve\":{\"closes at\":\"1.4 m\",\"band\":\"%.0f mm\",\"bore\":\"%.0f mm\"}}],",
            between(random, 0.3, 5), between(random, 0.2, 1.38), between(random, 20, 300), between(random, 6, 25));
    }
    ADD("\"outlets\":[{\"name\":\"tap a\",\"at\":\"a\",\"needs\":\"%.0f kPa\"},{\"name\":\"tap "
        "b\",\"at\":\"b\",\"needs\":\"%.0f kPa\"},"
        "{\"name\":\"top tap\",\"at\":\"top\",\"needs\":\"0 kPa\"}],",
        between(random, 0, 200), between(random, 0, 150));
    ADD("\"sensors\":[{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"shed\",\"from\":\"0 kPa\",\"to\":\"1500 "
        "kPa\",\"resolution\":\"%.1f kPa\"},"
        "{\"name\":\"flow switch\",\"kind\":\"flow switch\",\"pump\":\"p\",\"bore\":\"32 mm\",\"makes at\":\"0.2 "
        "m/s\",\"breaks at\":\"0.1 m/s\"}],",
        pick(random, 2) ? 0.0 : between(random, 0.5, 5));
    ADD("\"demand\":[{\"outlet\":\"tap a\",\"kind\":\"random\",\"per day\":%d,\"flow\":\"%.1f L/min\",\"for\":\"%.0f "
        "s\"},",
        1 + pick(random, 200), between(random, 0.5, 40), between(random, 3, 600));
    ADD("{\"outlet\":\"tap b\",\"flow\":\"%.1f L/min\",\"for\":\"%.0f s\",\"at\":\"0%d:00\",\"every\":\"%.0f "
        "min\",\"until\":\"20:00\"}],",
        between(random, 0.2, 80), between(random, 1, 900), pick(random, 10), between(random, 16, 400));
    ADD("\"settings\":[\"start when pressure below %.1f kPa%s\",\"stop when pressure above %.1f kPa\",\"stop when no "
        "flow "
        "for %d s\","
        "\"ignore no flow for %d s after start\",\"rest %d s after stop\",\"lock out when starts reach %d in 1 h\","
        "\"lock out when running for %d min\"]}",
        cut_in, pick(random, 2) ? "" : " for 1 s", cut_in + band, 2 + pick(random, 30), 5 + pick(random, 30),
        1 + pick(random, 60), 5 + pick(random, 200), 5 + pick(random, 300));
#undef ADD
    assert_true(n < size);
}

#endif
