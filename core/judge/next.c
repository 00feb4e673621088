/* What to do next about a mishap that was not stopped, or too late. Practice of the trade (common practice). */
#include "judge/inside.h"

static const char *const next[PW_MISHAP_COUNT] = {
    [PW_MISHAP_SLOW_LEAK] =
        "Read the meter, or time the fall from cut-out to cut-in, with every outlet shut; a lower limit of "
        "starts narrows the band, but weigh it against the false stops.",
    [PW_MISHAP_BURST] = "Shorten the run limit, or add a watch on low pressure while the pump runs.",
    [PW_MISHAP_DRY_SOURCE] =
        "Add a probe above the intake, or a watch on no flow or low motor current while the pump runs.",
    [PW_MISHAP_LOST_AIR] =
        "Check the vessel's gas charge, empty of water, at every visit; a limit of starts sees a vessel that "
        "has lost most of it.",
    [PW_MISHAP_FLOAT_PASSING] =
        "Look at the tank's overflow at every visit; add a probe above the shut-off level of the float valve.",
    [PW_MISHAP_CHATTER] = "Let \"no flow\" last longer before it counts; renew the flow switch.",
    [PW_MISHAP_VALVE_CLOSED] = "Add a watch on no flow while the pump runs, and one on the highest pressure.",
    [PW_MISHAP_WELDED] =
        "No control sentence can open a welded contactor: fit a second contactor in series or a pressure relief "
        "valve, and let the warning reach a person.",
    [PW_MISHAP_FALLING_LEVEL] = "Dip the water level at every visit and keep the record; add a probe above the intake.",
    [PW_MISHAP_BLOCKED_INTAKE] =
        "Compare flow and pressure with the first visit's; add a watch on no flow while the pump runs.",
    [PW_MISHAP_AIR_DRAWN_IN] =
        "Test the suction pipe under pressure; add a watch on low motor current while the pump runs.",
    [PW_MISHAP_ENTRAINED_GAS] = "Let \"no flow\" last longer before it counts; lower the pump or fit a gas shroud.",
    [PW_MISHAP_LOST_PRIME] =
        "Renew the foot valve; add a watch on no flow while the pump runs, shorter than it stands dry.",
    [PW_MISHAP_RUPTURED_CELL] = "Press the gas valve: water there means a torn cell; a limit of starts sees it.",
    [PW_MISHAP_HIGH_PRECHARGE] = "Set the precharge with the vessel empty of water, a little below cut-in.",
    [PW_MISHAP_BACKFLOW] =
        "With the pump off and every outlet shut, watch the pressure fall; renew the non-return valve. A limit of "
        "starts sees it as a leak.",
    [PW_MISHAP_SLAM] = "Fit a spring-loaded non-return valve close to the pump; no control sentence softens it.",
    [PW_MISHAP_FLOAT_OPEN] =
        "Look at the tank's overflow at every visit; add a probe above the shut-off level of the float valve.",
    [PW_MISHAP_FLOAT_SHUT] = "Add a level probe that warns well below the float valve's level.",
    [PW_MISHAP_WORN] =
        "Compare shut-off pressure and flow with the pump's curve once a year; add a watch on a run that lasts too "
        "long.",
    [PW_MISHAP_CLOGGED] =
        "Compare the flow with the pump's curve; add a watch on low motor current while the pump runs.",
    [PW_MISHAP_SCALED] = "Measure the pressure at the far end at full flow once a year.",
    [PW_MISHAP_BACKWARDS] = "Check the direction of turning after all work on the supply: fit a phase sequence relay.",
    [PW_MISHAP_OVERLOAD] = "Add a watch on motor current above its full-load value, or on the winding.",
    [PW_MISHAP_FLOW_ON] = "A watch on no flow is blind now: add one on low motor current or on the length of a run.",
    [PW_MISHAP_FLOW_OFF] = "Test the flow switch by hand at every visit.",
    [PW_MISHAP_READS_HIGH] = "Compare the reading with a gauge at every visit.",
    [PW_MISHAP_READS_LOW] =
        "Compare the reading with a gauge at every visit; a pressure relief valve is what protects the pipes.",
    [PW_MISHAP_SENSOR_STUCK] = "Add a limit of run time; a pressure relief valve is what protects the pipes.",
    [PW_MISHAP_TAPPING] = "Blow the tapping through at every visit; add a limit of run time.",
    [PW_MISHAP_FROZEN] = "Lag the sensing line or heat it; add a limit of run time.",
    [PW_MISHAP_PROBE_WET] = "Clean the probe at every visit; do not let it be the only protection against dry running.",
    [PW_MISHAP_PROBE_DRY] =
        "Test the probe by lifting it at every visit; let a warning tell of a pump that does not run for long.",
    [PW_MISHAP_NOT_CLOSING] = "Add a watch on low pressure that lasts, so that a pump that does not start is told.",
    [PW_MISHAP_SUPPLY_LOST] = "No order helps without supply: a reserve in a tank does, or a generator.",
    [PW_MISHAP_BROWN_OUT] = "Add a watch on motor current or winding; fit an undervoltage relay.",
    [PW_MISHAP_PHASE_LOSS] = "Fit a phase monitor relay; add a watch on motor current.",
    [PW_MISHAP_GENERATOR_SAG] =
        "A larger generator or a soft starter; add a watch on motor current while the pump runs.",
    [PW_MISHAP_RELIEF] =
        "Look at the relief valve's outlet at every visit; a limit of run time sees one that never shuts.",
    [PW_MISHAP_SETTINGS_SWAPPED] = "Read the settings back aloud after typing, and watch one whole start and stop.",
    [PW_MISHAP_PSI_TYPED] = "Type every pressure with its unit and read the settings back.",
    [PW_MISHAP_MINUTES_TYPED] = "Type every time with its unit and read the settings back.",
};

