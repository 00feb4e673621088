/* The tables under data/ are those of the program. PW_REWRITE=1 writes them anew. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "formula/cable.h"
#include "formula/demand.h"
#include "formula/tables.h"
#include "formula/fitting.h"
#include "formula/pipe.h"

static char text[1u << 17];
static size_t used;

#define PUT(...) used += (size_t)snprintf(text + used, sizeof text - used, __VA_ARGS__)

static void compare(const char *name)
{
    static char found[1u << 17];
    char path[512];
    snprintf(path, sizeof path, "%s/data/%s.csv", PW_SOURCE_DIR, name);
    if (getenv("PW_REWRITE") != NULL) {
        FILE *out = fopen(path, "wb");
        assert_non_null(out);
        fwrite(text, 1, used, out);
        fclose(out);
    }
    FILE *file = fopen(path, "rb");
    if (file == NULL) {
        fail_msg("cannot read %s", path);
    }
    const size_t length = fread(found, 1, sizeof found - 1, file);
    fclose(file);
    found[length] = '\0';
    if (length != used || memcmp(found, text, used) != 0) {
        fail_msg("data/%s.csv is not what the program knows; run this test with PW_REWRITE=1", name);
    }
    used = 0;
}

static void pipes(void **state)
{
    (void)state;
    PUT("# Pipe sizes (core/formula/pipe.c). PE100: ISO 4427-2 / EN 12201-2, read, copies agree. steel, galvanised: EN "
        "10255:2004, walls DN15 to "
        "DN50 read, the rest from memory.\n# copper: EN 1057, read. schedule 40: ASME B36.10 / ASTM D1785, read. "
        "Roughness: Moody 1944. "
        "Hazen-Williams C and modulus: from memory.\n# PVC-U: ISO 1452, walls computed by ISO 4065 and compared "
        "with walls that were read, series by pressure class from memory.\npipe,outer diameter (mm),wall (mm),bore "
        "(mm),roughness "
        "(mm),modulus "
        "(GPa),Hazen-Williams C\n");
    for (int32_t i = 0; i < pw_pipe_count(); i++) {
        pw_pipe_size size;
        assert_true(pw_pipe_at(i, &size));
        PUT("%s,%.6g,%.6g,%.6g,%.6g,%.6g,%.6g\n", size.name, size.outer_m * 1e3, size.wall_m * 1e3, size.bore_m * 1e3,
            size.rough_m * 1e3, size.modulus_pa * 1e-9, size.hazen_c);
    }
    compare("pipes");
}

static void fittings(void **state)
{
    (void)state;
    static const char *const methods[] = {"3K", "2K", "fixed"};
    PUT("# Loss coefficients of fittings (core/formula/fitting.c).\n# 3K: K1/Re + Ki (1 + Kd/d^0.3), d in inches. 2K: "
        "K1/Re + Ki (1 + 1/d). "
        "fixed: Ki.\nfitting,method,K1,Ki,Kd,source\n");
    for (int32_t i = 0; i < pw_fitting_count(); i++) {
        const pw_fitting_kind *row = pw_fitting_row(i);
        PUT("%s,%s,%.6g,%.6g,%.6g,\"%s\"\n", row->name, methods[row->method], row->k1, row->ki, row->kd, row->source);
    }
    compare("fittings");
}

static void roughness(void **state)
{
    (void)state;
    PUT("# Roughness of pipes, new and after years (core/formula/tables.c).\nmaterial,new (mm),aged (mm),source\n");
    for (int32_t i = 0; pw_rough_at(i) != NULL; i++) {
        const pw_rough_row *row = pw_rough_at(i);
        PUT("%s,%.6g,%.6g,\"%s\"\n", row->material, row->new_m * 1e3, row->aged_m * 1e3, row->source);
    }
    compare("roughness");
}

static void equivalent_lengths(void **state)
{
    (void)state;
    PUT("# Equivalent length of fittings: schedule 40 steel, C = 120. NFPA 13, Table 23.4.3.1.1, read (copy).\n"
        "fitting,size (in),length (ft)\n");
    for (int32_t i = 0; pw_equivalent_fitting(i) != NULL; i++) {
        const char *fitting = pw_equivalent_fitting(i);
        double last = 0.0;
        assert_true(pw_fitting_find(fitting) >= 0); /* a fitting that lines know too */
        for (int32_t k = 0; pw_equivalent_in(k) > 0.0; k++) {
            const double feet = pw_equivalent_m(fitting, pw_equivalent_in(k)) / 0.3048;
            if (feet > 0.0) {
                PUT("%s,%g,%g\n", fitting, pw_equivalent_in(k), feet);
                assert_true(feet >= 0.7 * last); /* a larger fitting, a longer pipe; the valve's own step at 5 in */
                last = feet;
            }
        }
    }
    assert_true(pw_equivalent_m("elbow", 2.0) == 0.0);
    assert_true(pw_equivalent_m("gate valve", 1.0) == 0.0);
    compare("equivalent-lengths");
}

