#!/usr/bin/env python3
"""All that the command line says in German comes from the German catalogues: python3 test_words.py MARKED SOURCE_DIR

MARKED is the program with catalogues that put each piece of prose in marks (mark.py). Outside the marks there may be the
user's own words (whatever stands in the sheet or on the command line), numbers, units, and the names that are typed in
every language: keys of the sheet, commands, options, faults, formulas with their inputs, pipes, and sentences of the
settings where they are shown as they are typed. Any other word escaped core/say.
"""
import json
import os
import re
import subprocess
import sys
import tempfile

PROGRAM, ROOT = sys.argv[1], sys.argv[2]
MARKED = re.compile(r"\u27e6[^\u27e6\u27e7]*\u27e7")
WORD = re.compile(r"[^\W\d_]{2,}")
UNITS = """kPa Pa kpa bar psi ft mH2O ftH2O min gpm gal mL mm cm km in ms degC degF kW kWh kVA VA hp Hz rpm NPSH DC PE PVC
HTML SVG PNG CSV YAML JSON mm2 m3 m2 kg MPa mohm ohm rad Nm kJ uF rev""".split()
# Of the sentences as they are typed, and told back as a person would have to type them.
GRAMMAR = """start stop when lock out warn by relay run only while share the work between and change over at every start pumps
least apart wait after power on keep lock outs over cut ignore for rest then new call run condition running retry release
itself up to times time locked pressure flow no level of probe contact current winding supply phases complete phase missing
starts reach in row stopped not above below is or wet dry open closed Monday Tuesday Wednesday Thursday Friday Saturday
Sunday duty assist second third fourth fifth retries a""".split()
ENVIRONMENT = {**os.environ, "PUMPWRIGHT_LANGUAGE": "de", "NO_COLOR": "1", "COLUMNS": "160"}

QUICK = ["tap-stand", "house", "transfer", "hill-tank"]


def said(*arguments, text=None):
    done = subprocess.run([PROGRAM, *arguments], input=text, capture_output=True, text=True, env=ENVIRONMENT, timeout=900)
    return done.stdout + done.stderr


def plain(*arguments):
    return json.loads(subprocess.run([PROGRAM, *arguments, "--json"], capture_output=True, text=True, timeout=900,
                                     env={**ENVIRONMENT, "PUMPWRIGHT_LANGUAGE": "en"}).stdout)


def names_typed():
    """Names that are typed the same in every language."""
    names = set()

    def keys(node):
        if isinstance(node, dict):
            for key, value in node.items():
                if key == "properties":
                    for name in value:
                        names.update(WORD.findall(name))
                if key in ("enum", "const"):
                    for word in value if isinstance(value, list) else [value]:
                        names.update(WORD.findall(str(word)))
                keys(value)
        elif isinstance(node, list):
            for value in node:
                keys(value)

    keys(json.loads(subprocess.run([PROGRAM, "schema"], capture_output=True, text=True).stdout))
    for formula in plain("reckon")["formulas"]:
        for name in [formula["name"]] + [slot["name"] for slot in formula["inputs"] + formula["outputs"]]:
            names.update(WORD.findall(name))
        for slot in formula["inputs"] + formula["outputs"]:
            names.update(WORD.findall(slot.get("unit", "")))
    for example in QUICK:  # the names of a site's numbers, as --set takes them
        for number in plain("parameters", os.path.join(ROOT, "examples", f"{example}.yaml"))["parameters"]:
            names.update(WORD.findall(number["path"]))
    for fault in plain("faults")["faults"]:
        names.update(WORD.findall(fault["what"]))
    return names | set(UNITS)


def escaped(text, known):
    """Words outside the marks that nobody typed, with the line that each first stands in."""
    found = {}
    bare = MARKED.sub(" ", re.sub(r"ooo+", " ", text))  # a curve of a plot is drawn with o
    for before, line in zip(text.split("\n"), bare.split("\n")):
        for word in WORD.findall(line):
            if word not in known and word.lower() not in known:
                found.setdefault(word, before.strip())
    return found


def words_of(*texts):
    return {word for text in texts for word in WORD.findall(text)}


