/* Site to facts: what stands before and behind each pump, for words about it. */
#include <string.h>

#include "sim/plant.h"
#include "site/topology.h"

/* Places that one pump's water reaches without passing a pump or a tank's free water. The tank's own place counts. */
static const pw_walk_rules one_water = {.way = PW_WALK_JOINED, .ends = PW_TANKS};

static pw_fact_source source_of(const pw_site *site, const pw_reach *before)
{
    for (int32_t i = 0; i < site->tank_count; i++) {
        if (before->at[site->tanks[i].place]) {
            return PW_FROM_TANK;
        }
    }
    for (int32_t i = 0; i < site->source_count; i++) {
        if (before->at[site->sources[i].place]) {
            switch (site->sources[i].kind) {
            case PW_SOURCE_BORE: return PW_FROM_BORE;
            case PW_SOURCE_OPEN: return PW_FROM_OPEN;
            case PW_SOURCE_MAINS: return PW_FROM_MAINS;
            }
        }
    }
    return PW_FROM_UNKNOWN;
}

static pw_fact_at sensor_at(const pw_site *site, const pw_sensor *sensor, const pw_reach *before,
                            const pw_reach *behind)
{
    if (sensor->place < 0) {
        return PW_AT_UNKNOWN;
    }
    const bool in_front = before->at[sensor->place], after = behind->at[sensor->place];
    if (sensor->kind == PW_SENSOR_PRESSURE || sensor->kind == PW_SENSOR_SWITCH) {
        return after ? PW_AT_DELIVERY : in_front ? PW_AT_SUCTION : PW_AT_UNKNOWN;
    }
    if (pw_site_tank_at(site, sensor->place) < 0) {
        return in_front ? PW_AT_SOURCE : PW_AT_UNKNOWN;
    }
    return after ? PW_AT_TANK_FILLED : in_front ? PW_AT_TANK_TAKEN : PW_AT_UNKNOWN;
}

static void facts_of(const pw_site *site, const pw_pump *pump, pw_pump_facts *out)
{
    pw_reach before = {0}, behind = {0};
    pw_walk(site, &one_water, pump->from, &before);
    pw_walk(site, &one_water, pump->to, &behind);
    out->source = source_of(site, &before);
    out->feed = pump->motor.phases == 0 ? PW_FED_DC : pump->motor.phases == 1 ? PW_FED_SINGLE : PW_FED_THREE;
    for (int32_t i = 0; i < site->source_count; i++) {
        const pw_source *source = &site->sources[i];
        out->lifts =
            out->lifts || (before.at[source->place] && source->kind == PW_SOURCE_OPEN && source->standing_m.v > 0.0);
    }
    out->non_return = pump->non_return;
    for (int32_t i = 0; i < site->line_count; i++) {
        out->non_return = out->non_return || (site->lines[i].non_return && behind.at[site->lines[i].from]);
    }
    for (int32_t i = 0; i < site->vessel_count; i++) {
        out->vessel = out->vessel || behind.at[site->vessels[i].place];
    }
    for (int32_t i = 0; i < site->outlet_count; i++) {
        const int32_t place = site->outlets[i].place;
        out->serves = out->serves || (behind.at[place] && pw_site_tank_at(site, place) < 0);
    }
    for (int32_t i = 0; i < site->tank_count; i++) {
        const bool fills = behind.at[site->tanks[i].place];
        out->fills = out->fills || fills;
        out->float_fills = out->float_fills || (fills && site->tanks[i].float_valve);
        out->float_feeds = out->float_feeds || (before.at[site->tanks[i].place] && site->tanks[i].float_valve);
    }
    for (int32_t i = 0; i < site->sensor_count; i++) {
        out->signal_at[i] = (uint8_t)sensor_at(site, &site->sensors[i], &before, &behind);
    }
}

void pw_site_facts_of(const pw_site *site, pw_site_facts *out)
{
    memset(out, 0, sizeof *out);
    for (int32_t p = 0; p < site->pump_count; p++) {
        facts_of(site, &site->pumps[p], &out->pumps[p]);
    }
}
