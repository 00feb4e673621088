"""A job book when the disk is full, the disk or the file cannot be written, or pages are broken; and books of each earlier version.
usage: test_broken.py PROGRAM"""
import os
import pwd
import resource
import shutil
import signal
import sqlite3
import subprocess
import sys
import unittest

import kit
import server

sys.argv[1:] = sys.argv[2:]
PROGRAM, SITE, NAME, run = kit.PROGRAM, kit.SITE, kit.NAME, kit.run

# Each version as it was when it was out; a visit of each kind in it.
FIRST = """CREATE TABLE site(id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE);
CREATE TABLE visit(id INTEGER PRIMARY KEY, site INTEGER NOT NULL REFERENCES site(id), day TEXT NOT NULL, who TEXT NOT NULL, why TEXT NOT NULL);
CREATE TABLE sheet(id INTEGER PRIMARY KEY, visit INTEGER NOT NULL REFERENCES visit(id), mark TEXT NOT NULL, json TEXT NOT NULL);
CREATE TABLE reading(id INTEGER PRIMARY KEY, visit INTEGER NOT NULL REFERENCES visit(id), what TEXT NOT NULL, si REAL NOT NULL, words TEXT NOT NULL);
CREATE INDEX visit_of_site ON visit(site, day);"""
SECOND = """ALTER TABLE reading ADD COLUMN verdict TEXT NOT NULL DEFAULT '';
CREATE TABLE document(id INTEGER PRIMARY KEY, visit INTEGER NOT NULL REFERENCES visit(id), name TEXT NOT NULL, bytes BLOB NOT NULL);"""
ROWS = """INSERT INTO site VALUES(1, 'Old yard'); INSERT INTO visit VALUES(1, 1, '2019-04-01', 'B. Person', 'first look');
INSERT INTO visit VALUES(2, 1, '2020-04-01', 'B. Person', ''); INSERT INTO visit VALUES(3, 1, '2020-04-01', 'B. Person', '');
INSERT INTO sheet VALUES(1, 1, 'abc', '{"a": 1}'); INSERT INTO sheet VALUES(2, 2, 'def', '{"a": 2}');
INSERT INTO reading(id, visit, what, si, words) VALUES(1, 1, 'precharge of tank', 180000, '180 kPa');"""
PAPER = "INSERT INTO document VALUES(1, 3, 'plan.txt', CAST('the plan' AS BLOB));"
EARLIER = {1: FIRST + ROWS + "PRAGMA user_version=1;", 2: FIRST + SECOND + ROWS + PAPER + "PRAGMA user_version=2;"}


