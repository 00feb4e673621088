/* Plant: everything that one site needs to be simulated again and again. Never changes after it was built. */
#ifndef PW_SIM_PLANT_H
#define PW_SIM_PLANT_H

#include "control/table.h"
#include "element/model.h"

typedef struct pw_plant {
    const pw_site *site;
    const pw_model *model;
    const pw_settings *settings;
    int32_t signal_count;
    pw_signal signals[PW_MAX_SIGNALS];
    pw_site_facts facts;          /* for the words of the settings */
    double cut_in_pa, cut_out_pa; /* pressures of the first start and stop sentence; 0 when there are none */
    /* Leaks are told by their flow at this pressure: the middle of those two, else what the strongest pump's outlet
     * shows while it runs at rest levels; what the strongest pump gives at it. Above 0, both. */
    double reference_pa, full_m3s;
} pw_plant;

/* What words about the site's pumps must know. Lines are followed both ways, up to a tank's water and to another pump;
 * a pressure that lies before one pump and behind another is told for each. */
void pw_site_facts_of(const pw_site *site, pw_site_facts *out);

/* The first pressure of a sentence of this kind, as its sensor shows it: of START the first that a pump starts below,
 * of STOP the first that it stops above, of other kinds the first of either. A pressure sensor's threshold, or what a
 * pressure switch is set to when the sentence waits for its contact. pump: of sentences for this one; -1 any.
 * false: none, *out is untouched. */
typedef struct pw_acts_at {
    int32_t sentence, sensor;
    double pa;
} pw_acts_at;
bool pw_plant_acts_at(const pw_plant *plant, pw_sentence_kind kind, int32_t pump, pw_acts_at *out);
/* Level at which that sensor feels the pressure, m. */
double pw_plant_acts_m(const pw_plant *plant, const pw_acts_at *acts);

/* Site to model, signals and settings in one call. */
pw_status pw_plant_build(pw_arena *arena, const pw_site *site, bool exact, pw_plant **out, pw_problems *problems);

/* The settings of a site alone, without a model of it. */
pw_status pw_site_settings(pw_arena *arena, const pw_site *site, pw_settings **out, pw_problems *problems);

/* Conditions as they are typed for a site's own signals (pw_settings_examples). */
pw_status pw_site_examples(pw_arena *arena, const pw_site *site, const pw_units *units, pw_condition_example **out,
                           int32_t *count);

/* Sentences of a sheet that has errors itself (pw_site_read_part): what is wrong with their wording. What may follow
 * from the sheet's errors, as a sensor that is not there, is left for later. */
void pw_plant_proofread(pw_arena *arena, const pw_site *part, pw_problems *problems);

/* Sentences read against this plant's signals and pumps, with the paths of its sheet. */
pw_status pw_plant_read(pw_arena *arena, const pw_plant *plant, const char *const *sentences, int32_t count,
                        pw_settings **out, pw_problems *problems);

#endif
