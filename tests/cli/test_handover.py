"""The papers that are left on site, and the readings of the day. usage: test_handover.py PROGRAM"""
import base64
import json
import os
import re
import struct
import subprocess
import sys
import tempfile
import unittest
import xml.etree.ElementTree

PROGRAM = sys.argv.pop(1)
SITE = "examples/nursery.yaml"


def run(*words):
    return subprocess.run([PROGRAM, *words], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def site_of_the_docs():
    with open("docs/door.md", encoding="utf-8") as file:
        return json.loads(re.search(r"```json site\n(.*?)```", file.read(), re.S)[1])


def door(**request):
    done = subprocess.run([PROGRAM, "door", "-q"], input=json.dumps(request), stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    return json.loads(done.stdout)


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

    def test_what_an_archive_asks_for(self):
        """The rules are those of ISO 19005-2 from memory: no checker of them is in Debian 12."""
        for language in ("en", "de"):
            path = self.path(language)
            objects = json.loads(tool("qpdf", "--json=2", "--json-stream-data=inline", path))["qpdf"][1]
            value = lambda name: objects["obj:" + name].get("value") or objects["obj:" + name]["stream"]["dict"]
            trailer = objects["trailer"]["value"]
            root = value(trailer["/Root"])
            self.assertEqual(len(trailer["/ID"]), 2)
            self.assertEqual(root["/Lang"], f"u:{language}")
            intent = value(root["/OutputIntents"][0])
            self.assertEqual((intent["/S"], intent["/OutputConditionIdentifier"]), ("/GTS_PDFA1", "u:sRGB IEC61966-2.1"))
            profile = base64.b64decode(objects["obj:" + intent["/DestOutputProfile"]]["stream"]["data"])
            self.assertEqual((profile[12:20], profile[36:40]), (b"mntrRGB ", b"acsp"))
            self.assertLess(profile[8], 5)  # the profile's version
            metadata = value(root["/Metadata"])
            self.assertEqual((metadata["/Type"], metadata["/Subtype"], metadata.get("/Filter")), ("/Metadata", "/XML", None))
            self.the_metadata_agree(tool("pdfinfo", "-meta", path), value(trailer["/Info"]))
            for thing in objects.values():
                inside = json.dumps(thing.get("value") or thing["stream"]["dict"])
                for banned in ("/JavaScript", "/Launch", "/EmbeddedFile", "/LZWDecode", '"/Interpolate": true', "/DeviceCMYK"):
                    self.assertNotIn(banned, inside)
                if '"/Subtype": "/CIDFontType2"' in inside:
                    self.assertIn('"/CIDToGIDMap": "/Identity"', inside)

    def the_metadata_agree(self, xmp, info):
        tree = xml.etree.ElementTree.fromstring(xmp)
        words = {part.tag.split("}")[1]: "".join(part.itertext()).strip() for part in tree[0][0]}
        self.assertEqual((words["part"], words["conformance"]), ("2", "B"))
        for key, same in (("/Title", "title"), ("/Subject", "description"), ("/Author", "creator"), ("/Creator", "CreatorTool"),
                          ("/Producer", "Producer")):
            self.assertEqual(info.get(key, "u:")[2:], words.get(same, ""), key)
        digits = re.sub(r"\D", "", words["CreateDate"])
        self.assertEqual(re.sub(r"\D", "", info["/CreationDate"])[:14], digits[:14])

    def test_widths_are_those_of_the_fonts(self):
        """Read from the fonts in the file by this test itself: OpenType, tables head, hhea, hmtx and cmap format 4."""
        objects = json.loads(tool("qpdf", "--json=2", "--json-stream-data=inline", "--decode-level=all", self.path("en")))["qpdf"][1]
        compared = 0
        for thing in objects.values():
            font = thing.get("value")
            if isinstance(font, dict) and font.get("/Subtype") == "/TrueType":
                file = objects["obj:" + font["/FontDescriptor"]]["value"]["/FontFile2"]
                width_of = widths(base64.b64decode(objects["obj:" + file]["stream"]["data"]))
                for i, width in enumerate(font["/Widths"]):
                    if width:
                        self.assertAlmostEqual(width, width_of(bytes([font["/FirstChar"] + i]).decode("cp1252")), delta=1)
                        compared += 1
        self.assertGreater(compared, 50)

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


def widths(data):
    """Width of a character in thousandths, from a TrueType font."""
    tables = {}
    for i in range(struct.unpack(">H", data[4:6])[0]):
        name, _, at, length = struct.unpack(">4sIII", data[12 + 16 * i:28 + 16 * i])
        tables[name] = data[at:at + length]
    em, = struct.unpack(">H", tables[b"head"][18:20])
    count, = struct.unpack(">H", tables[b"hhea"][34:36])
    cmap = tables[b"cmap"]
    platform, encoding, at = struct.unpack(">HHI", cmap[4:12])
    assert (platform, encoding) == (3, 1)
    part = cmap[at:]
    half = struct.unpack(">H", part[6:8])[0]
    rows = [struct.unpack(f">{half // 2}H", part[begin:begin + half]) for begin in (14, 16 + half, 16 + 2 * half, 16 + 3 * half)]

    def glyph(code):
        for i, (end, start, delta, offset) in enumerate(zip(*rows)):
            if start <= code <= end:
                if offset == 0:
                    return (code + delta) & 0xFFFF
                where = 16 + 3 * half + 2 * i + offset + 2 * (code - start)
                return struct.unpack(">H", part[where:where + 2])[0]
        return 0
    return lambda letter: 1000 * struct.unpack(">H", tables[b"hmtx"][4 * min(glyph(ord(letter)), count - 1):][:2])[0] / em


class Short(unittest.TestCase):
    """The short paper, and what a person adds."""
    GIVEN = {"date": "1 December 2026", "owner": "C. Customer", "address": "Upper road 3",
             "found": ["start when pressure below 150 kPa"], "assumed": ["Volume, whole vessel = 60 L"],
             "photos": [{"words": "Pump shed", "picture": "data:image/jpeg;base64,/9j/AAAA"}]}

    def test_it_is_a_selection_of_the_whole(self):
        blocks = {}
        for short in (True, False):
            blocks[short] = door(do="handover", site=site_of_the_docs(), document=True, short=short, **self.GIVEN)["document"]["blocks"]
        whole = [json.dumps(block) for block in blocks[False]]
        other = [block for block in blocks[True] if json.dumps(block) not in whole]
        # the lead says which it is; places are numbered in the whole only
        self.assertEqual([block["kind"] for block in other], ["lead", "figure"])
        self.assertGreater(len(blocks[False]), len(blocks[True]) + 10)
        words = json.dumps(blocks[True])
        for said in ("C. Customer", "Upper road 3", "1 December 2026", "below 150 kPa", "below 200 kPa", "Volume, whole vessel", "Pump shed",
                     "For the owner"):
            self.assertIn(said, words)
        self.assertNotIn("Causes and effects", words)

    def test_a_proof_that_was_made_in_parts_is_told_as_one_made_here(self):
        options = {"years": 0, "sweep": 2, "horizon": "2 h", "onset": "1 h", "margins": False}
        site = site_of_the_docs()
        parts = [door(do="prove", site=site, part=[i, 3], **options)["outcomes"] for i in range(3)]
        asked = {"do": "handover", "site": site, "document": True, **options}
        told = door(**asked, outcomes=sum(parts, []))
        self.assertEqual(told, door(**asked, proof=True))
        self.assertIn("faults tried", json.dumps(told))

    def test_slips_are_told(self):
        for key, value in (("photos", [{"words": "", "picture": "data:image/jpeg;base64,\"><script>"}]),
                           ("photos", [{"picture": "file:///etc/passwd"}]), ("photos", [self.GIVEN["photos"][0]] * 13),
                           ("found", "start"), ("assumed", [1])):
            told = door(do="handover", site=site_of_the_docs(), **{key: value})
            self.assertEqual([problem["path"].split("[")[0] for problem in told["problems"]], [key], value)

    def test_files_from_the_command_line(self):
        with tempfile.TemporaryDirectory() as folder:
            place = lambda name: os.path.join(folder, name)
            with open(SITE, encoding="utf-8") as file:
                sheet = file.read()
            marked = re.sub(r"standing water level: 14 m.*", "standing water level: 14 m # assumed", sheet)
            self.assertNotEqual(marked, sheet)
            for name, text in (("as.yaml", marked), ("found.yaml", sheet.replace("400 kPa", "410 kPa")), ("none.jpg", "no picture")):
                with open(place(name), "w", encoding="utf-8") as file:
                    file.write(text)
            run("handover", SITE, "--no-proof", "--short", "-q", "-o", place("first"))
            tool("pdftoppm", "-jpeg", "-r", "150", "-f", "1", "-l", "1", "-singlefile", place("first/handover.pdf"), place("photo"))
            done = run("handover", place("as.yaml"), "--no-proof", "--short", "--found", place("found.yaml"),
                       "--photo", place("photo.jpg") + "=Pump shed", "--site-address", "Upper road 3", "-q", "-o", place("papers"))
            self.assertEqual(done.returncode, 0, done.stderr)
            info = tool("pdfinfo", place("papers/handover.pdf"))
            self.assertLessEqual(int(re.search(r"Pages: +(\d+)", info)[1]), 4)
            self.assertLessEqual(int(re.search(r"Pages: +(\d+)", tool("pdfinfo", place("first/handover.pdf")))[1]), 3)
            tool("qpdf", "--check", place("papers/handover.pdf"))
            text = re.sub(r"\s+", " ", tool("pdftotext", place("papers/handover.pdf"), "-"))
            for words in ("Upper road 3", "stop when pressure above 410 kPa", "stop when pressure above 400 kPa",
                          "standing water level: 14 m", "Photo 1: Pump shed"):
                self.assertIn(words, text)
            pictures = tool("pdfimages", "-list", place("papers/handover.pdf")).splitlines()[2:]
            self.assertEqual([(row.split()[8], int(row.split()[4])) for row in pictures], [("jpeg", 1280)])  # 1754 pixels before
            with open(place("papers/handover.html"), encoding="utf-8") as file:
                self.assertIn('<img src="data:image/jpeg;base64,/9j/', file.read())
            done = run("handover", SITE, "--no-proof", "--photo", place("none.jpg"))
            self.assertEqual(done.returncode, 3, done.stderr)
            self.assertIn("it is no picture", done.stderr)


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