static bool limits_run_time(const pw_order *order)
{
    bool found = false;
    for (int32_t i = 0; i < pw_order_count(order); i++) {
        int32_t starts;
        double window_s, running_s;
        found = found || (pw_order_limit(order, i, &starts, &window_s, &running_s) && running_s > 0.0);
    }
    return found;
}

/* A pressure that is told wrongly either leaves the pump standing or lets it run on; a limit of run time sees the
 * second only, and a sensor that does not move cannot tell of the first. */
static const char *next_for_sensor(const pw_order *order, const pw_outcome *outcome)
{
    if (outcome != NULL && outcome->starts == 0.0 && outcome->run_s <= 0.0)
        return "The pump never starts, so no limit of its run sees it: compare the reading with a gauge at every "
               "visit; \"warn when stopped for\" a time that no healthy day reaches tells of it.";
    if (outcome == NULL && limits_run_time(order))
        return "Compare the reading with a gauge at every visit; a pressure relief valve is what protects the pipes.";
    if (limits_run_time(order))
        return "The limit of run time does not see it: compare the reading with a gauge at every visit; a pressure "
               "relief valve is what protects the pipes.";
    return NULL;
}

const char *judge_next_for(const pw_plant *plant, pw_mishap_kind kind, const pw_outcome *outcome)
{
    bool sensor = kind == PW_MISHAP_SENSOR_STUCK || kind == PW_MISHAP_TAPPING || kind == PW_MISHAP_FROZEN;
    const char *special = sensor ? next_for_sensor(plant->order, outcome) : NULL;
    if (kind == PW_MISHAP_BURST && !limits_run_time(plant->order))
        special = "Add a limit of run time, or a watch on low pressure while the pump runs.";
    if (special != NULL)
        return special;
    const char *words = (int32_t)kind > 0 && (int32_t)kind < PW_MISHAP_COUNT ? next[kind] : NULL;
    return words != NULL ? words : "";
}
