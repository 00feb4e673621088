"""Programs of the control settings, held against the core's step on long random input: the C by compiling and running it, the structured
text by an interpreter. usage: test_logic.py TRACE PROGRAM [CASES]
CASES: settings of one pump, and of several; 20 without it, as in docs/handover.md."""
import os
import random
import subprocess
import sys
import tempfile
import unittest

import structured

TRACE, PROGRAM = sys.argv[1:3]
del sys.argv[1:3]
SHORT = bool(os.environ.get("PW_SANITIZED"))  # sanitized they walk the same code, not each kind of sentence
CASES, STEPS = (10, 2000) if SHORT else (20, 4000)
CASES = int(sys.argv.pop(1)) if len(sys.argv) > 1 and sys.argv[1].isdigit() else CASES
KINDS = ("retry", "time ", "at most", "relay", "share", "change over", "duty:", "apart", " is running", " is locked out", "retries reach",
         " in a row", "keep lock outs", " s in ")
INPUTS = ["in_0_pressure", "in_1_flow_switch", "in_2_tank", "in_3_low_probe", "in_4_key", "in_5_pump"]
WHOLE = ("in_0_pressure", "in_2_tank", "in_5_pump")  # the others are truths
NAMES = ["pump", "second", "third"]
HARNESS = """
#include <stdio.h>
int main(void)
{
    static control c;
    uint32_t now, week;
    double v[6];
    int release[3] = {0};
    bool begun = false;
    while (scanf("%u %u %lf %lf %lf %lf %lf %lf", &now, &week, v, v + 1, v + 2, v + 3, v + 4, v + 5) == 8) {
        outputs out;
        inputs in;
        for (int n = 0; n < @PUMPS@; n++) {
            if (scanf("%d", &release[n]) != 1) {
                return 1;
            }
        }
        int cut;
        if (scanf("%d", &cut) != 1) {
            return 1;
        }
        for (int n = 0; n < @PUMPS@; n++) {
            if (scanf("%*d %*d %*d") != 0) {
                return 1;
            }
        }
        if (scanf("%*u %*u") != 0) {
            return 1;
        }
        @INPUTS@
        if (!begun) {
            @NAME@_begin(&c, now);
            begun = true;
        }
        if (cut) {
            @POWER@
        }
        @NAME@_step(&c, &in, now, &out);
        unsigned long long warned = 0;
        unsigned relays = 0;
        @WARNED@
        @OUTPUTS@
        printf("%llu %u\\n", warned, relays);
    }
    return 0;
}
"""


def condition(dice, running, pumps):
    """Without what a start may not hold."""
    signals = ["pressure below 250 kPa", "pressure above 400 kPa", "level below 1 m", "level above 2 m", "probe low probe dry",
               "probe low probe wet", "contact key closed", "contact key open", "no flow", "flow", "current above 6 A", "current below 3 A",
               clock(dice)]
    own = [f"starts reach {dice.randint(2, 6)} in {dice.choice([5, 30, 90])} s",
           f"starts reach {dice.randint(1, 3)} in {dice.choice([5, 8, 30])} s {dice.randint(2, 4)} times in a row",
           f"running for {dice.choice([2, 10, 30])} s",
           f"stopped for {dice.choice([2, 20])} s", "running", f"retries reach {dice.randint(1, 3)}"] if running else []
    others = [f"{name} is {what}" for name in NAMES[:pumps] for what in
              ("running", "stopped", "locked out", "running for 10 s", "stopped for 20 s", "locked out for 5 s")] if pumps > 1 else []
    return dice.choice(signals + own + (dice.sample(others, 4) if others else []))


def clock(dice):
    days = ["", "", " on Monday", " on Saturday and Sunday", " on Sunday", " on Tuesday to Thursday", " on Monday, Wednesday and Friday"]
    first, second = dice.sample(["00:00", "05:30", "06:00", "12:00:30", "21:00", "23:59"], 2)
    second = dice.choice([second, "24:00"]) if first != "00:00" else second
    return f"time {dice.choice(['', 'not '])}between {first} and {second}{dice.choice(days)}"


def with_time(dice, words):
    if "for" in words or dice.random() < 0.4:
        return words
    if dice.random() < 0.3:
        return words + dice.choice([" for 1 s in 3 s", " for 2 s in 20 s", " for 40 ms in 50 ms", " for 20 s in 2 min",
                                    " for 1 h in 5 h"])
    return words + f" for {dice.choice([300, 1000, 2500, 5000])} ms"


def whose(dice, pumps, shared):
    """Before a sentence: which pump it is for, by its name or by its role."""
    names = [name + ": " for name in NAMES[:pumps]] if pumps > 1 else []
    return dice.choice([""] * 3 + names + (["duty: ", "assist: "] if shared else []))


