/* What a lock out tells, and what to look at first, second and third. Common practice of the trade, in our own words.
 */
#include "order/parts.h"

static const pw_order_advice advice_below[] = {
    [PW_TERM_PRESSURE] = {"the pressure fell too far: more water leaves than the pump brings, or it brings none",
                          "walk the lines for a burst, a leak or an outlet left open",
                          "see that the pump turns and that its delivery valve is open",
                          "see that the source still covers the intake"},
    [PW_TERM_FLOW] = {"the pump ran, but no water moved past the flow switch",
                      "see that the source covers the intake and that the suction side holds no air",
                      "see that the delivery valve is open, the strainer clean and the non-return valve free",
                      "see that the flow switch moves freely and is wired to the right input"},
    [PW_TERM_LEVEL] = {"the level fell too far: the store empties faster than it fills",
                       "see that what fills the store really runs", "look for an outlet, drain or leak that empties it",
                       "compare the level sensor with a dip by hand"},
    [PW_TERM_PROBE] = {"the probe stands dry: the water is below it", "dip the water level by hand",
                       "let the source recover, and see how fast it does",
                       "clean the probe and check its cable: dirt and a broken wire also read dry"},
    [PW_TERM_CONTACT] =
        {"the contact opened", "find out what opens this contact and look at that first",
         "check the wire and its terminals: a broken wire also reads open",
         "bridge the contact for a moment with the pump switched off, and see whether the input follows"},
    [PW_TERM_CURRENT] = {"the motor took too little current: it ran with next to no load",
                         "see that the source covers the intake: a dry pump takes little current",
                         "see that the delivery valve is open and the non-return valve free",
                         "look for a broken shaft or coupling, or a worn pump"},
    [PW_TERM_STOPPED] = {"the pump stood for longer than it should", "see whether anything asks for water at all",
                         "see that the sensor of the start sentence follows the real value",
                         "see that the supply is on and the pump is free to start"},
};

static const pw_order_advice advice_above[] = {
    [PW_TERM_PRESSURE] = {"the pressure rose too far: the pump pushed against a line that takes no water",
                          "compare the pressure sensor with a gauge",
                          "see that the pump really goes off when it is told to: a contactor can weld",
                          "check the precharge of the vessel with its water let out"},
    [PW_TERM_FLOW] = {"water flowed when or for longer than it should",
                      "look for an outlet left open or a float valve that passes",
                      "close the lines one by one and see which one stops the flow: the leak is behind it",
                      "see that the flow switch lets go when no water moves"},
    [PW_TERM_LEVEL] = {"the level rose too far: the store fills and does not stop", "see that the float valve shuts",
                       "see that the pump that fills it goes off when it is told to",
                       "compare the level sensor with a dip by hand"},
    [PW_TERM_PROBE] = {"the probe stands wet: the water has reached it",
                       "see that the float valve shuts and the pump that fills goes off",
                       "see that the overflow is free", "dry and clean the probe: a wet deposit also reads wet"},
    [PW_TERM_CONTACT] = {"the contact closed", "find out what closes this contact and look at that first",
                         "check the wires for a short: it also reads closed",
                         "open the contact by hand and see whether the input follows"},
    [PW_TERM_CURRENT] = {"the motor took too much current: it is overloaded or short of voltage",
                         "measure the voltage at the motor while it runs",
                         "measure the current of each phase: a lost phase overloads the others",
                         "see that the pump turns freely: sand or a worn bearing brakes it"},
    [PW_TERM_WINDING] = {"the winding grew too hot", "count the starts of the last hour: each one heats the winding",
                         "see that water flows past the motor and cools it",
                         "measure voltage and current of each phase"},
    [PW_TERM_STARTS] =
        {"the pump started too often",
         "check the precharge of the vessel with its water let out: lost air is the usual cause",
         "shut the outlets and watch whether the pressure still falls: then there is a leak or a valve that passes",
         "see whether cut-in and cut-out stand too close together"},
    [PW_TERM_RUNNING] = {"the pump ran for longer than it should in one go",
                         "look for an outlet left open, a leak or a float valve that passes",
                         "see whether the pump still reaches its cut-out: worn pump, low source, closed valve",
                         "see that the sensor of the stop sentence follows the real value"},
};

const pw_order_advice *pw_term_advice(const pw_term *term)
{
    bool counts_up = term->kind == PW_TERM_STARTS || term->kind == PW_TERM_RUNNING;
    return term->above || counts_up ? &advice_above[term->kind] : &advice_below[term->kind];
}
