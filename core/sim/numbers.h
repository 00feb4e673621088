/* All numbers of a site by their path: those of the sheet's rows (site/params.h), and those within the sentences of its
 * settings: settings[2].pressure, settings[0].wait, settings[4].window. The forms name the numbers that they read
 * (control/table.h); the same name once more in one sentence has a number behind it: settings[2].pressure 2.
 * Changed by pw_site_change like the others; pw_settings_with (control/table.h) changes read settings without a sheet.
 */
#ifndef PW_SIM_NUMBERS_H
#define PW_SIM_NUMBERS_H

#include "site/params.h"

/* As pw_params_list, with the numbers of the sentences behind them. Settings that are refused have none. */
pw_status pw_numbers_list(pw_arena *arena, const pw_site *site, pw_param **out, int32_t *out_count);

/* As pw_param_find. A path into settings that are refused adds their problems. */
pw_status pw_number_find(pw_arena *arena, const pw_site *site, const char *path, const char *base_path, pw_param *out,
                         pw_problems *problems);

#endif
