"""The documents say what the program does. usage: test_docs.py PROGRAM"""
import glob
import os
import re
import shlex
import shutil
import subprocess
import sys
import unittest

PROGRAM = sys.argv.pop(1)
MAN = "docs/man/pumpwright.1"
BASH = "shell/cli/completions/pumpwright.bash"
ZSH = "shell/cli/completions/_pumpwright"


def read(path):
    with open(path, encoding="utf-8") as file:
        return file.read()


def help_of(*words):
    return subprocess.run([PROGRAM, "help", *words], stdout=subprocess.PIPE, text=True, check=True).stdout


def options_in(text):
    """(letter or None, word) of each option that a help text lists."""
    return [(letter or None, word) for letter, word in re.findall(r"^  (?:-(\w), |    )--([a-z-]+)", text, flags=re.M)]


COMMANDS = re.findall(r"^  ([a-z]+) ", help_of(), flags=re.M)
OPTIONS = options_in(help_of())


class Docs(unittest.TestCase):
    def test_something_is_listed(self):
        self.assertIn("prove", COMMANDS)
        self.assertIn(("m", "fault"), OPTIONS)

    def test_man_page(self):
        page = read(MAN)
        for command in COMMANDS:
            self.assertRegex(page, rf"(?m)^\.It Cm {command}\b", command)
        for letter, word in OPTIONS:
            self.assertRegex(page, rf"(?m)^\.It .*Fl -{word}\b", word)
            if letter:
                self.assertRegex(page, rf"(?m)^\.It Fl {letter} .*Fl -{word}\b", word)
        written = re.findall(r"(?m)^\.It .*Fl -([a-z-]+)", page)
        self.assertEqual(sorted(written), sorted(word for _, word in OPTIONS))

    def test_exit_codes(self):
        told = re.search(r"Exit codes: (.*)", help_of(), flags=re.S).group(1)
        codes = sorted(set(re.findall(r"\b(\d+) (?:fine|the|usage|a file|no|prove|interrupted)", told)), key=int)
        self.assertEqual(codes, ["0", "1", "2", "3", "4", "5", "130"])
        section = read(MAN).split(".Sh EXIT STATUS")[1].split(".Sh ")[0]
        self.assertEqual(re.findall(r"(?m)^\.It (\d+)", section), codes)

    def test_man_page_is_clean(self):
        if not shutil.which("groff"):
            self.skipTest("no groff")
        done = subprocess.run(["groff", "-mandoc", "-Tutf8", "-ww", "-z", MAN], stderr=subprocess.PIPE, text=True)
        self.assertEqual((done.returncode, done.stderr), (0, ""))

    def test_completions_know_all_words(self):
        for path in (BASH, ZSH):
            text = read(path)
            for command in COMMANDS:
                self.assertRegex(text, rf"\b{command}\b", path)
            for _, word in OPTIONS:
                self.assertIn(f"--{word}", text, path)

    def complete(self, *words):
        script = f"source {BASH}; COMP_WORDS=({shlex.join(words)}); COMP_CWORD={len(words) - 1}; " \
                 '_pumpwright; printf "%s\\n" "${COMPREPLY[@]}"'
        done = subprocess.run(["bash", "-c", script], capture_output=True, text=True, check=True)
        self.assertEqual(done.stderr, "")
        return done.stdout.split()

    def test_bash_offers_what_the_help_lists(self):
        self.assertEqual(sorted(self.complete("pumpwright", "")), sorted(COMMANDS + ["--help", "--version"]))
        for command in COMMANDS:
            if command == "help":
                continue
            offered = sorted(w for w in self.complete("pumpwright", command, "-") if "=" not in w)
            listed = sorted(f"--{word}" for _, word in options_in(help_of(command)) if word != "version")
            self.assertEqual(offered, listed, command)
        self.assertEqual(self.complete("pumpwright", "prove", "examples/nurs"), ["examples/nursery.yaml"])
        self.assertEqual(self.complete("pumpwright", "prove", "--colour", "al"), ["always"])

    def test_zsh_script_is_well_formed(self):
        if not shutil.which("zsh"):
            self.skipTest("no zsh")
        self.assertEqual(subprocess.run(["zsh", "-n", ZSH]).returncode, 0)

    def test_links_lead_somewhere(self):
        pages = [p for p in glob.glob("*.md") + glob.glob("docs/**/*.md", recursive=True)]
        self.assertIn("README.md", pages)
        for page in pages:
            for target in re.findall(r"\]\(([^)#\s]+)[^)]*\)", read(page)):
                if "://" not in target:
                    self.assertTrue(os.path.exists(os.path.join(os.path.dirname(page), target)), f"{page}: {target}")

    def test_files_named_in_the_readme_exist(self):
        for page in ("README.md", "ARCHITECTURE.md", "CONTRIBUTING.md", MAN):
            for name in re.findall(r"(?<!build/)\b((?:core|shell|docs|tests|tools|examples|data|bench)/[\w./-]*\w)", read(page)):
                there = os.listdir(name) if os.path.isdir(name) else os.path.exists(name)
                self.assertTrue(there, f"{page}: {name}")

    def test_commands_in_the_readme_are_understood(self):
        """Each pumpwright line of a code block: its command and options exist."""
        lines = re.findall(r"(?m)^(?:\$ )?(?:build/)?pumpwright ([a-z]+) ?(.*)$", "\n".join(
            re.findall(r"```[^\n]*\n(.*?)```", read("README.md"), flags=re.S)))
        self.assertGreater(len(lines), 2)
        for command, rest in lines:
            self.assertIn(command, COMMANDS)
            known = options_in(help_of(command))
            for word in shlex.split(rest.split("#")[0]):
                if word.startswith("--"):
                    self.assertIn(word[2:].split("=")[0], [w for _, w in known], f"{command} {rest}")
                elif re.fullmatch(r"-\w", word):
                    self.assertIn(word[1:], [x for x, _ in known], f"{command} {rest}")

    def test_sample_of_the_readme_is_true(self):
        done = subprocess.run(["tools/sample.sh", PROGRAM], stdout=subprocess.PIPE, text=True, check=True)
        shown = re.search(r"```text sample\n(.*?)```", read("README.md"), flags=re.S).group(1)
        self.assertEqual(shown, done.stdout, "make readme puts it right")

    def test_targets_in_the_documents_exist(self):
        targets = re.findall(r"(?m)^([a-z]+):", read("Makefile"))
        for page in ("README.md", "CONTRIBUTING.md"):
            # between the odd and the even back quote of each line, not from one pair to the next
            quoted = " ".join(code for line in read(page).splitlines() for code in line.split("`")[1::2])
            for target in re.findall(r"\bmake ([a-z]+)\b", quoted):
                self.assertIn(target, targets, page)


if __name__ == "__main__":
    unittest.main()
