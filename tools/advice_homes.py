#!/usr/bin/env python3
"""Advised settings on days and homes that they were not chosen on: makes a table of docs/advice.md anew.

The invented house of examples/house.yaml is drawn from by each metered home in turn. Its settings are chosen twice, without a look at
what they are tried on: for a household that is fitted to the first half of the home's readings (pumpwright habits), and for one of
which only its number of people is known. Both lists are then at work on the second half of the readings, the second list on all of them;
a person releases a lock out an hour after it. What locks out is a false stop: nothing is wrong in these readings but what the homes did
themselves. Beside it stands the bound that the advice had promised, and how probable so many stops, or more, are at that bound.

usage: tools/advice_homes.py PUMPWRIGHT READINGS.csv [--write] [--years N] [--homes A01,A02]
READINGS.csv: home,time,meter_l (a counter read about every hour). --write puts the table into docs/advice.md, between its marks.
"""
import csv
import json
import math
import os
import subprocess
import sys
import tempfile

from demand import HERE, PERSON_L, SIZE_POWER, read_homes

MARKS = ("<!-- homes -->", "<!-- end of homes -->")
FITTED_ON = 5  # the population's habits were chosen on the first so many homes (docs/demand.md)


def sheet(demand):
    """The house with another demand."""
    with open(f"{HERE}/examples/house.yaml") as file:
        text = file.read()
    begin, end = text.index("demand:"), text.index("settings:")
    return f"{text[:begin]}demand:\n{demand}\n{text[end:]}"


def write_trace(folder, name, litres):
    path = os.path.join(folder, f"{name}.csv")
    with open(path, "w", newline="") as file:
        rows = csv.writer(file)
        rows.writerow(["seconds", "litres"])
        rows.writerows((i * 3600, 0 if math.isnan(one) else round(one, 3)) for i, one in enumerate(litres))
    return f"  - {{outlet: house and garden, trace: {{file: {name}.csv, time: seconds, flow: litres, unit: L, step: 1 h}}}}"


def ask(pumpwright, *words):
    done = subprocess.run([pumpwright, *words, "--json=line", "-q"], capture_output=True, text=True)
    if done.returncode not in (0, 5):
        raise SystemExit(f"{' '.join(words)}: {done.stdout}{done.stderr}")
    return json.loads(done.stdout)


def write_sheet(folder, name, text):
    path = os.path.join(folder, f"{name}.yaml")
    with open(path, "w") as file:
        file.write(text)
    return path


def advise(pumpwright, folder, name, demand, years):
    path = write_sheet(folder, name, sheet(demand))
    return ask(pumpwright, "advise", path, "--years", str(years), "--sweep", "12")


def stops(pumpwright, folder, name, trace, settings, days):
    """False stops of these settings on a trace, by sentence."""
    text = sheet(trace)
    begin, end = text.index("settings:"), text.index("limits:")
    lines = "\n".join(f"  - {one}" for one in settings)
    path = write_sheet(folder, name, f"{text[:begin]}settings:\n{lines}\n{text[end:]}")
    found = {}
    for entry in ask(pumpwright, "run", path, "--length", f"{days} d", "--release-after", "1 h")["entries"]:
        if entry["kind"] == "lock out":
            found[settings[entry["sentence"]]] = found.get(settings[entry["sentence"]], 0) + 1
    return found


def at_least(count, mean):
    """Of a Poisson count with this mean: how probable so many or more are."""
    return 1 - sum(math.exp(-mean) * mean**k / math.factorial(k) for k in range(count))


def people_of(litres):
    seen = [one for one in litres if not math.isnan(one)]
    daily = 24 * sum(seen) / len(seen)
    return min(4, max(1, round((daily / PERSON_L) ** (1 / SIZE_POWER))))


def main(pumpwright, readings, years, only):
    every = read_homes(readings)
    homes, fitted_on = {name: home for name, home in every.items() if not only or name in only}, list(every)[:FITTED_ON]
    rows, sized, sums = [], {}, {}
    with tempfile.TemporaryDirectory() as folder:
        for name, (_, litres) in homes.items():
            half = len(litres) // 48 * 24
            parts = {"first": litres[:half], "second": litres[half:], "whole": litres}
            traces = {part: write_trace(folder, f"{name}_{part}", hours) for part, hours in parts.items()}
            record = write_sheet(folder, f"{name}_record", sheet(traces["first"]))
            fitted = ask(pumpwright, "habits", record)["homes"][0]["household"]
            own = advise(pumpwright, folder, f"{name}_own", f"  - {json.dumps(fitted)}", years)
            people = people_of(parts["first"])
            if people not in sized:
                demand = f"  - {{outlet: house and garden, kind: household, people: {people}}}"
                sized[people] = advise(pumpwright, folder, f"of_{people}", demand, years)
            row = [name + ("" if name in fitted_on else " (held out)"), str(people)]
            for what, advice, part in (("own", own, "second"), ("size", sized[people], "whole")):
                days = len(parts[part]) // 24
                settings = [one["words"] for one in advice["settings"]]
                found = stops(pumpwright, folder, f"{name}_{what}", traces[part], settings, days)
                count, promised = sum(found.values()), advice["upper_a"] * days / 365
                total = sums.setdefault(what, [0, 0.0, 0.0])
                total[0], total[1], total[2] = total[0] + count, total[1] + promised, total[2] + days / 365
                by = ", ".join(f"`{words}` {n}" for words, n in sorted(found.items()))
                row += [f"{count}" + (f": {by}" if by else ""), f"{promised:.2g}"]
            rows.append(row)
            print(" | ".join(row), file=sys.stderr, flush=True)
    lines = ["| home | people | on its second half: false stops | promised at most | of its size, on all its days: false stops | promised at most |",
             "| --- | --- | --- | --- | --- | --- |", *("| " + " | ".join(row) + " |" for row in rows), ""]
    for what, words in (("own", "Fitted to the first half, on the second"), ("size", "Of its size only, on all days")):
        count, promised, seen = sums[what]
        lines.append(f"{words}: {count} false stops in {seen:.1f} home-years, where at most {promised:.2g} were promised"
                     f" ({100 * at_least(count, promised):.0f} % of the times there would be so many or more at that bound).\n")
    return "\n".join(lines)


def put(path, marks, text):
    with open(path) as file:
        whole = file.read()
    begin, end = whole.index(marks[0]) + len(marks[0]), whole.index(marks[1])
    with open(path, "w") as file:
        file.write(f"{whole[:begin]}\n{text}\n{whole[end:]}")


if __name__ == "__main__":
    words = sys.argv[1:]
    option = {key: words[words.index(key) + 1] for key in ("--years", "--homes") if key in words}
    plain = [one for i, one in enumerate(words) if not one.startswith("--") and (i == 0 or words[i - 1] not in option)]
    if len(plain) != 2:
        raise SystemExit(__doc__)
    table = main(plain[0], plain[1], int(option.get("--years", "10")), option.get("--homes", "").split(",") if "--homes" in option else [])
    print(table)
    if "--write" in words:
        put(f"{HERE}/docs/advice.md", MARKS, table)
