"""Programs of the control settings, held against the core's step on long random input: the C by compiling and running it, the structured
text by an interpreter. usage: test_logic.py TRACE PROGRAM"""
import os
import random
import subprocess
import sys
import tempfile
import unittest

import structured

TRACE, PROGRAM = sys.argv[1:3]
del sys.argv[1:3]
CASES, STEPS = (15, 3000) if os.environ.get("PW_SANITIZED") else (40, 6000)  # sanitized they walk the same code
INPUTS = ["in_0_pressure", "in_1_flow_switch", "in_2_tank", "in_3_low_probe", "in_4_key", "in_5_pump"]
HARNESS = """
#include <stdio.h>
int main(void)
{
    static control c;
    uint32_t now;
    double v[6];
    int release;
    bool begun = false;
    while (scanf("%u %lf %lf %lf %lf %lf %lf %d %*d %*d %*d %*u", &now, v, v + 1, v + 2, v + 3, v + 4, v + 5, &release) == 8) {
        outputs out;
        inputs in;
        @INPUTS@
        in.release = release;
        if (!begun) {
            pump_begin(&c, now);
            begun = true;
        }
        pump_step(&c, &in, now, &out);
        unsigned long long warned = 0;
        @WARNED@
        printf("%d %d %d %llu\\n", out.run, out.locked, out.locked_by, warned);
    }
    return 0;
}
"""


def condition(dice, running):
    """Without what a start may not hold."""
    signals = ["pressure below 250 kPa", "pressure above 400 kPa", "level below 1 m", "level above 2 m", "probe low probe dry",
               "probe low probe wet", "contact key closed", "contact key open", "no flow", "flow", "current above 6 A", "current below 3 A"]
    own = [f"starts reach {dice.randint(2, 6)} in {dice.choice([5, 30, 90])} s", f"running for {dice.choice([2, 10, 30])} s",
           f"stopped for {dice.choice([2, 20])} s", "running"] if running else []
    return dice.choice(signals + own)


def with_time(dice, words):
    return words + (f" for {dice.choice([300, 1000, 2500, 5000])} ms" if dice.random() < 0.5 and "for" not in words else "")


def settings(dice):
    """Random sentences; some sets are refused, for instance a stop that contradicts a start."""
    lines = [with_time(dice, "start when " + condition(dice, False)), with_time(dice, "stop when " + condition(dice, True))]
    for _ in range(dice.randint(1, 5)):
        verb = dice.choice(["stop when ", "lock out when ", "lock out when ", "warn when ", "start when "])
        words = condition(dice, verb != "start when ")
        if dice.random() < 0.4:
            words += dice.choice([" and ", " or "]) + condition(dice, verb != "start when ")
        lines.append(with_time(dice, verb + words))
    if dice.random() < 0.4:
        lines += ["stop when " + dice.choice(["no flow", "current below 3 A"]), "ignore no flow for 3 s after start"]
    if dice.random() < 0.4:
        lines += ["stop when contact key open", "ignore contact key open for 3 s after start"]
    if dice.random() < 0.5:
        lines.append(f"{dice.choice(['warn', 'lock out'])} when starts reach {dice.randint(2, 4)} in {dice.choice([5, 30, 90])} s")
    for words in ("rest 3 s after stop", "run at least 2 s", "run on 1500 ms after stop condition", "wait 4 s after power on",
                  "ignore no flow for 3 s after start", "ignore current below 3 A for 2 s after start", "keep running while flow",
                  "run only while contact key closed"):
        if dice.random() < 0.3:
            lines.append(words)
    return list(dict.fromkeys(lines))


