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
        self.assertRegex(done.stdout, r"Electrical power at the +1\.3\d+ kW")
        self.assertRegex(done.stdout, r"Energy for each 1,000 gal +1\.4\d* kWh per 1,000 gal")
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
        self.assertAlmostEqual(checks["rest of the settings"]["margin"], 10 / 77 - 1, places=6)
        self.assertAlmostEqual(checks["starts of the settings"]["margin"], 11.5 / 15 - 1, places=6)
        self.assertTrue(checks["motor starts"]["guide"])
        self.assertNotIn("NEMA", size()["weakest"])
        three = json.loads(run("size", "examples/irrigation.yaml", "--length", "0s", "--json=line").stdout)
        self.assertTrue({check["id"]: check for check in three["checks"]}["rest of the settings"]["guide"])

    def test_zones_in_turn(self):
        """Four zones of 140 to 150 L/min that the demand opens one after the other: the main never carries all of them."""
        dam = json.loads(run("size", "examples/irrigation.yaml", "--length", "0s", "--json=line").stdout)
        flows = {pipe["line"]: pipe["flow_m3s"] * 6e4 for pipe in dam["pipes"]}
        self.assertAlmostEqual(flows["main"], 150, delta=1)
        self.assertAlmostEqual(flows["line 4"], 140, delta=1)
        head = [line for line in dam["lines"] if line["id"] == "design head"][0]["value"]
        # by hand: 9 m up from the dam's place, water 1.425 m under it in a dry season, 200 kPa = 20.4 m at zone 4, aged pipes
        self.assertGreater(head, 9 + 0.8 + 20.4 + 5)

    def test_head_is_the_sum_of_its_parts(self):
        for name in ("nursery", "stock-water", "transfer", "flats", "hill-tank"):
            answer = json.loads(run("size", f"examples/{name}.yaml", "--length", "0s", "--json=line").stdout)
            for line in answer["lines"]:
                if line["id"] in ("usual head", "design head"):
                    said = line["how"].split(", at ")[0].split(" + ")
                    parts = [float(part.split(" m")[0]) for part in said]
                    self.assertGreater(len(parts), 1)
                    self.assertAlmostEqual(sum(parts), line["value"], delta=0.1, msg=f"{name}: {line['how']}")

    def test_a_line_under_its_own_pressure_has_no_size_to_keep(self):
        answer = json.loads(run("size", "examples/transfer.yaml", "--length", "0s", "--json=line").stdout)
        self.assertFalse([check for check in answer["checks"] if check["words"].startswith("service pipe")])
        self.assertTrue([check for check in answer["checks"] if check["words"].startswith("riser")])

    def test_a_pump_in_the_water_has_no_suction_pipe(self):
        listed = [row["path"] for row in size()["defaults"]]
        self.assertFalse([path for path in listed if path.endswith(("suction.bore", "suction.length", "foot valve"))])
        dam = json.loads(run("size", "examples/irrigation.yaml", "--length", "0s", "--json=line").stdout)
        self.assertIn("site.design.suction.foot valve", [row["path"] for row in dam["defaults"]])


def checked(test, *swaps):
    """The demo's sheet with some words exchanged for others, each found once: what check says, as words and as JSON."""
    with open(SITE, encoding="utf-8") as file:
        text = file.read()
    for old, new in swaps:
        test.assertEqual(text.count(old), 1, old)
        text = text.replace(old, new)
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "site.yaml")
        with open(path, "w", encoding="utf-8") as out:
            out.write(text)
        return run("check", path), run("check", path, "--json=line")


class Messages(unittest.TestCase):
    """What a person typed wrongly is pointed at, and what is not near is not suggested."""

    def problems(self, *swaps):
        return checked(self, *swaps)[0].stderr

    def test_wrong_unit_in_a_sentence(self):
        told = self.problems(("250 kPa for 1 s", "250 kPa for 1 sekunde"))
        self.assertIn("found 1 sekunde", told)
        lines = told.split("\n")
        self.assertEqual(lines[2].index("^"), lines[1].index("sekunde"))
        self.assertIn("did you mean kPa?", self.problems(("pressure below 250 kPa", "pressure below 250 kPaa")))
        self.assertIn("a unit belongs behind the number", self.problems(("stop when no flow for 10 s", "stop when no flow for 10")))

    def test_no_suggestion_across_dimensions(self):
        for wrong in ("14 year", "14 foo", "14 kg"):
            told = self.problems(("specific capacity: 14 L/min per m", "specific capacity: " + wrong))
            self.assertIn("is not known here", told)
            self.assertNotIn("did you mean", told)
        self.assertNotIn("did you mean", self.problems(("start when pressure below", "start when foo below")))

    def test_severity_below_nothing(self):
        told = run("run", SITE, "--fault", "slow leak -2 L/min from 10 h").stderr
        self.assertIn("--fault (severity): found -2 L/min", told)

    def test_a_curve_of_two_points_is_read_all_the_same(self):
        with open(SITE, encoding="utf-8") as file:
            curve = file.read().split("    curve:\n")[1].split("    motor:")[0]
        told = self.problems((curve, "      - {flow: 0 L/min, head: 86 m}\n      - {flow: 15 Lpn, head: 83 kg}\n"))
        self.assertIn("at least 3", told)
        self.assertIn("curve[1].flow: found 15 Lpn", told)
        self.assertIn("curve[1].head: found 83 kg", told)


