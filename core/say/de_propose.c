/* What a proof found and what to do next, in German. */
#include "say/catalogue.h"

/* clang-format off: one row a line; tools/words.py sorts and wraps them. */
static const say_row rows[] = {
    {"propose.add", "{0?Oder ergänzen|Ergänzen}: „{1}“{2? mit „{2}“}{3?: {3}}."},
    {"propose.lock-instead", "Die Warnung lässt die Pumpe laufen: besser abschalten lassen, „{0}“."},
    {"propose.more-room", "Den Satz suchen, der abgeschaltet hat, und ihm mehr Spielraum geben."},
    {"propose.relief-valve", "Satz {0} kommt nach dem Schaden: Die Rohre schützt nur ein Sicherheitsventil."},
    {"propose.shorten", "{0?Oder Satz|Satz} {1} verkürzen: „{2}“{3?: {3}}."},
    {"propose.sooner", "Satz {0} kommt nach dem Schaden: seine Zeit verkürzen."},
    {"propose.sooner-dry",
     "Satz {0} erkennt es, aber die Pumpe verträgt nur {1} Trockenlauf, alle Versuche zusammen: seine Zeit "
     "verkürzen, auch die nach dem Start nicht beachtete."},
    {"propose.warning-heard", "Darum muss sich ein Mensch kümmern: Die Warnung muss Tag und Nacht jemanden erreichen."},
    {"propose.why-at-rest", "eine Pumpe, die abgeschaltet sein soll und doch Strom zieht"},
    {"propose.why-high-current", "ein Zehntel über dem Nennstrom auf dem Typenschild"},
    {"propose.why-low-current", "sie zieht etwa {0} mit Wasser und {1} ohne: beides messen"},
    {"propose.why-pressure", "ohne Störung bleibt der Druck unter {0}, hier erreicht er {1}"},
    {"propose.why-run", "der längste störungsfreie Lauf dauert {0}, hier einer {1}"},
    {"propose.why-standing", "sie startet nie, also erkennt es keine Laufzeitbegrenzung"},
    {"propose.why-starts", "eine störungsfreie Stunde hat höchstens {0}, hier eine {1}"},
    {"propose.why-winding", "ihre Isolierung hält {0} aus"},
};
/* clang-format on */

SAY_CATALOGUE(say_de_propose)
