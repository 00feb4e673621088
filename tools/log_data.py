#!/usr/bin/env python3
"""What the diagnosis says of open measurements: runs the program on each file where it lies, holds what it says against the labels
where there are any, and writes its part of docs/diagnosis.md.

usage: tools/log_data.py PROGRAM [FOLDER [--write]]     FOLDER with the data sets, ../shared/data
"""
import csv
import datetime
import glob
import json
import os
import subprocess
import sys

PAGE = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "docs", "diagnosis.md")
BEGIN, END = "<!-- data: begin -->\n", "<!-- data: end -->"
ALARM = 0.5  # a fault is called from this probability on

# What each file of the pump loop holds, by its authors; None: a fault that is none of the list. Blocked suction, a throttled delivery and
# a falling level lower the flow alike: either name of the group is the right class.
SUCTION, DELIVERY = {"blocked intake", "falling water level", "dry source"}, {"closed delivery valve"}
LOOP = {
    "normal": ("nothing, 78 min", None), "valve1": ("valve at the inlet", SUCTION | DELIVERY), "valve2": ("valve at the outlet", SUCTION | DELIVERY),
    "other_1": ("leak and water added", {"slow leak", "burst"}), "other_3": ("leak and water added", {"slow leak", "burst"}),
    "other_5": ("imbalance, sharp", None), "other_7": ("imbalance, in steps", None), "other_10": ("water rises slowly", None),
    "other_12": ("tank drained until it cavitates", SUCTION), "other_14": ("warmer water", None),
}


def ask(program, path, *words):
    done = subprocess.run([program, "diagnose", path, "-q", "--json=line", *words], capture_output=True, text=True)
    if done.returncode != 0:
        raise SystemExit("%s: %s" % (path, done.stderr))
    return json.loads(done.stdout)


def best(answer):
    top = answer["hypotheses"][0]
    return top["what"] if top["what"] != "none" else "nothing", top["probability"]


def alarmed(answer):
    what, probability = best(answer)
    return what != "nothing" and probability >= ALARM


def labelled(path):
    """Begin and end of what is labelled, s from the file's begin; None without labels."""
    times, marks = [], []
    for row in csv.DictReader(open(path, encoding="utf-8"), delimiter=";"):
        times.append(datetime.datetime.fromisoformat(row["datetime"]))
        marks.append(float(row["anomaly"]) if "anomaly" in row else 0.0)
    seconds = [(t - times[0]).total_seconds() for t in times]
    wrong = [s for s, mark in zip(seconds, marks) if mark > 0]
    return (wrong[0], wrong[-1]) if wrong else None


def changed(answer):
    """The stretch that is told as another one than before, s from the begin, or None."""
    log = answer["log"]
    since = answer["judged_from_s"] - log["from_s"]
    return (since, answer["judged_until_s"] - log["from_s"]) if since > 0 else None


def shared(a, b):
    """What two stretches share, as a part of what either covers."""
    return max(min(a[1], b[1]) - max(a[0], b[0]), 0.0) / (max(a[1], b[1]) - min(a[0], b[0]))


def loop_row(program, path):
    name = os.path.splitext(os.path.basename(path))[0]
    holds, right = LOOP[name if name in LOOP else name.split("_")[0]]
    answer = ask(program, path)
    what, probability = best(answer)
    stretch, truth = changed(answer), labelled(path)
    said = "%s %.0f %%" % (what, 100 * probability)
    if stretch is None:
        seen, verdict = "no change", "right" if truth is None else "missed"
    else:
        seen = "%.0f to %.0f s" % stretch
        found = truth is not None and shared(stretch, truth) >= 0.5
        verdict = "found, %+.0f s" % (stretch[0] - truth[0]) if found else "another time: false"
    named = [h["what"] for h in answer["hypotheses"] if h["probability"] >= 0.05 and h["what"] != "none"]
    if right is None:
        kind = "none of the list" if truth else ""
    else:
        kind = "among those named" if right & set(named) else "not named"
    wrong = alarmed(answer) and (right is None or what not in right)
    return {"cells": [name, holds, "%.0f to %.0f s" % truth if truth else "", seen, verdict, said, kind], "verdict": verdict,
            "truth": truth, "wrong": wrong}


def loop(program, folder):
    rows = [loop_row(program, path) for path in sorted(glob.glob(os.path.join(folder, "pump_loop_faults_1hz", "*.csv")))]
    found = [row for row in rows if row["verdict"].startswith("found")]
    truths = [row for row in rows if row["truth"]]
    false = [row for row in rows if "false" in row["verdict"]]
    lines = ["**Pump loop, 1 Hz** (Skoltech, GPL 3): of %d labelled faults %d found at their time, %d not, %d changes told at another "
             "time; a fault called that is not there, at %.0f %% or more: %d files."
             % (len(truths), len(found), len(truths) - len(found), len(false), 100 * ALARM, sum(row["wrong"] for row in rows)), "",
             "| file | holds | labelled | another than before | time | said | class |", "| --- | --- | --- | --- | --- | --- | --- |"]
    lines += ["| %s |" % " | ".join(row["cells"]) for row in rows]
    lines += ["", "The valves close in part, the pressure is coarser (0.33 bar a step) than what they do to it, and nothing starts or stops: "
              "current and flow are all that can tell. Imbalance, warmer water and a rising level are none of the faults in "
              "the list, so only their time can be right."]
    return lines


