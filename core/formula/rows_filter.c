/* Registry: filters and screens. */
#include <string.h>

#include "base/num.h"
#include "formula/filter.h"
#include "formula/rows.h"

static pw_status filter_drop(pw_reckoning *r)
{
    static const char *const words[PW_CLOGGINGS] = {"straight", "growing", "closing"};
    const char *word = r->text[4] != NULL ? r->text[4] : words[0];
    int32_t clogs = 0;
    while (clogs < PW_CLOGGINGS && strcmp(words[clogs], word) != 0) {
        clogs++;
    }
    if (clogs == PW_CLOGGINGS) {
        return pw_rows_complain(r, PW_RANGE, "given.clogs", word, "straight, growing or closing", NULL);
    }
    if (r->in[1] < r->in[0]) {
        return pw_rows_refuse(r, "given.full drop", "not less than the clean drop");
    }
    const double rise = pw_filter_rise((pw_clogging)clogs, r->in[1] / r->in[0], r->in[3] / r->in[2]);
    r->out[0] = pw_filter_loss(r->in[0] * rise, r->in[5], r->in[7], r->in[6] > 0.0 ? r->in[6] : r->in[5], NULL);
    r->out[1] = rise;
    return PW_OK;
}

static pw_status screen(pw_reckoning *r)
{
    r->out[0] = pw_screen_k(r->in[0], r->in[1]);
    return PW_OK;
}

/* clang-format off: one entry a row reads better than one a line. */
static const pw_formula rows[] = {
    {.id = "filter drop",
     .title = "Pressure drop of a filter",
     .says = "Cake 1 + (m - 1) x, growing m^x, closing 1 / (1 - (1 - 1/m) x); by the flow to a power.",
     .in = {PW_NEED("clean drop", PRESSURE, 1, 1e6, "of the clean filter at its flow"),
            PW_NEED("full drop", PRESSURE, 1, 2e6, "where it counts as full, at the same flow"),
            PW_NEED("full after", VOLUME, 1e-3, 1e6, "water that fills it"),
            PW_NEED("volume", VOLUME, 0, 1e7, "passed since it was clean"),
            PW_MAYBE_WORDS("clogs", "straight, growing or closing; straight where nothing is said"),
            PW_NEED("at flow", FLOW, 1e-7, 1, "for which both drops are meant"),
            PW_MAY("flow", FLOW, 0, 1, 0, "now; where 0, that flow"),
            PW_MAY("exponent", NONE, 1, 2, 2, "of the flow: 1 felt and cartridges, 2 screens and discs")},
     .out = {PW_GIVE("drop", PRESSURE, "across it"), PW_GIVE("rise", NONE, "of the clean drop")},
     .source = "blocking laws of Hermia (1982), for steady flow Hlavacek and Bouchet (1993), from memory",
     .work = filter_drop},
    {.id = "screen",
     .title = "Screen of woven wire",
     .says = "K = 1.3 (1 - f) + (1/f - 1)^2, f = open (1 - clogged).",
     .in = {PW_NEED("open", FRACTION, 0.01, 1, "open part of its area, clean"),
            PW_MAY("clogged", FRACTION, 0, 0.99, 0, "part of the openings that is shut")},
     .out = {PW_GIVE("K", NONE, "on the velocity in front of it")},
     .source = "Idelchik, Handbook of Hydraulic Resistance, diagram 8-6, from memory",
     .work = screen},
};
/* clang-format on */
const pw_formula_table pw_rows_filter = {"Filters", "water", rows, (int32_t)(sizeof rows / sizeof rows[0])};
