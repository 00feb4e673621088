"""The papers that are left on site, and the readings of the day. usage: test_handover.py PROGRAM"""
import json
import os
import re
import subprocess
import sys
import tempfile
import unittest

PROGRAM = sys.argv.pop(1)
SITE = "examples/nursery.yaml"


def run(*words):
    return subprocess.run([PROGRAM, *words], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def tool(*words):
    return subprocess.run(words, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, check=True).stdout


class Papers(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        for name, words in (("en", ["--call", "Somebody, 000 111", "--paper", "letter"]), ("de", ["--language", "de"])):
            given = ["-o", os.path.join(cls.folder.name, name)]  # a letter that other commands give another meaning: before and behind
            command = ["handover", SITE, "--no-proof"]
            done = run(*(command + given if name == "en" else given + command), *words)
            if done.returncode != 0:
                raise AssertionError(done.stderr)

    @classmethod
    def tearDownClass(cls):
        cls.folder.cleanup()

    def path(self, language, name="handover.pdf"):
        return os.path.join(self.folder.name, language, name)

    def test_the_file_is_sound(self):
        for language in ("en", "de"):
            tool("qpdf", "--check", self.path(language))

    def test_sheets_and_metadata(self):
        info = dict(line.split(":", 1) for line in tool("pdfinfo", self.path("en")).splitlines() if ":" in line)
        self.assertEqual(info["Title"].strip(), "Hand-over: Hillside plant nursery")
        self.assertIn("612 x 792", info["Page size"])
        self.assertIn("A4", tool("pdfinfo", self.path("de")))
        self.assertTrue(7 <= int(info["Pages"]) <= 12, info["Pages"])
        pages = tool("pdftotext", "-layout", self.path("en"), "-").split("\f")[:-1]
        self.assertEqual(len(pages), int(info["Pages"]))
        for number, page in enumerate(pages, 1):
            self.assertRegex(page, rf"\b{number} of {len(pages)}\b")
            self.assertIn("Hillside plant nursery", page)

    def test_fonts_are_in_it(self):
        rows = tool("pdffonts", self.path("en")).splitlines()[2:]
        self.assertTrue(rows)
        for row in rows:
            self.assertRegex(row, r" yes (yes|no) yes ", row)

    def test_all_parts_are_there_as_real_text(self):
        text = re.sub(r"\s+", " ", tool("pdftotext", self.path("en"), "-"))
        for words in ("The site from the side", "header tank", "Duty of bore pump", "start when pressure below 250 kPa for 1 s",
                      "What the control does", "Causes and effects", "no conformity is claimed", "No faults were tried", "Commissioning tests",
                      "shut-off pressure of bore pump", "For the owner", "confined spaces", "scald", "Drinking water", "Handed over by",
                      "Fingerprint", "Defaults used"):
            self.assertIn(words, text)
        german = re.sub(r"\s+", " ", tool("pdftotext", self.path("de"), "-"))
        for words in ("Übergabe", "Ursachen und Wirkungen", "Prüfungen zur Inbetriebnahme", "Für den Betreiber", "Übernommen von"):
            self.assertIn(words, german)

    def test_no_picture_is_made_of_pixels(self):
        self.assertEqual(len(tool("pdfimages", "-list", self.path("en")).splitlines()), 2)

    def test_the_owner_has_one_side(self):
        pages = tool("pdftotext", "-layout", self.path("en"), "-").split("\f")[:-1]
        owners = [page for page in pages if "For the owner" in page]
        self.assertEqual(len(owners), 1)
        self.assertIn("Call: Somebody, 000 111", owners[0])
        self.assertNotIn("Cautions", owners[0])

    def test_page_and_text_say_the_same(self):
        with open(self.path("en", "handover.html"), encoding="utf-8") as file:
            html = file.read()
        with open(self.path("en", "handover.txt"), encoding="utf-8") as file:
            text = file.read()
        for words in ("Causes and effects", "For the owner", "Commissioning tests", "Handed over and taken over"):
            self.assertIn(words, html)
            self.assertIn(words, text)
        self.assertEqual(html.count("<svg class=\"pw-wide\""), 3)  # section, duty, suction

    def test_a_changed_sheet_has_another_fingerprint(self):
        marks = [json.loads(run("handover", SITE, "--no-proof", "--json=line", *words).stdout)["mark"]
                 for words in ([], [], ["--set", "vessels[0].precharge=231 kPa"])]
        self.assertRegex(marks[0], r"^[0-9a-f]{16}$")
        self.assertEqual(marks[0], marks[1])
        self.assertNotEqual(marks[0], marks[2])

    def test_a_proof_tells_blind_bands(self):
        done = run("handover", SITE, "--sweep", "6", "--years", "0", "--horizon", "1 d", "-q")
        self.assertEqual(done.returncode, 0, done.stderr)
        self.assertIn("No sentence ever sees a leak", done.stdout)

    def test_a_folder_that_cannot_be(self):
        done = run("handover", SITE, "--no-proof", "-o", "/dev/null/papers")
        self.assertEqual(done.returncode, 3, done.stderr)
        self.assertIn("/dev/null/papers", done.stderr)


class Readings(unittest.TestCase):
    def judge(self, text, *words):
        with tempfile.NamedTemporaryFile("w", suffix=".yaml", encoding="utf-8") as file:
            file.write(text)
            file.flush()
            return file.name, run("commission", SITE, file.name, *words)

    def test_pass_fail_and_cannot_tell(self):
        done = self.judge("readings:\n"
                          "  - {what: precharge of shed vessel, reads: 226 kPa, error: 5 kPa}\n"
                          "  - {what: cut-out of bore pump, reads: 440 kPa, error: 4 kPa}\n"
                          "  - {what: cut-in of bore pump, reads: 244 kPa}\n"
                          "  - {what: supply voltage, reads: 230 V, error: 40 V}\n", "--json=line")[1]
        self.assertEqual(done.returncode, 0, done.stderr)
        found = [(reading["verdict"], reading["usual_error"]) for reading in json.loads(done.stdout)["readings"]]
        self.assertEqual(found, [("pass", False), ("fail", False), ("cannot tell", True), ("cannot tell with this gauge", False)])

    def test_the_list_alone_will_do(self):
        done = self.judge("- {what: supply voltage, reads: 231 V}\n", "--language", "de")[1]
        self.assertEqual(done.returncode, 0, done.stderr)
        self.assertIn("bestanden", done.stdout)
        self.assertIn("Nicht gemessen", done.stdout)

    def test_slips_are_told_with_their_place(self):
        name, done = self.judge("readings:\n  - {what: precharge of shad vessel, reads: 226 kPa}\n"
                                "  - {what: supply voltage, reads: 230 kPa}\n")
        self.assertEqual(done.returncode, 1)
        self.assertIn(f"{name}:2:", done.stderr)
        self.assertIn('did you mean "precharge of shed vessel"?', done.stderr)
        self.assertIn(f"{name}:3:", done.stderr)
        self.assertIn("found 230 kPa", done.stderr)

    def test_a_file_without_readings(self):
        done = self.judge("what: nothing\n")[1]
        self.assertEqual(done.returncode, 1)
        self.assertIn("readings", done.stderr)

    def test_without_a_file_what_is_expected(self):
        done = run("commission", SITE)
        self.assertEqual(done.returncode, 0, done.stderr)
        self.assertIn("standing water level of bore", done.stdout)


if __name__ == "__main__":
    unittest.main()