static void demand(void **state)
{
    (void)state;
    double units = 0;
    double gpm = 0;
    PUT("# Hunter's curve: IPC Appendix E, Table E103.3(3). Which points were read and which are from memory: "
        "core/formula/demand.c.\nflush,units,flow "
        "(US gpm)\n");
    for (int32_t flush = 0; flush < 2; flush++) {
        double last = 0;
        for (int32_t i = 0; pw_hunter_point((pw_flush)flush, i, &units, &gpm); i++) {
            PUT("%s,%g,%g\n", flush == PW_FLUSH_TANK ? "tank" : "valve", units, gpm);
            assert_true(gpm > last); /* more units, more flow */
            last = gpm;
        }
    }
    compare("hunter-curve");
    PUT("# Fixture units, private use: IPC Table E103.3(2).\nfixture,flush tank,flush valve\n");
    for (int32_t i = 0; i < PW_FIXTURE_COUNT; i++) {
        PUT("%s,%g,%g\n", pw_fixture_word(i), pw_fixture_units((pw_fixture)i, PW_FLUSH_TANK),
            pw_fixture_units((pw_fixture)i, PW_FLUSH_VALVE));
    }
    compare("fixture-units");
    PUT("# Loading units: EN 806-3:2006, Table 2, read.\nfixture,units,draw-off (L/s),least (L/s)\n");
    for (int32_t i = 0; pw_loading_at(i) != NULL; i++) {
        PUT("%s,%g,%g,%g\n", pw_loading_at(i)->word, pw_loading_at(i)->units, pw_loading_at(i)->draw_m3s * 1e3,
            pw_loading_at(i)->least_m3s * 1e3);
    }
    compare("loading-units");
    PUT("# Water of livestock: Agriculture and Agri-Food Canada, read.\nanimal,winter (L/d),summer (L/d)\n");
    for (int32_t i = 0; i < PW_STOCK_COUNT; i++) {
        PUT("\"%s\",%g,%g\n", pw_stock_word(i), pw_stock_m3((pw_stock)i, false) * 1e3,
            pw_stock_m3((pw_stock)i, true) * 1e3);
    }
    compare("stock-water");
}

static void electrical(void **state)
{
    (void)state;
    double hp = 0;
    double row[6];
    PUT("# Copper conductors, class 2, at 20 degC: IEC 60228, read.\nsection (mm2),resistance (ohm/km)\n");
    for (int32_t i = 0; i < pw_cable_count(); i++) {
        PUT("%g,%g\n", pw_cable_section_mm2(i), pw_cable_ohm_m(pw_cable_section_mm2(i)) * 1e3);
    }
    compare("conductors");
    PUT("# Starts of motors: NEMA MG 10, Table 2-3, read (copies agree). A: most in an hour; B: most starts x load "
        "inertia (lb ft2); C: least rest "
        "(s).\npower (hp),2 poles A,2 poles B,2 poles C,4 poles A,4 poles B,4 poles C\n");
    for (int32_t i = 0; pw_motor_starts_row(i, &hp, row); i++) {
        PUT("%g,%g,%g,%g,%g,%g,%g\n", hp, row[0], row[1], row[2], row[3], row[4], row[5]);
    }
    compare("motor-starts");
}

/* The list of fixtures in the sheet and the tables here are in the same order. */
static void words_agree(void **state)
{
    (void)state;
#define PW_X(id, key) assert_string_equal(pw_loading_at(PW_LOADING_##id)->word, key);
    PW_LOADING_LIST(PW_X)
#undef PW_X
#define PW_X(id, key) assert_string_equal(pw_fixture_word(PW_FIXTURE_##id), key);
    PW_FIXTURE_LIST(PW_X)
#undef PW_X
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pipes),       cmocka_unit_test(fittings),
        cmocka_unit_test(roughness),   cmocka_unit_test(equivalent_lengths),
        cmocka_unit_test(demand),      cmocka_unit_test(electrical),
        cmocka_unit_test(words_agree),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
