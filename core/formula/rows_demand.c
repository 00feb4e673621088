/* Registry: who uses water, what happens together, and counts of rare events. */
#include <stddef.h>
#include <string.h>

#include "base/num.h"
#include "formula/demand.h"
#include "formula/rare.h"
#include "formula/rows.h"

static pw_status wrong_word(pw_reckoning *r, const char *path, const char *found, const char *expected)
{
    return pw_rows_complain(r, PW_WORD, path, found, expected, NULL);
}

static pw_status read_flush(pw_reckoning *r, const char *word, pw_flush *out)
{
    *out = strcmp(word, "valve") == 0 ? PW_FLUSH_VALVE : PW_FLUSH_TANK;
    if (strcmp(word, "tank") != 0 && strcmp(word, "valve") != 0) {
        return wrong_word(r, "given.flush", word, "tank or valve");
    }
    return PW_OK;
}

static pw_status fixture_flow(pw_reckoning *r)
{
    pw_flush flush;
    const pw_status status = read_flush(r, r->text[1], &flush);
    r->out[0] = pw_hunter_m3s(r->in[0], flush);
    return status;
}

static pw_status fixture_units(pw_reckoning *r)
{
    pw_flush flush;
    const pw_status status = read_flush(r, r->text[0], &flush);
    for (int32_t i = 0; i < PW_FIXTURE_COUNT; i++) {
        r->out[0] += r->in[i + 1] * pw_fixture_units((pw_fixture)i, flush);
    }
    r->out[1] = pw_hunter_m3s(r->out[0], flush);
    return status;
}

static pw_status loading_units(pw_reckoning *r)
{
    double sum = 0.0;
    double largest = 0.0;
    for (int32_t i = 0; i < PW_LOADING_COUNT; i++) {
        const pw_loading_row *row = pw_loading_at(i);
        r->out[0] += r->in[i] * row->units;
        sum += r->in[i] * row->draw_m3s;
        largest = r->in[i] > 0.0 ? pw_max(largest, row->draw_m3s) : largest;
    }
    r->out[1] = sum;
    r->out[2] = pw_simultaneous_m3s(sum, largest);
    return PW_OK;
}

static pw_status loading_unit(pw_reckoning *r)
{
    for (int32_t i = 0; i < PW_LOADING_COUNT; i++) {
        const pw_loading_row *row = pw_loading_at(i);
        if (strcmp(row->word, r->text[0]) == 0) {
            r->out[0] = row->units;
            r->out[1] = row->draw_m3s;
            r->out[2] = row->least_m3s;
            return PW_OK;
        }
    }
    return wrong_word(r, "given.fixture", r->text[0], "a fixture of EN 806-3, such as washbasin");
}

static pw_status in_use(pw_reckoning *r)
{
    if (r->in[0] != pw_floor(r->in[0])) {
        return pw_rows_refuse(r, "given.fixtures", "a whole number");
    }
    const int32_t m = pw_in_use((int32_t)r->in[0], r->in[1], r->in[2]);
    r->out[0] = (double)m;
    r->out[1] = (double)m * r->in[3];
    return PW_OK;
}

static pw_status stock_water(pw_reckoning *r)
{
    for (int32_t i = 0; i < PW_STOCK_COUNT; i++) {
        if (strcmp(pw_stock_word(i), r->text[0]) == 0) {
            r->out[0] = pw_stock_m3((pw_stock)i, false);
            r->out[1] = pw_stock_m3((pw_stock)i, true);
            return PW_OK;
        }
    }
    return wrong_word(r, "given.animal", r->text[0], "an animal of the table, such as sheep");
}

static pw_status people(pw_reckoning *r)
{
    r->out[0] = pw_people_daily_m3(r->in[0], r->in[1]);
    r->out[1] = pw_people_m3s(r->in[0], r->in[1], r->in[2]);
    return PW_OK;
}

static pw_status rare_events(pw_reckoning *r)
{
    if (r->in[0] != pw_floor(r->in[0])) {
        return pw_rows_refuse(r, "given.events", "a whole number");
    }
    r->out[0] = pw_poisson_upper((int32_t)r->in[0], r->in[1]);
    r->out[1] = r->out[0] / r->in[2];
    return PW_OK;
}

/* clang-format off */
#define COUNT(name) PW_MAY(name, NONE, 0, 100000, 0, "how many")
#define FLUSH PW_WORDS("flush", "tank or valve: how the toilets flush")

