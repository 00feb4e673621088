/* The table of requests: everything else about them (near matches, "about", docs/door.md) follows from it. */
#include <string.h>

#include "door/inside.h"

#define SET                                                                                            \
    {                                                                                                  \
        "set", "numbers of the site to change first, by path: {\"vessels[0].precharge\": \"180 kPa\"}" \
    }

static const door_key check_keys[] = {{"site", "the site sheet"}, SET, {NULL, NULL}};

static const door_key parameters_keys[] = {{"site", "the site sheet"},
                                           SET,
                                           {"paths", "the paths to tell of; all numbers of the site without it"},
                                           {NULL, NULL}};

static const door_key duty_keys[] = {
    {"site", "the site sheet"},
    SET,
    {"pressure", "pressure at the pressure vessels; without it: at cut-in, at cut-out and at free flow"},
    {NULL, NULL}};

static const door_key run_keys[] = {{"site", "the site sheet"},
                                    SET,
                                    {"length", "how long to simulate; 1 d"},
                                    {"seed", "of the random draws; 1"},
                                    {"faults", "at most two: {what, severity, at, onset}"},
                                    {"samples", "longest time between two samples; no samples without it"},
                                    {"pressures", "true: the samples hold the pressure at each place, too"},
                                    {"entries", "entries of the day book that are kept; 10000"},
                                    {"states", "moments at which the controller is asked for its state"},
                                    {"reset counters", "moments at which a person resets the counters"},
                                    {"release after", "a person releases a lock out after this time; never without it"},
                                    {"svg", "true: the plots of the samples as one picture, an SVG document"},
                                    {"without", "numbers of the sentences to leave out, from 0"},
                                    {NULL, NULL}};

static const door_key prove_keys[] = {
    {"site", "the site sheet"},
    SET,
    {"years", "years without a fault, to count false stops; 10"},
    {"horizon", "a fault unseen for so long counts as never seen; 14 d"},
    {"sweep", "leak sizes tried for the blind bands; 48"},
    {"seed", "of the random draws; 1"},
    {"onset", "when faults begin, after Monday 00:00; 34 h"},
    {"confidence", "of the bound of the false stops; 95 %"},
    {"places", "each fault at so many places, the usual one first; 1"},
    {"onsets", "each fault at so many times spread over a day; 1"},
    {"pairs", "true: also two faults at once, where they come together in practice"},
    {"part", "[i, n]: only the jobs whose number divided by n leaves i; the answer holds outcomes only"},
    {"outcomes", "all outcomes, from parts: the answer is assembled from them without simulating"},
    {NULL, NULL}};

static const door_key settings_keys[] = {{"site", "the site sheet, whose sensors and pumps the sentences may name"},
                                         {"sentences", "the sentences to read; those of the site without it"},
                                         {NULL, NULL}};

static const door_key faults_keys[] = {{"site", "the site sheet, to tell what can happen there"}, {NULL, NULL}};

static const door_key reckon_keys[] = {
    {"what", "name of the formula; the list of formulas without it"}, {"given", "values by name"}, {NULL, NULL}};

static const door_key size_keys[] = {
    {"site", "the site sheet"},
    SET,
    {"pump", "name of the pump to size for; the first one"},
    {"length", "how long to simulate for the energy; 365 d"},
    {"seed", "of the random draws; 1"},
    {"sensitivity", "false: do not look for the assumptions that matter most"},
    {"explain", "true: the papers show every line with its formula and source"},
    {"catalogue", "pumps to choose from: a list of {name, curve, motor, price, diameter}"},
    {NULL, NULL}};

static const door_key no_keys[] = {{NULL, NULL}};

static const door_request requests[] = {
    {"check", "read a site sheet: what is wrong, what was assumed, the order in words", door_check, check_keys,
     door_paper_keys},
    {"duty", "where the pumps work", door_duty, duty_keys, door_paper_keys},
    {"run", "simulate the site, healthy or with faults: the day book", door_run, run_keys, door_paper_keys},
    {"prove", "which faults the order catches, how soon, and which it never sees", door_prove, prove_keys,
     door_paper_keys},
    {"report", "the same as prove, with both papers unless they are declined", door_report, prove_keys,
     door_paper_keys},
    {"size", "from demand and levels to pump, pipes, vessel and cable, and the weakest point", door_size, size_keys,
     door_paper_keys},
    {"settings", "sentences printed back as they are understood", door_settings, settings_keys, NULL},
    {"parameters", "the numbers of a site by path, with bounds, and whether they were given", door_parameters,
     parameters_keys, NULL},
    {"faults", "the faults there are, and what can happen on a site", door_faults, faults_keys, NULL},
    {"units", "dimensions, and the units that can be read", door_units, no_keys, NULL},
    {"schema", "the JSON Schema of the site sheet", door_schema, no_keys, NULL},
    {"reckon", "one formula by name", door_reckon, reckon_keys, NULL},
    {"about", "version, requests and their keys", door_about, no_keys, NULL},
};

int32_t door_request_count(void)
{
    return (int32_t)(sizeof requests / sizeof requests[0]);
}

const door_request *door_request_at(int32_t index)
{
    return &requests[index];
}

const door_request *door_request_find(const char *name)
{
    for (int32_t i = 0; i < door_request_count(); i++) {
        if (strcmp(requests[i].name, name) == 0) {
            return &requests[i];
        }
    }
    return NULL;
}
