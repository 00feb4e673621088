/* A moment ahead: where vessels and mains are a while later.
 *
 * The place of such a store is one more unknown head H of the network, at which (V(H) - V)/t is taken up: V what it
 * holds now, V(H) what it will, t the while. V(H) rises, so this is a network like any other and has one solution: with
 * it an implicit step can be as long as it likes over stores that settle within microseconds, over non-return valves
 * that open and shut and over the square root of turbulent flow.
 */
#include "element/model_impl.h"

double pw_ahead_taken_m3s(const pw_model *model, const setting *at, int32_t node, double head_m, double *slope)
{
    const pw_node *here = &model->nodes[node];
    const store_kind_id kind = here->vessel >= 0 ? STORE_VESSEL : STORE_MAIN;
    const int32_t item = here->vessel >= 0 ? here->vessel : here->elastic;
    double rises_m2;
    const double then_m3 = pw_store_kinds[kind].holds_m3(model, item, head_m, at, &rises_m2);
    *slope = rises_m2 / at->drive->ahead_s;
    return (then_m3 - at->state[model->first_state[kind] + item]) / at->drive->ahead_s;
}

pw_status pw_ahead_of(pw_arena *arena, pw_model *model)
{
    pw_model *ahead = PW_NEW(arena, 1, pw_model);
    if (ahead == NULL) {
        return PW_MEMORY;
    }
    *ahead = *model;
    ahead->cluster_count = 0;
    for (int32_t n = 0; n < ahead->node_count; n++) {
        pw_node *at = &ahead->nodes[n];
        if (at->unknown < 0 && !at->inlet && at->source < 0 && at->tank < 0 && (at->vessel >= 0 || at->elastic >= 0)) {
            at->unknown = 0; /* numbered with its cluster */
        }
    }
    model->ahead = ahead;
    return pw_clusters_of(arena, ahead);
}
