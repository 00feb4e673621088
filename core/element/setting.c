/* What all elements are at one moment: storages first, for they give the heads; then lines and pumps, which ask how wet
 * their intakes are; then who takes water.
 */
#include "element/bore.h"
#include "element/model_impl.h"

static void put_heads(const pw_model *model, const double *state, setting *out)
{
    const pw_site *site = model->site;
    for (int32_t kind = 0; kind < STORE_KINDS; kind++) {
        const store_kind *store = &pw_store_kinds[kind];
        const double *mine = state + model->first_state[kind];
        for (int32_t i = 0; i < store->count(model); i++) {
            out->given_head_m[store->node(model, i)] = store->head_m(model, i, mine[i], out);
        }
    }
    for (int32_t s = 0; s < site->source_count; s++) { /* those that hold their level */
        const int32_t place = site->sources[s].place;
        if (model->state_of_source[s] < 0) {
            out->given_head_m[place] =
                pw_source_head_m(&site->sources[s], out->condition, s, model->nodes[place].level_m, model->pa_per_m,
                                 0.0, &out->source_wet[s]);
        }
    }
    for (int32_t n = site->place_count; n < model->node_count; n++) {
        out->given_head_m[n] = model->nodes[n].level_m;
    }
}

static void put_takers(const pw_model *model, setting *out)
{
    out->taker_count = 0;
    for (int32_t o = 0; o < model->site->outlet_count; o++) {
        const pw_outlet *outlet = &model->site->outlets[o];
        if (out->drive->draw_m3s[o] > 0.0) {
            out->takers[out->taker_count] = (taker){outlet->place, outlet, NULL, out->drive->draw_m3s[o]};
            out->taker_count++;
        }
    }
    for (int32_t l = 0; l < out->condition->leak_count; l++) {
        const pw_leak *leak = &out->condition->leaks[l];
        out->takers[out->taker_count] = (taker){leak->place, NULL, leak, 0.0};
        out->taker_count++;
    }
}

void pw_setting_of(const pw_model *model, const pw_condition *condition, const pw_drive *drive, const double *state,
                   setting *out)
{
    out->condition = condition;
    out->drive = drive;
    out->state = state;
    put_heads(model, state, out);
    for (int32_t l = 0; l < model->link_count; l++) {
        pw_link_kinds[model->links[l].kind].now(model, model->links[l].item, out);
    }
    put_takers(model, out);
    pw_ground_floors(model, out);
}

double pw_taker_m3s(const pw_model *model, const taker *who, double head_m, double *slope)
{
    const double over_m = head_m - model->nodes[who->place].level_m;
    return who->outlet != NULL ? pw_outlet_m3s(who->outlet, model->pa_per_m, who->wanted_m3s, over_m, slope)
                               : pw_leak_m3s(who->leak, model->pa_per_m, over_m, slope);
}

double pw_taken_m3s(const pw_model *model, const setting *at, int32_t node, double head_m, double *slope)
{
    double taken = 0.0;
    double each;
    *slope = 0.0;
    for (int32_t i = 0; i < at->taker_count; i++) {
        if (at->takers[i].place == node) {
            taken += pw_taker_m3s(model, &at->takers[i], head_m, &each);
            *slope += each;
        }
    }
    if (pw_ahead_stores(model, at, node)) {
        taken += pw_ahead_taken_m3s(model, at, node, head_m, &each);
        *slope += each;
    }
    return taken;
}

bool pw_taken_wanted(const setting *at, int32_t node)
{
    for (int32_t i = 0; i < at->taker_count; i++) {
        if (at->takers[i].place == node && (at->takers[i].outlet != NULL || at->takers[i].leak->area_m2 > 0.0)) {
            return true;
        }
    }
    return false;
}
