/* Jet (ejector) pumps: what a jet of driving water makes of the water that it draws in. Momentum in the throat, energy
 * in nozzle, suction entry and diffuser; exact form (Gosline and O'Brien, Univ. Calif. Publ. Eng. 3(3), 1934;
 * Cunningham, Pump Handbook sect. 4.1; structure from memory, derived again).
 */
#ifndef PW_FORMULA_JET_H
#define PW_FORMULA_JET_H

/* Losses as parts of the velocity heads: nozzle, suction entry, throat and diffuser together. */
typedef struct pw_jet_losses {
    double nozzle, entry, throat;
} pw_jet_losses;

/* Head ratio N = (delivered - suction) / (driving - delivered) at a flow ratio M = drawn / driving >= 0; total heads.
 * M N is the part of the driving water's power that the drawn water gets.
 *   area_ratio  nozzle over throat, between 0 and 1 */
double pw_jet_head_ratio(double area_ratio, double flow_ratio, const pw_jet_losses *losses);
/* Flow ratio at which the throat's entry reaches the vapour pressure: (1-R)/R sqrt((Hs - Hv)/(1.35 Z)), all heads
 * absolute, Z the jet's velocity head (> 0); 0 when Hs <= Hv. Cunningham, Hansen and Na, Trans. ASME 92 (1970), from
 * memory; the coefficient is between 0.8 and 1.67 in tests. */
double pw_jet_limit(double area_ratio, double suction_m, double vapour_m, double jet_m);

#endif
