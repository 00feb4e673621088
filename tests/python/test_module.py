#!/usr/bin/env python3
"""The Python module over the built library.

usage: test_module.py SOURCE BUILD
"""
import json
import os
import signal
import subprocess
import sys
import tempfile
import threading
import time
import unittest

SOURCE, BUILD = sys.argv[1:3]
sys.path.insert(0, f"{SOURCE}/python")
sys.dont_write_bytecode = True
os.environ["PUMPWRIGHT_LIBRARY"] = f"{BUILD}/libpumpwright.so.0"
import pumpwright  # noqa: E402
from pumpwright import _library  # noqa: E402

NURSERY, HOUSE = f"{SOURCE}/examples/nursery.yaml", f"{SOURCE}/examples/house.yaml"
SHORT = {"years": 0, "sweep": 2, "horizon": "6 h"}


def text_of(path):
    with open(path, encoding="utf-8") as file:
        return file.read()


def by_command_line(do, site, *options):
    done = subprocess.run([f"{BUILD}/pumpwright", do, site, "--json", *options], capture_output=True, text=True, check=True)
    return json.loads(done.stdout)


class Answers(unittest.TestCase):
    def test_the_same_as_the_command_line(self):
        for do, keys, options in (("check", {}, []), ("duty", {"units": "bar,m3/h"}, ["--units", "bar,m3/h"]),
                                  ("prove", SHORT, ["--years", "0", "--sweep", "2", "--horizon", "6 h"])):
            with self.subTest(do=do):
                answer = getattr(pumpwright, do)(NURSERY, **keys)
                expected = by_command_line(do, NURSERY, *options)
                warnings = [(one.path, one.words) for one in answer.pop("warnings")]
                self.assertEqual(warnings, [(one["path"], one["words"]) for one in expected.pop("warnings")])
                self.assertEqual(answer, expected)

    def test_a_sheet_in_every_form(self):
        by_name = pumpwright.check(NURSERY)
        sheet = pumpwright.Sheet(NURSERY)
        self.assertEqual(pumpwright.check(sheet), by_name)
        self.assertEqual(pumpwright.check(sheet.as_dict()), by_name)
        self.assertEqual(pumpwright.check(pumpwright.Sheet(text=text_of(NURSERY), name="x.yaml")), by_name)
        changed = sheet.as_dict()
        changed["site"] = "Grünhof"
        self.assertEqual(pumpwright.check(changed)["name"], "Grünhof")

    def test_measured_traces_are_found_beside_the_sheet(self):
        demand = pumpwright.Sheet(HOUSE).as_dict()["demand"][0]
        self.assertGreater(len(demand["times"]), 100)

    def test_run_with_a_fault(self):
        burst = [{"what": "burst", "severity": "40 L/min", "onset": "30 min"}]
        healthy = pumpwright.run(NURSERY, length="3 h")
        broken = pumpwright.run(NURSERY, length="3 h", faults=burst, release_after="1 h", text=False)
        self.assertEqual(healthy["totals"]["leaked_m3"], 0)
        self.assertGreater(broken["totals"]["leaked_m3"], 1)
        self.assertIn("Day book", healthy["text"])
        self.assertNotIn("text", broken)

    def test_how_far_it_is_is_told_in_the_language_asked_for(self):
        for language, words in (("en", "writing the day book"), ("de", "das Tagebuch wird geschrieben")):
            told = []
            pumpwright.run(NURSERY, length="1 h", language=language, progress=lambda done, what: told.append(what))
            self.assertIn(words, told)

    def test_workers_change_nothing(self):
        self.assertEqual(pumpwright.prove(NURSERY, workers=3, **SHORT), pumpwright.prove(NURSERY, **SHORT))

    def test_advice_from_several_processors(self):
        quick = {"years": 1, "sweep": 2, "horizon": "1 h", "able": ["running", "no flow"]}
        several = pumpwright.advise(NURSERY, workers=2, **quick)
        self.assertEqual(several, pumpwright.advise(NURSERY, **quick))
        self.assertEqual(several["checked"]["jobs"], several["checked"]["same"])

    def test_size_and_report(self):
        self.assertIn("weakest", pumpwright.size(NURSERY, length="0 s", sensitivity=False))
        self.assertTrue(pumpwright.report(NURSERY, text=False, **SHORT)["html"].startswith("<!DOCTYPE html>"))

    def test_without_a_site(self):
        answer = pumpwright.reckon("friction factor", reynolds=100000, relative_roughness=0.001)
        self.assertAlmostEqual(answer["outputs"]["friction factor"], 0.022175, delta=1e-6)
        self.assertEqual(pumpwright.reckon("friction factor", {"reynolds": 100000, "relative roughness": 0.001}), answer)
        self.assertGreater(len(pumpwright.reckon()["formulas"]), 20)
        self.assertIn("slow leak", [one["what"] for one in pumpwright.faults()["faults"]])
        self.assertEqual(pumpwright.schema()["type"], "object")
        self.assertEqual(pumpwright.units(units="us")["dimensions"][1]["shown"], "psi")
        self.assertEqual(pumpwright.about()["version"], pumpwright.version())

    def test_parameters(self):
        path = "vessels[shed vessel].precharge"
        one, = pumpwright.parameters(NURSERY, [path])["parameters"]
        other, = pumpwright.parameters(NURSERY, [path], set={path: "200 kPa"})["parameters"]
        self.assertNotEqual(one["si"], other["si"])
        self.assertEqual((other["si"], other["unit"]), (200000, "kPa"))
        self.assertGreater(len(pumpwright.parameters(NURSERY)["parameters"]), 50)

    def test_forms(self):
        """Each example that is offered is taken."""
        forms = pumpwright.forms(NURSERY, units="us")
        self.assertIn("pressure below 36.3 psi", [one["words"] for one in forms["conditions"]])
        base = [one["words"] for one in pumpwright.settings(NURSERY)["sentences"]]
        for action in forms["actions"]:
            read = pumpwright.settings(NURSERY, base + [action["example"]])["sentences"][-1]
            self.assertEqual(read["kind"], action["kind"])

    def test_settings(self):
        sentences = ["Start when pressure below 2 bar", "stop when pressure above 350 kPa"]
        self.assertEqual(pumpwright.settings(NURSERY, sentences)["sentences"][0]["words"], "start when pressure below 200 kPa")
        self.assertGreater(len(pumpwright.settings(NURSERY)["sentences"]), 3)

    def test_diagnose(self):
        quiet = {"what": "quiet counters", "starts": 14, "ran": "21 min", "over": "9 h"}
        answer = pumpwright.diagnose(NURSERY, [quiet])
        self.assertAlmostEqual(sum(one["probability"] for one in answer["hypotheses"]), 1, places=6)
        self.assertGreater(answer["quiet"]["leak_m3s"]["best"], 0)
        with self.assertRaises(pumpwright.Refused) as caught:
            pumpwright.diagnose(NURSERY, [dict(quiet, ran="10 h")])
        self.assertEqual(caught.exception.problems[0].path, "readings[0].ran")

    def test_every_request_has_its_function(self):
        wanted = {one["do"] for one in pumpwright.about()["requests"]}
        self.assertEqual(wanted - set(pumpwright.__all__), set())