class Broken(kit.InFile):
    def fill(self, visits=12, size=60000):
        """Some visits and a document that is most of the file, all in the file itself."""
        for number in range(visits):
            self.good("add", self.book, SITE, self.readings("229 kPa"), "--why", f"visit {number}", "--by", "x" * 300)
        with open(self.path("big.bin"), "wb") as file:
            file.write(os.urandom(size))
        self.good("file", self.book, NAME, file.name)
        self.rows("PRAGMA wal_checkpoint(TRUNCATE)")

    # earlier versions

    def earlier(self, version):
        book = self.path(f"version{version}.book")
        db = sqlite3.connect(book)
        db.executescript(EARLIER[version])
        db.close()
        return book

    def check_brought_up(self, book, version):
        self.assertEqual(self.rows("PRAGMA user_version", book), [("3",)])
        self.assertEqual(self.rows("SELECT what, si, words, verdict FROM reading", book), [("precharge of tank", "180000.0", "180 kPa", "")])
        self.assertEqual(self.rows("SELECT day, who, why FROM visit WHERE id<4", book),
                         [("2019-04-01", "B. Person", "first look")] + 2 * [("2020-04-01", "B. Person", "")])
        self.assertEqual(len(self.rows("SELECT DISTINCT uid FROM visit WHERE id<4", book)), 3)
        self.assertEqual(self.rows("SELECT sheet, mark FROM made_from WHERE sheet<3", book), [("2", "abc")])
        self.assertIn("first look", self.good("search", book, "Old yard"))
        shown = run("show", book, "Old yard").stdout  # the sheets of this test are none that trends could be told of
        self.assertIn("a: 1, then 2", shown)
        self.assertNotIn("side by side", shown)
        if version > 1:
            self.good("document", book, "Old yard", "plan.txt", self.path("plan.txt"))
            with open(self.path("plan.txt"), encoding="utf-8") as file:
                self.assertEqual(file.read(), "the plan")

    def test_each_earlier_book_is_brought_up(self):
        with open("shell/book/book.h", encoding="utf-8") as file:
            self.assertIn(f"BOOK_VERSION = {max(EARLIER) + 1}", file.read(), "a new version: put the last one into EARLIER")
        for version in EARLIER:
            book = self.earlier(version)
            done = run("show", book, "Old yard")
            self.assertEqual(done.returncode, 3)  # only reads: says what stands in the way, changes nothing
            self.assertIn("earlier version", done.stderr)
            self.assertEqual(self.rows("PRAGMA user_version", book), [(str(version),)])
            self.good("add", book, SITE)
            self.check_brought_up(book, version)
            self.assertIn("sound", self.good("check", book))

    def test_each_earlier_book_is_rescued_and_taken_over(self):
        for version in EARLIER:
            book, saved, new = self.earlier(version), self.path(f"saved{version}.book"), self.path(f"new{version}.book")
            self.assertIn("0 could not be read", self.good("rescue", book, saved))
            self.check_brought_up(saved, version)
            self.assertIn("3 visits taken over", self.good("import", new, book))
            self.assertIn("0 visits taken over", self.good("import", new, saved))  # both know the visits by the same identity
            self.check_brought_up(new, version)

    # a disk without room

    def no_room(self, done, book):
        self.assertEqual(done.returncode, 3, done.stdout)
        self.assertIn("nothing of this visit was written", done.stderr)
        self.assertIn("sound", self.good("check", book))
        self.assertEqual(self.rows("SELECT why FROM visit", book), [("before",)])
        self.good("add", book, SITE, "--why", "after")
        self.assertEqual(self.rows("SELECT why FROM visit", book), [("before",), ("after",)])

    def big(self):
        with open(self.path("big.bin"), "wb") as file:
            file.write(os.urandom(3 << 20))
        return file.name

    def test_a_file_that_may_not_grow_takes_back_the_whole_visit(self):
        self.add("--why", "before")

        def small():
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
            resource.setrlimit(resource.RLIMIT_FSIZE, (1 << 20, 1 << 20))
        self.no_room(run("file", self.book, NAME, self.big(), "--why", "too large", preexec_fn=small), self.book)

    def test_a_full_disk_takes_back_the_whole_visit(self):
        book = os.path.join(self.mount("size=1m"), "jobs.book")
        self.good("add", book, SITE, "--why", "before")
        self.no_room(run("file", book, NAME, self.big(), "--why", "too large"), book)

    def test_a_disk_that_fills_up_keeps_what_was_acknowledged(self):
        disk = self.mount("size=1m")
        book, told = os.path.join(disk, "jobs.book"), []
        for number in range(400):
            done = run("add", book, SITE, self.readings("229 kPa"), "--why", f"number {number}", "--by", "x" * 20000)
            if done.returncode != 0:
                break
            told.append(f"number {number}")
        self.assertEqual(done.returncode, 3, "never full")
        self.assertGreater(len(told), 3)
        shutil.copy(book, self.path("moved.book"))
        if os.path.exists(book + "-wal"):
            shutil.copy(book + "-wal", self.path("moved.book-wal"))
        self.assertEqual([why for why, in self.rows("SELECT why FROM visit", self.path("moved.book"))], told)
        self.assertIn("sound", self.good("check", self.path("moved.book")))

    # what cannot be written

    def left_alone(self, book, **more):
        for words in (("add", book, SITE), ("file", book, NAME, SITE)):
            done = run(*words, **more)
            self.assertEqual(done.returncode, 3, done.stdout)
            self.assertIn("cannot be written", done.stderr)
        self.assertIn(NAME + "  1", self.good("list", book, **more))  # it can be read all the same
        self.assertIn("visit 1", self.good("show", book, NAME, **more))
        self.assertIn("sound", self.good("check", book, **more))

    def test_a_disk_that_cannot_be_written(self):
        disk = self.mount("size=8m")
        book = os.path.join(disk, "jobs #1?.book")
        self.good("add", book, SITE)
        subprocess.run(["mount", "-o", "remount,ro", disk], check=True)
        self.left_alone(book)
        self.assertEqual(run("export", book, self.path("copy.book")).returncode, 0)

    def test_a_file_that_cannot_be_written(self):
        self.add()
        user = None if os.geteuid() != 0 else pwd.getpwnam("nobody")  # root writes everywhere
        os.chmod(self.book, 0o444)
        os.chmod(self.folder, 0o555)
        self.addCleanup(os.chmod, self.folder, 0o755)

        def become():
            if user:
                os.setgroups([])
                os.setgid(user.pw_gid)
                os.setuid(user.pw_uid)
        self.left_alone(self.book, preexec_fn=become)

    # broken pages

    def break_pages(self, pages):
        with open(self.book, "r+b") as file:
            for page in pages:
                file.seek(page * 4096)
                file.write(os.urandom(4096))

    def test_the_sound_part_of_a_broken_file_is_saved(self):
        self.fill()
        pages = os.path.getsize(self.book) // 4096
        self.break_pages(range(pages - 10, pages))  # of the document
        done = run("check", self.book)
        self.assertEqual(done.returncode, 3)
        self.assertIn("rescue", done.stderr)
        saved = self.path("saved.book")
        told = self.good("rescue", self.book, saved)
        self.assertRegex(told, r"\d+ rows saved, [1-9]\d* could not be read")
        self.assertIn("sound", self.good("check", saved))
        self.assertEqual(len(self.rows("SELECT id FROM visit WHERE why LIKE 'visit %'", saved)), 12)
        self.assertEqual(len(self.rows("SELECT id FROM reading", saved)), 24)
        self.assertEqual(run("rescue", self.book, saved).returncode, 3)  # a file stands there
        self.good("add", saved, SITE)

    def test_any_page_may_break(self):
        self.fill(4, 10000)
        pages = os.path.getsize(self.book) // 4096
        shutil.copy(self.book, self.path("whole.book"))
        saved_once = 0
        for page in range(pages):
            shutil.copy(self.path("whole.book"), self.book)
            self.break_pages([page])
            saved = self.path(f"saved{page}.book")
            done = run("check", self.book)
            if done.returncode == 0:  # a page that nothing needs, or noise inside a text: nothing may be missing
                self.assertEqual(len(self.rows("SELECT id FROM visit")), 5)
                continue
            done = run("rescue", self.book, saved)
            if done.returncode == 0:
                saved_once += 1
                self.assertIn("sound", self.good("check", saved))
            else:  # the page that says where all others are
                self.assertIn("damaged", done.stderr)
                self.assertEqual(page, 0)
        self.assertGreater(saved_once, pages // 2)

    def test_a_text_is_no_book(self):
        done = run("list", self.put("text.book", "no book at all " * 100))
        self.assertEqual(done.returncode, 3)
        self.assertIn("rescue", done.stderr)


@unittest.skipUnless(server.tools(), "no PostgreSQL server here")
class Full(kit.Case):
    """A book on a server whose disk fills up: a document cannot be kept, or the server cannot even write what it is about to do and ends."""

    def test_what_was_acknowledged_is_there_when_the_disk_has_room_again(self):
        disk = self.mount("size=60m,mode=0755")
        os.chmod(self.folder, 0o755)  # the server is another user
        data = os.path.join(disk, "data")
        os.mkdir(data, 0o700)
        user = server.Server.unprivileged()
        os.chown(data, user.pw_uid, user.pw_gid)
        one = server.Server(data)
        self.addCleanup(one.end)
        where, told, done = one.where("postgres"), ["number 0"], None
        self.good("add", where, SITE, self.readings("229 kPa"), "--why", "number 0", "--by", "A. Person")
        for number in range(1, 40):
            with open(self.path("log.bin"), "wb") as file:
                file.write(os.urandom(1500000))
            done = run("file", where, NAME, file.name, "--why", f"number {number}", "--by", "A. Person")
            if done.returncode != 0:
                break
            told.append(f"number {number}")
        self.assertEqual(done.returncode, 3, "never full")
        self.assertRegex(done.stderr, "nothing of this visit was written|not known|cannot be")
        self.assertGreater(len(told), 3)
        subprocess.run(["mount", "-o", "remount,size=200m", disk], check=True)
        try:
            one.stop("immediate")
        except OSError:
            pass  # it has ended by itself
        one.start()
        there = [why for why, in one.psql("postgres", "SELECT why FROM job_book.visit ORDER BY id")]
        self.assertEqual(there[:len(told)], told)
        self.assertLessEqual(len(there), len(told) + 1)  # one that was written and not told
        self.assertIn("sound", self.good("check", where))
        self.good("document", where, NAME, "log.bin", self.path("again.bin"))
        self.assertEqual(os.path.getsize(self.path("again.bin")), 1500000)
        self.good("add", where, SITE, "--why", "after", "--by", "A. Person")


if __name__ == "__main__":
    unittest.main()