static const pw_formula rows[] = {
    {.id = "flow of fixture units",
     .title = "Hunter's curve",
     .says = "Design flow of fixture units, straight between the points of the table.",
     .in = {PW_NEED("units", NONE, 0, 1e6, "sum over the fixtures"), FLUSH},
     .out = {PW_GIVE("flow", FLOW, "that happens together")},
     .source = "IPC Table E103.3(3), after Hunter, NBS BMS65 (1940)",
     .work = fixture_flow},
    {.id = "fixture units",
     .title = "Fixture units of a house",
     .says = "Sum of the private fixtures' units, and their flow by Hunter's curve.",
     .in = {FLUSH, COUNT("bathroom group"), COUNT("water closet"), COUNT("bathtub"), COUNT("shower"), COUNT("lavatory"),
            COUNT("bidet"), COUNT("kitchen sink"), COUNT("dishwasher"), COUNT("washing machine"),
            COUNT("laundry tray")},
     .out = {PW_GIVE("units", NONE, "sum"), PW_GIVE("flow", FLOW, "that happens together")},
     .source = "IPC Table E103.3(2), private, and E103.3(3)",
     .work = fixture_units},
    {.id = "loading units",
     .title = "Loading units of a house",
     .says = "Sum of draw-offs, and what of it happens together: 1.48 V^0.19 - 0.94 in L/s.",
     .in = {COUNT("washbasin"), COUNT("cistern"), COUNT("bidet"), COUNT("kitchen sink"), COUNT("washing machine"),
            COUNT("dishwasher"), COUNT("shower"), COUNT("urinal valve"), COUNT("bath"), COUNT("garden tap"),
            COUNT("large sink"), COUNT("flush valve")},
     .out = {PW_GIVE("units", NONE, "sum"), PW_GIVE("sum", FLOW, "of all draw-offs"),
             PW_GIVE("together", FLOW, "that happens together")},
     .source = "EN 806-3:2006, Table 2; DIN 1988-300:2012, residential, from memory",
     .work = loading_units},
    {.id = "loading unit",
     .title = "Loading units of one fixture",
     .says = "Units, draw-off and least flow of a fixture.",
     .in = {PW_WORDS("fixture", "such as washbasin")},
     .out = {PW_GIVE("units", NONE, "of 0.1 L/s"), PW_GIVE("draw-off", FLOW, "usual"),
             PW_GIVE("least", FLOW, "that serves")},
     .source = "EN 806-3:2006, Table 2",
     .work = loading_unit},
    {.id = "fixtures in use",
     .title = "Fixtures in use at once",
     .says = "Least m that is exceeded with no more than the chance, each of n in use for a share of the time.",
     .in = {PW_NEED("fixtures", NONE, 1, 10000, "n, equal ones"),
            PW_NEED("share", FRACTION, 0, 1, "of the time in use"),
            PW_MAY("chance", FRACTION, 1e-12, 0.5, 0.01, "of more"), PW_MAY("flow", FLOW, 0, 10, 0, "of each")},
     .out = {PW_GIVE("in use", NONE, "m"), PW_GIVE("flow", FLOW, "of m")},
     .source = "binomial distribution; Hunter, NBS BMS65 (1940), method from memory",
     .hand = "the method behind the published curves, for fixtures that they do not have",
     .work = in_use},
    {.id = "people",
     .title = "Water of people",
     .says = "People times the mean of each, and the busiest hour by a peak factor.",
     .in = {PW_NEED("people", NONE, 0, 1e7, "how many"),
            PW_MAY("each person", FLOW, 0, 1, 310e-3 / 86400.0, "mean over the day; 310 L a day"),
            PW_MAY("peak factor", NONE, 1, 100, 4, "busiest hour over mean hour")},
     .out = {PW_GIVE("daily volume", VOLUME, "of all"), PW_GIVE("busiest hour", FLOW, "of all")},
     .source = "USGS OFR 2017-1131 for the use of each; peak factor common practice",
     .work = people},
    {.id = "stock water",
     .title = "Water of an animal",
     .says = "What one animal needs in a day.",
     .in = {PW_WORDS("animal", "such as sheep")},
     .out = {PW_GIVE("winter", VOLUME, "of a day"), PW_GIVE("summer", VOLUME, "of a day")},
     .source = "Agriculture and Agri-Food Canada, range livestock",
     .work = stock_water},
    {.id = "bound of rare events",
     .title = "Most events that a count allows",
     .says = "Exact one-sided upper bound of a Poisson mean after k events.",
     .in = {PW_NEED("events", NONE, 0, 1e6, "k, counted"),
            PW_MAY("confidence", FRACTION, 0.01, 0.9999, 0.95, "of the bound"),
            PW_MAY("years", NONE, 1e-3, 1e6, 1, "they were counted in")},
     .out = {PW_GIVE("most events", NONE, "in that time"), PW_GIVE("most a year", NONE, "of them")},
     .source = "Garwood, Biometrika 28 (1936)",
     .work = rare_events},
};
/* clang-format on */
const pw_formula_table pw_rows_demand = {"Demand and counts", "water", rows, (int32_t)(sizeof rows / sizeof rows[0])};
