#!/usr/bin/env python3
"""Speed on this machine, measured honestly on every site. Not a test: nothing fails for being slow.

usage: bench/speed.py BUILD_FOLDER [--short] [--no-work] [--write]
  --short    days instead of a year, one try, and only proofs that take seconds: some minutes in all
  --no-work  without proofs, advice, browser
  --write    docs/performance.md anew between its marks, and its picture
"""
import itertools
import json
import math
import os
import re
import subprocess
import sys
import tempfile

import growth
import runs

TOLERANCES = [1e-6, 1e-8, 1e-10]
ALLOWED = 1e-6  # of the reference
ROOT = os.path.normpath(os.path.join(runs.HERE, ".."))


class Report:
    """Lines for the screen at once, and for the document."""
    def __init__(self):
        self.lines = []

    def say(self, line=""):
        print(line, flush=True)
        self.lines.append(line)

    def table(self, heads, rows):
        self.say("| " + " | ".join(heads) + " |")
        self.say("|" + " --- |" * len(heads))
        for row in rows:
            self.say("| " + " | ".join(row) + " |")
        self.say()


def digits(value, unit=""):
    if value is None or not math.isfinite(value):
        return "-"
    return f"{value:.3g}{unit}"


def mean(values):
    return math.exp(sum(map(math.log, values)) / len(values)) if values else float("nan")


# ---- against CVODES ----

PROGRAMS = {"ours": "twin_ours", "bdf": "twin_cvode", "adams": "twin_cvode"}


def measure_site(build, site, days, tries, patience):
    """{(method, tables, tolerance): run with its error}; methods in turn, so that they share whatever disturbs the machine."""
    fault = runs.FAULT.get(site, ())
    found = {}
    for tables in (False, True):
        def run(method, tolerance, times):
            return runs.quickest(times, os.path.join(build, "twin", PROGRAMS[method]), runs.sheet(site), days, tolerance, tables, fault,
                                 method=method, patience_s=patience)
        reference = run("ours", 1e-11, 1)
        found["apart", tables] = runs.error(run("bdf", 1e-11, 1), reference)
        for tolerance, method in itertools.product(TOLERANCES, PROGRAMS):
            one = run(method, tolerance, tries)
            if one is not None:
                found[method, tables, tolerance] = {**one, "error": runs.error(one, reference)}
    return found


def quicker(found, methods, tables, tolerance):
    """The quickest of these methods; None: none of them ended."""
    ended = [(found[m, tables, tolerance]["seconds"], m) for m in methods if (m, tables, tolerance) in found]
    return (min(ended)[1], found[min(ended)[1], tables, tolerance]) if ended else (None, None)


def cheapest(found, methods, tables):
    """The least seconds within the allowed error, whatever the tolerance; None: never within it."""
    fine = [found[m, tables, t]["seconds"] for m in methods for t in TOLERANCES
            if (m, tables, t) in found and found[m, tables, t]["error"] <= ALLOWED]
    return min(fine) if fine else None


def tell_against(report, all_sites, tables):
    rows, every = [], []
    for site, found in all_sites.items():
        _, ours = quicker(found, ["ours"], tables, 1e-8)
        which, other = quicker(found, ["bdf", "adams"], tables, 1e-8)
        a, b = cheapest(found, ["ours"], tables), cheapest(found, ["bdf", "adams"], tables)
        equal = other["seconds"] / ours["seconds"] if ours and other else None
        needed = b / a if a and b else None
        every.append((site, equal, needed))
        rows.append([site, digits(ours and ours["seconds"]), f"{digits(other and other['seconds'])} {which or ''}", digits(equal), digits(needed),
                     digits(ours and ours["error"]), digits(other and other["error"]), digits(found["apart", tables])])
    report.table(["site", "ours, s", "CVODES, s", "ratio", "ratio at the tolerance each needs", "error", "its error", "references apart"], rows)
    for name, number in (("at equal tolerance", 1), ("at the tolerance each needs", 2)):
        known = [row for row in every if row[number]]
        if known:
            worst = min(known, key=lambda row: row[number])
            report.say(f"Ratio {name}: geometric mean {mean([row[number] for row in known]):.1f}, worst {worst[number]:.1f} ({worst[0]}), "
                       f"{len(known)} of {len(every)} sites.")
    report.say()


