#!/usr/bin/env python3
"""Every fault on example sites: who sees it. Prints one table, and fails when a site cannot be proved.

usage: sites_table.py PUMPWRIGHT SITE.yaml...
A cell has one letter for each severity, mild to severe: S stopped, L stopped too late, T told, - never seen, . no harm,
o no harm as long as the stores last, P protection lost; settings mistyped: R refused, W warned of.
"""
import json
import os
import subprocess
import sys

LETTERS = {"stopped": "S", "stopped too late": "L", "seen, not stopped": "T", "never seen": "-", "not seen, no harm": ".",
           "refused as typed": "R", "warned of as typed": "W",
           "protection lost": "P", "no harm within the horizon": "o"}


def prove(program, site):
    done = subprocess.run([program, "prove", site, "--years", "0", "--sweep", "0", "--horizon", "1 d", "--jobs", "1", "--quiet",
                           "--json=line"], capture_output=True, text=True)
    if done.returncode != 0:
        sys.exit(f"{site}: exit code {done.returncode}\n{done.stderr}")
    return json.loads(done.stdout)


def main(program, *sites):
    rows, names, tried = {}, [], 0
    for site in sites:
        name = os.path.splitext(os.path.basename(site))[0]
        names.append(name)
        for fault in prove(program, site)["faults"]:
            cell = rows.setdefault(fault["what"], {})
            cell[name] = cell.get(name, "") + LETTERS[fault["finding"]]
            tried += 1
    wide = max(8, max(len(n) for n in names))
    print(" " * 28 + " ".join(n.ljust(wide) for n in names))
    for what, cells in rows.items():
        print(what.ljust(28) + " ".join(cells.get(n, "").ljust(wide) for n in names))
    print("S stopped, L stopped too late, T told, - never seen, . no harm, o lives on its stores, P protection lost,\n"
          "R refused as typed, W warned of as typed; within one day of its onset")
    print(f"{len(rows)} faults on {len(names)} sites, {tried} trials")
    return 0 if len(rows) >= 30 else 1


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
