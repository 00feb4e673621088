#!/bin/bash
# Prove a site, print the heart of the paper (all of it stands in the page), and say where the page is.
# usage: tools/demo.sh PROGRAM SITE REPORT.html
set -euo pipefail
program=$1 site=$2 report=$3
colour=never
[ -t 1 ] && [ -z "${NO_COLOR:-}" ] && colour=always

# Paragraphs; a heading is underlined with "=". Of the faults only the table at a glance; of the rest what a reader
# acts on.
heart='
BEGIN { RS = ""; ORS = "\n\n"; show = 1 }
{ plain = $0; gsub(/\033\[[0-9;]*m/, "", plain) }
plain ~ /\n=+$/ && plain !~ /^Proof:/ {
    if (held != "") print held
    show = plain ~ /^(The order|Faults tried|False stops|What this order cannot see)\n/
    held = ""
}
plain ~ /^Severity:/ { show = 0; held = "" }
held != "" { print held; held = "" }
show { held = $0 }
END { if (held != "") print held }
'
paper=$(mktemp)
trap 'rm -f "$paper"' EXIT
"$program" prove "$site" --full --html "$report" --quiet --colour "$colour" >"$paper"
awk "$heart" "$paper"
echo "Tables of every fault, the blind band as a picture, defaults and cautions: open this page in a browser:"
echo "$(realpath "$report")"
