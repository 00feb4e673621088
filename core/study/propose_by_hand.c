/* What a person does on site about a fault, in words that suit the site (common practice). */
#include "study/prove_inside.h"
#include "site/topology.h"

/* A way to see that a pump, or a line, brings less than it did. */
static const char *compare_flow(const prove_trial *t)
{
    if (prove_sensors(t->plant->site, PW_SENSOR_PRESSURE) > 0)
        return "Once a year, compare shut-off pressure and flow with the pump's curve.";
    if (t->plant->facts.pumps[t->pump].fills)
        return "Once a year, time how fast the pump fills the tank and compare it with the first visit.";
    return "Once a year, compare the flow with the pump's curve.";
}

/* How a narrowed line shows: at the tank that it fills, under pressure at its far end, or in what runs out of it. */
static const char *scaled(const prove_trial *t)
{
    const pw_site *site = t->plant->site;
    if (t->where >= 0 && pw_site_tank_at(site, site->lines[t->where].to) >= 0)
        return "Once a year, time how fast the line fills its tank and compare it with the first visit.";
    if (t->plant->facts.pumps[t->pump].serves && prove_sensors(site, PW_SENSOR_PRESSURE) > 0)
        return "Once a year, measure the pressure at the far end at full flow.";
    return "Once a year, time how long a bucket takes to fill at the far end and compare it with the first visit.";
}

static void put_tight(const prove_trial *t, pw_text *text)
{
    const pw_pump_facts *f = &t->plant->facts.pumps[t->pump];
    if (prove_by_pressure(t->plant) && f->vessel)
        pw_text_puts(text, "Shut every outlet", f->fills ? " and tank inlet" : "",
                     " and time the fall from cut-out to cut-in, at every visit.", NULL);
    else if (prove_sensors(t->plant->site, PW_SENSOR_PRESSURE) > 0)
        pw_text_puts(text, f->fills && !f->serves ? "Shut the valve before the tank" : "Shut every outlet",
                     " with the pump stopped after a run: the pressure holds when the line is tight. Do so at every "
                     "visit.",
                     NULL);
    else
        pw_text_put(text, "Walk the line for wet ground at every visit, and time how fast the pump fills the tank.");
}

static void put_sensor(const prove_trial *t, pw_text *text)
{
    const pw_site *site = t->plant->site;
    if (t->sensor < 0)
        return;
    const pw_sensor *sensor = &site->sensors[t->sensor];
    const bool level = sensor->kind == PW_SENSOR_LEVEL;
    pw_text_puts(text, "Compare what ", sensor->name, " reads with ", level ? "the water itself" : "a gauge",
                 " at every visit.", NULL);
    const bool over =
        t->outcome != NULL && t->outcome->pressure_max_pa > 1.1 * t->plant->cut_out_pa && t->outcome->run_s > 0.0;
    if (!level && over && prove_by_pressure(t->plant) &&
        pw_fault_row_of(t->job->fault.kind)->look_at != PW_LOOK_READS_HIGH)
        pw_text_put(text, " A pressure relief valve is what protects the pipes.");
}

/* Does a sensor other than the one that fails look at the tank of this trial? */
static bool watched(const prove_trial *t)
{
    const pw_site *site = t->plant->site;
    for (int32_t i = 0; i < site->sensor_count; i++) {
        const pw_sensor_kind kind = site->sensors[i].kind;
        if (i != t->sensor && site->sensors[i].place == site->tanks[t->tank].place &&
            (kind == PW_SENSOR_LEVEL || kind == PW_SENSOR_PROBE))
            return true;
    }
    return false;
}

/* A probe for a tank that has no sensor but the one that fails. */
static void put_tank_probe(const prove_trial *t, bool high, pw_text *text)
{
    const bool told = t->outcome != NULL && t->outcome->caught_by >= 0;
    if (t->tank < 0 || told || watched(t))
        return;
    pw_text_puts(text, "Fit a probe in ", t->plant->site->tanks[t->tank].name,
                 high ? " a little below its overflow, and a sentence that looks whether it is wet. "
                      : " well below its usual level, and a warning when it stands dry. ",
                 NULL);
}

static void put_source(const prove_trial *t, pw_text *text)
{
    const pw_site *site = t->plant->site;
    if (t->where < 0)
        return;
    const pw_source *source = &site->sources[t->where];
    bool watched = false;
    for (int32_t i = 0; i < site->sensor_count; i++)
        watched = watched || site->sensors[i].place == source->place;
    switch (source->kind) {
    case PW_SOURCE_MAINS:
        pw_text_put(text, "Read the pressure of the main at every visit, and keep the record.");
        return;
    case PW_SOURCE_BORE:
        pw_text_put(text, "Dip the water level in the bore at every visit, and keep the record.");
        break;
    case PW_SOURCE_OPEN: pw_text_puts(text, "Read the water level of ", source->name, " at every visit.", NULL); break;
    }
    if (!watched)
        pw_text_put(text, " A probe a little above the intake stops the pump before it runs dry.");
}

static void put_probe(const prove_trial *t, bool wet, pw_text *text)
{
    if (t->sensor < 0)
        return;
    pw_text_puts(text, wet ? "Clean " : "Lift ", t->plant->site->sensors[t->sensor].name,
                 wet ? " at every visit, and see that it reads dry in air."
                     : " out of the water and back at every visit, and see that its reading follows.",
                 NULL);
    if (wet && t->outcome != NULL && t->outcome->dry_s > 2.0)
        pw_text_put(text, " It must not be the only protection against dry running.");
}

