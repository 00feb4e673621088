/* What a person looks at on site, in German. */
#include "say/catalogue.h"

/* clang-format off: one row a line; tools/words.py sorts and wraps them. */
static const say_row rows[] = {
    {"look.blow-tapping", "Bei jedem Besuch das Röhrchen zum Sensor durchblasen."},
    {"look.bucket", "Einmal im Jahr stoppen, wie lange sich am fernen Ende ein Eimer füllt, und mit dem ersten Besuch "
                    "vergleichen."},
    {"look.charge", "Bei jedem Besuch den Vordruck des Druckkessels prüfen, bei ausgeschalteter Pumpe und abgelassenem "
                    "Wasser."},
    {"look.clean-filter",
     "Den Druck vor und hinter dem Filter ablesen; den Druck ablassen, bevor er geöffnet wird, und ihn "
     "reinigen."},
    {"look.clean-probe", "Bei jedem Besuch „{0}“ reinigen und prüfen, ob sie in Luft trocken zeigt."},
    {"look.clean-strainer", "Bei jedem Besuch den Saugkorb reinigen."},
    {"look.compare-reading",
     "Bei jedem Besuch die Anzeige von „{0}“ mit {1?dem Wasser selbst|einem Manometer} vergleichen."},
    {"look.contactor", "Freigeschaltet und gesichert Kontakte und Spule des Schützes ansehen."},
    {"look.current", "Einmal im Jahr den Motorstrom mit dem Typenschild vergleichen."},
    {"look.delivery-valves",
     "Nach allen Arbeiten jedes Ventil der Druckleitung ganz öffnen und die Griffstellung markieren."},
    {"look.dip", "Bei jedem Besuch den Wasserspiegel im Brunnen loten und aufschreiben."},
    {"look.direction", "Nach allen Arbeiten am Netz die Drehrichtung prüfen: ein Phasenfolgerelais einbauen."},
    {"look.far-pressure", "Einmal im Jahr den Druck am fernen Ende bei voller Entnahme messen."},
    {"look.float-inside", "Bei jedem Besuch in {0?„{0}“|den Behälter} sehen und das Schwimmerventil von Hand bewegen."},
    {"look.float-overflow",
     "Bei jedem Besuch den Überlauf von {0?„{0}“|dem Behälter} ansehen und den Sitz des Schwimmerventils "
     "erneuern."},
    {"look.flow-curve", "Einmal im Jahr den Förderstrom mit der Kennlinie vergleichen."},
    {"look.flow-switch", "Den Strömungswächter bei jedem Besuch von Hand bewegen und seinen Eingang beobachten."},
    {"look.foot-valve", "Das Fußventil erneuern."},
    {"look.gas-shroud",
     "Die Pumpe tiefer hängen oder einen Gasabscheidemantel anbringen{0?; „kein Durchfluss“ über ein "
     "Zeitfenster zählen und nicht ununterbrochen}."},
    {"look.gas-valve", "Das Füllventil des Druckkessels drücken: Kommt Wasser, ist die Membran gerissen."},
    {"look.lag", "Das Röhrchen zum Sensor dämmen oder beheizen."},
    {"look.larger-generator", "Ein größerer Generator oder ein Sanftanlauf lässt sie starten."},
    {"look.level-of", "Bei jedem Besuch den Wasserstand von „{0}“ ablesen."},
    {"look.lift-probe", "Bei jedem Besuch „{0}“ aus dem Wasser heben und zurück und prüfen, ob die Anzeige folgt."},
    {"look.line-filling",
     "Einmal im Jahr stoppen, wie schnell die Leitung ihren Behälter füllt, und mit dem ersten Besuch "
     "vergleichen."},
    {"look.lines", "Die Leitungen nach Frost und nach Erdarbeiten abgehen."},
    {"look.main", "Bei jedem Besuch den Druck der Versorgungsleitung ablesen und aufschreiben."},
    {"look.no-supply-battery", "Ohne Strom hilft kein Satz: nur ein Wasservorrat oder eine Batterie."},
    {"look.no-supply-generator", "Ohne Strom hilft kein Satz: nur ein Wasservorrat oder ein Generator."},
    {"look.no-supply-tank", "Ohne Strom hilft kein Satz: nur mehr Wasser im Behälter oder ein zweites Netz."},
    {"look.not-only", "Sie darf nicht der einzige Trockenlaufschutz sein."},
    {"look.nrv-fall",
     "Bei stehender Pumpe und geschlossenen Entnahmestellen den Druckabfall beobachten; das Rückschlagventil "
     "erneuern."},
    {"look.nrv-listen", "Hören, ob die Pumpe nach dem Ausschalten rückwärts dreht; das Rückschlagventil erneuern."},
    {"look.over-voltage",
     "Die Spannung am Verteiler messen, in Ruhe und bei laufender Pumpe: Ein loser Neutralleiter oder ein "
     "gestörter Regler lässt sie steigen."},
    {"look.phases", "Einmal im Jahr Sicherungen, Klemmen und Kontakte aller drei Phasen ansehen."},
    {"look.precharge", "Den Vordruck bei ausgeschalteter Pumpe und leerem Druckkessel einstellen{0?, etwas unter dem "
                       "Einschaltdruck}."},
    {"look.pressure-switch",
     "Die Drücke, bei denen der Schalter schaltet, mit einem Manometer vergleichen; prüfen, ob sein Röhrchen "
     "frei und seine Kontakte sauber sind. Vorher freischalten."},
    {"look.pressure-unit", "Jeden Druck mit seiner Einheit eingeben und die Einstellungen zurücklesen."},
    {"look.probe-high", "In „{0}“ knapp unter dem Überlauf eine Sonde einbauen und einen Satz, der auf „nass“ sieht."},
    {"look.probe-intake", "Eine Sonde knapp über dem Einlauf schaltet die Pumpe ab, bevor sie trockenläuft."},
    {"look.probe-low",
     "In „{0}“ deutlich unter dem üblichen Stand eine Sonde einbauen und eine Warnung, wenn sie trocken ist."},
    {"look.read-back",
     "Die Einstellungen nach der Eingabe laut zurücklesen und ein ganzes Ein- und Ausschalten beobachten."},
    {"look.relief-outlet", "Bei jedem Besuch den Auslauf des Sicherheitsventils ansehen."},
    {"look.relief-protects", "Die Rohre schützt nur ein Sicherheitsventil."},
    {"look.renew-flow-switch",
     "Den Strömungswächter erneuern; bis dahin „kein Durchfluss“ über ein Zeitfenster zählen und nicht "
     "ununterbrochen."},
    {"look.shut-off-and-flow", "Einmal im Jahr Nullförderdruck und Förderstrom mit der Kennlinie vergleichen."},
    {"look.spring-nrv", "Ein federbelastetes Rückschlagventil nahe der Pumpe einbauen; kein Satz dämpft das."},
    {"look.stronger-supply", "Eine stärkere Speisung und ein dickeres Kabel lassen sie starten."},
    {"look.suction", "Die Saugleitung unter Druck prüfen und ihre Dichtungen erneuern."},
    {"look.tight-fall",
     "Bei jedem Besuch alle Entnahmestellen{0? und Behälterzuläufe} schließen und die Zeit vom Abschalt- zum "
     "Einschaltdruck stoppen."},
    {"look.tight-holds",
     "Nach einem Lauf bei stehender Pumpe {0?das Ventil vor dem Behälter|alle Entnahmestellen} schließen: Der "
     "Druck hält, wenn die Leitung dicht ist. Das bei jedem Besuch."},
    {"look.time-filling",
     "Einmal im Jahr stoppen, wie schnell die Pumpe den Behälter füllt, und mit dem ersten Besuch vergleichen."},
    {"look.time-unit", "Jede Zeit mit ihrer Einheit eingeben und die Einstellungen zurücklesen."},
    {"look.voltage-worst-hour",
     "Die Spannung am laufenden Motor zur schlechtesten Stunde messen: Ein dickeres Kabel oder ein anderes "
     "Netz hilft."},
    {"look.welded",
     "Kein Satz kann ein verschweißtes Schütz öffnen: ein zweites in Reihe{0? oder ein Sicherheitsventil} "
     "einbauen und eine Warnung jemanden erreichen lassen."},
    {"look.wet-ground",
     "Bei jedem Besuch die Leitung auf nassen Boden abgehen und stoppen, wie schnell die Pumpe den Behälter "
     "füllt."},
};
/* clang-format on */

SAY_CATALOGUE(say_de_look)
