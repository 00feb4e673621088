/* Pump: head and shaft power against flow at any speed, what a stopped pump lets through, what a bad intake costs.
 *
 * The curves are the sheet's, at the sheet's speed (pw_pump.speed, a fraction of the curve's); the part of that speed
 * at which it turns now, times the condition's, follows by the affinity laws. A link's loss is negative where the pump
 * lifts. Heads in m of the water, flows in m3/s.
 */
#ifndef PW_ELEMENT_PUMP_H
#define PW_ELEMENT_PUMP_H

#include "element/condition.h"
#include "formula/curve.h"
#include "formula/motor.h"
#include "site/site.h"

typedef struct pw_pump_law {
    pw_curve head, power, npsh; /* against flow; npsh.n == 0: unknown */
    double speed;               /* of the sheet, fraction of the curve's */
    double zero_head_m;         /* against a shut valve, at that speed */
    double most_m3s;            /* largest flow of the curve, at that speed */
    double through_k;           /* loss of a stopped pump with water driven through it, m per (m3/s)^2 */
    double throttle_k;          /* of a full-bore valve at its outlet or of its intake: m per (m3/s)^2 */
    double dry;                 /* part of its power that it takes without water (pw_pump_dry_part) */
    pw_curve needs;             /* the same NPSH, never falling with the flow: what limits its head; n == 0: unknown */
    int32_t lift_count;         /* of a jet pump */
    double lift_m[PW_MAX_LIFTS];
    pw_curve by_lift[PW_MAX_LIFTS]; /* head over the pump at each lift */
    bool non_return;
    pw_motor_data motor;
} pw_pump_law;

/* False when the sheet's points make no curves: flow must rise, head must not, and power or at least two efficiencies
 * must be there. pa_per_m: density of the water times g; barometer_m: push of the air less vapour pressure, m of the
 * water, which only an ejector asks for. */
bool pw_pump_law_of(const pw_pump *pump, double pa_per_m, double barometer_m, pw_pump_law *out);

/* What it is at one moment. */
typedef struct pw_pump_now {
    bool turns;        /* runs, is not stalled and has water to throw */
    double speed;      /* of that in the sheet, >= 0: drive times supply */
    double wet;        /* how far water covers the intake, 1 .. 0 */
    double falls_wet;  /* the same where the water could run through it by itself (tank, mains), else 1 */
    double open;       /* gate at its outlet, 1 .. 0 */
    double back;       /* its non-return valve to water that flows back, 0 tight */
    double intake;     /* free part of the intake, 1 .. 0 */
    double head, flow; /* factors on the curve's heads and flows */
    double suction_m;  /* with a blocked intake: head that can be lost in it, above 0 */
    bool tight;        /* suction limits its head: available_m holds */
    /* at the flow that is asked about, with their slopes: NPSH, <= 0; lift of a jet pump, >= 0 */
    double available_m, available_slope, lift_m, lift_slope;
    double assumed_m; /* NPSH required where the curve has none */
    bool asks;        /* no machine: asks_m3s passes, whatever head that takes */
    double asks_m3s;
} pw_pump_now;

/* From its slots, its drive's speed and how wet its intake is; suction_m is set by who knows the suction side. */
pw_pump_now pw_pump_now_of(const pw_condition *condition, int32_t item, double drive_speed, double wet, bool falls);

/* Head lost from intake to delivery, and its slope (> 0). */
void pw_pump_loss(const pw_pump_law *law, const pw_pump_now *now, double flow_m3s, double *loss_m, double *slope);
/* Head of the curve at this moment, before valves take of it and however wet it is. */
double pw_pump_inside_m(const pw_pump_law *law, const pw_pump_now *now, double flow_m3s);
/* Part of the head that suction leaves it at this moment's NPSH; slope (may be NULL) by the flow, <= 0. */
double pw_pump_keeps(const pw_pump_law *law, const pw_pump_now *now, double flow_m3s, double *slope);
/* How full of water it is: as its intake is covered, but where air comes in and next to nothing flows that would carry
 * it off, the pump is bound by it (own choice: at a tenth of air without flow; flow flushes from a twentieth of the
 * curve's last on). */
double pw_pump_filled(const pw_pump_law *law, const pw_pump_now *now, double flow_m3s);
/* Shaft power while it turns: `load` is the condition's factor on it. A pump that sucks air moves less water: its
 * hydraulic power falls with the wetness, its own losses (law->dry) stay. */
double pw_pump_load_w(const pw_pump_law *law, const pw_pump_now *now, double load, double flow_m3s);
/* The pump as the sheet has it, in clean water at the sheet's speed: head and shaft power at a flow >= 0. */
double pw_pump_rated_head_m(const pw_pump_law *law, double flow_m3s);
double pw_pump_rated_w(const pw_pump_law *law, double flow_m3s);
/* Of the pump alone, 0 to 1, at that speed; flow m3/s. */
double pw_pump_rated_efficiency(const pw_pump_law *law, double flow_m3s, double pa_per_m);
/* The flow of best efficiency within the curve, m3/s, and that efficiency: the highest of 64 flows, then the peak
 * beside it by thirds, to 1e-6 of the largest flow. */
double pw_pump_best_m3s(const pw_pump_law *law, double pa_per_m, double *efficiency);
/* NPSH required at a flow and the sheet's speed: below the range that the sheet gives it as at its beginning, beyond it
 * in a straight line; -1: the sheet does not say. */
double pw_pump_npsh_m(const pw_pump_law *law, double flow_m3s);

pw_condition_slots pw_pump_slots(void);

#endif
