#!/usr/bin/env python3
"""A mutation ratchet: would the fast tests notice if a law were wrong?

usage: tools/mutants/run.py --check             every listed text stands exactly once in its file (a fast test)
       tools/mutants/run.py [options]           build all mutants into one tree and try them (make mutants)

  --only WORD    mutants whose number is WORD, or whose file or reason holds WORD
  --write        put the figure into docs/verification.md
  --build DIR    the tree of mutated sources and its build (default: build/mutants)
  --keep-going   try every test that a mutant can reach, to list all that notice it

The lists are tools/mutants/*.txt. A mutant is three lines, below the file that it and those after it stand in:

  file core/element/pump.c

  find return [[part]] * pw_pump_shaft_w(       the text, once in the file; [[ ]] around the expression that changes
  put 1.0                                       what stands in its place
  why full power in a pump that sucks air       what would be wrong on site

An expression that C wants constant (a static table) cannot be chosen at run time; change what reads it instead.
Each expression E becomes (PW_MUTANT(17) ? (put) : (E)), so one build serves all and PW_MUTANT=17 in the environment chooses one.
In a first run each test program tells which mutants it passes; a mutant is tried against those only, the one that noticed it last time
and the quickest first, and against those over 1 s of work only where they are of its own folder. The slowest (SLOW) take no part. What
was found is kept in the build and not tried again for the same programs; --write tells all that is known for them. JOBS in the
environment: how many at once (all cores).
"""
import argparse
import concurrent.futures
import glob
import hashlib
import json
import os
import re
import resource
import shutil
import subprocess
import sys
import threading

ROOT = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
LEAST_SHARE = 0.90
LEAST_MUTANTS = 150
JOBS = max(int(os.environ.get("JOBS") or os.cpu_count() or 1), 1)
SLOW_S = 1.0  # of work: a test that takes longer is no fast one
# Random, exhaustive or whole requests: they would take longer than all the others together.
SLOW = {"sim_test_random_sites", "sim_test_observers", "sim_test_copy", "door_test_door", "control_test_driving",
        "control_test_exhaustive", "study_test_diagnose"}
PAGE = "docs/verification.md"
BEGIN, END = "<!-- mutants: written by make mutants -->\n", "<!-- mutants end -->\n"
AREAS = [  # of the table: title, and the files that belong to it
    ("formulas", r"core/formula/"), ("elements", r"core/(element|fault)/"), ("sensors", r"core/sim/sensors\.c"),
    ("control settings", r"core/control/"), ("simulation", r"core/sim/"), ("judging", r"core/study/(prove|propose|verdict)"),
    ("sizing", r"core/study/size"), ("advice and trends", r"core/study/(advise|expect|trend|log|fit)"),
]

HEADER = """#ifndef PW_MUTANT
extern int pw_mutant_now;
extern unsigned char pw_mutant_seen[];
#define PW_MUTANT(n) (pw_mutant_seen[n] = 1, pw_mutant_now == (n))
#endif
"""
SWITCH = """#include <stdio.h>
#include <stdlib.h>
int pw_mutant_now;
unsigned char pw_mutant_seen[%d];
__attribute__((constructor)) static void choose(void)
{
    const char *text = getenv("PW_MUTANT");
    pw_mutant_now = text != NULL ? atoi(text) : 0;
}
__attribute__((destructor)) static void tell(void)
{
    const char *path = getenv("PW_MUTANTS_SEEN");
    FILE *file = path != NULL ? fopen(path, "a") : NULL;
    for (int i = 0; file != NULL && i < (int)sizeof pw_mutant_seen; i++) {
        if (pw_mutant_seen[i]) {
            fprintf(file, "%%d\\n", i);
        }
    }
    if (file != NULL) {
        fclose(file);
    }
}
"""


class Mutant:
    def __init__(self, where, source, fields):
        self.where, self.file = where, source
        self.put, self.why = fields["put"], fields["why"]
        at, end = fields["find"].find("[["), fields["find"].rfind("]]")
        marked = 0 <= at < end  # the first [[ and the last ]]: an expression may hold brackets itself
        self.find = fields["find"][:at] + fields["find"][at + 2:end] + fields["find"][end + 2:] if marked else fields["find"]
        self.part = (at, end - 2) if marked else (0, len(self.find))
        self.number = 0
        self.killers = None  # not tried
        self.start = self.stop = 0

    def area(self):
        return next((title for title, pattern in AREAS if re.match(pattern, self.file)), "other")


