/* What the server says, in German. */
#include "say/catalogue.h"

/* clang-format off: one row a line; tools/words.py sorts and wraps them. */
static const say_row rows[] = {
    {"server.bad-address",
     "pumpwright: --address: gefunden „{0}“; richtig wäre eine Adresse in Ziffern, zum Beispiel 127.0.0.1 "
     "oder ::1, oder localhost."},
    {"server.body-most", "Eine Anfrage darf 8 MiB haben."},
    {"server.busy", "Der Server ist beschäftigt oder endet gerade; bitte noch einmal versuchen."},
    {"server.cannot-listen", "pumpwright: kann auf {0} nicht lauschen: das System verweigert es."},
    {"server.cannot-start", "pumpwright: kann nicht starten: es fehlen Threads oder Speicher."},
    {"server.cannot-take-page", "pumpwright: kann die Seite nicht aus {0} nehmen: {1}."},
    {"server.caution",
     "Vorsicht: jeder Rechner im Netz kann das öffnen und Rechenzeit dieses Computers nutzen, und wer auf dem "
     "Weg sitzt,\nkann mitlesen (HTTP im Klartext, kein Passwort). Beenden, sobald es nicht mehr gebraucht "
     "wird."},
    {"server.caution-secure",
     "Vorsicht: Jeder in diesem Netz kann diesen Server benutzen, es gibt kein Passwort. Was gesendet wird, "
     "ist verschlüsselt."},
    {"server.content-type", "Richtig wäre Content-Type: application/json."},
    {"server.ctrl-c", "Strg-C beendet es."},
    {"server.files-too-large", "seine Dateien sind größer als 128 MB"},
    {"server.fingerprint", "Zertifikat dieses Laufs, Fingerabdruck (SHA-256), auch als Code:\n{0}"},
    {"server.fingerprint-how",
     "Der Browser warnt, weil niemand für dieses Zertifikat bürgt. Den Fingerabdruck, den er zeigt, mit "
     "diesem vergleichen und nur weitergehen, wenn beide gleich sind. Ein Telefon behält die Seite nur dann "
     "ohne Netz, wenn es dem Zertifikat vertraut: unter dieser Adresse /certificate.crt holen, das Telefon "
     "ihm vertrauen lassen (in seinen Einstellungen, als Zertifizierungsstelle), die Seite neu öffnen. Das "
     "Vertrauen wieder wegnehmen, wenn die Seite behalten ist; der Schlüssel ist weg, wenn der Server endet."},
    {"server.get", "Richtig wäre GET."},
    {"server.header-twice", "Eine Kopfzeile steht zweimal da."},
    {"server.lets-in",
     "pumpwright: --address {0} würde andere Rechner einlassen. Ist das gemeint, --open-to-network hinzufügen."},
    {"server.no-index", "es ist kein index.html darin"},
    {"server.no-memory-now", "Im Augenblick ist nicht genug Speicher frei; bitte noch einmal versuchen."},
    {"server.no-page", "Die Seite wurde nicht gebaut (make page); POST /door und GET /about gibt es hier."},
    {"server.no-tls",
     "pumpwright: Dieses Programm hat kein HTTPS: Es wurde ohne GnuTLS gebaut, oder es fehlt Speicher."},
    {"server.not-this-machine", "pumpwright: kann auf {0} nicht lauschen: dieser Rechner hat diese Adresse nicht."},
    {"server.nothing-here", "Hier ist nichts."},
    {"server.only-own-page", "Nur die Seite, die von hier kommt, darf fragen."},
    {"server.open-at", "Im Browser öffnen: {0}"},
    {"server.page-not-found",
     "pumpwright: neben dem Programm wurde die Seite nicht gefunden („make page“ baut sie, --page DIR nennt "
     "sie); nur POST /door und GET /about werden beantwortet."},
    {"server.port-of-system",
     "pumpwright: kann auf {0} nicht lauschen: dieser Port ist dem System vorbehalten; richtig wäre --port ab "
     "1024."},
    {"server.port-taken",
     "pumpwright: kann auf {0} nicht lauschen: der Port ist belegt, vielleicht von einem pumpwright, das "
     "schon läuft.\nEinen anderen Port wählt --port N, irgendeinen freien --port 0."},
    {"server.post", "Richtig wäre POST."},
    {"server.too-long", "Das dauert länger als 10 Minuten; weniger fragen, oder in Teilen."},
    {"server.too-many-files", "er hat mehr als 2000 Dateien"},
    {"server.too-much", "Es wird zu viel auf einmal gefragt; bitte noch einmal versuchen."},
    {"server.wrong-host", "Der Host ist nicht die Adresse dieses Servers."},
};
/* clang-format on */

SAY_CATALOGUE(say_de_server)
