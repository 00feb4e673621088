"""What the tests of the job book share: running the program, a book in a file and one on a server, each with the same tests."""
import os
import sqlite3
import subprocess
import sys
import tempfile
import unittest

import server

PROGRAM = sys.argv[1]
SITE, NAME = "examples/nursery.yaml", "Hillside plant nursery"
LIMIT = "lock out when running for 90 min"
SERVER = None


def run(*words, **more):
    return subprocess.run([PROGRAM, "book", *words], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, **more)


class Case(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = folder.name
        self.book = self.begin()

    def path(self, name):
        return os.path.join(self.folder, name)

    def mount(self, options):
        """A small disk of its own; only root may."""
        folder = self.path("disk")
        os.makedirs(folder, exist_ok=True)
        done = subprocess.run(["mount", "-t", "tmpfs", "-o", options, "tmpfs", folder], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        if done.returncode != 0:
            self.skipTest("no disk may be mounted here: " + done.stderr.strip())
        self.addCleanup(subprocess.run, ["umount", folder], check=True)
        return folder

    def begin(self):
        return self.path("jobs.book")

    def good(self, *words, **more):
        done = run(*words, **more)
        self.assertEqual(done.returncode, 0, done.stderr + done.stdout)
        return done.stdout

    def put(self, name, text):
        with open(self.path(name), "w", encoding="utf-8") as file:
            file.write(text)
        return file.name

    def readings(self, precharge, flow="61 L/min", *more):
        rows = [("precharge of shed vessel", precharge + ", error: 2 kPa"), ("flow of bore pump at cut-in", flow), *more]
        return self.put("readings.yaml", "readings:\n" + "".join(f"  - {{what: {what}, reads: {reads}}}\n" for what, reads in rows))

    def sheet(self, name, *changes, site=SITE):
        """The sheet with some words in the place of others, as a file."""
        with open(site, encoding="utf-8") as file:
            text = file.read()
        for was, now in changes:
            self.assertIn(was, text)
            text = text.replace(was, now)
        return self.put(name, text)

    def add(self, *words, who="A. Person"):
        return self.good("add", self.book, SITE, *words, "--by", who)

    def rows(self, sql, path=None):
        """Rows of texts of the book."""
        db = sqlite3.connect(path or self.book)
        try:
            with db:
                return [tuple(str(cell) for cell in row) for row in db.execute(sql).fetchall()]
        finally:
            db.close()


class InFile(Case):
    """A book that is a file."""


@unittest.skipUnless(server.tools(), "no PostgreSQL server here")
class OnServer(Case):
    """A book on a server: a database for each test."""
    count = 0

    @classmethod
    def setUpClass(cls):
        global SERVER
        if run("list", "postgresql:///").stderr.find("without PostgreSQL") >= 0:
            raise unittest.SkipTest("the program was built without PostgreSQL")
        if SERVER is None:
            SERVER = server.Server()
            unittest.addModuleCleanup(SERVER.end)

    def begin(self):
        OnServer.count += 1
        self.database = f"book{OnServer.count}"
        SERVER.psql("postgres", f"CREATE DATABASE {self.database}")
        return SERVER.where(self.database)

    def rows(self, sql, path=None):
        return Case.rows(self, sql, path) if path else SERVER.psql(self.database, "SET search_path TO job_book;" + sql)
