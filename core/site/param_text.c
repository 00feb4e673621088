/* One number of a site as text: as a sheet states it, as a person reads it, and read again. */
#include <string.h>

#include "site/params.h"

static bool is_clock(const pw_param *param)
{
    return param->form == PW_PARAM_CLOCK || param->form == PW_PARAM_WINDOW || param->clock;
}

static bool is_plain(const pw_param *param)
{
    const bool count = param->form == PW_PARAM_SENTENCE && param->dimension == PW_DIM_NONE;
    return param->form == PW_PARAM_COUNT || param->form == PW_PARAM_PATTERN || count;
}

void pw_param_exact(pw_text *text, const pw_param *param, double si)
{
    if (is_clock(param)) {
        pw_time_of_day_put(text, (uint32_t)si);
    } else if (param->form == PW_PARAM_PHASES && si == 0) {
        pw_text_put(text, "DC");
    } else if (param->form == PW_PARAM_PHASES || is_plain(param)) {
        pw_text_number(text, si);
    } else {
        pw_quantity_exact(text, param->dimension, si);
    }
}

void pw_param_show(pw_text *text, const pw_param *param, const pw_units *units, double si)
{
    const bool own = is_clock(param) || is_plain(param) || param->form == PW_PARAM_PHASES;
    if (own) {
        pw_param_exact(text, param, si);
    } else {
        pw_quantity_put(text, units, param->dimension, si);
    }
}

pw_status pw_param_read(const pw_param *param, const char *words, double *out_si, pw_problems *problems,
                        const char *path)
{
    if (is_clock(param)) {
        return pw_clock_read(words, out_si)
                   ? PW_OK
                   : pw_problem_tell(problems, PW_RANGE, path, pw_verbatim(words), pw_fact_of("input.time-of-day"),
                                     pw_fact_of("input.for-instance", pw_named("06:30")));
    }
    if (param->form == PW_PARAM_PHASES && (strcmp(words, "DC") == 0 || strcmp(words, "dc") == 0)) {
        *out_si = 0;
        return PW_OK;
    }
    return pw_quantity_read(words, param->dimension, out_si, problems, path);
}
