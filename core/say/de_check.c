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
    {"check.ground-at", "Gelände auf {0}"},
    {"check.inside-range", "ein Druck im Messbereich des Sensors {0}, {1} bis {2}"},
    {"check.it-cavitates", "dort kavitiert sie: weniger Förderhöhe und Förderstrom, und ihr Laufrad leidet"},
    {"check.less-than-shut", "weniger als {0}, den Druck, der dort gegen ein geschlossenes Ventil ansteht"},
    {"check.lifts-at-most",
     "weniger als {0} über ihrem Wasser: so hoch, wie die Luft hier Wasser ohne Förderstrom drückt"},
    {"check.lifts-by", "{0} über ihrem Wasser"},
    {"check.more-beside-pump", "mehr, bei einer Pumpe, die bis zu {0} fördert"},
    {"check.never-holds", "das zeigt der Sensor nie an; es trifft also nie zu, gleich welcher Druck ansteht"},
    {"check.never-stops", "die Pumpe erreicht ihn nie, sie wird also nie so abgeschaltet"},
    {"check.no-water-reaches", "nach {0} kommt nie Wasser: ein Tippfehler oder eine zu kleine Pumpe"},
    {"check.no-water-up", "kein Wasser kommt zu ihr hinauf, und nichts wird gefördert"},
    {"check.not-over-summit",
     "das Wasser kommt nicht darüber nach {0}: ein Tippfehler, eine zu kleine Pumpe oder ein Heber, den erst "
     "jemand füllen muss und den Luft beendet"},
    {"check.npsh-there", "{0} NPSH bei {1}"},
    {"check.npsh-wanted", "mindestens die {0}, die die Pumpe dort verlangt"},
    {"check.outlet-at-most", "höchstens {0}: was Pumpen und Quellen ganz ohne Durchfluss dorthin bringen"},
    {"check.outlet-needs", "{0}{1? (Vorgabe)|}"},
    {"check.outlet-of-tank",
     "höchstens {0}, was unter einem vollen Behälter ansteht; {1}, wo das Wasser nur ausläuft, wie an einer "
     "Tränke"},
    {"check.outlet-short", "diese Entnahmestelle bekommt nie ihren vollen Durchfluss"},
    {"check.part-gives-way", "Verbindungen, Filter oder Behälter halten das nicht lange; schreiben, wofür das "
                             "schwächste Teil gemacht ist, oder "
                             "eine kleinere Pumpe wählen"},
    {"check.part-stands", "{0}{1? (Vorgabe)|}"},
    {"check.pipe-bursts",
     "ein Rohr über seiner Druckstufe kriecht und platzt mit der Zeit; Anlauf und Stopp bringen Druckstöße "
     "dazu"},
    {"check.pipe-class", "{0}, gemacht für {1}"},
    {"check.pipe-stands", "ein Rohr für mindestens {0}, das Höchste, was bei geschlossenem Ventil darin ansteht"},
    {"check.pressure-above", "Druck über {0}"},
    {"check.pressure-below", "Druck unter {0}"},
    {"check.pump-brings", "Teile für mindestens {0}, so viel bringt {1} im Betrieb an den Druckstutzen"},
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
