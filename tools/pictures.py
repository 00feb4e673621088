#!/usr/bin/env python3
"""The pictures of docs/faults.md: one day of an example site with each fault, as SVG, made by the program itself.

usage: tools/pictures.py PUMPWRIGHT [docs/pictures]     write them
       tools/pictures.py --check PUMPWRIGHT [FOLDER]    exit code 1 when one differs from what the program draws now
Pictures are small on purpose: a few hours around the onset, a sample a minute.
"""
import os
import subprocess
import sys
import tempfile

# name of the file: (site, length, fault)
NURSERY, HOUSE, DRIP = "examples/nursery.yaml", "examples/house.yaml", "examples/drip.yaml"
DAM, GLASSHOUSE = "docs/pictures/dam.yaml", "docs/pictures/glasshouse.yaml"
PICTURES = {
    "healthy": (NURSERY, "14 h", None),
    "slow_leak": (NURSERY, "14 h", "slow leak 3 L/min from 8 h"),
    "burst": (NURSERY, "12 h", "burst 45 L/min from 8 h"),
    "dry_source": (NURSERY, "18 h", "dry source 0 % from 8 h"),
    "lost_air": (NURSERY, "12 h", "lost air 95 % from 8 h"),
    "float_valve_passing": (NURSERY, "14 h", "float valve passing 20 % from 8 h"),
    "chattering_flow_switch": (NURSERY, "10 h", "chattering flow switch 2 Hz from 8 h"),
    "closed_delivery_valve": (NURSERY, "10 h", "closed delivery valve 0 % from 8 h"),
    "contactor_welded": (NURSERY, "12 h", "contactor welded from 8 h"),
    "falling_water_level": (NURSERY, "60 h", "falling water level 30 m from 8 h"),
    "blocked_intake": (NURSERY, "12 h", "blocked intake 5 % from 8 h"),
    "air_drawn_in": (DAM, "12 h", "air drawn in 12 % from 8 h"),
    "entrained_gas": (NURSERY, "12 h", "entrained gas 6 % from 8 h"),
    "lost_prime": (DAM, "12 h", "lost prime 5 min from 8 h"),
    "ruptured_cell": (NURSERY, "12 h", "ruptured cell 1 h from 8 h"),
    "high_precharge": (NURSERY, "12 h", "high precharge 150 kPa from 8 h"),
    "passing_non-return_valve": (NURSERY, "12 h", "passing non-return valve 1 % from 8 h"),
    "slamming_non-return_valve": (NURSERY, "12 h", "slamming non-return valve 1 m/s from 8 h"),
    "float_valve_stuck_open": (NURSERY, "12 h", "float valve stuck open from 8 h"),
    "float_valve_stuck_shut": (NURSERY, "24 h", "float valve stuck shut 0 % from 5 h"),
    "worn_impeller": (NURSERY, "12 h", "worn impeller 35 % from 8 h"),
    "blocked_impeller": (NURSERY, "12 h", "blocked impeller 15 % from 8 h"),
    "scaled_pipe": (NURSERY, "12 h", "scaled pipe 60 % from 5 h"),
    "running_backwards": (DAM, "12 h", "running backwards from 8 h"),
    "motor_overload": (DAM, "12 h", "motor overload 100 % from 8 h"),
    "flow_switch_stuck_on": (DAM, "12 h", "flow switch stuck on from 8 h"),
    "flow_switch_stuck_off": (HOUSE, "24 h", "flow switch stuck off from 8 h"),
    "pressure_sensor_reads_high": (NURSERY, "48 h", "pressure sensor reads high 200 kPa from 8 h"),
    "pressure_sensor_reads_low": (NURSERY, "48 h", "pressure sensor reads low 200 kPa from 8 h"),
    "stuck_sensor": (NURSERY, "12 h", "stuck sensor from 8 h"),
    "blocked_tapping": (NURSERY, "12 h", "blocked tapping 3 min from 8 h"),
    "frozen_sensing_line": (NURSERY, "14 h", "frozen sensing line 4 h from 8 h"),
    "fouled_level_probe": (DAM, "24 h", "fouled level probe from 8 h"),
    "broken_probe_wire": (DAM, "24 h", "broken probe wire from 8 h"),
    "contactor_not_closing": (NURSERY, "12 h", "contactor not closing 50 % from 8 h"),
    "supply_lost": (NURSERY, "14 h", "supply lost 3 h from 8 h"),
    "brown-out": (DAM, "12 h", "brown-out 60 % from 8 h"),
    "phase_loss": (DAM, "12 h", "phase loss from 8 h"),
    "sagging_generator": (DAM, "12 h", "sagging generator 55 % from 8 h"),
    "relief_valve_lifting": (NURSERY, "12 h", "relief valve lifting 343 kPa from 8 h"),
    "settings_swapped": (NURSERY, "12 h", "settings swapped from 8 h"),
    "mistaken_unit": (GLASSHOUSE, "12 h", "mistaken unit from 8 h"),
    "clogged_filter": (DRIP, "11 h", "clogged filter 3000 % from 7 h"),
    "pressure_switch_stuck_closed": (DRIP, "14 h", "pressure switch stuck closed from 7 h"),
    "pressure_switch_stuck_open": (DRIP, "11 h", "pressure switch stuck open from 7 h"),
    "drifting_pressure_switch": (DRIP, "60 h", "drifting pressure switch 200 kPa from 1 h"),
    "over-voltage": (DAM, "12 h", "over-voltage 40 % from 8 h"),
    "minutes_for_seconds": (NURSERY, "12 h", "minutes for seconds from 8 h"),
}


def draw(program, name, path):
    site, length, fault = PICTURES[name]
    words = [program, "run", site, "--length", length, "--every", "5 min", "--quiet", "--svg", path]
    words += ["--fault", fault] if fault else []
    done = subprocess.run(words, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
    if done.returncode != 0:
        sys.exit(f"{name}: {' '.join(words)}\n{done.stderr}")


def main(arguments):
    check = "--check" in arguments
    rest = [a for a in arguments if a != "--check"]
    if not rest:
        sys.exit(__doc__)
    os.chdir(os.path.join(os.path.dirname(os.path.abspath(__file__)), ".."))
    folder = rest[1] if len(rest) > 1 else "docs/pictures"
    os.makedirs(folder, exist_ok=True)
    different = 0
    with tempfile.TemporaryDirectory() as scratch:
        for name in PICTURES:
            path = os.path.join(folder, name + ".svg")
            drawn = os.path.join(scratch, name + ".svg") if check else path
            draw(os.path.abspath(rest[0]) if os.sep in rest[0] else rest[0], name, drawn)
            if check:
                same = os.path.exists(path) and open(path, "rb").read() == open(drawn, "rb").read()
                if not same:
                    print(f"{path} is not what the program draws now: tools/pictures.py PUMPWRIGHT writes it anew")
                different += not same
    return 1 if different else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
