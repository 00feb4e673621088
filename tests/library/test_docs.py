#!/usr/bin/env python3
"""docs/library.md: every sample runs against an installed library, and prints what stands below it.

usage: test_docs.py SOURCE BUILD CC [--write]    --write: put what they print into the page
"""
import os
import re
import shlex
import subprocess
import sys
import tempfile
import unittest

SOURCE, BUILD, CC = sys.argv[1:4]
PAGE = f"{SOURCE}/docs/library.md"
SAMPLE = re.compile(r"^```(python|c)\n(.*?)^```\n```text\n(.*?)^```\n", flags=re.M | re.S)
HEAD = "#include <pumpwright.h>\n#include <stdio.h>\n#include <string.h>\nint main(void)\n{\n"


def page():
    with open(PAGE, encoding="utf-8") as file:
        return file.read()


class Samples(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.scratch = tempfile.TemporaryDirectory(prefix="pumpwright-")
        cls.prefix = cls.scratch.name
        subprocess.run(["cmake", "--install", BUILD, "--prefix", cls.prefix], check=True, stdout=subprocess.DEVNULL)
        module, = [at for at, _, _ in os.walk(cls.prefix) if at.endswith("dist-packages")]
        cls.env = {**os.environ, "PKG_CONFIG_PATH": f"{cls.prefix}/lib/pkgconfig", "LD_LIBRARY_PATH": f"{cls.prefix}/lib",
                   "PYTHONPATH": module}
        cls.env.pop("PUMPWRIGHT_LIBRARY", None)

    @classmethod
    def tearDownClass(cls):
        cls.scratch.cleanup()

    def run_words(self, *words):
        done = subprocess.run(words, capture_output=True, text=True, env=self.env, cwd=SOURCE)
        self.assertEqual(done.returncode, 0, done.stdout + done.stderr)
        return done.stdout

    def printed(self, language, code):
        if language == "python":
            return self.run_words(sys.executable, "-B", "-c", code)
        source, program = f"{self.prefix}/sample.c", f"{self.prefix}/sample"
        with open(source, "w", encoding="utf-8") as file:
            file.write(HEAD + code + "return 0;\n}\n")
        flags = shlex.split(self.run_words("pkg-config", "--cflags", "--libs", "pumpwright"))
        self.run_words(CC, "-std=c11", "-Wall", "-Wextra", "-Werror", "-o", program, source, *flags)
        return self.run_words(program)

    def test_all(self):
        found = list(SAMPLE.finditer(page()))
        self.assertEqual({one.group(1) for one in found}, {"python", "c"})
        self.assertEqual(len(found), len(re.findall(r"^```(?:python|c)$", page(), flags=re.M)), "a sample without its output")
        text = page()
        for one in found:
            said = self.printed(one.group(1), one.group(2))
            if "--write" in sys.argv:
                text = text.replace(one.group(0), one.group(0).replace("```text\n" + one.group(3), "```text\n" + said))
            else:
                with self.subTest(sample=one.group(2).splitlines()[:3]):
                    self.assertEqual(said, one.group(3))
        if text != page():
            with open(PAGE, "w", encoding="utf-8") as file:
                file.write(text)

    def test_the_page_names_every_function_group(self):
        """Names on the page exist in the header; `_advance` and the like are those of simulations."""
        with open(f"{SOURCE}/include/pumpwright.h", encoding="utf-8") as file:
            header = file.read()
        for name in re.findall(r"\bpumpwright_[a-z_]+", page()):
            self.assertTrue(f"{name}(" in header or f" {name};" in header or name.endswith("_"), name)
        for name in re.findall(r"`(_[a-z]+)`", page()):
            self.assertIn(f"pumpwright_simulation{name}(", header)


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])
