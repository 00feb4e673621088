/* Registry: lines, fittings, pressure waves. */
#include <stddef.h>
#include <string.h>

#include "base/num.h"
#include "formula/fitting.h"
#include "formula/friction.h"
#include "formula/rows.h"
#include "formula/surge.h"
#include "formula/tables.h"
#include "formula/water.h"

#define TINY 1e-12
#define MANY 1e12
#define INCH 0.0254

static pw_status friction_factor(pw_reckoning *r)
{
    r->out[0] = pw_friction_factor(r->in[0], r->in[1], NULL);
    return PW_OK;
}

static pw_status swamee_jain(pw_reckoning *r)
{
    r->out[0] = pw_friction_swamee_jain(r->in[0], r->in[1]);
    return PW_OK;
}

static pw_status haaland(pw_reckoning *r)
{
    r->out[0] = pw_friction_haaland(r->in[0], r->in[1]);
    return PW_OK;
}

/* Bore and roughness of a pipe of the table, where they were not given. */
static pw_status of_table(pw_reckoning *r, const char *pipe, double *bore_m, double *rough_m, double *hazen_c)
{
    pw_pipe_size size;
    if (pipe == NULL) {
        return *bore_m > 0.0 ? PW_OK : pw_rows_complain(r, PW_MISSING, "given.bore", NULL, "`bore` or `pipe`", NULL);
    }
    const pw_status status = pw_rows_pipe_named(r, pipe, &size);
    if (status != PW_OK) {
        return status;
    }
    *bore_m = *bore_m > 0.0 ? *bore_m : size.bore_m;
    *rough_m = *rough_m > 0.0 ? *rough_m : size.rough_m;
    *hazen_c = *hazen_c > 0.0 ? *hazen_c : size.hazen_c;
    return PW_OK;
}

static pw_status pipe_loss(pw_reckoning *r)
{
    double unused = 1.0;
    pw_water w;
    const pw_status status = of_table(r, r->text[8], &r->in[0], &r->in[2], &unused);
    if (status != PW_OK) {
        return status;
    }
    pw_water_at(r->in[5], &w); /* or another liquid */
    w.density_kgm3 = r->in[6] > 0.0 ? r->in[6] : w.density_kgm3;
    w.viscosity_pas = r->in[7] > 0.0 ? r->in[7] : w.viscosity_pas;
    pw_pipe_loss(r->in[0], r->in[1], r->in[2], r->in[3], &w, r->in[4], &r->out[0], &r->out[5]);
    r->out[1] = r->out[0] * pw_pa_per_m(w.density_kgm3);
    r->out[2] = r->in[4] / pw_bore_area_m2(r->in[0]);
    r->out[3] = pw_reynolds(r->in[0], &w, r->in[4]);
    r->out[4] = r->out[3] > 0.0 ? pw_friction_factor(r->out[3], r->in[2] / r->in[0], NULL) : PW_INF;
    return PW_OK;
}

static pw_status hazen(pw_reckoning *r)
{
    double unused = 0.0;
    const pw_status status = of_table(r, r->text[5], &r->in[0], &unused, &r->in[2]);
    if (status != PW_OK) {
        return status;
    }
    if (!(r->in[2] > 0.0)) {
        return pw_rows_complain(r, PW_MISSING, "given.coefficient", NULL, "`coefficient` or `pipe`", NULL);
    }
    pw_hazen_loss(r->in[0], r->in[1], r->in[2], r->in[3], r->in[4], &r->out[0], NULL);
    r->out[1] = r->in[4] / pw_bore_area_m2(r->in[0]);
    return PW_OK;
}

static pw_status fitting(pw_reckoning *r)
{
    enum { MOST = 64 };
    const int32_t kind = pw_fitting_find(r->text[0]);
    if (kind < 0) {
        const char *names[MOST];
        const int32_t count = pw_fitting_count();
        for (int32_t i = 0; i < count && i < MOST; i++) {
            names[i] = pw_fitting_name(i);
        }
        const int32_t near = pw_near_match(r->text[0], names, count < MOST ? count : MOST);
        return pw_rows_complain(r, PW_REFERENCE, "given.fitting", r->text[0], "the name of a fitting",
                                near >= 0 ? names[near] : NULL);
    }
    r->out[0] = pw_fitting_k(kind, r->in[1], r->in[2]);
    r->out[1] = pw_fitting_k_turbulent(kind, r->in[1]);
    pw_copy(r->words[2], 64, pw_fitting_name(kind));
    pw_copy(r->words[3], 64, pw_fitting_row(kind)->source);
    return PW_OK;
}

