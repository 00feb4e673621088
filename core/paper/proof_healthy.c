/* Proof paper, first of all: the healthy site. Where it fails, that is the verdict, whatever the faults do. */
#include "base/num.h"
#include "paper/proof_parts.h"
#include "paper/say.h"

/* The number of the sentence that stops the healthy site most often, from 1; 0 none. */
static int32_t worst_sentence(const pw_healthy *h)
{
    int32_t worst = 0;
    for (int32_t s = 0; s < PW_MAX_SENTENCES; s++) {
        if (h->stops_by[s] > 0 && (worst == 0 || h->stops_by[s] > h->stops_by[worst - 1]))
            worst = s + 1;
    }
    return worst;
}

static int64_t rounded(double value)
{
    return (int64_t)pw_floor(value + 0.5);
}

static pw_fact ailment_fact(const pw_site *site, const pw_healthy *h, pw_ailment ailment)
{
    const int32_t worst = worst_sentence(h);
    switch (ailment) {
    case PW_AIL_HUNTS: return pw_fact_of("paper.healthy-hunts");
    case PW_AIL_BURNS: return pw_fact_of("paper.healthy-burns");
    case PW_AIL_FALSE_STOPS:
        return pw_fact_of("paper.healthy-stops", pw_count(rounded((double)h->false_stops / h->years)),
                          worst > 0 ? pw_count(worst) : pw_named(""));
    case PW_AIL_MISSING:
        return pw_fact_of("paper.healthy-misses", pw_count(rounded(100.0 * h->missing_m3 / h->wanted_m3)));
    case PW_AIL_DRY:
        return pw_fact_of("paper.healthy-dry", pw_quantity(PW_DIM_TIME, h->dry_s),
                          pw_quantity(PW_DIM_TIME, site->limits.dry_run_s.v));
    case PW_AIL_DEADHEAD: return pw_fact_of("paper.healthy-deadhead", pw_quantity(PW_DIM_TIME, h->deadhead_day_s));
    case PW_AIL_HOT_WATER:
        return pw_fact_of("paper.healthy-hot-water", pw_quantity(PW_DIM_TEMPERATURE, h->water_max_c));
    case PW_AIL_WINDING:
        return pw_fact_of("paper.healthy-winding", pw_quantity(PW_DIM_TEMPERATURE, h->winding_max_c),
                          pw_quantity(PW_DIM_TEMPERATURE, pw_outcome_winding_limit_c(site)));
    case PW_AIL_PRESSURE:
        return pw_fact_of("paper.healthy-pressure", pw_quantity(PW_DIM_PRESSURE, h->pressure_top_pa),
                          pw_quantity(PW_DIM_PRESSURE, site->limits.highest_pa.v));
    case PW_AIL_STARTS:
    case PW_AILMENTS: break;
    }
    return pw_fact_of("paper.healthy-starts", pw_number(h->most_starts_in_hour, 6),
                      pw_number(site->limits.starts_per_hour.v, 6));
}

void proof_put_healthy(proof_pen *p)
{
    const pw_healthy *h = &p->proof->healthy;
    const char *lines[PW_AILMENTS];
    int32_t count = 0;
    if (!h->known || h->fails == 0) {
        say_block(p->document, p->voice, PW_BLOCK_NOTE, h->known ? PW_TONE_GOOD : PW_TONE_CAUTION,
                  pw_fact_of(h->known ? "paper.healthy-fine" : "paper.healthy-unknown"));
        return;
    }
    for (int32_t i = 0; i < PW_AILMENTS; i++) {
        if (h->fails >> i & 1u) {
            lines[count] = say_fact(p->arena, p->voice, ailment_fact(p->proof->plant->site, h, (pw_ailment)i));
            p->document->failed = p->document->failed || lines[count] == NULL;
            count++;
        }
    }
    say_block(p->document, p->voice, PW_BLOCK_LEAD, PW_TONE_BAD, pw_fact_of("paper.healthy-fails"));
    pw_document_lines(p->document, PW_BLOCK_LIST, lines, count);
}
