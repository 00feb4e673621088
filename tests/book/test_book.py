"""The job book: what it keeps, and what it keeps when the program dies, the disk fills or the file breaks. usage: test_book.py PROGRAM [KILLS]
KILLS: how many writers are killed; 20 without it, 500 for docs/reliability.md."""
import csv
import os
import random
import resource
import signal
import sqlite3
import stat
import subprocess
import sys
import tempfile
import time
import unittest

PROGRAM = sys.argv[1]
KILLS = int(sys.argv[2]) if len(sys.argv) > 2 and sys.argv[2].isdigit() else 20
sys.argv[1:] = [word for word in sys.argv[2:] if not word.isdigit()]
SITE, NAME = "examples/nursery.yaml", "Hillside plant nursery"
FIRST = """CREATE TABLE site(id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE);
CREATE TABLE visit(id INTEGER PRIMARY KEY, site INTEGER NOT NULL REFERENCES site(id), day TEXT NOT NULL, who TEXT NOT NULL, why TEXT NOT NULL);
CREATE TABLE sheet(id INTEGER PRIMARY KEY, visit INTEGER NOT NULL REFERENCES visit(id), mark TEXT NOT NULL, json TEXT NOT NULL);
CREATE TABLE reading(id INTEGER PRIMARY KEY, visit INTEGER NOT NULL REFERENCES visit(id), what TEXT NOT NULL, si REAL NOT NULL, words TEXT NOT NULL);
CREATE INDEX visit_of_site ON visit(site, day);
INSERT INTO site VALUES(1, 'Old yard'); INSERT INTO visit VALUES(1, 1, '2019-04-01', 'B. Person', 'first look');
INSERT INTO sheet VALUES(1, 1, 'abc', '{}'); INSERT INTO reading VALUES(1, 1, 'precharge of tank', 180000, '180 kPa');
PRAGMA user_version=1;"""


def run(*words, **more):
    return subprocess.run([PROGRAM, "book", *words], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, **more)


