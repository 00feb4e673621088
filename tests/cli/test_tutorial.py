"""The figures of docs/tutorial.md are those of the program. usage: test_tutorial.py PROGRAM

Each console block: the command is run, and each further line must stand in its answer, in words that follow each other
(blanks and line ends do not count, tables may be wrapped). Each figure with a unit in the text must stand in some answer or in the sheet.
"""
import os
import re
import shlex
import subprocess
import sys
import unittest

PROGRAM = sys.argv.pop(1)
PAGE = "docs/tutorial.md"
SHEET = "examples/nursery.yaml"
UNITS = "L/min|L/s|kWh/m3|kWh|kPa|kVA|EUR|mm2|mm|ms|m3|degC|m|L|%|A|W|min|s|kW"


def answer(command):
    words = shlex.split(command)
    done = subprocess.run([PROGRAM, *words[1:], "--quiet", "--colour", "never"], stdout=subprocess.PIPE, text=True, check=True,
                          env={**os.environ, "COLUMNS": "120"})  # tables as on this page, unwrapped
    return done.stdout


def squeeze(text):
    return " ".join(text.split())


class Tutorial(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        with open(PAGE, encoding="utf-8") as file:
            cls.page = file.read()
        cls.blocks = re.findall(r"```console\n\$ (pumpwright [^\n]*)\n(.*?)```", cls.page, flags=re.S)
        cls.answers = {command: answer(command) for command in {command for command, _ in cls.blocks}}

    def test_there_is_something(self):
        self.assertGreater(len(self.blocks), 7)

    def test_blocks(self):
        for command, lines in self.blocks:
            text = self.answers[command]
            whole = squeeze(text)
            rows = text.split("\n")
            for line in filter(None, lines.split("\n")):
                pieces = [squeeze(piece) for piece in re.split(r"  +", line)]
                found = squeeze(line) in whole
                wrapped = 7 if len(pieces) == 1 else 5
                for at in range(len(rows)):
                    if found:
                        break
                    # a wrapped row of a table: every word of every cell stands in these lines; a row begins with its first cell
                    words = set(squeeze(" ".join(rows[at:at + wrapped])).split(" "))
                    begins = len(pieces) == 1 or squeeze(rows[at]).startswith(" ".join(pieces[0].split(" ")[:2]))
                    found = begins and all(word in words for piece in pieces for word in piece.split(" "))
                if not found:
                    self.fail(f"{command}: not in the answer: {line}")

    def test_figures_in_the_text(self):
        prose = re.sub(r"```.*?```", "", self.page, flags=re.S)
        with open(SHEET, encoding="utf-8") as file:
            known = squeeze(" ".join(self.answers.values()) + " " + file.read())
        figures = re.findall(rf"(?<![\w.])(\d+(?:\.\d+)? (?:{UNITS}))(?![\w/])", squeeze(prose))
        self.assertGreater(len(figures), 25)
        for figure in figures:
            if figure not in known:
                self.fail(f"{figure}: stands in the text, and in no answer")


if __name__ == "__main__":
    unittest.main()
