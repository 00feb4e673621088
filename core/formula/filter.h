/* Filters: head that is lost in them, and how it grows with the water that has passed.
 *
 * Laws of clogging at a steady flow, as the ratio of the drop to that of the clean filter (Hermia, "Constant pressure
 * blocking filtration laws", 1982; for steady flow Hlavacek and Bouchet, J. Membrane Science 82, 1993; both from
 * memory). With x = volume passed over that at which it counts as full, and m = drop full over drop clean:
 *   STRAIGHT (cake on top of it)        1 + (m - 1) x
 *   GROWING  (intermediate blocking)    m^x
 *   CLOSING  (openings close one by one) 1 / (1 - (1 - 1/m) x), up to PW_FILTER_SHUT
 */
#ifndef PW_FORMULA_FILTER_H
#define PW_FORMULA_FILTER_H

typedef enum pw_clogging { PW_CLOG_STRAIGHT, PW_CLOG_GROWING, PW_CLOG_CLOSING, PW_CLOGGINGS } pw_clogging;

#define PW_FILTER_SHUT 1e6 /* no ratio grows beyond this: the filter is as good as shut */

/* Ratio of the drop to the clean one; m >= 1, x >= 0 (above 1: past full, by the same law). */
double pw_filter_rise(pw_clogging clogs, double m, double x);
/* Loss at a flow, either way, from one at another flow: in proportion to the flow to this exponent, 1 (felt,
 * cartridges, cake) to 2 (screens and discs); slope (may be NULL) by the flow. Any unit of the loss. */
double pw_filter_loss(double at_loss, double at_m3s, double exponent, double flow_m3s, double *slope);
/* Loss coefficient of a woven wire screen on the velocity in front of it: 1.3 (1 - f) + (1/f - 1)^2 with the open part
 * f = open (1 - clogged) (Idelchik, Handbook of Hydraulic Resistance, diagram 8-6, from memory; wire Reynolds number
 * over 1000). 0 < open <= 1, 0 <= clogged < 1. */
double pw_screen_k(double open, double clogged);

#endif