def read_lists():
    """All mutants, and what is wrong with the lists."""
    mutants, wrong = [], []
    for path in sorted(glob.glob(os.path.join(ROOT, "tools/mutants/*.txt"))):
        fields, source, name = {}, "", os.path.relpath(path, ROOT)
        with open(path, encoding="utf-8") as file:
            lines = file.read().split("\n") + [""]
        for number, line in enumerate(lines, 1):
            if line.startswith("#") or (not line.strip() and not fields):
                continue
            if not line.strip():
                lacking = [k for k in ("find", "put", "why") if not fields.get(k)]
                if lacking:
                    wrong.append(f"{name}:{number}: a mutant without: {', '.join(lacking)}")
                else:
                    mutants.append(Mutant(f"{name}:{first}", source, fields))
                fields = {}
                continue
            key, _, rest = line.partition(" ")
            if key == "file":
                source = rest.strip()
                continue
            if not fields:
                first = number
            if key in fields or key not in ("find", "put", "why"):
                wrong.append(f"{name}:{number}: not a line of a mutant: {line}")
            fields[key] = rest.strip()
    for i, mutant in enumerate(mutants, 1):
        mutant.number = i
    return mutants, wrong


def place(mutants, root):
    """Find each text; returns the sources by file and what is wrong."""
    sources, wrong = {}, []
    for m in mutants:
        if m.file not in sources:
            try:
                with open(os.path.join(root, m.file), encoding="utf-8") as file:
                    sources[m.file] = file.read()
            except OSError:
                sources[m.file] = ""
        count = sources[m.file].count(m.find)
        if count != 1:
            wrong.append(f"{m.where}: stands {count} times in {m.file}, not once: {m.find}")
            continue
        at = sources[m.file].index(m.find)
        m.start, m.stop = at + m.part[0], at + m.part[1]
        if m.put.replace(" ", "") == sources[m.file][m.start:m.stop].replace(" ", ""):
            wrong.append(f"{m.where}: changes nothing")
    return sources, wrong


def mutate(text, mutants):
    """The source with every mutant of it in place; one may lie within another."""
    spans = {}
    for m in mutants:
        spans.setdefault((m.start, m.stop), []).append(m)
    for a, b in spans:
        for c, d in spans:
            if a < c < b < d:
                sys.exit(f"mutants overlap: {text[a:b]} and {text[c:d]}")

    def build(start, stop, inside):
        out, at = [], start
        top = [s for s in inside if not any(o != s and o[0] <= s[0] and s[1] <= o[1] for o in inside)]
        for a, b in sorted(top):
            out.append(text[at:a])
            within = [s for s in inside if s != (a, b) and a <= s[0] and s[1] <= b]
            choice = build(a, b, within)
            for m in spans[(a, b)]:
                choice = f"PW_MUTANT({m.number}) ? ({m.put}) : ({choice})"
            out.append(f"({choice})")
            at = b
        return "".join(out) + text[at:stop]

    return build(0, len(text), list(spans))


def write_if_new(path, data):
    if os.path.exists(path):
        with open(path, "rb") as file:
            if file.read() == data:
                return
    os.makedirs(os.path.dirname(path), exist_ok=True)
    with open(path, "wb") as file:
        file.write(data)


def make_tree(tree, mutants, sources):
    """A copy of the project with the mutated sources; files that did not change keep their times."""
    names = subprocess.run(["git", "ls-files", "--cached", "--others", "--exclude-standard"], cwd=ROOT, check=True,
                           capture_output=True, text=True).stdout.split("\n")
    wanted = set()
    for name in filter(None, names):
        full = os.path.join(ROOT, name)
        if not os.path.isfile(full):
            continue
        wanted.add(name)
        if name in sources:
            data = mutate(sources[name], [m for m in mutants if m.file == name]).encode()
        else:
            with open(full, "rb") as file:
                data = file.read()
        write_if_new(os.path.join(tree, name), data)
        if not name.endswith((".c", ".h", ".txt", ".inc")):
            shutil.copymode(full, os.path.join(tree, name))
    write_if_new(os.path.join(tree, "pw_mutant.h"), HEADER.encode())
    write_if_new(os.path.join(tree, "core/base/pw_mutant.c"), (SWITCH % (max(m.number for m in mutants) + 1)).encode())
    for folder, _, files in os.walk(tree):
        for name in files:
            path = os.path.relpath(os.path.join(folder, name), tree)
            if path not in wanted and path not in ("pw_mutant.h", "core/base/pw_mutant.c"):
                os.remove(os.path.join(folder, name))


