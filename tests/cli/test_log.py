"""A logger's file through the command line. usage: test_log.py PROGRAM"""
import gzip
import json
import os
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


def ask(data, *words, name="log.csv"):
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, name)
        with open(path, "wb") as file:
            file.write(data)
        return subprocess.run([PROGRAM, "diagnose", path, *words], capture_output=True, text=True, timeout=60)


class Log(unittest.TestCase):
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


if __name__ == "__main__":
    unittest.main()
