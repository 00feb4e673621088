"""Sizing from the command line: catalogues in their forms, messages, files. usage: test_size.py PROGRAM"""
import json
import os
import subprocess
import sys
import tempfile
import unittest

PROGRAM = sys.argv.pop(1)
SITE = "examples/nursery.yaml"
CATALOGUE = "examples/catalogue.yaml"


def run(*words):
    return subprocess.run([PROGRAM, *words], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def size(*words):
    done = run("size", SITE, "--length", "0s", "--json=line", *words)
    if done.returncode != 0:
        raise AssertionError(done.stderr)
    return json.loads(done.stdout)


class Size(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        self.addCleanup(self.folder.cleanup)

    def file(self, name, text):
        path = os.path.join(self.folder.name, name)
        with open(path, "w", encoding="utf-8") as out:
            out.write(text)
        return path

    def test_a_table_says_the_same_as_yaml(self):
        yaml = """
- name: Heron 4
  price: 470
  diameter: 96 mm
  motor: {power: 1.5 kW, phases: 1, voltage: 230 V}
  curve:
    - {flow: 0 L/min, head: 86 m, NPSH: 1.2 m, efficiency: 0 %}
    - {flow: 40 L/min, head: 74 m, efficiency: 52 %, NPSH: 2 m}
    - {flow: 85 L/min, head: 24 m, efficiency: 30 %, NPSH: 3.3 m}
- name: Small
  motor: {power: 0.5 kW}
  curve:
    - {flow: 0 L/min, head: 30 m, efficiency: 0 %}
    - {flow: 20 L/min, head: 25 m, efficiency: 40 %}
    - {flow: 40 L/min, head: 10 m, efficiency: 30 %}
"""
        table = """# invented
name,flow (L/min),head (m),efficiency (%),NPSH (m),motor power (kW),phases,voltage (V),price,diameter (mm)
Heron 4,0,86,0,1.2,1.5,1,230,470,96
Heron 4,40,74,52,2
,85,24,30,3.3
Small,0 L/min,30,0,,0.5
Small,20,25 m,40
Small,40,10,30 %
"""
        a = size("--catalogue", self.file("a.yaml", yaml))["choice"]
        b = size("--catalogue", self.file("b.csv", table))["choice"]
        c = size("--catalogue", self.file("c.csv", table.replace(",", ";")))["choice"]
        d = size("--catalogue", self.file("d.yaml", "catalogue:" + yaml))["choice"]
        self.assertEqual(a["fitting"], 1)
        self.assertEqual(a, b)
        self.assertEqual(a, c)
        self.assertEqual(a, d)

    def test_bad_tables_are_refused_with_line_and_column(self):
        for text, expected in [("name,flow,hed\n", ":1:11: "), ("name,flow (L/min),head (m)\n,0,3\n", ":2:1: ")]:
            path = self.file("bad.csv", text)
            done = run("size", SITE, "--catalogue", path)
            self.assertEqual(done.returncode, 1, done.stderr)
            self.assertIn(path + expected, done.stderr)
            self.assertEqual(done.stdout, "")

    def test_problems_of_pumps_have_their_path(self):
        path = self.file("c.yaml", "- name: A\n  motor: {power: 1 kW}\n  curve:\n    - {flow: 0 L/min, head: 5 kW}\n"
                         "    - {flow: 1 L/min, head: 4 m}\n    - {flow: 2 L/min, head: 3 m}\n")
        done = run("size", SITE, "--catalogue", path, "--json=line")
        self.assertEqual(done.returncode, 1)
        problems = json.loads(done.stdout)["problems"]
        self.assertEqual(problems[0]["path"], "catalogue[0].curve[0].head")

    def test_no_such_file(self):
        done = run("size", SITE, "--catalogue", self.folder.name + "/none.yaml")
        self.assertEqual(done.returncode, 3, done.stderr)
        self.assertIn("cannot read", done.stderr)

    def test_an_unknown_pump(self):
        done = run("size", SITE, "--pump", "bore pmp")
        self.assertEqual(done.returncode, 1)
        self.assertIn("bore pump", done.stderr)

    def test_pages(self):
        for words in ([], ["--explain"]):
            path = os.path.join(self.folder.name, "page.html")
            done = run("size", SITE, "--length", "0s", "--quiet", "--html", path, *words)
            self.assertEqual(done.returncode, 0, done.stderr)
            with open(path, encoding="utf-8") as file:
                page = file.read()
            self.assertIn("<svg", page)
            self.assertIn("licensed", page)
            self.assertNotIn("<script", page)
            self.assertEqual("IEC 60364-4-43, Table 43A" in page, bool(words))

    def test_the_same_bytes_each_time(self):
        self.assertEqual(size("--catalogue", CATALOGUE), size("--catalogue", CATALOGUE))
        self.assertEqual(run("size", SITE, "--length", "1d").stdout, run("size", SITE, "--length", "1d").stdout)

    def test_units(self):
        done = run("size", SITE, "--length", "0s", "--units", "us", "--quiet")
        self.assertIn("gpm", done.stdout)
        self.assertIn("ft in 100 ft", done.stdout)
        self.assertRegex(done.stdout, r"Electrical power at the usual duty +1\.3\d+ kW")
        self.assertRegex(done.stdout, r"Energy for each 1,000 gal at the +1\.4\d* kWh per 1,000 gal")
        self.assertRegex(done.stdout, r"more friction: \+0\.\d+ ft")
        self.assertNotRegex(done.stdout, r"[+-][0-9.]+ in\b")  # heads are not told in inches

    def test_currency(self):
        text = run("size", SITE, "--length", "1d", "--quiet", "--catalogue", CATALOGUE).stdout
        self.assertRegex(text, r"(?m)^ *% of length +EUR$")
        self.assertRegex(text, r"EUR a\s")
        self.assertIn("0.32 EUR per kWh", " ".join(run("size", SITE, "--length", "1d", "--quiet", "--explain").stdout.split()))

    def test_starts_by_table(self):
        """NEMA MG 10 Table 2-3, row of 2 hp, two poles: 11.5 starts in an hour, 77 s of rest. One phase: a guide."""
        checks = {check["id"]: check for check in size()["checks"]}
        self.assertAlmostEqual(checks["rest of the order"]["margin"], 10 / 77 - 1, places=6)
        self.assertAlmostEqual(checks["starts of the order"]["margin"], 11.5 / 15 - 1, places=6)
        self.assertTrue(checks["motor starts"]["guide"])
        self.assertNotIn("NEMA", size()["weakest"])
        three = json.loads(run("size", "examples/irrigation.yaml", "--length", "0s", "--json=line").stdout)
        self.assertNotIn("guide", {check["id"]: check for check in three["checks"]}["rest of the order"])

    def test_zones_in_turn(self):
        """Four zones of 140 to 150 L/min that the demand opens one after the other: the main never carries all of them."""
        dam = json.loads(run("size", "examples/irrigation.yaml", "--length", "0s", "--json=line").stdout)
        flows = {pipe["line"]: pipe["flow_m3s"] * 6e4 for pipe in dam["pipes"]}
        self.assertAlmostEqual(flows["main"], 150, delta=1)
        self.assertAlmostEqual(flows["line 4"], 140, delta=1)
        head = [line for line in dam["lines"] if line["id"] == "design head"][0]["value"]
        # by hand: 9 m up from the dam's place, water 1.425 m under it in a dry season, 200 kPa = 20.4 m at zone 4, aged pipes
        self.assertGreater(head, 9 + 0.8 + 20.4 + 5)

    def test_a_pump_in_the_water_has_no_suction_pipe(self):
        listed = [row["path"] for row in size()["defaults"]]
        self.assertFalse([path for path in listed if path.endswith(("suction.bore", "suction.length", "foot valve"))])
        dam = json.loads(run("size", "examples/irrigation.yaml", "--length", "0s", "--json=line").stdout)
        self.assertIn("site.design.suction.foot valve", [row["path"] for row in dam["defaults"]])


if __name__ == "__main__":
    unittest.main()