class Logic(unittest.TestCase):
    def trace(self, folder, lines, seed, steps):
        path = os.path.join(folder, "settings.txt")
        with open(path, "w", encoding="utf-8") as file:
            file.write("\n".join(lines) + "\n")
        return subprocess.run([TRACE, path, str(seed), str(steps), folder], stderr=subprocess.PIPE, text=True)

    def run_c(self, folder):
        with open(os.path.join(folder, "program.c"), encoding="utf-8") as file:
            text = file.read()
        inputs = "".join(f"in.{name} = v[{i}]{'' if i in (0, 2, 5) else ' > 0.5'};" for i, name in enumerate(INPUTS) if f" {name};" in text)
        warned = "".join(f"warned |= (unsigned long long)out.warn_{i} << {i - 1};" for i in range(1, 41) if f" warn_{i};" in text)
        source = os.path.join(folder, "run.c")
        with open(source, "w", encoding="utf-8") as file:
            file.write(text + HARNESS.replace("@INPUTS@", inputs).replace("@WARNED@", warned))
        subprocess.run(["cc", "-std=c99", "-O1", "-Wall", "-Wextra", "-Wpedantic", "-Wconversion", "-Werror", "-o", source[:-2], source],
                       check=True)
        with open(os.path.join(folder, "trace.txt"), encoding="utf-8") as file:
            return subprocess.run([source[:-2]], stdin=file, stdout=subprocess.PIPE, text=True, check=True).stdout.splitlines()

    def run_st(self, folder):
        with open(os.path.join(folder, "program.st"), encoding="utf-8") as file:
            program = structured.Program(file.read())
        values, found, base, last = program.values, [], 0, None
        warnings = [(int(name[5:]) - 1, name) for name in values if name.startswith("warn_")]
        with open(os.path.join(folder, "trace.txt"), encoding="utf-8") as file:
            for line in file:
                words = line.split()
                now = int(words[0])
                base += 1 << 32 if last is not None and now < last else 0  # TIME of a machine does not wrap
                last = now
                for name, word in zip(INPUTS, words[1:7]):
                    if name in values:
                        values[name] = float(word) > 0.5 if name not in ("in_0_pressure", "in_2_tank", "in_5_pump") else float(word)
                values["release"] = words[7] == "1"
                program.scan(values, program.instances, base + now)
                warned = sum(1 << i for i, name in warnings if values[name])
                found.append(f"{int(values['run'])} {int(values['locked'])} {values['locked_by']} {warned}")
        return found

    def test_both_do_what_the_core_does(self):
        dice, done, seen, seed = random.Random(20261201), 0, [0, 0, 0], 0
        while done < CASES:
            seed += 1
            lines = settings(dice)
            with tempfile.TemporaryDirectory() as folder:
                told = self.trace(folder, lines, seed, STEPS)
                self.assertLess(seed, 40 * CASES, told.stderr)
                if told.returncode != 0:
                    continue
                with open(os.path.join(folder, "trace.txt"), encoding="utf-8") as file:
                    core = [line.split(" ", 8)[8].strip() for line in file]
                for name, other in (("c", self.run_c(folder)), ("st", self.run_st(folder))):
                    self.assertEqual(len(other), STEPS)
                    for step, (right, found) in enumerate(zip(core, other)):
                        self.assertEqual(right, found, f"{name}, seed {seed}, step {step}: {lines}")
                done += 1
                seen[0] += sum(a[0] == "0" and b[0] == "1" for a, b in zip(core, core[1:]))
                seen[1] += sum(a[2] == "0" and b[2] == "1" for a, b in zip(core, core[1:]))
                seen[2] += sum(not line.endswith(" 0") for line in core)
        self.assertGreater(min(seen), 5 * CASES, seen)  # starts, lock outs, steps with a warning
        print(f"{done} settings of {seed} tried, {done * STEPS} steps: {seen[0]} starts, {seen[1]} lock outs", file=sys.stderr)

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

    def test_what_cannot_be_written_is_refused(self):
        with tempfile.NamedTemporaryFile("w", suffix=".yaml", encoding="utf-8") as file:
            with open("examples/nursery.yaml", encoding="utf-8") as sheet:
                file.write(sheet.read().replace("  - rest 10 s after stop", "  - rest 10 s after stop\n  - retry after 5 min up to 3 times"))
            file.flush()
            done = subprocess.run([PROGRAM, "logic", file.name], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        self.assertEqual(done.returncode, 1)
        self.assertEqual(done.stdout, "")
        self.assertIn("retry after 5 min up to 3 times", done.stderr)
        self.assertIn("settings[5]", done.stderr)


if __name__ == "__main__":
    unittest.main()
