#!/bin/bash
# The core may use of the C library only what gives the same bits everywhere and touches nothing outside.
# usage: tools/symbols.sh NM FILE...    NM: nm or llvm-nm-14; FILE: objects or archives of core/
set -euo pipefail

allowed=" sqrt fabs floor ceil trunc fmod
 memcpy memset memmove memcmp memchr strlen strcmp strncmp strchr strrchr strstr strspn strcspn
 __assert_fail __stack_chk_fail _GLOBAL_OFFSET_TABLE_
 __stack_pointer __linear_memory __indirect_function_table __multi3 "
# the last line: the stack and tables of a WebAssembly module, and its 128-bit multiplication

nm=$1
shift
if [ $# -eq 0 ]; then
    echo "tools/symbols.sh: no objects to look at" >&2
    exit 2
fi
for file in "$@"; do
    [ -e "$file" ] || { echo "tools/symbols.sh: $file is missing: build first" >&2; exit 2; }
done

list=$("$nm" "$@" | awk 'NF >= 2 {print $(NF - 1), $NF}')
defined=$(awk '$1 ~ /^[TtDdBbRrVvWwCc]$/ {print $2}' <<<"$list" | sort -u)
wanted=$(awk '$1 == "U" {print $2}' <<<"$list" | sort -u)
[ -n "$defined" ] || { echo "tools/symbols.sh: nothing is defined in these files" >&2; exit 2; }

bad=0
for symbol in $(comm -13 <(echo "$defined") <(echo "$wanted")); do
    if ! [[ $allowed =~ [[:space:]]$symbol[[:space:]] ]]; then
        echo "the core uses $symbol, which is not in the list of tools/symbols.sh" >&2
        bad=1
    fi
done
exit $bad