class Doubts(unittest.TestCase):
    """What check asks about although the sheet can be used: each slip gives its own warning and no other."""

    def warnings(self, *swaps):
        paper, done = checked(self, *swaps)
        self.assertEqual(done.returncode, 0, done.stderr)
        told = [(row["path"], row["found"], row["expected"], row["hint"]) for row in json.loads(done.stdout)["warnings"]]
        for row in told:
            self.assertIn("warning: " + row[0].replace("site.", ""), paper.stderr)
            self.assertIn(row[3], " ".join(paper.stdout.split()))
        return told

    def one(self, path, *swaps):
        told = self.warnings(*swaps)
        self.assertEqual([row[0] for row in told], [path])
        return told[0]

    def test_none_on_the_examples(self):
        for name in ("house", "nursery", "hill-tank", "irrigation", "stock-water", "tap-stand", "flats", "transfer"):
            self.assertEqual(json.loads(run("check", f"examples/{name}.yaml", "--json=line").stdout)["warnings"], [], name)

    def test_charge(self):
        slip = ("precharge: 230 kPa", "precharge: 251 kPa")
        self.assertIn("above the cut-in of 250 kPa", self.one("site.vessels[0].precharge", slip)[1])
        self.assertEqual(self.warnings(("precharge: 230 kPa", "precharge: 249 kPa")), [])
        slip = ("precharge: 230 kPa", "precharge: 420 kPa")
        self.assertIn("above the cut-out of 400 kPa", self.one("site.vessels[0].precharge", slip)[1])

    def test_cut_out(self):
        """Shut-off head 86 m, water 14 m down, shed at 2 m: 70 m stand at the sensor, 686 kPa at 16 degC."""
        slip = ("stop when pressure above 400 kPa", "stop when pressure above 690 kPa")
        self.assertIn("686 kPa", self.one("site.settings[1]", slip)[2])
        self.assertEqual(self.warnings((slip[0], "stop when pressure above 680 kPa")), [])

    def test_least_flow(self):
        """The duty at the cut-out of 400 kPa is 49.2 L/min (pumpwright duty)."""
        motor = "    motor:\n      power: 1.1 kW"
        row = self.one("site.pumps[0].least flow", (motor, "    least flow: 50 L/min\n" + motor))
        self.assertIn("49.2 L/min of this pump at 400 kPa", row[1])
        self.assertIn("at least 50 L/min", row[2])
        self.assertEqual(self.warnings((motor, "    least flow: 49 L/min\n" + motor)), [])

    def test_range_of_a_sensor(self):
        """A reading sticks at the ends of the range: a threshold beyond them is never passed."""
        row = self.one("site.settings[1]", ("from: 0 kPa, to: 1000 kPa", "from: 0 kPa, to: 390 kPa"))
        self.assertIn("pressure above 400 kPa", row[1])
        self.assertIn("0 kPa to 390 kPa", row[2])
        self.assertIn("never holds", row[3])
        self.assertEqual(len(self.warnings(("from: 0 kPa, to: 1000 kPa", "from: 0 kPa, to: 400 kPa"))), 1)
        self.assertEqual(self.warnings(("from: 0 kPa, to: 1000 kPa", "from: 0 kPa, to: 401 kPa")), [])
        row = self.one("site.settings[0]", ("from: 0 kPa, to: 1000 kPa", "from: 250 kPa, to: 1000 kPa"))
        self.assertIn("pressure below 250 kPa", row[1])
        self.assertIn("never holds", row[3])

    def test_levels(self):
        self.assertIn("1400 m", self.one("site.places[5].level", ("header tank, level: 14 m", "header tank, level: 1400 m"))[1])
        self.assertIn("at most 72 m", self.one("site.places[4].level", ("cottage, level: 6 m", "cottage, level: 73 m"))[2])

    def test_flow_switch(self):
        self.assertIn("never makes", self.one("site.sensors[1].bore", ("bore: 32.6 mm, makes", "bore: 326 mm, makes"))[3])

    def test_specific_capacity(self):
        slip = ("specific capacity: 14 L/min per m", "specific capacity: 0.14 L/min per m")
        self.assertIn("3.36 L/min", self.one("site.sources[0].specific capacity", slip)[1])

    def test_vessel(self):
        self.assertIn("in an hour", self.one("site.vessels[0].volume", ("volume: 100 L", "volume: 10 L"))[1])


if __name__ == "__main__":
    unittest.main()
