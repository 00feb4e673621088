/* A site with one pump and a vessel that nobody thought of, from a seed: as its sheet says, and as it really is, a few
 * per cent off. */
#ifndef PW_TESTS_LOG_SITE_H
#define PW_TESTS_LOG_SITE_H

#include <stdio.h>

#include "base/num.h"
#include "base/random.h"

static inline double log_between(pw_random *random, double low, double high)
{
    return low + (high - low) * pw_random_unit(random);
}

/* off: by how much each number really differs, as a standard deviation of its logarithm; use: times as much drawn. */
static inline void log_site(uint64_t seed, double off, uint64_t off_seed, double use, char *out, size_t size)
{
    pw_random r, o;
    size_t n = 0;
    pw_random_seed(&r, seed, 5);
    pw_random_seed(&o, off_seed, 6);
#define OFF      (1.0 + off * pw_random_normal(&o))
#define ADD(...) n += (size_t)snprintf(out + n, n < size ? size - n : 0, __VA_ARGS__)
    const int bore = pw_random_unit(&r) < 0.6;
    const double cut_in = log_between(&r, 180.0, 320.0), band = log_between(&r, 70.0, 180.0);
    const double flow = log_between(&r, 25.0, 110.0), volume = log_between(&r, 30.0, 400.0);
    const double water = bore ? log_between(&r, 4.0, 20.0) : log_between(&r, 0.5, 3.0);
    const double shut = (cut_in + band) / 9.8 * log_between(&r, 1.25, 1.7) + water;
    const double per_day = log_between(&r, 40.0, 160.0), taps = log_between(&r, 5.0, 14.0);
    const double length = log_between(&r, 15.0, 90.0), watts = flow / 60000.0 * shut * 9810.0 / 0.35;
    ADD("{\"site\":\"log site\",\"invented\":true,\"places\":[{\"name\":\"water\",\"level\":\"0 m\"},"
        "{\"name\":\"shed\",\"level\":\"%.2f m\"},{\"name\":\"house\",\"level\":\"%.2f m\"}],",
        log_between(&r, 0.0, 2.0), log_between(&r, 0.0, 6.0));
    ADD("\"sources\":[{\"name\":\"s\",\"at\":\"water\",\"kind\":\"%s\",\"standing water level\":\"%.2f m\",",
        bore ? "bore" : "open", water * OFF);
    if (bore) {
        ADD("\"specific capacity\":\"%.2f L/min per m\",\"yield\":\"%.1f L/min\",\"casing\":\"125 mm\",",
            flow * log_between(&r, 0.2, 1.0) * OFF, flow * log_between(&r, 1.2, 2.5));
    }
    ADD("\"intake\":\"%.2f m\"}],", water + log_between(&r, 6.0, 20.0));
    const double stronger = OFF, hungry = OFF;
    ADD("\"pumps\":[{\"name\":\"p\",\"from\":\"water\",\"to\":\"shed\",\"non-return valve\":true,\"curve\":["
        "{\"flow\":\"0 L/min\",\"head\":\"%.2f m\",\"power\":\"%.1f W\"},{\"flow\":\"%.2f L/min\",\"head\":\"%.2f "
        "m\",\"power\":\"%.1f W\"},"
        "{\"flow\":\"%.2f L/min\",\"head\":\"%.2f m\",\"power\":\"%.1f W\"}],",
        shut * stronger, 0.6 * watts * hungry, flow * 0.7, shut * 0.85 * stronger, 0.9 * watts * hungry, flow * 1.3,
        shut * 0.45 * stronger, watts * hungry);
    ADD("\"motor\":{\"power\":\"%.0f W\",\"phases\":1,\"voltage\":\"230 V\",\"full-load current\":\"%.2f A\"}}],",
        watts * 1.2, watts * 1.2 / 230.0 / 0.6);
    ADD("\"supply\":{\"voltage\":\"230 V\",\"phases\":1,\"frequency\":\"50 "
        "Hz\"},\"lines\":[{\"name\":\"l\",\"from\":\"shed\",\"to\":\"house\","
        "\"pipe\":\"PE100 40 SDR 11\",\"length\":\"%.1f m\"}],",
        length * OFF);
    ADD("\"vessels\":[{\"name\":\"v\",\"at\":\"shed\",\"volume\":\"%.1f L\",\"precharge\":\"%.1f kPa\"}],", volume,
        (cut_in - 20.0) * OFF);
    ADD("\"outlets\":[{\"name\":\"house\",\"at\":\"house\",\"needs\":\"80 kPa\"}],");
    ADD("\"sensors\":[{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"shed\",\"from\":\"0 kPa\",\"to\":\"1000 "
        "kPa\",\"resolution\":\"1 "
        "kPa\"}%s],",
        "");
    ADD("\"demand\":[{\"outlet\":\"house\",\"kind\":\"random\",\"per day\":%.1f,\"flow\":\"%.2f L/min\",\"flow "
        "spread\":\"40 %%\",\"for\":\"%.0f "
        "s\",\"for spread\":\"120 %%\",\"pattern\":[1,0.3,0.2,0.2,0.5,3,9,10,7,5,4,5,6,5,4,4,5,7,9,9,7,5,4,2]}],",
        per_day * use, taps, log_between(&r, 20.0, 70.0));
    ADD("\"settings\":[\"start when pressure below %.0f kPa for 1 s\",\"stop when pressure above %.0f kPa\",\"rest 10 "
        "s after "
        "stop\",\"lock out when starts reach 60 in 1 h\",\"lock out when running for 2 h\"]}",
        cut_in, cut_in + band);
#undef ADD
#undef OFF
}

#endif
