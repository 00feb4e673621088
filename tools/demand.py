#!/usr/bin/env python3
"""Drawn and fitted homes against metered ones: makes the tables of docs/demand.md anew.

Like is compared with like. As many simulated homes as metered ones are one set; each gives only the days of the year, and the
hours, that its metered home's meter gave; the figures of a set are made as those of the metered homes. A table shows the median of
many sets, and in brackets where eight in ten of them lie: what chance does with so few homes.

usage: tools/demand.py READINGS.csv [--write]
READINGS.csv: home,time,meter_l (a counter read about every hour). --write puts the tables into docs/demand.md, between its marks.
Needs a C compiler. The readings are read in place; nothing of them is kept but the figures of the tables.
"""
import csv
import datetime
import glob
import math
import os
import statistics
import subprocess
import sys
import tempfile
from collections import defaultdict

HERE = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
FITTED_ON = 5  # the population's habits were chosen on the first so many homes
DRAWN = 600
SETS = 40
SIZES = ["1", "2", "3", "4"]
PERSON_L, SIZE_POWER = 140.0, 0.8  # as in core/sim/household.c: a home's size by its water
# The same figures of 38 homes of two towns (36 home-years), of which only their summary is known here.
OTHERS = {"quiet": 23 / 38, "h200": 4.2, "cv": 0.60, "zero": 7.0, "away7": 15 / 36, "month": 2.25, "low": 0.78, "high": 1.46, "starts": 8}
ROWS = [
    ("quiet", "homes without any hour of 300 L or more, part"),
    ("h200", "hours of 200 L and more a year, median"),
    ("cv", "day to day, standard deviation by mean, median"),
    ("zero", "days without use, %"),
    ("away7", "homes with an absence of 7 days or more, part"),
    ("month", "month most over least, median"),
    ("low", "weekend over weekday, 10 % of homes below"),
    ("high", "weekend over weekday, 10 % of homes above"),
    ("starts", "most starts in an hour, median"),
]
PUMP_L_H, DRAWDOWN_L = 2400.0, 30.0  # 40 L/min on a vessel of 100 L


def quantile(values, part):
    values = sorted(values)
    at = part * (len(values) - 1)
    low = int(at)
    return values[low] + (values[min(low + 1, len(values) - 1)] - values[low]) * (at - low)


def read_homes(path):
    """Home -> (first day, litres of each hour from its midnight on; nan: not covered)."""
    readings = defaultdict(list)
    with open(path, newline="") as file:
        for row in csv.DictReader(file):
            readings[row["home"]].append((datetime.datetime.strptime(row["time"], "%Y-%m-%d %H:%M"), float(row["meter_l"])))
    return {home: hours_of(sorted(rows)) for home, rows in sorted(readings.items())}


def hours_of(rows):
    first = rows[0][0].date()
    litres = [math.nan] * (((rows[-1][0].date() - first).days + 1) * 24)
    for (begin, before), (end, after) in zip(rows, rows[1:]):
        hours = (end - begin).total_seconds() / 3600
        used = after - before
        if used < 0 or hours > 24 or used > 3000 * max(hours, 1):  # exchanged or misread, or a day without a reading
            continue
        at = (begin - datetime.datetime.combine(first, datetime.time())).total_seconds() / 3600
        count = max(1, round(hours))
        for i in range(count):
            slot = int(at) + i
            if slot < len(litres):
                litres[slot] = used / count + (0 if math.isnan(litres[slot]) else litres[slot])
    return first, litres