static pw_status pipe(pw_reckoning *r)
{
    pw_pipe_size size;
    const pw_status status = pw_rows_pipe_named(r, r->text[0], &size);
    if (status != PW_OK) {
        return status;
    }
    pw_copy(r->words[0], 64, size.name);
    r->out[1] = size.bore_m;
    r->out[2] = size.outer_m;
    r->out[3] = size.wall_m;
    r->out[4] = size.rough_m;
    r->out[5] = size.modulus_pa;
    r->out[6] = size.hazen_c;
    return PW_OK;
}

static pw_status aged(pw_reckoning *r)
{
    pw_pipe_size size;
    const pw_status status = pw_rows_pipe_named(r, r->text[0], &size);
    if (status != PW_OK) {
        return status;
    }
    r->out[0] = size.rough_m;
    r->out[1] = pw_aged_rough_m(size.name, size.rough_m);
    return PW_OK;
}

static pw_status rating(pw_reckoning *r)
{
    r->out[0] = pw_pipe_rating_pa(r->in[0], r->in[1], r->in[2]);
    return PW_OK;
}

static pw_status bore_for(pw_reckoning *r)
{
    r->out[0] = pw_bore_for_m(r->in[0], r->in[1]);
    return PW_OK;
}

static pw_status k_of_kv(pw_reckoning *r)
{
    const double k = pw_k_of_kv(r->in[0], r->in[1]);
    r->out[0] = k;
    r->out[1] = k / r->in[2];
    r->out[2] = k / r->in[2] * r->in[1];
    return PW_OK;
}

static pw_status kv_of_k(pw_reckoning *r)
{
    r->out[0] = pw_sqrt(pw_k_of_kv(1.0, r->in[1]) / r->in[0]);
    return PW_OK;
}

static pw_status air_clearing(pw_reckoning *r)
{
    r->out[0] = pw_air_clearing_ms(r->in[0], r->in[1]);
    return PW_OK;
}

static pw_status two_k(pw_reckoning *r)
{
    r->out[0] = pw_fitting_2k(r->in[0], r->in[1], r->in[2], r->in[3]);
    return PW_OK;
}

static pw_status three_k(pw_reckoning *r)
{
    r->out[0] = pw_fitting_3k(r->in[0], r->in[1], r->in[2], r->in[3], r->in[4]);
    return PW_OK;
}

static pw_status equivalent(pw_reckoning *r)
{
    const char *names[16];
    int32_t count = 0;
    while (count < 16 && pw_equivalent_fitting(count) != NULL) {
        names[count] = pw_equivalent_fitting(count);
        count++;
    }
    r->out[0] = pw_equivalent_m(r->text[0], r->in[1] / INCH);
    if (r->out[0] > 0.0) {
        return PW_OK;
    }
    const int32_t near = pw_near_match(r->text[0], names, count);
    if (near < 0 || strcmp(names[near], r->text[0]) != 0) {
        return pw_rows_complain(
            r, PW_REFERENCE, "given.fitting", r->text[0],
            "elbow 45, elbow 90, elbow 90 long, tee branch, butterfly valve, gate valve or non-return "
            "valve",
            near >= 0 ? names[near] : NULL);
    }
    return pw_rows_refuse(r, "given.size", "a nominal size of the table, 3/4 to 6 in");
}

static pw_status wave_speed(pw_reckoning *r)
{
    pw_water w;
    pw_water_at(r->in[0], &w);
    w.density_kgm3 = r->in[5] > 0.0 ? r->in[5] : w.density_kgm3;
    w.bulk_pa = r->in[6] > 0.0 ? r->in[6] : w.bulk_pa;
    r->out[0] = pw_wave_speed_ms(&w, r->in[1], r->in[2], r->in[3], r->in[4]);
    r->out[1] = pw_joukowsky_pa(w.density_kgm3, r->out[0], 1.0);
    return PW_OK;
}

