"""A logger's file through the command line. usage: test_log.py PROGRAM"""
import gzip
import json
import os
import re
import signal
import subprocess
import sys
import tempfile
import unittest

PROGRAM = sys.argv.pop(1)


def meter(leak):
    """An hourly counter of 30 days in the German way, used by day; litres; a leak of 2 L/h from day 10 to day 15."""
    lines, litres = ["Zeit;Zähler (L)"], 1000.0
    for hour in range(24 * 30):
        litres += 12.5 if hour % 24 in (7, 8, 12, 19) else 0.0
        litres += 2.0 if leak and 240 <= hour < 360 else 0.0
        text = ("%.1f" % litres).replace(".", ",")
        lines.append("%02d.04.2024 %02d:00;%s" % (hour // 24 + 1, hour % 24, text))
    return ("\r\n".join(lines) + "\r\n").encode()


def text_of(path):
    with open(path, encoding="utf-8") as file:
        return file.read()


def ask(data, *words, name="log.csv"):
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, name)
        with open(path, "wb") as file:
            file.write(data)
        return subprocess.run([PROGRAM, "diagnose", path, *words], capture_output=True, text=True, timeout=60)


class Log(unittest.TestCase):
    def test_what_is_kept_over_the_years(self):
        answer = json.loads(ask(meter(True), "--json=line", "-q").stdout)
        shown = {reading["what"]: reading for reading in answer["readings"]}
        self.assertLessEqual(set(shown), set(answer["features"]))  # without a sheet by the names of logs only
        self.assertEqual(shown["night flow"]["si"], answer["features"]["night flow"])
        with open("docs/door.md", encoding="utf-8") as file:
            site = json.loads(re.search(r"```json site\n(.*?)```", file.read(), re.S)[1])
        readings = [{"what": "current while running", "day": 365.25 * year, "si": 4.0 + 0.5 * year} for year in range(4)]
        request = json.dumps({"do": "trend", "site": site, "readings": readings})
        done = subprocess.run([PROGRAM, "door"], input=request, capture_output=True, text=True)
        trend, = json.loads(done.stdout)["trends"]
        self.assertEqual((trend["finding"], trend["words"]), ("drifts", "now 5.5 A, 0.5 A a year; no limit is known for it"))

    def test_leak(self):
        done = ask(meter(True), "--json=line", "-q")
        self.assertEqual(done.returncode, 0, done.stderr)
        answer = json.loads(done.stdout)
        leak, = answer["log"]["standing"]
        self.assertAlmostEqual((leak["end_s"] - leak["begin_s"]) / 3600, 120, delta=8)
        self.assertAlmostEqual(leak["size_m3s"]["best"] * 3.6e6, 2.0, delta=0.1)
        self.assertEqual(answer["hypotheses"][0]["what"], "slow leak")

    def test_no_leak(self):
        answer = json.loads(ask(meter(False), "--json=line", "-q").stdout)
        self.assertEqual(answer["log"]["standing"], [])
        self.assertEqual(answer["hypotheses"][0]["what"], "none")

    def test_packed_is_the_same(self):
        plain = ask(meter(True), "--json=line", "-q")
        packed = ask(gzip.compress(meter(True)), "--json=line", "-q", name="log.csv.gz")
        self.assertEqual(plain.stdout, packed.stdout)

    def test_cut_in_its_packing(self):
        done = ask(gzip.compress(meter(True))[:-400], "-q", name="log.csv.gz")
        self.assertIn("cannot be read to its end", done.stderr)

    def test_told_and_said_otherwise(self):
        done = ask(meter(True), "--language", "en")
        self.assertIn("semicolons between the fields, decimal comma", done.stderr)
        self.assertIn("--column 'Zähler (L)=volume L'", done.stderr)
        done = ask(meter(True), "--column", "Zähler (L)=volume bananas")
        self.assertEqual(done.returncode, 1)
        self.assertIn("bananas", done.stderr)
        done = ask(meter(True), "--language", "de")
        self.assertIn("endete von 2024-04-10", done.stdout)

    def test_columns_saved_and_read(self):
        with tempfile.TemporaryDirectory() as folder:
            path = os.path.join(folder, "columns.txt")
            first = ask(meter(True), "--json=line", "-q", "--save-columns", path)
            self.assertIn("Zähler (L)=volume L\n", text_of(path))
            again = ask(meter(True), "--json=line", "-q", "--columns", path)
            self.assertEqual(first.stdout, again.stdout)
            with open(path, "w", encoding="utf-8") as file:
                file.write("# none of it\nZähler (L)=-\n")
            self.assertEqual(ask(meter(True), "-q", "--columns", path).returncode, 1)

    def test_two_columns_of_one_signal(self):
        """Half of what flows in each of two columns, asked for both: the same as all in one."""
        lines = meter(True).decode().split("\r\n")
        halves = []
        for line in lines[1:]:
            stamp, value = line.split(";") if line else ("", "")
            half = ("%.3f" % (float(value.replace(",", ".")) / 2)).replace(".", ",") if value else ""
            halves.append("%s;%s;%s" % (stamp, half, half) if line else "")
        data = "\r\n".join(["Zeit;a;b"] + halves).encode()
        both = json.loads(ask(data, "--json=line", "-q", "--column", "a=volume L", "--column", "b=volume L").stdout)
        one = json.loads(ask(data, "--json=line", "-q", "--column", "a=volume L").stdout)
        whole = json.loads(ask(meter(True), "--json=line", "-q").stdout)
        size = [answer["log"]["standing"][0]["size_m3s"]["best"] for answer in (both, one, whole)]
        self.assertAlmostEqual(size[0], size[2], delta=0.01 * size[2])
        self.assertAlmostEqual(size[1], 0.5 * size[2], delta=0.01 * size[2])

    def test_ten_thousand_columns(self):
        head = "time;" + ";".join("x%d" % i for i in range(9998)) + ";pressure kPa"
        rows = ["%d;%s;%d" % (60 * i, ";".join(["0"] * 9998), 300 - i % 7) for i in range(40)]
        done = ask("\n".join([head] + rows).encode(), "--json=line")
        self.assertEqual(done.returncode, 0, done.stderr)
        self.assertEqual(json.loads(done.stdout)["log"]["rows"], 40)
        self.assertIn("10000 columns", done.stderr)

    def test_followed_as_it_grows(self):
        """A leak in a file that is written on: told once three looks agree, after the leak began and before the file ends."""
        lines = meter(True).decode().split("\r\n")
        with tempfile.TemporaryDirectory() as folder:
            path = os.path.join(folder, "log.csv")
            with open(path, "w", encoding="utf-8") as file:
                file.write("\r\n".join(lines[:200]) + "\r\n")
            words = [PROGRAM, "diagnose", path, "--follow", "-q", "--json=line"]
            with subprocess.Popen(words, stdout=subprocess.PIPE, text=True) as watch:
                with open(path, "a", encoding="utf-8") as file:
                    file.write("\r\n".join(lines[200:]))
                news = json.loads(watch.stdout.readline())
                watch.send_signal(signal.SIGINT)
                last = json.loads(watch.stdout.read().splitlines()[-1])
        begin = 1711929600 + 240 * 3600  # 2024-04-01 00:00 and ten days
        self.assertEqual((news["news"], news["hypotheses"][0]["what"]), ("raised", "slow leak"))
        self.assertTrue(24 * 3600 < news["at_s"] - begin < 72 * 3600, (news["at_s"] - begin) / 3600)
        self.assertIn(last["news"], ("as of now", "over"))

    def test_nothing_is_raised_without_a_leak(self):
        done = subprocess.run([PROGRAM, "diagnose", "-", "--follow", "-q", "--json=line"], input=meter(False), capture_output=True, timeout=60)
        self.assertEqual([json.loads(line)["news"] for line in done.stdout.splitlines()], ["as of now"])


SHEET = """site: Fitted   # a comment
places:
  - {name: well, level: 0 m}
  - {name: shed, level: 1 m}
sources:
  - {name: w, at: well, kind: open, standing water level: 2 m, intake: 6 m}
pumps:
  - name: p
    from: well
    to: shed
    curve:
      - {flow: 0 L/min, head: 80 m}   # by the maker
      - {flow: 30 L/min, head: 70 m, efficiency: 48 %}
      - {flow: 60 L/min, head: 40 m, efficiency: 50 %}
    motor: {power: 1.1 kW}
vessels:
  - {name: v, at: shed, volume: 100 L, precharge: 230 kPa}   # pumped up in spring
outlets:
  - {name: taps, at: shed}
sensors:
  - {name: pressure, kind: pressure, at: shed}
demand:
  - {outlet: taps, kind: random, per day: 60, flow: 8 L/min, for: 40 s}
settings:
  - start when pressure below 250 kPa for 1 s
  - stop when pressure above 400 kPa
"""


class Fit(unittest.TestCase):
    def test_a_weaker_pump_changes_the_curve_and_nothing_else(self):
        with tempfile.TemporaryDirectory() as folder:
            sheet, log, fitted = (os.path.join(folder, name) for name in ("site.yaml", "log.csv", "fitted.yaml"))
            with open(sheet, "w", encoding="utf-8") as file:
                file.write(SHEET)
            heads = [word for i, head in enumerate((80, 70, 40)) for word in ("--set", "pumps[0].curve[%d].head=%.1f m" % (i, 0.8 * head))]
            run = [PROGRAM, "run", sheet, "--length", "2 d", "--every", "5 s", "--csv", log, "-q", *heads]
            self.assertEqual(subprocess.run(run, capture_output=True).returncode, 0)
            words = [PROGRAM, "fit", sheet, log, "-q", "--write", fitted, "--number", "pumps[*].curve[*].head", "--language", "en",
                     "--column", "p flow (L/min)=flow L/min", "--column", "draw-off (L/min)=-"]
            done = subprocess.run(words, capture_output=True, text=True)
            self.assertEqual(done.returncode, 0, done.stderr)
            self.assertIn("-      - {flow: 0 L/min, head: 80 m}   # by the maker", done.stdout)
            old, new = SHEET.splitlines(), text_of(fitted).splitlines()
            changed = [(a, b) for a, b in zip(old, new) if a != b]
            self.assertEqual((len(old), len(changed)), (len(new), 3))
            first = float(changed[0][1].split("head: ")[1].split(" m")[0])
            self.assertAlmostEqual(first / 80, 0.8, delta=0.05)
            self.assertTrue(changed[0][1].endswith("}   # by the maker"))

    def test_what_is_wrong_is_told(self):
        done = subprocess.run([PROGRAM, "fit", "site.yaml"], capture_output=True, text=True)
        self.assertEqual(done.returncode, 2)


if __name__ == "__main__":
    unittest.main()