def figures(first, litres):
    """What one home did in these hours."""
    days, months = {}, defaultdict(list)
    for day in range(len(litres) // 24):
        seen = [x for x in litres[24 * day:24 * day + 24] if not math.isnan(x)]
        if len(seen) >= 20:
            days[day] = sum(seen)
            date = first + datetime.timedelta(day)
            months[date.year, date.month].append(days[day])
    mean = statistics.mean(days.values())
    run = longest = 0
    for day in range(max(days) + 1):
        run = run + 1 if days.get(day, 1) <= 0.5 else 0
        longest = max(longest, run)
    of_months = [statistics.mean(x) for x in months.values() if len(x) >= 15]
    ends = [x for day, x in days.items() if (first.weekday() + day) % 7 >= 5]
    week = [x for day, x in days.items() if (first.weekday() + day) % 7 < 5]
    hours = [x for x in litres if not math.isnan(x)]
    most = min(max(hours), PUMP_L_H / 2)
    return {"daily": mean, "quiet": max(hours) < 300, "h200": sum(x >= 200 for x in hours) * 8760 / len(hours),
            "cv": statistics.pstdev(days.values()) / mean, "zero": 100 * sum(x <= 0.5 for x in days.values()) / len(days),
            "longest": longest, "month": max(of_months) / max(min(of_months), 0.01 * mean),
            "weekend": statistics.mean(ends) / max(statistics.mean(week), 1e-9), "starts": most * (PUMP_L_H - most) / (PUMP_L_H * DRAWDOWN_L)}


def summary(homes):
    def of(key):
        return [home[key] for home in homes]
    return {"quiet": statistics.mean(of("quiet")), "h200": quantile(of("h200"), 0.5), "cv": quantile(of("cv"), 0.5),
            "zero": statistics.mean(of("zero")), "away7": statistics.mean(x >= 7 for x in of("longest")),
            "month": quantile(of("month"), 0.5), "low": quantile(of("weekend"), 0.1), "high": quantile(of("weekend"), 0.9),
            "starts": quantile(of("starts"), 0.5)}


def build(folder):
    program = os.path.join(folder, "homes")
    sources = ["bench/homes.c", "core/sim/demand.c", "core/sim/household.c", "core/sim/habits.c"]
    sources += [os.path.relpath(x, HERE) for x in sorted(glob.glob(os.path.join(HERE, "core/base/*.c")))]
    subprocess.run(["cc", "-std=c11", "-O2", "-ffp-contract=off", "-w", "-Icore", "-o", program, *sources, "-lm"], cwd=HERE, check=True)
    return program


def simulate(program, *words, record=None):
    """Litres of each hour of each year."""
    got = subprocess.run([program, *words], input=record, capture_output=True, text=True, check=True)
    return [[float(x) for x in line.split()] for line in got.stdout.splitlines()]


MONDAY = datetime.date(2018, 1, 1)


def as_metered(first, litres, year):
    """What the meter of a home (first day, litres by the hour) would have shown of this simulated year."""
    start = (first - datetime.date(first.year, 1, 1)).days
    seen = [math.nan if math.isnan(x) else year[(start * 24 + at) % len(year)] for at, x in enumerate(litres)]
    return figures(MONDAY + datetime.timedelta(start % 365), seen)


def sets_of(homes, years):
    """years: for each metered home a list of simulated ones. Summaries of sets that hold one of each."""
    return [summary([as_metered(*home, of_home[i]) for home, of_home in zip(homes, years)]) for i in range(len(years[0]))]


def middle(summaries):
    return {key: quantile([x[key] for x in summaries], 0.5) for key, _ in ROWS}


def ends(summaries):
    return {key: (quantile([x[key] for x in summaries], 0.1), quantile([x[key] for x in summaries], 0.9)) for key, _ in ROWS}


def people(first, litres):
    return max(1, math.floor((figures(first, litres)["daily"] / PERSON_L) ** (1 / SIZE_POWER) + 0.5))


def record_of(first, litres):
    return "%d %s\n" % (first.weekday(), " ".join("nan" if math.isnan(x) else "%.3f" % x for x in litres))


def cell(value):
    return "%.2f" % value if value < 10 else "%.1f" % value


def table(columns, compare, spread=None):
    """columns: title -> summary. compare: pairs of titles whose rows within 30 % are counted. spread: title -> ends."""
    lines = ["| | " + " | ".join(columns) + " |", "| --- |" + " --- |" * len(columns)]
    for key, words in ROWS:
        cells = []
        for title, column in columns.items():
            low_high = (spread or {}).get(title)
            cells.append(cell(column[key]) + (" (%s to %s)" % tuple(cell(x) for x in low_high[key]) if low_high else ""))
        lines.append("| %s | %s |" % (words, " | ".join(cells)))
    for ours, theirs in compare:
        inside = [key for key, _ in ROWS if abs(columns[ours][key] - columns[theirs][key]) <= 0.3 * abs(columns[theirs][key])]
        chance = ""
        if spread and ours in spread:
            chance = "; %d lie where eight in ten sets do" % sum(
                spread[ours][key][0] <= columns[theirs][key] <= spread[ours][key][1] for key, _ in ROWS)
        lines.append("")
        lines.append("%s against %s: %d of %d rows within 30 %%%s." % (ours, theirs, len(inside), len(ROWS), chance))
    return lines


def drawn_table(program, homes):
    """Homes of which no more than the size is known."""
    columns, spread = {}, {}
    for name, part in (("homes fitted on", homes[:FITTED_ON]), ("homes held out", homes[FITTED_ON:])):
        sizes = [str(people(*home)) for home in part]
        years = simulate(program, "drawn", str(SETS * len(part)), *sizes)
        found = sets_of(part, [years[i::len(part)] for i in range(len(part))])
        columns["drawn for " + name], spread["drawn for " + name] = middle(found), ends(found)
        columns[name] = summary([figures(*home) for home in part])
    every = simulate(program, "drawn", str(DRAWN), *SIZES)
    columns["%d drawn homes" % DRAWN] = summary([figures(MONDAY, year) for year in every])
    columns["38 homes"] = OTHERS
    return table(columns, [("drawn for homes fitted on", "homes fitted on"), ("drawn for homes held out", "homes held out"),
                           ("%d drawn homes" % DRAWN, "38 homes")], spread)


def fits(program, homes, halves):
    """For each home years of the home that its record, or the first half of it, shows."""
    years = []
    for i, (first, litres) in enumerate(homes):
        record = record_of(first, litres[:len(litres) // 48 * 24] if halves else litres)
        years.append(simulate(program, "fitted", str(SETS), str(1000 * i), record=record))
    return years


def beside(homes, years, fitted, metered):
    """What was fitted, beside what was metered: of all homes, and of those that were held out."""
    columns, spread, pairs = {}, {}, []
    for name, begin in (("nine homes", 0), ("four held out", FITTED_ON)):
        found = sets_of(homes[begin:], years[begin:])
        ours, theirs = "%s, %s" % (fitted, name), "%s, %s" % (metered, name)
        columns[ours], spread[ours] = middle(found), ends(found)
        columns[theirs] = summary([figures(*home) for home in homes[begin:]])
        pairs.append((ours, theirs))
    return table(columns, pairs, spread)


def split_table(program, homes):
    """Each home fitted to its first half, of all and of those that were held out; the second half is not shown to the fit."""
    years = fits(program, homes, True)
    later = []
    for first, litres in homes:
        half = len(litres) // 48 * 24
        later.append((first + datetime.timedelta(half // 24), litres[half:]))
    return beside(later, years, "fitted to the first half", "second half")


def fit_table(program, homes):
    return beside(homes, fits(program, homes, False), "fitted to the year", "the year")


def main():
    if len(sys.argv) < 2:
        sys.exit(__doc__)
    homes = list(read_homes(sys.argv[1]).values())
    with tempfile.TemporaryDirectory() as folder:
        program = build(folder)
        tables = {"drawn": drawn_table(program, homes), "split": split_table(program, homes), "fitted": fit_table(program, homes)}
    path = os.path.join(HERE, "docs", "demand.md")
    with open(path) as file:
        page = file.read()
    for name, lines in tables.items():
        print("\n".join(lines) + "\n")
        begin, end = "<!-- %s -->\n" % name, "<!-- end -->"
        if "--write" in sys.argv and begin in page:
            at = page.index(begin) + len(begin)
            page = page[:at] + "\n".join(lines) + "\n" + page[page.index(end, at):]
    if "--write" in sys.argv:
        with open(path, "w") as file:
            file.write(page)


if __name__ == "__main__":
    main()
