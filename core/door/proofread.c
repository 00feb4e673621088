#include "door/proofread.h"

#include <string.h>

#include "base/json.h"
#include "sim/plant.h"

void pw_door_proofread(pw_arena *arena, const char *sheet, const char *base_path, pw_problems *problems)
{
    const pw_json *tree = NULL;
    pw_site *site = NULL, *part = NULL;
    if (pw_json_read(arena, sheet, strlen(sheet), &tree, problems) == PW_OK &&
        pw_site_read_part(arena, tree, base_path, &site, &part, problems) != PW_OK && part != NULL) {
        pw_plant_proofread(arena, part, problems);
    }
}