def tell_costs(report, all_sites, floor):
    evaluation_ns, round_ns = floor
    rows = []
    for site, found in all_sites.items():
        run = found.get(("ours", True, 1e-8))
        times = [found[key]["seconds"] if key in found else float("nan") for key in (("ours", True, t) for t in TOLERANCES)]
        if run is None:
            continue
        ns, each = run["seconds"] * 1e9 / run["evaluations"], run["seconds"] * 1e9 / run["rounds"]
        looser = max(times[i] / times[j] for i in range(len(times)) for j in range(i + 1, len(times)))
        rows.append([site, *[digits(t) for t in times], f"{looser:.2f}", f"{run['rounds']:.0f}", f"{run['evaluations'] / run['rounds']:.1f}",
                     f"{ns:.0f}", f"{each:.0f}", f"{ns / evaluation_ns:.0f}", f"{each / round_ns:.0f}"])
    report.table(["site", "1e-6, s", "1e-8, s", "1e-10, s", "a looser one slower by", "rounds", "evaluations a round", "ns an evaluation",
                  "ns a round", "evaluation over floor", "round over floor"], rows)


# ---- the work that people wait for ----

def tell_work(report, build, short):
    program = os.path.join(build, "pumpwright")
    brief = ["--years", "1", "--sweep", "8", "--horizon", "3d"] if short else []
    patience = 60 if short else 1800
    report.say(f"Proofs ({'1 healthy year, 8 leaks, 3 days each' if short else 'as they are by default'}), "
               f"a dash where one took more than {patience} s:")
    report.say()
    rows = []
    for site in runs.SITES:
        one = runs.command_seconds([program, "prove", runs.sheet(site), "--jobs", "1", "--quiet", *brief], patience)
        two = runs.command_seconds([program, "prove", runs.sheet(site), "--jobs", "2", "--quiet", *brief], patience) if one else None
        rows.append([site, digits(one and one[0]), digits(one and one[1]), digits(two and two[0]), digits(two and two[1])])
    report.table(["proof", "1 process: processor s", "wall s", "2 processes: processor s", "wall s"], rows)
    advice = runs.command_seconds([program, "advise", runs.sheet("nursery"), "--jobs", "1", "--quiet", *brief[:2]], patience)
    report.say(f"Advice for the nursery, 1 process: {digits(advice and advice[0])} s of processor.")
    report.say()


def without_clock_times():
    """PyYAML takes 16:00 for a number to the base 60; a sheet means a time of the day."""
    import yaml
    loader = type("Loader", (yaml.SafeLoader,), {})
    loader.yaml_implicit_resolvers = {
        first: [(tag, pattern) for tag, pattern in rules if not tag.endswith((":int", ":float", ":timestamp"))]
        for first, rules in yaml.SafeLoader.yaml_implicit_resolvers.items()}
    loader.add_implicit_resolver("tag:yaml.org,2002:float", re.compile(r"^[-+]?\d+(\.\d+)?(e[-+]?\d+)?$"), list("-+0123456789"))
    return lambda text: yaml.load(text, loader)


