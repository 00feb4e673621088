"""What a run costs against years, faults, places and pumps: sheets made up for it, and the plot (gnuplot)."""
import os
import subprocess
import tempfile

import runs

HEAD = """site: Made up for a measurement
invented: yes
water: 15 degC
altitude: 0 m
supply: {voltage: 400 V, phases: 3, frequency: 50 Hz}
sources: [{name: tank, at: intake, kind: mains, pressure: 50 kPa}]
vessels: [{name: vessel, at: house, volume: 200 L, precharge: 180 kPa}]
sensors: [{name: pressure, kind: pressure, at: house, from: 0 kPa, to: 1000 kPa, resolution: 1 kPa}]
"""
CURVE = ", ".join(f"{{flow: {q} L/min, head: {h} m, efficiency: {e} %}}" for q, h, e in
                  [(0, 50, 0), (20, 48, 35), (40, 43, 52), (60, 34, 55), (80, 21, 44)])


def made_up(places, pumps):
    """A row of so many places behind a vessel, taps at the last eight at most, so many pumps side by side."""
    text = HEAD + "places:\n  - {name: intake, level: 0 m}\n  - {name: house, level: 0 m}\n"
    text += "".join(f"  - {{name: place {i}, level: {i % 5} m}}\n" for i in range(places))
    text += "pumps:\n" + "".join(
        f"  - {{name: pump {p}, from: intake, to: house, non-return valve: yes, curve: [{CURVE}], "
        "motor: {power: 0.75 kW, phases: 3, voltage: 400 V, full-load current: 2 A, locked-rotor current: 10 A}}\n" for p in range(pumps))
    text += "lines:\n" + "".join(
        f"  - {{name: line {i}, from: {f'place {i - 1}' if i else 'house'}, to: place {i}, pipe: PE100 40 SDR 11, length: 20 m}}\n"
        for i in range(places))
    taps = range(max(0, places - 8), places)
    text += "outlets:\n" + "".join(f"  - {{name: tap {i}, at: place {i}, needs: 50 kPa}}\n" for i in taps)
    each = 48 / len(taps)
    text += "demand:\n" + "".join(f"  - {{outlet: tap {i}, kind: random, per day: {each:g}, flow: 10 L/min, for: 60 s}}\n" for i in taps)
    text += "settings:\n" + "".join(
        f"  - \"{who}start when pressure below {200 - 10 * p} kPa for 1 s\"\n  - \"{who}stop when pressure above {350 - 10 * p} kPa\"\n"
        for p, who in enumerate([f"pump {p}: " if pumps > 1 else "" for p in range(pumps)]))
    return text


def seconds_of(program, text, days, tries):
    with tempfile.NamedTemporaryFile("w", suffix=".yaml") as file:
        file.write(text)
        file.flush()
        return runs.quickest(tries, program, file.name, days, 1e-8, True)["seconds"]


def measure(build, days, tries):
    """Rows of [what, number, seconds]."""
    ours = os.path.join(build, "twin", "twin_ours")
    rows = []
    for part in (0.25, 0.5, 1, 2, 4):
        run = runs.quickest(tries, ours, runs.sheet("nursery"), days * part, 1e-8, True)
        rows.append(["years", days * part / 365, run["seconds"]])
    for places in (1, 2, 4, 8, 16, 32):
        rows.append(["places", places, seconds_of(ours, made_up(places, 1), days, tries)])
    for pumps in (1, 2, 3, 4):
        rows.append(["pumps", pumps, seconds_of(ours, made_up(4, pumps), days, tries)])
    leaks = [["slow leak", f"{2 ** i * 1e-6}", "10"] for i in range(8)]
    for count in (1, 2, 4, 8):  # one after the other, as a proof does them
        spent = sum(runs.quickest(tries, ours, runs.sheet("nursery"), min(days, 14), 1e-8, True, leak)["seconds"] for leak in leaks[:count])
        rows.append(["faults", count, spent])
    return rows


def plot(rows, picture):
    script = ["set terminal svg size 900,640 font 'sans,14' background 'white'", f"set output '{picture}'", "set multiplot layout 2,2",
              "set key off", "set grid", "set yrange [0:*]", "set xrange [0:*]", "set ylabel 'seconds'"]
    for what, label in [("years", "years simulated (nursery)"), ("faults", "faults tried (leaks of the nursery)"),
                        ("places", "places (a row of pipes)"), ("pumps", "pumps side by side")]:
        points = "\n".join(f"{x} {y}" for kind, x, y in rows if kind == what)
        script += [f"set xlabel '{label}'", f"plot '-' with linespoints pointtype 7 linecolor '#1f6f8b'\n{points}\ne"]
    subprocess.run(["gnuplot"], input="\n".join(script) + "\nunset multiplot\n", text=True, check=True)
