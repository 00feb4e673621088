/* Headings, tables and sentences of the papers, in German. */
#include "say/catalogue.h"

/* clang-format off: one row a line; tools/words.py sorts and wraps them. */
static const say_row rows[] = {
    {"paper.a-day", "{0} am Tag"},
    {"paper.action", "Maßnahme: {0}"},
    {"paper.after", "Nach"},
    {"paper.alarm-only", "Nur gemeldet"},
    {"paper.alarm-only-how", "{0} erkannt durch eine Überwachung, die es nicht beenden kann"},
    {"paper.an-hour-formula", "je Stunde, Formel"},
    {"paper.an-hour-trial", "je Stunde, Versuch"},
    {"paper.as-it-is", "ohne Stufen"},
    {"paper.at-a-glance", "Auf einen Blick: wer welchen Fehler bei welcher Stärke erkennt (Nummer des Satzes)"},
    {"paper.at-once", "sofort, bei der Eingabe"},
    {"paper.band",
     "Blinder Bereich {0}: {1} bis {2}. Unteres Ende {3}; oberes Ende {4}. Verlust am Tag: {5}{6? am unteren "
     "Ende, {6} am oberen Ende}."},
    {"paper.blind-band", "blinder Bereich"},
    {"paper.blind-bands", "Blinde Bereiche bei Lecks"},
    {"paper.brief-edges-more", "{0} weitere auf der Kippe: --full."},
    {"paper.brief-full", "Alles, was geprüft wurde, und was vor Ort anzusehen ist: prove --full."},
    {"paper.brief-holes", "Das Schlimmste, das keine Überwachung erkennt{0?, von {0} Arten}:"},
    {"paper.burnt-after", "über {0}: nach {1} durchgebrannt"},
    {"paper.burnt-before", "vor dem Fehler durchgebrannt"},
    {"paper.by-both", "beide"},
    {"paper.by-neither", "keine"},
    {"paper.by-run-time", "Laufzeit"},
    {"paper.by-sentence", "Durch Satz"},
    {"paper.by-starts", "Starts"},
    {"paper.cannot-see", "Was diese Einstellungen nicht erkennen"},
    {"paper.catches",
     "Diese Einstellungen erkennen {0} von {1} erprobten Fehlern.{2? {2} {2:weiterer wird|weitere werden} "
     "schon bei der Eingabe beanstandet.}{3?{3}}{4? Sie erkannten jede erprobte Leckgröße.}"},
    {"paper.caution-computed",
     "Dieses Blatt ist aus dem Anlagenblatt gerechnet und nur so richtig wie dieses. Es ersetzt keine Prüfung "
     "vor Ort."},
    {"paper.caution-licensed",
     "Elektroarbeiten, Druckkessel, Trinkwasser und Brunnen sind vielerorts Fachbetrieben vorbehalten: "
     "Örtliche Vorschriften gehen vor."},
    {"paper.caution-mains",
     "Netzspannung und Wasser liegen hier nebeneinander. Vor dem Öffnen freischalten, gegen Wiedereinschalten "
     "sichern, Spannungsfreiheit feststellen."},
    {"paper.caution-pressure",
     "In Druckkesseln und Rohren steckt auch bei stehender Pumpe Energie. Vor dem Lösen von Verbindungen den "
     "Druck ablassen."},
    {"paper.caution-starts",
     "Eine Steuerung startet ihre Pumpe von selbst und ohne Vorwarnung, auch nach einer Freigabe oder bei "
     "Netzrückkehr."},
    {"paper.caution-wells",
     "Brunnen und Behälter: Absturz und schlechte Luft beachten, Schmutz und Keime vom Wasser fernhalten."},
    {"paper.cautions", "Vorsicht"},
    {"paper.chart-axes", "Leckgröße waagrecht, Wasserverlust senkrecht, beide logarithmisch."},
    {"paper.chart-hatching", "blinder Bereich: Bei diesen Lecks spricht keine Überwachung an"},
    {"paper.chart-leak", "Leck"},
    {"paper.chart-lost", "Wasserverlust, bis eine Überwachung anspricht; wenn keine: am Tag"},
    {"paper.chart-run", "{0}{1? bis {1}}: {2?erkannt durch Satz {2}|von keiner Überwachung erkannt}."},
    {"paper.chart-seen-by-none", "von keiner Überwachung erkannt: Verlust am Tag"},
    {"paper.chart-title", "Lecks: welche Überwachung sie erkennt und was sie bis dahin kosten"},
    {"paper.check", "Prüfung"},
    {"paper.check-headline", "{0?Dieses Anlagenblatt ist brauchbar|Dieses Anlagenblatt ist noch nicht brauchbar}: {1} "
                             "{1:Sache|Sachen} zu berichtigen, {2} anzusehen."},
    {"paper.check-lost", "{0} weitere Probleme werden nicht gezeigt: zuerst diese beheben."},
    {"paper.check-not-yet", "Dieses Anlagenblatt ist noch nicht brauchbar: nichts daran ist falsch."},
    {"paper.check-nothing", "Dieses Anlagenblatt ist brauchbar: nichts daran ist falsch."},
    {"paper.check-place", "{0?{0}|das Anlagenblatt}{1?, Zeile {1}|}{2?, Spalte {2}|}"},
    {"paper.check-problem", "{0}: {1}{3?; gefunden: {2?{2}: |}{3}|}{4?; richtig wäre: {4}|}.{5? {5}|}"},
    {"paper.check-settings", "Die Steuerungseinstellungen, wie sie verstanden wurden"},
    {"paper.check-site", "Die Anlage, wie sie verstanden wurde"},
    {"paper.check-whole-runs", "Nummer {0} lässt {1} ganze {1:Lauf|Läufe} in {2} durch; Anlauf {3} wird gesperrt."},
    {"paper.closed-form-caption", "Formel und Versuch nebeneinander"},
    {"paper.closed-form-not",
     "Diese Anlage hat keinen Druckkessel zwischen Ein- und Abschaltdruck, die Formel gilt also nicht; die "
     "Versuche oben gelten trotzdem."},
    {"paper.closed-form-source",
     "Formel für ein gleichmäßiges Leck q ohne andere Entnahme, mit dem Förderstrom Q und dem Nutzvolumen V "
     "des Druckkessels: Er leert sich in V/q und füllt sich in V/(Q-q), also q(Q-q)/(QV) Starts je Stunde und "
     "ein Lauf von V/(Q-q). Im Versuch kommt der Verbrauch dazu, der Starts beiträgt, und eine Pumpe, deren "
     "Förderstrom vom Druck abhängt."},
    {"paper.defaults", "Verwendete Vorgabewerte"},
    {"paper.defaults-caption", "Angenommene Werte"},
    {"paper.defaults-measure",
     "Diese Werte standen nicht im Anlagenblatt. Wo einer davon hier zählt: messen und eintragen."},
    {"paper.duty", "Betriebspunkt"},
    {"paper.duty-all-shut",
     "in dieser Tabelle sind alle Entnahmestellen geschlossen, und kein Kessel oder Behälter nimmt Wasser "
     "auf. „pumpwright size“ findet den Betriebspunkt mit offenen Entnahmestellen."},
    {"paper.duty-at", "bei {0}"},
    {"paper.duty-at-cut-in", "beim Einschaltdruck"},
    {"paper.duty-at-cut-out", "beim Abschaltdruck"},
    {"paper.duty-at-free-flow", "bei freiem Auslauf"},
    {"paper.duty-at-intake",
     "der Brunnen gibt nicht mehr als {0}: Die Pumpe zieht sein Wasser bis zur Ansaugöffnung ab und saugt Luft an. "
     "Drosseln, eine kleinere Pumpe wählen oder sie von einer Überwachung abschalten lassen."},
    {"paper.duty-at-work", "im Betrieb"},
    {"paper.duty-beyond-curve",
     "jenseits des letzten Punkts der Pumpenkennlinie, von dort verlängert: nur ein Anhalt. Eine Pumpe, die "
     "dort läuft, verschleißt und kann ihren Motor überlasten."},
    {"paper.duty-blocked", "kein Wasser kommt über {0} auf {1}: ohne Förderstrom hebt die Pumpe es bis {2}."},
    {"paper.duty-bore-falls", "Absenkung"},
    {"paper.duty-caption", "Wo die Pumpenkennlinie die Anlage trifft, bei Ruhewasserständen"},
    {"paper.duty-current", "Strom"},
    {"paper.duty-dry",
     "kein Wasser kommt zur Pumpe hinauf: sie steht höher über ihrem Wasser, als die Luft drücken kann."},
    {"paper.duty-energy", "Energie"},
    {"paper.duty-falls", "bei diesem Förderstrom sinkt der Wasserspiegel im Brunnen um {0}."},
    {"paper.duty-flow", "Menge"},
    {"paper.duty-full", "{0} ist voll und sein Schwimmerventil geschlossen: nichts fließt, bis sein Wasser fällt."},
    {"paper.duty-head", "Höhe"},
    {"paper.duty-held-at", "Bei"},
    {"paper.duty-kwh-gal", "kWh je 1000 gal"},
    {"paper.duty-kwh-m3", "kWh je m3"},
    {"paper.duty-nothing",
     "die Pumpe fördert hier nichts; ihre Nullförderhöhe liegt unter dem, was die Anlage verlangt."},
    {"paper.duty-npsh-short",
     "die Pumpe verlangt {0} NPSH und hat {1}. Sie wird kavitieren: weniger Förderstrom, eine kürzere oder "
     "weitere Saugleitung oder ein tieferer Einlauf."},
    {"paper.duty-npsh-there", "NPSH da"},
    {"paper.duty-over",
     "das Wasser wird über {0} auf {1} gehoben; dahinter läuft die Leitung teilgefüllt, und was es dort "
     "fällt, ist verloren."},
    {"paper.duty-power-in", "Aufnahme"},
    {"paper.duty-pump", "{0}, {1}"},
    {"paper.duty-pump-efficiency", "η Pumpe"},
    {"paper.duty-remark", "{0} {1}: {2}"},
    {"paper.duty-siphon",
     "die Leitung läuft über {0} auf {1} voll, als Heber: dort herrschen {2}. Zum Füllen muss die Pumpe über "
     "diese Höhe heben, und eindringende Luft beendet ihn."},
    {"paper.duty-static", "Stat."},
    {"paper.duty-torn",
     "über {0} auf {1} reißt die Wassersäule ab: {2}, nichts als Dampf, bleiben dort, und dahinter läuft die Leitung "
     "teilgefüllt. Was das Wasser dort fällt, ist verloren bis auf das, was die Luft hochdrückt; dafür muss die Pumpe "
     "erst über diese Höhe heben."},
    {"paper.edge-open", "offen: Die Versuchsreihe endet bei {0}"},
    {"paper.edge-seen-above", "zwischen {0} (nicht erkannt) und {1} (erkannt)"},
    {"paper.edge-seen-below", "zwischen {0} (erkannt) und {1} (nicht erkannt)"},
    {"paper.elsewhere", "An anderen Stellen und zu anderen Zeiten"},
    {"paper.elsewhere-caption", "Dieselben Fehler anderswo oder zu anderer Zeit"},
    {"paper.false-stops", "Fehlabschaltungen"},
    {"paper.false-stops-alike",
     "In {0} {0:störungsfreien Jahr|störungsfreien Jahren} aus gleichen Tagen schalteten die Einstellungen "
     "die Anlage {1}-mal grundlos ab: {2} im Jahr. Wie oft sie das im Betrieb tun, ist nicht bekannt: Am "
     "Verbrauch ändert sich von Woche zu Woche nichts."},
    {"paper.false-stops-bound",
     "Jedes Jahr hat seinen eigenen zufälligen Verbrauch; eine Sperre wird nach einer Stunde von Hand "
     "freigegeben. Grenze: exakt, einseitig, für Anzahlen nach dem Poisson-Gesetz (Garwood 1936)."},
    {"paper.false-stops-homes",
     "Jedes Jahr ist ein anderer Haushalt dieser Größe mit eigenen Gewohnheiten: {1} von {0} "
     "{0:Haushalt|Haushalten} hatten Fehlabschaltungen, bis zu {2} in einem Jahr. Haushalte unterscheiden "
     "sich stärker als die Jahre eines Haushalts; die Grenze gilt für ihr Mittel und ist um so weiter, je "
     "mehr sie sich unterscheiden. Eine Sperre wird nach einer Stunde von Hand freigegeben. Grenze: exakt, "
     "einseitig, für Anzahlen nach dem Poisson-Gesetz (Garwood 1936)."},
    {"paper.false-stops-repeat",
     "Feste Entnahmen wiederholen sich: Weitere Jahre zeigen nichts Neues, und eine Grenze folgt nicht. Ein "
     "Haushalt, zufällige Entnahmen oder eine Messreihe würden andere Tage zeigen. Eine Sperre wird nach "
     "einer Stunde von Hand freigegeben."},
    {"paper.false-stops-seen",
     "Die Messreihe wiederholt sich: {0} {0:Tag|Tage} gesehen, wie viele Jahre auch gerechnet werden. Die "
     "Grenze stützt sich nur auf diese Tage und auf diese eine Anlage. Eine Sperre wird nach einer Stunde von "
     "Hand freigegeben. Grenze: exakt, einseitig, für Anzahlen nach dem Poisson-Gesetz (Garwood 1936)."},
    {"paper.false-stops-were",
     "In {0} {0:störungsfreien Jahr|störungsfreien Jahren}{1?, {0:das|die zusammen} {1} "
     "{0:dauerte|dauerten},} schalteten die Einstellungen die Anlage {2}-mal grundlos ab: {3} im Jahr. Mit "
     "{4} % Sicherheit liegt die wahre Zahl nicht über {5} im Jahr, solange die Anlage so genutzt wird, wie "
     "ihr Blatt sagt."},
    {"paper.fault", "Fehler"},
    {"paper.faults-tried", "Erprobte Fehler"},
    {"paper.formula", "Formel"},
    {"paper.found", "Befund"},
    {"paper.fri", "Fr"},
    {"paper.glance-by", "durch {0}{1?, zu spät}{2?, nur gemeldet}"},
    {"paper.glance-no-harm", "kein Schaden"},
    {"paper.glance-outlasted", "noch kein Schaden"},
    {"paper.glance-refused", "abgewiesen"},
    {"paper.glance-unprotected", "Schutz verloren"},
    {"paper.glance-warned", "gewarnt"},
    {"paper.healthy-burns",
     "Schon auf der störungsfreien Anlage brennt ein Motor durch, danach steht seine Pumpe still. Die Zahl "
     "der Fehlabschaltungen unten ist dann wertlos, ebenso, was über Fehler gesagt wird. Zuerst Motor, "
     "Belastung oder Starthäufigkeit in Ordnung bringen."},
    {"paper.healthy-cavitates",
     "Schon an der gesunden Anlage kavitiert eine Pumpe {0} % ihrer Laufzeit: Sie hat weniger NPSH, als sie verlangt. "
     "Eine "
     "kürzere oder weitere Saugleitung, weniger Saughöhe oder ein höherer Einschaltdruck hilft."},
    {"paper.healthy-deadhead",
     "Schon auf der störungsfreien Anlage läuft eine Pumpe {0} am Tag fast ohne Durchfluss. Sie bei fehlendem "
     "Durchfluss abschalten oder den Abschaltdruck senken."},
    {"paper.healthy-dry",
     "Schon auf der störungsfreien Anlage läuft eine Pumpe im Jahr {0} trocken; ihre Grenze ist {1}."},
    {"paper.healthy-fails", "Die Anlage versagt schon ohne jede Störung. Zuerst in Ordnung bringen:"},
    {"paper.healthy-hot-water", "Schon auf der störungsfreien Anlage wird das Wasser in einer Pumpe {0} heiß."},
    {"paper.healthy-hunts",
     "Schon die störungsfreie Anlage taktet: Eine Pumpe startet mehr als 1800-mal in einer Stunde, und das "
     "simulierte Jahr endet dort. Die Zahl der Fehlabschaltungen unten ist dann wertlos, ebenso, was über "
     "Fehler gesagt wird. Zuerst den Abstand zwischen Ein- und Abschaltdruck vergrößern oder einen "
     "Druckkessel einbauen."},
    {"paper.healthy-misses",
     "Schon auf der störungsfreien Anlage fehlen den Verbrauchern {0} % des gewünschten Wassers. Fehler "
     "zählen nur dann als Schaden, wenn die Hälfte dazukommt."},
    {"paper.healthy-pressure",
     "Schon auf der störungsfreien Anlage steigt der Druck irgendwo auf {0}; das schwächste Teil hält {1} "
     "aus. Fehler zählen nur dann als Überdruck, wenn sie ihn noch erhöhen."},
    {"paper.healthy-starts",
     "Schon die störungsfreie Anlage startet eine Pumpe bis zu {0}-mal in einer Stunde; ihre Grenze ist {1}. "
     "Ein größerer Druckkessel, ein größerer Abstand zwischen Ein- und Abschaltdruck oder eine längere Pause "
     "senkt das. Fehler zählen nur dann als Verschleiß, wenn ein Viertel dazukommt."},
    {"paper.healthy-stops",
     "Schon die störungsfreie Anlage wird {0}-mal im Jahr grundlos gesperrt{1?, meist durch Satz {1}}. Ein "
     "Fehler, der zur selben Stunde auf dieselbe Sperre trifft, gilt nicht als erkannt."},
    {"paper.healthy-unknown",
     "Die störungsfreie Anlage wurde nicht beurteilt: Es wurde kein störungsfreies Jahr simuliert."},
    {"paper.healthy-winding", "Schon auf der störungsfreien Anlage erreicht eine Wicklung {0}; ihre Grenze ist {1}."},
    {"paper.hottest-water", "Heißestes Wasser"},
    {"paper.hottest-winding", "Heißeste Wicklung"},
    {"paper.in-trial", "Versuch"},
    {"paper.invented",
     "Erfundene Anlage: Dahinter steht kein wirklicher Ort, keine Person, kein Produkt und keine Messung."},
    {"paper.invented-stamp", "ERFUNDEN"},
    {"paper.leak", "Leck"},
    {"paper.leaks-from-to", "von {0} bis {1}"},
    {"paper.leaks-from-up", "ab {0}"},
    {"paper.leaks-up-to", "bis {0}"},
    {"paper.limit-leaks", "{0} Starts in {1} brauchen {2} je Stunde: Das tun Lecks von {3} bis {4}."},
    {"paper.limit-most-starts",
     "Die Pumpe fördert {0} beim Bezugsdruck, und der Druckkessel fasst {1} zwischen Ein- und Abschaltdruck; "
     "ein Leck allein kann also nicht mehr als {2} Starts je Stunde auslösen."},
    {"paper.limit-no-leak", "{0} Starts in {1} brauchen {2} je Stunde: Das erreicht kein Leck allein."},
    {"paper.limit-run", "Ein Lauf von {0} braucht ein Leck von mindestens {1}."},
    {"paper.limits", "Grenzen der Anlage"},
    {"paper.limits-are", "{0} Starts je Stunde, {1} Trockenlauf, {2} am schwächsten Teil"},
    {"paper.limits-formula-only",
     "So sagt es die Formel, für ein Leck allein, mit Förderstrom und Leck bei jedem Druck zwischen Ein- und "
     "Abschaltdruck. Entnahmen daneben, eine Pause oder eine Mindestlaufzeit ändern das, wie die Versuche in "
     "der Tabelle unten zeigen."},
    {"paper.limits-gap",
     "Die Begrenzungen lassen eine Lücke: Lecks von {0} bis {1} sind für die eine zu groß und für die andere "
     "zu klein."},
    {"paper.limits-leave-below", "Die Begrenzungen lassen alles unter {0} unerkannt."},
    {"paper.limits-meet",
     "Die Begrenzungen schließen aneinander an: Jedes Leck ab {0} wird von einer der beiden erkannt."},
    {"paper.limits-neither-below", "Keine erkennt ein Leck unter {0}."},
    {"paper.longest-run", "Längster Lauf"},
    {"paper.mild", "leicht"},
    {"paper.mon", "Mo"},
    {"paper.never", "nie"},
    {"paper.never-seen", "Nie erkannt"},
    {"paper.never-seen-how",
     "{0} von keiner Überwachung, und es kostet Wasser, Verschleiß oder die Verbraucher ihr Wasser"},
    {"paper.never-seen-hunts", "nie erkannt, Pumpe taktet"},
    {"paper.never-sees-leaks", " Lecks {0} können sie nie erkennen: bis zu {1} am Tag."},
    {"paper.no-blind-band", "Kein blinder Bereich: Jede erprobte Leckgröße wurde von einer Überwachung erkannt."},
    {"paper.no-defaults", "Keine: Jeder Wert steht im Anlagenblatt."},
    {"paper.no-harm", "Nicht erkannt, kein Schaden"},
    {"paper.no-harm-how", "{0}: nichts verloren, nichts vermisst, keine Grenze überschritten"},
    {"paper.no-healthy-year",
     "Es wurde kein störungsfreies Jahr erprobt, über Fehlabschaltungen ist also nichts bekannt."},
    {"paper.no-run-limit",
     "Neben der Startbegrenzung gibt es keine Laufzeitbegrenzung: Ein Leck nahe der vollen Fördermenge hält "
     "die Pumpe am Laufen, ohne dass ein Start zu zählen wäre."},
    {"paper.no-starts-limit",
     "Neben der Laufzeitbegrenzung gibt es keine Startbegrenzung: Jedes Leck, bei dem die Pumpe den "
     "Abschaltdruck erreicht, bleibt unerkannt."},
    {"paper.none", "keine"},
    {"paper.note", "Anmerkung"},
    {"paper.nothing-on-edge", "Im Rahmen der Spielräume kippt nichts."},
    {"paper.nothing-unseen", "Nichts von dem, was hier erprobt wurde, blieb unerkannt und richtete Schaden an."},
    {"paper.numbered", "{0}: {1}"},
    {"paper.on-the-edge", "Auf der Kippe"},
    {"paper.on-the-edge-how",
     "Jeweils im Rahmen dessen, was niemand genau weiß: Pumpe nach ihrer Abnahmeklasse, Entnahmen, Vordruck, "
     "Drucksensor, Ort eines Lecks, eins nach dem anderen verändert."},
    {"paper.one-proposal", "Ein Vorschlag"},
    {"paper.one-run", "Ein Lauf"},
    {"paper.outlasted", "Noch kein Schaden"},
    {"paper.outlasted-how", "{0}: Behälter und Druckkessel überdauern die erprobte Zeit"},
    {"paper.outside", "Hier nicht erprobt, also auch nicht beurteilt"},
    {"paper.outside-electric", "Isolations- und Erdungsfehler, Blitzschlag und eine selbst defekte Steuerung"},
    {"paper.outside-pairs", "zwei Fehler zugleich (auf Wunsch)"},
    {"paper.outside-places", "dieselben Fehler an anderen Stellen (auf Wunsch)"},
    {"paper.outside-sizes", "Lecks, die kleiner oder größer sind als die erprobten"},
    {"paper.outside-suction-leak", "ein Leck zwischen Wasserquelle und Rückschlagventil der Pumpe"},
    {"paper.outside-surge",
     "Druckstöße über die eines schlagenden Rückschlagventils hinaus, Frostschäden an Rohren, Schäden am "
     "Brunnen selbst"},
    {"paper.outside-times", "dieselben Fehler zu anderer Tageszeit (auf Wunsch)"},
    {"paper.pair-reason", "{0} und {1}: {2}"},
    {"paper.plot-area", "Fläche: kleinster bis größter Wert"},
    {"paper.protection", "Schutzwirkung"},
    {"paper.pump", "Pumpe"},
    {"paper.pump-is", "{0}, {1} nach {2}: {3}, Nullförderhöhe {4}, Kennlinie bis {5}"},
    {"paper.ran-dry", "Trockenlauf"},
    {"paper.refused", "Bei der Eingabe abgewiesen"},
    {"paper.refused-how", "{0} schon beim Einlesen: Die alten Einstellungen bleiben in Kraft"},
    {"paper.sat", "Sa"},
    {"paper.seen-by", "Erkannt durch"},
    {"paper.severe", "schwer"},
    {"paper.severity", "Stärke"},
    {"paper.severity-is", "Stärke: {0}"},
    {"paper.sizes-tried",
     "{0} Größen wurden erprobt, am dichtesten unterhalb der vollen Fördermenge der Pumpe. Nahe den Enden "
     "eines Bereichs kann eine Überwachung ihren Treffer einem Zufall im Verbrauch verdanken, der die letzten "
     "nötigen Starts beitrug: Die Zeit bis dahin steht in der Tabelle unten."},
    {"paper.source", "Wasserquelle"},
    {"paper.source-bore", "{0}: Bohrbrunnen, Ruhewasserspiegel in {1} Tiefe, Einlauf in {2} Tiefe, Ergiebigkeit {3}"},
    {"paper.source-mains", "{0}: Wasserleitung mit {1}"},
    {"paper.source-open", "{0}: offenes Gewässer"},
    {"paper.starts", "Starts"},
    {"paper.stopped", "Abgeschaltet"},
    {"paper.stopped-how", "{0} durch eine Sperre, bevor eine Grenze der Anlage überschritten war"},
    {"paper.stops-by", "{0} {0:Abschaltung|Abschaltungen} durch {1}: {2}"},
    {"paper.sun", "So"},
    {"paper.tank", "Behälter"},
    {"paper.tank-is", "{0}: {1} bis zum Überlauf{2?, Schwimmerventil schließt bei {2}}"},
    {"paper.the-settings", "Die Steuerungseinstellungen"},
    {"paper.the-site", "Die Anlage"},
    {"paper.thu", "Do"},
    {"paper.too-late", "Zu spät abgeschaltet"},
    {"paper.too-late-how",
     "{0} durch eine Sperre, nachdem Trockenlauf, heißes Wasser, Wicklungstemperatur oder Druck die Grenze "
     "überschritten hatte"},
    {"paper.trial",
     "Jeder Fehler trat allein auf, an einer sonst störungsfreien Anlage mit üblichem Verbrauch, ab {0} {1}, "
     "und gilt als nie erkannt, wenn innerhalb von {2} keine Überwachung anspricht. Lecks sind bei {3} "
     "gemeint, wo die Pumpe {4} fördert. Zufälliger Verbrauch aus Startzahl {5}: Gleiches Blatt und gleiche "
     "Startzahl geben wieder genau dieses Blatt."},
    {"paper.tue", "Di"},
    {"paper.two-at-once", "Zwei zugleich"},
    {"paper.two-at-once-caption", "Fehler, die in der Praxis zusammen auftreten, im selben Augenblick begonnen"},
    {"paper.two-limits", "Startbegrenzung und Laufzeitbegrenzung zusammen"},
    {"paper.unprotected", "Schutz verloren"},
    {"paper.unprotected-how",
     "{0}: Noch geschieht nichts, aber eine Überwachung sieht oder stoppt von da an nichts mehr"},
    {"paper.users-miss", "Verbrauchern fehlt"},
    {"paper.value", "Wert"},
    {"paper.vessel", "Druckkessel"},
    {"paper.vessel-is", "{0}: {1}, Vordruck {2}"},
    {"paper.warned", "Bei der Eingabe gewarnt"},
    {"paper.warned-how", "{0} beim Einlesen, aber angenommen: Das hilft nur, wenn jemand die Warnung liest"},
    {"paper.water-lost", "Wasserverlust"},
    {"paper.wed", "Mi"},
    {"paper.where", "Wo"},
    {"paper.why-this-value", "Warum dieser Wert"},
    {"paper.without-end", "endlos"},
};
/* clang-format on */

SAY_CATALOGUE(say_de_paper)
