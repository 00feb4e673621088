/* What advice says, in German. */
#include "say/catalogue.h"

/* clang-format off: one row a line; tools/words.py sorts and wraps them. */
static const say_row rows[] = {
    {"advise.axis-lost", "Wasserverlust im Jahr"},
    {"advise.axis-stops", "Anteil der störungsfreien Jahre mit Abschaltung"},
    {"advise.basis", "Worauf das beruht"},
    {"advise.blind", "Was unerkannt bleibt"},
    {"advise.blind-from-to",
     "Lecks von {0} bis {1}: bis zu {2} am Tag. Keine der versuchten Grenzen erkennt sie, ohne die gesunde "
     "Anlage abzuschalten."},
    {"advise.blind-none", "Kein versuchtes Leck bleibt unerkannt."},
    {"advise.blind-test",
     "Diese Lücke schließt keine Grenze, sondern eine Prüfung: alle Entnahmen schließen, warten, bis die "
     "Pumpe steht, und die Zeit bis zum Einschaltdruck messen. Bei jedem Besuch."},
    {"advise.blind-unknown", "Es wurden keine Leckgrößen versucht."},
    {"advise.blind-up-to",
     "Lecks bis {1}: bis zu {2} am Tag. Keine der versuchten Grenzen erkennt sie, ohne die gesunde Anlage "
     "abzuschalten."},
    {"advise.chart", "Abgeschaltete störungsfreie Jahre und Wasserverlust, bis eine Störung erkannt ist"},
    {"advise.chart-best", "das Beste, was diese Satzformen können"},
    {"advise.chart-words",
     "Der kleinste Wasserverlust bei so vielen abgeschalteten störungsfreien Jahren. Die jetzigen "
     "Einstellungen verlieren {0} im Jahr, die empfohlenen {1}."},
    {"advise.checked", "Die empfohlene Liste wurde in Betrieb simuliert: In {0} von {1} Simulationen griff die erste "
                       "Überwachung, wann es vorhergesagt war."},
    {"advise.column-cost", "Kosten im Jahr"},
    {"advise.column-lost", "Wasserverlust im Jahr"},
    {"advise.column-settings", "Einstellungen"},
    {"advise.column-stopped", "störungsfreie Jahre mit Abschaltung"},
    {"advise.column-unseen", "Störungen unerkannt"},
    {"advise.costs", "Was es kostet"},
    {"advise.costs-caption", "Jetzige und empfohlene Einstellungen in denselben Simulationen"},
    {"advise.earns", "Er bringt {0} im Jahr."},
    {"advise.extra-current", "Den Motorstrom zu messen, was hier fehlt, ersparte höchstens {0} im Jahr."},
    {"advise.extra-flow", "Ein Strömungswächter, der hier fehlt, ersparte höchstens {0} im Jahr."},
    {"advise.extra-level", "Ein Füllstandssensor im Tank, der hier fehlt, ersparte höchstens {0} im Jahr."},
    {"advise.extra-pressure", "Ein Drucksensor, der hier fehlt, ersparte höchstens {0} im Jahr."},
    {"advise.extra-supply", "Die Netzspannung zu messen, was hier fehlt, ersparte höchstens {0} im Jahr."},
    {"advise.extra-test",
     "Eine tägliche Prüfung, etwa ein Zähler, der abends und morgens bei geschlossenen Entnahmen abgelesen "
     "wird, ersparte höchstens {0} im Jahr von dem, was unerkannte Lecks kosten."},
    {"advise.extra-winding", "Ein Fühler in der Motorwicklung, der hier fehlt, ersparte höchstens {0} im Jahr."},
    {"advise.goes", "{1?Entfällt, weil sein Sensor nicht zählt|Entfällt, weil er nichts bringt}: {0}"},
    {"advise.keep", "Die Einstellungen lassen, wie sie sind: Nichts Versuchtes ist besser."},
    {"advise.kind", "{0} ({1} von {2})"},
    {"advise.kinds-more", "{0:eine weitere Art Störung|{0} weitere Arten Störung}"},
    {"advise.leaks", "Lecks von {0} bis {1}"},
    {"advise.left", "Was bleibt, wie es ist, und warum"},
    {"advise.left-at-most",
     "Höchstens so viele Starts in einer Zeit: Ein Start zu viel wartet, und die Entnahmen fallen so lange "
     "trocken. Das schont den Motor und meldet niemandem eine Störung; das tut die Überwachung der Starts."},
    {"advise.left-rest",
     "Pausen und Mindestlaufzeiten schonen Motor und Behälter, nicht das Wasser: Sie folgen aus den Grenzen "
     "der Anlage."},
    {"advise.left-retry",
     "{0?Die Wiederholversuche bleiben: Eine Störung, die kommt und geht, wird versucht wie bisher|Ein "
     "Wiederholversuch wird nicht empfohlen}. Ob eine Pumpe nach einer Sperre von selbst anlaufen darf, hängt "
     "davon ab, wer zu Schaden und wer zur Stelle kommen kann, nicht von diesen Summen."},
    {"advise.left-start",
     "Was die Pumpe ein- und ausschaltet: Es folgt aus dem Bedarf der Entnahmen, dem Behälter und der Pumpe, "
     "also aus der Auslegung. Wo keine Überwachung eine Störung erkennt, zeigt sie auch kein anderer Ein- "
     "oder Ausschaltdruck; er verschöbe nur die Zahl der Starts."},
    {"advise.left-starts",
     "Kein störungsfreies Jahr hatte {0} Starts einer Pumpe in einer Stunde; die Anlage verträgt {1}. {2?Kein "
     "Start muss also warten|Sie startet also vielleicht öfter, als sie verträgt: Das verlangt einen größeren "
     "Behälter oder einen weiteren Abstand von Ein- und Ausschaltdruck, keine Überwachung}."},
    {"advise.left-window",
     "Stunden, in denen die Pumpe laufen darf: Sie folgen aus Tarif, Ruhe und Gewohnheit, und die haben im "
     "Datenblatt keinen Preis."},
    {"advise.list", "Diese Einstellungen eingeben"},
    {"advise.method",
     "{0} Grenzen wurden an {1:einem störungsfreien Jahr|{1} störungsfreien Jahren}, {2} Störungen und {3} "
     "Leckgrößen versucht: jede einmal simuliert, während alle Überwachungen nur zusehen, was alle Grenzen "
     "zugleich beantwortet."},
    {"advise.misses-from", "Ab {0} würde etwas verpasst, das jetzt erkannt wird."},
    {"advise.new-line", "{0}   <- {1?neu|geändert}"},
    {"advise.no-miss", "Keine der versuchten lockereren würde mehr verpassen."},
    {"advise.no-stop", "Keine der versuchten strengeren würde die gesunde Anlage abschalten."},
    {"advise.not-shown",
     "So wenige störungsfreie Jahre, oder so wenig Verschiedenes darin, können höchstens {0:eine "
     "Fehlabschaltung|{0} Fehlabschaltungen} in {1} Jahren nicht zeigen; darum halten die Grenzen mehr "
     "Abstand als sonst. Mit --years mehr verlangen."},
    {"advise.of", "{0} von {1}"},
    {"advise.of-homes", "{0:einem Jahr eines Haushalts|{0} Jahren von {0} verschiedenen Haushalten}"},
    {"advise.of-repeats", "{0:einem Jahr|{0} Jahren} mit immer derselben Woche"},
    {"advise.of-trace", "{0:einem Jahr|{0} Jahren} mit einer immer wiederholten Aufzeichnung von {1} Tagen"},
    {"advise.of-years", "{0:einem Jahr|{0} Jahren} mit verschiedenen Entnahmen"},
    {"advise.prices",
     "Wasser zu {0} je Kubikmeter, ein Einsatz vor Ort zu {1}, eine neue Pumpe zu {2}, in einer Währung; jede "
     "Art Störung einmal in {3} Jahren, ihre Schweregrade gleich häufig (eigene Annahmen: die eigenen "
     "angeben). Eine Störung, die niemand erkennt, dauert {4} und kostet einen Einsatz mehr."},
    {"advise.prove-it", "Vor dem Eingeben: die Liste nachweisen und jede Überwachung vor Ort erproben."},
    {"advise.row-advised", "empfohlen"},
    {"advise.row-nothing", "ohne die hier gewählten Überwachungen"},
    {"advise.row-present", "jetzt"},
    {"advise.seen-briefly",
     "Der Verbrauch wurde nur {0} lang gemessen: Das zeigt weder, wie lange ein Schlauch laufen darf, noch, "
     "wie oft eine Pumpe an einem vollen Tag startet; darum bleiben die Grenzen für Laufzeit und Starts, wie "
     "sie sind. Mit einem Haushalt oder zufälligen Entnahmen im Datenblatt ließen sie sich wählen."},
    {"advise.sees-first", "Von dem, was versucht wurde, erkennt er als erster: {0}."},
    {"advise.slack",
     "Die störungsfreien Jahre bleiben, wie sie sind, wenn jede gewählte Grenze {0}-mal so streng ist. {1?Die "
     "Wahl kann {2} im Jahr neben der besten liegen|Die Wahl ist unter diesen Grenzen die beste}."},
    {"advise.stands-behind",
     "Was er erkennen würde, erkennt ein anderer zuerst: Er ist für den Tag da, an dem jener ausfällt."},
    {"advise.stops",
     "Die empfohlenen Einstellungen schalteten {0} von {1} grundlos ab: höchstens {2} Fehlabschaltungen im "
     "Jahr mit {3} % Sicherheit."},
    {"advise.stops-from", "Ab {0} würde er die gesunde Anlage abschalten."},
    {"advise.stops-no-bound",
     "Die empfohlenen Einstellungen schalteten {0} von {1} grundlos ab. Das wiederholt sich zu früh, um für "
     "andere Wochen eine Schranke zu geben."},
    {"advise.title", "Empfehlung"},
    {"advise.type",
     "Diese Einstellungen eingeben: {0:ein Satz|{0} Sätze} von {2} neu oder geändert, {1:einer|{1}} entfällt."},
    {"advise.why", "Warum, und wie weit von den Grenzen"},
    {"advise.why-high-current", "Eine blockierte oder überlastete Pumpe zieht mehr Strom."},
    {"advise.why-high-pressure", "Ein geschlossener Schieber oder ein versagendes Abschalten lässt den Druck steigen."},
    {"advise.why-low-current", "Eine Pumpe ohne Wasser zieht weniger Strom."},
    {"advise.why-low-pressure", "Ein Rohrbruch hält den Druck unten, während die Pumpe läuft."},
    {"advise.why-no-flow",
     "Eine Pumpe, die kein Wasser fördert, läuft trocken oder gegen einen geschlossenen Schieber."},
    {"advise.why-run",
     "Ein großes Leck, ein Rohrbruch oder ein ausbleibendes Abschalten lässt die Pumpe weiterlaufen."},
    {"advise.why-run-night", "Nachts entnimmt niemand so lange: Was die Pumpe laufen lässt, ist ein Leck."},
    {"advise.why-starts", "Ein Leck oder ein Behälter ohne Luft startet die Pumpe immer wieder."},
    {"advise.why-starts-night", "Nachts entnimmt niemand: Ein kleines Leck zeigt sich an den übrigen Starts."},
    {"advise.why-starts-row",
     "Ein Leck startet die Pumpe in gleichen Abständen, Tag und Nacht; Menschen machen Pausen."},
};
/* clang-format on */

SAY_CATALOGUE(say_de_advise)
