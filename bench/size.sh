#!/usr/bin/env bash
# Choosing from 10,000 pumps: what it takes beyond the sizing itself. Usage: bench/size.sh BUILD_FOLDER
set -euo pipefail
program=$1/pumpwright
here=$(cd "$(dirname "$0")/.." && pwd)
site=$here/examples/nursery.yaml
many=$(mktemp --suffix .json)
one=$(mktemp --suffix .json)
trap 'rm -f "$many" "$one"' EXIT
make_catalogue() { # COUNT: invented pumps, the same ones each time
  awk -v count="$1" 'BEGIN {
    srand(7)
    printf "["
    for (i = 0; i < count; i++) {
      head = 20 + 100 * rand(); flow = 20 + 140 * rand(); best = 35 + 30 * rand()
      printf "%s{\"name\":\"P%d\",\"price\":%d,\"diameter\":\"95 mm\",\"motor\":{\"power\":\"%.2f kW\"},\"curve\":[", (i ? "," : ""), i,
        200 + 700 * rand(), 0.4 + 2 * rand()
      for (j = 0; j < 7; j++) {
        x = j / 6
        e = best * (1 - (x / 0.68 - 1) ^ 2)
        printf "%s{\"flow\":\"%.2f L/min\",\"head\":\"%.2f m\",\"efficiency\":\"%.1f %%\",\"NPSH\":\"%.2f m\"}", (j ? "," : ""),
          flow * x, head * (1 - 0.72 * x ^ 1.9), (e > 0 ? e : 0), 1.2 + 2 * x * x
      }
      printf "]}"
    }
    print "]"
  }'
}
seconds() { # processor seconds of a command, best of five
  local least="" took
  for _ in 1 2 3 4 5; do
    took=$( { TIMEFORMAT='%U %S'; time "$@" >/dev/null 2>&1; } 2>&1 | awk '{ print $1 + $2 }')
    if [ -z "$least" ] || awk -v a="$took" -v b="$least" 'BEGIN { exit !(a < b) }'; then least=$took; fi
  done
  printf '%s' "$least"
}
make_catalogue 10000 >"$many"
make_catalogue 1 >"$one"
a=$(seconds "$program" size "$site" --length 0s --quiet --catalogue "$one")
b=$(seconds "$program" size "$site" --length 0s --quiet --catalogue "$many")
awk -v a="$a" -v b="$b" 'BEGIN {
  printf "Sizing with a catalogue of 1: %.3f s; of 10,000, read and ranked: %.3f s; for 10,000 pumps %.3f s\n", a, b, b - a }'