static pw_status hammer(pw_reckoning *r)
{
    pw_water water;
    pw_pipe_size size;
    pw_water_at(r->in[4], &water);
    double wave = r->in[2];
    if (r->text[5] != NULL) {
        const pw_status status = pw_rows_pipe_named(r, r->text[5], &size);
        if (status != PW_OK) {
            return status;
        }
        wave = pw_wave_speed_ms(&water, size.bore_m, size.wall_m, size.modulus_pa, 1.0);
    }
    if (!(wave > 0.0)) {
        return pw_rows_complain(r, PW_MISSING, "given.wave speed", NULL, "`wave speed` or `pipe`", NULL);
    }
    const double there_and_back_s = pw_wave_return_s(r->in[1], wave);
    const double part = pw_slow_closing_part(there_and_back_s, r->in[3]);
    r->out[0] = part * pw_joukowsky_pa(water.density_kgm3, wave, r->in[0]);
    r->out[1] = r->out[0] / pw_pa_per_m(water.density_kgm3);
    r->out[2] = wave;
    r->out[3] = there_and_back_s;
    return PW_OK;
}

/* clang-format off */
#define ROUGH PW_MAY("relative roughness", NONE, 0, 0.1, 0, "roughness over bore")
#define BORE  PW_MAY("bore", LENGTH, 1e-4, 20, 0, "of the pipe; where 0, that of `pipe`")
#define RUN   PW_NEED("length", LENGTH, 0, 1e6, "of the pipe; below 1 mm counts as 1 mm")
#define K_SUM PW_MAY("loss coefficient", NONE, 0, 1e9, 0, "sum over the fittings, on the line's own velocity")
#define FLOW  PW_NEED("flow", FLOW, -1e3, 1e3, "either way")
#define NAMED PW_MAYBE_WORDS("pipe", "of the pipe table, for what is not given")

static pw_status narrowed(pw_reckoning *r)
{
    r->out[0] = r->in[0] / pw_narrowed_divides(r->in[1]);
    return PW_OK;
}