class Book(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder, self.book = folder.name, os.path.join(folder.name, "jobs.book")

    def path(self, name):
        return os.path.join(self.folder, name)

    def good(self, *words, **more):
        done = run(*words, **more)
        self.assertEqual(done.returncode, 0, done.stderr)
        return done.stdout

    def readings(self, precharge, flow="61 L/min"):
        with open(self.path("readings.yaml"), "w", encoding="utf-8") as file:
            file.write(f"readings:\n  - {{what: precharge of shed vessel, reads: {precharge}, error: 2 kPa}}\n"
                       f"  - {{what: flow of bore pump at cut-in, reads: {flow}}}\n")
        return file.name

    def add(self, *words):
        return self.good("add", self.book, SITE, *words)

    def rows(self, sql, path=None):
        db = sqlite3.connect(path or self.book)
        try:
            with db:
                return db.execute(sql).fetchall()
        finally:
            db.close()

    def test_history_with_trends(self):
        for year, precharge in ((2021, "229 kPa"), (2022, "226 kPa"), (2023, "222 kPa"), (2024, "221 kPa")):
            self.add(self.readings(precharge), "--date", f"{year}-05-10", "--by", "A. Person", "--why", f"visit of {year}")
        shown = self.good("show", self.book, NAME)
        self.assertIn("2022-05-10  visit 2, A. Person: visit of 2022", shown)
        self.assertIn("precharge of shed vessel: 222 kPa (pass)", shown)
        self.assertRegex(shown, r"precharge of shed vessel: now 220 kPa, -2\.8 kPa a year: crosses 218 kPa in 235 days")
        self.assertIn("flow of bore pump at cut-in: about 61 L/min, steady over 4 readings", shown)
        self.assertIn("im Jahr: erreicht", self.good("show", self.book, NAME, "--language", "de"))
        self.assertIn(NAME + "  4  2024-05-10", self.good("list", self.book))
        self.assertEqual(self.good("search", self.book, "OF 2023").count("\n"), 1)
        self.assertEqual(self.good("search", self.book, "misting").count("\n"), 1)  # the sheet is stored once, with its first visit

    def test_a_changed_sheet_is_kept_beside_the_old_one(self):
        self.add("--why", "as found")
        with open(SITE, encoding="utf-8") as file:
            text = file.read()
        with open(self.path("new.yaml"), "w", encoding="utf-8") as file:
            file.write(text.replace("lock out when running for 90 min", "lock out when running for 60 min"))
        self.good("add", self.book, file.name, "--why", "limit lowered", "--by", "A. Person")
        sheets = self.rows("SELECT why, json FROM sheet JOIN visit ON visit.id=sheet.visit ORDER BY sheet.id")
        self.assertEqual([why for why, _ in sheets], ["as found", "limit lowered"])
        self.assertIn("90 min", sheets[0][1])
        self.assertIn("60 min", sheets[1][1])

    def test_documents_tables_and_copies(self):
        self.add(self.readings("229 kPa"), "--date", "2024-01-02", "--why", 'said "leaks, a little"')
        with open(self.path("paper.pdf"), "wb") as file:
            file.write(bytes(range(256)) * 40)
        self.good("file", self.book, NAME, file.name, "--date", "2024-01-03")
        self.assertIn("paper.pdf", self.good("show", self.book, NAME))
        self.good("export", self.book, self.path("all.csv"))
        with open(self.path("all.csv"), encoding="utf-8", newline="") as file:
            table = list(csv.DictReader(file))
        self.assertEqual([(row["what"], row["words"]) for row in table],
                         [("flow of bore pump at cut-in", "61 L/min"), ("precharge of shed vessel", "229 kPa")])
        self.assertEqual(float(table[1]["si"]), 229000.0)
        self.good("backup", self.book, self.path("copy.book"))
        self.assertEqual(self.rows("SELECT bytes FROM document", self.path("copy.book")), [(bytes(range(256)) * 40,)])
        self.assertIn("2 visits taken over", self.good("import", self.path("new.book"), self.path("copy.book")))
        self.assertIn("0 visits taken over", self.good("import", self.path("new.book"), self.path("copy.book")))
        self.assertEqual(self.good("show", self.path("new.book"), NAME), self.good("show", self.book, NAME))
        self.assertEqual(run("backup", self.book, self.path("copy.book")).returncode, 3)  # is there already

    def test_an_earlier_book_is_brought_up(self):
        db = sqlite3.connect(self.book)
        db.executescript(FIRST)
        db.close()
        self.assertEqual(run("show", self.book, "Old yard").returncode, 3)  # only reads: says what stands in the way, changes nothing
        self.assertEqual(self.rows("PRAGMA user_version"), [(1,)])
        self.add()
        self.assertEqual(self.rows("PRAGMA user_version"), [(2,)])
        self.assertEqual(self.rows("SELECT what, si, words, verdict FROM reading"), [("precharge of tank", 180000.0, "180 kPa", "")])
        self.assertIn("first look", self.good("search", self.book, "Old yard"))

    def test_a_later_book_is_left_alone(self):
        self.add()
        self.rows("PRAGMA user_version=9")
        done = run("add", self.book, SITE)
        self.assertEqual(done.returncode, 3)
        self.assertIn("later version", done.stderr)

    def test_slips(self):
        self.assertEqual(run("list", self.path("none.book")).returncode, 3)
        self.assertFalse(os.path.exists(self.path("none.book")))
        done = run("write", self.book)
        self.assertEqual(done.returncode, 2)
        self.assertIn("add BOOK SITE", done.stderr)
        self.assertEqual(run("add", self.book, SITE, "--date", "3.1.2024").returncode, 2)
        self.add()
        done = run("show", self.book, "Nowhere")
        self.assertEqual(done.returncode, 1)
        with open(self.path("text.book"), "w", encoding="utf-8") as file:
            file.write("no book at all " * 100)
        done = run("list", file.name)
        self.assertEqual(done.returncode, 3)
        self.assertIn("rescue", done.stderr)

    @unittest.skipIf(os.geteuid() == 0, "root writes everywhere")
    def test_a_file_that_cannot_be_written(self):
        self.add()
        os.chmod(self.book, stat.S_IRUSR)
        done = run("add", self.book, SITE)
        self.assertEqual(done.returncode, 3)
        self.assertIn("cannot be written", done.stderr)

    def test_a_full_disk_takes_back_the_whole_visit(self):
        self.add("--why", "before")
        with open(self.path("big.bin"), "wb") as file:
            file.write(os.urandom(3 << 20))

        def small():
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
            resource.setrlimit(resource.RLIMIT_FSIZE, (1 << 20, 1 << 20))
        done = run("file", self.book, NAME, file.name, "--why", "too large", preexec_fn=small)
        self.assertEqual(done.returncode, 3, done.stdout)
        self.assertIn("nothing of this visit was written", done.stderr)
        self.assertIn("All pages are sound", self.good("check", self.book))
        self.assertEqual(self.rows("SELECT why FROM visit"), [("before",)])
        self.add("--why", "after")
        self.assertEqual(len(self.rows("SELECT id FROM visit")), 2)

    def test_the_sound_part_of_a_broken_file_is_saved(self):
        for number in range(12):
            self.good("add", self.book, SITE, self.readings("229 kPa"), "--why", f"visit {number}", "--by", "x" * 300)
        with open(self.path("big.bin"), "wb") as file:
            file.write(os.urandom(60000))
        self.good("file", self.book, NAME, file.name)
        self.rows("PRAGMA wal_checkpoint(TRUNCATE)")
        with open(self.book, "r+b") as file:  # pages of the document
            size = os.path.getsize(self.book)
            for page in range(size // 4096 - 10, size // 4096):
                file.seek(page * 4096)
                file.write(os.urandom(4096))
        self.assertEqual(run("check", self.book).returncode, 3)
        told = self.good("rescue", self.book, self.path("saved.book"))
        self.assertRegex(told, r"\d+ rows saved, [1-9]\d* could not be read")
        self.assertIn("All pages are sound", self.good("check", self.path("saved.book")))
        self.assertEqual(len(self.rows("SELECT id FROM visit WHERE why LIKE 'visit %'", self.path("saved.book"))), 12)

    def test_several_write_and_one_copies_meanwhile(self):
        self.add("--why", "first")
        writers = [subprocess.Popen([PROGRAM, "book", "add", self.book, SITE, "--why", f"writer {i}"], stdout=subprocess.DEVNULL,
                                    stderr=subprocess.PIPE) for i in range(6)]
        self.good("backup", self.book, self.path("meanwhile.book"))
        for writer in writers:
            told = writer.communicate()[1]
            self.assertEqual(writer.returncode, 0, told)
        self.assertEqual(len(self.rows("SELECT id FROM visit")), 7)
        self.assertEqual(self.rows("PRAGMA integrity_check", self.path("meanwhile.book")), [("ok",)])

    def test_what_was_acknowledged_outlives_a_kill(self):
        self.add("--why", "first")
        begun = time.monotonic()
        self.add(self.readings("229 kPa"), "--why", "second")
        usual = time.monotonic() - begun
        dice, told, killed = random.Random(7), {"first", "second"}, 0
        for number in range(KILLS):
            why = f"number {number}"
            writer = subprocess.Popen([PROGRAM, "book", "add", self.book, SITE, self.readings("229 kPa"), "--why", why],
                                      stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
            time.sleep(dice.uniform(0.6, 1.3) * usual)
            writer.send_signal(signal.SIGKILL)
            if writer.communicate()[0].startswith("Visit"):
                told.add(why)
            killed += writer.returncode == -signal.SIGKILL
        found = {why for why, in self.rows("SELECT why FROM visit")}
        self.assertFalse(told - found, "acknowledged and lost")
        # a visit is there with both readings or not at all
        halves = self.rows("SELECT why, count(reading.id) FROM visit LEFT JOIN reading ON reading.visit=visit.id WHERE why LIKE 'number%'"
                           " GROUP BY visit.id HAVING count(reading.id)<>2")
        self.assertEqual(halves, [])
        self.assertIn("All pages are sound", self.good("check", self.book))
        self.assertGreater(killed, KILLS // 4)
        print(f"{KILLS} writers, {killed} killed in time, {len(told) - 2} acknowledged, {len(found) - 2} found", file=sys.stderr)


if __name__ == "__main__":
    unittest.main()
