#!/usr/bin/env python3
"""docs/german.md: the proof of the demonstration site in English and in German side by side, made by the program itself.

usage: tools/german.py PUMPWRIGHT           write it
       tools/german.py --check PUMPWRIGHT   exit code 1 when it differs from what the program says now
"""
import os
import subprocess
import sys
import textwrap

SITE = "examples/house.yaml"
SLIPS_OF = "examples/tap-stand.yaml"
WIDTH = 62
OPTIONS = {"years": 1, "sweep": 8}
HEAD = """# In English and in German

`--language de` (or `PUMPWRIGHT_LANGUAGE=de`, or `"language": "de"` in a request) tells it in German; what is English only as yet stands
in [limits.md](limits.md). What the core finds are
facts: an id and values with their kind (`core/base/fact.h`). Only `core/say` turns them into words, from one catalogue for each area
and language; nothing that was printed is ever read back. Sentences of a sheet stay as they are typed, and are told in German.

This is the proof of an invented house, `pumpwright prove {site} --years 1 --sweep 8`, without the tables of single faults and
the list of defaults, on both sides as the program writes it; behind it `check` and `duty` of the same house, and slips of a sheet and
of the command line. `tools/german.py` makes this page, and a test compares it.

"""
# What else is shown: a heading, the words of the command, what is put in a sheet's place.
MORE = [
    ("Check", ["check", SITE], None),
    ("Duty", ["duty", SITE], None),
    ("A slip in a sentence", ["check", "-"], ("stop when", "stop wen")),
    ("A sheet that is no YAML", ["check", "-"], ("sources:", "sources: [")),
    ("A file that is not there", ["check", "no-such-sheet.yaml"], None),
    ("A formula", ["reckon", "pipe loss", "flow=45"], None),
]


def proofs(program):
    """The proof in both languages, simulated once: outcomes know no language (docs/door.md, prove)."""
    os.environ["PUMPWRIGHT_LIBRARY"] = os.path.join(os.path.dirname(program), "libpumpwright.so.0")
    sys.path.insert(0, "python")
    sys.dont_write_bytecode = True
    import pumpwright
    given = {}
    for name in ("outcomes", "outcomes again"):
        given[name] = pumpwright.ask("prove", SITE, **OPTIONS, **given, part=[0, 1])["outcomes"]
    return [pumpwright.ask("prove", SITE, **OPTIONS, **given, text=True, width=WIDTH, language=language)["text"].split("\n")
            for language in ("en", "de")]


def told(program, language, words, change):
    text = None
    if change:
        with open(SLIPS_OF, encoding="utf-8") as file:
            text = file.read()
        assert change[0] in text, change
        text = text.replace(change[0], change[1], 1)
    environment = dict(os.environ, COLUMNS=str(WIDTH), NO_COLOR="1")
    done = subprocess.run([program, *words, "--language", language], input=text, capture_output=True, text=True, env=environment)
    return [part for line in (done.stdout + done.stderr).rstrip("\n").split("\n") for part in (textwrap.wrap(line, WIDTH)
            if len(line) > WIDTH else [line])]


def sections(lines):
    """Parts of the paper, each begins with a heading that is underlined with '='."""
    parts = [[]]
    for number, line in enumerate(lines):
        following = lines[number + 1] if number + 1 < len(lines) else ""
        if following and set(following) == {"="} and parts[-1]:
            parts.append([])
        parts[-1].append(line.rstrip())
    return parts


def shown(part, tables):
    """Without the tables of single faults (their headings have no underline) and without the defaults."""
    if not tables:
        return part
    kept = []
    for number, line in enumerate(part):
        if number > 8 and line == "" and kept and kept[-1] != "" and number + 2 < len(part) and part[number + 2] == "":
            break
        kept.append(line)
    return kept


def page(program):
    english, german = [sections(lines) for lines in proofs(program)]
    if len(english) != len(german):
        sys.exit(f"{len(english)} parts in English, {len(german)} in German")
    out = [HEAD.format(site=SITE)]
    defaults = len(english) - 2
    for number, (left, right) in enumerate(zip(english, german)):
        if number == defaults:
            continue
        glance = number == 3
        left, right = shown(left, glance), shown(right, glance)
        rows = max(len(left), len(right))
        left += [""] * (rows - len(left))
        right += [""] * (rows - len(right))
        out.append("```\n")
        out += [f"{a:<{WIDTH}} | {b}".rstrip(" ") + "\n" for a, b in zip(left, right)]
        out.append("```\n\n")
    for title, words, change in MORE:
        left, right = told(program, "en", words, change), told(program, "de", words, change)
        rows = max(len(left), len(right))
        left += [""] * (rows - len(left))
        right += [""] * (rows - len(right))
        out.append(f"## {title}\n\n```\n")
        out += [f"{a:<{WIDTH}} | {b}".rstrip(" ") + "\n" for a, b in zip(left, right)]
        out.append("```\n\n")
    return "".join(out).rstrip("\n") + "\n"


def main():
    check = "--check" in sys.argv
    program = os.path.abspath([word for word in sys.argv[1:] if not word.startswith("--")][0])
    os.chdir(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
    made = page(program)
    if not check:
        with open("docs/german.md", "w", encoding="utf-8") as file:
            file.write(made)
        return
    with open("docs/german.md", encoding="utf-8") as file:
        kept = file.read()
    for number, (was, now) in enumerate(zip(kept.split("\n"), made.split("\n")), 1):
        if was != now:
            sys.exit(f"docs/german.md:{number}: shown <{was}>, the program says <{now}>; tools/german.py writes it anew")
    if kept != made:
        sys.exit("docs/german.md: longer or shorter than what the program says; tools/german.py writes it anew")


if __name__ == "__main__":
    main()