def settings(dice, pumps):
    """Random sentences; many sets are refused, for instance a stop that contradicts a start."""
    shared = pumps > 1 and dice.random() < 0.7
    members = dice.sample(NAMES[:pumps], dice.randint(2, pumps)) if shared else []
    change = dice.choice(["", " and change over at every stop", f" and change over every {dice.choice(['20 s', '3 min', '1 h'])}"])
    lines = ["share the work between " + ", ".join(members[:-1]) + " and " + members[-1] + change] if shared else []
    lines += ["start pumps at least 3 s apart"] if pumps > 1 and (not shared or dice.random() < 0.4) else []
    roles = len(members) == pumps  # who has no role would have no start
    lines += [with_time(dice, verb + condition(dice, running, pumps)) for verb, running in (("start when ", False), ("stop when ", True))]
    for _ in range(dice.randint(1, 6)):
        verb = dice.choice(["stop when ", "lock out when ", "lock out when ", "warn when ", "warn by relay horn when ", "start when "])
        words = condition(dice, verb != "start when ", pumps)
        if dice.random() < 0.4:
            words += dice.choice([" and ", " or "]) + condition(dice, verb != "start when ", pumps)
        lines.append(whose(dice, pumps, roles) + with_time(dice, verb + words))
    if dice.random() < 0.4:
        lines += ["stop when " + dice.choice(["no flow", "current below 3 A"]), "ignore no flow for 3 s after start"]
    if dice.random() < 0.4:
        lines += ["stop when contact key open", "ignore contact key open for 3 s after start"]
    if dice.random() < 0.5:
        lines.append(f"{dice.choice(['warn', 'lock out'])} when starts reach {dice.randint(2, 4)} in {dice.choice([5, 30, 90])} s")
    if dice.random() < 0.6:
        lines.append(dice.choice(["retry after 2 s up to 3 times", "retry after 1 s, then 5 s, then 20 s up to 5 times",
                                  "release by itself after 8 s", "retry after 3 s up to 1 time"]))
    for words in ("rest 3 s after stop", "rest 4 s after stop, then wait for a new call", "run at least 2 s",
                  "keep lock outs over a power cut", "run on 1500 ms after stop condition", "wait 4 s after power on",
                  "ignore no flow for 3 s after start",
                  "ignore current below 3 A for 2 s after start",
                  "keep running while flow", "run only while contact key closed", f"start at most {dice.randint(1, 4)} times in 1 min",
                  "run only while " + clock(dice)):
        if dice.random() < 0.2:
            lines.append(words)
    return list(dict.fromkeys(lines))