class Wrong(unittest.TestCase):
    def refused(self, site, do="check", **keys):
        with self.assertRaises(pumpwright.Refused) as caught:
            pumpwright.ask(do, site, **keys)
        return caught.exception

    def test_place_in_the_file(self):
        with tempfile.TemporaryDirectory() as folder:
            path = f"{folder}/hof ü.yaml"
            with open(path, "w", encoding="utf-8") as file:
                file.write(text_of(NURSERY).replace("at: shed,", "at: shad,", 1).replace("start when pressure", "start when presure", 1))
            error = self.refused(path)
        self.assertGreaterEqual(len(error.problems), 1)
        problem = error.problems[0]
        line = 1 + [("shad" in line) for line in text_of(NURSERY).replace("at: shed,", "at: shad,", 1).splitlines()].index(True)
        self.assertEqual((problem.file, problem.line, problem.found, problem.status), (path, line, "shad", "reference"))
        self.assertIn("shed", problem.hint)
        self.assertFalse(problem.warning)
        self.assertTrue(str(error).startswith(f"{path}:{line}:{problem.column}: "))

    def test_word_of_a_sentence(self):
        text = text_of(NURSERY).replace("start when pressure", "start when presure", 1)
        problem = self.refused(pumpwright.Sheet(text=text, name="n.yaml")).problems[0]
        line = 1 + [("presure" in one) for one in text.splitlines()].index(True)
        self.assertEqual((problem.line, problem.column), (line, 1 + text.splitlines()[line - 1].index("presure")))

    def test_neither_yaml_nor_json(self):
        for text in ("a: [1\nb: 2", b"\xff\xfe\x00", "", "a: 1\na: 2"):
            with self.assertRaises(pumpwright.Refused) as caught:
                pumpwright.Sheet(text=text, name="odd.yaml")
            self.assertEqual(caught.exception.problems[0].file, "odd.yaml")
            self.assertTrue(str(caught.exception).startswith("odd.yaml"))

    def test_no_such_file(self):
        with self.assertRaises(FileNotFoundError):
            pumpwright.check("/nowhere/at/all.yaml")

    def test_a_dictionary_has_no_lines(self):
        problem = self.refused({"site": "x"}).problems[0]
        self.assertEqual((problem.file, problem.line, problem.column), (None, 0, 0))

    def test_options(self):
        self.assertEqual(self.refused(NURSERY, "duty", presure="3 bar").problems[0].path, "presure")
        self.assertEqual(self.refused(NURSERY, "dutty").problems[0].hint, 'did you mean "duty"?')
        with self.assertRaises(pumpwright.Refused):
            pumpwright.prove(NURSERY, workers=2, years=-1)
        with self.assertRaises(TypeError):
            pumpwright.run(NURSERY, length=object())

    def test_where(self):
        sheet = pumpwright.Sheet(text="site: x\nvessels:\n  - {name: v, at: p}\n")
        self.assertEqual(sheet.where("vessels[0].at"), (3, 15))
        self.assertIsNone(pumpwright.Sheet({"site": "x"}).where("site"))


