/* Judgements on single figures that papers, the page and the choice of a pump share: each is made here, once.
 */
#ifndef PW_STUDY_VERDICT_H
#define PW_STUDY_VERDICT_H

#include "sim/run.h"

/* Suction: what the site gives against what the pump asks for.
 *   required_m  below 0: the pump's curve does not say
 *   margin_m    how much more is wanted (design.suction.margin of the sheet) */
typedef enum pw_npsh_verdict {
    PW_NPSH_NOT_STATED,
    PW_NPSH_SHORT, /* less than required: it cavitates */
    PW_NPSH_CLOSE, /* less than the margin over it */
    PW_NPSH_ENOUGH
} pw_npsh_verdict;
pw_npsh_verdict pw_npsh_judge(double available_m, double required_m, double margin_m);

/* Has the pump taken the water of its bore down to the intake? Then it gives what the bore gives, and draws air. */
bool pw_duty_at_intake(const pw_site *site, int32_t pump, const pw_duty *duty);

/* The precharge of a vessel against the cut-in as it stands at the vessel, both gauge; cut-in 0: there is none. */
typedef enum pw_charge_verdict {
    PW_CHARGE_NOT_KNOWN,
    PW_CHARGE_HIGH, /* above the cut-in: the vessel is empty before the pump starts */
    PW_CHARGE_LOW,  /* more than 35 % below it (own choice): much of the vessel is never used */
    PW_CHARGE_GOOD
} pw_charge_verdict;
pw_charge_verdict pw_charge_judge(double precharge_pa, double cut_in_pa);

/* The cut-in of the settings as it stands at a vessel: higher than at the sensor where the vessel stands lower. Water
 * at rest. 0: the settings start at no pressure. */
double pw_cut_in_at_vessel(const pw_plant *plant, int32_t vessel);

#endif
