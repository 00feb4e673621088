/* Which pumps make one program. */
#include "control/logic_parts.h"

bool pw_logic_together(const pw_table *table)
{
    return table->coupled && table->pump_count > 1;
}

pw_status pw_logic_put(pw_arena *arena, const pw_settings *settings, const pw_table *table, int32_t pump,
                       pw_logic_language language, pw_text *out)
{
    const bool together = pw_logic_together(table);
    const int32_t first = together ? 0 : pump, last = together ? table->pump_count - 1 : pump;
    pw_text name;
    pw_text_init(&name, arena);
    logic_put_name(&name, together ? "pumps" : settings->pumps[pump]);
    if (name.failed) {
        return PW_MEMORY;
    }
    logic_pen pen = {settings, table, out, language == PW_LOGIC_ST, first, last, 0, name.data};
    logic_put_program(&pen);
    return out->failed ? PW_MEMORY : PW_OK;
}
