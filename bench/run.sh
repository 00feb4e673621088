#!/usr/bin/env bash
# Speed on this machine, as ratios where a general-purpose alternative can do the same work. Not a test: nothing fails for being slow.
# Usage: bench/run.sh BUILD_FOLDER
set -euo pipefail
build=$1
here=$(cd "$(dirname "$0")/.." && pwd)
site=$here/examples/nursery.yaml
ours=$build/twin/twin_ours cvode=$build/twin/twin_cvode program=$build/pumpwright

field() { cut -d' ' -f"$1" <<<"$2"; }
# The quickest of three runs: what the machine can do when nobody disturbs it.
best() {
  local least="" result="" out
  for _ in 1 2 3; do
    out=$("$@")
    if [ -z "$least" ] || awk -v a="$(field 8 "$out")" -v b="$least" 'BEGIN { exit !(a < b) }'; then
      least=$(field 8 "$out") result=$out
    fi
  done
  printf '%s' "$result"
}
seconds() { # wall seconds of a command, best of three
  local least="" begin end took
  for _ in 1 2 3; do
    begin=$(date +%s%N); "$@" >/dev/null 2>&1; end=$(date +%s%N)
    took=$(awk -v n=$((end - begin)) 'BEGIN { printf "%.3f", n / 1e9 }')
    if [ -z "$least" ] || awk -v a="$took" -v b="$least" 'BEGIN { exit !(a < b) }'; then least=$took; fi
  done
  printf '%s' "$least"
}

echo "A simulated year of the nursery: pumpwright against SUNDIALS CVODE (BDF, root finding) on the same equations"
a=$(best "$ours" --reduced --tolerance 1e-8 "$site" 365 1)
b=$(best "$ours" --tolerance 1e-8 "$site" 365 1)
c=$("$cvode" --tolerance 1e-8 "$site" 365 1)
printf '  %-34s %10s %10s %14s %12s\n' "" "seconds" "starts" "run time, s" "evaluations"
printf '  %-34s %10s %10s %14s %12s\n' "pumpwright, tables" "$(field 8 "$a")" "$(field 1 "$a")" "$(field 2 "$a")" "$(field 9 "$a")"
printf '  %-34s %10s %10s %14s %12s\n' "pumpwright, full formulas" "$(field 8 "$b")" "$(field 1 "$b")" "$(field 2 "$b")" "$(field 9 "$b")"
printf '  %-34s %10s %10s %14s %12s\n' "CVODE, full formulas" "$(field 8 "$c")" "$(field 1 "$c")" "$(field 2 "$c")" "$(field 9 "$c")"
awk -v a="$(field 8 "$a")" -v b="$(field 8 "$b")" -v c="$(field 8 "$c")" -v ra="$(field 2 "$a")" -v rc="$(field 2 "$c")" 'BEGIN {
  d = ra - rc; if (d < 0) d = -d
  printf "  CVODE / pumpwright: %.1f with tables, %.1f with full formulas; run time differs by %.1e\n", c / a, c / b, d / rc }'

echo
echo "Cost against years simulated (should be linear)"
for years in 1 2 4 8; do
  r=$(best "$ours" --reduced --tolerance 1e-8 "$site" $((365 * years)) 1)
  awk -v y=$years -v s="$(field 8 "$r")" 'BEGIN { printf "  %d years: %.3f s, %.3f s a year\n", y, s, s / y }'
done

echo
echo "The default proof of the nursery"
one=$(seconds "$program" prove "$site" --jobs 1 --quiet)
two=$(seconds "$program" prove "$site" --jobs 2 --quiet)
awk -v a="$one" -v b="$two" 'BEGIN { printf "  1 core: %.2f s   2 cores: %.2f s   ratio %.2f\n", a, b, a / b }'

echo
echo "Advice for the nursery (a year, 3 days of each fault): every limit from one simulation, against a simulation for each"
"$(find "$build" -name bench_advise -type f | head -1)" "$site" 12

if [ -f "$here/bench/page/bench.mjs" ] && [ -d "$here/build/page" ] && [ -d "$here/shell/page/node_modules" ]; then
  echo
  node "$here/bench/page/bench.mjs" || echo "  (the page was not measured: $?)"
fi