class Long(unittest.TestCase):
    LONG = {"years": 200, "sweep": 48}

    def test_progress_is_told_here_and_rises(self):
        told = []
        pumpwright.prove(NURSERY, progress=lambda done, words: told.append((done, words, threading.get_ident())), **SHORT)
        self.assertGreater(len(told), 3)
        self.assertEqual([one[0] for one in told], sorted(one[0] for one in told))
        self.assertEqual({one[2] for one in told}, {threading.get_ident()})

    def test_what_progress_raises_ends_the_work(self):
        class Enough(Exception):
            pass

        def stop(_done, _words):
            raise Enough
        for workers in (1, 2):
            begin = time.monotonic()
            with self.assertRaises(Enough):
                pumpwright.prove(NURSERY, progress=stop, workers=workers, **self.LONG)
            self.assertLess(time.monotonic() - begin, 20)

    def test_interrupt(self):
        """As Ctrl-C does it, in a process of its own, while the library is at work."""
        code = ("import sys; sys.path.insert(0, sys.argv[1]); import pumpwright\n"
                "try:\n"
                "    pumpwright.prove(sys.argv[2], years=200, progress=lambda done, words: print('at work', flush=True))\n"
                "except KeyboardInterrupt:\n"
                "    print('interrupted')\n")
        with subprocess.Popen([sys.executable, "-c", code, f"{SOURCE}/python", NURSERY], stdout=subprocess.PIPE, text=True) as process:
            process.stdout.readline()
            process.send_signal(signal.SIGINT)
            rest, _ = process.communicate(timeout=60)
        self.assertEqual((process.returncode, rest.splitlines()[-1]), (0, "interrupted"))

    def test_other_threads_run_meanwhile(self):
        counted = [0]
        over = threading.Event()

        def count():
            while not over.wait(0.001):
                counted[0] += 1
        other = threading.Thread(target=count)
        other.start()
        pumpwright.prove(NURSERY, **SHORT)
        over.set()
        other.join()
        self.assertGreater(counted[0], 3)


class Finding(unittest.TestCase):
    def imported(self, python, **environment):
        clean = {key: value for key, value in os.environ.items() if key not in ("PUMPWRIGHT_LIBRARY", "PYTHONPATH")}
        code = "import pumpwright; print(pumpwright.version(), pumpwright.check(%r)['name'])" % NURSERY
        return subprocess.run([python, "-B", "-c", code], env={**clean, **environment}, capture_output=True, text=True)

    def test_named_by_the_environment(self):
        done = self.imported(sys.executable, PYTHONPATH=f"{SOURCE}/python", PUMPWRIGHT_LIBRARY="/nowhere/lib.so")
        self.assertNotEqual(done.returncode, 0)
        self.assertIn("PUMPWRIGHT_LIBRARY", done.stderr.splitlines()[-1])

    def test_in_the_build_of_the_source_tree(self):
        if os.path.realpath(BUILD) != os.path.realpath(f"{SOURCE}/build"):
            self.skipTest("built elsewhere")
        done = self.imported(sys.executable, PYTHONPATH=f"{SOURCE}/python")
        self.assertEqual((done.returncode, done.stdout[:6]), (0, pumpwright.version() + " "), done.stderr)

    def test_installed_with_the_library(self):
        """By every Python at hand, that of the system among them."""
        pythons = {sys.executable, *(name for name in ["/usr/bin/python3"] if os.path.exists(name))}
        with tempfile.TemporaryDirectory() as prefix:
            subprocess.run(["cmake", "--install", BUILD, "--prefix", prefix], check=True, stdout=subprocess.DEVNULL)
            module, = [at for at, folders, _ in os.walk(prefix) if at.endswith("dist-packages")]
            for python in pythons:
                with self.subTest(python=python):
                    done = self.imported(python, PYTHONPATH=module)
                    self.assertEqual((done.returncode, done.stdout[:6]), (0, pumpwright.version() + " "), done.stderr)

    def test_every_function_of_the_header_that_is_used_is_there(self):
        header = text_of(f"{SOURCE}/include/pumpwright.h")
        for name in _library.FUNCTIONS:
            self.assertIn(f"{name}(", header)

    def test_one_version(self):
        self.assertIn(f'version = "{pumpwright.version()}"', text_of(f"{SOURCE}/python/pyproject.toml"))


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])
