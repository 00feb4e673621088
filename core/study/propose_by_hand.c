/* What a person does on site about a fault, as it suits the site (common practice). */
#include "study/prove_inside.h"
#include "site/topology.h"

/* A way to see that a pump, or a line, brings less than it did. */
static const char *compare_flow(const prove_trial *t)
{
    if (prove_sensors(t->plant->site, PW_SENSOR_PRESSURE) > 0) {
        return "look.shut-off-and-flow";
    }
    if (t->plant->facts.pumps[t->pump].fills) {
        return "look.time-filling";
    }
    return "look.flow-curve";
}

/* How a narrowed line shows: at the tank that it fills, under pressure at its far end, or in what runs out of it. */
static const char *scaled(const prove_trial *t)
{
    const pw_site *site = t->plant->site;
    if (t->where >= 0 && pw_site_tank_at(site, site->lines[t->where].to) >= 0) {
        return "look.line-filling";
    }
    if (t->plant->facts.pumps[t->pump].serves && prove_sensors(site, PW_SENSOR_PRESSURE) > 0) {
        return "look.far-pressure";
    }
    return "look.bucket";
}

static void put_tight(const prove_trial *t, pw_facts *out)
{
    const pw_pump_facts *f = &t->plant->facts.pumps[t->pump];
    if (prove_by_pressure(t->plant) && f->vessel) {
        pw_tell(out, "look.tight-fall", pw_truth(f->fills));
    } else if (prove_sensors(t->plant->site, PW_SENSOR_PRESSURE) > 0) {
        pw_tell(out, "look.tight-holds", pw_truth(f->fills && !f->serves));
    } else {
        pw_tell(out, "look.wet-ground");
    }
}

static void put_sensor(const prove_trial *t, pw_facts *out)
{
    const pw_site *site = t->plant->site;
    if (t->sensor < 0) {
        return;
    }
    const pw_sensor *sensor = &site->sensors[t->sensor];
    const bool level = sensor->kind == PW_SENSOR_LEVEL;
    pw_tell(out, "look.compare-reading", pw_named(sensor->name), pw_truth(level));
    const bool over =
        t->outcome != NULL && t->outcome->pressure_max_pa > 1.1 * t->plant->cut_out_pa && t->outcome->run_s > 0.0;
    if (!level && over && prove_by_pressure(t->plant) &&
        pw_fault_row_of(t->job->fault.kind)->look_at != PW_LOOK_READS_HIGH) {
        pw_tell(out, "look.relief-protects");
    }
}

/* Does a sensor other than the one that fails look at the tank of this trial? */
static bool watched(const prove_trial *t)
{
    const pw_site *site = t->plant->site;
    for (int32_t i = 0; i < site->sensor_count; i++) {
        const pw_sensor_kind kind = site->sensors[i].kind;
        if (i != t->sensor && site->sensors[i].place == site->tanks[t->tank].place &&
            (kind == PW_SENSOR_LEVEL || kind == PW_SENSOR_PROBE)) {
            return true;
        }
    }
    return false;
}

/* A probe for a tank that has no sensor but the one that fails. */
static void put_tank_probe(const prove_trial *t, bool high, pw_facts *out)
{
    const bool told = t->outcome != NULL && t->outcome->caught_by >= 0;
    if (t->tank < 0 || told || watched(t)) {
        return;
    }
    pw_tell(out, high ? "look.probe-high" : "look.probe-low", pw_named(t->plant->site->tanks[t->tank].name));
}

static void put_source(const prove_trial *t, pw_facts *out)
{
    const pw_site *site = t->plant->site;
    if (t->where < 0) {
        return;
    }
    const pw_source *source = &site->sources[t->where];
    bool looked_at = false;
    for (int32_t i = 0; i < site->sensor_count; i++) {
        looked_at = looked_at || site->sensors[i].place == source->place;
    }
    switch (source->kind) {
    case PW_SOURCE_MAINS: pw_tell(out, "look.main"); return;
    case PW_SOURCE_BORE: pw_tell(out, "look.dip"); break;
    case PW_SOURCE_OPEN: pw_tell(out, "look.level-of", pw_named(source->name)); break;
    }
    if (!looked_at) {
        pw_tell(out, "look.probe-intake");
    }
}

static void put_probe(const prove_trial *t, bool wet, pw_facts *out)
{
    if (t->sensor < 0) {
        return;
    }
    pw_tell(out, wet ? "look.clean-probe" : "look.lift-probe", pw_named(t->plant->site->sensors[t->sensor].name));
    if (wet && t->outcome != NULL && t->outcome->dry_s > 2.0) {
        pw_tell(out, "look.not-only");
    }
}

