#!/bin/bash
# The sample of the README, made by the program: paragraphs of the nursery's proof, shortened.
# usage: tools/sample.sh PROGRAM            print it
#        tools/sample.sh PROGRAM --write    put it into README.md
set -euo pipefail
cd "$(dirname "$0")/.."

pick='
BEGIN { RS = ""; ORS = "\n\n" }
/^(These settings|\+ The healthy|\+ Whatever|\+ In |! Leaks)/ { print; keep = /^! Leaks/; next }
/^Action:/ && keep { print }
/^At a glance/ {
    count = split($0, lines, "\n")
    table = ""
    for (i = 1; i <= count && lines[i] !~ /^Source/; i++) table = table (i > 1 ? "\n" : "") lines[i]
    print table
}
{ keep = 0 }
'
sample() { "$1" prove examples/nursery.yaml --full --quiet --colour never | awk "$pick" | sed -e 's/ *$//' -e '$d'; }

if [ "${2:-}" = --write ]; then
    made=$(mktemp)
    trap 'rm -f "$made"' EXIT
    sample "$1" >"$made"
    awk -v made="$made" '
        /^```text sample$/ { print; while ((getline line < made) > 0) print line; inside = 1; next }
        inside && /^```$/ { inside = 0 }
        !inside { print }' README.md >"$made.md"
    cat "$made.md" >README.md
    rm -f "$made.md"
else
    sample "$1"
fi
