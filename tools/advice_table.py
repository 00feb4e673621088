#!/usr/bin/env python3
"""Present against advised settings of every sheet: makes a table of docs/advice.md anew.

usage: tools/advice_table.py PUMPWRIGHT SHEET.yaml... [--write] [--years N] [--sweep N] [--horizon TIME]
Each sheet is asked for advice; one that is refused, or takes over ten minutes, has a row that says so. --write puts the table into
docs/advice.md, between its marks.
"""
import json
import os
import subprocess
import sys

from advice_homes import put
from demand import HERE

MARKS = ("<!-- sheets -->", "<!-- end of sheets -->")
DEFAULTS = {"--years": "4", "--sweep": "12", "--horizon": "1 d"}
TOO_LONG_S = 600


def ask(pumpwright, sheet, options):
    words = [pumpwright, "advise", sheet, "--json=line", "-q"] + [word for pair in options.items() for word in pair]
    try:
        done = subprocess.run(words, capture_output=True, text=True, timeout=TOO_LONG_S)
    except subprocess.TimeoutExpired:
        return None, "takes over ten minutes"
    answer = json.loads(done.stdout) if done.stdout.startswith("{") else {}
    if done.returncode in (0, 5) and answer.get("ok"):
        return answer, ""
    problems = answer.get("problems") or [{}]
    return None, f"refused: {problems[0].get('path', '')} {problems[0].get('found', '')}".strip()


def volume(m3):
    return f"{m3 * 1000:.0f} L" if m3 < 1 else f"{m3:.3g} m³"


def blind(answer):
    bands = [f"{60e3 * band['from_m3s']:.2g} to {60e3 * band['to_m3s']:.2g}" for band in answer["blind"]]
    return ", ".join(bands) if bands else "none"


def row_of(name, answer):
    present, advised, new = answer["present"], answer["advised"], sum(one["differs"] for one in answer["settings"])
    pairs = [f"{volume(present['lost_m3_a'])} → {volume(advised['lost_m3_a'])}",
             f"{present['cost_a']:.0f} → {advised['cost_a']:.0f}",
             f"{present['unseen']} → {advised['unseen']} of {answer['faults']}", f"{present['years_stopped']} → {advised['years_stopped']}"]
    same = answer["checked"]
    return [name, "none" if not answer["changes"] else str(new), *pairs, blind(answer), f"{same['same']} of {same['jobs']}"]


def main(pumpwright, sheets, options):
    head = ["sheet", "sentences changed", "water lost a year", "cost a year", "faults unseen", "years stopped", "blind leaks, L/min",
            "at work as foretold"]
    lines = ["| " + " | ".join(head) + " |", "|" + " --- |" * len(head)]
    for sheet in sheets:
        name = os.path.basename(sheet)
        answer, why = ask(pumpwright, sheet, options)
        row = row_of(name, answer) if answer else [name, why.replace("|", "/")] + [""] * (len(head) - 2)
        lines.append("| " + " | ".join(row) + " |")
        print(lines[-1], file=sys.stderr, flush=True)
    said = ", ".join(f"{key[2:]} {value}" for key, value in options.items())
    return "\n".join(lines) + f"\n\nPresent → advised, of {len(sheets)} sheets; {said}, all else as by default.\n"


if __name__ == "__main__":
    words = sys.argv[1:]
    options = {key: words[words.index(key) + 1] if key in words else value for key, value in DEFAULTS.items()}
    plain = [one for i, one in enumerate(words) if not one.startswith("--") and (i == 0 or words[i - 1] not in options)]
    if len(plain) < 2:
        raise SystemExit(__doc__)
    table = main(plain[0], plain[1:], options)
    print(table)
    if "--write" in words:
        put(f"{HERE}/docs/advice.md", MARKS, table)