static void put_no_supply(const prove_trial *t, pw_text *text)
{
    const bool dc = t->plant->facts.pumps[t->pump].feed == PW_FED_DC;
    pw_text_puts(text, "No sentence helps without supply: ",
                 t->plant->site->tank_count > 0 ? "more water in the tank does, or a second supply."
                 : dc                           ? "a reserve of water does, or a battery."
                                                : "a reserve of water does, or a generator.",
                 NULL);
}

static void put_generator(const prove_trial *t, pw_text *text)
{
    const bool dc = t->plant->facts.pumps[t->pump].feed == PW_FED_DC;
    pw_text_put(text, dc ? "A stronger supply and a thicker cable let it start."
                         : "A larger generator or a soft starter lets it start.");
}

static void put_float(const prove_trial *t, bool shut, pw_text *text)
{
    put_tank_probe(t, !shut, text);
    pw_text_puts(text, shut ? "Look into " : "Look at the overflow of ",
                 t->tank >= 0 ? t->plant->site->tanks[t->tank].name : "the tank",
                 shut ? " at every visit and move its float valve by hand."
                      : " at every visit, and renew the seat of the float valve.",
                 NULL);
}

static void put_welded(const prove_trial *t, pw_text *text)
{
    if (prove_spills(t))
        put_tank_probe(t, true, text);
    pw_text_puts(text, "No sentence can open a welded contactor: fit a second one in series",
                 prove_by_pressure(t->plant) || !t->plant->facts.pumps[t->pump].fills ? " or a pressure relief valve"
                                                                                      : "",
                 ", and let a warning reach a person.", NULL);
}

static void put_overflow(const prove_trial *t, pw_text *text)
{
    put_float(t, false, text);
}

static void put_float_shut(const prove_trial *t, pw_text *text)
{
    put_float(t, true, text);
}

static void put_precharge(const prove_trial *t, pw_text *text)
{
    pw_text_puts(text, "Set the precharge with the pump off and the vessel empty of water",
                 prove_by_pressure(t->plant) ? ", a little below cut-in." : ".", NULL);
}

static void put_gas(const prove_trial *t, pw_text *text)
{
    const bool switched = prove_sensors(t->plant->site, PW_SENSOR_FLOW) > 0;
    pw_text_puts(text, "Lower the pump or fit a gas shroud",
                 switched ? "; count no flow over a window of time and not without a break." : ".", NULL);
}

static void put_flow(const prove_trial *t, pw_text *text)
{
    pw_text_put(text, compare_flow(t));
}

static void put_strainer(const prove_trial *t, pw_text *text)
{
    pw_text_puts(text, "Clean the strainer at every visit. ", compare_flow(t), NULL);
}

static void put_scale(const prove_trial *t, pw_text *text)
{
    pw_text_put(text, scaled(t));
}

static void put_non_return(const prove_trial *t, pw_text *text)
{
    pw_text_put(text, prove_sensors(t->plant->site, PW_SENSOR_PRESSURE) > 0
                          ? "With the pump off and every outlet shut, watch the pressure fall; renew the non-return "
                            "valve."
                          : "Listen whether the pump spins backwards after a stop; renew the non-return valve.");
}

static void put_reading(const prove_trial *t, pw_text *text)
{
    if (prove_spills(t))
        put_tank_probe(t, true, text);
    else if (t->outcome != NULL && prove_misses_water(t->outcome) && !t->plant->facts.pumps[t->pump].serves)
        put_tank_probe(t, false, text);
    put_sensor(t, text);
}

static void put_tapping(const prove_trial *t, pw_text *text)
{
    pw_text_put(text, "Blow the small pipe to the sensor through at every visit. ");
    put_sensor(t, text);
}

static void put_frost(const prove_trial *t, pw_text *text)
{
    pw_text_put(text, "Lag the small pipe to the sensor, or heat it. ");
    put_sensor(t, text);
}

static void put_probe_wet(const prove_trial *t, pw_text *text)
{
    put_probe(t, true, text);
}

static void put_probe_dry(const prove_trial *t, pw_text *text)
{
    put_probe(t, false, text);
}

/* Of those whose words follow the site; the others have them in their row. */
static void (*const looks[PW_LOOK_COUNT])(const prove_trial *t, pw_text *text) = {
    [PW_LOOK_TIGHT] = put_tight,         [PW_LOOK_SOURCE] = put_source,         [PW_LOOK_PRECHARGE] = put_precharge,
    [PW_LOOK_OVERFLOW] = put_overflow,   [PW_LOOK_FLOAT_SHUT] = put_float_shut, [PW_LOOK_GAS] = put_gas,
    [PW_LOOK_WELDED] = put_welded,       [PW_LOOK_STRAINER] = put_strainer,     [PW_LOOK_NON_RETURN] = put_non_return,
    [PW_LOOK_FLOW] = put_flow,           [PW_LOOK_SCALE] = put_scale,           [PW_LOOK_READING] = put_reading,
    [PW_LOOK_READS_HIGH] = put_reading,  [PW_LOOK_TAPPING] = put_tapping,       [PW_LOOK_FROST] = put_frost,
    [PW_LOOK_PROBE_WET] = put_probe_wet, [PW_LOOK_PROBE_DRY] = put_probe_dry,   [PW_LOOK_NO_SUPPLY] = put_no_supply,
    [PW_LOOK_GENERATOR] = put_generator,
};

void prove_by_hand(const prove_trial *t, pw_text *text)
{
    const pw_fault_row *row = pw_fault_row_of(t->job->fault.kind);
    if (row->look != NULL)
        pw_text_put(text, row->look);
    else if (row->look_at != PW_LOOK_NONE)
        looks[row->look_at](t, text);
}