def build_tree(tree, build):
    flags = f"-O1 -g0 -w -include {tree}/pw_mutant.h"
    subprocess.run(["cmake", "-S", tree, "-B", build, "-G", "Ninja", "-DPW_TESTS=ON", "-DPW_PAGE=OFF", "-DPW_WERROR=OFF",
                    "-DCMAKE_BUILD_TYPE=Mutants", f"-DCMAKE_C_FLAGS={flags}"], check=True, stdout=subprocess.DEVNULL)
    listed = subprocess.run(["ninja", "-C", build, "-t", "targets", "all"], check=True, capture_output=True, text=True).stdout
    units = sorted(set(re.findall(r"^(unit_\w+): phony", listed, re.M)))
    done = subprocess.run(["ninja", "-C", build, "-j", str(JOBS), "--quiet", *units, "cases"],
                          stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, check=False)
    if done.returncode != 0:
        sys.exit("the mutated sources do not build:\n" + done.stdout[-4000:])
    tests = {u.replace("unit_", "", 1): [os.path.join(build, "tests", u)] for u in units}
    tests["cases"] = [os.path.join(build, "tests/cases/cases"), "--check", PAGE, "tests/cases"]
    return tests


def run(command, tree, limit_s, **environment):
    """Whether it passed, and the seconds of work. A program that crashes, or works on beyond the limit, has noticed."""
    def limit():
        resource.setrlimit(resource.RLIMIT_CPU, (int(limit_s) + 1, int(limit_s) + 1))

    child = subprocess.Popen(command, cwd=tree, env={**os.environ, **environment}, stdout=subprocess.DEVNULL,
                             stderr=subprocess.DEVNULL, preexec_fn=limit)
    _, status, used = os.wait4(child.pid, 0)
    child.returncode = os.waitstatus_to_exitcode(status)
    return child.returncode == 0, used.ru_utime + used.ru_stime


def load(path):
    if not os.path.exists(path):
        return {}
    with open(path, encoding="utf-8") as file:
        return json.load(file)


def save(path, what):
    with open(path + ".new", "w", encoding="utf-8") as file:
        json.dump(what, file, indent=1, sort_keys=True)
    os.replace(path + ".new", path)


def reach(tests, tree, build):
    """What each test takes, and which mutants it passes; known from before where its program is the same. A test that
    fails unmutated ends everything. Also a number for all programs together."""
    took, seen, broken, keys = {}, {}, [], {}
    memory_file = os.path.join(build, "reach.json")
    known = load(memory_file)

    def ask(name):
        with open(tests[name][0], "rb") as file:
            keys[name] = hashlib.sha256(file.read()).hexdigest()
        if keys[name] in known:
            return
        told = os.path.join(build, f"seen.{name}.txt")
        if os.path.exists(told):
            os.remove(told)
        passed, seconds = run(tests[name], tree, 600, PW_MUTANT="0", PW_MUTANTS_SEEN=told)
        numbers = []
        if os.path.exists(told):
            with open(told, encoding="utf-8") as file:
                numbers = sorted({int(n) for n in file})
        if passed:
            known[keys[name]] = [seconds, numbers]
        else:
            broken.append(name)

    with concurrent.futures.ThreadPoolExecutor(JOBS) as pool:
        list(pool.map(ask, tests))
    save(memory_file, known)
    if broken:
        sys.exit("fails without any mutant: " + ", ".join(broken))
    for name in tests:
        took[name], seen[name] = known[keys[name]][0], set(known[keys[name]][1])
    return took, seen, hashlib.sha256("".join(keys[n] for n in sorted(tests)).encode()).hexdigest()


def try_one(m, tests, took, seen, tree, first, keep_going):
    """Sets m.killers: the tests that noticed."""
    folder = m.file.split("/")[1]
    own = ("fault_", "sim_test_faults") if folder == "fault" else (folder + "_",)
    order = sorted((n for n in tests if m.number in seen[n] and (took[n] < SLOW_S or n.startswith(own))),
                   key=lambda n: (n != first, took[n]))
    killers, m.reached, m.work_s = [], len(order), 0.0
    for name in order:
        passed, seconds = run(tests[name], tree, 2.0 + 4.0 * took[name], PW_MUTANT=str(m.number))
        m.work_s += seconds
        if not passed:
            killers.append(name)
            if not keep_going:
                break
    m.killers = killers


def key_of(m):
    return f"{m.file}: {m.find} -> {m.put}"


def try_all(mutants, tests, reached, tree, build, keep_going):
    """Sets m.killers of each. Tells the first killer next time, and all of it where the programs are the same."""
    took, seen, programs = reached
    memory_file = os.path.join(build, "killers.json")
    memory, lock = load(memory_file), threading.Lock()

    def work(m):
        old = memory.get(key_of(m), {})
        try_one(m, tests, took, seen, tree, old.get("killer"), keep_going)
        with lock:
            memory.update(load(memory_file))  # another run of other mutants may be at work
            memory[key_of(m)] = {"killer": m.killers[0] if m.killers else None, "programs": programs, "work_s": m.work_s,
                                 "reached": m.reached}
            print(f"{m.number:4} {'noticed ' if m.killers else 'SURVIVES'} {m.file}: {m.why}"
                  f" [{', '.join(m.killers) or 'reached by %d' % m.reached}]", flush=True)
            save(memory_file, memory)

    with concurrent.futures.ThreadPoolExecutor(JOBS) as pool:
        list(pool.map(work, mutants))


