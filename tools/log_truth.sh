#!/usr/bin/env bash
# How often the verdict on a log is right: generated logs of many sites, on all cores; writes its part of docs/diagnosis.md.
# usage: tools/log_truth.sh [SITES [LOGS]]      50 sites of 40 logs take some ten minutes on two cores
set -euo pipefail
cd "$(dirname "$0")/.."
program=build/tests/logs/log_truth
sites=${1:-50}
logs=${2:-40}
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
seq 1 "$sites" | xargs -P "$(nproc)" -I '{}' sh -c "$program 1 $logs save {} > $scratch/part.{}"
"$program" 0 0 join "$scratch"/part.* > "$scratch/table"
python3 - "$scratch/table" <<'PYTHON'
import sys
path = "docs/diagnosis.md"
page = open(path, encoding="utf-8").read()
begin, end = "<!-- truth: begin -->\n", "<!-- truth: end -->"
before, rest = page.split(begin)
after = rest.split(end)[1]
open(path, "w", encoding="utf-8").write(before + begin + open(sys.argv[1], encoding="utf-8").read().rstrip() + "\n" + end + after)
PYTHON
