/* Which formula of the registry (core/formula) gives the value of a line of the calculation, by part and id. A line
 * that is not here adds, compares or states; an id that ends with a comma stands for all that go on with a name. */
#include <string.h>

#include "study/size_inside.h"

static const struct {
    pw_size_part part;
    const char *id, *formula;
} rows[] = {
    {PW_SIZE_DEMAND, "fixture units,", "fixture units"},
    {PW_SIZE_DEMAND, "hunter,", "flow of fixture units"},
    {PW_SIZE_DEMAND, "loading units,", "loading unit"},
    {PW_SIZE_DEMAND, "loading flow,", "loading units"},
    {PW_SIZE_DEMAND, "people,", "people"},
    {PW_SIZE_DEMAND, "stock,", "stock water"},
    {PW_SIZE_HEAD, "drawdown", "bore drawdown"},
    {PW_SIZE_HEAD, "friction", "pipe loss"},
    {PW_SIZE_PIPES, "loss,", "pipe loss"},
    {PW_SIZE_DUTY, "head", "pump head"},
    {PW_SIZE_DUTY, "efficiency", "pump power"},
    {PW_SIZE_DUTY, "shaft power", "pump power"},
    {PW_SIZE_DUTY, "input power", "motor load"},
    {PW_SIZE_DUTY, "current", "motor load"},
    {PW_SIZE_DUTY, "power factor", "motor load"},
    {PW_SIZE_DUTY, "energy of a cubic metre", "energy of pumping"},
    {PW_SIZE_SUCTION, "available", "suction head available"},
    {PW_SIZE_SUCTION, "suction loss", "pipe loss"},
    {PW_SIZE_SUCTION, "largest lift", "largest suction lift"},
    {PW_SIZE_STANDSTILL, "shut-off power", "pump power"},
    {PW_SIZE_STANDSTILL, "warming", "heating"},
    {PW_SIZE_STANDSTILL, "time to scalding", "heating time"},
    {PW_SIZE_STANDSTILL, "time to 100 degC", "heating time"},
    {PW_SIZE_STANDSTILL, "boiling", "boiling point"},
    {PW_SIZE_STANDSTILL, "time to boiling", "heating time"},
    {PW_SIZE_STANDSTILL, "least flow", "least flow"},
    {PW_SIZE_VESSEL, "drawdown", "vessel drawdown"},
    {PW_SIZE_VESSEL, "acceptance", "vessel acceptance"},
    {PW_SIZE_VESSEL, "most starts", "vessel water"},
    {PW_SIZE_VESSEL, "most starts, formula", "starts"},
    {PW_SIZE_VESSEL, "needed volume", "vessel water"},
    {PW_SIZE_ELECTRIC, "starting power", "locked rotor letter"},
    {PW_SIZE_ELECTRIC, "ampacity", "cable ampacity"},
    {PW_SIZE_ELECTRIC, "drop", "cable drop"},
    {PW_SIZE_ELECTRIC, "starting drop", "cable drop"},
    {PW_SIZE_ELECTRIC, "fault section", "section for a short circuit"},
    {PW_SIZE_ELECTRIC, "fault current", "short circuit at the end"},
    {PW_SIZE_ELECTRIC, "winding", "winding"},
    {PW_SIZE_ELECTRIC, "winding, cycling", "starts by heat"},
    {PW_SIZE_ELECTRIC, "starts by heat", "starts by heat"},
    {PW_SIZE_ELECTRIC, "starts by table", "motor starts"},
    {PW_SIZE_ELECTRIC, "generator", "generator for a start"},
    {PW_SIZE_ELECTRIC, "generator, soft start", "generator for a start"},
    {PW_SIZE_ELECTRIC, "soft start torque", "motor at a voltage"},
};

const char *size_formula_of(pw_size_part part, const char *id)
{
    for (int32_t i = 0; i < (int32_t)(sizeof rows / sizeof rows[0]); i++) {
        const size_t length = strlen(rows[i].id);
        const bool any_name = rows[i].id[length - 1] == ',';
        const bool same = any_name ? strncmp(rows[i].id, id, length) == 0 : strcmp(rows[i].id, id) == 0;
        if (rows[i].part == part && same) {
            return rows[i].formula;
        }
    }
    return "";
}