def main():
    typed = names_typed() | {"pumpwright", "site", "what", "severity", "xx"}  # keys of a request; a hatch of a plot
    wrong = []

    def look(name, text, *own, grammar=False, quiet=False):  # quiet: numbers and names alone are right
        if not quiet and not MARKED.search(text):
            wrong.append((name, "", "nothing at all came out of the catalogue:\n" + text[:400]))
        known = typed | words_of(*own) | (set(GRAMMAR) if grammar else set())
        for word, line in escaped(text, known).items():
            wrong.append((name, word, line))

    commands = re.findall(r"^  ([a-z]+)(?: |$)", said("help"), flags=re.M)
    options = said("help")
    usage = " ".join(re.findall(r"^ *(?:-\w, )?--[a-z-]+(?: [A-Z]+)?", options, flags=re.M)) + " " + " ".join(commands)
    usage += " en de st SITE PATH FORMULA NAME VALUE COMMAND READINGS ACTION BOOK LOG TEXT"
    look("help", options, usage)
    for command in commands:
        look(f"help {command}", said("help", command), usage)
    look("faults", said("faults"))
    look("reckon", said("reckon"))
    look("reckon motor load", said("reckon", "motor load", "power=1.1 kW", "load=0 W"), quiet=True)
    for example in QUICK:
        path = os.path.join(ROOT, "examples", f"{example}.yaml")
        sheet = open(path, encoding="utf-8").read() + path
        look(f"check {example}", said("check", path), sheet)
        look(f"duty {example}", said("duty", path), sheet)
        paper = said("handover", path, "--no-proof")
        look(f"handover {example}", paper, sheet, " ".join(re.findall(r"\b[0-9a-f]{16}\b", paper)), grammar=True)
        look(f"commission {example}", said("commission", path), sheet)
        look(f"size {example}", said("size", path, "--explain", "-l", "2 d"), sheet, grammar=True)
        look(f"parameters {example}", said("parameters", path), sheet)
        paths = [one["path"] for one in plain("parameters", path)["parameters"]]
        for first in range(0, len(paths), 8):
            some = paths[first:first + 8]
            look(f"parameters {example} {some[0]} ...", said("parameters", path, *some), sheet, " ".join(some))
        look(f"faults {example}", said("faults", path), sheet)
        look(f"settings {example}", said("settings", path), sheet, grammar=True, quiet=True)
        look(f"run {example}", said("run", path, "-l", "1 d", "--state", "6 h, 12 h"), sheet)
        look(f"run {example}, leak", said("run", path, "-l", "1 d", "-m", "slow leak 2 L/min from 2 h"), sheet)
    path = os.path.join(ROOT, "examples", "tap-stand.yaml")
    look("prove", said("prove", path, "-y", "1", "--sweep", "4", "--horizon", "1 d"), open(path, encoding="utf-8").read(),
         grammar=True)
    look("advise", said("advise", path, "-y", "1", "--sweep", "2", "--horizon", "1 d"), open(path, encoding="utf-8").read(), grammar=True)
    with tempfile.TemporaryDirectory() as folder:
        log = os.path.join(folder, "log.csv")
        said("run", path, "-l", "1 d", "--every", "1 min", "--csv", log)
        rows = open(log, encoding="utf-8").read()
        look("diagnose a log", said("diagnose", log), rows, log, usage, "oo")
        look("diagnose a log of a site", said("diagnose", path, log), open(path, encoding="utf-8").read(), rows, log, usage, "oo", grammar=True)
        for number, (change, to) in enumerate(SLIPS):
            text = open(path, encoding="utf-8").read()
            if change and change not in text:
                wrong.append((f"slip {number}", change, "does not stand in the example any more"))
                continue
            text = text.replace(change, to, 1) if change else to
            broken = os.path.join(folder, "broken.yaml")
            open(broken, "w", encoding="utf-8").write(text)
            look(f"slip {number}: {to[:40]!r}", said("check", broken), text, broken, grammar=True)
        for number, (rows, keys) in enumerate(WRONG_TRACES):
            open(os.path.join(folder, "a.csv"), "w", encoding="utf-8").write(rows)
            text = open(path, encoding="utf-8").read()
            text = text[:text.index("demand:")] + TRACE % keys + text[text.index("settings:"):]
            broken = os.path.join(folder, "trace.yaml")
            open(broken, "w", encoding="utf-8").write(text)
            look(f"wrong trace {number}: {rows[:30]!r}", said("check", broken), text, broken, rows, "a.csv home", grammar=True)
        for number, line in enumerate(WRONG_LINES):
            look(f"wrong line {' '.join(line)}", said(*[word.replace("SITE", path) for word in line]), usage, path,
                 open(path, encoding="utf-8").read(), " ".join(line), "check --option", grammar=True, quiet=True)
    for name, word, line in wrong:
        print(f"{name}: \"{word}\" in: {line}")
    print(f"{len(wrong)} words outside the German catalogues")
    return 1 if wrong else 0


