/* Standard pipe sizes. The bore is outer diameter minus twice the nominal (least) wall of the standard: the largest
 * bore that the standard allows at nominal outer diameter. Sources: pipe.c.
 */
#ifndef PW_FORMULA_PIPE_H
#define PW_FORMULA_PIPE_H

#include <stdbool.h>
#include <stdint.h>

typedef struct pw_pipe_size {
    char name[64]; /* in our standard spelling: "PE100 40 SDR 11" */
    double outer_m, wall_m, bore_m;
    double rough_m;    /* absolute, new pipe */
    double modulus_pa; /* short-term modulus of elasticity of the material */
    double hazen_c;    /* Hazen-Williams coefficient, new pipe */
    double class_pa;   /* nominal pressure (PN) at 20 degC by its standard; 0: none by its size alone */
} pw_pipe_size;

/* Reads "PE100 40 SDR 11", "PE100 63 PN16", "PVC-U 50 PN10", "uPVC 50 SDR 21", "steel DN40" (medium), "steel DN40
 * heavy", "galvanised DN40", "copper 22", "copper 22 x 1.2", "schedule 40 1-1/2 in steel", ...; case, spaces and
 * hyphens do not matter.
 * False when it is none of them (out untouched). */
bool pw_pipe_find(const char *text, pw_pipe_size *out);

/* All sizes, in a fixed order, for lists and near matches. */
int32_t pw_pipe_count(void);
/* With SDR and PN where it has both ("PE100 63 SDR 17 PN10"), which pw_pipe_find reads, too. Returns out; "" when out
 * of range. */
const char *pw_pipe_name(int32_t i, char out[64]);
/* A material as the names say it: "pe" for "poly", "hdpe", "mdpe"; other words (lower case) as they are. */
const char *pw_pipe_present(const char *word);
bool pw_pipe_at(int32_t i, pw_pipe_size *out);

/* Nominal pressure of a plastic pipe, PN = 20 sigma/(SDR - 1), Pa (ISO 4427). */
double pw_pipe_rating_pa(double sdr, double strength_pa, double safety);

#endif