class Logic(unittest.TestCase):
    def trace(self, folder, lines, seed, steps, pumps):
        path = os.path.join(folder, "settings.txt")
        with open(path, "w", encoding="utf-8") as file:
            file.write("\n".join(lines) + "\n")
        return subprocess.run([TRACE, path, str(seed), str(steps), folder, str(pumps)], stderr=subprocess.PIPE, text=True)

    def run_c(self, folder, pumps):
        with open(os.path.join(folder, "program.c"), encoding="utf-8") as file:
            text = file.read()
        ends = [f"_{n}" for n in range(pumps)] if pumps > 1 else [""]
        inputs = "".join(f"in.{name} = v[{i}]{'' if name in WHOLE else ' > 0.5'};" for i, name in enumerate(INPUTS) if f" {name};" in text)
        inputs += "".join(f"in.release{end} = release[{n}];" for n, end in enumerate(ends)) + ("in.week = week;" if " week;" in text else "")
        warned = "".join(f"warned |= (unsigned long long)out.warn_{i} << {i - 1};" for i in range(1, 41) if f" warn_{i};" in text)
        warned += "relays |= out.relay_0_horn;" if " relay_0_horn;" in text else ""
        outputs = "".join(f'printf("%d %d %d ", out.run{end}, out.locked{end}, out.locked_by{end});' for end in ends)
        harness = HARNESS
        power = ("pumps" if pumps > 1 else "pump") + "_power"
        power = power + "(&c, now);" if power in text else ""
        for word, by in (("@INPUTS@", inputs), ("@POWER@", power), ("@WARNED@", warned), ("@OUTPUTS@", outputs), ("@PUMPS@", str(pumps)),
                         ("@NAME@", "pumps" if pumps > 1 else "pump")):
            harness = harness.replace(word, by)
        source = os.path.join(folder, "run.c")
        with open(source, "w", encoding="utf-8") as file:
            file.write(text + harness)
        subprocess.run(["cc", "-std=c99", "-O1", "-Wall", "-Wextra", "-Wpedantic", "-Wconversion", "-Werror", "-o", source[:-2], source],
                       check=True)
        with open(os.path.join(folder, "trace.txt"), encoding="utf-8") as file:
            return subprocess.run([source[:-2]], stdin=file, stdout=subprocess.PIPE, text=True, check=True).stdout.splitlines()

    def run_st(self, folder, pumps):
        with open(os.path.join(folder, "program.st"), encoding="utf-8") as file:
            program = structured.Program(file.read())
        values, found, base, last = program.values, [], 0, None
        warnings = [(int(name[5:]) - 1, name) for name in values if name.startswith("warn_")]
        ends = [f"_{n}" for n in range(pumps)] if pumps > 1 else [""]
        with open(os.path.join(folder, "trace.txt"), encoding="utf-8") as file:
            for line in file:
                words = line.split()
                now = int(words[0])
                base += 1 << 32 if last is not None and now < last else 0  # TIME of a machine does not wrap
                last = now
                for name, word in zip(INPUTS, words[2:8]):
                    if name in values:
                        values[name] = float(word) if name in WHOLE else float(word) > 0.5
                if "week" in values:
                    values["week"] = int(words[1])
                for end, word in zip(ends, words[8:]):
                    values["release" + end] = word == "1"
                if words[8 + pumps] == "1":
                    values.update(program.lost)
                program.scan(values, program.instances, base + now)
                warned = sum(1 << i for i, name in warnings if values[name])
                pump = "".join(f"{int(values['run' + end])} {int(values['locked' + end])} {values['locked_by' + end]} " for end in ends)
                found.append(f"{pump}{warned} {int(values.get('relay_0_horn', False))}")
        return found

    def check(self, lines, seed, pumps, seen):
        """False: these settings are refused."""
        with tempfile.TemporaryDirectory() as folder:
            told = self.trace(folder, lines, seed, STEPS, pumps)
            if told.returncode != 0:
                self.refused = told.stderr
                return False
            with open(os.path.join(folder, "trace.txt"), encoding="utf-8") as file:
                core = [line.split(" ", 9 + pumps)[9 + pumps].strip() for line in file]
            for name, other in (("c", self.run_c(folder, pumps)), ("st", self.run_st(folder, pumps))):
                self.assertEqual(len(other), STEPS)
                for step, (right, found) in enumerate(zip(core, other)):
                    self.assertEqual(right, found, f"{name}, seed {seed}, step {step}: {lines}")
            rows = [line.split() for line in core]
            for n in range(pumps):
                seen[0] += sum(a[3 * n] == "0" and b[3 * n] == "1" for a, b in zip(rows, rows[1:]))
                seen[1] += sum(a[3 * n + 1] == "0" and b[3 * n + 1] == "1" for a, b in zip(rows, rows[1:]))
            seen[2] += sum(row[-2] != "0" for row in rows)
            return True

    def drive(self, first_seed, cases, pumps):
        dice, done, seen, seed, kinds = random.Random(first_seed), 0, [0, 0, 0], 0, {}
        while done < cases:
            seed += 1
            lines = settings(dice, pumps)
            if self.check(lines, seed, pumps, seen):
                done += 1
                for kind in KINDS:
                    kinds[kind] = kinds.get(kind, 0) + any(kind in line for line in lines)
            self.assertLess(seed, 60 * cases, "" if done else self.refused)
        self.assertGreater(min(seen), (1 if SHORT else 5) * cases, seen)  # starts, lock outs, steps with a warning
        print(f"{pumps} pumps: {done} settings of {seed} tried, {done * STEPS} steps: {seen[0]} starts, {seen[1]} lock outs; {kinds}",
              file=sys.stderr)
        return kinds

    def test_one_pump_does_what_the_core_does(self):
        kinds = self.drive(20261201, CASES, 1)
        self.assertGreater(min(kinds[kind] for kind in ("retry", "time ", "at most", "relay", "retries reach")), 0, kinds)

    def test_pumps_that_share_the_work_do_what_the_core_does(self):
        kinds = {}
        for pumps in (2, 3):
            for kind, count in self.drive(20261202 + pumps, CASES // 2, pumps).items():
                kinds[kind] = kinds.get(kind, 0) + count
        self.assertGreater(sum(kinds.values()) if SHORT else min(kinds.values()), 0, kinds)

    def test_the_interpreter_knows_its_blocks(self):
        text = """FUNCTION_BLOCK x VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT on : BOOL; off : BOOL; END_VAR VAR t : TON; u : TOF; END_VAR
                  t(IN := a, PT := T#100ms); u(IN := a, PT := T#100ms); on := t.Q; off := u.Q; END_FUNCTION_BLOCK"""
        program = structured.Program(text)
        rows = [(0, False, False, False), (10, True, False, True), (109, True, False, True), (110, True, True, True), (120, False, False, True),
                (219, False, False, True), (220, False, False, False), (230, True, False, True)]
        for now, a, on, off in rows:
            program.values["a"] = a
            program.scan(program.values, program.instances, now)
            self.assertEqual((program.values["on"], program.values["off"]), (on, off), now)
        with self.assertRaises(SyntaxError):
            structured.Program(text.replace("on := t.Q", "on := s.Q"))

    def test_of_a_sheet(self):
        done = subprocess.run([PROGRAM, "logic", "examples/nursery.yaml", "--as", "c"], stdout=subprocess.PIPE, text=True, check=True)
        self.assertIn("bore_pump_step", done.stdout)
        done = subprocess.run([PROGRAM, "logic", "examples/nursery.yaml"], stdout=subprocess.PIPE, text=True, check=True)
        self.assertEqual(structured.Program(done.stdout).name, "bore_pump")


if __name__ == "__main__":
    unittest.main()
