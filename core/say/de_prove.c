/* What a proof found and what to do next, in German. */
#include "say/catalogue.h"

/* clang-format off: one row a line; tools/words.py sorts and wraps them. */
static const say_row rows[] = {
    {"prove.alarm-only", "erkannt, nicht abgeschaltet"},
    {"prove.burnt-before", "ein Motor war schon vor dem Fehler durchgebrannt, ohne sein Zutun"},
    {"prove.burnt-out", "ein Motor nach {0} durchgebrannt"},
    {"prove.cannot-stop",
     " Die Sperre kann diese Pumpe nicht abschalten: Ihr Schütz ist verschweißt und bleibt geschlossen."},
    {"prove.dry-running", "{0} Trockenlauf"},
    {"prove.elsewhere-unseen",
     "{0}, an anderen Stellen oder zu anderen Zeiten: {1} von {2} {2:Versuch bleibt|Versuchen bleiben} "
     "unerkannt. Am schlimmsten: {3}"},
    {"prove.false-stops", "{0} {0:Fehlabschaltung|Fehlabschaltungen}."},
    {"prove.fault", "{0}{1?, {1}}{2?, {2}}"},
    {"prove.fault-from", "{0}, ab {1} {2}"},
    {"prove.healthy-year", "Störungsfreies Jahr {0}"},
    {"prove.hot-water", "Wasser mit {0} in einer Pumpe"},
    {"prove.hunting",
     "keine Überwachung sprach an; eine Pumpe startete mehr als 1800-mal in einer Stunde, womit der Versuch "
     "endete{0?; bis dahin} {1}.{2? Keine Grenze der Anlage wurde überschritten.}"},
    {"prove.leak-never-seen", "Ein Leck von {0}: bis zu {1} am Tag, solange niemand nachsieht."},
    {"prove.leaks-never-seen",
     "Lecks von {0}{3?| (und weniger)} bis {1}{4?| (und mehr)}: bis zu {2} am Tag, solange niemand nachsieht."},
    {"prove.most-dry", "; bis zu {0} Trockenlauf in der Versuchszeit"},
    {"prove.most-hot-water", "; bis zu {0} im Wasser einer Pumpe"},
    {"prove.most-lost-a-day", "; bis zu {0} Verlust am Tag"},
    {"prove.most-missing", "; den Verbrauchern fehlen bis zu {0}"},
    {"prove.most-no-flow", "; bis zu {0} Lauf fast ohne Durchfluss"},
    {"prove.motor-burns-out", "; der Motor brennt durch"},
    {"prove.motor-burnt-before", "; der Motor war schon vorher durchgebrannt"},
    {"prove.never-seen", "nie erkannt"},
    {"prove.next-to-no-flow", "{0} Lauf fast ohne Durchfluss"},
    {"prove.no-harm", "nicht erkannt, kein Schaden"},
    {"prove.no-watch-fires", "{0}{1? bei {1} ({2})}: Keine Überwachung spricht an{3}."},
    {"prove.not-seen-within",
     "keine Überwachung sprach innerhalb von {0} an; in dieser Zeit {1}.{2? Keine Grenze der Anlage wurde "
     "überschritten.}"},
    {"prove.only-warns", " Es wird nur gewarnt: Pumpe und Wasser laufen weiter."},
    {"prove.outcome", "{0}: {1}"},
    {"prove.pressure-over", "bis zu {0}, wo das schwächste Teil {1} aushält"},
    {"prove.refused", "bei der Eingabe abgewiesen"},
    {"prove.refused-as-typed",
     "bei der Eingabe abgewiesen: Die neuen Einstellungen werden nicht angenommen, die alten bleiben."},
    {"prove.seen-after", "erkannt nach {0} durch „{1}“; bis dahin {2}.{3}"},
    {"prove.sentence-sees-largest", "Ein Satz würde das größte davon erkennen. {0}"},
    {"prove.starts", "{0} {0:Start|Starts}"},
    {"prove.stopped", "abgeschaltet"},
    {"prove.time-the-fall",
     "Alle Entnahmestellen{0? und Behälterzuläufe} schließen, abwarten, bis die Pumpe abschaltet, und die "
     "Zeit bis zum Einschaltdruck stoppen: Ein Leck von {1} braucht etwa {2}{3?, eines von {3} etwa {4}}."},
    {"prove.too-late", "zu spät abgeschaltet"},
    {"prove.too-late-burnt", " Bis dahin war der Motor durchgebrannt."},
    {"prove.too-late-dry", " So lange verträgt die Pumpe keinen Trockenlauf."},
    {"prove.too-late-pressure", " Der Druck lag über dem, was das schwächste Teil aushält."},
    {"prove.too-late-water", " Das Wasser in der Pumpe war heiß genug, um zu verbrühen und Kunststoff zu erweichen."},
    {"prove.too-late-winding", " Die Motorwicklung war heißer, als ihre Isolierung aushält."},
    {"prove.two-at-once", "Zwei zugleich. {0}"},
    {"prove.two-faults", "{0} und {1}"},
    {"prove.warned", "bei der Eingabe gewarnt"},
    {"prove.warned-as-typed",
     "bei der Eingabe gewarnt: Die Einstellungen werden angenommen, aber dieser Satz wird beanstandet."},
    {"prove.water-lost", "{0} Wasser verloren"},
    {"prove.water-missing", "{0} fehlen von den {1}, die die Verbraucher wollten"},
};
/* clang-format on */

SAY_CATALOGUE(say_de_prove)