static const pw_formula rows[] = {
    {.id = "friction factor",
     .title = "Darcy friction factor",
     .says = "64/Re below 2300, Colebrook and White above 4000, a rising cubic of the loss between.",
     .in = {PW_NEED("reynolds", NONE, TINY, MANY, "velocity times bore over kinematic viscosity"), ROUGH},
     .out = {PW_GIVE("friction factor", NONE, "Darcy's, four times Fanning's")},
     .source = "Colebrook, J. Inst. Civ. Eng. 11 (1939); the cubic is an own derivation",
     .work = friction_factor},
    {.id = "friction factor, Swamee and Jain",
     .title = "Friction factor, explicit",
     .says = "0.25 / log10(r/3.7 + 5.74/Re^0.9)^2, within 1 % of Colebrook and White.",
     .in = {PW_NEED("reynolds", NONE, 2300, MANY, "turbulent flow"), ROUGH},
     .out = {PW_GIVE("friction factor", NONE, "Darcy's")},
     .source = "Swamee and Jain, J. Hydraul. Div. ASCE 102 (1976)",
     .hand = "a check beside Colebrook and White, which is solved itself",
     .work = swamee_jain},
    {.id = "friction factor, Haaland",
     .title = "Friction factor, explicit",
     .says = "1/sqrt(f) = -1.8 log10((r/3.7)^1.11 + 6.9/Re): the first guess for Colebrook and White.",
     .in = {PW_NEED("reynolds", NONE, 2300, MANY, "turbulent flow"), ROUGH},
     .out = {PW_GIVE("friction factor", NONE, "Darcy's")},
     .source = "Haaland, J. Fluids Eng. 105 (1983)",
     .work = haaland},
    {.id = "pipe loss",
     .title = "Head lost in a line",
     .says = "Darcy and Weisbach: h = f L/d v^2/(2g) + K v^2/(2g).",
     .in = {BORE, RUN, PW_MAY("roughness", LENGTH, 0, 0.1, 0, "absolute; where 0, that of `pipe`"), K_SUM, FLOW,
            PW_MAY("temperature", TEMPERATURE, 0, 100, 20, "of the water"),
            PW_MAY_IN("density", "kg/m3", 0, 2e4, 0, "of another liquid; where 0, water"),
            PW_MAY_IN("viscosity", "Pa s", 0, 1e3, 0, "of another liquid; where 0, water"), NAMED},
     .out = {PW_GIVE("head loss", LENGTH, "in metres of the liquid"), PW_GIVE("pressure loss", PRESSURE, "the same"),
             PW_GIVE("velocity", VELOCITY, "mean over the bore"), PW_GIVE("reynolds", NONE, "of that velocity"),
             PW_GIVE("friction factor", NONE, "Darcy's"), PW_GIVE_IN("slope", "s/m2", "of the head over the flow")},
     .source = "Darcy-Weisbach; friction factor as above",
     .work = pipe_loss},
    {.id = "narrowed pipe",
     .title = "Head lost in a pipe grown narrow",
     .says = "The loss of the whole bore over (bore left)^5, at the same flow and friction factor.",
     .in = {PW_NEED("head loss", LENGTH, 0, 1e5, "of the whole bore"),
            PW_NEED("bore left", FRACTION, 0.01, 1, "part of the whole bore")},
     .out = {PW_GIVE("narrowed loss", LENGTH, "with what is left of the bore")},
     .source = "Darcy and Weisbach",
     .work = narrowed},
    {.id = "pipe loss, Hazen and Williams",
     .title = "Head lost in a line, for comparison with tables",
     .says = "h = 10.67 L Q^1.852 / (C^1.852 d^4.8704) + K v^2/(2g), cold water only.",
     .in = {BORE, RUN, PW_MAY("coefficient", NONE, 20, 200, 0, "C; where 0, that of `pipe`"), K_SUM, FLOW, NAMED},
     .out = {PW_GIVE("head loss", LENGTH, "in metres of water"), PW_GIVE("velocity", VELOCITY, "mean over the bore")},
     .source = "Williams and Hazen, SI form of the handbooks; below 1 cm/s an odd cubic, own derivation",
     .work = hazen},
    {.id = "fitting",
     .title = "Loss coefficient of a fitting by name",
     .says = "3K, 2K or a fixed value, as the table of fittings has it.",
     .in = {PW_WORDS("fitting", "a name of the table, such as elbow 90"),
            PW_NEED("bore", LENGTH, 1e-3, 5, "of the line"),
            PW_MAY("reynolds", NONE, 1, MANY, 1e5, "in the line")},
     .out = {PW_GIVE("loss coefficient", NONE, "at this Reynolds number"),
             PW_GIVE("turbulent loss coefficient", NONE, "as the simulation takes it"),
             PW_GIVE("name", NONE, "as the table spells it"), PW_GIVE("source", NONE, "of the row")},
     .source = "the row's own, see `source`",
     .work = fitting},
    {.id = "fitting by 2K",
     .title = "Loss coefficient by two constants",
     .says = "K = K1/Re + Kinf (1 + 1/d), d in inches.",
     .in = {PW_NEED("K1", NONE, 0, 1e5, "laminar constant"), PW_NEED("K infinite", NONE, 0, 1e4, "of a large fitting"),
            PW_NEED("bore", LENGTH, 1e-4, 3, "of the line"), PW_NEED("reynolds", NONE, 0, 1e12, "held at 1 and above")},
     .out = {PW_GIVE("K", NONE, "loss coefficient")},
     .source = "Hooper, Chem. Eng. 24 August 1981",
     .work = two_k},
    {.id = "fitting by 3K",
     .title = "Loss coefficient by three constants",
     .says = "K = K1/Re + Ki (1 + Kd/d^0.3), d in inches.",
     .in = {PW_NEED("K1", NONE, 0, 1e5, "laminar constant"), PW_NEED("Ki", NONE, 0, 1e4, "of a large fitting"),
            PW_NEED("Kd", NONE, 0, 100, "how it grows with less size"), PW_NEED("bore", LENGTH, 1e-4, 3, "of the line"),
            PW_NEED("reynolds", NONE, 0, 1e12, "held at 1 and above")},
     .out = {PW_GIVE("K", NONE, "loss coefficient")},
     .source = "Darby, Chem. Eng. April 2001",
     .work = three_k},
    {.id = "loss coefficient of a flow coefficient",
     .title = "K from Kv",
     .says = "K = 2 dp/(rho v^2) = 1.5992e-3 d^4/Kv^2 with d in mm.",
     .in = {PW_NEED_IN("Kv", "m3/h", 1e-6, 1e6, "flow at 1 bar"), PW_NEED("bore", LENGTH, 1e-3, 3, "of the line"),
            PW_MAY("friction factor", NONE, 1e-3, 1, 0.02, "of the pipe, for its length")},
     .out = {PW_GIVE("K", NONE, "loss coefficient"), PW_GIVE("L/D", NONE, "as bores of straight pipe"),
             PW_GIVE("length", LENGTH, "of straight pipe")},
     .source = "IEC 60534 (definition of Kv), 1000 kg/m3; own derivation",
     .hand = "turns a valve maker's figure into the `extra k` of a line",
     .work = k_of_kv},
    {.id = "flow coefficient of a loss coefficient",
     .title = "Kv from K",
     .says = "The same the other way.",
     .in = {PW_NEED("K", NONE, 1e-9, 1e9, "loss coefficient"), PW_NEED("bore", LENGTH, 1e-3, 3, "of the line")},
     .out = {PW_GIVE_IN("Kv", "m3/h", "flow at 1 bar")},
     .source = "IEC 60534 (definition of Kv), 1000 kg/m3; own derivation",
     .hand = "turns the `extra k` of a line into a valve maker's figure",
     .work = kv_of_k},
    {.id = "equivalent length",
     .title = "Fitting as a length of straight pipe",
     .says = "Metres of schedule 40 steel with C = 120 that lose as much as the fitting.",
     .in = {PW_WORDS("fitting", "elbow 45, elbow 90, elbow 90 long, tee branch, butterfly valve, gate valve or "
                                "non-return valve"),
            PW_NEED("size", LENGTH, 0.01, 1, "nominal, 3/4 to 6 in")},
     .out = {PW_GIVE("length", LENGTH, "of straight pipe")},
     .source = "NFPA 13, Table 23.4.3.1.1",
     .hand = "for those who compare with charts in feet; lines take loss coefficients",
     .work = equivalent},
    {.id = "pipe",
     .title = "A pipe of the table",
     .says = "Sizes and material of a pipe by its name.",
     .in = {PW_WORDS("pipe", "such as PE100 40 SDR 11, steel DN40, copper 22 x 0.9")},
     .out = {PW_GIVE("name", NONE, "as the table spells it"), PW_GIVE("bore", LENGTH, "by the least wall"),
             PW_GIVE("outer diameter", LENGTH, "nominal"), PW_GIVE("wall", LENGTH, "least"),
             PW_GIVE("roughness", LENGTH, "new"), PW_GIVE("modulus", PRESSURE, "of elasticity, short-term"),
             PW_GIVE("hazen coefficient", NONE, "C, new")},
     .source = "ISO 4427, EN 10255, EN 1057, ISO 1452 and schedule 40, see pipe.c",
     .work = pipe},
    {.id = "aged pipe",
     .title = "Roughness after years",
     .says = "Roughness of a pipe of the table when new, and as sizing takes it for the hard case.",
     .in = {PW_WORDS("pipe", "of the pipe table")},
     .out = {PW_GIVE("new", LENGTH, "roughness"), PW_GIVE("aged", LENGTH, "roughness")},
     .source = "Moody 1944 (new); Idelchik's handbook, from memory, or common practice (aged)",
     .work = aged},
    {.id = "pipe rating",
     .title = "Nominal pressure of a plastic pipe",
     .says = "2 sigma / (C (SDR - 1)).",
     .in = {PW_NEED("SDR", NONE, 2, 100, "outer diameter over wall"),
            PW_MAY("strength", PRESSURE, 1e5, 1e9, 1e7, "least required strength: 10 MPa for PE100"),
            PW_MAY("safety", NONE, 1, 10, 1.25, "design factor")},
     .out = {PW_GIVE("rating", PRESSURE, "at 20 degC")},
     .source = "ISO 4427",
     .hand = "the sheet states what its weakest part stands (`highest pressure`)",
     .work = rating},
    {.id = "bore for a velocity",
     .title = "Bore for a flow and a velocity",
     .says = "d = sqrt(4 Q / (pi v)).",
     .in = {PW_NEED("flow", FLOW, 0, 1e3, "to carry"), PW_NEED("velocity", VELOCITY, 1e-6, 100, "mean over the bore")},
     .out = {PW_GIVE("bore", LENGTH, "least")},
     .source = "definition",
     .hand = "a first guess; sizing tries the pipes of the table against loss and velocity",
     .work = bore_for},
    {.id = "air clearing velocity",
     .title = "Velocity that clears a falling pipe of air",
     .says = "sqrt(g D) (0.25 sqrt(sin a) + 0.825): behind a high point a slower flow leaves the air where it is.",
     .in = {PW_NEED("bore", LENGTH, 1e-4, 3, "of the falling pipe"),
            PW_NEED("fall", NONE, 0, 1, "metres down for each metre of pipe: the sine of its slope")},
     .out = {PW_GIVE("velocity", VELOCITY, "mean over the bore")},
     .source = "Wisner, Mohsen and Kouwen 1975, from memory",
     .work = air_clearing},
    {.id = "wave speed",
     .title = "Speed of pressure waves in a pipe",
     .says = "sqrt(K/rho) / sqrt(1 + c K D / (E e)).",
     .in = {PW_MAY("temperature", TEMPERATURE, 0, 100, 20, "of the water"),
            PW_NEED("bore", LENGTH, 1e-4, 20, "of the pipe"),
            PW_MAY("wall", LENGTH, 0, 1, 0, "thickness; where 0, rigid"),
            PW_MAY("modulus", PRESSURE, 0, 1e13, 0, "of elasticity of the wall; where 0, rigid"),
            PW_MAY("restraint", NONE, 0, 2, 1, "c, by how the pipe is held; 1: with joints that give"),
            PW_MAY_IN("density", "kg/m3", 0, 2e4, 0, "of another liquid; where 0, water"),
            PW_MAY("bulk modulus", PRESSURE, 0, 1e11, 0, "of another liquid; where 0, water")},
     .out = {PW_GIVE("wave speed", VELOCITY, "along the pipe"),
             PW_GIVE_IN("pressure per velocity", "Pa s/m", "Joukowsky's rho a")},
     .source = "Korteweg 1878",
     .work = wave_speed},
    {.id = "water hammer",
     .title = "Pressure rise of a stopped column",
     .says = "Joukowsky rho a v; of a valve that takes longer than the wave there and back, that part of it (Michaud).",
     .in = {PW_NEED("velocity", VELOCITY, 0, 100, "before"), PW_NEED("length", LENGTH, 0, 1e6, "of the pipe"),
            PW_MAY("wave speed", VELOCITY, 0, 2000, 0, "along the pipe; where 0, that of `pipe`"),
            PW_MAY("closing time", TIME, 0, 1e5, 0, "of the valve"),
            PW_MAY("temperature", TEMPERATURE, 0, 100, 20, "of the water"), NAMED},
     .out = {PW_GIVE("pressure rise", PRESSURE, "over the pressure before"), PW_GIVE("head rise", LENGTH, "the same"),
             PW_GIVE("wave speed", VELOCITY, "along the pipe"), PW_GIVE("there and back", TIME, "2 L / a")},
     .source = "Joukowsky 1898; Michaud 1878",
     .hand = "a slamming valve in the simulation stops the column at once (the same rho a v); a closing time is asked "
             "for only here",
     .work = hammer},
};
/* clang-format on */
const pw_formula_table pw_rows_pipe = {"Pipes and fittings", "water", rows, (int32_t)(sizeof rows / sizeof rows[0])};
