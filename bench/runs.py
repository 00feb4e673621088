"""Running and timing programs, for the benchmarks beside this file. Times are processor seconds: others may use the machine, too."""
import os
import resource
import subprocess
import time

HERE = os.path.dirname(os.path.abspath(__file__))
EXAMPLES = os.path.join(HERE, "..", "examples")
SITES = ["house", "nursery", "flats", "irrigation", "stock-water", "transfer", "hill-tank", "tap-stand"]
FAULT = {"transfer": ["slow leak", "3.3333e-5", "10"]}  # 2 L/min from 10 h on
FIELDS = ["starts", "run_s", "pumped", "delivered", "leaked", "winding", "locks", "seconds", "evaluations", "steps", "rounds", "energy"]
COMPARED = ["run_s", "pumped", "delivered", "leaked", "energy"]


def sheet(site):
    return os.path.join(EXAMPLES, f"{site}.yaml")


def run_site(program, path, days, tolerance, tables=False, fault=(), method="bdf", patience_s=3600):
    """One run of tests/twin/twin_main.c, as a dict of its numbers; None: it gave up, or did not end in time."""
    words = [program] + (["--reduced"] if tables else []) + ["--tolerance", repr(tolerance), path, repr(days), "1", *fault]
    try:
        done = subprocess.run(words, capture_output=True, text=True, check=True, timeout=patience_s, env={**os.environ, "TWIN_METHOD": method})
    except (subprocess.TimeoutExpired, subprocess.CalledProcessError):
        return None
    return dict(zip(FIELDS, map(float, done.stdout.split())))


def quickest(tries, *words, **more):
    """The same run again and again: it says the same each time, and the least time is that of the machine undisturbed."""
    least = None
    for _ in range(tries):
        run = run_site(*words, **more)
        if run is None:
            return None
        least = run if least is None or run["seconds"] < least["seconds"] else least
    return least


def error(run, reference):
    """The worst relative difference of what the run is used for; starts and lock outs that differ are no small difference."""
    if run is None or reference is None:
        return float("inf")
    if run["starts"] != reference["starts"] or run["locks"] != reference["locks"]:
        return float("inf")
    return max(abs(run[name] - reference[name]) / max(abs(reference[name]), 1e-3) for name in COMPARED)


def command_seconds(words, patience_s, text=None):
    """Processor and wall seconds of a command; None: it did not end in time."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    begun = time.monotonic()
    try:
        subprocess.run(words, input=text, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, text=True, timeout=patience_s, check=True)
    except subprocess.TimeoutExpired:
        return None
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime, time.monotonic() - begun