def tell_browser(report, build, short):
    wasm, program = os.path.join(ROOT, "build", "pumpwright.wasm"), os.path.join(build, "pumpwright")
    if not os.path.exists(wasm):
        report.say("(The WebAssembly module was not measured: tools/wasm.sh builds it.)")
        return
    read = without_clock_times()
    asked = []
    for site in ("nursery", "flats"):
        with open(runs.sheet(site), encoding="utf-8") as file:
            tree = read(file.read())
        asked.append((f"{site}: a day, dragged", {"do": "run", "site": tree, "length": "1 d", "plots": True}))
        asked.append((f"{site}: {30 if short else 365} days", {"do": "run", "site": tree, "length": "30 d" if short else "365 d"}))
        if site == "nursery":
            asked.append((f"{site}: a proof of a year", {"do": "prove", "site": tree, "years": 1, "sweep": 8, "horizon": "3 d"}))
    idle = runs.command_seconds([program, "door"], 60, '{"do":"about"}')[0]
    rows = []
    with tempfile.NamedTemporaryFile("w", suffix=".jsonl") as file:
        file.write("".join(json.dumps(request) + "\n" for _, request in asked))
        file.flush()
        node = subprocess.run([os.path.join(ROOT, "tools", "deps.sh"), "node"], capture_output=True, text=True, check=True).stdout.strip()
        module = subprocess.run([node, os.path.join(runs.HERE, "module.mjs"), wasm, file.name, "3"], capture_output=True, text=True, check=True)
    for (name, request), ms in zip(asked, map(float, module.stdout.split())):
        own = 1e3 * (min(runs.command_seconds([program, "door"], 600, json.dumps(request))[0] for _ in range(3)) - idle)
        rows.append([name, f"{own:.1f}", f"{ms:.1f}", f"{ms / own:.2f}"])
    report.say("The same requests by the WebAssembly module under Node (wall) and by the native program (processor, less starting it):")
    report.say()
    report.table(["request", "native, ms", "WebAssembly, ms", "ratio"], rows)


# ---- all of it ----

def write_document(report):
    path = os.path.join(ROOT, "docs", "performance.md")
    with open(path, encoding="utf-8") as file:
        before, _, rest = file.read().partition("<!-- measured -->\n")
    after = rest.partition("<!-- end of measured -->\n")[2]
    with open(path, "w", encoding="utf-8") as file:
        file.write(before + "<!-- measured -->\n" + "\n".join(report.lines).strip() + "\n<!-- end of measured -->\n" + after)


def machine():
    with open("/proc/cpuinfo", encoding="utf-8") as file:
        names = re.findall(r"model name\s*:\s*(.*)", file.read())
    return f"{len(names)} x {names[0]}" if names else "a machine that does not tell its name"


def main():
    words = sys.argv[1:]
    if not words or words[0].startswith("-"):
        sys.exit(__doc__)
    build, short = words[0], "--short" in words
    days, tries = (2, 1) if short else (365, 3)
    report = Report()
    floor = [float(x) for x in subprocess.run([os.path.join(build, "bench", "bench_floor"), "1000000"], capture_output=True, text=True,
                                              check=True).stdout.split()]
    report.say(f"Measured on {machine()}, load {os.getloadavg()[0]:.1f} of other work; {days} days of each site, processor seconds, "
               f"the least of {tries}. Floor of this machine: {floor[0]:.1f} ns an evaluation, {floor[1]:.0f} ns a round.")
    report.say()
    patience = 60 if short else 3600
    all_sites = {}
    for site in runs.SITES:
        print(f"  {site} ...", file=sys.stderr, flush=True)
        all_sites[site] = measure_site(build, site, days, tries, patience)
    for tables, title in ((False, "Full formulas against full formulas"), (True, "Tables against tables")):
        report.say(f"**{title}**, both at a tolerance of 1e-8:")
        report.say()
        tell_against(report, all_sites, tables)
    report.say("**What it takes with tables**, at three tolerances:")
    report.say()
    tell_costs(report, all_sites, floor)
    if "--no-work" not in words:
        tell_work(report, build, short)
        tell_browser(report, build, short)
    rows = growth.measure(build, days if short else 365, tries)
    report.table(["growth", "number", "s"], [[what, digits(number), digits(seconds)] for what, number, seconds in rows])
    if "--write" in words:
        growth.plot(rows, os.path.join(ROOT, "docs", "pictures", "growth.svg"))
        write_document(report)


if __name__ == "__main__":
    main()
