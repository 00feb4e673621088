#!/usr/bin/env bash
# Our integrator against SUNDIALS CVODES on the same equations: starts and lock outs equal, run time and volumes within 1e-6.
set -euo pipefail
ours=$1 cvode=$2 examples=$3
failed=0 passed=0
check() {
  local name=$1; shift
  local a b
  # Crossings within a step of ours are as good as its continuous extension, one order less than its end; the errors
  # of CVODES build up over more steps. Each at the tolerance at which one tighter changes nothing.
  a=$("$ours" --tolerance 1e-10 "$@") b=$("$cvode" --tolerance 1e-11 "$@")
  if awk -v a="$a" -v b="$b" -v name="$name" 'BEGIN {
      split(a, x, " "); split(b, y, " "); bad = 0
      if (x[1] != y[1] || x[7] != y[7]) bad = 1
      for (i = 2; i <= 6; i++) {
        d = x[i] - y[i]; if (d < 0) d = -d
        s = y[i] < 0 ? -y[i] : y[i]; if (s < 1e-3) s = 1e-3
        # winding: the closed forms and the steps agree to a part in 1e5 of the temperature
        limit = i == 6 ? 1e-5 : 1e-6
        if (d / s > worst) worst = d / s
        if (d / s > limit) bad = 1
      }
      printf "%-44s starts %s = %s  run %s s = %s s  worst relative difference %.1e  evaluations %s : %s  %s\n",
             name, x[1], y[1], x[2], y[2], worst, x[9], y[9], bad ? "DIFFERENT" : "same"
      exit bad }'; then passed=$((passed + 1)); else failed=$((failed + 1)); fi
}
check "nursery, two healthy days" "$examples/nursery.yaml" 2 1
check "nursery, a week, another seed" "$examples/nursery.yaml" 7 5
check "nursery, slow leak 2 L/min" "$examples/nursery.yaml" 1 3 "slow leak" 3.3333e-5 10
check "nursery, burst" "$examples/nursery.yaml" 0.5 3 "burst" 9e-4 10
check "nursery, float valve passing" "$examples/nursery.yaml" 0.6 3 "float valve passing" 0.05 10
check "nursery, dry source" "$examples/nursery.yaml" 1 3 "dry source" 0.05 10
check "nursery, delivery valve nearly closed" "$examples/nursery.yaml" 0.6 3 "closed delivery valve" 0.05 10
echo "$passed passed, $failed failed"
test "$failed" -eq 0