static void put_no_supply(const prove_trial *t, pw_facts *out)
{
    const bool dc = t->plant->facts.pumps[t->pump].feed == PW_FED_DC;
    pw_tell(out, t->plant->site->tank_count > 0 ? "look.no-supply-tank"
                 : dc                           ? "look.no-supply-battery"
                                                : "look.no-supply-generator");
}

static void put_generator(const prove_trial *t, pw_facts *out)
{
    const bool dc = t->plant->facts.pumps[t->pump].feed == PW_FED_DC;
    pw_tell(out, dc ? "look.stronger-supply" : "look.larger-generator");
}

static void put_float(const prove_trial *t, bool shut, pw_facts *out)
{
    put_tank_probe(t, !shut, out);
    pw_tell(out, shut ? "look.float-inside" : "look.float-overflow",
            pw_named(t->tank >= 0 ? t->plant->site->tanks[t->tank].name : ""));
}

static void put_welded(const prove_trial *t, pw_facts *out)
{
    if (prove_spills(t)) {
        put_tank_probe(t, true, out);
    }
    pw_tell(out, "look.welded", pw_truth(prove_by_pressure(t->plant) || !t->plant->facts.pumps[t->pump].fills));
}

static void put_overflow(const prove_trial *t, pw_facts *out)
{
    put_float(t, false, out);
}

static void put_float_shut(const prove_trial *t, pw_facts *out)
{
    put_float(t, true, out);
}

static void put_precharge(const prove_trial *t, pw_facts *out)
{
    pw_tell(out, "look.precharge", pw_truth(prove_by_pressure(t->plant)));
}

static void put_gas(const prove_trial *t, pw_facts *out)
{
    pw_tell(out, "look.gas-shroud", pw_truth(prove_sensors(t->plant->site, PW_SENSOR_FLOW) > 0));
}

static void put_flow(const prove_trial *t, pw_facts *out)
{
    pw_tell(out, compare_flow(t));
}

static void put_strainer(const prove_trial *t, pw_facts *out)
{
    pw_tell(out, "look.clean-strainer");
    pw_tell(out, compare_flow(t));
}

static void put_scale(const prove_trial *t, pw_facts *out)
{
    pw_tell(out, scaled(t));
}

static void put_non_return(const prove_trial *t, pw_facts *out)
{
    pw_tell(out, prove_sensors(t->plant->site, PW_SENSOR_PRESSURE) > 0 ? "look.nrv-fall" : "look.nrv-listen");
}

static void put_reading(const prove_trial *t, pw_facts *out)
{
    if (prove_spills(t)) {
        put_tank_probe(t, true, out);
    } else if (t->outcome != NULL && prove_misses_water(t->outcome) && !t->plant->facts.pumps[t->pump].serves) {
        put_tank_probe(t, false, out);
    }
    put_sensor(t, out);
}

static void put_tapping(const prove_trial *t, pw_facts *out)
{
    pw_tell(out, "look.blow-tapping");
    put_sensor(t, out);
}

static void put_frost(const prove_trial *t, pw_facts *out)
{
    pw_tell(out, "look.lag");
    put_sensor(t, out);
}

static void put_probe_wet(const prove_trial *t, pw_facts *out)
{
    put_probe(t, true, out);
}

static void put_probe_dry(const prove_trial *t, pw_facts *out)
{
    put_probe(t, false, out);
}

/* Of those whose words follow the site; the others have them in their row. */
static void (*const looks[PW_LOOK_COUNT])(const prove_trial *t, pw_facts *out) = {
    [PW_LOOK_TIGHT] = put_tight,         [PW_LOOK_SOURCE] = put_source,         [PW_LOOK_PRECHARGE] = put_precharge,
    [PW_LOOK_OVERFLOW] = put_overflow,   [PW_LOOK_FLOAT_SHUT] = put_float_shut, [PW_LOOK_GAS] = put_gas,
    [PW_LOOK_WELDED] = put_welded,       [PW_LOOK_STRAINER] = put_strainer,     [PW_LOOK_NON_RETURN] = put_non_return,
    [PW_LOOK_FLOW] = put_flow,           [PW_LOOK_SCALE] = put_scale,           [PW_LOOK_READING] = put_reading,
    [PW_LOOK_READS_HIGH] = put_reading,  [PW_LOOK_TAPPING] = put_tapping,       [PW_LOOK_FROST] = put_frost,
    [PW_LOOK_PROBE_WET] = put_probe_wet, [PW_LOOK_PROBE_DRY] = put_probe_dry,   [PW_LOOK_NO_SUPPLY] = put_no_supply,
    [PW_LOOK_GENERATOR] = put_generator,
};

void prove_by_hand(const prove_trial *t, pw_facts *out)
{
    const pw_fault_row *row = pw_fault_row_of(t->job->fault.kind);
    if (row->look != NULL) {
        pw_tell(out, row->look);
    } else if (row->look_at != PW_LOOK_NONE) {
        looks[row->look_at](t, out);
    }
}
