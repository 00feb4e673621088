/* The worst that settings allow, in German. */
#include "say/catalogue.h"

/* clang-format off: one row a line; tools/words.py sorts and wraps them. */
static const say_row rows[] = {
    {"worst.after", "Nach"},
    {"worst.book-dry", "Wie sie so lange läuft bei „{0}“"},
    {"worst.book-run", "Wie sie so lange läuft"},
    {"worst.book-starts", "Wie sie so oft startet"},
    {"worst.book-stuck", "Wie es zu diesem Stillstand kommt; danach vergehen 30 Tage, und nichts startet"},
    {"worst.endless", "{^0}: Nichts begrenzt das{1?|, soweit sich das feststellen ließ}."},
    {"worst.how",
     "Gefunden, indem auf die Millisekunde jeder Zustand durchgegangen wurde, in den die Einstellungen kommen "
     "können; jedes Tagebuch wurde durch eben den Schritt getrieben, den auch die Simulation benutzt. Niemand "
     "gibt währenddessen eine Sperre frei, und die Steuerung behält ihre Versorgung. Was auf der Anlage "
     "geschehen kann, ist weniger: Hier dürfen die Sensoren alles melden."},
    {"worst.lead", "{0}: was diese Einstellungen schlimmstenfalls tun können, was immer die Sensoren melden."},
    {"worst.left-out",
     "So genommen, als könnte es jederzeit beliebig sein; das wirklich Schlimmste kann also kleiner sein: {0}."},
    {"worst.locked", "Gesperrt läuft sie nie."},
    {"worst.locks", "{0} wird gesperrt{1?, wegen „{1}“}"},
    {"worst.more", "und so weiter, noch {0} {0:Zeile|Zeilen}"},
    {"worst.most", "{^0}: nie länger als {1}{2?|; ein Tagebuch, das so weit kommt, wurde nicht gefunden}."},
    {"worst.never", "{^0}: nie."},
    {"worst.of-dry", "Laufen bei „{0}“"},
    {"worst.of-run", "ein Lauf"},
    {"worst.of-starts", "Starts in einer Stunde"},
    {"worst.of-stuck", "Stillstände"},
    {"worst.person", "Nur ein Mensch beendet eine Sperre durch {0}."},
    {"worst.reads", "{0} zeigt {1}"},
    {"worst.releases", "{0} wird freigegeben{1?, wegen „{1}“}"},
    {"worst.sentence", "Satz {0} ({1})"},
    {"worst.short", "Was immer die Sensoren melden, {0}: {1}."},
    {"worst.short-dry", "{1?nie länger als {1}|nie} bei „{0}“ (unschädlich bis {2})"},
    {"worst.short-dry-endless", "nichts beendet einen Lauf bei „{0}“ (unschädlich bis {1})"},
    {"worst.short-means",
     "So viel lassen die Einstellungen schlimmstenfalls zu, wenn jeder Sensor jederzeit alles melden könnte; "
     "in Klammern steht, was eine Pumpe nach dem Anlagenblatt verträgt. Wie es dazu kommt: worst SITE."},
    {"worst.short-open",
     "Mit der wenigen Arbeit, die hier darauf verwendet wurde, nicht entschieden, {0}: {1}. worst SITE sucht "
     "weiter."},
    {"worst.short-run", "kein Lauf länger als {0}"},
    {"worst.short-run-endless", "nichts begrenzt einen Lauf"},
    {"worst.short-starts", "nie mehr als {0} {0:Start|Starts} in irgendeiner Stunde (eine Pumpe verträgt {1})"},
    {"worst.short-starts-endless",
     "mehr als {0} Starts in einer Stunde lassen sich nicht ausschließen (eine Pumpe verträgt {1})"},
    {"worst.short-stuck", "es kann zu einem Stillstand kommen, den kein Wasserbedarf beendet{0?, wegen „{0}“}"},
    {"worst.short-wakes",
     "ein Wasserbedarf beendet jeden Stillstand{0?, außer einer Sperre, die auf einen Menschen wartet}"},
    {"worst.starts", "{0} startet{1?, wegen „{1}“}"},
    {"worst.starts-endless",
     "Starts in jeder Stunde: mehr als {0}{1?| lassen sich nicht ausschließen; das beste gefundene Tagebuch "
     "kommt auf {2}}."},
    {"worst.starts-most", "Starts in jeder Stunde: nie mehr als {0}{1?|; das beste gefundene Tagebuch kommt auf {2}}."},
    {"worst.stops", "{0} schaltet aus{1?, wegen „{1}“}"},
    {"worst.stuck", "Stillstände: Es kann zu einem kommen, den kein Wasserbedarf beendet{0?, wegen „{0}“}."},
    {"worst.stuck-none",
     "Stillstände: Aus jedem, außer einer Sperre, die auf einen Menschen wartet, startet die Pumpe wieder, "
     "wenn Wasser gebraucht wird."},
    {"worst.title", "Das Schlimmste, was die Einstellungen zulassen"},
    {"worst.unknown",
     "{^0}: Diese Einstellungen haben zu viele Zustände, um alle durchzugehen; es wird nichts behauptet."},
    {"worst.warns", "{0} warnt{1?, wegen „{1}“}"},
    {"worst.what", "Was die Sensoren melden und was die Einstellungen tun"},
};
/* clang-format on */

SAY_CATALOGUE(say_de_worst)
