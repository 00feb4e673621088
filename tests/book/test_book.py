"""The job book, the same tests on a file and on a PostgreSQL server: what it keeps, for several people, and when programs die.
usage: test_book.py PROGRAM [KILLS]
KILLS: how many writers are killed; 20 without it, 500 for docs/reliability.md."""
import csv
import os
import random
import re
import signal
import subprocess
import sys
import time
import unittest

import kit

KILLS = int(sys.argv[2]) if len(sys.argv) > 2 and sys.argv[2].isdigit() else 20
sys.argv[1:] = [word for word in sys.argv[2:] if not word.isdigit()]
PROGRAM, SITE, NAME, LIMIT, run = kit.PROGRAM, kit.SITE, kit.NAME, kit.LIMIT, kit.run


class Kept:
    def test_a_diagnosis_is_kept_in_one_step(self):
        with open("docs/door.md", encoding="utf-8") as file:
            farm = self.put("farm.json", re.search(r"```json site\n(.*?)```", file.read(), re.S)[1])
        log = self.path("log.csv")
        made = [PROGRAM, "run", farm, "-q", "-l", "1 d", "-m", "slow leak 2 L/min", "--every", "1 min", "--csv", log]
        self.assertEqual(subprocess.run(made, stdout=subprocess.PIPE).returncode, 0)
        words = [PROGRAM, "diagnose", farm, log, "-q", "--book", self.book, "--date", "2026-01-05"]
        done = subprocess.run([*words, "--by", "A. Person", "--why", "call-out"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        self.assertEqual(done.returncode, 0, done.stderr)
        self.assertIn("Slow leak", done.stdout)
        self.assertRegex(done.stdout, r"Visit 1 of Farmhouse: \d+ readings")
        shown = self.good("show", self.book, "Farmhouse")
        self.assertRegex(shown, "2026-01-05 +visit 1, A. Person: call-out; diagnosis: Slow leak, .*log.csv, log.csv.txt")
        leak = float(re.search(r"leak of vessel: ([\d.]+) L/min", shown)[1])
        self.assertTrue(1.0 <= leak <= 3.0, leak)  # 2 was put in
        self.assertRegex(shown, r"leak of vessel: [\d.]+ L/min \(fail\)")
        self.assertRegex(shown, r"cut-in of pump: (19\d|20\d) kPa \((pass|cannot tell)")
        self.assertIn("starts a day: 1 reading: too few for a trend", shown)
        self.good("document", self.book, "Farmhouse", "log.csv", self.path("again.csv"))
        with open(log, "rb") as was, open(self.path("again.csv"), "rb") as now:
            self.assertEqual(was.read(), now.read())
        self.good("document", self.book, "Farmhouse", "log.csv.txt", self.path("verdict.txt"))
        with open(self.path("verdict.txt"), encoding="utf-8") as file:
            self.assertIn(file.read().splitlines()[0], done.stdout)
        for more in (["--date", "yesterday"], ["--follow"]):
            self.assertEqual(subprocess.run([*words, *more], stdout=subprocess.PIPE, stderr=subprocess.PIPE).returncode, 2, more)

    def test_history_with_trends(self):
        """By hand: level and leak go one step a year, the next step is the limit; the precharge falls 2.8 kPa a year from 220.3 to 218.5 kPa."""
        rows = ((2021, "229 kPa", "14.1 m", "0.01 L/min"), (2022, "226 kPa", "14.2 m", "0.02 L/min"), (2023, "222 kPa", "14.3 m", "0.03 L/min"),
                (2024, "221 kPa", "14.4 m", "0.04 L/min"))
        for year, precharge, level, leak in rows:
            more = (("standing water level of bore", level), ("leak of shed vessel", leak))
            self.add(self.readings(precharge, "61 L/min", *more), "--date", f"{year}-05-10", "--why", f"visit of {year}")
        shown = self.good("show", self.book, NAME)
        self.assertIn("2022-05-10  visit 2, A. Person: visit of 2022", shown)
        self.assertIn("precharge of shed vessel: 222 kPa (pass)", shown)
        self.assertRegex(shown, r"precharge of shed vessel: now 220 kPa, -2\.8 kPa a year: crosses 218 kPa in 235 days")
        self.assertRegex(shown, r"standing water level of bore: now 14\.4 m, 100 mm a year: crosses 14\.5 m in 36[4-6] days")
        self.assertRegex(shown, r"leak of shed vessel: now 0\.04 L/min, 0\.01 L/min a year: crosses 0\.05 L/min in 36[4-6] days")
        self.assertIn("flow of bore pump at cut-in: about 61 L/min, steady over 4 readings", shown)
        self.assertIn("im Jahr: erreicht", self.good("show", self.book, NAME, "--language", "de"))
        self.assertIn(NAME + "  4  2024-05-10", self.good("list", self.book))

    def test_words_are_found_however_they_are_written(self):
        self.add("--why", "Übergabe an Herrn MÜLLER", who="Ä. Person")
        self.add("--why", "100 % of the flow, pump_2", who="B. Person")
        for words, count in (("übergabe", 1), ("müller", 1), ("ä. PERSON", 1), ("100 %", 1), ("pump_2", 1), ("pump%2", 0), ("pumpx2", 0),
                             ("misting", 1), ("no such words", 0)):  # the sheet is stored once, with its first visit
            self.assertEqual(self.good("search", self.book, words).count("\n"), count, words)

    def test_what_changed_in_a_sheet_is_shown_with_who_and_why(self):
        self.add("--why", "as found")
        new = self.sheet("new.yaml", (LIMIT, "lock out when running for 60 min"), ("volume: 100 L", "volume: 80 L"))
        self.good("add", self.book, new, "--why", "limit lowered", "--by", "A. Person")
        kept = self.rows("SELECT why, json FROM sheet JOIN visit ON visit.id=sheet.visit ORDER BY sheet.id")
        self.assertEqual([why for why, _ in kept], ["as found", "limit lowered"])
        self.assertIn("90 min", kept[0][1])
        self.assertIn("60 min", kept[1][1])
        shown = self.good("show", self.book, NAME)
        self.assertIn("settings: no longer " + LIMIT, shown)
        self.assertIn("settings: new lock out when running for 60 min", shown)
        self.assertIn("vessels, shed vessel: volume: 100 L, then 80 L", shown)
        self.assertNotIn("side by side", shown)

    def test_documents_tables_and_copies(self):
        self.add(self.readings("229 kPa"), "--date", "2024-01-02", "--why", 'said "leaks, a little"')
        noise, log = os.urandom(10000), b"2024-01-02 10:00;231.5;0\r\n" * 4000
        for name, content, day in (("paper.pdf", noise, 3), ("log.csv", log, 4), ("empty.txt", b"", 5)):
            with open(self.path(name), "wb") as file:
                file.write(content)
            self.good("file", self.book, NAME, file.name, "--date", f"2024-01-0{day}", "--by", "A. Person")
            self.good("document", self.book, NAME, name, self.path("again"))
            with open(self.path("again"), "rb") as file:
                self.assertEqual(file.read(), content)
        sizes = {name: (int(length), int(packed)) for name, length, packed in self.rows("SELECT name, length(bytes), packed FROM document")}
        self.assertEqual((sizes["paper.pdf"], sizes["empty.txt"]), ((10000, 0), (0, 0)))  # packing makes noise no smaller
        self.assertEqual(sizes["log.csv"][1], len(log))
        self.assertLess(sizes["log.csv"][0], len(log) // 100)
        self.assertIn("paper.pdf", self.good("show", self.book, NAME))
        self.assertEqual(run("document", self.book, NAME, "no.pdf", self.path("again")).returncode, 1)
        self.good("export", self.book, self.path("all.csv"))
        with open(self.path("all.csv"), encoding="utf-8", newline="") as file:
            table = list(csv.DictReader(file))
        self.assertEqual([(row["what"], row["words"]) for row in table],
                         [("flow of bore pump at cut-in", "61 L/min"), ("precharge of shed vessel", "229 kPa")])
        self.assertEqual(float(table[1]["si"]), 229000.0)
        copy, new = self.path("copy.book"), self.path("new.book")
        self.good("backup", self.book, copy)
        self.assertEqual(run("backup", self.book, copy).returncode, 3)  # is there already
        self.assertIn("4 visits taken over", self.good("import", new, copy))
        self.assertIn("0 visits taken over", self.good("import", new, copy))
        self.assertIn("0 visits taken over", self.good("import", self.book, new))
        self.assertEqual(self.good("show", new, NAME), self.good("show", self.book, NAME))
        self.good("document", new, NAME, "log.csv", self.path("again"))
        with open(self.path("again"), "rb") as file:
            self.assertEqual(file.read(), log)

    def test_visits_alike_are_not_one_visit(self):
        for _ in range(3):  # same day, person and reason
            self.add("--date", "2024-01-02")
        self.good("backup", self.book, self.path("copy.book"))
        self.assertIn("3 visits taken over", self.good("import", self.path("new.book"), self.path("copy.book")))

    # two people, one site

    def test_two_people_change_one_sheet_and_both_are_kept(self):
        self.add("--why", "as found", who="B. Person")
        mine, other = self.path("mine.yaml"), self.path("other.yaml")
        self.good("sheet", self.book, NAME, mine)
        self.good("sheet", self.book, NAME, other)
        mine = self.sheet("mine.yaml", (LIMIT, "lock out when running for 60 min"), site=mine)
        other = self.sheet("other.yaml", ("volume: 100 L", "volume: 80 L"), site=other)
        told = self.good("add", self.book, mine, "--by", "A. Person", "--why", "limit lowered")
        self.assertNotIn("side by side", told)
        done = run("add", self.book, other, "--by", "B. Person", "--why", "vessel changed")
        self.assertEqual(done.returncode, 1, done.stderr)
        self.assertIn("2 sheets of this site stand side by side", done.stdout)
        self.assertIn("settings: new " + LIMIT, done.stdout)
        self.assertIn("settings: no longer lock out when running for 60 min", done.stdout)
        self.assertIn("vessels, shed vessel: volume: 100 L, then 80 L", done.stdout)
        self.assertEqual(run("show", self.book, NAME).returncode, 1)  # until it is settled
        sheets = self.rows("SELECT json FROM sheet")
        self.assertEqual([("60 min" in json, '"80 L"' in json) for json, in sheets], [(False, False), (True, False), (False, True)])
        marks = done.stdout.split("--made-from ")[1].split()[0]
        both = self.sheet("both.yaml", ("volume: 100 L", "volume: 80 L"), site=mine)
        told = self.good("add", self.book, both, "--by", "B. Person", "--made-from", marks)
        self.assertNotIn("side by side", told)
        self.assertNotIn("side by side", self.good("show", self.book, NAME))
        # each of the three can be had again, to the letter
        for mark, in self.rows("SELECT mark FROM sheet"):
            self.good("sheet", self.book, NAME, self.path("again.yaml"), mark)
            with open(self.path("again.yaml"), encoding="utf-8") as file:
                self.assertEqual(file.readline(), f"# job book, sheet {mark}\n")

    def test_who_goes_on_with_a_file_of_his_own_is_in_nobodys_way(self):
        self.add()
        self.good("sheet", self.book, NAME, self.path("mine.yaml"))
        for minutes in ("80 min", "70 min", "60 min"):  # the first line still names the sheet that was fetched
            self.sheet("next.yaml", (LIMIT, "lock out when running for " + minutes), site=self.path("mine.yaml"))
            self.good("add", self.book, self.path("next.yaml"), "--by", "A. Person")

    def test_a_sheet_from_nowhere_stands_beside(self):
        self.add(who="A. Person")
        new = self.sheet("new.yaml", ("volume: 100 L", "volume: 80 L"))
        self.assertEqual(run("add", self.book, new, "--by", "B. Person").returncode, 1)
        done = run("add", self.book, new, "--by", "B. Person", "--made-from", "0123456789abcdef")
        self.assertEqual(done.returncode, 1)
        self.assertIn("no such sheet", done.stderr)
        self.assertEqual(len(self.rows("SELECT id FROM visit")), 2)

    def test_remarks_alone_are_kept_and_are_no_conflict(self):
        self.add(who="A. Person")
        with open(SITE, encoding="utf-8") as file:
            text = file.read()
        self.good("add", self.book, self.put("remarks.yaml", text + "# key under the flower pot\n"), "--by", "B. Person")
        self.good("sheet", self.book, NAME, self.path("again.yaml"))
        with open(self.path("again.yaml"), encoding="utf-8") as file:
            self.assertTrue(file.read().endswith("# key under the flower pot\n"))

    def test_books_that_were_written_apart_show_it_when_they_meet(self):
        self.add()
        apart = self.path("apart.book")
        self.good("backup", self.book, apart)
        changes = ((self.book, "A. Person", ("volume: 100 L", "volume: 80 L")), (apart, "B. Person", (LIMIT, LIMIT.replace("9", "6"))))
        for book, who, change in changes:
            self.good("sheet", book, NAME, self.path("mine.yaml"))
            self.good("add", book, self.sheet("next.yaml", change, site=self.path("mine.yaml")), "--by", who)
        self.assertIn("1 visit taken over", self.good("import", self.book, apart))
        done = run("show", self.book, NAME)
        self.assertEqual(done.returncode, 1)
        self.assertIn("side by side", done.stdout)

    def test_people_who_write_at_once_lose_nothing(self):
        self.add(who="first")
        sheets = [self.sheet(f"by{i}.yaml", (LIMIT, f"lock out when running for {60 + i} min")) for i in range(6)]
        writers = [subprocess.Popen([PROGRAM, "book", "add", self.book, sheet, "--why", f"writer {i}", "--by", f"person {i}"],
                                    stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) for i, sheet in enumerate(sheets)]
        self.good("backup", self.book, self.path("meanwhile.book"))
        for writer in writers:
            told = writer.communicate()
            self.assertEqual(writer.returncode, 1, told)  # each stands beside the others
            self.assertIn("side by side", told[0])
        self.assertEqual(len(self.rows("SELECT id FROM visit")), 7)
        shown = run("show", self.book, NAME).stdout
        for i in range(6):
            self.assertIn(f"lock out when running for {60 + i} min", shown)
        self.assertEqual(self.rows("PRAGMA integrity_check", self.path("meanwhile.book")), [("ok",)])

    def test_a_later_book_is_left_alone(self):
        self.add()
        self.rows("PRAGMA user_version=9" if isinstance(self, kit.InFile) else "UPDATE version SET number=9")
        done = run("add", self.book, SITE, "--by", "A. Person")
        self.assertEqual(done.returncode, 3)
        self.assertIn("later version", done.stderr)

    def test_slips(self):
        self.assertEqual(run("list", self.book).returncode, 3)  # not begun yet, and not begun by reading
        done = run("write", self.book)
        self.assertEqual(done.returncode, 2)
        self.assertIn("add BOOK SITE", done.stderr)
        self.assertEqual(run("add", self.book, SITE, "--by", "A", "--date", "3.1.2024").returncode, 2)
        self.add()
        for words in (("show",), ("file", SITE, "--by", "A"), ("sheet", self.path("x"))):
            self.assertEqual(run(words[0], self.book, "Nowhere", *words[1:]).returncode, 1, words)
        self.assertEqual(len(self.rows("SELECT id FROM site")), 1)

    def test_what_was_acknowledged_outlives_a_kill(self):
        self.add("--why", "first")
        begun = time.monotonic()
        self.add(self.readings("229 kPa"), "--why", "second")
        usual = time.monotonic() - begun
        dice, told, killed = random.Random(7), {"first", "second"}, 0
        for number in range(KILLS):
            why = f"number {number}"
            writer = subprocess.Popen([PROGRAM, "book", "add", self.book, SITE, self.readings("229 kPa"), "--why", why, "--by", "A. Person"],
                                      stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
            time.sleep(dice.uniform(0.6, 1.3) * usual)
            writer.send_signal(signal.SIGKILL)
            if writer.communicate()[0].startswith("Visit"):
                told.add(why)
            late = writer.returncode == -signal.SIGKILL
            killed += late
            usual *= 1.05 if late else 0.95  # the machine has other work, too: about half of them are to end by themselves
        found = {why for why, in self.rows("SELECT why FROM visit")}
        self.assertFalse(told - found, "acknowledged and lost")
        # a visit is there with both readings or not at all
        halves = self.rows("SELECT why, count(reading.id) FROM visit LEFT JOIN reading ON reading.visit=visit.id WHERE why LIKE 'number%'"
                           " GROUP BY visit.id HAVING count(reading.id)<>2")
        self.assertEqual(halves, [])
        self.assertIn("sound", self.good("check", self.book))
        self.assertGreater(killed, KILLS // 5)
        self.assertGreater(len(told) - 2, KILLS // 5)  # else nothing was shown
        print(f"{type(self).__name__}: {KILLS} writers, {killed} killed in time, {len(told) - 2} acknowledged, {len(found) - 2} found",
              file=sys.stderr)


class BookInFile(Kept, kit.InFile):
    pass


class BookOnServer(Kept, kit.OnServer):
    def test_who_it_is_must_be_said(self):
        done = run("add", self.book, SITE)
        self.assertEqual(done.returncode, 2)
        self.assertIn("--by NAME", done.stderr)

    def test_a_password_is_not_told(self):
        done = run("list", "postgresql://someone:secret@/nowhere?host=/nonexistent&password=secret")
        self.assertEqual(done.returncode, 3)
        self.assertIn("someone@/nowhere", done.stderr)
        self.assertNotIn("secret", done.stderr)

    def test_who_may_only_read_reads(self):
        self.add(self.readings("229 kPa"))
        self.rows("CREATE ROLE reader LOGIN; GRANT USAGE ON SCHEMA job_book TO reader; GRANT SELECT ON ALL TABLES IN SCHEMA job_book TO reader")
        reader = self.book.replace("tester@", "reader@")
        self.assertIn("precharge", self.good("show", reader, NAME))
        done = run("add", reader, SITE, "--by", "A. Person")
        self.assertEqual(done.returncode, 3)
        self.assertIn("cannot be written", done.stderr)

    def test_one_who_writes_for_long_keeps_others_out_and_they_say_so(self):
        self.add()
        hold = subprocess.Popen([os.path.join(kit.server.tools(), "psql"), "-h", kit.SERVER.folder, "-U", "tester", "-d", self.database, "-X",
                                 "-c", "BEGIN; SELECT pg_advisory_xact_lock(7382190465)", "-c", "SELECT pg_sleep(60)"],
                                stdout=subprocess.DEVNULL)
        self.addCleanup(hold.wait)
        self.addCleanup(hold.kill)
        held = "SELECT count(*) FROM pg_locks WHERE locktype='advisory' AND granted"
        while self.rows(held) != [("1",)]:
            time.sleep(0.05)
        done = run("add", self.book + "&options=-c%20lock_timeout%3D200", SITE, "--by", "B. Person")
        self.assertEqual(done.returncode, 3)
        self.assertIn("another program has been writing", done.stderr)

    def test_the_server_dies_and_what_was_acknowledged_is_there(self):
        for number in range(5):
            self.add("--why", f"number {number}")
        kit.SERVER.stop("immediate")  # as by a kill: nothing is written any more
        done = run("add", self.book, SITE, "--by", "A. Person", "--why", "nobody there")
        kit.SERVER.start()
        self.assertEqual(done.returncode, 3)
        self.assertEqual([why for why, in self.rows("SELECT why FROM visit ORDER BY id")], [f"number {number}" for number in range(5)])


if __name__ == "__main__":
    unittest.main()
