/* Rates of everything that is integrated, and what is known in closed form instead: bores that recover, motors that
 * cool. */
#include "base/num.h"
#include "element/supply.h"
#include "sim/step.h"

/* ---- closed forms ---- */

void pw_step_quiet(const pw_sim *run, stretch *step)
{
    const pw_site *site = run->plant->site;
    int32_t b = 0;
    for (int32_t s = 0; s < site->source_count; s++) {
        if (site->sources[s].kind != PW_SOURCE_BORE) {
            continue;
        }
        quiet_bore *bore = &step->bores[b];
        const double inflow = run->now.moment.source_m3s[s];
        const double rate = run->now.moment.rate_m3s[b];
        const double fall_m = run->condition.source_fall_m[s];
        const double rest_m3 =
            fall_m > 0.0 ? pw_model_bore_rest_m3(run->plant->model, &run->condition, s) : run->rest_m3[b];
        const double linear_to = 0.9 * run->condition.source_yield[s] * site->sources[s].yield_m3s.v;
        bore->missing_m3 = rest_m3 - run->now.y[b];
        bore->quiet = pw_abs(inflow - rate) < 1e-11 && inflow <= linear_to && (fall_m <= 0.0 || bore->missing_m3 > 0.0);
        bore->time_s = inflow > 0.0 && bore->missing_m3 > 0.0 ? bore->missing_m3 / inflow : 0.0;
        b++;
    }
}

static double recovered(const quiet_bore *bore, double h_s)
{
    return bore->time_s > 0.0 ? bore->missing_m3 * (1.0 - pw_exp(-h_s / bore->time_s)) : 0.0;
}

/* Put the closed forms into y at h_s after the beginning. */
void pw_step_close(const pw_sim *run, const stretch *step, double h_s, double *y)
{
    const int32_t bores = pw_model_bore_count(run->plant->model);
    for (int32_t b = 0; b < bores; b++) {
        if (step->bores[b].quiet) {
            const double gained = recovered(&step->bores[b], h_s);
            y[b] += gained;
            y[run->sums + SUM_SOURCE] += gained;
        }
    }
    for (int32_t p = 0; p < run->thermals; p++) {
        if (!(run->drive.speed[p] > 0.0)) {
            const int32_t i = run->storages + p;
            y[i] = run->now.y[i] > 0.0 ? pw_thermal_step(&run->thermal[p], run->now.y[i], 0.0, false, h_s) : 0.0;
        }
    }
}

/* ---- rates ---- */

void pw_step_rates(const pw_sim *run, const stretch *step, const double *y, const pw_moment *m, double *k)
{
    const pw_site *site = run->plant->site;
    double *sum = k + run->sums;
    for (int32_t i = 0; i < SUM_PUMPS; i++) {
        sum[i] = 0.0;
    }
    int32_t b = 0;
    for (int32_t s = 0; s < site->source_count; s++) {
        const bool bore = site->sources[s].kind == PW_SOURCE_BORE;
        if (bore && step->bores[b].quiet) {
            k[b] = m->rate_m3s[b] - m->source_m3s[s]; /* the closed form adds the inflow */
        } else {
            sum[SUM_SOURCE] += m->source_m3s[s];
            if (bore) {
                k[b] = m->rate_m3s[b];
            }
        }
        b += bore ? 1 : 0;
    }
    for (int32_t i = b; i < run->storages; i++) {
        k[i] = m->rate_m3s[i];
    }
    for (int32_t p = 0; p < run->thermals; p++) {
        const pw_thermal *thermal = &run->thermal[p];
        k[run->storages + p] =
            run->drive.speed[p] > 0.0 ? pw_thermal_rate(thermal, y[run->storages + p], m->current_a[p], true) : 0.0;
        /* water that passes through a pump at rest is not pumped */
        k[pw_pumped_at(run, p)] = run->drive.speed[p] > 0.0 ? m->pump_m3s[p] : 0.0;
        k[pw_energy_at(run, p)] = m->input_w[p];
    }
    if (site->supply.battery.full_v.given) {
        k[pw_charge_at(run)] = pw_supply_charge_rate(site, &run->condition, m);
    }
    for (int32_t f = 0; f < site->filter_count; f++) {
        k[pw_filtered_at(run, f)] = pw_abs(m->line_m3s[site->filters[f].line]);
    }
    for (int32_t s = 0; run->lags < run->sums && s < site->sensor_count; s++) {
        if (run->lag_of[s] >= 0) {
            const double lag_s = run->condition.sensor_lag_s[s];
            k[run->lag_of[s]] = lag_s > 0.0 ? (m->place_pa[site->sensors[s].place] - y[run->lag_of[s]]) / lag_s : 0.0;
        }
    }
    for (int32_t o = 0; o < site->outlet_count; o++) {
        sum[SUM_DELIVERED] += m->outlet_m3s[o];
    }
    for (int32_t l = 0; l < run->condition.leak_count; l++) {
        sum[SUM_LEAKED] += m->leak_m3s[l];
    }
    for (int32_t t = 0; t < site->tank_count; t++) {
        sum[SUM_SPILLED] += m->spill_m3s[t];
    }
}
