/* What a person on site would ask about a sheet, in German. */
#include "say/catalogue.h"

static const say_row rows[] = {
    {"check.above-cut-in", "{0}, über dem Einschaltdruck von {1}"},
    {"check.above-cut-out", "{0}, über dem Ausschaltdruck von {1}"},
    {"check.always-holds", "etwas anderes zeigt der Sensor nie an; es trifft also immer zu"},
    {"check.as-high-as-lifted", "höchstens {0}: so hoch heben Pumpen und Quellen ganz ohne Förderstrom"},
    {"check.at-least-flow", "mindestens {0}, ihren Mindestförderstrom"},
    {"check.below-cut-in", "etwas unter dem Einschaltdruck: {0}"},
    {"check.bore-for-switch", "ein Durchmesser, in dem {0} schneller als mit {1} fließen"},
    {"check.bore-gives", "{0}: höchstens {1} mit dem Wasserspiegel am Einlauf"},
    {"check.bore-runs-dry",
     "der Brunnen läuft bei jedem Einschalten leer: ein Tippfehler oder eine viel zu große Pumpe"},
    {"check.cut-out-of", "ein Ausschaltdruck von {0}"},
    {"check.inside-range", "ein Druck im Messbereich des Sensors {0}, {1} bis {2}"},
    {"check.less-than-shut", "weniger als {0}, den Druck, der dort gegen ein geschlossenes Ventil ansteht"},
    {"check.more-beside-pump", "mehr, bei einer Pumpe, die bis zu {0} fördert"},
    {"check.never-holds", "das zeigt der Sensor nie an; es trifft also nie zu, gleich welcher Druck ansteht"},
    {"check.never-stops", "die Pumpe erreicht ihn nie, sie wird also nie so abgeschaltet"},
    {"check.no-water-reaches", "nach {0} kommt nie Wasser: ein Tippfehler oder eine zu kleine Pumpe"},
    {"check.pressure-above", "Druck über {0}"},
    {"check.pressure-below", "Druck unter {0}"},
    {"check.pump-gives-at", "nur {0} von dieser Pumpe bei {1}"},
    {"check.starts-in-hour", "{0}: bis zu {1} Einschaltungen in der Stunde"},
    {"check.switch-makes", "{0}: er schließt bei {1}"},
    {"check.switch-never-makes", "dieser Strömungswächter schließt nie"},
    {"check.under-least-flow",
     "eine kleine Entnahme hält die Pumpe unter ihrem Mindestförderstrom: ihr Wasser wird warm, und sie "
     "verschleißt; ein niedrigerer Ausschaltdruck, eine kleinere Pumpe oder ein größerer Behälter hilft"},
    {"check.value", "{0}"},
    {"check.vessel-never-fills", "in diesen Behälter kommt nie Wasser: die Pumpe schaltet ein und sofort wieder aus"},
    {"check.vessel-runs-empty", "der Behälter ist leer, bevor die Pumpe einschaltet, und der Druck bricht ein"},
    {"check.vessel-too-small", "ein viel zu kleiner Behälter: die Pumpe taktet, solange gezapft wird"},
    {"check.volume-for", "etwa {0} für {1} in der Stunde, die strengste Grenze aus Ausrüstung und Reglereinstellungen"},
    {"check.water-must-rise", "{0}, das Wasser muss also auf {1} steigen"},
};

SAY_CATALOGUE(say_de_check)
