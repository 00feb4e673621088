/* Tables of pipe sizes, in mm, and where they come from:
 *   PE100      ISO 4427-2 / EN 12201-2, SDR 7.4 (PN25), 9 (PN20), 11 (PN16), 13.6 (PN12.5) and 17 (PN10): read, copies
 *              agree. Outer/SDR rounded up would miss the table (75 SDR 11 has 6.8, 90 SDR 17 has 5.4, 110 SDR 17 6.6).
 *   steel      EN 10255:2004 medium and heavy: walls DN15 to DN50 read (copy), DN65 to DN100 and outer diameters from
 *              memory
 *   copper     EN 1057, half hard plumbing series (X) and thick series (Y): read (copy)
 *   schedule 40  ASME B36.10 / ASTM D1785: read, and equal to the table of python3-fluids 1.0.22
 *   PVC-U      ISO 1452-2 (EN ISO 1452-2). Which series belongs to a pressure class: design coefficient 2.5 up to 90 mm
 *              and 2.0 above, so PN 10 is S10 (SDR 21) and S12.5 (SDR 26), PN 16 is S6.3 (SDR 13.6) and S8 (SDR 17):
 *              from memory. The walls are computed by ISO 4065: d/(2S+1), S the exact number of the series R10, to two
 *              decimals and up to the next 0.1 mm, at least 1.5 mm. The rule gives the walls that were read (MS 1058-2:
 *              SDR 13.6 and 17; AS/NZS 4130: SDR 21): a test compares them.
 * Roughness: plastics and copper 0.0015 mm (drawn tubing), steel 0.045 mm (commercial), galvanised 0.15 mm: Moody 1944.
 * Hazen-Williams C: 150 plastics (Illinois Administrative Code 77, part 906) and copper, 120 steel (NFPA 13): new pipe,
 * from memory. Modulus of elasticity: PE100 0.8 GPa short term, PVC 3.0, copper 117, steel 207 (Wylie and Streeter's
 * tables, from memory).
 */
#include "formula/pipe.h"

#include <stddef.h>
#include <string.h>

#include "base/status.h"
#include "formula/words.h"

enum {
    FAMILY_PE,
    FAMILY_STEEL,
    FAMILY_GALVANISED,
    FAMILY_COPPER,
    FAMILY_SCHEDULE_STEEL,
    FAMILY_SCHEDULE_PVC,
    FAMILY_PVC_U
};

typedef struct family {
    double rough_mm, modulus_gpa, hazen_c;
} family;

/* clang-format off */
static const family families[] = {
    {0.0015, 0.8, 150.0},   {0.045, 207.0, 120.0}, {0.15, 207.0, 120.0},
    {0.0015, 117.0, 150.0}, {0.045, 207.0, 120.0}, {0.0015, 3.0, 150.0},
    {0.0015, 3.0, 150.0},
};

/* spelling[0] is the name; the others are read as well. */
typedef struct row {
    int8_t family;
    double outer_mm, wall_mm;
    double pn; /* nominal pressure, bar, of water at 20 degC; 0: the standard gives none by its size alone */
    const char *spelling[6];
} row;

