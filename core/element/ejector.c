#include "element/ejector.h"

#include "base/num.h"
#include "formula/friction.h"
#include "formula/jet.h"
#include "formula/pump.h"

enum { POINTS = 10, LIFTS = PW_MAX_LIFTS };

/* Losses of usual ejectors: tests gather about them (Cunningham; Gosline and O'Brien, from memory). */
static const pw_jet_losses usual = {0.05, 0.05, 0.20};
/* Darcy factor of the two pipes in the well (own choice: smooth pipes of 25 to 50 mm at 1 to 3 m/s). */
#define PIPE_FACTOR 0.022
/* Behind its last flow a curve falls to nothing over this part of it: the throat is full of vapour. */
#define CHOKE 0.02

typedef struct ejector {
    const pw_pump *pump;
    const pw_pump_law *law;
    double area_m2, ratio; /* of the nozzle; nozzle over throat */
} ejector;

/* Lost in a pipe of the ejector; 0 where the sheet has none. */
static double lost_m(const pw_field *bore, const pw_field *length, double flow_m3s)
{
    if (!bore->given || !length->given) {
        return 0.0;
    }
    const double k = PIPE_FACTOR * length->v / bore->v;
    return pw_square_loss_s2m5(k, pw_bore_area_m2(bore->v)) * flow_m3s * flow_m3s;
}

/* At a flow ratio: driving flow, head over the water. */
static void work_at(const ejector *e, double ratio, double *drive_m3s, double *head_m, double *jet_m)
{
    const pw_ejector *made = &e->pump->ejector;
    const double n = pw_jet_head_ratio(e->ratio, ratio, &usual);
    const double side = ratio * e->ratio / (1.0 - e->ratio);
    const double takes = 1.0 + usual.nozzle - (1.0 + usual.entry) * side * side;
    double low = 0.0;
    double high = e->law->most_m3s;
    for (int32_t i = 0; i < 60; i++) { /* the impeller's push falls with the flow, the nozzle's need rises */
        const double q = 0.5 * (low + high);
        const double both = q * (1.0 + ratio);
        const double f1 = lost_m(&made->pressure_bore_m, &made->pressure_length_m, q);
        const double f2 = lost_m(&made->riser_bore_m, &made->riser_length_m, both);
        const double push = pw_pump_rated_head_m(e->law, both) - f1 - f2;
        *jet_m = pw_square_loss_s2m5(1.0, e->area_m2) * q * q; /* velocity head */
        *head_m = (1.0 + n) * push + f1;
        *drive_m3s = q;
        *((1.0 + n) * push > *jet_m * takes ? &low : &high) = q;
    }
}

/* Largest flow ratio at a lift: what N leaves, the nozzle's law and the throat's cavitation allow. */
static double most_ratio(const ejector *e, double left_m)
{
    double low = 0.0;
    double high = 10.0;
    for (int32_t i = 0; i < 40; i++) {
        const double ratio = 0.5 * (low + high);
        const double side = ratio * e->ratio / (1.0 - e->ratio);
        double drive_m3s;
        double head_m;
        double jet_m;
        bool fits = pw_jet_head_ratio(e->ratio, ratio, &usual) > 0.0 && (1.0 + usual.entry) * side * side < 0.9;
        if (fits) {
            work_at(e, ratio, &drive_m3s, &head_m, &jet_m);
            fits = ratio <= pw_jet_limit(e->ratio, left_m, 0.0, pw_max(jet_m, 1e-3));
        }
        *(fits ? &low : &high) = ratio;
    }
    return low;
}

/* Delivery over the pump at one lift; its head over the water and its power by the flow drawn. */
static bool one_lift(const ejector *e, double lift_m, double left_m, pw_curve *delivery, pw_curve *head,
                     pw_curve *power)
{
    double flow[POINTS + 2];
    double over[POINTS + 2];
    double total[POINTS + 2];
    double shaft[POINTS + 2];
    const double most = most_ratio(e, left_m);
    for (int32_t i = 0; i <= POINTS; i++) {
        const double ratio = most * i / POINTS;
        double drive_m3s;
        double jet_m;
        work_at(e, ratio, &drive_m3s, &total[i], &jet_m);
        flow[i] = ratio * drive_m3s;
        total[i] = i > 0 ? pw_min(total[i], total[i - 1]) : total[i];
        over[i] = total[i] - lift_m;
        shaft[i] = pw_pump_rated_w(e->law, drive_m3s * (1.0 + ratio));
    }
    flow[POINTS + 1] = flow[POINTS] * (1.0 + CHOKE);
    total[POINTS + 1] = 0.0;
    over[POINTS + 1] = -lift_m;
    shaft[POINTS + 1] = shaft[POINTS];
    return flow[POINTS] > flow[0] && total[POINTS] > 0.0 && pw_curve_build_head(POINTS + 2, flow, over, delivery) &&
           pw_curve_build_head(POINTS + 2, flow, total, head) && pw_curve_build(POINTS + 2, flow, shaft, power);
}

bool pw_ejector_fit(const pw_pump *pump, double barometer_m, pw_pump_law *law)
{
    const pw_pump_law impeller = *law;
    const double nozzle_m = pump->ejector.nozzle_m.v;
    const double throat_m = pump->ejector.throat_m.v;
    const double ratio = nozzle_m * nozzle_m / (throat_m * throat_m);
    const ejector e = {pump, &impeller, pw_bore_area_m2(nozzle_m), ratio};
    const bool deep = pump->ejector.pressure_length_m.given;
    double drive_m3s;
    double highest_m;
    double jet_m;
    if (!(ratio > 0.0 && ratio < 0.9)) {
        return false;
    }
    work_at(&e, 0.0, &drive_m3s, &highest_m, &jet_m);
    const double top_m = deep ? 0.9 * highest_m : pw_min(0.95 * barometer_m, 0.9 * highest_m);
    law->lift_count = LIFTS;
    for (int32_t i = LIFTS - 1; i >= 0; i--) { /* what stays of head and power is that of the smallest lift */
        law->lift_m[i] = top_m * i / (LIFTS - 1);
        /* a deep ejector hangs in the water: the air's push is all that is counted on */
        const double left_m = deep ? barometer_m : barometer_m - law->lift_m[i];
        if (!one_lift(&e, law->lift_m[i], left_m, &law->by_lift[i], &law->head, &law->power)) {
            return false;
        }
    }
    law->speed = 1.0; /* the sheet's speed is in it */
    law->most_m3s = law->head.x[law->head.n - 2];
    return true;
}