def station(program, folder):
    path = os.path.join(folder, "pump_station_registers", "registers.csv")
    answer = ask(program, path, "--column", "a_starts_today=starts", "--column", "a_minutes_today=running time min",
                 "--column", "a_gal_today=volume gal", "--column", "p1_ct_a=-")
    features, log = answer["features"], answer["log"]
    run, flow = features["usual run"], features["flow while running"]
    what, probability = best(answer)
    return ["**Station with counters of a day, polled each 9 min** (Apache 2.0): %.0f s and %.0f L a start, %.0f starts a day; %d new begins "
            "of a counter, %d steps back, %d jumps; %s %.0f %%. The source says 1.52 min (91 s), 75.8 gal (287 L), about 30 starts: right."
            % (run, 1000 * flow * run, features["starts a day"], log["bad"]["counter began anew"], log["bad"]["steps back"],
               log["bad"]["jumps"], what, 100 * probability)]


def days(seconds):
    return "%.1f d" % (seconds / 86400)


def homes(program, folder):
    path = os.path.join(folder, "homes_hourly_meter", "homes_hourly.csv")
    names = sorted({row["home"] for row in csv.DictReader(open(path, encoding="utf-8"))})
    lines = ["**Homes' hourly meters, a year** (CC BY-SA 4.0): flow that never ended for a day or more, called a leak from "
             "%.0f %% on." % (100 * ALARM), "",
             "| home | leaks called | how long, begin, size | below that | jumps | steps back |", "| --- | ---: | --- | ---: | ---: | ---: |"]
    for home in names:
        answer = ask(program, path, "--only", "home=" + home, "--column", "meter_l=volume L")
        log = answer["log"]
        called = [one for one in log["standing"] if one["probability"] >= ALARM]
        told = "; ".join("%s from day %.0f, %.2f L/min" % (days(one["end_s"] - one["begin_s"]),
                         (one["begin_s"] - log["from_s"]) / 86400 + 1, 60000 * one["size_m3s"]["best"]) for one in called[:4])
        told += "; %d more" % (len(called) - 4) if len(called) > 4 else ""
        lines.append("| %s | %d | %s | %d | %d | %d |" % (home, len(called), told, len(log["standing"]) - len(called),
                                                          log["bad"]["jumps"], log["bad"]["steps back"]))
    lines += ["", "There are no labels. A02 is the home whose days have no empty hour in 40 %, A08 in 4 %, all others in 0 to 1 %: there is where "
              "leaks are called for long. One stretch of a day or two in a year can be guests, and is judged no surer than that. The exchanged "
              "meter of A06 is counted as jumps and steps back, and is no leak."]
    return lines


def steady(program, folder):
    lines = ["**Pipe loop with 1 to 5 pumps, 10 Hz, no fault** (MIT):"]
    for path in sorted(glob.glob(os.path.join(folder, "pipeline_pumps_10hz", "*.csv"))):
        answer = ask(program, path, "--column", "flow1=flow L/min", "--column", "pre1=pressure bar", "--column", "t_s=time s")
        what, probability = best(answer)
        stretch = changed(answer)
        lines.append("- %s: %s %.0f %%, %s; flow that never ended: %d." % (os.path.basename(path), what, 100 * probability,
                     "a change at %.0f s without a cause" % stretch[0] if stretch else "no change", len(answer["log"]["standing"])))
    lines += ["", "Right as far as it says: of two meters one is used, so their difference is no leak. Pressure and flow are given units that the "
              "source does not state, which moves nothing here."]
    return lines


def wells(program, folder):
    lines = ["**Step-drawdown tests** (GPL 3):"]
    for path in sorted(glob.glob(os.path.join(folder, "step_drawdown_wells", "*_drawdown.csv"))):
        answer = ask(program, path, "--column", "time_day=time d", "--column", "drawdown_ft=level ft")
        what, probability = best(answer)
        lines.append("- %s: %s %.0f %%." % (os.path.basename(path), what, 100 * probability))
    lines += ["", "Cannot be judged: the rates stand in another file, and a level that falls because more is pumped is no fault. None is "
              "called."]
    return lines


def main():
    if len(sys.argv) < 2:
        raise SystemExit(__doc__)
    program = sys.argv[1]
    folder = sys.argv[2] if len(sys.argv) > 2 else os.path.join(os.path.dirname(PAGE), "..", "..", "shared", "data")
    lines = []
    for part in (loop, station, homes, steady, wells):
        lines += part(program, folder) + [""]
    text = "\n".join(lines).rstrip() + "\n"
    if "--write" in sys.argv[3:]:
        page = open(PAGE, encoding="utf-8").read()
        before, rest = page.split(BEGIN)
        open(PAGE, "w", encoding="utf-8").write(before + BEGIN + text + END + rest.split(END)[1])
    else:
        sys.stdout.write(text)


main()