#define PE(d, wall, sdr, pn)                                                                                          \
    {FAMILY_PE, d, wall, pn,                                                                                          \
     {"PE100 " #d " SDR " #sdr, "PE100 " #d " PN" #pn, "PE100 SDR " #sdr " " #d, "PE100 PN" #pn " " #d,               \
      "PE100 " #d " x " #wall, "PE100 " #d " SDR " #sdr " PN" #pn}}
#define PVC_U(d, wall, sdr, pn)                                                                                       \
    {FAMILY_PVC_U, d, wall, pn,                                                                                       \
     {"PVC-U " #d " PN" #pn, "PVC-U " #d " SDR " #sdr, "PVC-U PN" #pn " " #d, "PVC-U SDR " #sdr " " #d,               \
      "PVC-U " #d " x " #wall, "PVC-U " #d " SDR " #sdr " PN" #pn}}
#define STEEL(dn, outer, medium, heavy)                                                                               \
    {FAMILY_STEEL, outer, medium, 0,                                                                                  \
     {"steel DN" #dn, "steel DN" #dn " medium", "steel medium DN" #dn, "medium steel DN" #dn}},                       \
    {FAMILY_STEEL, outer, heavy, 0, {"steel DN" #dn " heavy", "steel heavy DN" #dn, "heavy steel DN" #dn}},           \
    {FAMILY_GALVANISED, outer, medium, 0,                                                                             \
     {"galvanised DN" #dn, "galvanised steel DN" #dn, "galvanised DN" #dn " medium"}},                                \
    {FAMILY_GALVANISED, outer, heavy, 0, {"galvanised DN" #dn " heavy", "galvanised steel DN" #dn " heavy"}}
#define COPPER(d, wall) {FAMILY_COPPER, d, wall, 0, {"copper " #d, "copper " #d " x " #wall}}
#define THICK(d, wall) {FAMILY_COPPER, d, wall, 0, {"copper " #d " x " #wall}}
#define SCHEDULE(inches, outer_in, wall_in)                                                                           \
    {FAMILY_SCHEDULE_STEEL, (outer_in) * 25.4, (wall_in) * 25.4, 0,                                                   \
     {"schedule 40 steel " inches " in", "steel schedule 40 " inches " in", inches " in steel schedule 40",           \
      inches " in schedule 40 steel", "steel " inches " in schedule 40"}},                                            \
    {FAMILY_SCHEDULE_PVC, (outer_in) * 25.4, (wall_in) * 25.4, 0,                                                     \
     {"schedule 40 PVC " inches " in", "PVC schedule 40 " inches " in", inches " in PVC schedule 40",                 \
      inches " in schedule 40 PVC", "PVC " inches " in schedule 40"}}

static const row rows[] = {
    PE(20, 2.0, 11, 16), PE(25, 2.3, 11, 16), PE(32, 3.0, 11, 16), PE(40, 3.7, 11, 16), PE(50, 4.6, 11, 16),
    PE(63, 5.8, 11, 16), PE(75, 6.8, 11, 16), PE(90, 8.2, 11, 16), PE(110, 10.0, 11, 16), PE(125, 11.4, 11, 16),
    PE(160, 14.6, 11, 16),
    PE(32, 2.0, 17, 10), PE(40, 2.4, 17, 10), PE(50, 3.0, 17, 10), PE(63, 3.8, 17, 10), PE(75, 4.5, 17, 10),
    PE(90, 5.4, 17, 10), PE(110, 6.6, 17, 10), PE(125, 7.4, 17, 10), PE(160, 9.5, 17, 10),
    PE(25, 2.0, 13.6, 12.5), PE(32, 2.4, 13.6, 12.5), PE(40, 3.0, 13.6, 12.5), PE(50, 3.7, 13.6, 12.5),
    PE(63, 4.7, 13.6, 12.5), PE(75, 5.6, 13.6, 12.5), PE(90, 6.7, 13.6, 12.5), PE(110, 8.1, 13.6, 12.5),
    PE(125, 9.2, 13.6, 12.5), PE(160, 11.8, 13.6, 12.5),
    PE(20, 2.3, 9, 20), PE(25, 3.0, 9, 20), PE(32, 3.6, 9, 20), PE(40, 4.5, 9, 20), PE(50, 5.6, 9, 20),
    PE(63, 7.1, 9, 20), PE(75, 8.4, 9, 20), PE(90, 10.1, 9, 20), PE(110, 12.3, 9, 20), PE(125, 14.0, 9, 20),
    PE(160, 17.9, 9, 20),
    PE(20, 3.0, 7.4, 25), PE(25, 3.5, 7.4, 25), PE(32, 4.4, 7.4, 25), PE(40, 5.5, 7.4, 25), PE(50, 6.9, 7.4, 25),
    PE(63, 8.6, 7.4, 25), PE(75, 10.3, 7.4, 25), PE(90, 12.3, 7.4, 25), PE(110, 15.1, 7.4, 25),
    PE(125, 17.1, 7.4, 25), PE(160, 21.9, 7.4, 25),
    STEEL(15, 21.3, 2.6, 3.2), STEEL(20, 26.9, 2.6, 3.2), STEEL(25, 33.7, 3.2, 4.0), STEEL(32, 42.4, 3.2, 4.0),
    STEEL(40, 48.3, 3.2, 4.0), STEEL(50, 60.3, 3.6, 4.5), STEEL(65, 76.1, 3.6, 4.5), STEEL(80, 88.9, 4.0, 5.0),
    STEEL(100, 114.3, 4.5, 5.4),
    COPPER(12, 0.6), COPPER(15, 0.7), COPPER(18, 0.8), COPPER(22, 0.9), COPPER(28, 0.9), COPPER(35, 1.2),
    COPPER(42, 1.2), COPPER(54, 1.2), COPPER(76.1, 1.5), COPPER(108, 1.5),
    THICK(15, 1.0), THICK(22, 1.2), THICK(28, 1.2), THICK(35, 1.5), THICK(54, 2.0),
    SCHEDULE("1/2", 0.840, 0.109), SCHEDULE("3/4", 1.050, 0.113), SCHEDULE("1", 1.315, 0.133),
    SCHEDULE("1-1/4", 1.660, 0.140), SCHEDULE("1-1/2", 1.900, 0.145), SCHEDULE("2", 2.375, 0.154),
    SCHEDULE("2-1/2", 2.875, 0.203), SCHEDULE("3", 3.500, 0.216), SCHEDULE("4", 4.500, 0.237),
    SCHEDULE("6", 6.625, 0.280),
    PVC_U(32, 1.6, 21, 10), PVC_U(40, 1.9, 21, 10), PVC_U(50, 2.4, 21, 10), PVC_U(63, 3.0, 21, 10),
    PVC_U(75, 3.6, 21, 10), PVC_U(90, 4.3, 21, 10), PVC_U(110, 4.2, 26, 10), PVC_U(125, 4.8, 26, 10),
    PVC_U(140, 5.4, 26, 10), PVC_U(160, 6.2, 26, 10),
    PVC_U(20, 1.5, 13.6, 16), PVC_U(25, 1.9, 13.6, 16), PVC_U(32, 2.4, 13.6, 16), PVC_U(40, 3.0, 13.6, 16),
    PVC_U(50, 3.7, 13.6, 16), PVC_U(63, 4.7, 13.6, 16), PVC_U(75, 5.6, 13.6, 16), PVC_U(90, 6.7, 13.6, 16),
    PVC_U(110, 6.6, 17, 16), PVC_U(125, 7.4, 17, 16), PVC_U(140, 8.3, 17, 16), PVC_U(160, 9.5, 17, 16),
};
/* clang-format on */
enum { ROW_COUNT = (int)(sizeof rows / sizeof rows[0]), SPELLINGS = 6 };

/* Written otherwise by many: cut out units of a size that goes without, and long forms. */
static void swap_text(char *key, const char *old, const char *new)
{
    char *at = strstr(key, old);
    if (at != NULL && strlen(new) <= strlen(old)) {
        const size_t tail = strlen(at + strlen(old)) + 1;
        memmove(at + strlen(new), at + strlen(old), tail);
        memcpy(at, new, strlen(new));
    }
}

static bool key_of(const char *text, char key[PW_WORDS_KEY])
{
    if (!pw_words_key(text, key)) {
        return false;
    }
    swap_text(key, "mm", "");
    swap_text(key, "mm", "");
    swap_text(key, "upvc", "pvcu");
    swap_text(key, "schedule", "sch");
    swap_text(key, "galvanized", "galvanised");
    swap_text(key, "inch", "in");
    swap_text(key, "\"", "");
    swap_text(key, "in", ""); /* "2 in", "2 inch" and 2" alike */
    return true;
}

bool pw_pipe_at(int32_t i, pw_pipe_size *out)
{
    if (i < 0 || i >= ROW_COUNT) {
        return false;
    }
    const row *r = &rows[i];
    const family *f = &families[r->family];
    memset(out, 0, sizeof *out);
    pw_copy(out->name, sizeof out->name, r->spelling[0]);
    out->outer_m = r->outer_mm * 1e-3;
    out->wall_m = r->wall_mm * 1e-3;
    out->bore_m = (r->outer_mm - 2.0 * r->wall_mm) * 1e-3;
    out->rough_m = f->rough_mm * 1e-3;
    out->modulus_pa = f->modulus_gpa * 1e9;
    out->hazen_c = f->hazen_c;
    out->class_pa = r->pn * 1e5;
    return true;
}

bool pw_pipe_find(const char *text, pw_pipe_size *out)
{
    char wanted[PW_WORDS_KEY];
    char known[PW_WORDS_KEY];
    if (!key_of(text, wanted)) {
        return false;
    }
    for (int32_t i = 0; i < ROW_COUNT; i++) {
        for (int32_t s = 0; s < SPELLINGS && rows[i].spelling[s] != NULL; s++) {
            key_of(rows[i].spelling[s], known);
            if (strcmp(wanted, known) == 0) {
                return pw_pipe_at(i, out);
            }
        }
    }
    return false;
}

int32_t pw_pipe_count(void)
{
    return ROW_COUNT;
}

const char *pw_pipe_name(int32_t i, char out[64])
{
    out[0] = '\0';
    if (i >= 0 && i < ROW_COUNT) {
        const bool by_both = rows[i].pn > 0.0; /* SDR and PN: people know one or the other */
        pw_copy(out, 64, rows[i].spelling[by_both ? SPELLINGS - 1 : 0]);
    }
    return out;
}

const char *pw_pipe_present(const char *word)
{
    static const char *const others[][2] = {{"poly", "pe"},     {"hdpe", "pe"},       {"mdpe", "pe"},
                                            {"ldpe", "pe"},     {"polythene", "pe"},  {"polyethylene", "pe"},
                                            {"upvc", "pvc"},    {"gi", "galvanised"}, {"galvanized", "galvanised"},
                                            {"iron", "steel"},  {"cu", "copper"},     {"plastic", "pe"},
                                            {"sch", "schedule"}};
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
        if (strcmp(word, others[i][0]) == 0) {
            return others[i][1];
        }
    }
    return word;
}

double pw_pipe_rating_pa(double sdr, double strength_pa, double safety)
{
    return 2.0 * strength_pa / safety / (sdr - 1.0);
}
