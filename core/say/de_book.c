/* The job book, in German. */
#include "say/catalogue.h"

/* clang-format off: one row a line; tools/words.py sorts and wraps them. */
static const say_row rows[] = {
    {"book.added", "Besuch {0}, {1}: {2} {2:Ablesung|Ablesungen}."},
    {"book.beside", "Von Blatt {0} ({1}{2?, {2}}) zu Blatt {3} ({4}{5?, {5}}):"},
    {"book.built-without", "dieses Programm wurde ohne SQLite gebaut; es hat kein Auftragsbuch"},
    {"book.busy", "ein anderes Programm schreibt seit 10 s darin"},
    {"book.changed", "    {0}: {1}, dann {2}"},
    {"book.conflict",
     "{0} Blätter dieser Anlage stehen nebeneinander, keines aus dem anderen gemacht. Alle sind aufgehoben:"},
    {"book.cut", "der Server ist weg; sehen Sie nach, ob der Besuch da ist, ehe Sie ihn noch einmal eintragen"},
    {"book.damaged", "es ist kein Auftragsbuch oder ein beschädigtes; „book rescue BOOK NEW“ rettet, was lesbar ist"},
    {"book.diagnosed", "{0?{0}; |}Diagnose: {1}{3? ({2} %)|, was es nicht gut erklärt}"},
    {"book.fine", "alles in Ordnung"},
    {"book.full", "der Datenträger nimmt nichts mehr; nichts von diesem Besuch wurde geschrieben"},
    {"book.keeps-what",
     "--book bewahrt die Diagnose zu einem Blatt, aus Messwerten oder aus einer Aufzeichnung, die eine Datei "
     "ist und ein Ende hat."},
    {"book.newer", "es stammt von einer neueren Fassung dieses Programms"},
    {"book.no-file", "es ist nicht da oder lässt sich nicht öffnen"},
    {"book.no-paper", "es hat kein Dokument dieses Namens; „book show BOOK NAME“ nennt die vorhandenen"},
    {"book.no-servers", "dieses Programm wurde ohne PostgreSQL gebaut; sein Buch ist eine Datei"},
    {"book.no-sheet", "es hat kein solches Blatt dieser Anlage; „book show BOOK NAME“ nennt die vorhandenen"},
    {"book.not-there", "es kennt keine Anlage dieses Namens; „book list BOOK“ nennt die bekannten"},
    {"book.older", "es stammt von einer früheren Fassung; es wird angehoben, wenn etwas eingetragen wird"},
    {"book.other", "es geht nicht: Buch und Befehl passen nicht zusammen"},
    {"book.read-only", "es lässt sich nicht schreiben"},
    {"book.reading", "  {0}  {1}: {2}{3? ({3})}"},
    {"book.refused", "{0}: {1}.{2? ({2})}"},
    {"book.rescued", "{0} {0:Zeile|Zeilen} gerettet, {1} nicht lesbar."},
    {"book.same", "    gleich bis auf Bemerkungen"},
    {"book.server", "nur eine Datei lässt sich retten; von einem Server macht „book export“ eine Datei"},
    {"book.settle", "Machen Sie ein Blatt daraus und tragen Sie es ein mit --made-from {0}"},
    {"book.sound", "Alle Seiten sind heil."},
    {"book.stands", "dort ist schon eine Datei; sie bleibt, wie sie ist"},
    {"book.taken", "{0} {0:Besuch|Besuche} übernommen."},
    {"book.trends", "Verläufe:"},
    {"book.usage",
     "gefunden „book {0}“; richtig wäre: add BOOK SITE [READINGS], file BOOK NAME FILE, list BOOK, show BOOK "
     "NAME, search BOOK WORDS, sheet BOOK NAME FILE [MARK], document BOOK NAME DOCUMENT FILE, export BOOK "
     "FILE, backup BOOK FILE, import BOOK FROM, check BOOK, rescue BOOK NEW"},
    {"book.visit", "{0}  Besuch {5}{1?, {1}}{2?: {2}}{3?; Blatt {3}}{4?; {4}}"},
    {"book.wants-by", "ein Buch auf einem Server will wissen, wer Sie sind: book {0} ... --by NAME"},
    {"book.wants-day", "--date: gefunden {0}; richtig wäre ein Tag wie 2026-03-31"},
    {"book.with", "    {0}: neu {1}"},
    {"book.without", "    {0}: nicht mehr {1}"},
};
/* clang-format on */

SAY_CATALOGUE(say_de_book)
