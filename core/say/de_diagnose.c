/* The diagnosis from readings, in German. */
#include "say/catalogue.h"

/* clang-format off: one row a line; tools/words.py sorts and wraps them. */
static const say_row rows[] = {
    {"diagnose.balance",
     "Nach den Zählern allein gingen {0} verloren, während nichts gezapft wurde, und der Druckbehälter gab "
     "{1} zwischen einem Ausschalten und dem nächsten Einschalten (Pumpe {2} im Lauf)."},
    {"diagnose.balance-agrees", "Das Datenblatt sagt {0}: beides passt, der Behälter ist, wie er sein soll."},
    {"diagnose.balance-large",
     "Das Datenblatt sagt {0}, also weniger: Einschaltdruck, Ausschaltdruck oder Behälter sind anders als im "
     "Datenblatt, oder die Pumpe fördert weniger."},
    {"diagnose.balance-small",
     "Das Datenblatt sagt {0}, also mehr: Dem Behälter fehlt Luft, sein Vordruck ist falsch, oder Ein- und "
     "Ausschaltdruck liegen näher beieinander als im Datenblatt."},
    {"diagnose.falls", "höchstens die erste Ablesung, {0}: das Manometer fällt"},
    {"diagnose.falls-by", "{0}: fällt um {1}"},
    {"diagnose.fault", "{0}"},
    {"diagnose.fault-of", "{0}, {1} ({2})"},
    {"diagnose.healthy", "Kein Fehler"},
    {"diagnose.healthy-counters", "eine gesunde Anlage: {0} Einschaltungen, {1} Laufzeit"},
    {"diagnose.healthy-rest", "eine gesunde Anlage: fällt um {0}"},
    {"diagnose.how",
     "Jede Möglichkeit wurde durch dieselben Ablesungen simuliert, in jeder Stärke und mit weniger oder mehr "
     "Verbrauch, als das Datenblatt sagt. Fehler, die nicht in der Liste stehen, wurden nicht betrachtet."},
    {"diagnose.kinds", "counters, quiet counters, gauge at rest oder gauge with the pump shut off"},
    {"diagnose.lead", "Am wahrscheinlichsten: {0}, {1}. Die Ablesungen lassen anderes offen."},
    {"diagnose.lead-sure", "{0}: {1} nach diesen Ablesungen."},
    {"diagnose.more-use", "Es wird mehr Wasser gezapft, das {0}-Fache des Datenblatts"},
    {"diagnose.needs", "eine Ablesung dieser Art braucht es"},
    {"diagnose.next-heading", "Was als Nächstes abzulesen ist"},
    {"diagnose.next-isolated",
     "Die Pumpe ausschalten, das Ventil hinter ihr und alle Zapfstellen schließen und das Manometer ab {0} "
     "für {1} beobachten. Was jetzt fällt, geht auf der Hausseite verloren, nicht durch die Pumpe zurück."},
    {"diagnose.next-quiet",
     "{0} lang nichts zapfen, etwa über Nacht, und die Einschaltungen von {1} vorher und nachher ablesen."},
    {"diagnose.next-rest",
     "Die Pumpe ausschalten, alle Zapfstellen schließen und das Manometer ab {0} für {1} beobachten."},
    {"diagnose.no-next",
     "Von den Ablesungen, die sich simulieren lassen, ist keine mehr übrig. Mit der Liste oben in der Hand "
     "die Anlage ansehen."},
    {"diagnose.probability", "Wahrscheinlichkeit"},
    {"diagnose.ran-most", "höchstens die Zeit, die es gedauert hat, {0}"},
    {"diagnose.read-counters", "{0}: {1} {1:Einschaltung|Einschaltungen}, {2} Laufzeit, in {3}, Verbrauch wie üblich"},
    {"diagnose.read-isolated", "Manometer bei abgesperrter Pumpe: {0} auf {1} in {2}, alles geschlossen"},
    {"diagnose.read-quiet",
     "{0}: {1} {1:Einschaltung|Einschaltungen}, {2} Laufzeit, in {3}, während nichts gezapft wurde"},
    {"diagnose.read-rest", "Manometer in Ruhe: {0} auf {1} in {2}, Pumpe aus, alles geschlossen"},
    {"diagnose.reading", "ein Objekt mit what, over, und starts und ran oder from und to"},
    {"diagnose.readings", "1 bis {0} Ablesungen"},
    {"diagnose.readings-heading", "Was abgelesen wurde"},
    {"diagnose.rivals-heading", "Wofür es spricht"},
    {"diagnose.span", "{0} bis {1}"},
    {"diagnose.starts-so", "{0}: {1} Einschaltungen"},
    {"diagnose.title", "Diagnose"},
    {"diagnose.unexplained",
     "Keine der Möglichkeiten sagt diese Ablesungen voraus. Ablesungen und Datenblatt prüfen, bevor der Liste "
     "zu glauben ist."},
    {"diagnose.what", "Möglichkeit"},
};
SAY_CATALOGUE(say_de_diagnose)
