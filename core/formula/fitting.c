/* 3K constants: Darby, Chem. Eng. April 2001; 2K: Hooper, Chem. Eng. 24 August 1981; both read as tabulated in
 * python3-fluids 1.0.22. Fixed: entries and exits, textbook values (Idelchik, Handbook of Hydraulic Resistance;
 * White, Fluid Mechanics, section 6.9), from memory. Foot valve and strainer: common practice, no source beyond
 * trade tables.
 */
#include "formula/fitting.h"

#include <stdbool.h>
#include <stddef.h>

#include "base/num.h"
#include "formula/friction.h"
#include "formula/words.h"

#define INCH_M   0.0254
#define DARBY    "Darby 2001 (3K)"
#define HOOPER   "Hooper 1981 (2K)"
#define BOOK     "textbook (White, Fluid Mechanics, 6.9), from memory"
#define PRACTICE "common practice, no source"

static const pw_fitting_kind kinds[] = {
    {"elbow 90", PW_FITTING_3K, 800.0, 0.14, 4.0, DARBY},
    {"elbow 90 long", PW_FITTING_3K, 800.0, 0.071, 4.2, DARBY},
    {"elbow 45", PW_FITTING_3K, 500.0, 0.071, 4.2, DARBY},
    {"bend 90", PW_FITTING_3K, 800.0, 0.056, 3.9, DARBY},
    {"return bend 180", PW_FITTING_3K, 1000.0, 0.23, 4.0, DARBY},
    {"tee through", PW_FITTING_3K, 200.0, 0.091, 4.0, DARBY},
    {"tee branch", PW_FITTING_3K, 500.0, 0.274, 4.0, DARBY},
    {"gate valve", PW_FITTING_3K, 300.0, 0.037, 3.9, DARBY},
    {"ball valve", PW_FITTING_3K, 300.0, 0.017, 3.5, DARBY},
    {"globe valve", PW_FITTING_3K, 1500.0, 1.7, 3.6, DARBY},
    {"angle valve", PW_FITTING_3K, 1000.0, 0.69, 4.0, DARBY},
    {"plug valve", PW_FITTING_3K, 300.0, 0.084, 3.9, DARBY},
    {"diaphragm valve", PW_FITTING_3K, 1000.0, 0.69, 4.9, DARBY},
    {"butterfly valve", PW_FITTING_2K, 800.0, 0.25, 0.0, HOOPER},
    {"non-return valve", PW_FITTING_3K, 1500.0, 0.46, 4.0, DARBY},
    {"lift non-return valve", PW_FITTING_3K, 2000.0, 2.85, 3.8, DARBY},
    {"tilting non-return valve", PW_FITTING_2K, 1000.0, 0.5, 0.0, HOOPER},
    {"foot valve", PW_FITTING_FIXED, 0.0, 8.0, 0.0, PRACTICE},
    {"strainer", PW_FITTING_FIXED, 0.0, 3.0, 0.0, PRACTICE},
    {"water meter", PW_FITTING_FIXED, 0.0, 7.0, 0.0, PRACTICE},
    {"coupling", PW_FITTING_FIXED, 0.0, 0.08, 0.0, PRACTICE},
    {"entry", PW_FITTING_FIXED, 0.0, 0.5, 0.0, BOOK},
    {"entry projecting", PW_FITTING_FIXED, 0.0, 0.8, 0.0, BOOK},
    {"entry rounded", PW_FITTING_FIXED, 0.0, 0.04, 0.0, BOOK},
    {"exit", PW_FITTING_FIXED, 0.0, 1.0, 0.0, BOOK},
};

enum { KIND_COUNT = (int)(sizeof kinds / sizeof kinds[0]) };

int32_t pw_fitting_count(void)
{
    return KIND_COUNT;
}

const pw_fitting_kind *pw_fitting_row(int32_t kind)
{
    return kind >= 0 && kind < KIND_COUNT ? &kinds[kind] : NULL;
}

const char *pw_fitting_name(int32_t kind)
{
    const pw_fitting_kind *row = pw_fitting_row(kind);
    return row == NULL ? "" : row->name;
}

int32_t pw_fitting_find(const char *name)
{
    char wanted[PW_WORDS_KEY];
    char known[PW_WORDS_KEY];
    if (!pw_words_key(name, wanted)) {
        return -1;
    }
    for (int32_t i = 0; i < KIND_COUNT; i++) {
        pw_words_key(kinds[i].name, known);
        if (pw_words_equal_or_plural(wanted, known)) {
            return i;
        }
    }
    return -1;
}

static double inches(double bore_m)
{
    return pw_max(bore_m, 1e-4) / INCH_M;
}

double pw_fitting_2k(double k1, double k_infinite, double bore_m, double reynolds)
{
    return k1 / pw_max(reynolds, 1.0) + k_infinite * (1.0 + 1.0 / inches(bore_m));
}

double pw_fitting_3k(double k1, double ki, double kd, double bore_m, double reynolds)
{
    return k1 / pw_max(reynolds, 1.0) + ki * (1.0 + kd / pw_pow(inches(bore_m), 0.3));
}

/* By the method of the row; k1 0 for fully turbulent flow. */
static double k_by_row(const pw_fitting_kind *row, double k1, double bore_m, double reynolds)
{
    switch (row->method) {
    case PW_FITTING_3K: return pw_fitting_3k(k1, row->ki, row->kd, bore_m, reynolds);
    case PW_FITTING_2K: return pw_fitting_2k(k1, row->ki, bore_m, reynolds);
    default: return row->ki;
    }
}

double pw_fitting_k_turbulent(int32_t kind, double bore_m)
{
    const pw_fitting_kind *row = pw_fitting_row(kind);
    return row != NULL ? k_by_row(row, 0.0, bore_m, 1.0) : 0.0;
}

double pw_fitting_k(int32_t kind, double bore_m, double reynolds)
{
    const pw_fitting_kind *row = pw_fitting_row(kind);
    return row != NULL ? k_by_row(row, row->k1, bore_m, reynolds) : 0.0;
}

double pw_k_of_kv(double kv_m3h, double bore_m)
{
    const double velocity = kv_m3h / 3600.0 / pw_bore_area_m2(bore_m);
    return 2.0 * 1e5 / (1000.0 * velocity * velocity);
}