SLIPS = [
    ("", "name: [a\n"), ("", "a: 1\na: 2\n"), ("", "\tname: x\n"), ("", "a: *b\n"), ("", "x: !t 1\n"), ("", "name: x\n---\nname: y\n"),
    ("", "# nothing\n"), ("", "{: 1}\n"), ("", "name: \"x\n"), ("", "a: b: c\n"), ("", "- 1\n"),
    ("start when", "strat when"), ("kPa", "kilo"), ("level: 0 m", "level: 0 bananas"),
    ("stop when", "start when"), ("rest ", "rest 5 m "), ("places:", "plaices:"), ("name: solar pump", "nome: solar pump"),
    ("voltage:", "voltages:"), ("sources:", "source:"),
]
TRACE = "demand:\n  - {outlet: taps, kind: trace, trace: {file: a.csv, time: t, flow: q, unit: %s}}\n"
LOG = "".join(f"{60 * i},{i % 3}\n" for i in range(30))
WRONG_TRACES = [  # of each thing that the reader of CSV files may have to say
    ("", "L/min"), ("t,q\n", "L/min"), ("no table\n", "L/min"), ("time,flow\n0,1\n", "L/min"), ("t,qq\n0,1\n", "L/min"),
    ("t,q\n0,1\n60,2\n", "kg"), ("t,q\n0,1\n60,2\n", "L/min, step: 2 d"), ("t,q\n0,1\n60,2\n", "L/min, lasts: t, lasts unit: kg"),
    ("t,q\n0,1\n60,2\n", "L/min, zone: noon"), ("t,q\n0,1\n60,2\n", "L/min, only: A"), ("t,q\n0,1\n60,2\n", "L/min, values: register"),
    ("t,q\n0,1\n", "L/min"), ("t,q\n0,1\n", "L, values: register"), ('t,q\n0,"1\n', "L/min"), ("\xff", "L/min"),
    ("t,q\n0,99\n60,99\n", "m3/s"), ("t,q\n0,1\n999999999999,1\n", "L/min"), ("t,q\nx,1\ny,2\n", "L/min"),
    ("t,q\n0\nx,1\n" + LOG, "L/min"), ("t,q\n0,x\n0,-1\n" + LOG + "5,1\n1740,2\n1800,1\n", "L/min"),
    ("t,q\n1/2/2020 1:00,1\n1/2/2020 2:00,2\n", "L/min"), ("t,q,e\n0,0,60\n", "L/min, end: e"), ("t,q,e\n0,99,60\n", "m3/s, end: e"),
    ("t,q,end\n" + LOG.replace("\n", ",1\n"), "L"), ("t,q\n" + "".join(f"{3600 * i},{i}\n" for i in range(30)), "L"),
    ("t,q\n" + "".join(f"{60 * (i + i // 25 * 50)},{i % 7}\n" for i in range(30)), "L, values: register"),
    ("t,q\n" + "".join(f"{1.6e9 + 60 * i},{i % 7}\n" for i in range(30)), "L/min"), ("t,q\n0,1\nx,1\ny,1\nz,1\n60,2\n", "L/min"),
]
WRONG_LINES = [
    ["chekc", "SITE"], ["check"], ["check", "/nowhere/at.all"], ["run", "SITE", "-l", "5 m"], ["run", "SITE", "--lenght", "1 d"],
    ["run", "SITE", "-m", "leek 2 L/min"], ["run", "SITE", "-m", "slow leak"], ["reckon", "pipe los"],
    ["reckon", "pipe loss", "flow=45"], ["reckon", "pipe loss", "flow=45 L/min", "length=100 m", "bore=9 m"],
    ["parameters", "SITE", "vessels[9].precharge"], ["check", "SITE", "--set", "pumps[0].speed=900 %"],
    ["prove", "SITE", "-y", "many"], ["size", "SITE", "--pump", "nobody"], ["check", "/"],
]

if __name__ == "__main__":
    sys.exit(main())
