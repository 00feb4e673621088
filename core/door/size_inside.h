/* Private to core/door: what the files of "size" share. */
#ifndef PW_DOOR_SIZE_INSIDE_H
#define PW_DOOR_SIZE_INSIDE_H

#include "door/inside.h"
#include "study/size_choose.h"
#include "study/size.h"

/* SI unit of a dimension, as reckon names it. */
const char *door_si_unit(pw_dimension dimension);

/* size_catalogue.c: the catalogue of the request, read and ranked. */
pw_status door_size_choose(door *d, const pw_plant *plant, const pw_sizing *sizing, const pw_json *catalogue,
                           pw_choice **out);
void door_size_put_choice(door *d, const pw_choice *choice);

#endif