def recall(mutants, programs, build):
    """Takes over what was found before with the same programs."""
    memory = load(os.path.join(build, "killers.json"))
    for m in mutants:
        old = memory.get(key_of(m), {})
        if m.killers is None and old.get("programs") == programs:
            m.killers, m.work_s, m.reached = [old["killer"]] if old["killer"] else [], old["work_s"], old["reached"]


def figure(mutants, seconds):
    tried = [m for m in mutants if m.killers is not None]
    killed = [m for m in tried if m.killers]
    rows = []
    for title, _ in AREAS:
        mine = [m for m in mutants if m.area() == title]
        if mine:
            rows.append(f"| {title} | {len(mine)} | {sum(1 for m in mine if m in tried)} | {sum(1 for m in mine if m.killers)} |\n")
    left = "".join(f"- {m.file}: {m.why}\n" for m in tried if not m.killers)
    took = f"{seconds / 60.0:.0f} minutes of work of one core, without the build. " if seconds else ""
    return ("## Would the tests notice?\n\n"
            "`make mutants` makes the laws wrong, one at a time (`tools/mutants/*.txt`: which text, what in its place, what it would\n"
            "mean on site), and runs the fast tests (unit tests and cases) against each. At least 90 % must be noticed; the test\n"
            "`mutants.listed` sees to it that each listed text still stands in its source.\n\n"
            "| area | listed | tried | noticed |\n| --- | ---: | ---: | ---: |\n" + "".join(rows) +
            f"| all | {len(mutants)} | {len(tried)} | {len(killed)} ({100.0 * len(killed) / max(len(tried), 1):.1f} %) |\n\n"
            + took + (f"{len(mutants) - len(tried)} are not tried yet. " if len(tried) < len(mutants) else "")
            + ("Not noticed:\n\n" + left if left else "Nothing went unnoticed.\n") + "\n")


def write_page(text):
    path = os.path.join(ROOT, PAGE)
    with open(path, encoding="utf-8") as file:
        page = file.read()
    block = BEGIN + text + END
    if BEGIN in page:
        page = page[:page.index(BEGIN)] + block + page[page.index(END) + len(END):]
    else:
        at = page.index("\n## ") + 1
        page = page[:at] + block + "\n" + page[at:]
    with open(path, "w", encoding="utf-8") as file:
        file.write(page)


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--check", action="store_true")
    parser.add_argument("--only")
    parser.add_argument("--write", action="store_true")
    parser.add_argument("--keep-going", action="store_true")
    parser.add_argument("--build", default=os.path.join(ROOT, "build/mutants"))
    options = parser.parse_args()
    mutants, wrong = read_lists()
    sources, more = place(mutants, ROOT)
    wrong += more
    if len(mutants) < LEAST_MUTANTS:
        wrong.append(f"{len(mutants)} mutants, at least {LEAST_MUTANTS} are wanted")
    for line in wrong:
        print(line)
    if options.check or wrong:
        print(f"{len(mutants)} mutants, {len(wrong)} wrong")
        return 1 if wrong else 0
    build = os.path.abspath(options.build)
    tree = os.path.join(build, "tree")
    os.makedirs(tree, exist_ok=True)
    make_tree(tree, mutants, sources)
    tests = build_tree(tree, os.path.join(build, "out"))
    tests = {n: t for n, t in tests.items() if n not in SLOW}
    reached = reach(tests, tree, build)
    chosen = [m for m in mutants if options.only is None or options.only == str(m.number) or
              (not options.only.isdigit() and (options.only in m.file or options.only in m.why))]
    if not options.keep_going:
        recall(chosen, reached[2], build)
    try_all([m for m in chosen if m.killers is None], tests, reached, tree, build, options.keep_going)
    recall(mutants, reached[2], build)
    killed = sum(1 for m in chosen if m.killers)
    seconds = sum(reached[0].values()) + sum(m.work_s for m in mutants if m.killers is not None)
    print(f"{killed} of {len(chosen)} noticed, {100.0 * killed / max(len(chosen), 1):.1f} %, in {seconds:.0f} s of work")
    if options.write:
        write_page(figure(mutants, seconds))
    return 0 if killed >= LEAST_SHARE * len(chosen) else 1


if __name__ == "__main__":
    sys.exit(main())
