/* The fit of a sheet to a log, in German. */
#include "say/catalogue.h"

/* clang-format off: one row a line; tools/words.py sorts and wraps them. */
static const say_row rows[] = {
    {"fit.after", "wie angepasst"},
    {"fit.before", "wie im Blatt"},
    {"fit.compare-heading", "Protokoll und Blatt"},
    {"fit.demand", "Verbrauch"},
    {"fit.factor", "mal dem Blatt"},
    {"fit.friction", "Rauheit der Rohre"},
    {"fit.head", "Förderhöhe der Pumpe"},
    {"fit.how", "Verglichen wird, was im Protokoll gefunden wurde, mit dem, was die Anlage mit anderen Zahlen zeigen "
                "würde: Wer wann zapfte, steht nicht im Blatt. Die Spannen halten 90 %, alle Unbekannten zusammen."},
    {"fit.interval", "90 % in"},
    {"fit.is", "angepasst"},
    {"fit.lead", "Dieses Protokoll zeigt {0} von {1} Unbekannten."},
    {"fit.leak", "Leck"},
    {"fit.leak-flows", "Daneben fließt ein Leck von etwa {0} ({1}). Es ist keine Zahl des Blatts und wird nicht "
                       "hineingeschrieben: suchen und abdichten."},
    {"fit.least-log", "ein Protokoll von mindestens {0}"},
    {"fit.log-current", "den Strom"},
    {"fit.log-flow", "den Durchfluss"},
    {"fit.log-level", "den Wasserstand"},
    {"fit.log-power", "die Leistung"},
    {"fit.log-pressure", "den Druck"},
    {"fit.misfit", "Das Gefundene liegt {0} Streubreiten neben dem, was das Blatt sagt, und {1} neben dem Angepassten "
                   "(quadratisches Mittel)."},
    {"fit.most-numbers", "höchstens {0} Unbekannte auf einmal"},
    {"fit.no", "nicht gezeigt"},
    {"fit.number", "{0}"},
    {"fit.number-to-fit", "der Pfad einer Zahl des Blatts über 0 (* für jede Nummer), oder leak"},
    {"fit.off", "ändert sich"},
    {"fit.path", "Zahl"},
    {"fit.precharge", "Vordruck des Behälters"},
    {"fit.refused", "{0}: Alles von {1} passt. Kein Signal eines Protokolls würde es zeigen; für sich messen."},
    {"fit.refused-beside", "{0}: Alles von {1} passt, denn es zeigt sich wie {2}. Eines von beiden für sich messen."},
    {"fit.refused-finer",
     "{0}: Alles von {1} passt. Die Zeilen liegen für so kurze Läufe zu weit auseinander: in feineren "
     "Schritten aufzeichnen."},
    {"fit.refused-heading", "Was dieses Protokoll nicht sagen kann"},
    {"fit.refused-longer", "{0}: Alles von {1} passt. Ein längeres Protokoll derselben Signale würde es zeigen."},
    {"fit.refused-measure", "{0}: Alles von {1} passt. Zeichnen Sie auch {2} auf, dann zeigt es sich."},
    {"fit.stands", "stimmt"},
    {"fit.title", "An ein Protokoll angepasst"},
    {"fit.told", "Urteil"},
    {"fit.unexplained",
     "Auch angepasst zeigt das Blatt nicht, was gefunden wurde: Etwas ist anders, das nicht angepasst wurde, "
     "oder an der Anlage ist etwas nicht in Ordnung (diagnose). Übernehmen Sie diese Zahlen nicht, bevor das "
     "bekannt ist."},
    {"fit.values-heading", "Zahlen des Blatts"},
    {"fit.was", "im Blatt"},
    {"fit.what", "Unbekannte"},
};

SAY_CATALOGUE(say_de_fit)
