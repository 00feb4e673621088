/* The job book, in German. */
#include "say/catalogue.h"

/* clang-format off: one row a line; tools/words.py sorts and wraps them. */
static const say_row rows[] = {
    {"book.added", "Besuch {0}, {1}: {2} {2:Ablesung|Ablesungen}."},
    {"book.built-without", "dieses Programm wurde ohne SQLite gebaut; es hat kein Auftragsbuch"},
    {"book.busy", "ein anderes Programm schreibt seit 10 s darin"},
    {"book.damaged", "es ist kein Auftragsbuch oder ein beschädigtes; „book rescue BOOK NEW“ rettet, was lesbar ist"},
    {"book.fine", "alles in Ordnung"},
    {"book.full", "der Datenträger nimmt nichts mehr; nichts von diesem Besuch wurde geschrieben"},
    {"book.newer", "es stammt von einer neueren Fassung dieses Programms"},
    {"book.no-file", "es ist nicht da oder lässt sich nicht öffnen"},
    {"book.not-there", "es kennt keine Anlage dieses Namens; „book list BOOK“ nennt die bekannten"},
    {"book.other", "es geht nicht: die genannte Datei ist schon da, oder Buch und Befehl passen nicht zusammen"},
    {"book.read-only", "es lässt sich nicht schreiben"},
    {"book.reading", "  {0}  {1}: {2}{3? ({3})}"},
    {"book.refused", "{0}: {1}."},
    {"book.rescued", "{0} {0:Zeile|Zeilen} gerettet, {1} nicht lesbar."},
    {"book.sound", "Alle Seiten sind heil."},
    {"book.taken", "{0} {0:Besuch|Besuche} übernommen."},
    {"book.trends", "Verläufe:"},
    {"book.usage",
     "gefunden „book {0}“; richtig wäre: add BOOK SITE [READINGS], file BOOK NAME FILE, list BOOK, show BOOK "
     "NAME, search BOOK WORDS, export BOOK FILE, backup BOOK FILE, import BOOK FILE, check BOOK, rescue BOOK "
     "NEW"},
    {"book.visit", "{0}  Besuch {5}{1?, {1}}{2?: {2}}{3?; Blatt {3}}{4?; {4}}"},
    {"book.wants-day", "--date: gefunden {0}; richtig wäre ein Tag wie 2026-03-31"},
};
/* clang-format on */

SAY_CATALOGUE(say_de_book)
