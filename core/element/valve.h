/* Valves: gate, non-return, float. Each adds to the head lost in the line or pump that it sits in, or shuts it.
 *
 * A valve's loss is k (flow)^2 with k growing as one over the square of its opening: flow coefficient in proportion to
 * the opening (linear trim, own choice). Heads in m of the water, flows in m3/s, k in m per (m3/s)^2; a slope is
 * d loss / d flow, s/m2.
 */
#ifndef PW_ELEMENT_VALVE_H
#define PW_ELEMENT_VALVE_H

#include "element/condition.h"
#include "site/site.h"

/* A closed link lets this little through, so that no place is ever cut off from every given head: 1e-14 m3/s per metre
 * is 30 mL in a year under 100 m, a billionth of what a site pumps. */
#define PW_CLOSED_S_M2 1e14

/* An opening (0 .. 1) below this is shut: a millionth. */
bool pw_valve_shut(double open);
/* Loss and slope of what is shut. */
void pw_shut_loss(double flow_m3s, double *loss_m, double *slope);
/* Loss that grows as the square of the flow, added. */
void pw_add_square(double k_s2m5, double flow_m3s, double *loss_m, double *slope);
/* An air pocket behind a high point: the water runs down under it as in an open channel, and the height of the pocket
 * is lost of whatever head drives it; a smaller head moves nothing. The sign of the flow, smoothed at creep_m3s. */
void pw_pocket_loss(double pocket_m, double creep_m3s, double flow_m3s, double *loss_m, double *slope);
/* What a gate adds at an opening (not shut); k_s2m5 its loss at full opening, which is in the line's own already: k
 * (1/open^2 - 1). Nothing from full open on. */
double pw_gate_k_s2m5(double k_s2m5, double open);
void pw_gate_loss(double k_s2m5, double open, double flow_m3s, double *loss_m, double *slope);
/* A non-return valve shuts off water that flows back, unless it passes some: `back` its opening to it, 0 tight. */
bool pw_non_return_holds(bool there, double back, double flow_m3s);
/* What a passing non-return valve takes of water that flows back: k / back^2; nothing forward. */
void pw_non_return_loss(double k_s2m5, double back, double flow_m3s, double *loss_m, double *slope);
/* Loss of the open float valve of a tank; 0 for a tank without. */
double pw_float_k_s2m5(const pw_tank *tank);
/* Its opening 0 .. 1 at this depth of water, with what a fault made of it (slots of the tank); 1 for a tank without. */
double pw_float_open(const pw_tank *tank, const pw_condition *condition, int32_t item, double depth_m);

pw_condition_slots pw_valve_slots(void);

#endif
